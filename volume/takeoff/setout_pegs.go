package takeoff

import (
	"fmt"
	"math"
	"strings"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"barrow/tin"
	"barrow/tin/formation"
	"barrow/tin/setout"
)

// pegs sets out the pegs of every pad.
func (s *settingOut) pegs() error {
	seen := map[string]bool{}
	walls := s.walls()
	works := worksSides(s.res.Takeoff.WorksOutline)
	var inWorks standing
	off := 0
	for i := range s.run.job.Pads {
		s.run.tell("setting out pegs", i, len(s.run.job.Pads))
		pegs, err := s.outline(i, walls).Pegs(s.run.ctx)
		if err != nil {
			return err
		}
		rules, err := s.run.job.Pads[i].metric(1, 1).SideRules()
		if err != nil {
			return err
		}
		s.formation = s.run.layout.Pads[i].LevelFinder()
		for k := range pegs {
			p := &pegs[k]
			if seen[p.Number] {
				return setout.Twice(p.Number)
			}
			seen[p.Number] = true
			peg, err := s.peg(i, p, &rules[p.Ring][p.Side])
			if err != nil {
				return err
			}
			if peg.Ground == nil {
				off++
			}
			if p.Kind == setout.SetBack {
				inWorks.see(works, p)
			}
			s.res.Pegs = append(s.res.Pegs, peg)
		}
	}
	s.tellPegs(off, &inWorks)
	return nil
}

// outline is what the pegs of a pad are found from, in the job's unit.
func (s *settingOut) outline(pad int, walls []setout.Ring) *setout.Outline {
	p := &s.res.Takeoff.Pads[pad]
	o := &setout.Outline{Pad: p.Name, Walls: walls,
		Spacing: setout.Spacing{Interval: s.opts.Interval, Grid: s.opts.Grid, Back: s.opts.Back, Scale: s.run.scale}}
	for _, c := range p.Corners {
		for len(o.Rings) <= c.Ring {
			o.Rings = append(o.Rings, nil)
		}
		o.Rings[c.Ring] = append(o.Rings[c.Ring], setout.Corner{Name: c.Name, At: orb.Point(c.At)})
	}
	for _, l := range p.Crest {
		o.Crest = append(o.Crest, setout.Line(l))
	}
	for _, l := range p.Toe {
		o.Toe = append(o.Toe, setout.Line(l))
	}
	return o
}

// walls are the outlines of all pads.
func (s *settingOut) walls() (walls []setout.Ring) {
	for i := range s.res.Takeoff.Pads {
		for _, ring := range s.outline(i, nil).Rings {
			var wall setout.Ring
			for _, c := range ring {
				wall = append(wall, c.At)
			}
			walls = append(walls, wall)
		}
	}
	return walls
}

// peg fills in the levels of a peg.
func (s *settingOut) peg(pad int, p *setout.Peg, rule *formation.SideRule) (PegResult, error) {
	r, job := s.run, &s.run.job.Pads[pad]
	if err := r.ctx.Err(); err != nil {
		return PegResult{}, err
	}
	out := PegResult{Number: p.Number, Pad: job.Name, Kind: p.Kind, At: Place(p.At), ToEdge: p.ToEdge, Levels: []PegLevel{}}
	out.Formation = s.formationAt(pad, p)
	at := scalePoint(p.At, r.unit)
	if level, ok := r.ground.LevelAt(at[0], at[1]); ok {
		ground := level / r.unit
		depth := ground - out.Formation
		out.Ground, out.Depth, out.Topsoil = &ground, &depth, topsoilAt(&r.soil, at)/r.unit
	}
	switch p.Kind {
	case setout.AtCrest, setout.AtToe:
		out.Level = &p.Level
	case setout.SetBack:
		out.Level = out.Ground
	default:
		out.Level = &out.Formation
	}
	batter := rule.Cut
	if p.Kind == setout.AtToe || p.Kind != setout.AtCrest && out.Depth != nil && *out.Depth-out.Topsoil < 0 {
		batter = rule.Fill
	}
	if p.Kind != setout.OnGrid {
		out.Batter = Batter(batter).result()
	}
	finished := addLevels(out.Formation, job.layers().Thickness())
	if f := s.res.Takeoff.Pads[pad].FinishedLevel; f != nil && job.Fall == nil {
		finished = *f
	}
	for _, l := range s.levelsUnder(job, finished, out.Formation) {
		level := PegLevel{What: l.what, Name: l.name, Level: l.level}
		sight, err := s.res.Instrument.sight(l.level)
		if err != nil {
			return out, err
		}
		if sight != nil {
			level.Reading = &sight.Reading
		}
		out.Levels = append(out.Levels, level)
	}
	return out, nil
}

