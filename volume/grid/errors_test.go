package grid_test

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/grid"
)

func flat(_, _ float64) (float64, bool) { return 1, true }

func TestBadGrid(t *testing.T) {
	good := grid.Layout{Along: 1, Across: 1, Rows: 2, Columns: 2}
	for _, c := range []struct {
		code string
		set  func(*grid.Layout, *grid.Options)
	}{
		{"bad_grid_origin", func(g *grid.Layout, _ *grid.Options) { g.Origin[0] = math.NaN() }},
		{"bad_grid_origin", func(g *grid.Layout, _ *grid.Options) { g.Origin[1] = math.Inf(1) }},
		{"bad_grid_bearing", func(g *grid.Layout, _ *grid.Options) { g.Bearing = math.NaN() }},
		{"bad_grid_spacing", func(g *grid.Layout, _ *grid.Options) { g.Along = 0 }},
		{"bad_grid_spacing", func(g *grid.Layout, _ *grid.Options) { g.Across = -1 }},
		{"bad_grid_spacing", func(g *grid.Layout, _ *grid.Options) { g.Across = math.NaN() }},
		{"grid_empty", func(g *grid.Layout, _ *grid.Options) { g.Rows = 0 }},
		{"grid_empty", func(g *grid.Layout, _ *grid.Options) { g.Columns = -3 }},
		{"too_many_cells", func(g *grid.Layout, _ *grid.Options) { g.Rows, g.Columns = math.MaxInt, math.MaxInt }},
		{"too_many_cells", func(g *grid.Layout, _ *grid.Options) { g.Rows, g.Columns = 2001, 2000 }},
		{"too_many_cells", func(_ *grid.Layout, o *grid.Options) { o.MaxCells = 3 }},
		{"bad_grid_limit", func(_ *grid.Layout, o *grid.Options) { o.MaxCells = -1 }},
		{"bad_grid_rule", func(_ *grid.Layout, o *grid.Options) { o.Rule = 3 }},
		{"bad_grid_rule", func(_ *grid.Layout, o *grid.Options) { o.Split = -1 }},
		{"bad_grid_rule", func(_ *grid.Layout, o *grid.Options) { o.Parts = 2 }},
		{"two_areas", func(_ *grid.Layout, o *grid.Options) {
			o.Within, o.Inside = box(0, 0, 1, 1), func(_, _ float64) bool { return true }
		}},
		{"outline_empty", func(_ *grid.Layout, o *grid.Options) { o.Within = orb.Polygon{} }},
		{"outline_crosses", func(_ *grid.Layout, o *grid.Options) {
			o.Within = orb.Polygon{{{0, 0}, {1, 1}, {1, 0}, {0, 1.5}}}
		}},
	} {
		g, o := good, grid.Options{}
		c.set(&g, &o)
		_, err := grid.Measure(t.Context(), g, flat, o)
		code(t, err, c.code)
		table := grid.Table{Layout: g, Corners: []grid.Corner{{}}}
		_, err = table.Measure(t.Context(), o)
		code(t, err, c.code)
	}
	_, err := grid.Over(orb.Polygon{}, 1, 0)
	code(t, err, "outline_empty")
	_, err = grid.Over(box(0, 0, 1e8, 1), 1e-3, 0)
	code(t, err, "too_many_cells")
	_, err = grid.Over(box(0, 0, 1, 1), math.Inf(1), 0)
	code(t, err, "bad_grid_spacing")
}

func TestBadTable(t *testing.T) {
	g := grid.Layout{Along: 1, Across: 1, Rows: 1, Columns: 1}
	for want, corners := range map[string][]grid.Corner{
		"corner_beyond":    {{Row: 2}},
		"bad_depth":        {{Depth: math.NaN()}},
		"corner_twice":     {{Depth: 1}, {Depth: 1}},
		"no_complete_cell": {{}, {Row: 1}, {Column: 1}},
	} {
		_, err := grid.Table{Layout: g, Corners: corners}.Measure(t.Context(), grid.Options{})
		code(t, err, want)
	}
}

