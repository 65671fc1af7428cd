package pdf

import (
	"bytes"
	"fmt"

	"setline.example/report/pdf/object"
)

// Comparison is an [io.Writer] that holds what is written to it against a file,
// byte for byte, and keeps none of it.
type Comparison struct {
	found []byte
	same  int // bytes from the beginning
	over  bool
}

// CompareWith begins a comparison with a file.
func CompareWith(found []byte) *Comparison { return &Comparison{found: found} }

// Write compares. It never fails.
func (c *Comparison) Write(expected []byte) (int, error) {
	n := len(expected)
	if c.over {
		return n, nil
	}
	rest := c.found[c.same:]
	if bytes.HasPrefix(rest, expected) {
		c.same += n
		return n, nil
	}
	c.over = true
	for i := 0; i < min(len(rest), n) && rest[i] == expected[i]; i++ {
		c.same++
	}
	return n, nil
}

// Difference says where the file differs first from all that was written: ""
// where they are the same.
func (c *Comparison) Difference() string {
	if !c.over && c.same == len(c.found) {
		return ""
	}
	if f, err := object.Read(c.found); err == nil {
		if err := f.Canonical(); err != nil {
			return err.Error()
		}
		for _, n := range f.Revisions[0].Numbers() {
			if o, _ := f.Revisions[0].Object(n); o.Begin <= c.same && c.same < o.Past {
				return fmt.Sprintf("object %d differs", n)
			}
		}
	}
	return fmt.Sprintf("it differs from byte %d on", c.same)
}
