package takeoff

import (
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"barrow/tin"
	"barrow/tin/formation"
)

// outlets looks whether water can run off each formation: along its rim, with the margin,
// the ground must be below it somewhere. Pads that are one for their margin share a rim.
// Where another pad's formation adjoins, that counts in place of the ground.
func (s *settingOut) outlets() error {
	for i := range s.run.layout.Outlines {
		o := &s.run.layout.Outlines[i]
		least, err := s.leastRim(i, o)
		if err != nil {
			return err
		}
		if math.IsInf(least, 1) {
			continue // no ground along it
		}
		for _, pad := range o.Pads {
			rim := least / s.run.unit
			s.res.Pads[pad].Rim, s.res.Pads[pad].Pond = &rim, rim > 0
		}
	}
	return nil
}

// leastRim returns the least height of the ground above a formation along its outer rim,
// metres.
func (s *settingOut) leastRim(outline int, o *formation.Outline) (least float64, err error) {
	least = math.Inf(1)
	ring := o.Rings[0]
	for k, c := range ring {
		next := ring[(k+1)%len(ring)]
		a, b := orb.Point{c.E, c.N}, orb.Point{next.E, next.N}
		if a == b {
			continue
		}
		stations, err := s.run.ground.Profile(orb.LineString{a, b})
		if err != nil {
			return 0, err
		}
		length := planar.Distance(a, b)
		for _, st := range append(stations, s.feet(outline, a, b)...) {
			if math.IsNaN(st.Level) {
				continue
			}
			level := c.Level + float64((next.Level-c.Level)*(st.Chainage/length))
			least = min(least, s.roundAbout(outline, st, level)-level)
		}
	}
	return least, nil
}

// feet returns the places of a side that the corners of other outlines stand beside:
// between two of them another pad adjoins all along, or not at all.
func (s *settingOut) feet(outline int, a, b orb.Point) (list []tin.Station) {
	length := planar.Distance(a, b)
	along := orb.Point{(b[0] - a[0]) / length, (b[1] - a[1]) / length}
	for i := range s.run.layout.Outlines {
		if i == outline {
			continue
		}
		for _, c := range s.run.layout.Outlines[i].Rings[0] {
			chainage := float64((c.E-a[0])*along[0]) + float64((c.N-a[1])*along[1])
			if !(chainage > 0 && chainage < length) {
				continue
			}
			st := tin.Station{Chainage: chainage, E: a[0] + float64(chainage*along[0]), N: a[1] + float64(chainage*along[1])}
			if level, ok := s.run.ground.LevelAt(st.E, st.N); ok {
				st.Level = level
				list = append(list, st)
			}
		}
	}
	return list
}

// sameFormation is how near two formations that adjoin must be to be one for water,
// metres.
const sameFormation = 1e-3

// roundAbout returns the level beside a place of a rim whose formation is at level: of
// the ground or, where other pads reach there, of the lowest of their formations. One
// that is level with it lets no water out, and counts as endlessly high.
func (s *settingOut) roundAbout(outline int, st tin.Station, level float64) float64 {
	at, beside, reached := orb.Point{st.E, st.N}, math.Inf(1), false
	for i := range s.run.layout.Outlines {
		o := &s.run.layout.Outlines[i]
		if i == outline || !o.Reaches(at) {
			continue
		}
		reached = true
		for _, pad := range o.Pads {
			if l, ok := s.run.layout.Pads[pad].LevelAt(at); ok && math.Abs(l-level) > sameFormation {
				beside = min(beside, l)
			}
		}
	}
	if !reached {
		return st.Level
	}
	return beside
}
