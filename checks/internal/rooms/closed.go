package rooms

import "setline.example/schema"

// Handed is a room that was handed over with all that goes with it.
func Handed() schema.HandoverSeen {
	yes := func() *bool { b := true; return &b }
	return schema.HandoverSeen{To: "P. Keeper, Tarn Builders", WarrantyFrom: "2026-10-01", Papers: yes(), SpareParts: yes()}
}

// Closed is an elevation of which everything that closes it out was seen to be so.
func Closed() schema.ClosingSeen {
	yes := func() *bool { b := true; return &b }
	return schema.ClosingSeen{
		Instructions: "revision C", ServicesClear: yes(), AnchorDrawing: "S-501", Anchored: yes(),
		TopsReleased: yes(), Undamaged: yes(), LooseParts: yes(), Clean: yes(), Protected: yes(),
	}
}
