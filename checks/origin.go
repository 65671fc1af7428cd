package checks

import "setline.example/schema"

// origin is where in the record an observation stands. A rule looks at far
// more than it points at, so that a pointer is written only for what a result
// rests on.
type origin struct {
	seen        string // pointer to what a visit saw of a thing
	field, name string // the way on from there; name is "" where field leads there, field where it was said of all
}

// origin is where in the record a visit saw a field of a thing, or one of it.
func (s *sighting[T]) origin(field, name string) origin {
	if s.of != "" {
		return origin{seen: s.at}
	}
	return origin{s.at, field, name}
}

// pointer writes the origin as a JSON Pointer, "" where nothing was observed.
func (o origin) pointer() string {
	if o.seen == "" || o.field == "" {
		return o.seen
	}
	if o.name == "" {
		return schema.Pointer(o.seen, o.field)
	}
	return schema.Pointer(o.seen, o.field, o.name)
}
