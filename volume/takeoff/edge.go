package takeoff

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// stepTolerance is how far two surveys may be apart where one takes over from
// the other, metres. Common practice, no source.
const stepTolerance = 0.05

// compareEdge holds the ground of a survey's own points against the ground of
// those before it along the edge of the new ground, and warns of a step: two
// surveys of the same ground agree there but for a slip of the datum.
func (r *run) compareEdge(a SurveyArea, area *tin.Area) error {
	s := &r.surveys[a.Survey]
	edge, err := r.edge(a, area)
	if e := asInputError(err); e != nil {
		r.notes = append(r.notes, tin.Problem{Code: NoteNotCompared, Message: fmt.Sprintf(
			"%s: its levels were not held against the earlier ones, since one of the two makes no ground by itself: %s", orSurvey(s.result.Name), e.Message)})
		return nil
	}
	if err != nil {
		return err
	}
	if edge.at == nil {
		r.notes = append(r.notes, tin.Problem{Code: NoteNotCompared, Message: fmt.Sprintf(
			"%s: its levels were not held against the earlier ones, since there is no earlier ground along the edge of its own", orSurvey(s.result.Name))})
		return nil
	}
	tolerance := r.job.Surveys[a.Survey].StepTolerance
	if !(tolerance > 0) {
		tolerance = stepTolerance / r.unit
	}
	length := edge.length.Value()
	step := &StepResult{
		Length: length / r.lengthUnit(), Mean: edge.sum.Value() / length / r.unit, Greatest: edge.greatest / r.unit,
		At: Place{edge.at[0] / r.unit, edge.at[1] / r.unit}, Tolerance: tolerance,
	}
	s.result.Replaces.Step = step
	// Levels of decimals differ by their tolerance but for rounding.
	if math.Abs(step.Greatest) > tolerance+1e-9/r.unit {
		r.warnings = append(r.warnings, tin.Problem{Code: WarnSurveyStep, At: edge.at, Message: fmt.Sprintf(
			"%s lies apart from the earlier ground along the edge of its own: %+.3f %s in the mean over %s, %+.3f %s at most (tolerance %.3g): a slip of the datum makes a false step there",
			orSurvey(s.result.Name), step.Mean, r.job.units().Length, r.length(length/r.scale), step.Greatest, r.job.units().Length, tolerance)})
	}
	return nil
}

// edge compares the two grounds along the rim of the area and along the border
// of the survey's own, as far as that lies inside.
func (r *run) edge(a SurveyArea, area *tin.Area) (*edgeStep, error) {
	opts := r.groundOptions()
	before, err := tin.Build(r.ctx, sourcesOf(r.surveys[:a.Survey]), opts)
	if err != nil {
		return nil, err
	}
	opts.Boundary, opts.Voids, opts.MaxEdge = a.Area, nil, 0
	after, err := tin.Build(r.ctx, r.surveys[a.Survey].sources, opts)
	if err != nil {
		return nil, err
	}
	e := &edgeStep{before: before, after: after}
	for _, side := range edgeSides(after, scaleMultiPolygon(a.Area, r.unit), func(p orb.Point) bool { return area.Side(p[0]/r.unit, p[1]/r.unit) == 0 }) {
		if err := r.ctx.Err(); err != nil {
			return nil, err
		}
		if err := e.along(side); err != nil {
			return nil, err
		}
	}
	return e, nil
}

// edgeSides returns the sides of an area, in metres, and those of a ground's
// border that do not lie on its rim, in an order that depends on coordinates
// only.
func edgeSides(ground *tin.Surface, area orb.MultiPolygon, onRim func(orb.Point) bool) (sides [][4]float64) {
	add := func(p, q orb.Point) {
		if p == q {
			return
		}
		if q[0] < p[0] || q[0] == p[0] && q[1] < p[1] {
			p, q = q, p
		}
		sides = append(sides, [4]float64{p[0], p[1], q[0], q[1]})
	}
	for _, p := range area {
		for _, ring := range p {
			for i := range ring {
				add(ring[i], ring[(i+1)%len(ring)])
			}
		}
	}
	for t, i := range ground.Rim() {
		c := ground.Triangle(t).Corner
		p, q := c[i], c[(i+1)%3]
		if !onRim(orb.Point{(p.E + q.E) / 2, (p.N + q.N) / 2}) {
			add(orb.Point{p.E, p.N}, orb.Point{q.E, q.N})
		}
	}
	slices.SortFunc(sides, func(a, b [4]float64) int { return slices.Compare(a[:], b[:]) })
	return slices.Compact(sides)
}

// edgeStep gathers how a later ground lies to an earlier one along lines,
// metres on the grid.
type edgeStep struct {
	before, after *tin.Surface
	length        tin.Sum    // where both have ground
	sum           tin.Sum    // of the later level less the earlier, times the length
	greatest      float64    // by amount
	at            *orb.Point // of greatest; nil: nothing was compared
}

// along adds a side. Between the stations of both profiles the difference of
// levels is linear.
func (e *edgeStep) along(side [4]float64) error {
	line := orb.LineString{{side[0], side[1]}, {side[2], side[3]}}
	before, err := e.before.Profile(line)
	if err != nil {
		return err
	}
	after, err := e.after.Profile(line)
	if err != nil {
		return err
	}
	for i, j := 0, 0; i+1 < len(before) && j+1 < len(after); {
		from, to := max(before[i].Chainage, after[j].Chainage), min(before[i+1].Chainage, after[j+1].Chainage)
		if to > from && before[i].Ground && after[j].Ground {
			e.add(before[i:i+2], after[j:j+2], from, to, line)
		}
		nextBefore, nextAfter := before[i+1].Chainage <= to, after[j+1].Chainage <= to
		if nextBefore {
			i++
		}
		if nextAfter {
			j++
		}
	}
	return nil
}

// add adds the part of a line from one chainage to another.
func (e *edgeStep) add(before, after []tin.Station, from, to float64, line orb.LineString) {
	step := func(t float64) float64 { return levelBetween(after, t) - levelBetween(before, t) }
	first, last := step(from), step(to)
	if math.IsNaN(first + last) {
		return
	}
	e.length.Add(to - from)
	e.sum.Add((first + last) / 2 * (to - from))
	e.see(first, from, line)
	e.see(last, to, line)
}

// see keeps the greatest step, the first of equal ones.
func (e *edgeStep) see(step, t float64, line orb.LineString) {
	if e.at != nil && math.Abs(step) <= math.Abs(e.greatest) {
		return
	}
	p, q := line[0], line[1]
	k := t / math.Hypot(q[0]-p[0], q[1]-p[1])
	e.greatest, e.at = step, &orb.Point{p[0] + float64(k*(q[0]-p[0])), p[1] + float64(k*(q[1]-p[1]))}
}

// levelBetween returns the level at a chainage between two stations.
func levelBetween(s []tin.Station, t float64) float64 {
	k := (t - s[0].Chainage) / (s[1].Chainage - s[0].Chainage)
	return s[0].Level + float64(k*(s[1].Level-s[0].Level))
}
