package tin_test

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
)

// crossed is a line at 1 in 3 and one that crosses it at (47 1/32, 22 11/32),
// which is rounded to four decimals.
func crossed() (long, across tin.Breakline) {
	return line("long", 10, 10, 12, 100, 40, 12), line("across", 45, 0, 12, 52, 77, 12)
}

// A spot exactly on a line is on it even where a crossing elsewhere, which is
// no whole unit, bends the line.
func TestSpotOnALineThatIsCrossed(t *testing.T) {
	points := append(square(), spot(40, 20, 12.01, 5), spot(70, 30, 12.02, 6))
	long, across := crossed()
	s := build(t, points, long, across)
	ends := make(map[orb.Point]int)
	for _, b := range breaklines(s) {
		ends[b[0]]++
		ends[b[1]]++
	}
	assert.Equal(t, 2, ends[orb.Point{40, 20}])
	assert.Equal(t, 2, ends[orb.Point{70, 30}])
	assert.Equal(t, 4, ends[orb.Point{47.0313, 22.3438}])
	assert.Len(t, breaklines(s), 6)

	points[4].Level = 17
	e := inputError(t, tin.Options{}, tin.Source{Points: points, Breaklines: []tin.Breakline{long, across}})
	assert.Equal(t, "breakline_level", e.Code)
	assert.Contains(t, e.Message, `breakline "long" passes spot at 40, 20 (line 5) with level 12.000 m against 17.000 m`)
}

// The same for the end of another line, and for a line that overlaps.
func TestEndsOnALineThatIsCrossed(t *testing.T) {
	long, across := crossed()
	s := build(t, square(), long, across, line("side", 40, 20, 12.01, 20, 60, 13), line("over", 70, 30, 12, 85, 35, 12))
	assert.Equal(t, 12.01, levelAt(t, s, 40, 20))
	assert.Len(t, breaklines(s), 2+1+5)
	e := inputError(t, tin.Options{}, tin.Source{Points: square(), Breaklines: []tin.Breakline{long, across, line("side", 40, 20, 13, 20, 60, 13)}})
	assert.Equal(t, "breakline_level", e.Code)
}

// Found by FuzzOutlines: a corner on a side that other sides cross.
func TestPartitionWithACornerOnACrossedSide(t *testing.T) {
	s := build(t, square())
	cells := partition(t, s,
		orb.Polygon{{{3, 1}, {6, 1}, {3, 9}, {4, 2}}},
		orb.Polygon{{{3, 0}, {4, 3}, {4, 2}}},
		orb.Polygon{{{3, 0}, {3, 1}, {7, 8}}})
	in, _ := areas(cells)
	require.Len(t, in, 3)
	assert.InEpsilon(t, 8, in[0], 1e-12)
	assert.InEpsilon(t, 0.5, in[1], 1e-12)
	assert.InEpsilon(t, 2, in[2], 1e-12)
}
