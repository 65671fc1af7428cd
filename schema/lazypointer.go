package schema

// way is the way to a value of a record. Its pointer is written only where
// something is wrong there, which is seldom.
type way struct {
	from  *way   // nil where it begins at the record itself
	field string // name of a member, or several with "/" between
	goes  onward // and on from there
	key   string
	item  int
}

// onward is where a way goes on behind its field.
type onward int

const (
	nowhere onward = iota
	toKey          // to a member of a dictionary
	toItem         // to an item of a list
)

// member is the way on to a member of the dictionary in field.
func (w *way) member(field, key string) way {
	return way{from: w, field: field, goes: toKey, key: key}
}

// at is the way on to an item of the list in field.
func (w *way) at(field string, i int) way {
	return way{from: w, field: field, goes: toItem, item: i}
}

// pointer writes the way as a JSON Pointer, and on to the fields named.
func (w *way) pointer(fields ...string) string {
	base := ""
	if w.from != nil {
		base = w.from.pointer()
	}
	if w.field != "" {
		base += "/" + w.field
	}
	switch w.goes {
	case toKey:
		base = Pointer(base, w.key)
	case toItem:
		base = Pointer(base, w.item)
	}
	for _, field := range fields {
		base += "/" + field
	}
	return base
}
