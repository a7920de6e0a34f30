package takeoff

import (
	"math"

	"github.com/paulmach/orb"

	"barrow/volume/grid"
)

// blocksAcross is into how many blocks of cells the longer side of a grid is parted, to
// say where a difference arises.
const blocksAcross = 20

// byGrid measures works by the unit-area grid.
func (x *crossing) byGrid(w *crossWorks) (m crossMethod, err error) {
	b := x.blocks()
	// Corners apart: each is a sample of the ground. Parted on the zero line a cell sees
	// the mean of its corners, which takes the cut and fill of rough ground off against
	// each other, at half the spacing as much as at the full one.
	res, err := grid.Measure(x.run.ctx, x.grid, w.depths, grid.Options{
		Split: grid.CornerSums, Inside: w.inside, Halve: true,
		Cell: func(c grid.Cell) {
			p := b.of(c.Row, c.Column)
			for q, v := range [quantities]float64{c.Cut, c.Fill, c.CutLessFill} {
				p.by[q] += v
			}
		},
	})
	if err != nil {
		return m, under("spacing", err)
	}
	m = crossMethod{
		name: MethodGrid, volumes: crossVolumes{res.Cut, res.Fill, res.CutLessFill}, cells: res.Cells,
		uncovered: res.UncoveredArea, parts: b.parts, distribute: x.overBlocks,
	}
	if s := res.Sampling; s != nil {
		for q, e := range [quantities]grid.Estimate{s.Cut, s.Fill, s.CutLessFill} {
			m.expected[q] = max(e.Error, crossMargin*math.Abs(m.volumes[q]-e.Extrapolated))
		}
	}
	// Of works thinner than a cell the grid misses a part, or meets some too often.
	missed := math.Abs(w.area-res.Area-res.UncoveredArea) / w.area
	for q := range m.expected {
		m.expected[q] = max(m.expected[q], crossMargin*missed*math.Abs(w.prism[q]))
	}
	return m, nil
}

// cellBlocks are square blocks of cells, row by row.
type cellBlocks struct {
	side, columns int // cells along a side; blocks in a row
	parts         []crossPart
}

func (x *crossing) blocks() *cellBlocks {
	g := x.grid
	side := (max(g.Rows, g.Columns) + blocksAcross - 1) / blocksAcross
	b := &cellBlocks{side: side, columns: (g.Columns + side - 1) / side}
	for row := 0; row < g.Rows; row += side {
		for column := 0; column < g.Columns; column += side {
			p := crossPart{rows: [2]int{row, min(row+side, g.Rows) - 1}, columns: [2]int{column, min(column+side, g.Columns) - 1}}
			low, high := g.Corner(row, column), g.Corner(p.rows[1]+1, p.columns[1]+1)
			p.at = orb.Point{(low[0] + high[0]) / 2, (low[1] + high[1]) / 2}
			b.parts = append(b.parts, p)
		}
	}
	return b
}

// of returns the block of a cell.
func (b *cellBlocks) of(row, column int) *crossPart {
	return &b.parts[row/b.side*b.columns+column/b.side]
}

// overBlocks gives every block of cells what the prisms have there.
func (x *crossing) overBlocks(w *crossWorks, parts []crossPart) error {
	b := x.blocks()
	b.parts = parts
	g := x.grid
	sin, cos := math.Sincos(g.Bearing * math.Pi / 180)
	column := func(p orb.Point) float64 {
		return (float64((p[0]-g.Origin[0])*cos) - float64((p[1]-g.Origin[1])*sin)) / g.Across
	}
	row := func(p orb.Point) float64 {
		return (float64((p[0]-g.Origin[0])*sin) + float64((p[1]-g.Origin[1])*cos)) / g.Along
	}
	clamp := func(cell float64, cells int) int { return min(max(int(cell), 0), cells-1) / b.side }
	return w.pieces(func(piece depthPiece) {
		left, right := piece.span(column)
		low, high := piece.span(row)
		for i := clamp(low, g.Rows); i <= clamp(high, g.Rows); i++ {
			band := between(piece, row, i*b.side, b.side)
			for k := clamp(left, g.Columns); k <= clamp(right, g.Columns) && len(band) > 2; k++ {
				b.parts[i*b.columns+k].addPrism(between(band, column, k*b.side, b.side).volumes())
			}
		}
	})
}

// between returns the part of a piece on so many rows, or columns, from one on.
func between(p depthPiece, of func(orb.Point) float64, from, count int) depthPiece {
	return p.clip(func(c *depthCorner) float64 { return of(c.at) - float64(from) }).
		clip(func(c *depthCorner) float64 { return float64(from+count) - of(c.at) })
}
