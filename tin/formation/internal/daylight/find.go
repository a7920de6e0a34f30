package daylight

import (
	"context"
	"math"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// Vertex is a corner of a formation outline in local units with the level of the
// formation there, metres.
type Vertex struct{ X, Y, Level float64 }

// Pad is a formation outline with its batters.
type Pad struct {
	Rings [][]Vertex  // the outer ring anticlockwise, holes clockwise, no closing corner, no corner twice
	Cut   [][]Profile // of each ring's sides, each from a corner to the next
	Fill  [][]Profile
	Plane *tin.Plane // of the formation; nil: levels of its own
}

func (p *Pad) profile(ring, side int, sign float64) Profile {
	if sign > 0 {
		return p.Cut[ring][side]
	}
	return p.Fill[ring][side]
}

// Area is a part of the plan with its own depth of topsoil.
type Area struct {
	Outline orb.Polygon // local units
	Depth   float64     // metres
}

// Input is what there is to find the works of.
type Input struct {
	Ground  *tin.Surface
	Pads    []Pad
	Topsoil float64 // depth, metres, taken off the ground everywhere outside Areas
	Areas   []Area  // the last that holds a place counts
	Bound   float64 // wanted bound on what facets add, as a share of the volume
}

// Works is what was found.
type Works struct {
	Pieces   []Piece
	Joints   []Joint // parts that hang on a joint of under 10 mm
	Clash    []Clash
	Standing []Standing
	Steep    []*Steep // of each pad: where its levels differ by more than its batters can take; nil: nowhere
	Bound    float64  // on what facets add to the volumes, cubic metres
	Angle    float64  // greatest angle between facets, radians
}

// Clash is where the cut of one pad takes the place of the fill of another.
type Clash struct {
	CutPad, FillPad int
	Area            float64   // square metres
	At              orb.Point // local; in the largest piece
	largest         float64
}

// Standing is where a pad stands above the cut batter of another, within its works.
type Standing struct {
	CutPad, Pad int
	Height      float64   // greatest, metres
	At          orb.Point // local
}

const (
	firstAngle = 0.1  // of the facets that the final angle is found with
	leastAngle = 1e-3 // of any facet
	slackMetre = 1e-9 // how near counts as touching
	leastJoint = 1e-7 // the shortest joint, metres
	touchMetre = 1e-6 // how far from a side triangles are looked at
)

// Find finds the works of pads outside their formation outlines. If ctx ends its error
// is returned.
func Find(ctx context.Context, in Input) (*Works, error) {
	q := newQuest(in)
	works, moment, err := q.find(ctx, firstAngle)
	if err != nil || moment == 0 {
		return works, err
	}
	volume := 0.0
	for i := range works.Pieces {
		volume += works.Pieces[i].volume(in.Ground.Frame().Area())
	}
	angle := min(firstAngle, max(leastAngle, math.Sqrt(8*in.Bound*volume/moment)))
	works, moment, err = q.find(ctx, angle)
	if err != nil {
		return nil, err
	}
	works.Angle, works.Bound = angle, (1-math.Cos(angle/2))*moment
	return works, nil
}

// quest is an input with what does not depend on the angle of facets.
type quest struct {
	Input
	reach float64     // how far from an outline works can be, local units
	steep [2][]*Steep // of each pad, in cut and in fill
}

// signs are those of cut and fill.
var signs = [2]float64{1, -1}

func newQuest(in Input) *quest {
	q := &quest{Input: in, reach: reach(in)}
	for k, sign := range signs {
		for i := range in.Pads {
			q.steep[k] = append(q.steep[k], in.Pads[i].steep(sign, in.Ground.Frame().Length()))
		}
	}
	return q
}

// find finds the works with facets of a given angle, and the integral of the cones'
// rise over their works, from above, cubic metres.
func (in *quest) find(ctx context.Context, angle float64) (*Works, float64, error) {
	frame := in.Ground.Frame()
	w := &Works{Steep: make([]*Steep, len(in.Pads))}
	f := newFlood(ctx, in.Input)
	b := builder{length: frame.Length(), reach: in.reach, angle: angle}
	for k, sign := range signs {
		s := &sheet{builder: b}
		s.sign, s.strips, s.mixed = sign, make(map[Place]stack), make([]bool, len(in.Pads))
		for i := range in.Pads {
			p := &in.Pads[i]
			steep := in.steep[k][i]
			if steep != nil {
				w.Steep[i] = steep
			}
			s.mixed[i] = steep != nil || p.mixed(sign)
			s.pad(int32(i), p)
		}
		s.findOverlaps()
		f.sheets = append(f.sheets, s)
		for i := range in.Pads {
			if err := f.run(s, int32(i), &in.Pads[i]); err != nil {
				return nil, 0, err
			}
		}
	}
	clashes := make(map[[2]int32]*Clash)
	w.Pieces = f.collect(func(cutPad, fillPad int32, p polygon) {
		k := [2]int32{cutPad, fillPad}
		c := clashes[k]
		if c == nil {
			c = &Clash{CutPad: int(cutPad), FillPad: int(fillPad)}
			clashes[k] = c
		}
		area := p.area2() / 2 * frame.Area()
		c.Area += area
		if area > c.largest {
			m := p.centre()
			c.largest, c.At = area, orb.Point{m.x, m.y}
		}
	})
	if err := ctx.Err(); err != nil {
		return nil, 0, err
	}
	for i := range in.Pads {
		for j := range in.Pads {
			if c := clashes[[2]int32{int32(i), int32(j)}]; c != nil {
				w.Clash = append(w.Clash, *c)
			}
		}
	}
	w.Standing = f.standing(in.Pads)
	w.Joints = joints(f.sheets, w.Pieces, frame.Area())
	return w, moment(w.Pieces, frame.Area()), nil
}

// Place names a side of a pad: that from a corner to the next.
type Place struct{ Pad, Ring, Side int }

func newFlood(ctx context.Context, in Input) *flood {
	length := in.Ground.Frame().Length()
	f := &flood{
		ctx: ctx, ground: in.Ground, tiles: make(map[int]*tile),
		slack: slackMetre / length, least: leastJoint / length, touch: touchMetre / length,
		plan: &plan{depth: in.Topsoil},
	}
	boundary, voids := in.Ground.LocalLimits()
	for _, p := range boundary {
		f.plan.boundary = append(f.plan.boundary, f.plan.add(p))
	}
	for _, p := range voids {
		f.plan.voids = append(f.plan.voids, f.plan.add(p))
	}
	f.plan.limits = len(f.plan.cuts)
	for i := range in.Pads {
		f.plan.pads = append(f.plan.pads, f.plan.add(in.Pads[i].polygon()))
	}
	for _, a := range in.Areas {
		f.plan.topsoil = append(f.plan.topsoil, area{f.plan.add(a.Outline), a.Depth})
	}
	f.plan.index()
	last := -1
	for t := range in.Ground.Rim() {
		if t != last {
			f.rim = append(f.rim, rimTriangle{t, sidesOf(in.Ground.Corners(t))})
			last = t
		}
	}
	return f
}

func (p *Pad) polygon() (out orb.Polygon) {
	for _, ring := range p.Rings {
		var r orb.Ring
		for _, v := range ring {
			r = append(r, orb.Point{v.X, v.Y})
		}
		out = append(out, r)
	}
	return out
}

// mixed reports whether sides have different batters.
func (p *Pad) mixed(sign float64) bool {
	first := p.profile(0, 0, sign)
	for r, ring := range p.Rings {
		for i := range ring {
			if p.profile(r, i, sign) != first {
				return true
			}
		}
	}
	return false
}

// reach bounds how far from an outline works can be, local units.
func reach(in Input) float64 {
	low, high := math.Inf(1), math.Inf(-1)
	for _, v := range in.Ground.Vertices() {
		low, high = min(low, v.Level), max(high, v.Level)
	}
	deepest := in.Topsoil
	for _, a := range in.Areas {
		deepest = max(deepest, a.Depth)
	}
	low -= deepest
	rise, flattest := 0.0, 0.0
	for i := range in.Pads {
		p := &in.Pads[i]
		for r, ring := range p.Rings {
			for k, v := range ring {
				rise = max(rise, high-v.Level, v.Level-low)
				flattest = max(flattest, p.Cut[r][k].mean(), p.Fill[r][k].mean())
			}
		}
	}
	return 1 + 1.01*rise*flattest/in.Ground.Frame().Length()
}

// volume returns the volume between ground and face, cubic metres, given the square
// metres in a square unit.
func (p *Piece) volume(unit float64) float64 {
	six := 0.0
	a := p.Corner[0]
	for i := 2; i < len(p.Corner); i++ {
		b, c := p.Corner[i-1], p.Corner[i]
		area := float64((b.X-a.X)*(c.Y-a.Y)) - float64((b.Y-a.Y)*(c.X-a.X))
		six += float64(area * ((a.Ground - a.Face) + (b.Ground - b.Face) + (c.Ground - c.Face)))
	}
	return math.Abs(six) / 6 * unit
}

// moment returns an upper bound of the integral, over the pieces under fans, of the
// rise of the cone: distance from the corner is convex, so that over a triangle its
// mean is at most that of the corners.
func moment(pieces []Piece, unit float64) float64 {
	var total tin.Sum
	for i := range pieces {
		p := &pieces[i]
		if p.fan == nil {
			continue
		}
		rise := func(c tin.FaceCorner) float64 { return p.fan.slope * hypot(c.X-p.fan.x, c.Y-p.fan.y) }
		a := p.Corner[0]
		for k := 2; k < len(p.Corner); k++ {
			b, c := p.Corner[k-1], p.Corner[k]
			area := float64((b.X-a.X)*(c.Y-a.Y)) - float64((b.Y-a.Y)*(c.X-a.X))
			total.Add(max(0, area) / 6 * unit * (rise(a) + rise(b) + rise(c)))
		}
	}
	return total.Value()
}

// joints gives the parts that hang on a shallow joint their volumes and leaves out
// those that are no deeper than it need be.
func joints(sheets []*sheet, pieces []Piece, unit float64) (out []Joint) {
	for i := range pieces {
		p := &pieces[i]
		if p.part == 0 {
			continue
		}
		j := &p.sheet.joints[p.part-1]
		j.Volume += p.volume(unit)
		for _, c := range p.Corner {
			j.Deep = max(j.Deep, p.sheet.sign*(c.Ground-c.Face))
		}
	}
	for _, s := range sheets {
		for _, j := range s.joints {
			if j.Deep >= weakJoint {
				out = append(out, j)
			}
		}
	}
	return out
}
