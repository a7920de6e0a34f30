package volume

import (
	"context"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// DepthBands is works in plan by how deep they are.
type DepthBands struct {
	Bands []DepthBand // upwards: one below the least limit, between each two, above the greatest
	Level DepthBand   // ground that is at formation already, From and To 0
}

// DepthBand is where depth, ground less formation, lies between two values: metres, below
// 0 in fill.
type DepthBand struct {
	From, To float64 // infinite at the ends
	Area     float64 // m2 in plan

	// Rings go round it, metres: each closed, the band on their left, so that by the
	// nonzero rule they hold its plan. Corners within a micrometre of one another are one;
	// where parts of the works meet whose corners differ there are slits of no width.
	Rings []orb.Ring
}

// CodeDepthLimits is the code of limits that are not finite and ascending.
const CodeDepthLimits = "depth_limits"

// SplitDepths splits works in plan where they pass depths, metres and ascending. All of
// the plan that has ground is in one band or in Level: their areas make up CutArea,
// FillArea and LevelArea, but for rounding. Bands repeat to the last bit in whatever order
// facets and faces come. If ctx ends its error is returned.
func SplitDepths(ctx context.Context, works Works, limits []float64) (DepthBands, error) {
	if err := checkLimits(limits); err != nil {
		return DepthBands{}, err
	}
	if err := works.check(); err != nil {
		return DepthBands{}, err
	}
	s := depthSplitter{limits: limits, weld: newWelder(works.Ground.Frame()), bands: make([]bandSums, len(limits)+2)}
	if err := works.each(ctx, func(p []column, _ float64) error {
		s.columns.list = s.columns.list[:0]
		s.piece(p)
		return nil
	}); err != nil {
		return DepthBands{}, err
	}
	return s.result(works.Ground.Frame()), nil
}

func checkLimits(limits []float64) error {
	for i, l := range limits {
		if math.IsNaN(l) || math.IsInf(l, 0) || i > 0 && l <= limits[i-1] {
			return &tin.InputError{Code: CodeDepthLimits, Message: "depths to split at are not finite or do not ascend",
				Hint: "give finite depths, the least first, each once"}
		}
	}
	return nil
}

// depthSplitter splits pieces by depth; the last of its bands is level ground.
type depthSplitter struct {
	limits  []float64
	columns columns
	weld    welder
	bands   []bandSums
}

// bandSums is a band in local units: twice its area, and its rim.
type bandSums struct {
	area tin.Sum
	rim  rim
}

func (s *depthSplitter) piece(p []column) {
	if !slices.ContainsFunc(p, func(c column) bool { return c.total != 0 }) {
		s.add(len(s.bands)-1, p)
		return
	}
	s.above(0, p)
}

// above takes down what of p is below limit k, and goes on with the rest; p is not
// below the one before.
func (s *depthSplitter) above(k int, p []column) {
	if k == len(s.limits) {
		s.add(k, p)
		return
	}
	s.columns.level(p, func(c *column) float64 { return c.total - s.limits[k] }, func(p []column) {
		mark := len(s.columns.list)
		deep, shallow := s.columns.split(p)
		if len(shallow) > 2 {
			s.add(k, shallow)
		}
		if len(deep) > 2 {
			s.above(k+1, deep)
		}
		s.columns.list = s.columns.list[:mark]
	})
}

func (s *depthSplitter) add(band int, p []column) {
	b := &s.bands[band]
	b.area.Add(planArea2(p))
	last := s.weld.place(p[len(p)-1].x, p[len(p)-1].y)
	for i := range p {
		next := s.weld.place(p[i].x, p[i].y)
		b.rim.add(last, next)
		last = next
	}
}

func (s *depthSplitter) result(f tin.Frame) (out DepthBands) {
	from := math.Inf(-1)
	for k := range len(s.limits) + 1 {
		to := math.Inf(1)
		if k < len(s.limits) {
			to = s.limits[k]
		}
		out.Bands = append(out.Bands, s.band(k, f, from, to))
		from = to
	}
	out.Level = s.band(len(s.bands)-1, f, 0, 0)
	return out
}

func (s *depthSplitter) band(k int, f tin.Frame, from, to float64) DepthBand {
	b := &s.bands[k]
	return DepthBand{From: from, To: to, Area: b.area.Value() / 2 * f.Area(), Rings: b.rim.rings(f, s.weld.at)}
}
