package takeoff_test

import (
	"math"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/takeoff"
)

func pegs(t *testing.T, text string, o takeoff.CornersOptions) (*takeoff.CornersResult, error) {
	t.Helper()
	return takeoff.MeasureCorners(t.Context(), takeoff.DataFile{FS: fstest.MapFS{"pegs.csv": {Data: []byte(text)}}, Name: "pegs.csv"}, o, takeoff.Limits{})
}

// Six corners 10 apart, 1, 2 and 3 deep from one side to the other, in both units: two
// cells of 1.5 and 2.5 over 100. The corners in the middle count twice.
func TestMeasureCorners(t *testing.T) {
	const text = "row,column,level\n0,0,11\n0,1,12\n0,2,13\n1,0,11\n1,1,12\n1,2,13\n"
	level := 10.0
	for unit, per := range map[tin.Unit]float64{tin.Metre: 1, tin.Foot: 27} {
		r, err := pegs(t, text, takeoff.CornersOptions{Unit: unit, Spacing: 10, Formation: &level})
		require.NoError(t, err)
		assert.InEpsilon(t, 400/per, r.Total.Cut, 1e-12)
		assert.InEpsilon(t, 200, r.Total.Area, 1e-12)
		assert.InEpsilon(t, 3, r.Total.MaxCutDepth, 1e-12)
		assert.Zero(t, r.Total.Fill)
		require.Len(t, r.Weights, 2)
		assert.Equal(t, []int{1, 4, 2, 2}, []int{r.Weights[0].Meet, r.Weights[0].Corners, r.Weights[1].Meet, r.Weights[1].Corners})
		assert.InEpsilon(t, 8, r.Weights[1].Product, 1e-12)
		assert.InEpsilon(t, 16, r.Weighed, 1e-12)
		assert.Equal(t, []string{"square", "zero-line"}, []string{r.Rule, r.Split})
		assert.Len(t, r.Corners, 6)
		assert.Len(t, r.Inputs, 1)
	}
	r, err := pegs(t, text, takeoff.CornersOptions{Unit: tin.Metre, Spacing: 10, Across: 5, Topsoil: 0.5, Formation: &level, Rule: takeoff.RuleFalling})
	require.NoError(t, err)
	assert.InEpsilon(t, 150, r.Total.Cut, 1e-12)
	assert.Equal(t, 6, r.Weights[0].Share)
}

func TestMeasureCornersErrors(t *testing.T) {
	nan := math.NaN()
	const text = "row,column,depth\n0,0,1\n0,1,1\n1,0,1\n1,1,1\n"
	for _, tt := range []struct {
		o    takeoff.CornersOptions
		key  string
		code string
	}{
		{takeoff.CornersOptions{}, "spacing", "bad_value"}, {takeoff.CornersOptions{Spacing: nan}, "spacing", "bad_value"},
		{takeoff.CornersOptions{Spacing: 1, Across: -1}, "across", "bad_value"}, {takeoff.CornersOptions{Spacing: 1, Bearing: 1000}, "bearing", "bad_value"},
		{takeoff.CornersOptions{Spacing: 1, Formation: &nan}, "formation", "bad_value"}, {takeoff.CornersOptions{Spacing: 1, Topsoil: -1}, "topsoil", "bad_value"},
		{takeoff.CornersOptions{Spacing: 1, Rule: "x"}, "rule", "bad_value"}, {takeoff.CornersOptions{Spacing: 1, Split: "x"}, "split", "bad_value"},
	} {
		_, err := pegs(t, text, tt.o)
		var e *tin.InputError
		require.ErrorAs(t, err, &e)
		assert.Equal(t, []string{tt.code, tt.key}, []string{e.Code, e.Key})
		assert.NotEmpty(t, e.Hint)
	}
	for text, code := range map[string]string{
		"": "no_header", "row,column,depth\n0,0,1\n0,0,1\n1,1,1\n": "corner_twice", "row,column,depth\n0,0,1\n1,1,1\n": "no_complete_cell",
	} {
		_, err := pegs(t, text, takeoff.CornersOptions{Spacing: 1})
		var e *tin.InputError
		require.ErrorAs(t, err, &e, text)
		assert.Equal(t, []string{code, "pegs.csv"}, []string{e.Code, e.File})
	}
	_, err := takeoff.MeasureCorners(t.Context(), takeoff.DataFile{FS: fstest.MapFS{}, Name: "pegs.csv"}, takeoff.CornersOptions{Spacing: 1}, takeoff.Limits{})
	require.Error(t, err)
}
