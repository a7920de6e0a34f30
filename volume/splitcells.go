package volume

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// grid adds up bodies by the cells of a grid.
type grid struct {
	frame tin.Frame
	side  float64 // metres
	most  int
	parts int
	cells map[gridCell]*cellSums
}

// gridCell is a cell's place: its west and south sides, in sides of a cell.
type gridCell struct{ north, east int }

// cellSums adds up one cell; moments about a place of it, local units.
type cellSums struct {
	x, y      float64
	parts     []tin.Sum // six times the cut
	cut, fill moments
}

// moments are the sums of bodies.
type moments struct{ volume, x, y tin.Sum }

func (m *moments) add(b body) {
	if b.volume > 0 {
		m.volume.Add(b.volume)
		m.x.Add(b.x)
		m.y.Add(b.y)
	}
}

// mostCells is how many cells there may be unless [Split] says otherwise.
const mostCells = 100_000

// mostAlong bounds the number of a cell, so that it is exact as a double and its side is
// far above rounding.
const mostAlong = 1 << 40

func newGrid(frame tin.Frame, split Split, parts int) (*grid, error) {
	g := &grid{frame: frame, side: split.CellSize, most: split.MaxCells, parts: parts, cells: make(map[gridCell]*cellSums)}
	if g.most == 0 {
		g.most = mostCells
	}
	if !(g.side > 0) || math.IsInf(g.side, 1) {
		return nil, &tin.InputError{Code: CodeSplitCells, Key: "cell_size", Message: fmt.Sprintf("cells with a side of %g m", g.side), Hint: "give it in metres, above 0"}
	}
	if g.most < 0 {
		return nil, &tin.InputError{Code: CodeSplitCells, Key: "max_cells", Message: fmt.Sprintf("at most %d cells", g.most), Hint: "give a number above 0, or 0 for 100000"}
	}
	return g, nil
}

func (g *grid) tooMany() error {
	return &tin.InputError{
		Code: CodeTooManyCells, Key: "cell_size", Message: fmt.Sprintf("cells with a side of %g m: over the works there are more than %d of them", g.side, g.most),
		Hint: "take larger cells, or allow more",
	}
}

// line returns the local place of the k-th line of the grid across an axis, which never
// falls as k grows.
func (g *grid) line(k, axis int) float64 {
	at := float64(k) * g.side
	x, y := g.frame.Local(orb.Point{at, at})
	return [2]float64{x, y}[axis]
}

// reach returns the cells that a body reaches over along an axis, from the first to the last.
func (g *grid) reach(p []column, axis int) (first, last int, err error) {
	b := boundOf(p)
	lo, hi := g.frame.Metres(b.Min[0], b.Min[1])[axis]/g.side, g.frame.Metres(b.Max[0], b.Max[1])[axis]/g.side
	if !(math.Abs(lo) < mostAlong) || !(math.Abs(hi) < mostAlong) || hi-lo > float64(g.most)+2 {
		return 0, 0, g.tooMany()
	}
	// What rounding does to the places of lines settles itself here.
	for first = int(math.Floor(lo)) - 1; g.line(first+1, axis) <= b.Min[axis]; first++ {
	}
	for last = int(math.Floor(hi)) + 1; last > first && g.line(last, axis) >= b.Max[axis]; last-- {
	}
	return first, last, nil
}

// cut cuts a body by the cells.
func (g *grid) cut(s *columns, p []column, each func(*cellSums, []column)) error {
	return g.along(s, p, 0, func(east int, p []column) error {
		return g.along(s, p, 1, func(north int, p []column) error {
			c, err := g.cell(gridCell{north, east}, &p[0])
			if err == nil {
				each(c, p)
			}
			return err
		})
	})
}

// along cuts a body by the lines across an axis.
func (g *grid) along(s *columns, p []column, axis int, each func(k int, p []column) error) error {
	first, last, err := g.reach(p, axis)
	if err != nil {
		return err
	}
	mark := len(s.list)
	for k := first; k < last && len(p) > 2; k++ {
		at := g.line(k+1, axis)
		s.value(p, func(c *column) float64 { return [2]float64{c.x, c.y}[axis] - at })
		more, less := s.split(p)
		if len(less) > 2 {
			if err := each(k, less); err != nil {
				return err
			}
		}
		p = more
	}
	if len(p) > 2 {
		err = each(last, p)
	}
	s.list = s.list[:mark]
	return err
}

// cell returns the sums of a cell, given a place of it.
func (g *grid) cell(at gridCell, place *column) (*cellSums, error) {
	if c := g.cells[at]; c != nil {
		return c, nil
	}
	if len(g.cells) == g.most {
		return nil, g.tooMany()
	}
	c := &cellSums{x: place.x, y: place.y, parts: make([]tin.Sum, g.parts)}
	g.cells[at] = c
	return c, nil
}

// result returns the cells with cut or fill, by northing, then easting.
func (g *grid) result() (out []Cell) {
	unit := g.frame.Area()
	places := slices.SortedFunc(maps.Keys(g.cells), func(a, b gridCell) int {
		return cmp.Or(cmp.Compare(a.north, b.north), cmp.Compare(a.east, b.east))
	})
	for _, at := range places {
		c := g.cells[at]
		cell := Cell{At: orb.Point{float64(at.east) * g.side, float64(at.north) * g.side}}
		if c.cut.volume.Value() > 0 {
			for _, v := range c.parts {
				cell.Cut = append(cell.Cut, v.Value()/6*unit)
			}
			cell.CutAt = g.centre(c, &c.cut)
		}
		if c.fill.volume.Value() > 0 {
			cell.Fill, cell.FillAt = c.fill.volume.Value()/6*unit, g.centre(c, &c.fill)
		}
		if cell.Cut != nil || cell.Fill > 0 {
			out = append(out, cell)
		}
	}
	return out
}

// centre returns the centre of gravity in plan, metres: the moments are twenty-four times
// as much, the volume six times.
func (g *grid) centre(c *cellSums, m *moments) orb.Point {
	v := 4 * m.volume.Value()
	return g.frame.Metres(c.x+m.x.Value()/v, c.y+m.y.Value()/v)
}
