package checks

import "setline.example/schema"

// What is seen of the release for tops.
var (
	ofRelease       = Thing{Of: OfElevation, Field: "closing", there: toBeReleased}
	theTopsReleased = closingYes(Thing{Of: OfElevation, Field: "closing", there: toBeReleased, All: saidClosing}, "tops_released", "released for its top", func(s *schema.ElevationSeen) *bool { return s.Closing.TopsReleased })
	theReleasedBy   = closingText(ofRelease, "released_by", "released by", func(s *schema.ElevationSeen) *string { return &s.Closing.ReleasedBy })
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

func toBeReleased(w whose) bool { return w.e.closing || len(w.e.plan.Tops) > 0 }

func severalToRelease(w whose) bool { return toBeReleased(w) && len(w.e.runsToRelease()) > 1 }