func TestBadOrdinates(t *testing.T) {
	for want, c := range map[string]struct{ levels, areas []float64 }{
		"too_few_values":  {[]float64{1}, []float64{1}},
		"bad_interval":    {[]float64{1, 1}, []float64{1, 2}},
		"uneven_contours": {[]float64{1, 2, 4}, []float64{1, 2, 3}},
		"bad_value":       {[]float64{1, 2, 3}, []float64{1, math.NaN(), 3}},
	} {
		_, err := grid.Contours(c.levels, c.areas)
		code(t, err, want)
	}
	_, err := grid.Contours([]float64{1, math.NaN()}, []float64{1, 2})
	code(t, err, "bad_interval")
	_, err = grid.Contours([]float64{1, 2}, []float64{1, 2, 3})
	code(t, err, "too_few_values")
}

func read(t testing.TB, text string, o grid.TableOptions) (grid.Table, error) {
	t.Helper()
	if o.Grid.Along == 0 {
		o.Grid.Along, o.Grid.Across = 10, 10
	}
	return grid.ReadTable(context.Background(), strings.NewReader(text), "book.csv", o)
}

func TestReadTable(t *testing.T) {
	plane := tin.FallingPlane(orb.Point{100, 200}, 4, 0.1, 90)
	want := []grid.Corner{{0, 0, 1, 2}, {0, 1, 2, 3}, {1, 0, 3, 4}, {1, 1, 4, 5}}
	for name, c := range map[string]struct {
		text string
		o    grid.TableOptions
	}{
		"rows":            {"row,column,depth\n7,-2,1\n7,-1,2\n8,-2,3\n8,-1,4\n", grid.TableOptions{}},
		"places":          {"Northing, Easting ,depth,code\n200,100,1,x\n200.4,110,2,\n210,100,3,y\n210,109.6,4,\"a,b\"\n", grid.TableOptions{}},
		"levels":          {"row,column,level,formation\r\n0,0,5,4\r\n0,1,7,5\r\n1,0,8,5\r\n1,1,9,5\r\n", grid.TableOptions{}},
		"a plane":         {"\ufeffeasting,northing,level\n100,200,5\n110,200,5\n100,210,7\n110,210,7\n", grid.TableOptions{Formation: &plane}},
		"rows, a plane":   {"row,column,level\n0,0,5\n0,1,5\n1,0,7\n1,1,7\n", grid.TableOptions{Formation: &plane, Grid: grid.Layout{Origin: orb.Point{100, 200}, Along: 10, Across: 10}}},
		"topsoil":         {"row,column,level,formation\n0,0,5.5,4\n0,1,7.5,5\n1,0,8.5,5\n1,1,9.5,5\n", grid.TableOptions{Topsoil: 0.5}},
		"feet":            {"row,column,depth\n0,0,3.280839895013123\n0,1,6.561679790026247\n1,0,9.84251968503937\n1,1,13.12335958005249\n", grid.TableOptions{Unit: tin.Foot}},
		"another bearing": {"easting,northing,depth\n210,-100,3\n200,-100,1\n200,-110,2\n210,-110,4\n", grid.TableOptions{Grid: grid.Layout{Bearing: 90, Along: 10, Across: 10}}},
	} {
		t.Run(name, func(t *testing.T) {
			table, err := read(t, c.text, c.o)
			require.NoError(t, err)
			require.Equal(t, 1, table.Layout.Rows)
			require.Equal(t, 1, table.Layout.Columns)
			require.Len(t, table.Corners, 4)
			for i, corner := range table.Corners {
				require.Equal(t, want[i].Row, corner.Row)
				require.Equal(t, want[i].Column, corner.Column)
				require.InDelta(t, want[i].Depth, corner.Depth, 1e-12)
				if name != "another bearing" {
					require.Equal(t, want[i].Line, corner.Line)
				}
			}
			r, err := table.Measure(t.Context(), grid.Options{})
			require.NoError(t, err)
			require.InEpsilon(t, 250, r.Cut, 1e-12)
		})
	}
}

