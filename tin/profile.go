package tin

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin/internal/mesh"
	"barrow/tin/internal/robust"
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
	for i, p := range line {
		if !isFinite(p[0]) || !isFinite(p[1]) {
			return nil, &InputError{Code: "bad_coordinate", Message: fmt.Sprintf("point %d of the line, %v, %v, is not a place", i+1, p[0], p[1])}
		}
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
				stations[len(stations)-1].Ground = st.Ground
				continue
			}
			st.Chainage = chainage + st.Chainage*length
			stations = append(stations, st)
		}
		chainage += length
	}
	if len(stations) == 0 {
		return nil, &InputError{Code: "line_short", Message: "all points of the line are at one place"}
	}
	return stations, nil
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
	px, py := c.s.frame.Local(from)
	qx, qy := c.s.frame.Local(to)
	along := []float64{0, 1}
	add := func(t float64) {
		if t > 0 && t < 1 {
			along = append(along, t)
		}
	}
	for _, e := range c.corridor(px, py, qx, qy) {
		m := c.s.mesh
		a, b := m.V[e], m.V[mesh.Next(e)]
		crossAt(px, py, qx, qy, m.P[a].X, m.P[a].Y, m.P[b].X, m.P[b].Y, add)
	}
	for _, polygons := range [][]localPolygon{c.s.limits.boundary, c.s.limits.voids} {
		for _, p := range polygons {
			for _, ring := range p {
				for i, a := range ring {
					b := ring[(i+1)%len(ring)]
					crossAt(px, py, qx, qy, a[0], a[1], b[0], b[1], add)
				}
			}
		}
	}
	slices.Sort(along)
	along = slices.CompactFunc(along, func(a, b float64) bool { return b-a < 1e-14 })
	stations := make([]Station, len(along))
	hint := c.hint
	level := func(t float64) (z float64, ok bool) {
		z, hint, ok = c.s.levelAt(px+t*(qx-px), py+t*(qy-py), hint)
		return z, ok
	}
	for i, t := range along {
		// The ends as given, whatever the rounding between.
		e, n := from[0]+t*(to[0]-from[0]), from[1]+t*(to[1]-from[1])
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
	c.rim(stations, along, px, py, qx, qy)
	return stations
}

// rim gives a level to stations where the ground begins or ends and rounding
// put the station just outside: the line's through the middle of the stretch
// and the other end.
func (c *profiler) rim(stations []Station, along []float64, px, py, qx, qy float64) {
	for i := range stations {
		if !math.IsNaN(stations[i].Level) {
			continue
		}
		for _, j := range [...]int{i + 1, i - 1} {
			if j < 0 || j >= len(stations) || !stations[min(i, j)].Ground {
				continue
			}
			u, v := along[i]+(along[j]-along[i])/4, along[i]+(along[j]-along[i])/2
			zu, _, ok1 := c.s.levelAt(px+u*(qx-px), py+u*(qy-py), c.hint)
			zv, _, ok2 := c.s.levelAt(px+v*(qx-px), py+v*(qy-py), c.hint)
			if ok1 && ok2 {
				stations[i].Level = zu + (zu - zv)
				break
			}
		}
	}
}

// crossAt calls add with the place along p-q where it crosses or touches the
// edge a-b, computed from the edge's lesser end.
func crossAt(px, py, qx, qy, ax, ay, bx, by float64, add func(t float64)) {
	sa, sb := robust.Orient(px, py, qx, qy, ax, ay), robust.Orient(px, py, qx, qy, bx, by)
	ux, uy := qx-px, qy-py
	project := func(x, y float64) float64 {
		return (float64(ux*(x-px)) + float64(uy*(y-py))) / (float64(ux*ux) + float64(uy*uy))
	}
	if sa == 0 {
		add(project(ax, ay))
	}
	if sb == 0 {
		add(project(bx, by))
	}
	if sa*sb >= 0 {
		return
	}
	if cmp.Or(cmp.Compare(ax, bx), cmp.Compare(ay, by)) > 0 {
		ax, ay, bx, by = bx, by, ax, ay
	}
	da, db := cross(ux, uy, ax-px, ay-py), cross(ux, uy, bx-px, by-py)
	if da == db {
		return
	}
	t := da / (da - db)
	add(project(ax+float64(t*(bx-ax)), ay+float64(t*(by-ay))))
}

// corridor returns the edges of the surface that the straight stretch from p to
// q meets, by a flood over triangles that touch it.
func (c *profiler) corridor(px, py, qx, qy float64) []int32 {
	m := c.s.mesh
	side := func(v int32) int { return robust.Orient(px, py, qx, qy, m.P[v].X, m.P[v].Y) }
	x0, x1, y0, y1 := min(px, qx), max(px, qx), min(py, qy), max(py, qy)
	meets := func(e int32) bool {
		a, b := m.V[e], m.V[mesh.Next(e)]
		if max(m.P[a].X, m.P[b].X) < x0 || min(m.P[a].X, m.P[b].X) > x1 || max(m.P[a].Y, m.P[b].Y) < y0 || min(m.P[a].Y, m.P[b].Y) > y1 {
			return false
		}
		return side(a)*side(b) <= 0
	}
	clear(c.seen)
	var edges []int32
	reach := func(t int32) {
		if !c.seen[t] {
			c.seen[t] = true
			c.stack = append(c.stack, t)
		}
	}
	if t := m.Locate(px, py, c.hint); t >= 0 {
		c.hint = t
		reach(t)
	} else if t := m.Locate(qx, qy, c.hint); t >= 0 {
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
