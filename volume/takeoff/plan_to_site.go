package takeoff

import (
	"fmt"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/tin/formation"
	"barrow/volume/takeoff/internal/tomltree"
)

// planToSite takes a drawing's coordinates to the grid, in the job's unit. A
// drawing is in ground lengths, so with a scale they are drawn out first. Nil
// moves nothing.
type planToSite struct {
	move  *formation.PlanToSite
	unit  float64 // metres per unit
	scale float64
}

func (l *loader) planToSite(n *tomltree.Node) *planToSite {
	const example = `plan_to_site = { plan = [[0, 0], [30, 0]], site = ["B1", "B2"] }`
	if n == nil || !l.want(n, tomltree.Table, example) {
		return nil
	}
	pair := func(key string) (p [2]orb.Point) {
		list := l.need(n, key, example)
		if list == nil || !l.want(list, tomltree.Array, example) {
			return p
		}
		if len(list.Items) != 2 {
			l.fail(list, codeBadValue, fmt.Sprintf("%d points, wanted two", len(list.Items)), "write it like "+example)
			return p
		}
		for i, item := range list.Items {
			if key == "plan" {
				p[i] = l.coordinates(item)
			} else {
				p[i] = l.place(item)
			}
		}
		return p
	}
	t := &planToSite{unit: l.job.Units.Metres(), scale: l.job.scale()}
	plan, site := pair("plan"), pair("site")
	if l.err != nil {
		return nil
	}
	for i := range plan {
		plan[i], site[i] = scalePoint(plan[i], t.unit*t.scale), scalePoint(site[i], t.unit)
	}
	var err error
	if t.move, err = formation.NewPlanToSite(plan, site); err != nil {
		l.failWith(n, err)
		return nil
	}
	return t
}

func (t *planToSite) point(p orb.Point) orb.Point {
	if t == nil {
		return p
	}
	return scalePoint(t.move.Apply(scalePoint(p, t.unit*t.scale)), 1/t.unit)
}

func (t *planToSite) polygon(p orb.Polygon) orb.Polygon {
	if t == nil {
		return p
	}
	out := make(orb.Polygon, len(p))
	for i, r := range p {
		out[i] = make(orb.Ring, len(r))
		for j, q := range r {
			out[i][j] = t.point(q)
		}
	}
	return out
}

func (t *planToSite) spots(points []tin.Point) []tin.Point {
	if t == nil {
		return points
	}
	for i := range points {
		q := t.point(orb.Point{points[i].E, points[i].N})
		points[i].E, points[i].N = q[0], q[1]
	}
	return points
}

func (t *planToSite) lines(lines []tin.Breakline) []tin.Breakline {
	if t == nil {
		return lines
	}
	for _, b := range lines {
		t.spots(b.Vertices)
	}
	return lines
}
