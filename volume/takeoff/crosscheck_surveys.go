package takeoff

import (
	"context"
	"math"
	"slices"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"barrow/section"
	"barrow/tin"
	"barrow/volume/grid"
)

// CrosscheckSurveys does for two surveys what [Crosscheck] does for a job: the works
// are what lies between the two, within the boundary or wherever both are. Check shots
// do not go with it.
func CrosscheckSurveys(ctx context.Context, c *Comparison, opts CrosscheckOptions) (*CrosscheckResult, error) {
	if err := opts.check(); err != nil {
		return nil, err
	}
	if opts.Shots != nil {
		return nil, badJob(codeBadValue, "check_shots", "check shots go with a job", "hold them against the job whose ground they were shot on")
	}
	m, err := compareSurveys(ctx, c, opts.Options)
	if err != nil {
		return nil, err
	}
	x := &crossing{run: m.a, opts: &opts, within: m.metres(&c.Within)}
	if err := x.layOut(func() ([]crossWorks, error) { return []crossWorks{x.surveyed(m)}, nil }); err != nil {
		return nil, err
	}
	if err := x.measureAll(); err != nil {
		return nil, err
	}
	x.holdClaim()
	compared := m.result()
	res := x.result()
	res.Surveys = []string{compared.A.Name, compared.B.Name}
	res.Inputs = x.inputs(compared.Inputs)
	res.Warnings = append(res.Warnings, compared.Warnings...)
	return res, nil
}

// surveyed returns what lies between two surveys as works.
func (x *crossing) surveyed(m *comparing) crossWorks {
	a, b, t := m.a.ground, m.b.ground, &m.total
	w := crossWorks{
		basis: BasisSurveys, prism: crossVolumes{t.Cut, t.Fill, t.CutLessFill}, area: t.Area, atLeast: m.uncovered > 0,
		formation: section.Surface(b, 0),
		depths:    grid.Between(a.LevelAt, 0, b.LevelAt),
		pieces:    func(visit func(depthPiece)) error { return x.overlay(a, b, visit) },
	}
	w.inside = func(e, n float64) bool {
		_, ok := w.depths(e, n)
		return ok && (len(x.within) == 0 || planar.MultiPolygonContains(x.within, orb.Point{e, n}))
	}
	if len(x.within) > 0 {
		w.formation = withinProfile{w.formation, x.within}
	}
	return w
}

// overlay visits the prisms between two surfaces, in an order that depends on
// coordinates only.
func (x *crossing) overlay(a, b *tin.Surface, visit func(depthPiece)) error {
	polygons := []orb.Polygon{nil}
	if len(x.within) > 0 {
		polygons = x.within
	}
	for _, p := range polygons {
		o, err := tin.NewOverlay(a, b, p)
		if err != nil {
			return err
		}
		parts := make([][]depthPiece, o.Parts())
		frame := o.Frame()
		if err := o.Visit(x.run.ctx, func(i int, p *tin.CommonPiece) {
			var piece depthPiece
			for _, c := range p.Corner {
				piece = append(piece, depthCorner{frame.Metres(c.X, c.Y), c.A - c.B})
			}
			parts[i] = append(parts[i], piece)
		}, func(int, float64) {}); err != nil {
			return err
		}
		for _, pieces := range parts {
			for _, piece := range pieces {
				visit(piece)
			}
		}
	}
	return nil
}

// withinProfile is a formation as far as it lies within polygons.
type withinProfile struct {
	section.Profiler
	within orb.MultiPolygon
}

// aside is how far beside a section, in metres, it is seen on which side of it a
// polygon ends.
const aside = 1e-6

// Profile implements [section.Profiler].
func (w withinProfile) Profile(from, to orb.Point, side section.Side) ([]section.Stretch, error) {
	stretches, err := w.Profiler.Profile(from, to, side)
	if err != nil {
		return nil, err
	}
	length := math.Hypot(to[0]-from[0], to[1]-from[1])
	u := orb.Point{(to[0] - from[0]) / length, (to[1] - from[1]) / length}
	step := aside
	if side == section.Behind {
		step = -step
	}
	at := func(offset float64) orb.Point { // beside the line, ahead of it to the left
		return orb.Point{from[0] + float64(offset*u[0]) - float64(step*u[1]), from[1] + float64(offset*u[1]) + float64(step*u[0])}
	}
	cuts := w.cuts(at(0), u)
	var out []section.Stretch
	for _, s := range stretches {
		start := s.From
		for _, end := range append(slices.Clone(cuts), s.To) {
			end = min(end, s.To)
			if !(end > start) {
				continue
			}
			if planar.MultiPolygonContains(w.within, at((start+end)/2)) {
				part := s
				part.From, part.To, part.Level = start, end, s.LevelAt(start)
				out = append(out, part)
			}
			start = end
		}
	}
	return out, nil
}

// cuts returns the offsets at which a line crosses the sides of the polygons, in order.
func (w withinProfile) cuts(from, u orb.Point) (offsets []float64) {
	for _, p := range w.within {
		for _, ring := range p {
			for i, b := range ring {
				a := ring[(i+len(ring)-1)%len(ring)]
				off := func(q orb.Point) float64 {
					return float64(u[0]*(q[1]-from[1])) - float64(u[1]*(q[0]-from[0]))
				}
				s, t := off(a), off(b)
				if (s < 0) == (t < 0) {
					continue
				}
				k := s / (s - t)
				e, n := a[0]+float64(k*(b[0]-a[0]))-from[0], a[1]+float64(k*(b[1]-a[1]))-from[1]
				offsets = append(offsets, float64(e*u[0])+float64(n*u[1]))
			}
		}
	}
	slices.Sort(offsets)
	return offsets
}
