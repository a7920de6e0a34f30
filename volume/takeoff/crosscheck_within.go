package takeoff

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"barrow/section"
)

// withinProfile is a formation as far as it lies within polygons, for sections.
type withinProfile struct {
	section.Profiler
	within orb.MultiPolygon
}

// aside is how far beside a section, in metres, it is seen on which side of it a
// polygon ends.
const aside = 1e-6

// Profile implements [section.Profiler].
func (w withinProfile) Profile(from, to orb.Point, side section.Side) (out []section.Stretch, err error) {
	stretches, err := w.Profiler.Profile(from, to, side)
	if err != nil {
		return nil, err
	}
	length := math.Hypot(to[0]-from[0], to[1]-from[1])
	u := orb.Point{(to[0] - from[0]) / length, (to[1] - from[1]) / length}
	step := aside
	if side == section.Behind {
		step = -step
	}
	// Beside the line, ahead of it to the left.
	cuts := w.cuts(orb.Point{from[0] - float64(step*u[1]), from[1] + float64(step*u[0])}, u)
	for _, s := range stretches {
		for len(cuts) > 1 && cuts[1] <= s.From {
			cuts = cuts[2:]
		}
		for k := 1; k < len(cuts) && cuts[k-1] < s.To; k += 2 {
			part := s
			part.From, part.To = max(s.From, cuts[k-1]), min(s.To, cuts[k])
			if part.Level = s.LevelAt(part.From); part.To > part.From {
				out = append(out, part)
			}
		}
	}
	return out, nil
}

// cuts returns the offsets at which a line crosses the sides of the polygons, in order:
// it enters at the first, leaves at the second, and so on.
func (w withinProfile) cuts(from, u orb.Point) (offsets []float64) {
	for _, p := range w.within {
		for _, ring := range p {
			for i, b := range ring {
				a := ring[(i+len(ring)-1)%len(ring)]
				off := func(q orb.Point) float64 {
					return float64(u[0]*(q[1]-from[1])) - float64(u[1]*(q[0]-from[0]))
				}
				s, t := off(a), off(b)
				if (s < 0) == (t < 0) {
					continue
				}
				k := s / (s - t)
				e, n := a[0]+float64(k*(b[0]-a[0]))-from[0], a[1]+float64(k*(b[1]-a[1]))-from[1]
				offsets = append(offsets, float64(e*u[0])+float64(n*u[1]))
			}
		}
	}
	slices.Sort(offsets)
	return offsets
}

// withinAt finds whether a place lies within polygons: what a grid asks. It keeps their
// sides in bands of northing.
type withinAt struct {
	low, high float64
	bands     [][][2]orb.Point
}

func newWithinAt(within orb.MultiPolygon) *withinAt {
	b := within.Bound()
	w := &withinAt{low: b.Min[1], high: b.Max[1]}
	var sides [][2]orb.Point
	for _, p := range within {
		for _, ring := range p {
			for i, c := range ring {
				sides = append(sides, [2]orb.Point{ring[(i+len(ring)-1)%len(ring)], c})
			}
		}
	}
	w.bands = make([][][2]orb.Point, len(sides))
	for _, s := range sides {
		for i := w.band(min(s[0][1], s[1][1])); i <= w.band(max(s[0][1], s[1][1])); i++ {
			w.bands[i] = append(w.bands[i], s)
		}
	}
	return w
}

// band returns the number of the band that holds a northing.
func (w *withinAt) band(n float64) int {
	share := (n - w.low) / (w.high - w.low)
	return min(max(int(share*float64(len(w.bands))), 0), len(w.bands)-1)
}

// holds reports whether a place lies within: whether a line to the east from it meets an
// odd number of sides.
func (w *withinAt) holds(p orb.Point) (in bool) {
	if !(p[1] >= w.low && p[1] <= w.high) {
		return false
	}
	for _, s := range w.bands[w.band(p[1])] {
		a, b := s[0], s[1]
		if (a[1] > p[1]) == (b[1] > p[1]) {
			continue
		}
		if a[1] > b[1] {
			a, b = b, a
		}
		if float64((b[0]-a[0])*(p[1]-a[1]))-float64((b[1]-a[1])*(p[0]-a[0])) > 0 {
			in = !in
		}
	}
	return in
}
