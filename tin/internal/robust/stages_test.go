package robust

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// orientStage tells which stage answers for the first three points.
func orientStage(q four) int {
	if _, ok := orientFilter(q[0], q[1], q[2], q[3], q[4], q[5]); ok {
		return 1
	}
	if _, ok := orientExactDiffs(q[0], q[1], q[2], q[3], q[4], q[5]); ok {
		return 2
	}
	return 3
}

// inCircleStage tells which stage answers: 1 filter, 2 short differences, 3 exact
// differences, 4 expansion.
func inCircleStage(q four) int {
	if _, ok := inCircleFilter(q[0], q[1], q[2], q[3], q[4], q[5], q[6], q[7]); ok {
		return 1
	}
	var d differences
	if !d.set(q[0], q[1], q[2], q[3], q[4], q[5], q[6], q[7]) {
		return 4
	}
	if _, ok := d.inCircleShort(); ok {
		return 2
	}
	return 3
}

// The limits are several times what is seen; a bound set too large passes them.
func TestFilterDecidesNearlyAll(t *testing.T) {
	const n = 100_000
	for _, c := range []struct {
		name             string
		make             func(*rand.Rand) four
		orient, inCircle int // most calls the filter may leave open
	}{
		{"random", randomFour, 2, 2},
		{"random at map offset", moved(randomFour, 6e6), 2, 2},
		{"random whole", wholeFour, 2, 2},
		// Off the circle or the line by about 1e-9 m on 10 m or more, now and then
		// by nothing.
		{"circle at map offset", circleFour(456789.1, 5678901.3, 10), 2, 10},
		{"line at map offset", moved(nearLine, 4e6), 100, 400},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := rand.New(rand.NewPCG(7, 8))
			orient, inCircle := 0, 0
			for range n {
				q := c.make(r)
				if orientStage(q) > 1 {
					orient++
				}
				if inCircleStage(q) > 1 {
					inCircle++
				}
			}
			t.Logf("left open: Orient %d, InCircle %d of %d", orient, inCircle, n)
			assert.LessOrEqual(t, orient, c.orient)
			assert.LessOrEqual(t, inCircle, c.inCircle)
		})
	}
}

func moved(f func(*rand.Rand) four, by float64) func(*rand.Rand) four {
	return func(r *rand.Rand) four {
		q := f(r)
		for i := range q {
			q[i] += by
		}
		return q
	}
}

// gridQuads calls f with the points of a grid that a triangulation asks about: a
// cell in every turn, and a cell side with two points further off.
func gridQuads(cols, rows int, f func(p [4][2]int)) {
	for i := range cols - 2 {
		for j := range rows - 2 {
			f([4][2]int{{i, j}, {i + 1, j}, {i + 1, j + 1}, {i, j + 1}})
			f([4][2]int{{i + 1, j}, {i + 1, j + 1}, {i, j + 1}, {i, j}})
			f([4][2]int{{i, j}, {i + 1, j}, {i + 1, j + 1}, {i + 2, j + 1}})
			f([4][2]int{{i, j}, {i + 1, j}, {i, j + 1}, {i + 1, j + 2}})
			f([4][2]int{{i, j}, {i + 1, j + 1}, {i, j + 2}, {i + 2, j}}) // a right-angled triangle and its double
		}
	}
}

// On a square grid the filter must fail for ties and for nothing else; what follows
// must be the cheap stage wherever differences are exact.
func TestStagesOnGrids(t *testing.T) {
	const cols, rows = 60, 50
	for _, c := range []struct {
		name      string
		e, n      float64
		step      float64
		expansion bool // whether stage 4, or 3 for Orient, is allowed
	}{
		{"5 m, whole metres", 0, 0, 5, false},
		{"5 m at map offset", 456785, 5678900, 5, false},
		{"decimals at map offset", 456789.1, 5678901.3, 0.1, false},
		{"three decimals at map offset", 456789.123, 5678901.321, 2.345, false},
		{"decimals at 6e6", 6e6 + 0.7, 6e6 + 0.1, 0.3, false},
		// Near zero differences such as 0.4 - 0.1 are rounded.
		{"decimals near zero", 0.1, 0.3, 0.1, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			at := func(p [2]int) (x, y float64) {
				return c.e + float64(float64(p[0])*c.step), c.n + float64(float64(p[1])*c.step)
			}
			calls, tied := 0, 0
			var inCircle [5]int
			gridQuads(cols, rows, func(p [4][2]int) {
				var q four
				for k := range 4 {
					q[2*k], q[2*k+1] = at(p[k])
				}
				calls++
				stage := inCircleStage(q)
				inCircle[stage]++
				if inCircleOf(q) == 0 {
					tied++
					assert.Greater(t, stage, 1)
				}
			})
			unsure := calls - inCircle[1]
			assert.GreaterOrEqual(t, tied, 2*calls/5, "cells are ties")
			if c.expansion {
				// A few near-ties: up to one in a hundred calls.
				assert.LessOrEqual(t, unsure-tied, calls/100)
				assert.LessOrEqual(t, inCircle[4], calls/5)
			} else {
				assert.Equal(t, tied, unsure, "the filter fails for ties only")
				assert.Zero(t, inCircle[4])
			}

			// Rows, columns and diagonals.
			var orient [4]int
			for i := range cols - 2 {
				for j := range rows - 2 {
					for _, d := range [][2]int{{1, 0}, {0, 1}, {1, 1}} {
						var q four
						for k := range 3 {
							q[2*k], q[2*k+1] = at([2]int{i + k*d[0], j + k*d[1]})
						}
						orient[orientStage(q)]++
					}
				}
			}
			assert.Positive(t, orient[2])
			if !c.expansion {
				assert.Zero(t, orient[3])
			}
			t.Logf("InCircle stages %v, ties %d; Orient stages %v", inCircle[1:], tied, orient[1:])
		})
	}
}

// The same grids in whole units: the last step of InCircleWhole runs for ties only,
// and as paper has them, in whole units every cell is a tie.
func TestWholeLaneOnGrids(t *testing.T) {
	for _, c := range []struct {
		name    string
		e, n, s float64
	}{
		{"0.1 m in millimetres", 100, 300, 100},
		{"2.345 m in tenths of a millimetre", 1230, 3210, 23450},
	} {
		t.Run(c.name, func(t *testing.T) {
			calls, tied, integer := 0, 0, 0
			gridQuads(60, 50, func(p [4][2]int) {
				var q four
				for k := range 4 {
					q[2*k], q[2*k+1] = c.e+float64(p[k][0])*c.s, c.n+float64(p[k][1])*c.s
				}
				calls++
				if inCircleWholeOf(q) == 0 {
					tied++
				}
				if _, ok := wholeFirstStep(q); !ok {
					integer++
				}
			})
			assert.GreaterOrEqual(t, tied, 2*calls/5)
			assert.Equal(t, tied, integer)
		})
	}
}
