package tin

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin/internal/mesh"
)

// TakenOut counts what [Area.TakeOut] left out of a source.
type TakenOut struct {
	Spots     int // inside the area
	Vertices  int // of breaklines, inside the area
	Stretches int // of breaklines, from where one goes in to where it comes out or ends
}

// Any reports whether anything was left out.
func (t TakenOut) Any() bool { return t != TakenOut{} }

// TakeOut returns sources without what lies inside the area, and what was left
// out of each. The sources given are not changed.
//
// Spots and vertices on the rim stay. A breakline that crosses the rim is cut
// there: the crossing, rounded once as crossings of breaklines are, becomes a
// vertex whose level lies on the straight line between those of the ends as
// given. A vertex without a level counts with the level of its place: the mean
// of the spots there or, where there is none, of other vertices. A vertex that
// stays without any part of its line stays as a spot, unless there is one.
//
// Faces are not cut: a source with faces near the area, by the boxes round both, is an
// error.
func (a *Area) TakeOut(ctx context.Context, sources []Source) ([]Source, []TakenOut, error) {
	kept, taken := slices.Clone(sources), make([]TakenOut, len(sources))
	for i := range kept {
		if a.nearFaces(&sources[i]) {
			return nil, nil, &InputError{Code: "faces_replaced", File: sources[i].Name,
				Message: "a later survey replaces part of a surface that is given by its faces, which are not cut",
				Hint:    "use the points of the file without its faces"}
		}
		points, err := a.spotsLeft(ctx, sources[i].Points)
		if err != nil {
			return nil, nil, err
		}
		taken[i].Spots = len(sources[i].Points) - len(points)
		kept[i].Points = points
	}
	t := takeOut{area: a, sources: sources, graph: graph{index: make(map[mesh.XY]int32)},
		cuts:    make(map[int32][]cut),
		crossed: make(map[lineCrossing]bool), bent: make(map[int32]bool)}
	t.gather()
	if len(t.ways) == 0 {
		return kept, taken, nil
	}
	for _, step := range []func() error{t.levels, ctx.Err, t.cut} {
		if err := step(); err != nil {
			return nil, nil, err
		}
	}
	for i := range kept {
		if err := t.rebuild(ctx, i, &kept[i], &taken[i]); err != nil {
			return nil, nil, err
		}
	}
	return kept, taken, nil
}

// nearFaces reports whether the box round a source's points meets that of a polygon,
// if the source has faces.
func (a *Area) nearFaces(s *Source) bool {
	if len(s.Faces) == 0 {
		return false
	}
	var x extent
	x.addPlaces(s.Points)
	var box orb.Bound
	box.Min[0], box.Min[1] = a.local(x.min[0], x.min[1])
	box.Max[0], box.Max[1] = a.local(x.max[0], x.max[1])
	return slices.ContainsFunc(a.bounds, box.Intersects)
}

// spotsLeft returns the points that are not inside; all of them if none is.
func (a *Area) spotsLeft(ctx context.Context, points []Point) ([]Point, error) {
	out := slices.Clip(points)
	same := true
	for i, p := range points {
		if i%4096 == 0 && ctx.Err() != nil {
			return nil, ctx.Err()
		}
		switch inside := a.Side(p.E, p.N) > 0; {
		case inside && same:
			out, same = slices.Clone(points[:i]), false
		case !inside && !same:
			out = append(out, p)
		}
	}
	return out, nil
}

// takeOut cuts breaklines at the rim of an area.
type takeOut struct {
	area    *Area
	sources []Source
	graph   graph // of the lines that may meet the area, its sides and the spots near
	ways    []way
	chains  []wayChain // by the number of their segments
	level   map[int32]float64
	spot    map[int32]bool        // vertices of the graph with a spot
	cuts    map[int32][]cut       // by chain, from the lesser end
	crossed map[lineCrossing]bool // the cuts that are crossings with the rim
	bent    map[int32]bool        // the chains with such a cut
}

