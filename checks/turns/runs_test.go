package turns

import (
	"math/big"
	"math/rand/v2"

	"setline.example/schema/length"
)

const inch = length.Inch

// usual is a run of corners held to the usual limits: level within 1/8 in over
// 96 in, 1/32 in at least within a cabinet and 1/16 in between two; 1/16 in off
// the mark, of twist, and of minimum zone.
func usual(corners []Corner) Run {
	r := Run{Corners: corners, Held: inch / 16, Marked: true, Twist: inch / 16, Plane: inch / 16, Resolution: inch / 64}
	if corners[0].Cabinet == corners[len(corners)-1].Cabinet {
		r.Plane = -1
	}
	n := len(corners)
	level := make([]length.Length, n*n)
	for i, p := range corners {
		for j, q := range corners[:i] {
			least := inch / 16
			if p.Cabinet == q.Cabinet {
				least = inch / 32
			}
			level[i*n+j] = max(least, rate(p.X-q.X, p.Y-q.Y))
			level[j*n+i] = level[i*n+j]
		}
	}
	r.Level = func(i, j int) length.Length { return level[i*n+j] }
	return r
}

// rate is 1/8 in for each 96 in of distance, rounded down: the whole root of
// the square, by whole numbers.
func rate(dx, dy length.Length) length.Length {
	x, y := big.NewInt(int64(dx)), big.NewInt(int64(dy))
	n := new(big.Int).Add(x.Mul(x, x), y.Mul(y, y))
	n.Div(n, big.NewInt(768*768))
	return length.Length(n.Sqrt(n).Int64())
}

// row is cabinets side by side, 22 in deep, with bolts of 16 threads per inch
// that reach far, and with corners at these heights in 64ths of an inch: FL,
// FR, BL, BR of one cabinet after the other.
func row(width length.Length, heights ...int) []Corner {
	var all []Corner
	for i, h := range heights {
		c := Corner{Cabinet: i / 4, Place: i % 4, H: length.Length(h) * inch / 64, Joined: i}
		c.Step, _ = Eighth(16, 0)
		c.X = length.Length(i/4) * width
		if c.Place == FrontRight || c.Place == BackRight {
			c.X += width
		}
		if c.Place == FrontLeft || c.Place == FrontRight {
			c.Y = 22 * inch
		}
		all = append(all, c)
	}
	return all
}

// joined fastens all cabinets of a row to their neighbours.
func joined(all []Corner) []Corner {
	for i := range all {
		switch c := &all[i]; {
		case c.Place^1 == c.Place-1 && i+3 < len(all): // on the right
			c.Joined = i + 3
		case c.Place^1 == c.Place+1 && i >= 4:
			c.Joined = i - 3
		}
	}
	return all
}

// bolts that levelers have.
var steps = func() (all []Step) {
	for _, threads := range []int{10, 13, 16, 18, 20, 24} {
		s, _ := Eighth(threads, 0)
		all = append(all, s)
	}
	for _, pitch := range []length.Length{1_250_000, 1_500_000, 2_000_000} {
		s, _ := Eighth(0, pitch)
		all = append(all, s)
	}
	return all
}()

// anyRun makes a run of up to so many cabinets, set as a crew may leave it.
func anyRun(rng *rand.Rand, most int) Run {
	n := 1 + rng.IntN(most)
	heights := make([]int, 4*n)
	spread := 1 + rng.IntN(10)
	tilt, off := rng.IntN(3)*(rng.IntN(5)-2), rng.IntN(3)*(rng.IntN(5)-2)
	for i := range heights {
		heights[i] = off + tilt*(i/4)/2
		if rng.IntN(3) > 0 {
			heights[i] += rng.IntN(2*spread+1) - spread
		}
	}
	all := row(length.Length(12+6*rng.IntN(5))*inch, heights...)
	step := steps[rng.IntN(len(steps))]
	mixed, travel := rng.IntN(6) == 0, rng.IntN(3) == 0
	for i := range all {
		if mixed && i%4 == 0 {
			step = steps[rng.IntN(len(steps))]
		}
		all[i].Step = step
		if travel {
			all[i].Travel, all[i].Reserve = true, inch/8
			all[i].Down, all[i].Up = length.Length(rng.IntN(40))*inch/64, length.Length(rng.IntN(60))*inch/64
		}
	}
	if rng.IntN(3) == 0 {
		joined(all)
	}
	r := usual(all)
	r.Marked = rng.IntN(8) > 0
	return r
}

// inMirror is the run seen from behind.
func inMirror(r Run) Run {
	n := len(r.Corners)
	to := func(i int) int { return (n/4-1-i/4)*4 + (i%4 ^ 1) }
	all := make([]Corner, n)
	end := r.Corners[n-1].X
	for i, c := range r.Corners {
		c.Cabinet, c.Place, c.X, c.Joined = n/4-1-c.Cabinet, c.Place^1, end-c.X, to(c.Joined)
		all[to(i)] = c
	}
	m := r
	m.Corners = all
	m.Level = func(i, j int) length.Length { return r.Level(to(i), to(j)) }
	return m
}
