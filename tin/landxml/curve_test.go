package landxml_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/landxml"
)

// feature reads the parts of one line, in the unit given.
func feature(t *testing.T, parts, unit string, opts landxml.Options) landxml.Feature {
	t.Helper()
	text := `<LandXML version="1.2"><Units><Metric linearUnit="` + unit + `"/></Units><PlanFeatures><PlanFeature name="f"><CoordGeom>` + parts + `</CoordGeom></PlanFeature></PlanFeatures></LandXML>`
	f, err := read(text, opts)
	require.NoError(t, err)
	require.Len(t, f.Features, 1)
	return f.Features[0]
}

func arc(rot string, startN, startE, centerN, centerE, endN, endE float64) string {
	return fmt.Sprintf(`<Curve rot="%s"><Start>%v %v 10</Start><Center>%v %v</Center><End>%v %v 20</End></Curve>`, rot, startN, startE, centerN, centerE, endN, endE)
}

func TestCurves(t *testing.T) {
	tests := []struct {
		name, part string
		radius     float64
		middle     orb.Point
		sweep      float64 // degrees
	}{
		{"a quarter to the left", arc("ccw", 0, 10, 0, 0, 10, 0), 10, orb.Point{10 * math.Sqrt2 / 2, 10 * math.Sqrt2 / 2}, 90},
		{"the rest to the right", arc("cw", 0, 10, 0, 0, 10, 0), 10, orb.Point{-10 * math.Sqrt2 / 2, -10 * math.Sqrt2 / 2}, 270},
		{"a half", arc("cw", 0, -10, 0, 0, 0, 10), 10, orb.Point{0, 10}, 180},
		{"full circle", arc("ccw", 0, 10, 0, 0, 0, 10), 10, orb.Point{-10, 0}, 360},
		{"full circle the other way", arc("cw", 0, 10, 0, 0, 0, 10), 10, orb.Point{-10, 0}, 360},
		{"far away", arc("ccw", 5812000, 312010, 5812000, 312000, 5812010, 312000), 10, orb.Point{312000 + 10*math.Sqrt2/2, 5812000 + 10*math.Sqrt2/2}, 90},
	}
	for _, tt := range tests {
		for _, sagitta := range []float64{0, 0.1, 20} {
			t.Run(fmt.Sprint(tt.name, " ", sagitta), func(t *testing.T) {
				f := feature(t, tt.part, "meter", landxml.Options{Sagitta: sagitta})
				require.NoError(t, f.Err)
				n := len(f.Vertices)
				assert.Equal(t, 10.0, f.Vertices[0].Level)
				assert.Equal(t, 20.0, f.Vertices[n-1].Level)
				worst, far := 0.0, math.Inf(1)
				length := 0.0
				for i := 1; i < n; i++ {
					chord := math.Hypot(f.Vertices[i].E-f.Vertices[i-1].E, f.Vertices[i].N-f.Vertices[i-1].N)
					worst = max(worst, tt.radius-math.Sqrt(tt.radius*tt.radius-chord*chord/4))
					length += 2 * tt.radius * math.Asin(chord/2/tt.radius)
					far = min(far, planar.DistanceFromSegment(orb.Point{f.Vertices[i-1].E, f.Vertices[i-1].N}, orb.Point{f.Vertices[i].E, f.Vertices[i].N}, tt.middle))
				}
				assert.InEpsilon(t, tt.radius*tt.sweep*math.Pi/180, length, 1e-6, "the arc goes the right way round")
				if sagitta == 0 {
					sagitta = 0.001
				}
				assert.LessOrEqual(t, worst, sagitta*(1+1e-6))
				assert.LessOrEqual(t, far, sagitta+1e-9)
				assert.GreaterOrEqual(t, n-1, int(math.Round(tt.sweep/45)), "never coarser than an eighth of a circle")
			})
		}
	}
}

// The bound between arc and chords is in metres, the coordinates in the unit of the file.
func TestCurveUnit(t *testing.T) {
	part := arc("ccw", 0, 10000, 0, 0, 10000, 0)
	assert.Len(t, feature(t, part, "millimeter", landxml.Options{}).Vertices, len(feature(t, arc("ccw", 0, 10, 0, 0, 10, 0), "meter", landxml.Options{}).Vertices))
	assert.Greater(t, len(feature(t, part, "meter", landxml.Options{}).Vertices), 1000)
}

func TestFeatureFaults(t *testing.T) {
	line := func(a, b string) string { return "<Line><Start>" + a + "</Start><End>" + b + "</End></Line>" }
	tests := []struct{ name, parts, code string }{
		{"no part", "", "short_feature"},
		{"one point", "<Chain/>", "short_feature"},
		{"a spiral", "<Spiral/>", "spiral"},
		{"something else", "<Clothoid/>", "unknown_line"},
		{"no end", "<Line><Start>1 2</Start></Line>", "bad_line"},
		{"no start", "<Curve rot='cw'><End>1 2</End></Curve>", "bad_line"},
		{"unknown point", `<Line><Start pntRef="x"/><End>1 2</End></Line>`, "unknown_point"},
		{"unknown point of a chain", "<Chain>x y</Chain>", "unknown_point"},
		{"a gap", line("0 0", "0 10") + line("0 10.002", "10 10"), "feature_gap"},
		{"no centre", `<Curve rot="cw"><Start>0 0</Start><End>1 2</End></Curve>`, "bad_curve"},
		{"no direction", `<Curve><Start>0 0</Start><Center>1 0</Center><End>2 0</End></Curve>`, "bad_curve"},
		{"two radii", arc("cw", 0, 0, 0, 10, 0, 20.1), "bad_curve"},
		{"no radius", arc("cw", 0, 0, 0, 0, 0, 0), "bad_curve"},
		{"a vast circle", arc("cw", 0, 0, 0, 5e8, 0, 1e9), "bad_curve"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			f := feature(t, tt.parts, "meter", landxml.Options{})
			var e *tin.InputError
			require.True(t, errors.As(f.Err, &e))
			assert.Equal(t, tt.code, e.Code)
			assert.Empty(t, f.Vertices)
			assert.False(t, f.Closed)
		})
	}
	f := feature(t, line("0 0", "0 10 5")+line("0 10.0009", "10 10")+line("10 10", "0.0005 0"), "meter", landxml.Options{})
	require.NoError(t, f.Err)
	assert.True(t, f.Closed)
	assert.Equal(t, orb.Ring{{0, 0}, {10, 0}, {10, 10}, {0, 0}}, f.Ring())
	assert.Equal(t, 5.0, f.Vertices[1].Level)
}

// The list of an irregular line may hold the ends of the line, or not.
func TestIrregularLine(t *testing.T) {
	want := orb.Ring{{0, 0}, {5, 1}, {10, 0}}
	for _, list := range []string{"0 0 1 5 0 10", "1 5", "0 0 1 5", "1 5 0 10"} {
		f := feature(t, "<IrregularLine><Start>0 0</Start><End>0 10</End><PntList2D>"+list+"</PntList2D></IrregularLine>", "meter", landxml.Options{})
		require.NoError(t, f.Err)
		assert.Equal(t, want, f.Ring(), list)
		assert.False(t, f.Closed)
	}
}
