package checks

import (
	"setline.example/checks/say"
	"setline.example/schema"
)

// What closes an elevation out.
var (
	ofClosing        = Thing{Of: OfElevation, Field: "closing", there: closes}
	ofClosed         = Thing{Of: OfElevation, Field: "closing", there: closes, All: saidClosing}
	theInstructions  = closingText(ofClosing, "instructions", "instructions followed, revision", func(s *schema.ElevationSeen) *string { return &s.Closing.Instructions })
	theServices      = closingYes(ofClosed, "services_clear", "services behind the run clear", func(s *schema.ElevationSeen) *bool { return s.Closing.ServicesClear })
	theAnchored      = closingYes(ofClosed, "anchored", "anchored as drawn", func(s *schema.ElevationSeen) *bool { return s.Closing.Anchored })
	theAnchorDrawing = closingText(ofClosing, "anchor_drawing", "anchored, by which drawing", func(s *schema.ElevationSeen) *string { return &s.Closing.AnchorDrawing })
	theUndamaged     = closingYes(ofClosed, "undamaged", "no damage left", func(s *schema.ElevationSeen) *bool { return s.Closing.Undamaged })
	theLooseParts    = closingYes(ofClosed, "loose_parts", "loose parts there", func(s *schema.ElevationSeen) *bool { return s.Closing.LooseParts })
	theClean         = closingYes(ofClosed, "clean", "clean", func(s *schema.ElevationSeen) *bool { return s.Closing.Clean })
	theProtected     = closingYes(ofClosed, "protected", "protected until it is handed over", func(s *schema.ElevationSeen) *bool { return s.Closing.Protected })
	theClosingRemark = closingText(ofClosing, "remark", "what is not so, and where", func(s *schema.ElevationSeen) *string { return &s.Closing.Remark })
)

// What is said when a room is handed over. The day is that of the visit where
// none is written down.
var (
	ofHandover      = Thing{Of: OfRoom, Field: "handover", there: closes}
	theHandedTo     = closingText(ofHandover, "to", "handed over to", func(s *schema.RoomSeen) *string { return &s.Handover.To })
	theHandedOn     = closingDay(ofHandover, "on", "on what day, if not that of the visit", func(s *schema.RoomSeen) *schema.Date { return &s.Handover.On })
	theWarrantyFrom = closingDay(ofHandover, "warranty_from", "warranty from", func(s *schema.RoomSeen) *schema.Date { return &s.Handover.WarrantyFrom })
	thePapers       = closingYes(ofHandover, "papers", "papers received", func(s *schema.RoomSeen) *bool { return s.Handover.Papers })
	theSpareParts   = closingYes(ofHandover, "spare_parts", "spare parts and keys received", func(s *schema.RoomSeen) *bool { return s.Handover.SpareParts })
)

func closes(w whose) bool {
	if w.r != nil {
		return w.r.closing
	}
	return w.e.closing
}

// with is one of the things of a field.
func (t Thing) with(only string, kind Kind, words say.Words) *Thing {
	t.only, t.kind, t.words = only, kind, called(words)
	return &t
}

func closingYes[S any](of Thing, only string, words say.Words, read func(*S) *bool) thing[S, bool] {
	of.limit = says("yes")
	return thing[S, bool]{of.with(only, YesNo, words), one(read)}
}

func closingText[S any](of Thing, only string, words say.Words, read func(*S) *string) thing[S, string] {
	return thing[S, string]{of.with(only, Words, words), one(func(s *S) *string { return written(read(s)) })}
}

func closingDay[S any](of Thing, only string, words say.Words, read func(*S) *schema.Date) thing[S, schema.Date] {
	return thing[S, schema.Date]{of.with(only, DateKind, words), one(func(s *S) *schema.Date { return written(read(s)) })}
}
