package checks

import (
	"setline.example/checks/rest"
	"setline.example/checks/say"
)

// What is said of a release, from its values.

// Ready reports whether nothing speaks against releasing the run: the tops will
// bear, what they close off holds, and no bolt is to be turned first.
func (r *Release) Ready() bool {
	ready := r.Bears.Outcome.Holds() && len(r.Open) == 0
	for _, s := range r.Sets {
		for _, b := range s.Bearings {
			ready = ready && (b.Do == Bears || b.Do == ShimIt)
		}
	}
	return ready
}

// IsReleased reports whether somebody did release all of it.
func (r *Release) IsReleased() bool { return r.Released.Outcome == Pass }

// Text says which pieces they are.
func (s *TopSet) Text() say.Text {
	var all []say.Text
	for _, p := range s.Pieces {
		all = append(all, p.Words)
	}
	return say.And(all...)
}

// Plane says to which plane gaps are measured and shims are cut.
func (s *TopSet) Plane() say.Text {
	switch {
	case len(s.Bearings) == 0:
		return say.Text{}
	case s.Ways > 1 && len(s.Pieces) > 1:
		return say.That("The pieces meet, and are shimmed to one plane; as one they rock, and the more level way is shimmed to")
	case s.Ways > 1:
		return say.That("It can rest more than one way; the more level way is shimmed to")
	case s.State == rest.OnEdge:
		return say.That("Gaps are those while it does not tip")
	case len(s.Pieces) > 1:
		return say.That("The pieces meet, and are shimmed to one plane: that in which they would rest as one")
	}
	return say.Text{}
}

// Shims say where to put how much, nothing where nothing is to be put.
func (s *TopSet) Shims() say.Text {
	var all []say.Text
	for _, b := range s.Bearings {
		if b.Do == ShimIt {
			all = append(all, say.That("%[1]s at %[2]s", b.Shim, b.Words))
		}
	}
	if len(all) == 0 {
		return say.Text{}
	}
	return say.That("Shims: %[1]s", say.Commas(all...))
}

// What says what to do at a place.
func (b *TopBearing) What() say.Text {
	switch {
	case b.Do == ShimIt:
		return say.That("shim %[1]s", b.Shim)
	case b.Do == TurnBolt:
		return say.That("more than is shimmed: bring it up by %[1]s with the bolts, and read again", b.Rise)
	case b.Do == ClosedOff:
		return say.That("more than is shimmed, and the bolts are closed off: lift the top and release it anew")
	case b.Do == UnknownDo:
		return say.That("name the instrument that read heights, with its resolution")
	case b.Rise == 0:
		return say.That("carries the top")
	case !b.Known || b.Rise > b.U:
		return say.That("too little for a shim")
	}
	return say.That("bears, as far as can be told")
}
