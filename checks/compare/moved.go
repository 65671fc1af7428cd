package compare

import (
	"setline.example/checks"
	"setline.example/schema/length"
)

// Moved is how far the top corners of an elevation came up between two visits.
type Moved struct {
	Room      string       `json:"room"`
	Elevation string       `json:"elevation"`
	Corners   []CornerMove `json:"corners"`
	// Cause tells a floor that moves from a cabinet that does, where something
	// moved by more than its uncertainty.
	Cause string `json:"cause,omitempty"`
}

// CornerMove is a [checks.CornerMove] between two visits that have names.
type CornerMove struct {
	Unit      string        `json:"unit"`
	Corner    string        `json:"corner"`
	ThenVisit string        `json:"then_visit"`
	NowVisit  string        `json:"now_visit"`
	Tied      bool          `json:"tied"`
	Up        length.Length `json:"up"`
	U         length.Length `json:"u"`
	Known     bool          `json:"u_known"`
	Within    bool          `json:"within"`
}

// moved compares the top corners that were read again since.
func (p pair) moved() []Moved {
	same := func(from, to int) bool { return p.then.visitName(from) == p.now.visitName(to) }
	all := []Moved{}
	for _, m := range checks.Moves(p.then.State, p.now.State, same) {
		named := Moved{Room: m.Room, Elevation: m.Elevation, Cause: p.write(m.Cause)}
		for _, c := range m.Corners {
			named.Corners = append(named.Corners, CornerMove{
				c.Unit, p.words().Words(c.Corner), p.then.visitName(c.From), p.now.visitName(c.To),
				c.Tied, c.Up, c.U, c.Known, c.Within,
			})
		}
		all = append(all, named)
	}
	return all
}
