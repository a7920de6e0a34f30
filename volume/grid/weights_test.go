package grid_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/grid"
)

// GRID-1: the printed weights of the borrow pit add up to the printed sum.
func TestWeightsGrid1(t *testing.T) {
	c := checkNamed(t, "GRID-1")
	file := "easting,northing,level\n"
	for _, r := range c.Rows {
		file += fmt.Sprintf("%v,%v,%v\n", r[1], r[2], r[4])
	}
	formation := tin.LevelPlane(c.Given["formation_level"].(float64) * foot)
	side := c.Given["square_side"].(float64) * foot
	table, err := grid.ReadTable(t.Context(), strings.NewReader(file), "plate.csv", grid.TableOptions{
		Grid: grid.Layout{Along: side, Across: side}, Unit: tin.Foot, Formation: &formation})
	require.NoError(t, err)
	weights, err := table.Weights(grid.Square)
	require.NoError(t, err)
	corners, sum := 0, 0.0
	for _, w := range weights {
		corners += w.Corners
		sum += float64(w.Meet) * w.Depths / foot
	}
	require.Equal(t, 21, corners)
	require.InDelta(t, c.Printed["sum_weight_x_cut"].(float64), sum, 1e-11)
}

// By every rule the weights make cut less fill, also where corners are missing, and in
// any order of the list.
func TestWeightsMakeTheVolume(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 8))
	table := grid.Table{Layout: grid.Layout{Along: 4, Across: 3, Rows: 6, Columns: 9}}
	for row := range 7 {
		for column := range 10 {
			if row*column != 12 {
				table.Corners = append(table.Corners, grid.Corner{Row: row, Column: column, Depth: 5*r.Float64() - 2})
			}
		}
	}
	for rule, share := range map[grid.Rule]float64{grid.Square: 4, grid.TrianglesRising: 6, grid.TrianglesFalling: 6} {
		weights, err := table.Weights(rule)
		require.NoError(t, err)
		sum := 0.0
		for _, w := range weights {
			sum += float64(w.Meet) * w.Depths
		}
		m, err := table.Measure(t.Context(), grid.Options{Rule: rule})
		require.NoError(t, err)
		require.InDelta(t, m.CutLessFill, sum*12/share, 1e-9)
		other := grid.Table{Layout: table.Layout, Corners: slices.Clone(table.Corners)}
		r.Shuffle(len(other.Corners), func(i, k int) { other.Corners[i], other.Corners[k] = other.Corners[k], other.Corners[i] })
		again, err := other.Weights(rule)
		require.NoError(t, err)
		require.Equal(t, weights, again)
	}
	_, err := table.Weights(grid.Rule(7))
	code(t, err, "bad_grid_rule")
	_, err = grid.Table{Layout: table.Layout}.Weights(grid.Square)
	code(t, err, "no_complete_cell")
}
