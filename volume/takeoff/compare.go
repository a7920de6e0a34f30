package takeoff

import (
	"context"
	"fmt"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/tin/pointfile"
	"barrow/volume"
)

// Compare measures cut and fill between two surveyed surfaces, and how their
// difference of level is spread.
//
// Input that cannot be used is a [*tin.InputError] with a key as in
// [LoadComparison]. Two surfaces that share no ground are one
// ("no_common_ground"), and so is an area on which they do not
// ("area_off_ground"). If ctx ends its error is returned.
func Compare(ctx context.Context, c *Comparison, opts Options) (*Compared, error) {
	m, err := compareSurveys(ctx, c, opts)
	if err != nil {
		return nil, err
	}
	return m.result(), nil
}

// compareSurveys takes a comparison as far as what it measured.
func compareSurveys(ctx context.Context, c *Comparison, opts Options) (*comparing, error) {
	m := &comparing{ctx: ctx, c: c}
	for _, step := range []func() error{c.check, func() error { return m.build(opts) }, m.measure, m.measureStable} {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if err := step(); err != nil {
			return nil, err
		}
	}
	m.assess()
	return m, nil
}

// comparing is a comparison on its way to its result; metres inside.
type comparing struct {
	ctx  context.Context
	c    *Comparison
	a, b *run // as far as their grounds; what both share is taken from a

	total, stable           volume.Difference
	cover, stableCover      cover
	onlyA, onlyB, uncovered float64 // m2 on the grid

	warnings []tin.Problem
}

// check refuses what makes no comparison.
func (c *Comparison) check() error {
	for _, s := range []struct {
		key string
		job *Job
	}{{"a", c.A}, {"b", c.B}} {
		if s.job == nil {
			return badJob(codeNoSurvey, s.key, "there is no surface to compare", "give both")
		}
		if err := s.job.checkGround(); err != nil {
			return under(s.key, s.job.placed(err))
		}
	}
	switch {
	case c.A.Units.Metres() != c.B.Units.Metres():
		return unitsDiffer("", "b", c.B.Units, c.A.Units)
	case c.A.scale() != c.B.scale():
		return badJob(codeScalesDiffer, "b.scale", fmt.Sprintf("B has the scale %s, A %s", formatNumber(c.B.scale()), formatNumber(c.A.scale())),
			"a comparison has one grid: give both one scale")
	}
	for _, s := range []struct {
		key  string
		area *Area
	}{{"within", &c.Within}, {"stable", &c.Stable}} {
		for _, p := range s.area.Polygons {
			if err := c.A.checkOutline(p); err != nil {
				return under(s.key, err)
			}
		}
	}
	return nil
}

// build makes the ground of both.
func (m *comparing) build(opts Options) error {
	for _, s := range []struct {
		name, key string
		job       *Job
		to        **run
	}{{"A", "a", m.c.A, &m.a}, {"B", "b", m.c.B, &m.b}} {
		r := &run{ctx: m.ctx, job: s.job, unit: s.job.Units.Metres(), scale: s.job.scale()}
		if opts.Progress != nil {
			r.progress = func(stage string, done, total int) { opts.Progress(s.name+": "+stage, done, total) }
		}
		if err := r.build(); err != nil {
			return under(s.key, s.job.placed(err))
		}
		*s.to = r
	}
	return nil
}

// measure takes what lies between the two, and who covers what.
func (m *comparing) measure() (err error) {
	m.a.tell("measuring", 0, 1)
	within := m.metres(&m.c.Within)
	if len(within) > 0 {
		if m.cover, err = m.covered(within, "within"); err != nil {
			return err
		}
	} else {
		m.cover = cover{a: m.a.stats.Area, b: m.b.stats.Area}
	}
	if m.total, err = volume.Compare(m.ctx, m.a.ground, m.b.ground, within); err != nil {
		return err
	}
	if m.total.Area == 0 {
		return m.apart(within)
	}
	m.onlyA, m.onlyB = beyond(m.cover.a, m.total.Area), beyond(m.cover.b, m.total.Area)
	m.uncovered = beyond(m.cover.area, m.total.Area)
	m.a.tell("measuring", 1, 1)
	return nil
}

// measureStable takes the difference on the ground that nobody touched.
func (m *comparing) measureStable() (err error) {
	area := m.metres(&m.c.Stable)
	if len(area) == 0 {
		return nil
	}
	if m.stableCover, err = m.covered(area, "stable"); err != nil {
		return err
	}
	if m.stable, err = volume.Compare(m.ctx, m.a.ground, m.b.ground, area); err != nil {
		return err
	}
	if m.stable.Area == 0 {
		return m.offGround("stable", "the stable ground", area)
	}
	return nil
}

// metres returns an area in metres.
func (m *comparing) metres(a *Area) orb.MultiPolygon {
	var out orb.MultiPolygon
	for _, p := range a.Polygons {
		out = append(out, scalePolygon(p, m.a.unit))
	}
	return out
}

// apart says why nothing was measured.
func (m *comparing) apart(within orb.MultiPolygon) error {
	if p, file, ok := m.swapped(); ok {
		return &tin.InputError{Code: p.Code, File: file.name, Key: file.key, Message: p.Message,
			Hint: "state the order of its columns, or put it right in the header"}
	}
	if len(within) > 0 {
		return m.offGround("within", "the boundary", within)
	}
	return &tin.InputError{Code: codeNoCommonGround, Key: "b", Message: "A and B share no ground: " + m.extents(),
		Hint: "check the coordinates of both, their units, and that easting comes first"}
}

func (m *comparing) offGround(key, what string, area orb.MultiPolygon) error {
	return &tin.InputError{Code: codeAreaOffGround, Key: key,
		Message: fmt.Sprintf("A and B share no ground within %s: %s, %s within %s", what, m.extents(), what, m.extent(area.Bound())),
		Hint:    "check its coordinates and their unit, and that easting comes first"}
}

// surveyFile is a survey's file, and the key of its side.
type surveyFile struct{ name, key string }

// swapped looks for a survey whose easting and northing seem exchanged, seen from
// the other side's ground.
func (m *comparing) swapped() (tin.Problem, surveyFile, bool) {
	for _, s := range []struct {
		key       string
		of, other *run
	}{{"a", m.a, m.b}, {"b", m.b, m.a}} {
		box := s.other.ground.Bound()
		box.Min, box.Max = scalePoint(box.Min, 1/m.a.unit), scalePoint(box.Max, 1/m.a.unit)
		for _, survey := range s.of.job.Surveys {
			if p, ok := pointfile.Swapped(survey.Points, box); ok {
				return p, surveyFile{survey.Name, s.key}, true
			}
		}
	}
	return tin.Problem{}, surveyFile{}, false
}

func (m *comparing) extents() string {
	return fmt.Sprintf("A lies within %s, B within %s", m.extent(m.a.ground.Bound()), m.extent(m.b.ground.Bound()))
}

// extent writes a box in metres in the unit of the surveys.
func (m *comparing) extent(b orb.Bound) string {
	u := m.a.unit
	return fmt.Sprintf("E %.0f to %.0f, N %.0f to %.0f", b.Min[0]/u, b.Max[0]/u, b.Min[1]/u, b.Max[1]/u)
}

// sameFiles reports whether both were read from files with the same content.
func (c *Comparison) sameFiles() bool {
	hashes := func(j *Job) (list []string) {
		for _, in := range j.Inputs {
			list = append(list, in.SHA256)
		}
		slices.Sort(list)
		return list
	}
	a := hashes(c.A)
	return len(a) > 0 && slices.Equal(a, hashes(c.B))
}
