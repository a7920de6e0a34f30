package tin

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"sort"
	"sync"

	"github.com/paulmach/orb"

	"barrow/tin/internal/mesh"
)

// FromPoints builds the surface of spot heights in metres, without breaklines
// or limits. Spots at one place must agree in level.
func FromPoints(points []Point) (*Surface, error) {
	return Build(context.Background(), []Source{{Points: points}}, Options{})
}

// Build triangulates the spot heights and breaklines of all sources together:
// the constrained Delaunay triangulation, ties decided by coordinates. The
// surface does not depend on the order of sources, points or lines (but for
// the policies DuplicatesFirst and DuplicatesLast, which name an order).
//
// Spots without a level are left out with a note. Breaklines that cross must
// agree in level there and are split; a spot or vertex exactly on a breakline
// splits it and keeps its own level. Input that cannot be used is an
// [*InputError].
func Build(ctx context.Context, sources []Source, opts Options) (*Surface, error) {
	b := &builder{ctx: ctx, sources: sources, opts: opts, tolerance: opts.crossingTolerance()}
	steps := []func() error{
		opts.check, b.gather, b.merge, b.splitBreaklines, b.triangulate, b.forceFaces, b.force, b.coverFaces,
		b.limit, b.peel, b.measure,
	}
	for i, step := range steps {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if err := step(); err != nil {
			return nil, err
		}
		if opts.Progress != nil {
			opts.Progress(i+1, len(steps))
		}
	}
	s := b.Surface // a copy: a pointer into b would keep the input alive
	return &s, nil
}

// builder is a surface on its way.
//
// The inputs, spots and breakline vertices, are numbered through all sources;
// places are the distinct positions among them and, later, the crossings.
type builder struct {
	Surface
	ctx       context.Context
	sources   []Source
	opts      Options
	tolerance float64 // metres

	blocks []block // the inputs, by runs

	graph  graph     // places, and the segments of the breaklines
	levels []float64 // of each place
	first  []int32   // an input at each place, -1 for a crossing
	at     []int32   // the place of each input, if not left out; only with breaklines or faces

	chains []chain // the segments as given, for levels along them

	overruled overruled
	faces     faces
}

// ended returns the error of a context that has ended, every so many turns of a loop
// whose turns may each take as long as there are vertices.
func (b *builder) ended(turn int) error {
	if turn%16 != 0 {
		return nil
	}
	return b.ctx.Err()
}

// endedFast is [builder.ended] for a loop with short turns.
func (b *builder) endedFast(turn int) error {
	if turn%4096 != 0 {
		return nil
	}
	return b.ctx.Err()
}

// block is a run of inputs: the spots of a source, or one of its breaklines.
type block struct {
	start  int
	source int
	line   int // index in the source's Breaklines, -1 for its spots
	points []Point
	unused []bool // the points of no face; nil where there are no faces
}

// leftOut reports whether an input of the block is no vertex.
func (bl *block) leftOut(i int) bool {
	return bl.line < 0 && (!bl.points[i].HasLevel() || bl.unused != nil && bl.unused[i])
}

// chain is one segment of a breakline as given: two inputs.
type chain struct{ from, to int32 }

// input returns input i and its block.
func (b *builder) input(i int32) (*Point, *block) {
	k := sort.Search(len(b.blocks), func(k int) bool { return b.blocks[k].start > int(i) }) - 1
	bl := &b.blocks[k]
	return &bl.points[int(i)-bl.start], bl
}

// gather lists the inputs, checks their coordinates and chooses the frame.
func (b *builder) gather() error {
	n := 0
	add := func(source, line int, points []Point) {
		b.blocks = append(b.blocks, block{start: n, source: source, line: line, points: points})
		n += len(points)
	}
	for s := range b.sources {
		add(s, -1, b.sources[s].Points)
		for l := range b.sources[s].Breaklines {
			add(s, l, b.sources[s].Breaklines[l].Vertices)
		}
	}
	if n > mesh.MaxVertices {
		return &InputError{Code: "too_many_points", Message: fmt.Sprintf("%d points are more than a surface can hold", n)}
	}
	b.counts.points = n
	if err := b.gatherFaces(); err != nil {
		return err
	}
	var x extent
	if b.converted() {
		x.slack = slackOfWritten
	}
	planOnly := 0
	var firstPlanOnly int32
	for k := range b.blocks {
		bl := &b.blocks[k]
		for i := range bl.points {
			p := &bl.points[i]
			if err := b.endedFast(bl.start + i); err != nil {
				return err
			}
			if err := b.checkPoint(p, bl); err != nil {
				return err
			}
			if bl.leftOut(i) {
				if bl.unused == nil {
					if planOnly == 0 {
						firstPlanOnly = int32(bl.start + i)
					}
					planOnly++
				}
				continue
			}
			x.add(b.written(p.E), b.written(p.N))
		}
	}
	b.frame = x.frame(cmp.Or(b.opts.Written, b.opts.Unit))
	if planOnly > 0 {
		b.note("no_level", firstPlanOnly, "%s without a level left out, the first %s",
			count(planOnly, "spot"), b.describe(firstPlanOnly))
	}
	b.noteUnused()
	return nil
}

