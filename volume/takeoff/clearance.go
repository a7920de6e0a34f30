package takeoff

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"barrow/tin"
	"barrow/tin/formation"
)

// checkClearances refuses clearances that cannot be told apart or measured.
func (j *Job) checkClearances() error {
	for i := range j.Clearances {
		if err := j.checkClearance(i); err != nil {
			return err
		}
	}
	return nil
}

// checkClearance checks one clearance, also against those before it. What it says is
// in the job's unit; only At is in metres, as everywhere.
func (j *Job) checkClearance(i int) error {
	c, key := &j.Clearances[i], fmt.Sprintf("clearance[%d].", i)
	if strings.TrimSpace(c.Name) == "" {
		return badJob(codeBadValue, key+"name", "a clearance without a name", "name it: a warning must say which one is broken")
	}
	if k := slices.IndexFunc(j.Clearances, func(d Clearance) bool { return d.Name == c.Name }); k < i {
		return badJob(codeClearanceName, key+"name", fmt.Sprintf("clearance[%d] is named %q too", k, c.Name), "give each clearance a name of its own")
	}
	m := c.metric(1, 1)
	e := asInputError(m.Check())
	if e == nil {
		return nil
	}
	placed := *e
	placed.Key = key + e.Key
	if e.At != nil {
		at := scalePoint(*e.At, j.Units.Metres())
		placed.At = &at
	}
	return &placed
}

// metric returns the clearance in metres on the grid.
func (c *Clearance) metric(unit, scale float64) formation.Clearance {
	out := formation.Clearance{Name: c.Name, Inside: c.Inside, Area: scaleMultiPolygon(c.Area, unit), Distance: c.Distance * unit * scale}
	for _, l := range c.Lines {
		out.Lines = append(out.Lines, scaleLineString(l, unit))
	}
	for _, p := range c.Points {
		out.Points = append(out.Points, scalePoint(p, unit))
	}
	return out
}

// clear holds the works against the clearances.
func (r *run) clear() error {
	var list []formation.Clearance
	for i := range r.job.Clearances {
		list = append(list, r.job.Clearances[i].metric(r.unit, r.scale))
	}
	cleared, err := r.layout.Clearances(r.ctx, r.ground, r.dig, list)
	if err != nil {
		return err
	}
	r.cleared = cleared
	for i := range cleared {
		r.tellClearance(&r.job.Clearances[i], &cleared[i])
	}
	return nil
}

// tellClearance warns of a clearance that is broken, and notes one so far off that
// its coordinates may be wrong.
func (r *run) tellClearance(c *Clearance, got *formation.Cleared) {
	switch {
	case !got.Kept:
		r.warnings = append(r.warnings, tin.Problem{Code: WarnClearance, At: &got.At, Message: fmt.Sprintf(
			"clearance %q is broken: %s of the works of %s, measured as asked, are past its line, by up to %s",
			c.Name, r.area(got.Area), strings.Join(r.padNames(got.Pads), ", "), r.groundLength(got.Overlap))})
	case got.Off:
		r.notes = append(r.notes, tin.Problem{Code: NoteClearanceOff, At: &got.At, Message: fmt.Sprintf(
			"clearance %q lies wholly off the works and is kept: clear by %s; see that its coordinates are right", c.Name, r.groundLength(got.Least))})
	}
}

// groundLength writes a length on the grid, metres, as one on the ground in the job's unit.
func (r *run) groundLength(m float64) string {
	return fmt.Sprintf("%.3f %s", m/r.lengthUnit(), r.job.units().Length)
}

func (r *run) padNames(pads []int) []string {
	names := []string{}
	for _, i := range pads {
		names = append(names, r.job.Pads[i].Name)
	}
	return names
}

// clearances returns how the works lie to every clearance.
func (r *run) clearances() (list []ClearanceResult) {
	for i, got := range r.cleared {
		c := &r.job.Clearances[i]
		res := ClearanceResult{Name: c.Name, Stay: StayOutside, Distance: c.Distance, Kept: got.Kept,
			Area: got.Area / r.areaUnit(), Overlap: got.Overlap / r.lengthUnit(), Pads: r.padNames(got.Pads)}
		if c.Inside {
			res.Stay = StayInside
		}
		if !math.IsInf(got.Least, 1) {
			least := got.Least / r.lengthUnit()
			res.Least, res.At = &least, &Place{got.At[0] / r.unit, got.At[1] / r.unit}
		}
		list = append(list, res)
	}
	return list
}
