package rooms

import "setline.example/schema"

// Closed is an elevation of which everything that closes it out was seen to be so.
func Closed() schema.ClosingSeen {
	yes := func() *bool { b := true; return &b }
	return schema.ClosingSeen{
		Instructions: "revision C", ServicesClear: yes(), AnchorDrawing: "S-501", Anchored: yes(),
		TopsReleased: yes(), Undamaged: yes(), LooseParts: yes(), Clean: yes(),
	}
}
