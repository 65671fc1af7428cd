package checks

import (
	"setline.example/checks/say"
	"setline.example/schema"
)

// What closes an elevation out.
var (
	theInstructions  = closingText("instructions", "instructions followed, revision", func(c *schema.ClosingSeen) *string { return &c.Instructions })
	theServices      = closingYes("services_clear", "services behind the run clear", func(c *schema.ClosingSeen) *bool { return c.ServicesClear })
	theAnchored      = closingYes("anchored", "anchored as drawn", func(c *schema.ClosingSeen) *bool { return c.Anchored })
	theAnchorDrawing = closingText("anchor_drawing", "by which drawing", func(c *schema.ClosingSeen) *string { return &c.AnchorDrawing })
	theUndamaged     = closingYes("undamaged", "no damage left", func(c *schema.ClosingSeen) *bool { return c.Undamaged })
	theLooseParts    = closingYes("loose_parts", "loose parts there", func(c *schema.ClosingSeen) *bool { return c.LooseParts })
	theClean         = closingYes("clean", "clean", func(c *schema.ClosingSeen) *bool { return c.Clean })
	theClosingRemark = closingText("remark", "what is not so, and where", func(c *schema.ClosingSeen) *string { return &c.Remark })
)

func closes(w whose) bool { return w.e.closing }

func closingYes(only string, words say.Words, read func(*schema.ClosingSeen) *bool) thing[schema.ElevationSeen, bool] {
	return thing[schema.ElevationSeen, bool]{
		&Thing{Of: OfElevation, Field: "closing", only: only, kind: YesNo, words: called(words), limit: says("yes"), there: closes},
		one(func(s *schema.ElevationSeen) *bool { return read(&s.Closing) }),
	}
}

func closingText(only string, words say.Words, read func(*schema.ClosingSeen) *string) thing[schema.ElevationSeen, string] {
	return thing[schema.ElevationSeen, string]{
		&Thing{Of: OfElevation, Field: "closing", only: only, kind: Words, words: called(words), there: closes},
		one(func(s *schema.ElevationSeen) *string { return written(read(&s.Closing)) }),
	}
}
