package section

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// Mark is a chainage at which a section is cut.
type Mark struct {
	Chainage float64
	// Corner says that the works may change at once here: the section is cut
	// twice, for what lies behind and what lies ahead of it.
	Corner bool
}

// Plan says where sections are cut. Bends are always among them, because the way
// from one section to the next must be straight.
type Plan struct {
	Interval float64     // metres, sections at its whole multiples; 0: none
	At       []float64   // listed chainages
	Corners  []orb.Point // sections through these places, such as each vertex of the pads
	// Works are places round the works: sections begin at the least of their
	// chainages and end at the greatest. Empty: at the ends of the alignment.
	Works []orb.Point
	Most  int // the greatest number of marks allowed; 0 counts as 100,000
}

// together is how near two chainages are, in metres, that are one section.
const together = 1e-6

// Marks returns where sections are to be cut, by rising chainage. A listed chainage
// that lies off the alignment is an error, and one where there are no works has no
// section; nor have corners past the alignment's ends (see [Alignment.Locate]).
func (a *Alignment) Marks(p Plan) ([]Mark, error) {
	from, to, err := a.extent(p.Works)
	if err != nil {
		return nil, err
	}
	marks := []Mark{{from, true}, {to, true}}
	add := func(chainage float64, corner bool) {
		if chainage > from && chainage < to {
			marks = append(marks, Mark{chainage, corner})
		}
	}
	most := cmp.Or(max(p.Most, 0), 100_000)
	if err := a.atInterval(p.Interval, from, to, most, add); err != nil {
		return nil, err
	}
	for _, c := range p.At {
		if !(c >= a.Start()-together && c <= a.End()+together) {
			return nil, fail("chainage_outside", "give a chainage on the alignment",
				"chainage %v is not between %v and %v", c, a.Start(), a.End())
		}
		add(c, false)
	}
	for _, c := range a.Bends() {
		add(c, true)
	}
	for i, c := range p.Corners {
		if !isLength(c[0], c[1]) {
			return nil, fail("bad_coordinate", "give finite numbers", "corner %d, %v, %v, is not a place", i+1, c[0], c[1])
		}
		if chainage, _, beyond := a.Locate(c); beyond <= together {
			add(chainage, true)
		}
	}
	if marks = a.merge(marks); len(marks) > most {
		return nil, tooMany(len(marks), most)
	}
	return marks, nil
}

func tooMany(n, most int) error {
	return fail("too_many_sections", "take a wider interval", "%d sections, of at most %d", n, most)
}

// extent returns the first and the last chainage of the works.
func (a *Alignment) extent(works []orb.Point) (from, to float64, err error) {
	if len(works) == 0 {
		return a.Start(), a.End(), nil
	}
	from, to = math.Inf(1), math.Inf(-1)
	for i, p := range works {
		if !isLength(p[0], p[1]) {
			return 0, 0, fail("bad_coordinate", "give finite numbers", "place %d of the works, %v, %v, is not a place", i+1, p[0], p[1])
		}
		c, _, _ := a.Locate(p)
		from, to = min(from, c), max(to, c)
	}
	if to-from <= together {
		return 0, 0, fail("works_off_alignment", "draw the alignment along the works", "all of the works lie past an end of the alignment, or at one chainage")
	}
	return from, to, nil
}

func (a *Alignment) atInterval(interval, from, to float64, most int, add func(float64, bool)) error {
	if interval == 0 {
		return nil
	}
	if !(interval > 0) || !isLength(interval) {
		return fail("bad_interval", "give a length above 0", "an interval of %v m", interval)
	}
	first, n := math.Ceil(from/interval), (to-from)/interval
	if n > float64(most) {
		return tooMany(int(min(n, largest)), most)
	}
	for k := range int(n) + 2 {
		add((first+float64(k))*interval, false)
	}
	return nil
}

// merge sorts marks and makes one of those at one chainage, which is that of a bend
// or an end if there is one among them.
func (a *Alignment) merge(marks []Mark) []Mark {
	fixed := func(m Mark) int {
		if _, is := slices.BinarySearch(a.chainage, m.Chainage); is {
			return 0
		}
		return 1
	}
	slices.SortFunc(marks, func(m, n Mark) int { return cmp.Compare(m.Chainage, n.Chainage) })
	out := marks[:1]
	for _, m := range marks[1:] {
		last := &out[len(out)-1]
		if m.Chainage-last.Chainage > together {
			out = append(out, m)
			continue
		}
		if fixed(m) < fixed(*last) {
			last.Chainage = m.Chainage
		}
		last.Corner = last.Corner || m.Corner
	}
	return out
}