// way is a breakline that may meet the area: the vertices of the graph along it.
type way struct {
	source, line int
	at           []int32
	chains       []int32 // between one vertex and the next; -1 where they are at one place
}

// wayChain is one segment of a breakline.
type wayChain struct{ a, b int32 }

// lineCrossing is a vertex of the graph as a crossing of one chain.
type lineCrossing struct{ chain, v int32 }

// rimSide is the line of the segments that are sides of the area.
const rimSide = -1

// gather finds the lines that may meet the area.
func (t *takeOut) gather() {
	for i, s := range t.sources {
		for j, l := range s.Breaklines {
			if t.near(l.Vertices) {
				t.add(i, j, l.Vertices)
			}
		}
	}
}

// near reports whether the box of a line meets that of a polygon. A line with a
// vertex that is no place is left to Build.
func (t *takeOut) near(vertices []Point) bool {
	if len(vertices) == 0 {
		return false
	}
	box := orb.Bound{Min: orb.Point{math.Inf(1), math.Inf(1)}, Max: orb.Point{math.Inf(-1), math.Inf(-1)}}
	for _, p := range vertices {
		if !isPlace(orb.Point{p.E, p.N}) {
			return false
		}
		x, y := t.area.local(p.E, p.N)
		box = box.Extend(orb.Point{x, y})
	}
	return slices.ContainsFunc(t.area.bounds, box.Intersects)
}

func (t *takeOut) add(source, line int, vertices []Point) {
	w := way{source: source, line: line}
	for i, p := range vertices {
		v, _ := t.graph.vertex(t.area.local(p.E, p.N))
		w.at = append(w.at, v)
		if i == 0 {
			continue
		}
		c := int32(-1)
		if u := w.at[i-1]; u != v {
			c = int32(len(t.chains))
			t.chains = append(t.chains, wayChain{u, v})
			t.graph.join(u, v, c)
		}
		w.chains = append(w.chains, c)
	}
	t.ways = append(t.ways, w)
}

// levels finds the level of every place that lines near the area pass, and
// refuses a vertex that has none anywhere.
func (t *takeOut) levels() error {
	t.level, t.spot = make(map[int32]float64), make(map[int32]bool)
	all := make(map[int32][]float64)
	look := func(p Point, spot bool) {
		if !p.HasLevel() || !isPlace(orb.Point{p.E, p.N}) {
			return
		}
		x, y := t.area.local(p.E, p.N)
		v, known := t.graph.index[mesh.XY{X: x, Y: y}]
		if known && (spot || !t.spot[v]) {
			t.spot[v] = spot
			all[v] = append(all[v], p.Level)
		}
	}
	for _, s := range t.sources {
		for _, p := range s.Points {
			look(p, true)
		}
	}
	for _, s := range t.sources {
		for _, l := range s.Breaklines {
			for _, p := range l.Vertices {
				look(p, false)
			}
		}
	}
	for v, levels := range all {
		t.level[v] = meanOf(levels)
	}
	for _, w := range t.ways {
		for i, v := range w.at {
			if _, ok := t.level[v]; !ok {
				p := t.vertex(w, i)
				return &InputError{
					Code: "breakline_no_level", File: t.sources[w.source].Name, Line: int(p.Line),
					Message: fmt.Sprintf("a vertex of a breakline at %v, %v has no level and lies at no spot", p.E, p.N),
					Hint:    "give it a level, or move it onto a spot height",
				}
			}
		}
	}
	return nil
}

func (t *takeOut) vertex(w way, i int) Point {
	return t.sources[w.source].Breaklines[w.line].Vertices[i]
}

