package takeoff

import (
	"fmt"
	"math"
	"strings"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
)

// outlet says that water finds no way out of some works, or that it is not known.
type outlet struct {
	Caution
	at *orb.Point // of the lowest ground round them, metres
}

// findOutlets looks round each connected part of the works, along its rim in plan, for
// ground that is not above the lowest formation in it.
func (r *run) findOutlets() error {
	for _, works := range r.dig.Outline {
		if err := r.ctx.Err(); err != nil {
			return err
		}
		names, low := r.lowestWithin(works)
		if len(names) == 0 {
			continue
		}
		stations, err := r.ground.Profile(orb.LineString(works[0]))
		if err != nil {
			return err
		}
		rim, at, whole := math.Inf(1), orb.Point{}, true
		for i, s := range stations {
			whole = whole && (s.Ground || i == len(stations)-1)
			if p := (orb.Point{s.E, s.N}); s.Level < rim || s.Level == rim && Place(p).before(Place(at)) {
				rim, at = s.Level, p
			}
		}
		pads := strings.Join(names, ", ")
		switch {
		case rim <= low+leastFace:
		case !whole:
			r.outlets = append(r.outlets, outlet{Caution{Code: CodeOutletUnknown,
				Message: pads + ": the ground round the works is not all surveyed, so that it is not known whether water has an outlet"}, nil})
		default:
			r.outlets = append(r.outlets, outlet{Caution{Code: CodeNoOutlet, Message: fmt.Sprintf("%s: formation down to %.3f %s, below all ground round it, which is %.3f %s at the lowest: "+
				"no outlet for water: drain or sump not measured", pads, low/r.unit, r.job.units().Length, rim/r.unit, r.job.units().Length)}, &at})
		}
	}
	return nil
}

// lowestWithin names the pads that rule within some works, and gives the lowest level of
// their formation, metres. A pad is all in the works that one place of it is in.
func (r *run) lowestWithin(works orb.Polygon) (names []string, low float64) {
	low = math.Inf(1)
	box := works.Bound()
	for i := range r.layout.Pads {
		p := &r.layout.Pads[i]
		if len(p.Facets) == 0 {
			continue
		}
		if c := centroid(p.Facets[0].Cell); !box.Contains(c) || !planar.PolygonContains(works, c) {
			continue
		}
		names = append(names, p.Pad.Name)
		for _, f := range p.Facets {
			for _, c := range f.Cell.Corner {
				low = min(low, f.Plane.LevelAt(c[0], c[1]))
			}
		}
	}
	return names, low
}
