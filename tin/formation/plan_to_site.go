package formation

import (
	"math"

	"github.com/paulmach/orb"
)

// PlanToSite takes a drawing's own coordinates to the site: it turns and
// shifts, and never scales or mirrors. It is immutable.
type PlanToSite struct {
	plan, site orb.Point // the first point of each; it is held
	cos, sin   float64   // of the turn, anticlockwise
	misfit     float64
}

const (
	greatestMisfit = 0.02 // metres
	misfitSlack    = 1e-6 // metres; map coordinates are no finer than a nanometre, so that 0.02 itself passes
)

// NewPlanToSite returns the move that takes two points of a drawing to the same
// two points on the site, all in metres. The first point is held, the second
// gives the direction; a difference between the two distances stays at the
// second point and is told by [PlanToSite.Misfit].
//
// Distances that differ by over 0.02 m are a *tin.InputError that gives both;
// so are two points that are one, or no finite numbers, with key "plan" or
// "site".
func NewPlanToSite(plan, site [2]orb.Point) (*PlanToSite, error) {
	length := [2]float64{}
	for i, pair := range [][2]orb.Point{plan, site} {
		key := [...]string{"plan", "site"}[i]
		length[i] = distance(pair[0], pair[1])
		switch {
		case !isFinitePoint(pair[0]) || !isFinitePoint(pair[1]) || !isFinite(length[i]):
			return nil, inputError(CodePlanToSite, key, "give easting and northing of both points as finite numbers",
				"(%g, %g) and (%g, %g) are not two places", pair[0][0], pair[0][1], pair[1][0], pair[1][1])
		case length[i] == 0:
			return nil, inputError(CodePlanToSite, key, "give two points well apart",
				"both points are at (%.3f, %.3f)", pair[0][0], pair[0][1])
		}
	}
	misfit := length[1] - length[0]
	if math.Abs(misfit) > greatestMisfit+misfitSlack {
		return nil, inputError(CodePlanToSiteLength, "", "check the points, and the unit and scale of the drawing: it is turned and shifted, never scaled",
			"the two points are %.3f m apart on the plan and %.3f m on the site, a difference of %.3f m (over %.2f m)",
			length[0], length[1], math.Abs(misfit), greatestMisfit)
	}
	ue, un := (plan[1][0]-plan[0][0])/length[0], (plan[1][1]-plan[0][1])/length[0]
	ve, vn := (site[1][0]-site[0][0])/length[1], (site[1][1]-site[0][1])/length[1]
	cos := float64(ue*ve) + float64(un*vn)
	sin := float64(ue*vn) - float64(un*ve)
	// Dividing by their own length, and not by the points', keeps quarter turns exact.
	h := math.Hypot(cos, sin)
	return &PlanToSite{plan: plan[0], site: site[0], cos: cos / h, sin: sin / h, misfit: misfit}, nil
}

// Misfit returns the distance of the two points on the site less that on the
// plan, metres.
func (t *PlanToSite) Misfit() float64 { return t.misfit }

// Apply returns the site coordinates of a point of the plan, metres.
func (t *PlanToSite) Apply(p orb.Point) orb.Point {
	e, n := p[0]-t.plan[0], p[1]-t.plan[1]
	return orb.Point{
		t.site[0] + (float64(t.cos*e) - float64(t.sin*n)),
		t.site[1] + (float64(t.sin*e) + float64(t.cos*n)),
	}
}
