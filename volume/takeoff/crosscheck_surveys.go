package takeoff

import (
	"context"

	"github.com/paulmach/orb"

	"barrow/section"
	"barrow/tin"
	"barrow/volume/grid"
)

// CrosscheckSurveys does for two surveys what [Crosscheck] does for a job: the works
// are what lies between the two, within the boundary or wherever both are. Check shots
// are held against the survey after, or before if they say so.
func CrosscheckSurveys(ctx context.Context, c *Comparison, opts CrosscheckOptions) (*CrosscheckResult, error) {
	if err := opts.check(true); err != nil {
		return nil, err
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
	if err := x.run.do(x.holdClaim); err != nil {
		return nil, err
	}
	compared := m.result()
	held := shotGround{m.b.ground, "after", -1}
	if opts.Shots != nil && opts.Shots.Before {
		held = shotGround{m.a.ground, "before", 1}
	}
	if err := x.holdShots(held); err != nil {
		return nil, err
	}
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
	w.inside = func(e, n float64) bool { _, ok := w.depths(e, n); return ok }
	if len(x.within) > 0 {
		w.formation = withinProfile{w.formation, x.within}
		covered, within := w.inside, newWithinAt(x.within)
		w.inside = func(e, n float64) bool { return within.holds(orb.Point{e, n}) && covered(e, n) }
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
		frame := o.Frame()
		var piece depthPiece
		if err := o.VisitInOrder(x.run.ctx, func(p *tin.CommonPiece) {
			piece = piece[:0]
			for _, c := range p.Corner {
				piece = append(piece, depthCorner{frame.Metres(c.X, c.Y), c.A - c.B})
			}
			visit(piece)
		}); err != nil {
			return err
		}
	}
	return nil
}
