package intake

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"github.com/go-json-experiment/json"
	"setline.example/schema"
	"setline.example/schema/length"
)

// frontRow fits one row of a front: how many, of what, and how high.
var frontRow = regexp.MustCompile(`(?i)^(\d+)?\s*(drawer|door|panel)s?(?:\s+(\S.*))?$`)

// front reads the front of a cabinet: rows from the top down with "/" between,
// each so many drawers, doors or panels side by side and, where wanted, its
// height: "2 drawers 6 in / 2 doors" is two drawers over two doors.
func (r *reader) front(name string) []byte {
	text := r.text(name)
	if text == "" {
		return nil
	}
	var rows [][]byte
	for _, part := range frontRows(text) {
		part = strings.TrimSpace(part)
		m := frontRow.FindStringSubmatch(part)
		if m == nil {
			r.wrong(schema.WrongForm, r.Cell(name), fmt.Sprintf("%q as a row of the front", part), `so many drawers, doors or panels side by side, rows from the top down with "/" between`,
				`write it like "2 drawers / 2 doors", or "drawer 6 in / drawer / drawer" for three drawers one above the other`)
			return nil
		}
		n := 1
		if m[1] != "" {
			n, _ = strconv.Atoi(m[1]) // digits alone; too many of them give a number that the schema refuses
		}
		var row object
		row.put(strings.ToLower(m[2])+"s", []byte(strconv.Itoa(n)))
		if m[3] != "" {
			if _, err := length.Parse(m[3]); err != nil {
				r.wrong(schema.WrongForm, r.Cell(name), fmt.Sprintf("%q behind %q", m[3], m[2]), "the height of the row, a length with its unit", `write it like "drawer 6 in / 2 doors"`)
				return nil
			}
			row.put("height", quote(m[3]))
		}
		rows = append(rows, row.json())
	}
	return listOf(rows)
}

// frontRows splits a front at each "/" that is no fraction bar between digits.
func frontRows(text string) (rows []string) {
	digit := func(i int) bool { return i >= 0 && i < len(text) && text[i] >= '0' && text[i] <= '9' }
	start := 0
	for i := range len(text) {
		if text[i] == '/' && !(digit(i-1) && digit(i+1)) {
			rows = append(rows, text[start:i])
			start = i + 1
		}
	}
	return append(rows, text[start:])
}

// frontWords writes a front as [reader.front] reads it.
func frontWords(rows []schema.FrontRow) string {
	parts := make([]string, len(rows))
	for i, row := range rows {
		n, what := max(row.Drawers, row.Doors, row.Panels), "panel"
		switch n {
		case row.Drawers:
			what = "drawer"
		case row.Doors:
			what = "door"
		}
		if n != 1 {
			what += "s"
		}
		parts[i] = fmt.Sprintf("%d %s", n, what)
		if row.Height != nil {
			parts[i] += " " + row.Height.String()
		}
	}
	return strings.Join(parts, " / ")
}

// frontOf reads the rows of a front from JSON.
func frontOf(text string) (rows []schema.FrontRow) {
	if err := json.Unmarshal([]byte(text), &rows); err != nil {
		return nil
	}
	return rows
}
