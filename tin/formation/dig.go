package formation

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/tin/formation/internal/daylight"
)

// Topsoil is what is stripped off the ground before it is measured, metres deep.
type Topsoil struct {
	Depth float64       // everywhere outside Areas
	Areas []TopsoilArea // where they overlap the last counts
}

// TopsoilArea is a part of the plan with a depth of topsoil of its own; 0 where there
// is none.
type TopsoilArea struct {
	Area  orb.Polygon // metres
	Depth float64
}

// Dig is the works outside the formation outlines: the batters, out to where they
// meet the ground.
type Dig struct {
	Pads  []PadDig // one per pad of the layout
	Bound float64  // by how much the facets of round corners overstate all volumes together at most, m3; they never understate
	Angle float64  // greatest angle between facets, degrees; 0 without round corners

	// Outline is the rim of the works in plan, metres: round the formation outlines
	// and the batters outside them, outer rings anticlockwise, holes clockwise, each
	// closed and from its least corner by easting, then northing.
	Outline orb.MultiPolygon

	Notes, Warnings []tin.Problem

	layout  *Layout
	ground  *tin.Surface
	pieces  []daylight.Piece
	topsoil Topsoil
}

// PadDig is the batters of one pad where they rule.
type PadDig struct {
	Faces      []tin.FacePiece
	OpenLength float64 // metres of the ground's rim that the batters reach with depth, so that their extent is unknown

	// Crest is where cut batters meet the ground, Toe where fill batters do, both with
	// the works on their left and the levels of the ground that is measured. Where the
	// works end at an upright face (the rim of a strip or of the ground, a step between
	// batters) there is neither.
	Crest, Toe []Line
}

// facetBound is the share of the batters' volume that facets may add.
const facetBound = 1e-6

// Dig finds the batters of a layout by the definitions in docs/methods.md: the faces
// that rise (in fill, fall) from the formation outlines at their batters, as far as
// they are connected works. Of the cuts of several pads the lowest face rules, of
// fills the highest, and cut over fill. Round corners are made of plane facets that
// touch the cone from below (in fill, from above).
//
// Notes: [CodeShallowJoint]. Warnings: [CodeOpenBatter], [CodeWorksClash],
// [CodeSteepFormation], [CodePadOnBatter]. If ctx ends its error is returned.
func (l *Layout) Dig(ctx context.Context, ground *tin.Surface, opts Options) (*Dig, error) {
	d := &Dig{Pads: make([]PadDig, len(l.Pads)), layout: l, ground: ground, topsoil: opts.Topsoil}
	if len(l.Pads) == 0 {
		return d, nil
	}
	if in := l.input(ground, opts.Topsoil); len(in.Pads) > 0 {
		works, err := daylight.Find(ctx, in)
		if err != nil {
			return nil, err
		}
		d.batters(works, opts)
	}
	return d, d.surround(ctx)
}

// batters takes over what was found.
func (d *Dig) batters(works *daylight.Works, opts Options) {
	l, ground := d.layout, d.ground
	d.pieces = works.Pieces
	d.Bound, d.Angle = works.Bound, works.Angle*180/math.Pi
	t := digTeller{layout: l, frame: ground.Frame(), opts: opts, openLength: make(map[int]*tin.Sum), longest: make(map[int]openSide)}
	for i := range works.Pieces {
		p := &works.Pieces[i]
		pad := d.padOf(p.Place)
		d.Pads[pad].Faces = append(d.Pads[pad].Faces, tin.FacePiece{Triangle: p.Triangle, Corner: p.Corner, Topsoil: p.Topsoil})
		t.open(p, pad)
	}
	for i, sum := range t.openLength {
		d.Pads[i].OpenLength = sum.Value()
	}
	d.Notes, d.Warnings = t.joints(works.Joints), slices.Concat(t.opened(), t.clashes(works.Clash), t.steep(works.Steep), t.standing(works.Standing))
}

// input turns a layout into what the search works on; pads without any batter are
// still there, since batters of others end at them.
func (l *Layout) input(ground *tin.Surface, topsoil Topsoil) daylight.Input {
	frame := ground.Frame()
	in := daylight.Input{Ground: ground, Topsoil: topsoil.Depth, Bound: facetBound}
	battered := false
	for _, o := range l.Outlines {
		var p daylight.Pad
		for _, ring := range o.Rings {
			var corners []daylight.Vertex
			var cut, fill []daylight.Profile
			for _, c := range ring {
				x, y := frame.Local(orb.Point{c.E, c.N})
				corners = append(corners, daylight.Vertex{X: x, Y: y, Level: c.Level})
				cut, fill = append(cut, c.Cut.profile()), append(fill, c.Fill.profile())
				battered = battered || !c.Cut.Upright() || !c.Fill.Upright()
			}
			p.Rings, p.Cut, p.Fill = append(p.Rings, corners), append(p.Cut, cut), append(p.Fill, fill)
		}
		if plane := l.Pads[o.Pads[0]].Plane; l.Pads[o.Pads[0]].Pad.Levels == nil {
			p.Plane = &plane
		}
		in.Pads = append(in.Pads, p)
	}
	if !battered {
		in.Pads = nil
	}
	for _, a := range topsoil.Areas {
		in.Areas = append(in.Areas, daylight.Area{Outline: localPolygon(frame, a.Area), Depth: a.Depth})
	}
	return in
}

func (b Batter) profile() daylight.Profile {
	return daylight.Profile{Along: b.Along, Every: b.Every, Berm: b.Berm}
}

