package setout

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"barrow/tin"
)

// Kind is what a peg marks.
type Kind string

// What a peg marks.
const (
	AtCorner Kind = "corner" // of the outline
	OnSide   Kind = "side"   // of the outline, at an interval
	OnGrid   Kind = "grid"   // inside the outline
	AtCrest  Kind = "crest"  // where a cut batter meets the ground
	AtToe    Kind = "toe"    // where a fill batter does
	SetBack  Kind = "back"   // on a line outside a side, and as long
)

// Peg is a place to set out, in the unit of its outline.
type Peg struct {
	Number string // see [Outline.Pegs]
	Kind   Kind
	At     orb.Point
	Level  float64 // of a crest or toe: that of its line; else 0

	// Ring and Side are the side of the outline that the peg belongs to, counted from 0
	// in the given order; of a corner the side that begins there, of the grid the
	// nearest.
	Ring, Side int
	// Edge is the place of the outline that the peg stands for: itself, the foot of a
	// crest, a toe or a peg set back, the nearest place for the grid.
	Edge orb.Point
	// ToEdge is its distance in plan on the ground.
	ToEdge float64
}

// Corner is a corner of an outline.
type Corner struct {
	Name string
	At   orb.Point
}

// Outline is the outline of a pad, and what its pegs are found from.
type Outline struct {
	Pad   string
	Rings [][]Corner // the outer ring first, then holes; none closed, each in either direction

	Crest, Toe []Line  // the daylight lines of the pad's batters
	Walls      []Ring  // outlines of all pads: behind one, no crest or toe of a side is looked for
	Spacing    Spacing // of pegs
}

// Line is a line with levels: easting, northing, level.
type Line [][3]float64

// Ring is a closed line in plan, its first place not repeated.
type Ring []orb.Point

// Spacing says which pegs are wanted, in the unit of the outline, on the ground. Corners
// always are.
type Spacing struct {
	Interval float64   // along sides, from the corner where each begins; 0: none between corners
	Grid     float64   // of a grid inside; 0: none
	Back     []float64 // of lines outside the outline; none
	Scale    float64   // grid distance / ground distance; 0 counts as 1
}

// MaxPegs is how many pegs an outline may have.
const MaxPegs = 100_000

// nearCorner is how near a peg may stand to a corner or an edge that is pegged anyway,
// in the unit of the outline: nobody drives two pegs into one hole.
const nearCorner = 0.01

// Pegs returns the pegs of an outline: corners, sides, grid, crests and toes, and those
// set back, in that order.
//
// A peg's number is made of names and of what it stands for, so that a change elsewhere
// leaves it alone:
//
//	workshop W1          corner W1 of the pad
//	workshop W1+5.0      5.0 along the side that begins at W1
//	workshop G5.0/10.0   of the grid: 5.0 along the first side, 10.0 to the inside of it
//	workshop W1+5.0 C    on the crest, square out from W1+5.0; T: on the toe
//	workshop W1 C        outward corner: on the line that halves it
//	workshop W1+0.0 C    square out from the beginning of the side that begins at W1
//	workshop W1-0.0 C    square out from the end of the side that ends at W1; neither at an
//	                     inward corner
//	workshop W1+5.0 B3.0 set back 3.0 from W1+5.0
//
// Distances are on the ground, with the decimals they have, to a millimetre or a
// thousandth of a foot. Corners have the names and sides the direction that the outline
// was given with.
//
// Errors: "bad_peg_outline", "bad_spacing", "too_many_pegs", and "peg_number_twice" where
// names make two pegs alike. If ctx ends its error is returned.
func (o *Outline) Pegs(ctx context.Context) ([]Peg, error) {
	for _, check := range []func() error{o.check, o.Spacing.Check, o.limit, o.Spacing.once} {
		if err := check(); err != nil {
			return nil, err
		}
	}
	f := &finder{o: o, scale: o.Spacing.scale()}
	for i, ring := range o.Rings {
		f.rings = append(f.rings, sidesOf(ring, i))
	}
	f.corners()
	f.sides()
	for _, step := range []func(context.Context) error{f.grid, f.daylight, f.back} {
		if err := step(ctx); err != nil {
			return nil, err
		}
	}
	return f.pegs, o.checkNumbers(f.pegs)
}

