package schema

import "time"

// Day is the beginning of the day in UTC; ok is false where d is no full-date of
// RFC 3339, 5.6. It is what [time.Parse] makes of it, which reads any layout and is
// by itself more than a browser should compile before a sheet can be filled in.
func (d Date) Day() (day time.Time, ok bool) {
	const layout = "0000-00-00"
	if len(d) != len(layout) {
		return time.Time{}, false
	}
	var parts [3]int // year, month, day
	part := 0
	for i := range len(layout) {
		switch c := d[i]; {
		case layout[i] == '-' && c == '-':
			part++
		case layout[i] == '0' && '0' <= c && c <= '9':
			parts[part] = 10*parts[part] + int(c-'0')
		default:
			return time.Time{}, false
		}
	}
	day = time.Date(parts[0], time.Month(parts[1]), parts[2], 0, 0, 0, 0, time.UTC)
	// What is no day of the calendar becomes one of the next month, or the one before.
	_, month, n := day.Date()
	return day, int(month) == parts[1] && n == parts[2]
}
