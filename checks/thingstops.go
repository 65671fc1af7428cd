package checks

import "setline.example/schema"

// What is seen of the release for tops.
var (
	theTopsReleased = forTops(closingYes("tops_released", "released for its top", func(c *schema.ClosingSeen) *bool { return c.TopsReleased }), toBeReleased)
	theReleasedBy   = forTops(closingText("released_by", "released by", func(c *schema.ClosingSeen) *string { return &c.ReleasedBy }), toBeReleased)
	theReleasedRuns = thing[schema.ElevationSeen, []string]{
		&Thing{Of: OfElevation, Field: "closing", only: "released_runs", words: called("released, if not all: runs that begin with"), there: severalToRelease,
			boxes: func(_ *asker, w whose) []Blank {
				var first []string
				for _, run := range w.e.runsToRelease() {
					first = append(first, run[0].plan.Tag)
				}
				return []Blank{{Kind: Several, Choices: first, Required: true}}
			}},
		one(func(s *schema.ElevationSeen) *[]string {
			if len(s.Closing.ReleasedRuns) == 0 {
				return nil // it was said of all
			}
			return &s.Closing.ReleasedRuns
		}),
	}
)

// forTops says of which elevations a thing is.
func forTops[T any](t thing[schema.ElevationSeen, T], there func(whose) bool) thing[schema.ElevationSeen, T] {
	t.there = there
	return t
}

func toBeReleased(w whose) bool { return w.e.closing || len(w.e.plan.Tops) > 0 }

func severalToRelease(w whose) bool { return toBeReleased(w) && len(w.e.runsToRelease()) > 1 }