func TestReadTableErrors(t *testing.T) {
	for _, c := range []struct {
		name, text, code string
		line, column     int
	}{
		{"empty", "", "no_header", 0, 0},
		{"only comments", "# a\n#b\n", "no_header", 0, 0},
		{"only a header", "row,column,depth\n", "no_corners", 0, 0},
		{"a word", "row,column,height\n", "bad_columns", 1, 12},
		{"twice", "row,row,depth\n", "bad_columns", 1, 5},
		{"no place", "depth\n", "bad_columns", 1, 1},
		{"half a place", "row,depth\n", "bad_columns", 1, 1},
		{"half another", "easting,depth\n", "bad_columns", 1, 1},
		{"two places", "row,column,easting,northing,depth\n", "bad_columns", 1, 1},
		{"no depth", "row,column\n", "bad_columns", 1, 1},
		{"two depths", "row,column,level,depth\n", "bad_columns", 1, 1},
		{"a depth and a formation", "row,column,depth,formation\n", "bad_columns", 1, 1},
		{"no formation", "row,column,level\n", "no_formation", 1, 1},
		{"letters", "row,column,depth\n0,0,1\n0,B,1\n", "bad_number", 3, 3},
		{"half a row", "row,column,depth\n0.5,0,1\n", "bad_number", 2, 1},
		{"a far row", "row,column,depth\n0,0,1\n99999999999,1,1\n", "bad_number", 3, 1},
		{"not a number", "row,column,depth\n0,0,NaN\n", "bad_number", 2, 5},
		{"sixteens", "row,column,depth\n0,0,0x10p0\n", "bad_number", 2, 5},
		{"an underscore", "row,column,depth\n0,0,1_0\n", "bad_number", 2, 5},
		{"infinite", "row,column,depth\n0,0,-Inf\n", "bad_number", 2, 5},
		{"no number", "row,column,depth\n0,0,\n", "bad_number", 2, 5},
		{"a decimal comma", "row,column,depth\n0,0,1,5\n", "bad_fields", 2, 1},
		{"too few", "row,column,depth\n0,0\n", "bad_fields", 2, 1},
		{"a quote", "row,column,depth\n0,0,1\"\n", "bad_csv", 2, 6},
		{"an open quote", "row,column,depth\n0,0,\"1\n", "bad_csv", 2, 0},
		{"twice a corner", "row,column,depth\n0,0,1\n0,0,1\n1,1,2\n", "corner_twice", 3, 0},
		{"far apart", "row,column,depth\n-1000000000,-1000000000,1\n1000000000,1000000000,1\n", "too_many_cells", 0, 0},
		{"one corner", "row,column,depth\n0,0,1\n", "grid_empty", 0, 0},
		{"off the grid", "easting,northing,depth\n0,0,1\n10,0,1\n0,10,1\n10,11,1\n", "corner_off_grid", 5, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := read(t, c.text, grid.TableOptions{})
			e := code(t, err, c.code)
			require.Equal(t, "book.csv", e.File)
			require.Equal(t, c.line, e.Line, e.Error())
			if c.column > 0 {
				require.Equal(t, c.column, e.Column, e.Error())
			}
		})
	}
	level, inf := tin.LevelPlane(2), tin.LevelPlane(math.Inf(1))
	for text, o := range map[string]grid.TableOptions{ // given, and used for nothing
		"row,column,depth\n0,0,1\n0,1,1\n1,0,1\n1,1,1\n":                   {Formation: &level},
		"row,column,depth\n0,0,2\n0,1,2\n1,0,2\n1,1,2\n":                   {Topsoil: 0.1},
		"row,column,level,formation\n0,0,1,0\n0,1,1,0\n1,0,1,0\n1,1,1,0\n": {Formation: &level},
	} {
		_, err := read(t, text, o)
		require.Equal(t, 1, code(t, err, "bad_columns").Line)
	}
	for want, o := range map[string]grid.TableOptions{
		"bad_grid_spacing": {Grid: grid.Layout{Along: -1}},
		"bad_formation":    {Formation: &inf},
		"bad_grid_limit":   {MaxCells: -1},
		"too_many_corners": {MaxCells: 1},
	} {
		_, err := read(t, "row,column,depth\n"+strings.Repeat("0,0,1\n", 10), o)
		code(t, err, want)
	}
	_, err := read(t, "row,column,depth\n"+strings.Repeat("#"+strings.Repeat("x", 500)+"\n", 100), grid.TableOptions{MaxCells: 1})
	code(t, err, "too_many_bytes")
	broken := errors.New("broken")
	_, err = grid.ReadTable(t.Context(), iotest.ErrReader(broken), "x", grid.TableOptions{Grid: grid.Layout{Along: 1, Across: 1}})
	require.ErrorIs(t, err, broken)
}

