package takeoff

import (
	"math"

	"github.com/paulmach/orb"
)

// mostDepths is how many places a grid of depths has at most.
const mostDepths = 40_000

// depthGrid reads depths off the prisms, at places over the box round the works; nil where
// there are none.
func (r *run) depthGrid() (*DepthGrid, error) {
	r.tell("reading depths", 0, 1)
	if len(r.dig.Outline) == 0 {
		return nil, nil
	}
	g := newDepthGrid(r.dig.Outline.Bound(), r.unit)
	works := r.allWorks()
	if err := r.dugPieces(works.Facets, works.Faces)(func(p depthPiece) { g.read(p, r.unit) }); err != nil {
		return nil, err
	}
	r.tell("reading depths", 1, 1)
	return g, nil
}

// newDepthGrid lays a grid without depths over a box in metres.
func newDepthGrid(box orb.Bound, unit float64) *DepthGrid {
	west, east := box.Min[0]/unit, box.Max[0]/unit
	south, north := box.Min[1]/unit, box.Max[1]/unit
	g := &DepthGrid{}
	for finest := math.Sqrt((east - west) * (north - south) / mostDepths); ; finest = 1.1 * g.Step {
		g.Step = roundUp(finest, 1, 2, 2.5, 5)
		first, last := math.Floor(west/g.Step), math.Ceil(east/g.Step)
		low, high := math.Floor(south/g.Step), math.Ceil(north/g.Step)
		if count := (last - first + 1) * (high - low + 1); count > mostDepths {
			continue
		}
		g.Origin = Place{multiple(first, g.Step), multiple(low, g.Step)}
		g.Columns, g.Rows = int(last-first)+1, int(high-low)+1
		break
	}
	g.Depths = make([]float64, g.Columns*g.Rows)
	for i := range g.Depths {
		g.Depths[i] = math.NaN()
	}
	return g
}

// read takes the depths at the places of the grid in one prism, or on its rim. Metres.
func (g *DepthGrid) read(p depthPiece, unit float64) {
	east, north, step := g.Origin[0]*unit, g.Origin[1]*unit, g.Step*unit
	low, high := p.span(func(q orb.Point) float64 { return q[1] })
	for row := firstPlace(low, north, step); row < g.Rows; row++ {
		n := north + float64(float64(row)*step)
		if n > high+onRim {
			return
		}
		from, to := p.across(min(max(n, low), high))
		for column := firstPlace(from.at[0], east, step); column < g.Columns; column++ {
			e := east + float64(float64(column)*step)
			if e > to.at[0]+onRim {
				break
			}
			depth, k := depthBetween(&from, &to, e)/unit, row*g.Columns+column
			if !(g.Depths[k] >= depth) {
				g.Depths[k] = depth
			}
		}
	}
}

// firstPlace returns the first place of a row or column that is not below a coordinate.
func firstPlace(least, origin, step float64) int {
	return max(0, int(math.Ceil((least-onRim-origin)/step)))
}

// across returns where a line towards the east enters and leaves a prism, and the depths
// there. The line's northing lies within the prism's.
func (p depthPiece) across(n float64) (from, to depthCorner) {
	from.at[0], to.at[0] = math.Inf(1), math.Inf(-1)
	meet := func(c depthCorner) {
		if c.at[0] < from.at[0] {
			from = c
		}
		if c.at[0] > to.at[0] {
			to = c
		}
	}
	last := p[len(p)-1]
	for _, c := range p {
		if c.at[1] == n {
			meet(c)
		}
		if (c.at[1] < n) != (last.at[1] < n) && c.at[1] != n && last.at[1] != n {
			t := (n - last.at[1]) / (c.at[1] - last.at[1])
			meet(depthCorner{orb.Point{last.at[0] + float64(t*(c.at[0]-last.at[0])), n}, last.depth + float64(t*(c.depth-last.depth))})
		}
		last = c
	}
	return from, to
}

// depthBetween returns the depth at an easting between two places, that of the nearer one
// beside them.
func depthBetween(from, to *depthCorner, e float64) float64 {
	wide := to.at[0] - from.at[0]
	if wide <= 0 {
		return from.depth
	}
	t := min(max((e-from.at[0])/wide, 0), 1)
	return from.depth + float64(t*(to.depth-from.depth))
}