// formationAt returns the formation level that a peg is for: at its own place on the pad,
// outside at that of its edge.
func (s *settingOut) formationAt(pad int, p *setout.Peg) float64 {
	measured := &s.res.Takeoff.Pads[pad]
	if measured.FormationLevel != nil && measured.Fall == nil {
		return *measured.FormationLevel
	}
	at := p.At
	switch p.Kind {
	case setout.AtCrest, setout.AtToe, setout.SetBack:
		at = p.Edge
	}
	for _, c := range measured.Corners {
		if orb.Point(c.At) == at {
			return c.Formation
		}
	}
	level, ok := s.formation(scalePoint(at, s.run.unit))
	if !ok { // another pad rules everywhere: the nearest corner's
		best := math.Inf(1)
		for _, c := range measured.Corners {
			if d := planar.Distance(orb.Point(c.At), at); d < best {
				best, level = d, c.Formation*s.run.unit
			}
		}
	}
	return level / s.run.unit
}

// topsoilAt returns how deep topsoil is stripped at a place, metres.
func topsoilAt(t *formation.Topsoil, at orb.Point) float64 {
	for i := len(t.Areas) - 1; i >= 0; i-- {
		if a := &t.Areas[i]; a.Area.Bound().Contains(at) && planar.PolygonContains(a.Area, at) {
			return a.Depth
		}
	}
	return t.Depth
}

// standing is pegs set back that stand in the works.
type standing struct {
	pegs  []*setout.Peg
	clear float64 // distance from the outline at which the works beside them end, the greatest, in plan
}

// worksSides lists the sides of the works' rim.
func worksSides(works orb.MultiPolygon) (sides [][2]orb.Point) {
	for _, polygon := range works {
		for _, ring := range polygon {
			for i := 1; i < len(ring); i++ {
				sides = append(sides, [2]orb.Point{ring[i-1], ring[i]})
			}
		}
	}
	return sides
}

// see looks whether a peg stands in the works: whether the line from it straight away
// from the pad leaves them once more often than it enters them.
func (w *standing) see(works [][2]orb.Point, p *setout.Peg) {
	back := planar.Distance(p.At, p.Edge)
	out := orb.Point{(p.At[0] - p.Edge[0]) / back, (p.At[1] - p.Edge[1]) / back}
	local := func(q orb.Point) (aside, away float64) {
		x, y := q[0]-p.At[0], q[1]-p.At[1]
		return float64(x*out[1]) - float64(y*out[0]), float64(x*out[0]) + float64(y*out[1])
	}
	in, next := false, math.Inf(1)
	for _, side := range works {
		u0, v0 := local(side[0])
		u1, v1 := local(side[1])
		if (u0 > 0) == (u1 > 0) {
			continue
		}
		if v := v0 + float64((v1-v0)*(u0/(u0-u1))); v > 0 {
			in, next = !in, min(next, v)
		}
	}
	if !in {
		return
	}
	w.pegs = append(w.pegs, p)
	w.clear = max(w.clear, back+next)
}

// names lists the first of the pegs.
func (w *standing) names() string {
	const most = 8
	var list []string
	for _, p := range w.pegs[:min(most, len(w.pegs))] {
		list = append(list, p.Number)
	}
	if more := len(w.pegs) - most; more > 0 {
		list = append(list, fmt.Sprintf("and %d more", more))
	}
	return strings.Join(list, ", ")
}

// tellPegs says what is to be known of the pegs.
func (s *settingOut) tellPegs(off int, w *standing) {
	if off > 0 {
		s.notes = append(s.notes, tin.Problem{Code: NotePegOff, Message: fmt.Sprintf(
			"%d of %d pegs stand outside the surveyed ground: they have no ground level and no depth", off, len(s.res.Pegs))})
	}
	if len(w.pegs) > 0 {
		at := scalePoint(w.pegs[0].At, s.run.unit)
		s.warnings = append(s.warnings, tin.Problem{Code: WarnPegInWorks, At: &at, Message: fmt.Sprintf(
			"%d of the pegs set back stand in the works and would be lost: %s; straight out from them the works end up to %.1f %s from the outline",
			len(w.pegs), w.names(), math.Ceil(w.clear/s.run.scale*10)/10, s.res.Units.Length)})
	}
	for _, p := range s.res.Pegs {
		if p.Kind == setout.AtCrest || p.Kind == setout.AtToe {
			return
		}
	}
	s.notes = append(s.notes, tin.Problem{Code: NotePegNoWorks, Message: "no batter meets the ground beside a side: there are no pegs on a crest or a toe"})
}
