package schema

// Arrived is what was shipped and what was counted when it came.
type Arrived struct {
	// Packing lists, by their number.
	PackingLists map[string]PackingList `json:"packing_lists,omitempty"`
	// Counts of what came, in time order. Several counts of one line add up; what replaces a damaged part is counted against the line of the part it replaces.
	Receipts []Receipt `json:"receipts,omitempty"`
}

// PackingList is what a shipment says it holds.
type PackingList struct {
	// Order number, as on the labels.
	Order string `json:"order,omitempty" jsonschema:"maxLength=60"`
	// Date of the packing list, as YYYY-MM-DD.
	Date Date `json:"date,omitempty"`
	// Lines, by line number.
	Lines map[string]PackingLine `json:"lines"`
	// Its place in the order in which packing lists, counts, visits and corrections were entered into the record, from 1.
	Entered int `json:"entered,omitzero" jsonschema:"minimum=1,maximum=1000000"`
}

// PackingLine is one line of a packing list.
type PackingLine struct {
	// Part number.
	Part string `json:"part" jsonschema:"minLength=1,maxLength=60"`
	// How many, a count.
	Quantity int `json:"quantity" jsonschema:"minimum=1,maximum=10000"`
	// Room, where the order gave it.
	Room string `json:"room,omitempty" jsonschema:"maxLength=60"`
	// Elevation, where the order gave it.
	Elevation string `json:"elevation,omitempty" jsonschema:"maxLength=60"`
}

// Receipt is one count of what came.
type Receipt struct {
	// Number of the packing list counted against.
	PackingList string `json:"packing_list" jsonschema:"minLength=1,maxLength=60"`
	// Date of the count, as YYYY-MM-DD.
	Date Date `json:"date"`
	// Who counted.
	By string `json:"by" jsonschema:"minLength=1,maxLength=120"`
	// What came, by line number of the packing list. A line that is not here was not counted.
	Lines map[string]Received `json:"lines"`
	// Its place in the order in which packing lists, counts, visits and corrections were entered into the record, from 1.
	Entered int `json:"entered,omitzero" jsonschema:"minimum=1,maximum=1000000"`
}

// Received is what came of one line of a packing list.
type Received struct {
	// How many came whole, a count.
	Good int `json:"good" jsonschema:"minimum=0,maximum=10000"`
	// How many came damaged, a count.
	Damaged int `json:"damaged,omitempty" jsonschema:"minimum=0,maximum=10000"`
	// What was wrong, or anything worth saying.
	Remark string `json:"remark,omitempty" jsonschema:"maxLength=2000"`
}
