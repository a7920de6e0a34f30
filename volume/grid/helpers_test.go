package grid_test

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/grid"
)

const (
	foot  = 0.3048
	foot3 = foot * foot * foot
	yard3 = 27.0 // cubic feet
)

func box(e0, n0, e1, n1 float64) orb.Polygon {
	return orb.Polygon{{{e0, n0}, {e1, n0}, {e1, n1}, {e0, n1}, {e0, n0}}}
}

// around turns a polygon about a place, degrees clockwise.
func around(p orb.Polygon, at orb.Point, degrees float64) orb.Polygon {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	out := make(orb.Polygon, len(p))
	for i, ring := range p {
		for _, c := range ring {
			e, n := c[0]-at[0], c[1]-at[1]
			out[i] = append(out[i], orb.Point{at[0] + e*cos + n*sin, at[1] - e*sin + n*cos})
		}
	}
	return out
}

// polygonArea is the area of a polygon with holes, by the shoelace rule.
func polygonArea(p orb.Polygon) float64 {
	area := 0.0
	for i, ring := range p {
		sum := 0.0
		for j, a := range ring {
			b := ring[(j+1)%len(ring)]
			sum += (a[0]-ring[0][0])*(b[1]-ring[0][1]) - (b[0]-ring[0][0])*(a[1]-ring[0][1])
		}
		if i == 0 {
			area += math.Abs(sum) / 2
		} else {
			area -= math.Abs(sum) / 2
		}
	}
	return area
}

// over lays a grid over an outline and measures it.
func over(t testing.TB, outline orb.Polygon, side, bearing float64, depths grid.Depths, o grid.Options) grid.Result {
	t.Helper()
	g, err := grid.Over(outline, side, bearing)
	require.NoError(t, err)
	o.Within = outline
	r, err := grid.Measure(t.Context(), g, depths, o)
	require.NoError(t, err)
	return r
}

// options are all rules and splits.
func options() (all []grid.Options) {
	for rule := grid.Square; rule <= grid.TrianglesFalling; rule++ {
		for split := grid.ZeroLine; split <= grid.FourPoint; split++ {
			all = append(all, grid.Options{Rule: rule, Split: split})
		}
	}
	return all
}

// roughGround is n spots at random over a square of some 1 m2 each, on rolling
// ground.
func roughGround(t testing.TB, n int, seed uint64) *tin.Surface {
	t.Helper()
	rng := rand.New(rand.NewPCG(uint64(n), seed))
	width := math.Sqrt(float64(n))
	points := make([]tin.Point, n)
	for i := range points {
		e, no := width*rng.Float64(), width*rng.Float64()
		z := 10 + 2*math.Sin(e/40) + 2*math.Cos(no/55) + 0.1*rng.Float64()
		points[i] = tin.Point{E: 300000 + milli(e), N: 5800000 + milli(no), Level: milli(z)}
	}
	s, err := tin.Build(t.Context(), []tin.Source{{Points: points}}, tin.Options{Duplicates: tin.DuplicatesFirst})
	require.NoError(t, err)
	return s
}

func milli(v float64) float64 { return math.Round(v*1000) / 1000 }

// row prints a row of docs/checks.md.
func row(t *testing.T, what string, published any, ours, difference float64) {
	t.Helper()
	t.Logf("| %s | %v | %.15g | %.1e | `%s` |", what, published, ours, difference, t.Name())
}

// code holds an error to its code and to having a message and a hint.
func code(t *testing.T, err error, want string) *tin.InputError {
	t.Helper()
	var e *tin.InputError
	require.ErrorAs(t, err, &e)
	require.Equal(t, want, e.Code, e.Message)
	require.NotEmpty(t, e.Message)
	require.NotEmpty(t, e.Hint)
	return e
}

// checkValue is an entry of testdata/reference/check-values.json.
type checkValue struct {
	ID         string
	Given      map[string]any
	Rows       [][]any
	Cells      []string
	Printed    map[string]any
	Recomputed map[string]any
}

func checkNamed(t *testing.T, id string) checkValue {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", "..", "testdata", "reference", "check-values.json"))
	require.NoError(t, err)
	var file struct{ Checks []checkValue }
	require.NoError(t, json.Unmarshal(text, &file))
	for _, c := range file.Checks {
		if c.ID == id {
			return c
		}
	}
	t.Fatalf("no check value %s", id)
	return checkValue{}
}
