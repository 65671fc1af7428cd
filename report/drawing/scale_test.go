package drawing

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"setline.example/schema/length"
)

// Bars are as long as the changes say, and black only beyond the uncertainty;
// the uncertainty itself is within.
func TestMovementBars(t *testing.T) {
	u := inches(1. / 32)
	ups := []length.Length{u, u + 1, -u, -u - 1, 0, 2 * u}
	var cs []Change
	for i, up := range ups {
		cs = append(cs, Change{"A1", "FL", "front-left", length.Length(i), up, u})
	}
	d, ok := Movement(sample(), cs, inSystem, 468)
	if !ok {
		t.Fatal("no drawing")
	}
	var bars []Shape
	for _, s := range d.Shapes {
		if s.Kind == Area && s.Stroke == Black && s.Points[1].X-s.Points[0].X == 4 && s.Points[0].X > axisRoom {
			bars = append(bars, s)
		}
	}
	if len(bars) != len(ups) {
		t.Fatalf("%d bars; want %d", len(bars), len(ups))
	}
	high := bars[5].Points[2].Y - bars[5].Points[0].Y // of 2 u
	for i, b := range bars {
		if got, want := b.Points[2].Y-b.Points[0].Y, high*float64(ups[i])/float64(2*u); math.Abs(got-want) > 1e-9 {
			t.Errorf("bar %d is %.4f pt high; want %.4f", i, got, want)
		}
		if black := b.Fill == Black; black != (ups[i] > u || ups[i] < -u) {
			t.Errorf("bar %d of %v is black: %v", i, ups[i], black)
		}
	}
	if !strings.Contains(d.Alt, "within it") || !strings.Contains(d.Alt, "beyond it") {
		t.Errorf("alt %q", d.Alt)
	}
}

// A foot whose extension reaches the floor ends on the floor line, and is
// drawn higher than to scale by the factor that the drawing says.
func TestFeetReachTheFloor(t *testing.T) {
	e := surveyed(row(24, 36, 24))
	for i, u := range e.Units {
		for j := range 2 {
			at := u.X
			if j == 1 {
				at += u.Width
			}
			down, ok := downAt(e.Front, at.Inches())
			if !ok {
				t.Fatal("no floor")
			}
			e.Units[i].Extension[j] = inches(down) - e.SetTop - u.Height
		}
	}
	d := Front(e, inSystem, 468)[0]
	var scale, k float64
	for _, s := range d.Shapes {
		if strings.HasPrefix(s.Text, "scale 1:") {
			fmt.Sscanf(s.Text, "scale 1:%g; heights under the cabinets %g times", &scale, &k)
		}
	}
	if k < 2 {
		t.Fatalf("factor %v", k)
	}
	var got []float64
	for _, s := range d.Shapes {
		if s.Kind == Line && s.LineWidth == 1.4 {
			got = append(got, (s.Points[1].Y-s.Points[0].Y)*scale/72/k)
		}
	}
	if len(got) != 6 {
		t.Fatalf("%d feet; want 6", len(got))
	}
	for i, g := range got {
		if want := e.Units[i/2].Extension[i%2].Inches(); math.Abs(g-want) > 1e-6 {
			t.Errorf("foot %d is drawn %v in; want %v", i, g, want)
		}
	}
	// The floor line starts under the first foot, at the same depth.
	for _, s := range d.Shapes {
		if s.Kind == Line && len(s.Points) == len(e.Front) && s.Dash == 0 {
			for _, f := range d.Shapes {
				if f.Kind == Line && f.LineWidth == 1.4 {
					if math.Abs(f.Points[1].Y-s.Points[0].Y) > 1e-6 {
						t.Errorf("the first foot ends at %v; the floor is at %v", f.Points[1].Y, s.Points[0].Y)
					}
					return
				}
			}
		}
	}
	t.Error("no floor line")
}

// A fault between two parts is drawn once.
func TestFaultBetweenParts(t *testing.T) {
	e := cases()[3].e
	e.Faults = nil
	for i, u := range e.Units {
		e.Faults = append(e.Faults, Fault{i + 1, u.X, AtJoint, "fail", true})
	}
	found := map[string]int{}
	for _, d := range Front(e, inSystem, 468) {
		for _, s := range d.Shapes {
			if s.Kind == Circle {
				found[s.Text]++
			}
		}
		checkClear(t, d)
	}
	for i := range e.Units {
		if n := found[fmt.Sprint(i+1)]; n != 1 {
			t.Errorf("fault %d is drawn %d times", i+1, n)
		}
	}
}

func TestScales(t *testing.T) {
	for _, c := range []struct{ most, want float64 }{{9, 8}, {4.5, 16}, {4.4, 20}, {2.25, 32}, {0.72, 100}, {0.7, 110}, {0.0001, 720000}} {
		if got := scaleFor(c.most); math.Abs(got-c.want) > 1e-6*c.want {
			t.Errorf("scaleFor(%v) = %v; want %v", c.most, got, c.want)
		}
	}
	for _, c := range []struct{ least, want float64 }{{2.25, 32}, {2.3, 30}, {100, 8}, {0.1, 100}} {
		if got := scaleWith(c.least); got != c.want {
			t.Errorf("scaleWith(%v) = %v; want %v", c.least, got, c.want)
		}
	}
	for _, c := range []struct{ most, want float64 }{{1000, 200}, {20, 20}, {19.9, 15}, {1, 1}, {0.7, 0.5}, {0.001, 0.001}} {
		if got := factorFor(c.most); got != c.want {
			t.Errorf("factorFor(%v) = %v; want %v", c.most, got, c.want)
		}
	}
}
