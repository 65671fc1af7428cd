package drawing

import (
	"cmp"
	"slices"

	"setline.example/checks/say"
	"setline.example/schema/length"
)

// Elevation is what there is to draw of one elevation. Places along it are
// from its left end; readings are down from one reference line.
type Elevation struct {
	Room, Name string
	Width      length.Length // 0 where not known: then from the first unit to the last
	Units      []Unit        // left to right
	// What is at the ends: "wall", "exposed", "abutting", or "" for not known.
	Left, Right  string
	BodyHeight   length.Length // of the tallest cabinet
	TopThickness length.Length // 0 for none
	Front, Back  []Reading     // of the floor; empty where not surveyed
	SetTop       length.Length // reading of the cabinet tops
	HasSet       bool
	HighAt       length.Length // place of the floor's high point
	HighLine     string        // "front" or "back"
	HasHigh      bool
	Faults       []Fault
	Language     say.Language // English where it is nil
	Places       bool         // nothing but the units and what is numbered: no title, heights or floor
	Sketch       bool         // low and without title and scale bar, for a page of boxes that says which elevation it is
}

// Unit is a cabinet or filler.
type Unit struct {
	Tag              string
	X, Width, Height length.Length // X of its left side; Height 0 for the elevation's
	Depth            length.Length // of a cabinet
	Behind           length.Length // how far its back stands before that of the deepest cabinet
	Filler           bool
	Rows             []Row            // from the top down
	Extension        [2]length.Length // of the front-left and front-right leveler
	HasExtension     bool
}

// Row is what stands side by side in one row of a cabinet's front.
type Row struct {
	Drawers, Doors, Panels int
	Height                 length.Length // 0 shares what the other rows leave
}

// Reading is one point of the floor: where, and how far below the reference line.
type Reading struct{ At, Down length.Length }

// FaultPlace is where on a front a fault is.
type FaultPlace string

// The places of faults.
const (
	AtTop   FaultPlace = "top"
	AtFront FaultPlace = "front"
	AtFoot  FaultPlace = "foot"
	AtJoint FaultPlace = "joint"
)

// Fault is one entry of the punch list.
type Fault struct {
	Number int           // in the punch list
	X      length.Length // along the elevation
	Y      FaultPlace
	Word   string // "fail", "not observed"
	Fails  bool   // it is known to be wrong, and is marked so
}

// title names a drawing in full, for who lists or reads it out.
func (e Elevation) title(what say.Words) say.Text {
	return named(clean(e.Room), clean(e.Name), what)
}

// heading is the title as it is drawn, with a long name of either cut short.
func (e Elevation) heading(w say.Writer, what say.Words, width float64) string {
	room := fit(e.Room, 9, true, float64(0.45*width))
	name := fit(e.Name, 9, true, 0.25*width)
	return fit(w.Text(named(room, name, what)), 9, true, width)
}

func named(room, name string, what say.Words) say.Text {
	if room == "" {
		return say.That("Elevation %[1]s: %[2]s", say.Name(name), what)
	}
	return say.That("%[1]s, elevation %[2]s: %[3]s", say.Name(room), say.Name(name), what)
}

// writer writes what is said on a drawing of the elevation.
func (e Elevation) writer(sys length.System) say.Writer {
	return say.Writer{Language: e.Language, Lengths: sys}
}

// line names the line of the floor along the front or the back levelers.
func lineWords(line string) say.Words {
	if line == "back" {
		return "back line"
	}
	return "front line"
}

var placeWords = map[FaultPlace]say.Words{AtTop: "top", AtFront: "front", AtFoot: "foot", AtJoint: "joint"}

var endWords = map[string]say.Words{"wall": "wall", "exposed": "exposed", "abutting": "abutting"}

// sorted returns the readings from left to right.
func sorted(rs []Reading) []Reading {
	return slices.SortedStableFunc(slices.Values(rs), func(a, b Reading) int { return cmp.Compare(a.At, b.At) })
}

// downAt returns the reading in inches at a place in inches, between the
// readings that are there, from left to right; ok is false outside them.
func downAt(rs []Reading, x float64) (down float64, ok bool) {
	i := firstFrom(rs, x)
	if i == len(rs) {
		return 0, false
	}
	r, at := rs[i], rs[i].At.Inches()
	switch {
	case at == x:
		return r.Down.Inches(), true
	case i == 0:
		return 0, false
	}
	a := rs[i-1]
	return a.Down.Inches() + (r.Down.Inches()-a.Down.Inches())*(x-a.At.Inches())/(at-a.At.Inches()), true
}

// firstFrom is the position of the first of the readings, from left to right,
// that is at a place in inches or beyond it. It is looked for and not counted
// off: a long elevation has many parts, and each asks.
func firstFrom(rs []Reading, x float64) int {
	i, _ := slices.BinarySearchFunc(rs, x, func(r Reading, x float64) int { return cmp.Compare(r.At.Inches(), x) })
	return i
}

// between returns the line of the floor between two places, in inches, with
// its points at the two ends where the readings reach them.
func between(rs []Reading, from, to float64) (xs, downs []float64) {
	add := func(x, d float64) { xs, downs = append(xs, x), append(downs, d) }
	if d, ok := downAt(rs, from); ok {
		add(from, d)
	}
	for _, r := range rs[firstFrom(rs, from):] {
		x := r.At.Inches()
		if x >= to {
			break
		}
		if x > from {
			add(x, r.Down.Inches())
		}
	}
	if d, ok := downAt(rs, to); ok && to > from {
		add(to, d)
	}
	return xs, downs
}
