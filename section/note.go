package section

import (
	"context"
	"fmt"
	"math"

	"barrow/tin"
)

// note looks for works that the sections miss or count twice.
func (c *cutter) note(ctx context.Context, out *Run) error {
	c.noteMissing(out)
	if err := c.noteBeyond(out); err != nil {
		return err
	}
	return c.noteTwice(ctx, out)
}

// noteMissing gives the section with the widest formation without ground.
func (c *cutter) noteMissing(s *Run) {
	worst, count := &s.Sections[0], 0
	for i := range s.Sections {
		if s.Sections[i].Uncovered > together {
			count++
		}
		if s.Sections[i].Uncovered > worst.Uncovered {
			worst = &s.Sections[i]
		}
	}
	if count > 0 {
		s.warn("ground_missing", worst, (worst.From+worst.To)/2,
			"%s formation without ground, %s %s of it at chainage %s: areas and volumes are at least those given",
			sectionsHave(count), c.opts.length(worst.Uncovered), c.opts.Unit, c.opts.length(worst.Chainage))
	}
}

func sectionsHave(n int) string {
	if n == 1 {
		return "1 section has"
	}
	return fmt.Sprintf("%d sections have", n)
}

func (s *Run) warn(code string, at *Section, offset float64, format string, args ...any) {
	place := at.place(offset)
	s.Notes = append(s.Notes, tin.Problem{Code: code, Message: fmt.Sprintf(format, args...), At: &place})
}

// noteBeyond looks whether the works go on behind the first section or ahead of the
// last.
func (c *cutter) noteBeyond(out *Run) error {
	first, last := out.Sections[0], out.Sections[len(out.Sections)-1]
	if c.a.closed && first.Chainage == c.a.Start() && last.Chainage == c.a.End() {
		return nil
	}
	for _, end := range []struct {
		chainage float64
		side     Side
	}{{first.Chainage, Behind}, {last.Chainage, Ahead}} {
		past, err := c.cut(end.side, c.place(end.chainage))
		if err != nil {
			return err
		}
		if past.Cut.Area+past.Fill.Area > together || past.Uncovered > together {
			out.warn("works_beyond_end", &past, (past.From+past.To)/2,
				"the works go on past the section at chainage %s: what lies beyond it is in no volume", c.opts.length(end.chainage))
		}
	}
	return nil
}

// noteTwice looks for works that lie in the sections of two legs.
func (c *cutter) noteTwice(ctx context.Context, out *Run) error {
	last := 0
	for i := range out.Sections {
		if err := ctx.Err(); err != nil {
			return err
		}
		s := &out.Sections[i]
		for _, offset := range [...]float64{s.From, s.To} {
			if c.nearerElsewhere(s, offset) {
				out.warn("sections_cross", s, offset, "the section at chainage %s reaches into the works beside another part of the alignment: what lies there is counted twice; give a reach", c.opts.length(s.Chainage))
				return nil
			}
		}
		if i > 0 && (s.in != 0 || i+1 == len(out.Sections)) {
			if offset, ok := crossed(&out.Sections[last], s); ok {
				out.warn("sections_cross", s, offset, "the sections at chainages %s and %s cross within the works; draw longer legs, or give a reach", c.opts.length(out.Sections[last].Chainage), c.opts.length(s.Chainage))
				return nil
			}
			last = i
		}
	}
	return nil
}

// nearerElsewhere reports whether a place of a section is nearer to a leg that does
// not touch its own.
func (c *cutter) nearerElsewhere(s *Section, offset float64) (found bool) {
	p, own, legs := s.place(offset), c.a.leg(s.Chainage), len(c.a.line)-1
	square := math.Abs(offset)/secant(s.Skew) - 2*together
	reach := func() float64 {
		if found {
			return -1 // far enough
		}
		return square
	}
	nearby(c.a.legs, 0, p, reach, func(leg int) {
		apart := max(own-leg, leg-own)
		if apart <= 1 || s.in != 0 && leg == own-2 || c.a.closed && apart >= legs-2 {
			return
		}
		_, _, away := c.a.foot(leg, p)
		found = found || away < square
	})
	return found
}

// crossed reports whether the sections at both ends of a leg cross within the works.
func crossed(a, b *Section) (offset float64, ok bool) {
	turn, length := a.out+b.in, b.Chainage-a.Chainage
	if turn == 0 || length == 0 {
		return 0, false
	}
	square := length / turn // the offset, square to the leg, where they cross
	within := func(s *Section) bool {
		on := square * secant(s.Skew)
		return on > s.From && on < s.To
	}
	return square * secant(b.Skew), within(a) && within(b)
}
