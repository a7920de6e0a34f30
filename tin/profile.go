package tin

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin/internal/mesh"
)

// Station is a place of a profile.
type Station struct {
	Chainage float64 // along the line from its start, metres
	E, N     float64 // metres
	Level    float64 // metres; NaN where there is no ground
	Ground   bool    // there is ground from here to the next station
}

// Profile returns the ground along a line in metres, by its stations: the
// line's vertices and every place where it crosses an edge of the surface, the
// boundary or a void. Between stations that are on the ground the level is
// linear. Where the ground ends, the last station before has Ground false.
func (s *Surface) Profile(line orb.LineString) ([]Station, error) {
	if len(line) < 2 {
		return nil, &InputError{Code: "line_short", Message: fmt.Sprintf("the line has %d of at least two points", len(line))}
	}
	if err := checkLine(line); err != nil {
		return nil, err
	}
	var stations []Station
	c := profiler{s: s, hint: -1, seen: make(map[int32]bool)}
	chainage := 0.0
	for i := 1; i < len(line); i++ {
		length := math.Hypot(line[i][0]-line[i-1][0], line[i][1]-line[i-1][1])
		if length == 0 {
			continue
		}
		stretch := c.stretch(line[i-1], line[i])
		for k, st := range stretch {
			if k == 0 && len(stations) > 0 {
				last := &stations[len(stations)-1]
				last.Ground = st.Ground
				if math.IsNaN(last.Level) {
					last.Level = st.Level
				}
				continue
			}
			st.Chainage = chainage + float64(st.Chainage*length)
			stations = append(stations, st)
		}
		chainage += length
	}
	if len(stations) == 0 {
		return nil, &InputError{Code: "line_short", Message: "all points of the line are at one place"}
	}
	return stations, nil
}

// checkLine returns an error if a point of a line is no place.
func checkLine(line orb.LineString) error {
	for i, p := range line {
		if !isPlace(p) {
			return &InputError{
				Code: "bad_coordinate", Message: fmt.Sprintf("point %d of the line, %v, %v, is not a place", i+1, p[0], p[1]),
				Hint: fmt.Sprintf("give finite numbers within ±%g", float64(maxCoordinate)),
			}
		}
	}
	return nil
}

// profiler walks a surface along one straight stretch after another.
type profiler struct {
	s     *Surface
	hint  int32
	seen  map[int32]bool // triangles of the stretch
	stack []int32
}

// stretch returns the stations of one straight stretch; Chainage runs from 0 to
// 1.
func (c *profiler) stretch(from, to orb.Point) []Station {
	tr := c.s.frame.track(from, to)
	along := c.stationsAlong(&tr)
	level := func(t float64) (z float64, ok bool) {
		x, y := tr.at(t)
		for _, off := range [...]float64{0, 2 * tr.near, -2 * tr.near} {
			z, c.hint, ok = c.s.levelAt(x-float64(off*tr.uy), y+float64(off*tr.ux), c.hint)
			if ok {
				break
			}
		}
		return z, ok
	}
	stations := make([]Station, len(along))
	for i, t := range along {
		// The ends as given, whatever the rounding between.
		e, n := from[0]+float64(t*(to[0]-from[0])), from[1]+float64(t*(to[1]-from[1]))
		if t == 1 {
			e, n = to[0], to[1]
		}
		st := Station{Chainage: t, E: e, N: n, Level: math.NaN()}
		if z, ok := level(t); ok {
			st.Level = z
		}
		if i+1 < len(along) {
			_, st.Ground = level((t + along[i+1]) / 2)
		}
		stations[i] = st
	}
	rim(stations, along, level)
	return stations
}

// stationsAlong returns where the stations of a stretch are, from 0 to 1.
func (c *profiler) stationsAlong(tr *track) []float64 {
	along := []float64{0, 1}
	add := func(t float64) {
		if t > 0 && t < 1 {
			along = append(along, t)
		}
	}
	m := c.s.mesh
	for _, e := range c.corridor(tr) {
		a, b := m.V[e], m.V[mesh.Next(e)]
		tr.meet(m.P[a].X, m.P[a].Y, m.P[b].X, m.P[b].Y, add)
	}
	for _, polygons := range [][]localPolygon{c.s.limits.boundary, c.s.limits.voids} {
		for _, p := range polygons {
			for _, ring := range p {
				for i, a := range ring {
					b := ring[(i+1)%len(ring)]
					tr.meet(a[0], a[1], b[0], b[1], add)
				}
			}
		}
	}
	slices.Sort(along)
	along = slices.CompactFunc(along, func(a, b float64) bool { return math.Abs(b-a) < 1e-14 })
	along[len(along)-1] = 1 // not the station just before it
	return along
}

// rim gives a level to stations where the ground begins or ends and rounding
// put the station just outside: the line's through the middle of the stretch
// and the other end.
func rim(stations []Station, along []float64, level func(t float64) (float64, bool)) {
	for i := range stations {
		if !math.IsNaN(stations[i].Level) {
			continue
		}
		for _, j := range [...]int{i + 1, i - 1} {
			if j < 0 || j >= len(stations) || !stations[min(i, j)].Ground {
				continue
			}
			u, v := along[i]+float64((along[j]-along[i])/4), (along[i]+along[j])/2
			zu, okU := level(u)
			zv, okV := level(v)
			if okV {
				stations[i].Level = zv
				if okU {
					stations[i].Level = zu + (zu - zv)
				}
				break
			}
		}
	}
}

// corridor returns the edges of the surface that a stretch meets, by a flood
// over triangles that touch it.
func (c *profiler) corridor(tr *track) []int32 {
	m := c.s.mesh
	meets := func(e int32) bool {
		a, b := m.V[e], m.V[mesh.Next(e)]
		return tr.mayMeet(m.P[a].X, m.P[a].Y, m.P[b].X, m.P[b].Y)
	}
	clear(c.seen)
	var edges []int32
	reach := func(t int32) {
		if !c.seen[t] {
			c.seen[t] = true
			c.stack = append(c.stack, t)
		}
	}
	if t := m.Locate(tr.px, tr.py, c.hint); t >= 0 {
		c.hint = t
		reach(t)
	} else if t := m.Locate(tr.qx, tr.qy, c.hint); t >= 0 {
		reach(t)
	} else {
		for _, e := range c.s.hull {
			if meets(e) {
				reach(e / 3)
			}
		}
	}
	for len(c.stack) > 0 {
		t := c.stack[len(c.stack)-1]
		c.stack = c.stack[:len(c.stack)-1]
		for e := 3 * t; e < 3*t+3; e++ {
			if !meets(e) {
				continue
			}
			if f := m.N[e]; f < 0 || e < f || !c.seen[f/3] {
				edges = append(edges, e)
			}
			if f := m.N[e]; f >= 0 {
				reach(f / 3)
			}
		}
	}
	return edges
}