// cut finds where the lines meet the rim. A segment that crosses it is cut at
// the spots and vertices exactly on it too, which its parts, bent by the
// rounding of the crossing, would miss.
func (t *takeOut) cut() error {
	g := &t.graph
	for _, p := range t.area.polygons {
		for _, ring := range p {
			for i, c := range ring {
				d := ring[(i+1)%len(ring)]
				v, _ := g.vertex(c[0], c[1])
				w, _ := g.vertex(d[0], d[1])
				g.join(v, w, rimSide)
			}
		}
	}
	t.addSpots()
	g.order()
	plain := make([]mesh.Segment, len(g.segments))
	for i, s := range g.segments {
		plain[i] = mesh.Segment{A: s.a, B: s.b}
	}
	on := newPlacesOn(g)
	for _, s := range g.segments {
		if s.line == rimSide {
			continue
		}
		for _, v := range on.segment(s) {
			t.cuts[s.line] = append(t.cuts[s.line], cut{g.along(s, v), v})
		}
	}
	pairs := mesh.Crossings(g.at, plain, crossingsMost)
	if len(pairs) == crossingsMost {
		return &InputError{
			Code: "too_many_crossings", Message: fmt.Sprintf("lines cross at %d places or more", crossingsMost),
			Hint: "check that the vertices are in order along their lines",
		}
	}
	for _, p := range pairs {
		s, r := g.segments[p[0]], g.segments[p[1]]
		if (s.line == rimSide) == (r.line == rimSide) {
			continue
		}
		c := mesh.Cross(g.at, plain[p[0]], plain[p[1]], t.area.frame.whole)
		if !t.area.frame.whole {
			c.XY = g.snap(c.XY, s, r)
		}
		chain, along := s.line, c.S
		if chain == rimSide {
			chain, along = r.line, c.R
		}
		v, _ := g.vertex(c.X, c.Y)
		t.cuts[chain] = append(t.cuts[chain], cut{along, v})
		t.crossed[lineCrossing{chain, v}], t.bent[chain] = true, true
	}
	return nil
}

// addSpots adds the places of the spots that may lie on one of the lines.
func (t *takeOut) addSpots() {
	box := orb.Bound{Min: orb.Point{math.Inf(1), math.Inf(1)}, Max: orb.Point{math.Inf(-1), math.Inf(-1)}}
	for _, c := range t.chains {
		box = box.Extend(orb.Point{t.graph.at[c.a].X, t.graph.at[c.a].Y}).Extend(orb.Point{t.graph.at[c.b].X, t.graph.at[c.b].Y})
	}
	for _, s := range t.sources {
		for _, p := range s.Points {
			if !p.HasLevel() || !isPlace(orb.Point{p.E, p.N}) {
				continue
			}
			if x, y := t.area.local(p.E, p.N); box.Contains(orb.Point{x, y}) {
				t.graph.vertex(x, y)
			}
		}
	}
}

// stop is a place along a line that is being cut.
type stop struct {
	v     int32
	side  int // of the area; 0 for a crossing with its rim
	point Point
}

// rebuild puts the lines of one source together from the parts that stay.
func (t *takeOut) rebuild(ctx context.Context, source int, s *Source, taken *TakenOut) error {
	ways := t.ways[:0:0]
	for _, w := range t.ways {
		if w.source == source {
			ways = append(ways, w)
		}
	}
	if len(ways) == 0 {
		return nil
	}
	lines, spots := make([]Breakline, 0, len(s.Breaklines)), slices.Clip(s.Points)
	for j, l := range s.Breaklines {
		if len(ways) == 0 || ways[0].line != j {
			lines = append(lines, l)
			continue
		}
		if err := ctx.Err(); err != nil {
			return err
		}
		parts, single, n := t.parts(ways[0], l)
		ways = ways[1:]
		if !n.Any() {
			lines = append(lines, l)
			continue
		}
		lines, spots = append(lines, parts...), append(spots, single...)
		taken.Vertices += n.Vertices
		taken.Stretches += n.Stretches
	}
	s.Breaklines, s.Points = lines, spots
	return nil
}

