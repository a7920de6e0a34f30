package daylight

import "math"

// Profile is how a batter rises with the distance from the formation outline:
// straight, 1V:nH, or with a level berm after each rise of Every. The zero value
// is an upright face.
type Profile struct {
	Along float64 // n: metres along on the grid for each metre up; 0 is upright
	Every float64 // metres of rise between berms; 0: no berms
	Berm  float64 // width of a berm, metres on the grid
}

// Upright reports whether there is no batter.
func (p Profile) Upright() bool { return p.Along == 0 }

// band is a stretch of a profile: from a distance outwards, with the rise there.
type band struct{ from, to, rise, slope float64 }

// bands returns the profile out to a reach, distances in units of length metres;
// the last band has no end.
func (p Profile) bands(reach, length float64) []band {
	slope := length / p.Along
	if !(p.Every > 0 && p.Berm > 0) {
		return []band{{0, math.Inf(1), 0, slope}}
	}
	var out []band
	face, berm := p.Every*p.Along/length, p.Berm/length
	for i := 0; ; i++ {
		from, rise := float64(i)*(face+berm), float64(i)*p.Every
		if from >= reach {
			break
		}
		out = append(out, band{from, from + face, rise, slope}, band{from + face, from + face + berm, rise + p.Every, 0})
	}
	out[len(out)-1].to = math.Inf(1)
	return out
}
