package formation

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// Layout is pads laid out over a ground.
type Layout struct {
	Pads     []LaidPad // one per Pad, in the same order
	Notes    []tin.Problem
	Warnings []tin.Problem
}

// LaidPad is a pad with its formation.
type LaidPad struct {
	Pad            Pad
	Geometry       Geometry
	FormationLevel float64     // metres; at Fall.At, or of the level pad; NaN for a pad with its own levels
	Plane          tin.Plane   // of the formation; the zero Plane for a pad with its own levels
	Facets         []tin.Facet // the formation where this pad rules; they do not overlap each other or another pad's
	DiagonalSpread float64     // m3, see CodeTiedLevels; 0 but for pads with their own levels
}

// leastOverlap is the plan area, m2, below which an overlap is rounding: pads
// that share a side slantwise over the grid overlap by some square nanometres.
const leastOverlap = 1e-6

// Lay lays pads out over a ground: it checks them and gives each piece of plan
// inside an outline to one pad, the last in the list whose outline holds it,
// with the plane of its formation. Pieces without ground are given too; volume
// reports them as uncovered.
//
// A level pad is at its formation level, finished less build-up; a falling pad
// is the plane that has that level at Fall.At. The formation of a pad with its
// own levels is triangulated by the rules of the ground, with the outline and
// the lines as breaklines.
//
// Notes: [CodePadsOverlap] for each two pads where the later takes plan from
// the earlier, with the area it takes (more than 1e-6 m2); [CodeTiedLevels]
// where the choice of diagonals changes the volume of a pad with its own levels.
//
// Bad pads are a *tin.InputError with a key such as "pad[1].finished"; see
// [Pad.Check]. Nothing depends on an outline's start or direction; the order of
// pads matters where they overlap. No pads give an empty layout.
func Lay(ground *tin.Surface, pads []Pad, opts Options) (*Layout, error) {
	if ground == nil {
		return nil, inputError(CodeNoGround, "", "build a surface first", "there is no ground to lay pads on")
	}
	l := &Layout{Pads: make([]LaidPad, len(pads))}
	if len(pads) == 0 {
		return l, nil
	}
	own := make([]*ownTriangles, len(pads))
	outlines := make([]orb.Polygon, len(pads))
	var lines []orb.LineString
	for i, pad := range pads {
		triangles, notes, err := l.Pads[i].prepare(pad, i, opts)
		if err != nil {
			return nil, indexError(err, i)
		}
		l.Notes = append(l.Notes, notes...)
		own[i], outlines[i] = triangles, pad.Outline
		if triangles != nil {
			lines = append(lines, triangles.lines...)
		}
	}
	cells, err := ground.Partition(outlines, lines)
	if err != nil {
		return nil, fmt.Errorf("formation: pads cannot be laid out: %w", err)
	}
	var taken overlaps
	for _, c := range cells {
		if len(c.In) == 0 {
			continue
		}
		ruler := c.In[len(c.In)-1]
		taken.add(c)
		plane := l.Pads[ruler].Plane
		if own[ruler] != nil {
			var ok bool
			if plane, ok = own[ruler].planeIn(c); !ok {
				return nil, indexError(inputError(codeOutlineFlat, "outline", "give an outline with an area",
					"the outline of %s is a line but for rounding", named(pads[ruler], ruler).label()), ruler)
			}
		}
		l.Pads[ruler].Facets = append(l.Pads[ruler].Facets, tin.Facet{Cell: c, Plane: plane})
	}
	l.Notes = append(l.Notes, taken.notes(pads, opts)...)
	return l, nil
}

// prepare checks a pad and fills in all but its facets.
func (l *LaidPad) prepare(pad Pad, i int, opts Options) (*ownTriangles, []tin.Problem, error) {
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
	surface, r, err := ownSurface(p, rings, opts)
	if err != nil {
		return nil, nil, err
	}
	var notes []tin.Problem
	for _, n := range surface.Notes() {
		n.Message = p.label() + ": " + n.Message
		notes = append(notes, n)
	}
	if note := l.tie(p, surface, r, opts); note != nil {
		notes = append(notes, *note)
	}
	return newOwnTriangles(surface, r), notes, nil
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
	in, ok := err.(*tin.InputError)
	if !ok {
		return err
	}
	e := *in
	e.Key = strings.TrimSuffix(fmt.Sprintf("pad[%d].%s", i, e.Key), ".")
	return &e
}
