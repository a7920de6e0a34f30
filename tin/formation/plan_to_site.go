package formation

import (
	"math"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// PlanToSite takes a drawing's own coordinates to the site, all in one unit. It
// turns and shifts, and never mirrors; a drawing is in ground lengths, so it is
// drawn out to the grid by the scale, and never scaled otherwise. It is
// immutable; a nil one moves nothing.
type PlanToSite struct {
	plan, site orb.Point // the first point of each; it is held
	cos, sin   float64   // of the turn, anticlockwise, by the scale
	misfit     float64
}

const (
	greatestMisfit = 0.02 // metres
	misfitSlack    = 1e-6 // metres; map coordinates are no finer than a nanometre, so that 0.02 itself passes
)

// NewPlanToSite returns the move that takes two points of a drawing to the same
// two points on the site, all in the unit; scale is grid distance / ground
// distance, 0 counts as 1. The first point is held, the second gives the
// direction; a difference between the two distances stays at the second point
// and is told by [PlanToSite.Misfit].
//
// Distances that differ by over 0.02 m are a *tin.InputError that gives both;
// so are two points that are one, or no finite numbers, with key "plan" or
// "site".
func NewPlanToSite(plan, site [2]orb.Point, unit tin.Unit, scale float64) (*PlanToSite, error) {
	if scale == 0 {
		scale = 1
	}
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
	onGround := length[1] / scale
	misfit := onGround - length[0]
	if math.Abs(misfit)*unit.Metres() > greatestMisfit+misfitSlack {
		return nil, inputError(CodePlanToSiteLength, "", "check the points, and the unit and scale of the drawing: it is turned and shifted, never scaled",
			"the two points are %.3f %[5]s apart on the plan and %.3[2]f %[5]s on the site, a difference of %.3[3]f %[5]s (over %.3[4]g %[5]s)",
			length[0], onGround, math.Abs(misfit), greatestMisfit/unit.Metres(), unit)
	}
	ue, un := (plan[1][0]-plan[0][0])/length[0], (plan[1][1]-plan[0][1])/length[0]
	ve, vn := (site[1][0]-site[0][0])/length[1], (site[1][1]-site[0][1])/length[1]
	cos := float64(ue*ve) + float64(un*vn)
	sin := float64(ue*vn) - float64(un*ve)
	// Dividing by their own length, and not by the points', keeps quarter turns exact.
	h := math.Hypot(cos, sin)
	return &PlanToSite{plan: plan[0], site: site[0], cos: cos / h * scale, sin: sin / h * scale, misfit: misfit}, nil
}

// Misfit returns the distance of the two points on the site, as a length on the
// ground, less that on the plan.
func (t *PlanToSite) Misfit() float64 { return t.misfit }

// Apply returns the site coordinates of a point of the plan.
func (t *PlanToSite) Apply(p orb.Point) orb.Point {
	if t == nil {
		return p
	}
	e, n := p[0]-t.plan[0], p[1]-t.plan[1]
	return orb.Point{
		t.site[0] + (float64(t.cos*e) - float64(t.sin*n)),
		t.site[1] + (float64(t.sin*e) + float64(t.cos*n)),
	}
}
