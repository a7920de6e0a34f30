package takeoff

import (
	"fmt"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/tin/formation"
	"barrow/volume/takeoff/internal/tomltree"
)

// planToSite reads the move of a drawing to the site, in the job's unit; nil
// for none.
func (l *loader) planToSite(n *tomltree.Node) *formation.PlanToSite {
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
	plan, site := pair("plan"), pair("site")
	if l.err != nil {
		return nil
	}
	move, err := formation.NewPlanToSite(plan, site, l.job.Units, l.job.scale())
	if err != nil {
		l.failWith(n, err)
		return nil
	}
	return move
}

func movePolygon(t *formation.PlanToSite, p orb.Polygon) orb.Polygon {
	out := make(orb.Polygon, len(p))
	for i, r := range p {
		out[i] = make(orb.Ring, len(r))
		for j, q := range r {
			out[i][j] = t.Apply(q)
		}
	}
	return out
}

// moveSpots moves points where they are.
func moveSpots(t *formation.PlanToSite, points []tin.Point) []tin.Point {
	for i := range points {
		q := t.Apply(orb.Point{points[i].E, points[i].N})
		points[i].E, points[i].N = q[0], q[1]
	}
	return points
}

// moveLines moves their vertices where they are.
func moveLines(t *formation.PlanToSite, lines []tin.Breakline) []tin.Breakline {
	for _, b := range lines {
		moveSpots(t, b.Vertices)
	}
	return lines
}
