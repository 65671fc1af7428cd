package compare

import "strings"

// trade says in the words of the trade what the record's fields are called,
// where these are short or many.
var trade = map[string]string{
	"FL": "front-left", "FR": "front-right", "BL": "back-left", "BR": "back-right",
	"FL-BR": "front-left to back-right", "FR-BL": "front-right to back-left",
	"limits": "limit of", "instruments": "instrument", "fasteners": "screw",
	"elevations": "elevation", "joints": "joint", "cabinets": "cabinet", "fillers": "filler", "usual": "every cabinet",
	"packing_lists": "packing list", "lines": "line", "receipts": "count",
	"concessions": "concession of", "open_items": "open item in", "reinspections": "re-inspection", "sign_off": "signs as",
	"tops": "top", "in_sight": "fasteners in sight", "people": "person",
	"photos": "photograph", "visits": "visit of", "remarks": "remark", "sha256": "SHA-256",
}

func inWords(field string) string {
	if word, ok := trade[field]; ok {
		return word
	}
	return strings.ReplaceAll(field, "_", " ")
}
