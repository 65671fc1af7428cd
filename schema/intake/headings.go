package intake

import "setline.example/schema/table"

// The columns of each table. README.md explains them.

// UnitColumns are the columns of a table of units as drawn.
func UnitColumns() []table.Column {
	return []table.Column{
		{Name: "room", Also: []string{"room number", "room name"}, Needed: true},
		{Name: "use", Also: []string{"room use"}},
		{Name: "floor finish", Also: []string{"finish thickness"}},
		{Name: "finish under cabinets"},
		{Name: "elevation", Also: []string{"wall", "face"}, Needed: true},
		{Name: "left end", Also: []string{"left"}},
		{Name: "right end", Also: []string{"right"}},
		{Name: "opening", Also: []string{"clear opening"}},
		{Name: "work height"},
		{Name: "top thickness"},
		{Name: "accessible", Also: []string{"accessible station"}},
		{Name: "tag", Also: []string{"unit", "mark"}, Needed: true},
		{Name: "part", Also: []string{"part number", "part no"}, Needed: true},
		{Name: "space before"},
		{Name: "kind"},
		{Name: "description"},
		{Name: "width"},
		{Name: "width tolerance"},
		{Name: "height"},
		{Name: "depth"},
		{Name: "gauge", Also: []string{"sheet gauge"}},
		{Name: "front rail depth"},
		{Name: "scribe"},
		{Name: "front"},
		{Name: "leveler least"},
		{Name: "leveler greatest"},
		{Name: "threads per inch", Also: []string{"threads", "tpi"}},
		{Name: "leveler pitch", Also: []string{"pitch"}},
		{Name: "leveler reserve", Also: []string{"reserve"}},
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
		{Name: "at", Also: []string{"along", "distance"}, Needed: true},
		{Name: "reading", Also: []string{"down"}, Needed: true},
	}
}

// InstrumentColumns are the columns of a table of instruments.
func InstrumentColumns() []table.Column {
	return []table.Column{
		{Name: "name", Also: []string{"instrument"}, Needed: true},
		{Name: "kind", Needed: true},
		{Name: "reads"},
		{Name: "resolution"},
		{Name: "accuracy"},
		{Name: "over"},
		{Name: "serial", Also: []string{"serial number", "asset number"}},
	}
}

// ScrewColumns are the columns of a table of screws.
func ScrewColumns() []table.Column {
	return []table.Column{
		{Name: "name", Also: []string{"screw", "fastener"}, Needed: true},
		{Name: "size", Needed: true},
		{Name: "length", Needed: true},
		{Name: "point"},
		{Name: "point number"},
		{Name: "use"},
		{Name: "each"},
	}
}
