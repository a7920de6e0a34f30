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
	if err := j.checkAreas(); err != nil {
		return err
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

// checkGround refuses what would make no ground.
func (j *Job) checkGround() error {
	switch scale := j.scale(); {
	case len(j.Surveys) == 0:
		return badJob(codeNoSurvey, "survey", "the job has no survey", "give it spot heights")
	case !(scale >= leastScale && scale <= greatestScale):
		return badJob(codeBadValue, "scale", fmt.Sprintf("a scale of %g", j.Scale), "scale is grid distance / ground distance, close to 1")
	case !slices.Contains([]tin.Unit{0, tin.Metre, tin.Foot, tin.SurveyFoot}, j.Units):
		return badJob(codeBadValue, "units", fmt.Sprintf("a unit of %g m", float64(j.Units)), "use metres, feet or survey feet")
	case !(j.Ground.MaxEdge >= 0) || math.IsInf(j.Ground.MaxEdge, 0):
		return badJob(codeBadValue, "ground.max_edge", fmt.Sprintf("a longest edge of %g", j.Ground.MaxEdge), "give a length, or 0 for none")
	}
	for i, s := range j.Surveys {
		marks := s.Checks
		if s.Benchmark != nil {
			marks = append([]Mark{*s.Benchmark}, marks...)
		}
		for _, m := range marks {
			if !finite(m.Plan) || !finite(m.Measured) {
				return badJob(codeBadValue, fmt.Sprintf("survey[%d].benchmark", i),
					fmt.Sprintf("mark %q has levels %g and %g", m.Name, m.Plan, m.Measured), "give both as finite numbers")
			}
		}
	}
	return nil
}

func badJob(code, key, message, hint string) error {
	return &tin.InputError{Code: code, Key: key, Message: message, Hint: hint}
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
