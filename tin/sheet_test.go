package tin_test

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
)

var sheetGround = []tin.Point{{E: 0, N: 0, Level: 10}, {E: 40, N: 0, Level: 10}, {E: 40, N: 40, Level: 14}, {E: 0, N: 40, Level: 14}, {E: 20, N: 10, Level: 11}}

// A surface with limits has two sheets; a box reaches the triangles round it, and levels
// are the surface's.
func TestSheetsOfSurface(t *testing.T) {
	s, err := tin.Build(t.Context(), []tin.Source{{Points: sheetGround}}, tin.Options{
		Boundary: orb.MultiPolygon{{{{5, 5}, {35, 5}, {35, 35}, {5, 35}, {5, 5}}}},
		Voids:    orb.MultiPolygon{{{{10, 20}, {15, 20}, {15, 25}, {10, 25}, {10, 20}}}},
	})
	require.NoError(t, err)
	sheets, err := s.Sheets(s.Frame())
	require.NoError(t, err)
	require.Len(t, sheets, 2)
	assert.False(t, sheets[0].KnownBeyond())
	assert.False(t, sheets[1].KnownBeyond())
	assert.Len(t, sheets[1].Rim(), 4)

	at := func(sheet *tin.Sheet, e, n float64) (found []tin.SheetTriangle) {
		x, y := s.Frame().Local(orb.Point{e, n})
		sheet.Reach(orb.Bound{Min: orb.Point{x - 1, y - 1}, Max: orb.Point{x + 1, y + 1}}, func(t *tin.SheetTriangle) bool {
			found = append(found, *t)
			return true
		})
		return found
	}
	for _, c := range []struct {
		e, n  float64
		known bool
	}{{6, 7, true}, {12, 22, false}, {30, 30, true}} {
		for _, tri := range at(sheets[0], c.e, c.n) {
			x, y := s.Frame().Local(orb.Point{c.e, c.n})
			if surrounds(&tri, x, y) {
				assert.Equal(t, c.known, tri.Known, "%v", c)
			}
		}
		level, ok := s.LevelAt(c.e, c.n)
		assert.Equal(t, c.known, ok)
		for _, tri := range at(sheets[1], c.e, c.n) {
			if x, y := s.Frame().Local(orb.Point{c.e, c.n}); ok && surrounds(&tri, x, y) {
				assert.InDelta(t, level, tri.LevelAt(x, y), 1e-12)
			}
		}
	}
}

func surrounds(t *tin.SheetTriangle, x, y float64) bool {
	for k := range t.Corner {
		a, b := t.Corner[k], t.Corner[(k+1)%3]
		if (b.X-a.X)*(y-a.Y)-(b.Y-a.Y)*(x-a.X) < 0 {
			return false
		}
	}
	return true
}

// Voids alone leave what is beyond their sheet known; polygons may overlap and have holes.
func TestSheetOfPolygons(t *testing.T) {
	s, err := tin.Build(t.Context(), []tin.Source{{Points: sheetGround}}, tin.Options{Voids: orb.MultiPolygon{{{{10, 20}, {15, 20}, {15, 25}, {10, 25}, {10, 20}}}}})
	require.NoError(t, err)
	sheets, err := s.Sheets(s.Frame())
	require.NoError(t, err)
	assert.True(t, sheets[0].KnownBeyond())

	sheet, err := tin.PolygonSheet(s.Frame(), []orb.Polygon{
		{{{0, 0}, {10, 0}, {10, 10}, {0, 10}, {0, 0}}, {{1, 1}, {2, 1}, {2, 2}, {1, 2}, {1, 1}}}, {{{5, 5}, {15, 5}, {15, 15}, {5, 15}, {5, 5}}},
	})
	require.NoError(t, err)
	assert.True(t, sheet.KnownBeyond())
	area := map[string]float64{}
	for tri := range sheet.Triangles() {
		a, b, c := tri.Corner[0], tri.Corner[1], tri.Corner[2]
		key := ""
		for _, k := range tri.In {
			key += string(rune('a' + k))
		}
		area[key] += ((b.X-a.X)*(c.Y-a.Y) - (b.Y-a.Y)*(c.X-a.X)) / 2 * s.Frame().Area()
	}
	assert.InDelta(t, 74, area["a"], 1e-9)
	assert.InDelta(t, 75, area["b"], 1e-9)
	assert.InDelta(t, 25, area["ab"], 1e-9)

	_, err = tin.PolygonSheet(s.Frame(), []orb.Polygon{{{{0, 0}, {1, 1}, {1, 0}, {0, 1}, {0, 0}}}})
	require.Error(t, err)
}
