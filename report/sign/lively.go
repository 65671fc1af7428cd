package sign

import (
	"slices"

	"setline.example/report/pdf/object"
)

// What makes a file do something when it is opened or clicked, or show one thing
// now and another then (ISO 32000-1, 8.11, 12.6 and 12.7.8). A report, of
// whatever version, has links and nothing of this: its pages may not be known
// here, but what they show has to be the same for everyone.
var (
	livelyKeys    = []string{"AA", "JS", "JavaScript", "OpenAction", "XFA", "OCProperties", "OC", "RichMediaContent", "Requirements", "Collection"}
	livelyActions = []string{
		"GoToR", "GoToE", "Launch", "Thread", "Sound", "Movie", "Hide", "Named", "SubmitForm", "ResetForm", "ImportData",
		"JavaScript", "SetOCGState", "Rendition", "Trans", "GoTo3DView", "RichMediaExecute",
	}
)

// lively names what in the report as it was made is not the same for everyone.
func (c *changes) lively() {
	r := c.f.Revisions[c.k]
	for _, n := range r.Numbers() {
		o, _ := r.Object(n)
		if key := livelyIn(o.Value); key != "" {
			c.addObject("has /"+key+", which a report never has, in", n)
		}
	}
	c.more()
}

// livelyIn returns the first such key or action in a value; "" for none.
func livelyIn(v object.Value) string {
	for i, item := range v.Items {
		if v.Kind == object.Dict {
			key := v.Keys[i]
			switch {
			case slices.Contains(livelyKeys, key):
				return key
			case key == "S" && item.Kind == object.Name && slices.Contains(livelyActions, item.Text):
				return item.Text
			}
		}
		if found := livelyIn(item); found != "" {
			return found
		}
	}
	return ""
}
