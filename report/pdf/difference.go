package pdf

import (
	"bytes"
	"fmt"

	"setline.example/report/pdf/object"
)

// Difference says where a file differs first from the one expected: "" where
// they are the same, byte for byte.
func Difference(found, expected []byte) string {
	if bytes.Equal(found, expected) {
		return ""
	}
	i := 0
	for i < min(len(found), len(expected)) && found[i] == expected[i] {
		i++
	}
	if f, err := object.Read(found); err == nil {
		if err := f.Canonical(); err != nil {
			return err.Error()
		}
		for n := range len(f.Revisions[0].Objects) {
			if o := f.Revisions[0].Objects[n+1]; o.Begin <= i && i < o.Past {
				return fmt.Sprintf("object %d differs", n+1)
			}
		}
	}
	return fmt.Sprintf("it differs from byte %d on", i)
}