// Upright reports whether there is no batter.
func (b Batter) Upright() bool { return b.Along == 0 }

func localPolygon(frame tin.Frame, p orb.Polygon) (out orb.Polygon) {
	for _, ring := range outlineRings(p) {
		var r orb.Ring
		for _, c := range ring {
			x, y := frame.Local(c)
			r = append(r, orb.Point{x, y})
		}
		out = append(out, r)
	}
	return out
}

// digTeller turns what was found into words.
type digTeller struct {
	layout *Layout
	frame  tin.Frame
	opts   Options

	openLength map[int]*tin.Sum
	longest    map[int]openSide
}

// openSide is a stretch where batters run off the ground.
type openSide struct {
	length float64
	at     orb.Point // local
}

func (t *digTeller) label(pad int) string { return named(t.layout.Pads[pad].Pad, pad).label() }

// first returns a pad of an outline, to name it by.
func (t *digTeller) first(outline int) int { return t.layout.Outlines[outline].Pads[0] }

func (t *digTeller) metres(p orb.Point) *orb.Point {
	m := t.frame.Metres(p[0], p[1])
	return &m
}

func (t *digTeller) where(p orb.Point) string {
	m := t.frame.Metres(p[0], p[1])
	return t.opts.place(m[0], m[1])
}

// leastOpen is the depth, metres, below which batters that reach the rim end there.
const leastOpen = 1e-6

// open adds up the sides of a piece that lie where the ground ends.
func (t *digTeller) open(p *daylight.Piece, pad int) {
	for i, rim := range p.Rim {
		a, b := p.Corner[i], p.Corner[(i+1)%len(p.Corner)]
		if !rim || max(math.Abs(a.Ground-a.Face), math.Abs(b.Ground-b.Face)) < leastOpen {
			continue
		}
		length := math.Hypot(b.X-a.X, b.Y-a.Y) * t.frame.Length()
		if t.openLength[pad] == nil {
			t.openLength[pad] = &tin.Sum{}
		}
		t.openLength[pad].Add(length)
		if length > t.longest[pad].length {
			t.longest[pad] = openSide{length, orb.Point{a.X/2 + b.X/2, a.Y/2 + b.Y/2}}
		}
	}
}

// opened warns of pads whose batters run off the ground.
func (t *digTeller) opened() (out []tin.Problem) {
	for pad := range t.layout.Pads {
		sum := t.openLength[pad]
		if sum == nil {
			continue
		}
		side := t.longest[pad]
		out = append(out, tin.Problem{Code: CodeOpenBatter, At: t.metres(side.at), Message: fmt.Sprintf(
			"the batters of %s reach the end of the surveyed ground along %s, with depth: how far they go on is not known, and the volumes are at least those given",
			t.label(pad), t.opts.length("%.1f", sum.Value()/t.opts.scale()))})
	}
	return out
}

// clashes warns of places where one pad is cut and another filled.
func (t *digTeller) clashes(list []daylight.Clash) (out []tin.Problem) {
	for _, c := range list {
		if c.Area < leastOverlap {
			continue
		}
		out = append(out, tin.Problem{Code: CodeWorksClash, At: t.metres(c.At), Message: fmt.Sprintf(
			"the cut batter of %s and the fill batter of %s run into each other over %s at %s; the cut is measured there: the job wants a wall, or other levels",
			t.label(t.first(c.CutPad)), t.label(t.first(c.FillPad)), t.opts.area(c.Area), t.where(c.At))})
	}
	return out
}

// steep warns of outlines whose levels differ by more than their batters can take.
func (t *digTeller) steep(list []*daylight.Steep) (out []tin.Problem) {
	for i, s := range list {
		if s == nil {
			continue
		}
		out = append(out, tin.Problem{Code: CodeSteepFormation, At: t.metres(s.At), Message: fmt.Sprintf(
			"the formation of %s at %s stands %s above the batter that rises from its outline at %s: its fall is steeper than the batter there",
			t.label(t.first(i)), t.where(s.At), t.opts.length("%.3f", s.By), t.where(s.Other))})
	}
	return out
}

// standing warns of pads above the cut batters of others.
func (t *digTeller) standing(list []daylight.Standing) (out []tin.Problem) {
	for _, s := range list {
		out = append(out, tin.Problem{Code: CodePadOnBatter, At: t.metres(s.At), Message: fmt.Sprintf(
			"%s stands up to %s above the cut batter of %s, at %s: digging the batter would undermine it",
			t.label(t.first(s.Pad)), t.opts.length("%.2f", s.Height), t.label(t.first(s.CutPad)), t.where(s.At))})
	}
	return out
}

// joints notes parts of the works that hang on a shallow joint, the largest first.
func (t *digTeller) joints(list []daylight.Joint) (out []tin.Problem) {
	slices.SortStableFunc(list, func(a, b daylight.Joint) int { return cmp.Compare(b.Volume, a.Volume) })
	for _, j := range list {
		kind := "fill"
		if j.Cut {
			kind = "cut"
		}
		out = append(out, tin.Problem{Code: CodeShallowJoint, At: t.metres(j.At), Message: fmt.Sprintf(
			"%s of %s of %s is joined to the rest only where the depth is %s, at %s: another survey may part it",
			t.opts.volume(j.Volume), kind, t.label(t.first(j.Pad)), t.opts.length("%.3f", j.Depth), t.where(j.At))})
	}
	return out
}