func (b *builder) checkPoint(p *Point, bl *block) error {
	for _, v := range [...]struct {
		name  string
		value float64
	}{{"easting", p.E}, {"northing", p.N}, {"level", p.Level}} {
		if v.name == "level" && math.IsNaN(v.value) {
			continue
		}
		if !isFinite(v.value) || math.Abs(v.value) > maxCoordinate {
			return &InputError{
				Code: "bad_coordinate", File: b.sources[bl.source].Name, Line: int(p.Line),
				Message: fmt.Sprintf("%s %v of %s is not a coordinate", v.name, v.value, pointName(p, bl.line >= 0)),
				Hint:    fmt.Sprintf("give a finite number within ±%g", float64(maxCoordinate)),
			}
		}
	}
	return nil
}

// converted reports whether coordinates were written in another unit than they are in.
func (b *builder) converted() bool {
	return b.opts.Written != 0 && b.opts.Written.Metres() != b.opts.Unit.Metres()
}

// written returns a coordinate, or a length, in the unit that the survey was written in.
func (b *builder) written(v float64) float64 {
	if !b.converted() {
		return v
	}
	return v * (b.opts.Unit.Metres() / b.opts.Written.Metres())
}

// local returns the local place of an easting and a northing.
func (b *builder) local(e, n float64) (x, y float64) {
	return b.frame.in(b.written(e), b.frame.e0), b.frame.in(b.written(n), b.frame.n0)
}

// place returns the local place of a point.
func (b *builder) place(p *Point) (x, y float64) { return b.local(p.E, p.N) }

// metres returns the level of a point in metres, never -0.
func (b *builder) metres(p *Point) float64 { return p.Level*b.opts.Unit.Metres() + 0 }

// merge finds the distinct places and the level of each.
func (b *builder) merge() error {
	vertices := slices.ContainsFunc(b.blocks, func(bl block) bool { return bl.line >= 0 })
	numbered := vertices || b.faces.any()
	if numbered {
		b.at = make([]int32, b.counts.points)
	}
	places := newPlaceTable(b.counts.points)
	shared := make(map[int32][]int32) // the inputs at places with more than one
	for k := range b.blocks {
		bl := &b.blocks[k]
		for i := range bl.points {
			p := &bl.points[i]
			if err := b.endedFast(bl.start + i); err != nil {
				return err
			}
			if bl.leftOut(i) {
				continue
			}
			j := int32(bl.start + i)
			place, added := places.add(b.place(p))
			if added {
				b.levels = append(b.levels, b.metres(p))
				b.first = append(b.first, j)
			}
			if !added || !p.HasLevel() {
				if shared[place] == nil {
					shared[place] = []int32{b.first[place]}
				}
				if !added {
					shared[place] = append(shared[place], j)
				}
			}
			if numbered {
				b.at[j] = place
			}
		}
	}
	b.graph.at = places.at
	var merged mergedSpots
	for turn, place := range slices.Sorted(maps.Keys(shared)) {
		if err := b.endedFast(turn); err != nil {
			return err
		}
		level, err := b.levelOf(shared[place], &merged)
		if err != nil {
			return err
		}
		b.levels[place] = level
		if b.given == nil {
			b.given = make(map[int32][]Given)
		}
		b.given[place] = b.givenAt(shared[place])
	}
	b.counts.merged = merged.equal + merged.different
	b.noteMerged(&merged)
	if o := b.overruled; o.n > 0 {
		b.note("breakline_level_taken", o.first, "%s of breaklines took the level of the spot, or the mean of the lines, at their place, up to %s away, the first in %s",
			count(o.n, "vertex"), b.length(o.most), b.describe(o.first))
	}
	return nil
}

// overruled counts breakline vertices whose level was not taken, within the
// tolerance.
type overruled struct {
	n     int
	first int32
	most  float64 // metres
}

func (o *overruled) add(input int32, off float64) {
	if o.n == 0 {
		o.first = input
	}
	o.n++
	o.most = max(o.most, off)
}

// mergedSpots counts spots merged into another at the same place.
type mergedSpots struct {
	equal, different           int
	equalFirst, differentFirst [2]int32
}

