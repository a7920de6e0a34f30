package pointfile_test

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/pointfile"
)

func TestWrite(t *testing.T) {
	points := []tin.Point{
		{Name: "1", E: 312540.125, N: 5812300, Level: 62.5, Code: "GRD"},
		{Name: "#2", E: 0.1, N: -1e-7, Level: math.NaN()},
		{Name: "a,b", E: 1, N: 2, Level: math.Copysign(0, -1), Code: `3" PIPE`},
		{E: 1e9, N: 2, Level: 0, Code: " wet "},
		{Name: ";", E: 5e-324, N: 2, Level: 0, Code: "//"},
	}
	var b bytes.Buffer
	require.NoError(t, pointfile.Write(&b, points))
	want := `number,easting,northing,level,code
1,312540.125,5812300,62.5,GRD
"#2",0.1,-0.0000001,,
"a,b",1,2,-0,"3"" PIPE"
,1000000000,2,0," wet "
`
	assert.True(t, strings.HasPrefix(b.String(), want), b.String())
	f, err := pointfile.Read(t.Context(), &b, "w.csv", pointfile.Options{})
	require.NoError(t, err)
	for i := range points {
		points[i].Line = int32(i + 2)
	}
	assert.Equal(t, flat(points), flat(f.Points))
}

func TestWriteErrors(t *testing.T) {
	tests := []struct {
		point tin.Point
		says  string
	}{
		{tin.Point{E: math.NaN()}, "easting NaN"},
		{tin.Point{N: math.Inf(1)}, "northing +Inf"},
		{tin.Point{E: 1e10}, "beyond"},
		{tin.Point{Level: math.Inf(-1)}, "level -Inf"},
		{tin.Point{Level: -999}, "missing"},
		{tin.Point{Name: "a\nb"}, "control"},
		{tin.Point{Code: "a\tb"}, "control"},
		{tin.Point{Code: "\xC4"}, "UTF-8"},
		{tin.Point{Code: strings.Repeat("x", 1<<17)}, "longer"},
	}
	for _, tt := range tests {
		err := pointfile.Write(&bytes.Buffer{}, []tin.Point{{}, tt.point})
		require.ErrorContains(t, err, tt.says)
		assert.ErrorContains(t, err, "point 2")
	}
}

func FuzzWriteRead(f *testing.F) {
	f.Add("1", "GRD", 500.5, 600.25, 7.125)
	f.Add(`"a", b`, "  ", -0.1, 1e9, math.NaN())
	f.Add("//", `"`, 5e-324, 1e-300, 0.0)
	f.Fuzz(func(t *testing.T, name, code string, e, n, z float64) {
		points := []tin.Point{{Name: name, Code: code, E: e, N: n, Level: z, Line: 2}}
		var b bytes.Buffer
		if pointfile.Write(&b, points) != nil {
			return
		}
		got, err := pointfile.Read(t.Context(), &b, "w.csv", pointfile.Options{})
		require.NoError(t, err)
		require.Len(t, got.Points, 1)
		p := got.Points[0]
		assert.Equal(t, []string{name, code}, []string{p.Name, p.Code})
		for _, v := range [][2]float64{{e, p.E}, {n, p.N}, {z, p.Level}} {
			if !math.IsNaN(v[0]) || !math.IsNaN(v[1]) {
				assert.Equal(t, math.Float64bits(v[0]), math.Float64bits(v[1]))
			}
		}
	})
}

func FuzzRead(f *testing.F) {
	f.Add("number,easting,northing,level,code\n1,500,600,7.5,GRD\n", "")
	f.Add("1;500,5;600,5;7,5;\"a;b\"\r\n\r\n;;;\r#c\r", penzd)
	f.Add("\xEF\xBB\xBFe n z\n1 2 ***\n\x1a", "")
	f.Add("a,1e2,-.5,+5.,\"\n", penzd)
	f.Add("1,500 000,1'000,1,234\n", penzd)
	f.Add("lat,lon\n1,2\n", "")
	f.Fuzz(func(t *testing.T, text, columns string) {
		got, err := pointfile.Read(t.Context(), strings.NewReader(text), "f.csv", pointfile.Options{Columns: columns, MaxPoints: 10000})
		if err != nil {
			var input *tin.InputError
			require.ErrorAs(t, err, &input)
			require.NotEmpty(t, input.Code)
			require.NotEmpty(t, input.Hint)
			return
		}
		require.NotEmpty(t, got.Points)
		assertSum(t, got)
		for _, p := range got.Points {
			require.LessOrEqual(t, math.Abs(p.E), 1e9)
			require.LessOrEqual(t, math.Abs(p.N), 1e9)
			require.True(t, !p.HasLevel() || math.Abs(p.Level) <= 1e9)
			require.Positive(t, p.Line)
		}
	})
}
