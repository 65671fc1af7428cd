package turns

import "setline.example/schema/length"

// Served is what would serve where bolts do not reach the mark.
type Served struct {
	// Short is by how much each corner lacks travel at the mark: above zero where
	// it stands too low and its bolt cannot come out so far, which packing of that
	// thickness mends; below zero where it stands too high on a bolt that is fully in.
	Short []length.Length
	// Heights says that from Least to Most above the mark every bolt reaches.
	// Where it does not, Least is the lowest height to which all can come down.
	Heights     bool
	Least, Most length.Length
	// Packing is what has to go under each corner for all to stand at At above
	// the mark: the mark where all can come down to it, else at Least.
	At      length.Length
	Packing []length.Length
}

// Serving says which heights all corners reach, without what is between them
// and without reserve, and what to pack.
func Serving(corners []Corner) Served {
	s := Served{Short: make([]length.Length, len(corners)), Packing: make([]length.Length, len(corners)), Least: -far, Most: far}
	for i, c := range corners {
		if !c.Travel {
			continue
		}
		lowest, highest := c.H-c.Down, c.H+c.Up
		s.Least, s.Most = max(s.Least, lowest), min(s.Most, highest)
		s.Short[i] = max(0, -highest) + min(0, -lowest)
	}
	s.Heights = s.Least <= s.Most
	s.At = max(0, s.Least)
	for i, c := range corners {
		if c.Travel {
			s.Packing[i] = max(0, s.At-(c.H+c.Up))
		}
	}
	return s
}