// levelOf returns the level of the inputs at one place, in the order given. A
// spot's level rules over a breakline vertex's within the tolerance; among
// breakline vertices the mean of their different levels does, so that a line
// given twice counts once.
func (b *builder) levelOf(group []int32, merged *mergedSpots) (float64, error) {
	var spots, vertices []int32
	for _, i := range group {
		switch p, bl := b.input(i); {
		case bl.line < 0:
			spots = append(spots, i)
		case p.HasLevel():
			vertices = append(vertices, i)
		}
	}
	if len(spots) == 0 {
		if len(vertices) == 0 {
			return 0, b.noLevelError(b.input(group[0]))
		}
		levels := b.sortedLevels(vertices)
		// All agree if the first of the lowest or highest does with all.
		extreme := slices.IndexFunc(vertices, func(i int32) bool {
			p, _ := b.input(i)
			return b.metres(p) == levels[0] || b.metres(p) == levels[len(levels)-1]
		})
		p, _ := b.input(vertices[extreme])
		return meanOf(slices.Compact(levels)), b.agree(vertices[extreme], b.metres(p), vertices)
	}
	level, err := b.levelOfSpots(spots, merged)
	if err != nil {
		return 0, err
	}
	return level, b.agree(spots[0], level, vertices)
}

func (b *builder) levelOfSpots(spots []int32, merged *mergedSpots) (float64, error) {
	level := func(i int32) float64 { p, _ := b.input(i); return b.metres(p) }
	differs := slices.IndexFunc(spots, func(i int32) bool { return level(i) != level(spots[0]) })
	if differs < 0 {
		if len(spots) > 1 {
			if merged.equal == 0 {
				merged.equalFirst = [2]int32{spots[0], spots[1]}
			}
			merged.equal += len(spots) - 1
		}
		return level(spots[0]), nil
	}
	if b.opts.Duplicates == DuplicatesError {
		p, bp := b.input(spots[0])
		q, bq := b.input(spots[differs])
		at := b.frame.Metres(b.place(p))
		return 0, &InputError{
			Code: "duplicate_spots", File: b.sources[bq.source].Name, Line: int(q.Line), At: &at,
			Message: fmt.Sprintf("%s has level %v, but %s at the same place has %v",
				pointName(q, false), q.Level, b.describeIn(p, bp, bq.source), p.Level),
			Hint: `take one out, or say which counts: duplicates = "mean", "first" or "last"`,
		}
	}
	if merged.different == 0 {
		merged.differentFirst = [2]int32{spots[0], spots[differs]}
	}
	merged.different += len(spots) - 1
	switch b.opts.Duplicates {
	case DuplicatesFirst:
		return level(spots[0]), nil
	case DuplicatesLast:
		return level(spots[len(spots)-1]), nil
	}
	return meanOf(b.sortedLevels(spots)), nil
}

func (b *builder) sortedLevels(inputs []int32) []float64 {
	levels := make([]float64, len(inputs))
	for k, i := range inputs {
		p, _ := b.input(i)
		levels[k] = b.metres(p)
	}
	slices.Sort(levels)
	return levels
}

// meanOf returns the mean of levels whatever their order. Equal levels have
// exactly that mean.
func meanOf(levels []float64) float64 {
	slices.Sort(levels)
	sum := 0.0
	for _, z := range levels {
		sum += z - levels[0]
	}
	return levels[0] + sum/float64(len(levels))
}

// agree returns an error if a breakline vertex differs by more than the
// tolerance from the level of its place, which input i stands for.
func (b *builder) agree(i int32, level float64, vertices []int32) error {
	for _, j := range vertices {
		q, bq := b.input(j)
		if off := math.Abs(level - b.metres(q)); off <= b.tolerance+levelSlack {
			if off > 0 {
				b.overruled.add(j, off)
			}
			continue
		}
		p, bp := b.input(i)
		has := fmt.Sprintf("has %v", p.Level)
		if level != b.metres(p) {
			has = fmt.Sprintf("makes it %v with others", level/b.opts.Unit.Metres())
		}
		return &InputError{
			Code: "breakline_level", File: b.sources[bq.source].Name, Line: int(q.Line),
			Message: fmt.Sprintf("%s has level %v, but %s at the same place %s, over the tolerance of %s",
				b.lineName(bq), q.Level, b.describeIn(p, bp, bq.source), has, b.bound(b.tolerance)),
			Hint: "correct one of the levels, or set crossing_tolerance",
		}
	}
	return nil
}

// levelSlack keeps a difference that is the tolerance on paper from failing by
// rounding, metres.
const levelSlack = 1e-9

func (b *builder) noLevelError(p *Point, bl *block) error {
	return &InputError{
		Code: "breakline_no_level", File: b.sources[bl.source].Name, Line: int(p.Line),
		Message: fmt.Sprintf("a vertex of %s at %v, %v has no level and lies at no spot", b.lineName(bl), p.E, p.N),
		Hint:    "give it a level, or move it onto a spot height",
	}
}

