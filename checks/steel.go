package checks

import "setline.example/schema/length"

// ouncesPerSquareFoot is the weight of sheet steel by gauge, 15 U.S.C. 206
// (standard gauge for sheet and plate iron and steel).
var ouncesPerSquareFoot = map[int]int64{
	3: 160, 4: 150, 5: 140, 6: 130, 7: 120, 8: 110, 9: 100, 10: 90, 11: 80, 12: 70, 13: 60,
	14: 50, 15: 45, 16: 40, 17: 36, 18: 32, 19: 28, 20: 24, 21: 22, 22: 20, 23: 18, 24: 16,
	25: 14, 26: 12, 27: 11, 28: 10, 29: 9, 30: 8,
}

// sheetThickness is the thickness of sheet steel of a gauge in manufacturers'
// standard gauge: its weight, at 41.82 lb/ft² per inch of thickness. Rounded to
// whole nanometres. ok is false for a gauge that is not in the table.
func sheetThickness(gauge int) (l length.Length, ok bool) {
	ounces, ok := ouncesPerSquareFoot[gauge]
	if !ok {
		return 0, false
	}
	// ounces / 16 / 41.82 in = ounces * 100 / (16 * 4182) in
	const parts = 16 * 4182
	return (length.Length(ounces)*100*length.Inch + parts/2) / parts, true
}

// threadsPerInch of screws by size: ASME B18.6.4 type AB coarse threads as AISI
// S200 practice uses them (#8 18, #10 16, #12 14; #6 20 from memory).
var threadsPerInch = map[string]int64{"#6": 20, "#8": 18, "#10": 16, "#12": 14}

// drillingCapacity is the greatest total thickness of steel that a
// self-drilling screw drills through, by size and point (UFGS 05 40 00, 3.1.2).
var drillingCapacity = map[screwPoint]length.Length{
	{"#8", 2}:  length.Inch * 100 / 1000,
	{"#10", 2}: length.Inch * 110 / 1000,
	{"#12", 2}: length.Inch * 140 / 1000,
	{"#8", 3}:  length.Inch * 140 / 1000,
	{"#10", 3}: length.Inch * 175 / 1000,
	{"#12", 3}: length.Inch * 210 / 1000,
}

type screwPoint struct {
	size  string
	point int
}

// threadsBeyond is how many threads must stand out beyond the last sheet (AISI S200).
const threadsBeyond = 3

// leastScrew is the shortest screw of a size that goes through so much and
// leaves three threads beyond, rounded up to whole nanometres.
func leastScrew(size string, through length.Length) (length.Length, bool) {
	tpi, ok := threadsPerInch[size]
	if !ok {
		return 0, false
	}
	pitches := (threadsBeyond*length.Inch + length.Length(tpi) - 1) / length.Length(tpi)
	return through + pitches, true
}