// check refuses outlines without an area to peg.
func (o *Outline) check() error {
	bad := func(what string) error {
		return &tin.InputError{Code: "bad_peg_outline", Message: fmt.Sprintf("the outline of pad %s %s", o.Pad, what), Hint: "give each ring three corners or more"}
	}
	if len(o.Rings) == 0 {
		return bad("has no ring")
	}
	for i, ring := range o.Rings {
		for _, c := range ring {
			if !(math.Abs(c.At[0]) <= farthest && math.Abs(c.At[1]) <= farthest) {
				return bad("has a corner that is no place")
			}
		}
		if len(ring) == 0 || len(sidesOf(ring, i)) < 3 {
			return bad("has a ring of fewer than three sides")
		}
	}
	return nil
}

// farthest is how great a coordinate may be, as in point files.
const farthest = 1e9

func (s *Spacing) scale() float64 {
	if s.Scale == 0 {
		return 1
	}
	return s.Scale
}

// Check refuses lengths that are none, those below 0.1 and those above 1,000,000
// ("bad_spacing").
func (s *Spacing) Check() error {
	bad := func(what string, length float64) error {
		return &tin.InputError{Code: "bad_spacing", Key: what, Message: fmt.Sprintf("%s of %g", what, length), Hint: "give a length from 0.1 to 1,000,000"}
	}
	for _, l := range []struct {
		what   string
		length float64
	}{{"interval", s.Interval}, {"grid", s.Grid}} {
		if l.length != 0 && !(l.length >= 0.1 && l.length <= 1e6) {
			return bad(l.what, l.length)
		}
	}
	for _, b := range s.Back {
		if !(b >= 0.1 && b <= 1e6) {
			return bad("back", b)
		}
	}
	return nil
}

// once refuses a line outside the outline that is asked for twice.
func (s *Spacing) once() error {
	seen := map[string]bool{}
	for _, b := range s.Back {
		text := thousandths(b)
		if seen[text] {
			return &tin.InputError{Code: "bad_spacing", Key: "back", Message: fmt.Sprintf("back of %s twice: pegs would have the same numbers", text), Hint: "give each distance once"}
		}
		seen[text] = true
	}
	return nil
}

// limit refuses spacings that make more pegs than anyone drives.
func (o *Outline) limit() error {
	stations, n, scale := 0.0, 0.0, o.Spacing.scale()
	for _, ring := range o.Rings {
		for i := range ring {
			stations += 3
			if o.Spacing.Interval > 0 {
				stations += distance(ring[i].At, ring[(i+1)%len(ring)].At) / (o.Spacing.Interval * scale)
			}
		}
	}
	n = stations * float64(2+len(o.Spacing.Back))
	if o.Spacing.Grid > 0 {
		n += o.area() / math.Pow(o.Spacing.Grid*scale, 2)
	}
	if n > MaxPegs {
		return o.tooMany(n)
	}
	return nil
}

func (o *Outline) tooMany(n float64) error {
	return &tin.InputError{Code: "too_many_pegs", Message: fmt.Sprintf("pad %s would have about %.0f pegs", o.Pad, n),
		Hint: fmt.Sprintf("take wider spacings: at most %d are set out", MaxPegs)}
}

func (o *Outline) area() float64 {
	area := 0.0
	for i, ring := range o.Rings {
		a := math.Abs(planar.Area(ringOf(ring)))
		if i > 0 {
			a = -a
		}
		area += a
	}
	return area
}

func ringOf(ring []Corner) (out orb.Ring) {
	for _, c := range ring {
		out = append(out, c.At)
	}
	return append(out, out[0])
}

// checkNumbers refuses two pegs of one number.
func (o *Outline) checkNumbers(pegs []Peg) error {
	seen := make(map[string]bool, len(pegs))
	for i := range pegs {
		if seen[pegs[i].Number] {
			return Twice(pegs[i].Number)
		}
		seen[pegs[i].Number] = true
	}
	return nil
}

// Twice is the error of a number that two pegs have.
func Twice(number string) error {
	return &tin.InputError{Code: "peg_number_twice", Message: fmt.Sprintf("two pegs have the number %q", number),
		Hint: "a pad or a corner has a name that makes it so: give it another"}
}

// finder gathers the pegs of an outline.
type finder struct {
	o     *Outline
	scale float64
	rings [][]side
	pegs  []Peg
}

// add adds a peg with the number that its name makes.
func (f *finder) add(name string, p Peg) {
	p.Number = strings.TrimSpace(f.o.Pad + " " + name)
	p.ToEdge = distance(p.At, p.Edge) / f.scale
	f.pegs = append(f.pegs, p)
}

func (f *finder) corners() {
	for r, ring := range f.o.Rings {
		for i, c := range ring {
			f.add(c.Name, Peg{Kind: AtCorner, At: c.At, Edge: c.At, Ring: r, Side: i})
		}
	}
}