// triangulate builds the mesh of all places.
func (b *builder) triangulate() error {
	m, order, err := mesh.New(b.graph.at, b.frame.whole)
	switch {
	case errors.Is(err, mesh.ErrTooFew):
		return &InputError{
			Code: "too_few_points", Message: fmt.Sprintf("%s with a level at distinct places, a surface needs at least three", count(len(b.graph.at), "point")),
			File: b.onlyFile(), Hint: "add spot heights",
		}
	case errors.Is(err, mesh.ErrCollinear):
		return &InputError{
			Code: "points_in_line", Message: fmt.Sprintf("all %d points lie on one line, which spans no surface", len(b.graph.at)),
			File: b.onlyFile(), Hint: "add spot heights off the line, or check the column order",
		}
	case err != nil:
		return err
	}
	b.mesh = m
	b.boxes = sync.OnceValue(func() *boxes { return newBoxes(m) })
	b.level = make([]float64, len(order))
	place := make([]int32, len(order)) // vertex of each place
	for v, p := range order {
		b.level[v] = b.levels[p]
		place[p] = int32(v)
	}
	b.origins(order, place)
	b.hull = m.Border()
	for i, s := range b.graph.segments {
		b.graph.segments[i].a, b.graph.segments[i].b = place[s.a], place[s.b]
	}
	b.settleFaces(place)
	if len(b.graph.segments) == 0 && !b.faces.any() {
		b.first = nil
		return nil
	}
	first := make([]int32, len(order))
	for v, p := range order {
		first[v] = b.first[p]
	}
	b.first = first
	return nil
}

// limit takes over boundary and voids.
func (b *builder) limit() error {
	for _, l := range [...]struct {
		what string
		from orb.MultiPolygon
		to   *[]localPolygon
	}{{"boundary", b.opts.Boundary, &b.limits.boundary}, {"void", b.opts.Voids, &b.limits.voids}} {
		for i, p := range l.from {
			if err := CheckOutline(p); err != nil {
				var e *InputError
				if errors.As(err, &e) {
					named := *e
					if e.At != nil {
						u := b.opts.Unit.Metres()
						at := orb.Point{e.At[0] * u, e.At[1] * u}
						named.At = &at
					}
					named.Message = fmt.Sprintf("%s %d: %s", l.what, i+1, e.Message)
					return &named
				}
				return err
			}
			*l.to = append(*l.to, b.frame.polygon(p, func(c orb.Point) (x, y float64) {
				return b.local(c[0], c[1])
			}))
		}
	}
	return nil
}

// measure finds the area within the limits, while there is still an error to
// return.
func (b *builder) measure() (err error) {
	if b.limits.any() {
		b.area, err = b.limitedArea(b.ctx)
	}
	return err
}

// peel takes away triangles beyond the faces, and those reached from the rim of what is
// left over edges longer than MaxEdge, never across a breakline or a face's side.
func (b *builder) peel() error {
	b.peeled = b.beyondFaces()
	limit := b.opts.MaxEdge
	if limit == 0 {
		return nil
	}
	longest := b.written(limit) * b.frame.per
	longest *= longest
	passes := func(e int32) bool { return !b.mesh.Fixed(e) && b.lengthSquared(e) > longest }
	rim := b.rim()
	peeled := b.peeled
	if peeled == nil {
		peeled = make([]bool, b.mesh.Triangles())
	}
	left := 0
	for _, p := range peeled {
		if !p {
			left++
		}
	}
	before := left
	var stack []int32
	take := func(t int32) {
		if !peeled[t] {
			peeled[t] = true
			left--
			stack = append(stack, t)
		}
	}
	for _, e := range rim {
		if passes(e) {
			take(e / 3)
		}
	}
	for len(stack) > 0 {
		t := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		for e := 3 * t; e < 3*t+3; e++ {
			if f := b.mesh.N[e]; f >= 0 && passes(e) {
				take(f / 3)
			}
		}
	}
	if left == 0 {
		return &InputError{
			Code: "max_edge_removes_all", File: b.onlyFile(),
			Message: fmt.Sprintf("max_edge %v takes away every triangle of the ground", limit),
			Hint:    "give a length above the spacing of the spots",
		}
	}
	if n := before - left; n > 0 {
		b.peeled = peeled
		b.notes = append(b.notes, Problem{
			Code:    "max_edge",
			Message: fmt.Sprintf("%s at the rim taken away over edges longer than %v %s", count(n, "triangle"), limit, b.opts.Unit),
		})
	}
	if b.faces.any() {
		b.notes = append(b.notes, Problem{Code: "max_edge_not_faces",
			Message: fmt.Sprintf("max_edge takes none of %s away, however long their edges", count(len(b.faces.corner), "face"))})
	}
	return nil
}