func TestCancelled(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := grid.Measure(ctx, grid.Layout{Along: 1, Across: 1, Rows: 1, Columns: 1}, flat, grid.Options{})
	require.ErrorIs(t, err, context.Canceled)
	// In the middle of a single long row too.
	ctx, cancel = context.WithCancel(t.Context())
	asked := 0
	_, err = grid.Measure(ctx, grid.Layout{Along: 1, Across: 1, Rows: 1, Columns: 1_000_000}, func(_, _ float64) (float64, bool) {
		if asked++; asked == 100 {
			cancel()
		}
		return 1, true
	}, grid.Options{})
	require.ErrorIs(t, err, context.Canceled)
	require.Less(t, asked, 5000)
	_, err = grid.ReadTable(ctx, strings.NewReader("row,column,depth\n0,0,1\n"), "x", grid.TableOptions{Grid: grid.Layout{Along: 1, Across: 1}})
	require.ErrorIs(t, err, context.Canceled)
}

// Whatever the text, reading and measuring end in a table that holds every
// corner, or in a named error.
func FuzzReadTable(f *testing.F) {
	for _, text := range []string{
		"row,column,depth\n0,0,1\n0,1,2\n1,0,3\n1,1,-4\n",
		"easting,northing,level,formation\n0,0,1,0\n10,0,1,0\n0,10,1,0\n10.4,10,1,0\n",
		"\ufeffrow,column,level\n#x\n0,0,\"1\"\n", "row,column,depth\n0,0,1e308\n", "row,column,depth\n1000000000,0,1\n-1000000000,0,1\n",
		"easting,northing,depth\n1e9,-1e9,1\n-1e9,1e9,1\n", "number,row,column,depth\n\"a\nb\",0,0,1\n",
	} {
		f.Add(text, 10.0, 0.0)
	}
	f.Fuzz(func(t *testing.T, text string, side, bearing float64) {
		o := grid.TableOptions{Grid: grid.Layout{Along: side, Across: side, Bearing: bearing}, MaxCells: 1000}
		if plane := tin.LevelPlane(0); !strings.Contains(text, "depth") && !strings.Contains(text, "formation") {
			o.Formation = &plane
		}
		var e *tin.InputError
		table, err := grid.ReadTable(t.Context(), strings.NewReader(text), "f.csv", o)
		if err != nil {
			require.ErrorAs(t, err, &e)
			require.NotEmpty(t, e.Code)
			return
		}
		r, err := table.Measure(t.Context(), grid.Options{Halve: true})
		if err != nil {
			require.ErrorAs(t, err, &e)
			require.NotEmpty(t, e.Code)
			return
		}
		require.Positive(t, r.Cells)
		require.InDelta(t, r.CutLessFill, r.Cut-r.Fill, 1e-9*(r.Cut+r.Fill))
		require.False(t, math.IsNaN(r.Cut+r.Fill+r.CutLessFill))
	})
}
