package fieldsheet

import (
	"encoding/csv"
	"io"
	"maps"
	"slices"
	"strconv"
	"strings"

	"setline.example/schema"
	"setline.example/schema/plaintext"
)

// CountSheet is what a sheet to count a delivery on asks for.
type CountSheet struct {
	PackingList string // "" for all
	All         bool   // lines too of which all came whole
	By, On      string // who counts and on what day, "" to be filled in
}

// Carried is a line of a packing list, and where its parts are carried to.
type Carried struct {
	List, Number string
	Line         schema.PackingLine
	place        int // in walking order, from left to right
}

// Describe says what the parts of a line are, "" where the plan does not.
func (c Carried) Describe(p *schema.Planned) string {
	return p.Cabinets[c.Line.Part].Description + p.Fillers[c.Line.Part].Description
}

// CountCSV writes the lines of packing lists that are still to be counted as
// CSV (RFC 4180), in the order in which their parts are carried to their
// places: room, elevation, left to right. Lines without a place come last. It is
// read back as a table of packing lists. It says how many lines it wrote.
func CountCSV(w io.Writer, rec *schema.Record, o CountSheet) (lines int, err error) {
	out := csv.NewWriter(w)
	out.UseCRLF = true
	rows := [][]string{CountHeadings()}
	for _, c := range CarriedLines(rec, o) {
		rows = append(rows, []string{c.List, c.Number, c.Line.Part, c.Describe(&rec.Planned), strconv.Itoa(c.Line.Quantity), c.Line.Room, c.Line.Elevation, "", "", o.By, o.On, ""})
	}
	for _, row := range rows {
		for i, cell := range row {
			row[i] = plaintext.Inert(plaintext.Visible(cell))
		}
		if err := out.Write(row); err != nil {
			return 0, err
		}
	}
	out.Flush()
	return len(rows) - 1, out.Error()
}

// CountHeadings are those of [CountCSV].
func CountHeadings() []string {
	return []string{"packing list", "line", "part", "description", "quantity", "room", "elevation", "good", "damaged", "counted by", "counted on", "remark"}
}

// CarriedLines gives the lines to be counted, in the order of [CountCSV].
func CarriedLines(rec *schema.Record, o CountSheet) (all []Carried) {
	whole := map[[2]string]int{} // how many came whole, by list and line
	for _, r := range rec.Arrived.Receipts {
		for number, got := range r.Lines {
			whole[[2]string{r.PackingList, number}] += got.Good
		}
	}
	for _, list := range slices.Sorted(maps.Keys(rec.Arrived.PackingLists)) {
		lines := rec.Arrived.PackingLists[list].Lines
		numbers := slices.Sorted(maps.Keys(lines))
		slices.SortStableFunc(numbers, byNumber)
		for _, number := range numbers {
			line := lines[number]
			if o.PackingList != "" && list != o.PackingList || !o.All && whole[[2]string{list, number}] >= line.Quantity {
				continue
			}
			all = append(all, Carried{list, number, line, carriedTo(rec, line)})
		}
	}
	slices.SortStableFunc(all, func(a, b Carried) int { return a.place - b.place })
	return all
}

// carriedTo is where the first unit of a line's part stands, counted in walking
// order over the room and elevation that the line gives; past all where none does.
func carriedTo(rec *schema.Record, line schema.PackingLine) int {
	n := 0
	for _, room := range rec.Planned.Rooms {
		for _, e := range room.Elevations {
			for _, u := range e.Units {
				n++
				if u.Part == line.Part && line.Room == room.Name && (line.Elevation == "" || line.Elevation == e.Name) {
					return n
				}
			}
		}
	}
	return n + 1
}

// byNumber compares names by their value where both are numbers.
func byNumber(a, b string) int {
	m, err1 := strconv.Atoi(a)
	n, err2 := strconv.Atoi(b)
	if err1 == nil && err2 == nil && m != n {
		return m - n
	}
	return strings.Compare(a, b)
}
