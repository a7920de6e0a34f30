package section

import (
	"cmp"
	"context"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// Options say how sections are cut.
type Options struct {
	// Reach is how far sections go to either side of the alignment, metres. 0: as
	// far as the works. A bent alignment whose sections would run into the works of
	// another leg wants it.
	Reach float64
	// Beyond is how much ground is shown past the works, metres.
	Beyond float64
	// Middles asks for a section half way between any two, for the prismoidal rule.
	Middles bool
	// Unit and Scale (grid length over ground length) are those in which notes speak of
	// lengths; the zero values count as metres and 1.
	Unit  tin.Unit
	Scale float64
	// Progress, if set, is told from time to time how many sections are done.
	Progress func(done, total int)
}

// Run is the sections along an alignment.
type Run struct {
	Sections []Section
	// Middle holds the section half way between each and the next, if they were
	// asked for.
	Middle []Section
	// Notes are warnings about what the sections miss or count twice.
	Notes []tin.Problem
}

// Cut cuts sections of ground and formation at marks of an alignment (see
// [Alignment.Marks]). At a corner where the works change at once there are two
// sections of one chainage, what lies behind it first. If ctx ends its error is
// returned.
func Cut(ctx context.Context, ground *tin.Surface, formation Profiler, a *Alignment, marks []Mark, opts Options) (*Run, error) {
	if err := check(a, marks, opts); err != nil {
		return nil, err
	}
	c := cutter{ground: ground, formation: formation, a: a, opts: opts, bound: formation.Bound()}
	out := &Run{}
	for i, m := range marks {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if opts.Progress != nil && i%64 == 0 {
			opts.Progress(i, len(marks))
		}
		sections, err := c.at(m, i == 0, i == len(marks)-1)
		if err != nil {
			return nil, err
		}
		out.Sections = append(out.Sections, sections...)
	}
	if err := c.middles(ctx, out); err != nil {
		return nil, err
	}
	return out, c.note(ctx, out)
}

// length writes metres on the grid in the unit of notes.
func (o *Options) length(m float64) string {
	return fmt.Sprintf("%.3f", m/(o.Unit.Metres()*cmp.Or(o.Scale, 1)))
}

func check(a *Alignment, marks []Mark, opts Options) error {
	if len(marks) < 2 {
		return fail("too_few_sections", "cut at least two", "fewer than two sections")
	}
	if !isLength(opts.Scale) || opts.Scale < 0 || !isLength(opts.Unit.Metres()) || opts.Unit.Metres() <= 0 {
		return fail("bad_unit", "leave both out for metres", "a unit of %v m on a scale of %v", opts.Unit.Metres(), opts.Scale)
	}
	if !isLength(opts.Reach, opts.Beyond) || opts.Reach < 0 || opts.Beyond < 0 {
		return fail("bad_reach", "give lengths of at least 0", "a reach of %v m, %v m beyond the works", opts.Reach, opts.Beyond)
	}
	bends := a.Bends()
	for i, m := range marks {
		if !(m.Chainage >= a.Start() && m.Chainage <= a.End()) {
			return fail("chainage_outside", "give a chainage on the alignment", "chainage %v is not between %v and %v", m.Chainage, a.Start(), a.End())
		}
		if i == 0 {
			for len(bends) > 0 && bends[0] <= m.Chainage {
				bends = bends[1:]
			}
			continue
		}
		if m.Chainage <= marks[i-1].Chainage {
			return fail("chainages_order", "sort the chainages, and give each once", "chainage %v comes after %v", m.Chainage, marks[i-1].Chainage)
		}
		if len(bends) > 0 && bends[0] < m.Chainage {
			return fail("bend_without_section", "cut one there", "there is no section at the bend at chainage %v", bends[0])
		}
		if len(bends) > 0 && bends[0] == m.Chainage {
			bends = bends[1:]
		}
	}
	return nil
}

// cutter cuts sections one by one.
type cutter struct {
	ground    *tin.Surface
	formation Profiler
	a         *Alignment
	opts      Options
	bound     orb.Bound
}

// at returns the section at a mark, or both at a corner where they differ: of the
// first section what lies ahead, of the last what lies behind.
func (c *cutter) at(m Mark, first, last bool) (list []Section, err error) {
	sides := []Side{Behind, Ahead}
	switch {
	case last:
		sides = sides[:1]
	case first || !m.Corner:
		sides = sides[1:]
	}
	for _, side := range sides {
		s, err := c.cut(side, c.place(m.Chainage))
		if err != nil {
			return nil, err
		}
		list = append(list, s)
	}
	if len(list) == 2 && agree(&list[0], &list[1]) {
		list = list[1:]
	}
	return list, nil
}

// place returns the section at a chainage before it is cut.
func (c *cutter) place(chainage float64) Section {
	leg := c.a.leg(chainage)
	s := Section{Chainage: chainage, At: c.a.At(chainage)}
	vertex := -1
	switch chainage {
	case c.a.chainage[leg]:
		vertex = leg
	case c.a.chainage[leg+1]:
		vertex = leg + 1
	}
	if vertex >= 0 {
		t := c.a.tangent[vertex]
		s.in, s.out, s.Skew = t, t, t
		if vertex > leg {
			s.Skew = -t // seen from the leg that ends here
		}
	}
	s.Right = across(c.a.direction(leg), s.Skew)
	return s
}

// across returns the unit vector to the right of a leg, turned by a skew.
func across(d orb.Point, skew float64) orb.Point {
	long := secant(skew)
	return orb.Point{(d[1] + float64(skew*d[0])) / long, (float64(skew*d[1]) - d[0]) / long}
}

// secant returns the length along a section of a metre square to its leg.
func secant(skew float64) float64 { return math.Hypot(1, skew) }

// cut measures what a section shows on one side.
func (c *cutter) cut(side Side, s Section) (Section, error) {
	s.Side = side
	if err := c.profiles(&s); err != nil {
		return s, err
	}
	s.measure()
	return s, nil
}

// profiles cuts the formation as far as it reaches, and the ground over it.
func (c *cutter) profiles(s *Section) (err error) {
	left, right := c.limits(s)
	if !(right > left) {
		return nil
	}
	s.Formation, err = c.formation.Profile(s.place(left), s.place(right), s.Side)
	if err != nil || len(s.Formation) == 0 {
		return err
	}
	shift(s.Formation, left)
	from, to := s.Formation[0].From, s.Formation[0].To
	for _, f := range s.Formation {
		to = max(to, f.To)
	}
	// A little more, so that rounding leaves no part of the works without ground.
	margin := c.opts.Beyond + together
	from, to = from-margin, to+margin
	s.Ground, err = stretches(c.ground, s.place(from), s.place(to))
	shift(s.Ground, from)
	return err
}

// place returns the place at an offset.
func (s *Section) place(offset float64) orb.Point {
	return orb.Point{s.At[0] + float64(offset*s.Right[0]), s.At[1] + float64(offset*s.Right[1])}
}

func shift(stretches []Stretch, by float64) {
	for i := range stretches {
		stretches[i].From += by
		stretches[i].To += by
	}
}

// limits returns the offsets between which a section can meet the works: where it
// leaves the box round them, within the reach.
func (c *cutter) limits(s *Section) (left, right float64) {
	left, right = math.Inf(-1), math.Inf(1)
	if c.opts.Reach > 0 {
		reach := c.opts.Reach * secant(s.Skew)
		left, right = -reach, reach
	}
	for axis := range 2 {
		least, most := c.bound.Min[axis]-1-s.At[axis], c.bound.Max[axis]+1-s.At[axis]
		if s.Right[axis] == 0 {
			if least > 0 || most < 0 {
				return 0, 0
			}
			continue
		}
		a, b := least/s.Right[axis], most/s.Right[axis]
		left, right = max(left, min(a, b)), min(right, max(a, b))
	}
	return left, right
}

// agree reports whether what lies behind a section and what lies ahead are the same
// works, but for rounding.
func agree(a, b *Section) bool {
	near := func(u, v float64) bool { return math.Abs(u-v) <= alike*max(math.Abs(u), math.Abs(v))+1e-12 }
	return near(a.Cut.Area, b.Cut.Area) && near(a.Fill.Area, b.Fill.Area) &&
		math.Abs(a.From-b.From) <= together && math.Abs(a.To-b.To) <= together &&
		near(a.Cut.Moment, b.Cut.Moment) && near(a.Fill.Moment, b.Fill.Moment)
}

// middles cuts the sections half way between two, turned half as much.
func (c *cutter) middles(ctx context.Context, out *Run) error {
	if !c.opts.Middles {
		return nil
	}
	for i := range len(out.Sections) - 1 {
		if err := ctx.Err(); err != nil {
			return err
		}
		a, b := out.Sections[i], out.Sections[i+1]
		if a.Chainage == b.Chainage {
			out.Middle = append(out.Middle, a) // between the two sides of a step lies nothing
			continue
		}
		m := c.place(a.Chainage + (b.Chainage-a.Chainage)/2)
		m.Skew, m.in, m.out = (a.out-b.in)/2, 0, 0
		m.Right = across(c.a.direction(c.a.leg(m.Chainage)), m.Skew)
		middle, err := c.cut(Ahead, m)
		if err != nil {
			return err
		}
		out.Middle = append(out.Middle, middle)
	}
	return nil
}
