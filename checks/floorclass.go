package checks

// FloorClass is a class of floors by the flatness and levelness specified for
// the whole floor (ACI 117-10, Table 4.8.5.1).
type FloorClass struct {
	Name   string
	FF, FL float64
}

// floorClasses are in rising order.
var floorClasses = [...]FloorClass{
	{"conventional", 20, 15},
	{"moderately flat", 25, 20},
	{"flat", 35, 25},
	{"very flat", 45, 35},
	{"superflat", 60, 40},
}

// ClassOf returns the best class whose two numbers a floor reaches, and its
// place from 1; 0 where it reaches none.
func ClassOf(ff, fl float64) (FloorClass, int) {
	best, n := FloorClass{}, 0
	for i, c := range floorClasses {
		if ff >= c.FF && fl >= c.FL {
			best, n = c, i+1
		}
	}
	return best, n
}
