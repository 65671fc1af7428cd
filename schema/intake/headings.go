package intake

import "setline.example/schema/table"

// The columns of each table. README.md explains them.

// UnitColumns are the columns of a table of units as drawn.
func UnitColumns() []table.Column {
	return []table.Column{
		{Name: "room", Also: []string{"room number", "room name"}, Needed: true},
		{Name: "use", Also: []string{"room use"}},
		{Name: "floor finish", Also: []string{"finish thickness"}, Length: true},
		{Name: "finish under cabinets"},
		{Name: "elevation", Also: []string{"wall", "face"}, Needed: true},
		{Name: "left end", Also: []string{"left"}},
		{Name: "right end", Also: []string{"right"}},
		{Name: "opening", Also: []string{"clear opening"}, Length: true},
		{Name: "work height", Length: true},
		{Name: "top thickness", Length: true},
		{Name: "accessible", Also: []string{"accessible station"}},
		{Name: "tag", Also: []string{"unit", "mark"}, Needed: true},
		{Name: "part", Also: []string{"part number", "part no"}, Needed: true},
		{Name: "space before", Length: true},
		{Name: "kind"},
		{Name: "description"},
		{Name: "width", Length: true},
		{Name: "width tolerance", Length: true},
		{Name: "height", Length: true},
		{Name: "depth", Length: true},
		{Name: "gauge", Also: []string{"sheet gauge"}},
		{Name: "front rail depth", Length: true},
		{Name: "scribe", Length: true},
		{Name: "front"},
		{Name: "leveler least", Length: true},
		{Name: "leveler greatest", Length: true},
		{Name: "threads per inch", Also: []string{"threads", "tpi"}},
		{Name: "leveler pitch", Also: []string{"pitch"}, Length: true},
		{Name: "leveler reserve", Also: []string{"reserve"}, Length: true},
	}
}

// TopColumns are the columns of a table of tops, a row for each piece from left
// to right.
func TopColumns() []table.Column {
	return []table.Column{
		{Name: "room", Also: []string{"room number", "room name"}, Needed: true},
		{Name: "elevation", Also: []string{"wall", "face"}, Needed: true},
		{Name: "from", Needed: true}, // a tag, or a length with its unit
		{Name: "to", Needed: true},
		{Name: "overhang", Length: true},
	}
}

// PackingColumns are the columns of a packing list, with what was counted
// against it.
func PackingColumns() []table.Column {
	return []table.Column{
		{Name: "packing list", Also: []string{"packing list number", "packing list no"}, Needed: true},
		{Name: "order", Also: []string{"order number", "order no"}},
		{Name: "date"},
		{Name: "line", Also: []string{"line number", "line no"}, Needed: true},
		{Name: "part", Also: []string{"part number", "part no"}},
		{Name: "quantity", Also: []string{"qty", "count"}},
		{Name: "room"},
		{Name: "elevation"},
		{Name: "description"}, // on a count sheet, for whoever carries; not read
		{Name: "good", Also: []string{"received", "received good"}},
		{Name: "damaged"},
		{Name: "counted by"},
		{Name: "counted on"},
		{Name: "remark", Also: []string{"remarks"}},
	}
}

// FloorColumns are the columns of a table of floor readings.
func FloorColumns() []table.Column {
	return []table.Column{
		{Name: "room", Also: []string{"room number", "room name"}, Needed: true},
		{Name: "elevation", Also: []string{"wall", "face"}, Needed: true},
		{Name: "line", Needed: true},
		{Name: "at", Also: []string{"along", "distance"}, Needed: true, Length: true},
		{Name: "reading", Also: []string{"down"}, Needed: true, Length: true},
		{Name: "reference line", Also: []string{"reference"}},
	}
}

// InstrumentColumns are the columns of a table of instruments.
func InstrumentColumns() []table.Column {
	return []table.Column{
		{Name: "name", Also: []string{"instrument"}, Needed: true},
		{Name: "kind", Needed: true},
		{Name: "reads"},
		{Name: "resolution", Length: true},
		{Name: "accuracy", Length: true},
		{Name: "over", Length: true},
		{Name: "serial", Also: []string{"serial number", "asset number"}},
	}
}

// CheckColumns are the columns of a table of the instruments that a visit used,
// with how each was checked before it.
func CheckColumns() []table.Column {
	return []table.Column{
		{Name: "instrument", Also: []string{"name"}, Needed: true},
		{Name: "checked", Also: []string{"checked on"}},
		{Name: "dropped"},
		{Name: "midway a", Length: true},
		{Name: "midway b", Length: true},
		{Name: "unequal a", Length: true},
		{Name: "unequal b", Length: true},
		{Name: "distance a", Length: true},
		{Name: "distance b", Length: true},
	}
}

// ScrewColumns are the columns of a table of screws.
func ScrewColumns() []table.Column {
	return []table.Column{
		{Name: "name", Also: []string{"screw", "fastener"}, Needed: true},
		{Name: "size", Needed: true},
		{Name: "length", Needed: true, Length: true},
		{Name: "point"},
		{Name: "point number"},
		{Name: "use"},
		{Name: "each"},
	}
}
