package landxml

import (
	"encoding/xml"
	"fmt"
	"math"
	"strconv"

	"barrow/tin"
)

// levelRange is what a definition states of its levels; NaN where it does not.
type levelRange struct{ least, greatest float64 }

func (x levelRange) String() string {
	switch {
	case math.IsNaN(x.least):
		return fmt.Sprintf("elevMax states a greatest level of %g", x.greatest)
	case math.IsNaN(x.greatest):
		return fmt.Sprintf("elevMin states a least level of %g", x.least)
	}
	return fmt.Sprintf("elevMin and elevMax state levels from %g to %g", x.least, x.greatest)
}

func (r *reader) levelRange(el xml.StartElement) (levelRange, error) {
	x := levelRange{math.NaN(), math.NaN()}
	for _, a := range []struct {
		name string
		to   *float64
	}{{"elevMin", &x.least}, {"elevMax", &x.greatest}} {
		if v := attr(el, a.name); v != "" {
			var err error
			if *a.to, err = r.number([]byte(v), r.line()); err != nil {
				return x, err
			}
		}
	}
	return x, nil
}

// checkRange holds the levels against those that the definition states, to 10 mm.
func (r *reader) checkRange(s *surface) {
	stated := s.definition.ranges
	least, greatest := math.Inf(1), math.Inf(-1)
	for _, p := range s.Points {
		least, greatest = min(least, p.Level), max(greatest, p.Level)
	}
	tolerance := 0.010 / r.file.Unit.Metres()
	if math.Abs(stated.least-least) > tolerance || math.Abs(stated.greatest-greatest) > tolerance {
		r.noteOf(s, "level_range_differs", fmt.Sprintf("%s; its points have %g to %g", stated, least, greatest))
	}
}

// areaUnits are the units of area of the schema, in square metres. An acre of
// survey feet is another by 4 parts in a million, which is no matter here.
func areaUnits() map[string]float64 {
	return map[string]float64{
		"squareMeter": 1, "hectare": 1e4, "squareCentimeter": 1e-4, "squareMillimeter": 1e-6,
		"squareFoot": 0.3048 * 0.3048, "acre": 4046.8564224, "squareInch": 0.0254 * 0.0254, "squareMiles": 1609.344 * 1609.344,
	}
}

// checkArea holds the plan area of the faces against what the definition states, to
// a thousandth.
func (r *reader) checkArea(s *surface) {
	stated, err := strconv.ParseFloat(s.definition.area, 64)
	if err != nil || !(stated > 0) || r.units == nil || areaUnits()[r.units.area] == 0 {
		return
	}
	u := r.units.linear.Metres()
	area := planArea(s.Points, s.Faces) * u * u / areaUnits()[r.units.area]
	if math.Abs(area-stated) > 1e-3*stated {
		r.noteOf(s, "area_differs", fmt.Sprintf("area2DSurf states %.6g %s; its visible faces cover %.6g", stated, r.units.area, area))
	}
}

// planArea adds the areas of faces, from differences.
func planArea(points []tin.Point, faces [][3]int32) float64 {
	var twice tin.Sum
	for _, f := range faces {
		a, b, c := &points[f[0]], &points[f[1]], &points[f[2]]
		twice.Add(float64((b.E-a.E)*(c.N-a.N)) - float64((c.E-a.E)*(b.N-a.N)))
	}
	return twice.Value() / 2
}
