package formation

import (
	"context"
	"fmt"
	"math"
	"strconv"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// Layout is pads laid out over a ground.
type Layout struct {
	Pads     []LaidPad // one per Pad, in the same order
	Outlines []Outline // the formation outlines, by their first pad
	Notes    []tin.Problem
	Warnings []tin.Problem
}

// LaidPad is a pad with its formation.
type LaidPad struct {
	Pad            Pad
	Geometry       Geometry
	FormationLevel float64     // metres; at Fall.At, or of the level pad; NaN for a pad with its own levels
	Plane          tin.Plane   // of the formation; the zero Plane for a pad with its own levels
	Facets         []tin.Facet // the formation where this pad rules inside its outline; they do not overlap each other or another pad's
	Margin         []tin.Facet // the same for its margin
	FormationArea  float64     // m2, of the outline with its margin as drawn; of pads that are one, its share: the later has overlaps, the nearest the margin
	DiagonalSpread float64     // m3, see CodeTiedLevels; 0 but for pads with their own levels
}

// leastOverlap is the plan area, m2, below which an overlap is rounding: pads
// that share a side slantwise over the grid overlap by some square nanometres.
const leastOverlap = 1e-6

// Lay lays pads out over a ground: it checks them, widens their outlines by their
// margins, and gives each piece of plan inside a formation outline to one pad,
// with the plane of its formation. Inside outlines that is the last pad in the
// list whose outline holds it; an outline rules over another's margin, and of
// margins the lower one rules, the later if they are level. Pieces without ground
// are given too; volume reports them as uncovered.
//
// A level pad is at its formation level, finished less build-up; a falling pad
// is the plane that has that level at Fall.At. The formation of a pad with its
// own levels is triangulated by the rules of the ground, with the outline and
// the lines as breaklines. In its margin, each corner of the formation outline has
// the level of the nearest point of the outline, the lower if there are two.
//
// The margin is the union of a rectangle outside each side and, at each outward
// corner, what lies between the two sides' normals, within both margin lines and
// within twice the margin of the corner along the bisector. Pads that touch along
// a stretch or overlap are one for margin and batters if they have the same plane,
// margin and batters and no Edge where they meet.
//
// Notes: [CodePadsOverlap] for each two pads where the later takes plan from
// the earlier, with the area it takes (more than 1e-6 m2); [CodeMarginsOverlap]
// the same of margins; [CodePadsStep] where pads meet at different levels (by
// more than 0.5 mm); [CodeTiedLevels] where the choice of diagonals changes the
// volume of a pad with its own levels.
//
// Bad pads are a *tin.InputError with a key such as "pad[1].finished"; see
// [Pad.Check]. Nothing depends on an outline's start or direction; the order of
// pads matters where they overlap. No pads give an empty layout. If ctx ends its error is
// returned.
func Lay(ctx context.Context, ground *tin.Surface, pads []Pad, opts Options) (*Layout, error) {
	if ground == nil {
		return nil, inputError(CodeNoGround, "", "build a surface first", "there is no ground to lay pads on")
	}
	l := &Layout{Pads: make([]LaidPad, len(pads))}
	if len(pads) == 0 {
		return l, nil
	}
	r := &ruling{ground: ground, layout: l, topsoil: opts.Topsoil, own: make([]*ownPad, len(pads)), group: make([]int, len(pads))}
	for i, pad := range pads {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		own, notes, err := l.Pads[i].prepare(pad, i, opts)
		if err != nil {
			return nil, indexError(err, i)
		}
		l.Notes = append(l.Notes, notes...)
		sides, err := named(pad, i).sideTerms(outlineRings(pad.Outline))
		if err != nil {
			return nil, indexError(err, i)
		}
		l.Notes = append(l.Notes, named(pad, i).edgeNotes(outlineRings(pad.Outline))...)
		r.own[i] = own
		r.pads = append(r.pads, newDrawn(pad, &l.Pads[i], sides, i))
	}
	var cells []tin.Cell
	for _, step := range []func() error{
		r.widen,
		func() (err error) { cells, err = r.cells(); return err },
		func() error { return r.lay(cells) },
	} {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if err := step(); err != nil {
			return nil, err
		}
	}
	l.Notes = append(l.Notes, r.notes(pads, opts)...)
	return l, nil
}

// prepare checks a pad and fills in all but its facets.
func (l *LaidPad) prepare(pad Pad, i int, opts Options) (*ownPad, []tin.Problem, error) {
	p := named(pad, i)
	if err := p.check(opts); err != nil {
		return nil, nil, err
	}
	rings := outlineRings(p.Outline)
	geometry, err := p.measure(rings)
	if err != nil {
		return nil, nil, err
	}
	*l = LaidPad{Pad: pad, Geometry: geometry}
	if p.Levels == nil {
		l.FormationLevel = FormationLevel(p.Finished, p.Layers)
		l.Plane = p.plane(l.FormationLevel)
		return nil, nil, nil
	}
	l.FormationLevel = math.NaN()
	surface, source, err := ownSurface(p, rings, opts)
	if err != nil {
		return nil, nil, err
	}
	var notes []tin.Problem
	for _, n := range surface.Notes() {
		n.Message = p.label() + ": " + n.Message
		notes = append(notes, n)
	}
	if note := l.tie(p, surface, source.rim, opts); note != nil {
		notes = append(notes, *note)
	}
	own := &ownPad{source: source, levels: source.levelledRim(), inside: newOwnTriangles(surface, source.rim.holds)}
	return own, notes, nil
}

// tie adds up what the choice of diagonals means for the volume, and returns
// the note of it.
func (l *LaidPad) tie(p Pad, surface *tin.Surface, r *rim, opts Options) *tin.Problem {
	var spread tin.Sum
	var at *orb.Point
	places := 0
	for _, t := range surface.Ties() {
		if len(t.Corners) == 0 {
			continue
		}
		var e, n float64
		for _, c := range t.Corners {
			e, n = e+(c.E-t.Corners[0].E), n+(c.N-t.Corners[0].N)
		}
		k := float64(len(t.Corners))
		middle := orb.Point{t.Corners[0].E + e/k, t.Corners[0].N + n/k}
		if !r.holds(middle) { // in a bay of the outline, or a hole
			continue
		}
		if at == nil {
			at = &middle
		}
		places++
		spread.Add(t.Spread)
	}
	l.DiagonalSpread = spread.Value()
	if places == 0 {
		return nil
	}
	where := "in one place"
	if places > 1 {
		where = fmt.Sprintf("in %d places", places)
	}
	return &tin.Problem{Code: CodeTiedLevels, At: at, Message: fmt.Sprintf(
		"%s: %s four or more levels lie on a circle and not in a plane; which diagonals are taken changes the volume by up to %s; a line along the wanted diagonal settles it",
		p.label(), where, opts.volume(l.DiagonalSpread))}
}

// named returns the pad with a name for messages.
func named(p Pad, i int) Pad {
	if p.Name == "" {
		p.Name = strconv.Itoa(i + 1)
	}
	return p
}

// indexError puts the pad's place in the list before the key.
func indexError(err error, i int) error {
	return underKey(err, fmt.Sprintf("pad[%d]", i))
}
