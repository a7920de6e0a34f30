package formation

import (
	"context"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// Surfaces returns the formation with its batters out to where they meet the ground: what
// is there when the work is done. Outlines, the lines where two faces meet, and the
// lines where they meet the ground are breaklines; the rim of the works is the
// boundary.
//
// Mostly it is one surface. A place of a surface has one level, so where the works have
// two, one above the other (a step between touching pads, an upright side that
// another pad's batter runs into, cut that runs into fill), they are parted: pads go
// into the first surface that they share no step with, in the order of the formation
// outlines; where a pad has a step within its own works (a fall steeper than the batter,
// batters that differ by side), so do its faces. The surfaces do not overlap, and
// together they cover the works.
//
// Levels are those of the faces to within rounding, about 1e-9 m times the slope at
// map coordinates. If ctx ends its error is returned.
func (d *Dig) Surfaces(ctx context.Context) ([]*tin.Surface, error) {
	b := newSurfaceBuilder(d)
	if len(b.parts) == 0 {
		return nil, nil
	}
	var err error
	if b.mosaic, err = newMosaic(ctx, b.parts, b.plane, b.near); err != nil {
		return nil, err
	}
	var out []*tin.Surface
	for _, planes := range b.withoutSteps() {
		s, err := b.build(ctx, planes)
		if err != nil {
			return nil, err
		}
		out = append(out, s)
	}
	return out, nil
}

// surfaceBuilder turns the works into surfaces.
type surfaceBuilder struct {
	frame  tin.Frame
	near   float64
	parts  [][]orb.Point
	level  [][]float64 // of each part's corners, metres
	plane  []int32     // of each part; parts with one number lie in one plane
	owner  []int       // of each plane, its formation outline
	mosaic *mosaic
}

func newSurfaceBuilder(d *Dig) *surfaceBuilder {
	b := &surfaceBuilder{frame: d.ground.Frame()}
	b.near = snap / b.frame.Length()
	for k := range d.layout.Outlines {
		for _, i := range d.layout.Outlines[k].Pads {
			b.formation(&d.layout.Pads[i], k)
		}
	}
	type face struct {
		cut    bool
		number int
	}
	planes := make(map[face]int32)
	for i := range d.pieces {
		p := &d.pieces[i]
		f := face{p.Cut, p.Face}
		if _, known := planes[f]; !known {
			planes[f] = b.newPlane(p.Place.Pad)
		}
		levels := make([]float64, len(p.Corner))
		for k, c := range p.Corner {
			levels[k] = c.Face
		}
		b.add(plan(p), levels, planes[f])
	}
	return b
}

func (b *surfaceBuilder) newPlane(owner int) int32 {
	b.owner = append(b.owner, owner)
	return int32(len(b.owner) - 1)
}

func (b *surfaceBuilder) add(part []orb.Point, level []float64, plane int32) {
	b.parts, b.level, b.plane = append(b.parts, part), append(b.level, level), append(b.plane, plane)
}

// formation adds a pad where it rules. All of it is one plane, unless it has levels of
// its own.
func (b *surfaceBuilder) formation(pad *LaidPad, owner int) {
	own := pad.Pad.Levels != nil
	plane := b.newPlane(owner)
	for _, f := range slices.Concat(pad.Facets, pad.Margin) {
		if own {
			plane = b.newPlane(owner)
		}
		levels := make([]float64, 3)
		for i, c := range f.Cell.Corner {
			levels[i] = f.Plane.LevelAt(c[0], c[1])
		}
		b.add(localCell(b.frame, f.Cell), levels, plane)
	}
}

// ends returns the levels at the ends of a stretch.
func (b *surfaceBuilder) ends(s rimStretch) (from, to float64) {
	l := b.level[s.part]
	u, v := l[s.side], l[(int(s.side)+1)%len(l)]
	if from, to = u+float64(s.t0*(v-u)), v; s.t1 < 1 {
		to = u + float64(s.t1*(v-u))
	}
	return from, to
}

// levels are those of nodes.
type levels map[int32]float64

// leastRisen is the difference of two levels, metres, that is no step.
const leastRisen = 1e-5

// take adds levels, unless one is at a step from one that is there.
func (l levels) take(other levels) bool {
	for n, v := range other {
		if u, known := l[n]; known && math.Abs(u-v) > leastRisen {
			return false
		}
	}
	for n, v := range other {
		if _, known := l[n]; !known {
			l[n] = v
		}
	}
	return true
}

// withoutSteps parts the planes into such as have one level at each place.
func (b *surfaceBuilder) withoutSteps() (surfaces [][]int32) {
	var taken []levels
	put := func(planes []int32, l levels) {
		for i := range surfaces {
			if taken[i].take(l) {
				surfaces[i] = append(surfaces[i], planes...)
				return
			}
		}
		surfaces, taken = append(surfaces, slices.Clone(planes)), append(taken, l)
	}
	of := b.levels()
	owned := make([][]int32, slices.Max(b.owner)+1)
	for p, o := range b.owner {
		owned[o] = append(owned[o], int32(p))
	}
	for _, planes := range owned {
		all := make(levels)
		if !slices.ContainsFunc(planes, func(p int32) bool { return !all.take(of[p]) }) {
			put(planes, all)
			continue
		}
		for _, p := range planes {
			put([]int32{p}, of[p])
		}
	}
	return surfaces
}

// levels returns the levels round each plane.
func (b *surfaceBuilder) levels() []levels {
	out := make([]levels, len(b.owner))
	for i := range out {
		out[i] = make(levels)
	}
	for _, s := range b.mosaic.stretches {
		out[s.group][s.from], out[s.group][s.to] = b.ends(s)
	}
	return out
}

// build makes a surface of planes.
func (b *surfaceBuilder) build(ctx context.Context, planes []int32) (*tin.Surface, error) {
	chosen := make([]bool, len(b.owner))
	for _, p := range planes {
		chosen[p] = true
	}
	rim := &mosaic{place: b.mosaic.place}
	var lines []tin.Breakline
	seen := make(map[int64]bool)
	level := make(levels)
	for _, s := range b.mosaic.stretches {
		if !chosen[s.group] {
			continue
		}
		from, to := b.ends(s)
		level.take(levels{s.from: from})
		level.take(levels{s.to: to})
		if !seen[s.ends()] {
			seen[s.ends()] = true
			lines = append(lines, tin.Breakline{Name: "formation", Vertices: []tin.Point{b.point(s.from, level), b.point(s.to, level)}})
		}
		s.group = 0
		rim.stretches = append(rim.stretches, s)
	}
	rim.cancel()
	outer, holes := rim.within(b.frame, rim.rings(rim.stretches, b.near))
	s, err := tin.Build(ctx, []tin.Source{{Name: "formation", Breaklines: lines}}, tin.Options{Boundary: outer, Voids: holes})
	if err != nil {
		return nil, fmt.Errorf("formation: the works make no surface: %w", err)
	}
	return s, nil
}

func (b *surfaceBuilder) point(node int32, level levels) tin.Point {
	p := b.mosaic.place[node]
	m := b.frame.Metres(p[0], p[1])
	return tin.Point{E: m[0], N: m[1], Level: level[node]}
}

// within returns what rings enclose as a boundary and voids, so that a ring may touch
// another: islands in a hole are holes of that void.
func (m *mosaic) within(frame tin.Frame, rings [][]rimStretch) (outer, holes orb.MultiPolygon) {
	place := func(p orb.Point) orb.Point { return frame.Metres(p[0], p[1]) }
	var voids [][]orb.Point
	for _, r := range rings {
		if c := m.corners(r); ringArea2(c) < 0 {
			slices.Reverse(c)
			voids = append(voids, c)
			holes = append(holes, orb.Polygon{closedRing(c, place)})
		}
	}
	for _, r := range rings {
		c := m.corners(r)
		if ringArea2(c) < 0 {
			continue
		}
		outer = append(outer, orb.Polygon{closedRing(c, place)})
		if k := smallestRound(voids, c); k >= 0 {
			holes[k] = append(holes[k], closedRing(c, place))
		}
	}
	return outer, holes
}
