package takeoff

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/tin/formation"
)

// check refuses what no step below would.
func (j *Job) check() error {
	if err := j.checkGround(); err != nil {
		return err
	}
	if len(j.Pads) == 0 {
		return badJob(codeNoPad, "pad", "the job has no pad", "give it a pad with an outline and a finished level")
	}
	for i, p := range j.Pads {
		if k := j.padNamed(p.Name); k < i && p.Name != "" {
			e := sameName(k, p.Name)
			e.Key = fmt.Sprintf("pad[%d].name", i)
			return e
		}
		if err := j.checkOutline(p.Outline); err != nil {
			return withKey(err, fmt.Sprintf("pad[%d].outline", i))
		}
		if err := checkConform(&p, i, j.Units.Metres()); err != nil {
			return err
		}
		for k := range p.Layers {
			if to := p.layerTo(k); to != LayersToOutline && to != LayersToMargin {
				return badJob(codeBadValue, fmt.Sprintf("pad[%d].layers[%d].to", i, k), fmt.Sprintf("a layer that goes to %q", to), "use LayersToOutline or LayersToMargin")
			}
		}
	}
	if err := j.Ground.Soil.check("ground.soil"); err != nil {
		return err
	}
	if err := j.checkTopsoil(); err != nil {
		return err
	}
	if err := j.checkBounds(); err != nil {
		return err
	}
	if err := j.checkClearances(); err != nil {
		return err
	}
	if err := j.checkAlignments(); err != nil {
		return err
	}
	return j.checkMaterials()
}

// checkTopsoil refuses areas of topsoil that are none.
func (j *Job) checkTopsoil() error {
	t := j.Ground.Topsoil
	if err := j.checkTopsoilArea("ground.topsoil", TopsoilArea{Area: t.Within, Depth: t.Depth}); err != nil {
		return err
	}
	for i, a := range t.Areas {
		if err := j.checkTopsoilArea(fmt.Sprintf("ground.topsoil.areas[%d]", i), a); err != nil {
			return err
		}
	}
	for i, a := range j.Respread {
		if err := j.checkTopsoilArea(fmt.Sprintf("respread[%d]", i), a); err != nil {
			return err
		}
	}
	return nil
}

func (j *Job) checkTopsoilArea(key string, a TopsoilArea) error {
	for _, p := range a.Area {
		if err := j.checkOutline(p); err != nil {
			return withKey(err, key)
		}
	}
	if !(a.Depth >= 0) || !finite(a.Depth) {
		return badJob(codeTopsoilDepth, key, fmt.Sprintf("a depth of %g is none", a.Depth), "give 0 or more")
	}
	return nil
}

// withKey has an error about input name a key of the job.
func withKey(err error, key string) error {
	e := asInputError(err)
	if e == nil {
		return err
	}
	keyed := *e
	keyed.Key = key
	return &keyed
}

// padNamed returns the index of the first pad with a name, -1 for none.
func (j *Job) padNamed(name string) int {
	return slices.IndexFunc(j.Pads, func(p Pad) bool { return p.Name == name })
}

func sameName(first int, name string) *tin.InputError {
	return &tin.InputError{Code: codePadName,
		Message: fmt.Sprintf("pad[%d] is named %q too", first, name), Hint: "give each pad a name of its own"}
}

// checkOutline checks an outline as it stands, so that what is said about it
// is in the job's unit; only At is in metres, as everywhere.
func (j *Job) checkOutline(p orb.Polygon) error {
	err := tin.CheckOutline(p)
	if e := asInputError(err); e != nil && e.At != nil {
		placed := *e
		at := scalePoint(*e.At, j.Units.Metres())
		placed.At = &at
		return &placed
	}
	return err
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// layers returns a pad's build-up in the job's unit.
func (p *Pad) layers() formation.BuildUp {
	var b formation.BuildUp
	for _, l := range p.Layers {
		b = append(b, formation.Layer{Name: l.Name, Thickness: l.Thickness})
	}
	return b
}

// metric returns the pad in metres on the grid. A fall per length on the ground
// is a little less per length on a grid that is drawn out by scale.
func (p *Pad) metric(unit, scale float64) formation.Pad {
	out := formation.Pad{Name: p.Name, Outline: scalePolygon(p.Outline, unit), Corners: p.Corners, Finished: p.Finished * unit}
	for _, l := range p.Layers {
		out.Layers = append(out.Layers, formation.Layer{Name: l.Name, Thickness: l.Thickness * unit})
	}
	if f := p.Fall; f != nil {
		out.Fall = &formation.Fall{Slope: f.Slope / scale, Bearing: f.Bearing, At: scalePoint(f.At, unit)}
	}
	out.Margin, out.Cut, out.Fill = p.Margin*unit*scale, p.Cut.metric(unit, scale), p.Fill.metric(unit, scale)
	for _, e := range p.Edges {
		out.Edges = append(out.Edges, e.metric(unit, scale))
	}
	for i := range p.Thickenings {
		out.Thickenings = append(out.Thickenings, p.Thickenings[i].metric(unit, scale))
	}
	if v := p.Levels; v != nil {
		out.Levels = &formation.Levels{Spots: scaleSpots(v.Spots, unit), Lines: scaleLines(v.Lines, unit)}
		for _, ring := range v.Outline {
			levels := make([]float64, len(ring))
			for i, z := range ring {
				levels[i] = z * unit
			}
			out.Levels.Outline = append(out.Levels.Outline, levels)
		}
	}
	return out
}

// metric returns the batter in metres on the grid, where what lies along is drawn out
// by scale and what goes up is not.
func (b Batter) metric(unit, scale float64) formation.Batter {
	return formation.Batter{Along: b.Along * scale, Every: b.Every * unit, Berm: b.Berm * unit * scale}
}

func (e Edge) metric(unit, scale float64) formation.Edge {
	out := formation.Edge{From: e.From, To: e.To, Upright: e.Upright}
	if e.Margin != nil {
		m := *e.Margin * unit * scale
		out.Margin = &m
	}
	for _, b := range []struct {
		from *Batter
		to   **formation.Batter
	}{{e.Cut, &out.Cut}, {e.Fill, &out.Fill}} {
		if b.from != nil {
			m := b.from.metric(unit, scale)
			*b.to = &m
		}
	}
	return out
}