func (f *finder) sides() {
	for _, s := range slices.Concat(f.rings...) {
		for _, c := range f.between(&s) {
			at := s.at(c)
			f.add(s.from.Name+"+"+f.length(c), Peg{Kind: OnSide, At: at, Edge: at, Ring: s.ring, Side: s.index})
		}
	}
}

// between returns the chainages of the pegs between the corners of a side, in plan.
func (f *finder) between(s *side) (list []float64) {
	step := f.o.Spacing.Interval * f.scale
	if step == 0 {
		return nil
	}
	for k := 1; float64(float64(k)*step) < s.length-nearCorner; k++ {
		list = append(list, float64(k)*step)
	}
	return list
}

// length writes a distance in plan as one on the ground.
func (f *finder) length(plan float64) string { return thousandths(plan / f.scale) }

// thousandths writes a length to three decimals, with one at least.
func thousandths(length float64) string {
	text := strings.TrimRight(fmt.Sprintf("%.3f", length), "0")
	if strings.HasSuffix(text, ".") {
		text += "0"
	}
	return text
}

// grid sets pegs out inside, square to the first side.
func (f *finder) grid(ctx context.Context) error {
	step := f.o.Spacing.Grid * f.scale
	if step == 0 {
		return nil
	}
	first := &f.rings[0][0]
	var area orb.Polygon
	low, high := orb.Point{math.Inf(1), math.Inf(1)}, orb.Point{math.Inf(-1), math.Inf(-1)}
	for _, ring := range f.o.Rings {
		area = append(area, ringOf(ring))
		for _, c := range ring {
			along, out := first.local(c.At)
			low = orb.Point{min(low[0], along), min(low[1], -out)}
			high = orb.Point{max(high[0], along), max(high[1], -out)}
		}
	}
	if n := (high[0] - low[0]) / step * (high[1] - low[1]) / step; n > 10*MaxPegs {
		return f.o.tooMany(n)
	}
	sides := slices.Concat(f.rings...)
	for j := math.Ceil(low[1]/step) + 0; j*step <= high[1]; j++ { // + 0: its 0 has no sign
		if err := ctx.Err(); err != nil {
			return err
		}
		for i := math.Ceil(low[0]/step) + 0; i*step <= high[0]; i++ {
			along, in := float64(i*step), float64(j*step)
			at := first.place(along, -in)
			if !planar.PolygonContains(area, at) {
				continue
			}
			near, edge := nearest(sides, at)
			if distance(at, edge) < nearCorner {
				continue
			}
			f.add("G"+f.length(along)+"/"+f.length(in), Peg{Kind: OnGrid, At: at, Edge: edge, Ring: sides[near].ring, Side: sides[near].index})
		}
	}
	return nil
}

// nearest returns the side nearest to a place, the first of several, and its place
// there.
func nearest(sides []side, at orb.Point) (near int, edge orb.Point) {
	best := math.Inf(1)
	for i := range sides {
		along, _ := sides[i].local(at)
		p := sides[i].at(min(max(along, 0), sides[i].length))
		if d := distance(at, p); d < best {
			best, near, edge = d, i, p
		}
	}
	return near, edge
}

// back sets pegs out on lines outside the sides.
func (f *finder) back(ctx context.Context) error {
	for _, b := range f.o.Spacing.Back {
		for at := range neighbours(f.rings) {
			s := at[1]
			for _, st := range f.stations(at) {
				f.add(st.name+" B"+f.length(b*f.scale), Peg{Kind: SetBack, At: s.place(st.along, b*f.scale), Edge: s.at(st.along), Ring: s.ring, Side: s.index})
			}
		}
	}
	return ctx.Err()
}

// station is a place of a side from which something is set out square to it.
type station struct {
	name  string
	along float64 // in plan
}

// stations are both ends of the middle one of three sides and its pegs between them. At an
// end where the outline turns inward there is none: square out from it one goes along the
// neighbour.
func (f *finder) stations(at [3]*side) (list []station) {
	before, s, after := at[0], at[1], at[2]
	if !s.inwardAfter(before) {
		list = append(list, station{s.from.Name + "+0.0", 0})
	}
	for _, c := range f.between(s) {
		list = append(list, station{s.from.Name + "+" + f.length(c), c})
	}
	if !after.inwardAfter(s) {
		list = append(list, station{s.to.Name + "-0.0", s.length})
	}
	return list
}

func distance(a, b orb.Point) float64 { return math.Hypot(b[0]-a[0], b[1]-a[1]) }