// parts returns the parts of a line that stay, the vertices that stay without
// one, and what was left out.
func (t *takeOut) parts(w way, l Breakline) (parts []Breakline, single []Point, n TakenOut) {
	var run []Point
	end := func() {
		if len(run) > 1 {
			parts = append(parts, Breakline{Name: l.Name, Vertices: run})
		}
		run = nil
	}
	stays := make([]bool, len(w.at))
	was := 0 // of the stretch before: 1 stayed, -1 left out, 0 none
	for i := range w.at {
		if t.sideOf(w.at[i]) > 0 {
			n.Vertices++
		}
		if i == 0 {
			continue
		}
		stops := t.stops(w, i)
		for k := 1; k < len(stops); k++ {
			p, q := stops[k-1], stops[k]
			is := 1
			if t.inside(p, q) {
				is = -1
			}
			if p.v != q.v {
				if is < 0 && was >= 0 {
					n.Stretches++
				}
				was = is
			}
			if is < 0 {
				end()
				continue
			}
			if len(run) == 0 {
				run = append(run, p.point)
			}
			run = append(run, q.point)
			stays[i-1] = stays[i-1] || k == 1
			stays[i] = stays[i] || k == len(stops)-1
		}
	}
	end()
	for i, v := range w.at {
		if p := l.Vertices[i]; !stays[i] && t.sideOf(v) <= 0 && p.HasLevel() && !t.spot[v] {
			single = append(single, p)
		}
	}
	return parts, single, n
}

func (t *takeOut) sideOf(v int32) int { return t.area.side(t.graph.at[v].X, t.graph.at[v].Y) }

// stops returns the places along a line from vertex i-1 to vertex i.
func (t *takeOut) stops(w way, i int) []stop {
	c := w.chains[i-1]
	u, v := w.at[i-1], w.at[i]
	cuts := t.cuts[c] // of -1 none
	slices.SortFunc(cuts, func(p, q cut) int { return cmp.Or(cmp.Compare(p.along, q.along), cmp.Compare(p.v, q.v)) })
	if t.graph.at[v].Before(t.graph.at[u]) {
		cuts = slices.Clone(cuts)
		slices.Reverse(cuts)
	}
	from, to := t.vertex(w, i-1), t.vertex(w, i)
	stops := []stop{t.end(c, u, from)}
	for _, k := range cuts {
		if k.v == u || k.v == v || k.v == stops[len(stops)-1].v {
			continue
		}
		if m := t.made(c, k.v, from); m.side == 0 || t.bent[c] {
			stops = append(stops, m)
		}
	}
	return append(stops, t.end(c, v, to))
}

// end is a vertex of a line as the end of a chain. Where the crossing with the
// rim was rounded onto it, it is that crossing.
func (t *takeOut) end(chain, v int32, p Point) stop {
	side := t.sideOf(v)
	if !t.crossed[lineCrossing{chain, v}] {
		return stop{v, side, p}
	}
	if side > 0 {
		return t.made(chain, v, p)
	}
	return stop{v, 0, p}
}

// made is a place along a chain that is no vertex of its line.
func (t *takeOut) made(chain, v int32, from Point) stop {
	at := t.graph.at[v]
	f := t.area.frame
	p := Point{E: f.out(at.X, f.e0), N: f.out(at.Y, f.n0), Level: t.levelAlong(t.chains[chain], v), Code: from.Code, Line: from.Line}
	if t.crossed[lineCrossing{chain, v}] {
		return stop{v, 0, p}
	}
	return stop{v, t.sideOf(v), p}
}

// levelAlong returns the level of a chain at a place on it, always reckoned
// from its lesser end by (x, y).
func (t *takeOut) levelAlong(c wayChain, v int32) float64 {
	if t.graph.at[c.b].Before(t.graph.at[c.a]) {
		c.a, c.b = c.b, c.a
	}
	k := t.graph.along(segment{a: c.a, b: c.b}, v)
	return t.level[c.a] + float64(k*(t.level[c.b]-t.level[c.a]))
}

// inside reports whether the stretch between two stops, which meets the rim
// nowhere between them, lies inside the area. Stretches along the rim do not.
func (t *takeOut) inside(p, q stop) bool {
	if p.side != 0 || q.side != 0 {
		return p.side > 0 || q.side > 0
	}
	if p.v == q.v {
		return false
	}
	a, b := t.graph.at[p.v], t.graph.at[q.v]
	return t.area.side((a.X+b.X)/2, (a.Y+b.Y)/2) > 0
}
