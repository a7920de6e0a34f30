package volume

import (
	"context"
	"math"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// Weight is how cut and fill answer to the level of one vertex of the ground.
type Weight struct {
	Vertex    int
	Cut, Fill float64 // d cut / d level, from 0; d fill / d level, to 0; m2
}

// Patch is a part of the works in one triangle of the ground, all cut or all fill: a
// convex polygon.
type Patch struct {
	Triangle int
	Batter   bool
	Corner   []PatchCorner
}

// PatchCorner is a corner of a patch in local units (see [tin.Surface.Frame]), with the
// depth there in metres, positive in cut.
type PatchCorner struct{ X, Y, Depth float64 }

// DaylightSide is a stretch of a daylight line in one triangle.
type DaylightSide struct {
	Triangle int
	Cut      bool
	Middle   orb.Point // local units
	Width    float64   // length / gradient of depth, m
}

// Sensitivity is how cut and fill answer to the levels of the ground. A level that
// rises by a little adds its weight times that little; the rim of the works does not
// move that: it lies where depth is zero, or stands upright. Where works only touch
// one another, or ground lies at formation over an area, the derivative is one-sided.
//
// The weights of cut sum to CutArea, those of fill to minus FillArea.
type Sensitivity struct {
	Weights           []Weight // of the vertices that matter, by number
	CutArea, FillArea float64  // m2, batters included

	// Of these areas, what has topsoil stripped: minus d cut / d depth of topsoil, and
	// d fill / d depth.
	StrippedCut, StrippedFill float64

	Patches  []Patch
	Daylight []DaylightSide
}

// Sensor gathers a [Sensitivity]. Make one with [NewSensor].
type Sensor struct {
	ground            *tin.Surface
	weights           []Weight // of every vertex
	cutArea, fillArea tin.Sum  // square local units, twice
	stripped          [2]tin.Sum
	patches           []Patch
	daylight          []DaylightSide
	room              []PatchCorner // where corners of patches go next
	share             [][3]float64  // scratch
	corners           []tin.FaceCorner
}

// NewSensor returns a sensor over a ground that has met no works yet.
func NewSensor(ground *tin.Surface) *Sensor {
	return &Sensor{ground: ground, weights: make([]Weight, ground.Size())}
}

// Facets adds the works over facets of a formation, as [AgainstFacets] measures them.
func (s *Sensor) Facets(ctx context.Context, facets []tin.Facet) error {
	var cells []tin.Cell
	var planes []localPlane
	for _, f := range facets {
		if f.Cell.Ground {
			cells, planes = append(cells, f.Cell), append(planes, newLocalPlane(s.ground.Frame(), f.Plane, f.Topsoil))
		}
	}
	n := 0
	for i, p := range s.ground.Pieces(cells) {
		if n++; n%4096 == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		if p.Ground {
			s.piece(p, &planes[i])
		}
	}
	return ctx.Err()
}

// Faces adds batters, as [Faces] measures them.
func (s *Sensor) Faces(pieces []tin.FacePiece) {
	for i := range pieces {
		p := &pieces[i]
		if s.add(p.Triangle, p.Corner, p.Topsoil, true) {
			s.sides(p)
		}
	}
}

// piece adds one piece against its plane. Where depth changes sign it goes by
// triangles, as in [AgainstFacets].
func (s *Sensor) piece(p tin.Piece, plane *localPlane) {
	corners := s.corners[:0]
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, c := range p.Corner {
		depth := plane.depth(c)
		corners = append(corners, tin.FaceCorner{X: c.X, Y: c.Y, Ground: depth})
		lo, hi = min(lo, depth), max(hi, depth)
	}
	s.corners = corners
	if lo >= 0 || hi <= 0 {
		s.add(p.Triangle, corners, plane.topsoil, false)
		return
	}
	for i := 2; i < len(corners); i++ {
		t := []tin.FaceCorner{corners[0], corners[i-1], corners[i]}
		s.add(p.Triangle, tin.WhereFace(t, dug), plane.topsoil, false)
		s.add(p.Triangle, tin.WhereFace(t, func(c tin.FaceCorner) float64 { return -dug(c) }), plane.topsoil, false)
	}
}

// add adds a convex polygon that is all cut or all fill, in a triangle. It reports false
// if that has no area or no depth.
func (s *Sensor) add(triangle int, p []tin.FaceCorner, topsoil float64, batter bool) bool {
	vertex, corner := s.ground.LocalTriangle(triangle)
	s.share = s.share[:0]
	for _, c := range p {
		s.share = append(s.share, Shares(&corner, c.X, c.Y))
	}
	var integral [3]float64 // of the shares, six times
	var area, six float64
	for i := 2; i < len(p); i++ {
		a := float64((p[i-1].X-p[0].X)*(p[i].Y-p[0].Y)) - float64((p[i-1].Y-p[0].Y)*(p[i].X-p[0].X))
		area += a
		six += float64(a * (dug(p[0]) + dug(p[i-1]) + dug(p[i])))
		for k := range integral {
			integral[k] += float64(a * (s.share[0][k] + s.share[i-1][k] + s.share[i][k]))
		}
	}
	if !(area > 0) || six == 0 {
		return false
	}
	cut := six > 0
	unit := s.ground.Frame().Area()
	for k, v := range vertex {
		if w := integral[k] / 6 * unit; cut {
			s.weights[v].Cut += w
		} else {
			s.weights[v].Fill -= w
		}
	}
	s.count(cut, area, topsoil)
	s.patches = append(s.patches, Patch{triangle, batter, s.keep(p)})
	return true
}

func (s *Sensor) count(cut bool, area, topsoil float64) {
	side, total := 0, &s.cutArea
	if !cut {
		side, total = 1, &s.fillArea
	}
	total.Add(area)
	if topsoil > 0 {
		s.stripped[side].Add(area)
	}
}

// roomFor is how many corners get room at once.
const roomFor = 4096

// keep copies corners.
func (s *Sensor) keep(p []tin.FaceCorner) []PatchCorner {
	if len(s.room)+len(p) > cap(s.room) {
		s.room = make([]PatchCorner, 0, max(roomFor, len(p)))
	}
	from := len(s.room)
	for _, c := range p {
		s.room = append(s.room, PatchCorner{c.X, c.Y, dug(c)})
	}
	return s.room[from:len(s.room):len(s.room)]
}

// noDepth is the share of a polygon's greatest depth, and the depth in metres, below
// which a corner lies on the daylight line: rounding of places moves depths by less.
const noDepth = 1e-9

// sides adds the sides of a batter's piece along which it meets the ground.
func (s *Sensor) sides(piece *tin.FacePiece) {
	p := piece.Corner
	var gx, gy, area2, sign, most float64 // the gradient of depth by Green's theorem
	for i, a := range p {
		b := p[(i+1)%len(p)]
		sum := dug(a) + dug(b)
		gx += float64(sum * (b.Y - a.Y))
		gy -= float64(sum * (b.X - a.X))
		area2 += float64((a.X-p[0].X)*(b.Y-p[0].Y)) - float64((a.Y-p[0].Y)*(b.X-p[0].X))
		sign += dug(a)
		most = max(most, math.Abs(dug(a)))
	}
	length := s.ground.Frame().Length()
	gradient := math.Hypot(gx, gy) / area2 / length
	zero := func(c tin.FaceCorner) bool { return math.Abs(dug(c)) <= noDepth*(1+most) }
	for i, a := range p {
		b := p[(i+1)%len(p)]
		if !zero(a) || !zero(b) {
			continue
		}
		if width := math.Hypot(b.X-a.X, b.Y-a.Y) * length / gradient; width > 0 && !math.IsInf(width, 1) {
			s.daylight = append(s.daylight, DaylightSide{piece.Triangle, sign > 0, orb.Point{a.X/2 + b.X/2, a.Y/2 + b.Y/2}, width})
		}
	}
}

// Shares returns the shares that the levels of a triangle's corners have in the
// level at a place in it, local units: from 0, and 1 together.
func Shares(c *[3]tin.PieceCorner, x, y float64) (h [3]float64) {
	for i := range c {
		if c[i].X == x && c[i].Y == y {
			h[i] = 1
			return h
		}
	}
	ux, uy, vx, vy := c[1].X-c[0].X, c[1].Y-c[0].Y, c[2].X-c[0].X, c[2].Y-c[0].Y
	area := float64(ux*vy) - float64(uy*vx)
	if !(area > 0) { // too flat for doubles: no area to speak of
		return [3]float64{1. / 3, 1. / 3, 1. / 3}
	}
	dx, dy := x-c[0].X, y-c[0].Y
	h[1] = min(max(0, (float64(dx*vy)-float64(dy*vx))/area), 1)
	h[2] = min(max(0, (float64(ux*dy)-float64(uy*dx))/area), 1-h[1])
	h[0] = 1 - h[1] - h[2]
	return h
}

// Result returns what was gathered.
func (s *Sensor) Result() Sensitivity {
	unit := s.ground.Frame().Area()
	out := Sensitivity{
		CutArea: s.cutArea.Value() / 2 * unit, FillArea: s.fillArea.Value() / 2 * unit,
		StrippedCut: s.stripped[0].Value() / 2 * unit, StrippedFill: s.stripped[1].Value() / 2 * unit,
		Patches: s.patches, Daylight: s.daylight,
	}
	for v, w := range s.weights {
		if w.Cut != 0 || w.Fill != 0 {
			w.Vertex = v
			out.Weights = append(out.Weights, w)
		}
	}
	return out
}
