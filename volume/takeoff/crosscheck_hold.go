package takeoff

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// Judgement, tried on random jobs (docs/methods.md, 5.1).
const (
	// crossMargin is by how many times an estimate of an error may be too small: it is
	// made for errors that fall with the square of the interval, and where a face stands
	// upright they fall with the interval itself.
	crossMargin = 2
	// crossLeast is the mean depth over the works, metres, below which no difference
	// counts: no survey sees it.
	crossLeast = 1e-5
)

// crossMethod is what a method measured.
type crossMethod struct {
	name              string
	volumes, expected crossVolumes
	cells             int
	uncovered         float64
	parts             []crossPart // of the works; what the prisms have there is filled in when needed
	distribute        func(w *crossWorks, parts []crossPart) error
	worst             [quantities]*crossPart // where the most of a difference beyond what is expected arises
}

// crossPart is a part of the works: a stretch of the alignment or a block of cells.
type crossPart struct {
	stretch       bool
	from, to      float64      // chainages
	lines         [2]crossLine // the sections there
	rows, columns [2]int       // first and last
	at            orb.Point
	by, prisms    crossVolumes
}

func (p *crossPart) difference(q int) float64 { return p.by[q] - p.prisms[q] }

// heldWorks is works with what every method measured of them.
type heldWorks struct {
	works   *crossWorks
	methods []crossMethod
}

// measureAll measures all works by all methods, and looks for differences beyond what
// is expected.
func (x *crossing) measureAll() error {
	for i := range x.works {
		x.run.tell("measuring by sections and grid", i, len(x.works))
		h := heldWorks{works: &x.works[i]}
		sections, err := x.bySections(h.works)
		if err != nil {
			return err
		}
		squares, err := x.byGrid(h.works)
		if err != nil {
			return err
		}
		h.methods = append(sections, squares)
		for k := range h.methods {
			if err := x.judge(&h, &h.methods[k]); err != nil {
				return err
			}
		}
		x.held = append(x.held, h)
	}
	return nil
}

func (h *heldWorks) difference(m *crossMethod, q int) float64 {
	return m.volumes[q] - h.works.prism[q]
}

// mean returns a volume over the area of the works, metres.
func (h *heldWorks) mean(volume float64) float64 {
	if h.works.area == 0 {
		return 0
	}
	return volume / h.works.area
}

// beyond reports whether a difference is more than expected.
func (h *heldWorks) beyond(m *crossMethod, q int) bool {
	return math.Abs(h.difference(m, q)) > m.expected[q]+float64(crossLeast*h.works.area)
}

// percent returns a difference in per cent of what the prisms have, nil of nothing.
func (h *heldWorks) percent(d float64, q int) *float64 {
	of := h.works.prism[q]
	if q == inNet {
		of = h.works.prism[inCut] + h.works.prism[inFill]
	}
	if of == 0 {
		return nil
	}
	p := 100 * d / of
	return &p
}

// supported returns the least and the greatest volume that the methods support: that
// of each of them, and that of the prisms give or take what is expected of each.
func (h *heldWorks) supported(q int) (least, greatest float64) {
	exact := h.works.prism[q]
	least, greatest = exact, exact
	for i := range h.methods {
		m := &h.methods[i]
		least = min(least, m.volumes[q], exact-m.expected[q])
		greatest = max(greatest, m.volumes[q], exact+m.expected[q])
	}
	if q != inNet {
		least = max(least, 0)
	}
	return least, greatest
}

// judge looks for differences beyond what is expected, finds where they arise, and
// warns.
func (x *crossing) judge(h *heldWorks, m *crossMethod) error {
	distributed := false
	for q := range quantities {
		if !h.beyond(m, q) {
			continue
		}
		if !distributed {
			if err := m.distribute(h.works, m.parts); err != nil {
				return err
			}
			distributed = true
		}
		for i := range m.parts {
			if p := &m.parts[i]; m.worst[q] == nil || math.Abs(p.difference(q)) > math.Abs(m.worst[q].difference(q)) {
				m.worst[q] = p
			}
		}
		x.warnDisagree(h, m, q)
	}
	return nil
}

func (x *crossing) warnDisagree(h *heldWorks, m *crossMethod, q int) {
	r, d, worst := x.run, h.difference(m, q), m.worst[q]
	words := map[bool]string{true: "more", false: "less"}
	of := ""
	if p := h.percent(math.Abs(d), q); p != nil {
		of = percent(*p/100) + ", "
	}
	w := tin.Problem{Code: WarnMethodsDisagree, Message: fmt.Sprintf("%s, %s: by %s it is %s (%s%s over the works) %s than by prisms, and at most %s is expected",
		h.works.title(), [...]string{"cut", "fill", "cut less fill"}[q], methodWords(m.name), r.volumeText(math.Abs(d)), of, r.heightText(h.mean(d)), words[d > 0], r.volumeText(m.expected[q]))}
	if worst != nil {
		p := worst.difference(q)
		w.At = &worst.at
		w.Message += fmt.Sprintf("; the greatest part, %s %s, arises %s", r.volumeText(math.Abs(p)), words[p > 0], worst.words(r))
	}
	x.warnings = append(x.warnings, w)
}

func (p *crossPart) words(r *run) string {
	if p.stretch {
		return fmt.Sprintf("between chainages %.3f and %.3f", p.from/r.lengthUnit(), p.to/r.lengthUnit())
	}
	return fmt.Sprintf("in the grid's rows %d to %d, columns %d to %d", p.rows[0], p.rows[1], p.columns[0], p.columns[1])
}

// title names works in a message.
func (w *crossWorks) title() string {
	words := map[string]string{BasisAsDug: "as dug", BasisNetVoid: "net void", BasisSurveys: "between the surveys"}[w.basis]
	if w.topsoilIn {
		words += " with the topsoil"
	}
	return words
}

func methodWords(method string) string {
	return map[string]string{MethodEndArea: "average end areas", MethodPrismoidal: "the prismoidal rule", MethodGrid: "the unit-area grid"}[method]
}

// heightText writes a mean height in metres, without its sign: in millimetres or in
// feet.
func (r *run) heightText(m float64) string {
	if r.unit == 1 {
		return fmt.Sprintf("%.1f mm", 1000*math.Abs(m))
	}
	return r.levelText(m)
}

// notMeasured says what no agreement of methods shows.
func (x *crossing) notMeasured() []Omission {
	if x.run.layout == nil {
		return []Omission{
			{"survey_error", "the surveys: levels, control, and ground between spots are the same for all methods here, and their errors with them; a difference of datum between the two is a volume here"},
			{"shape_of_works", "what was worked: all that lies between the two is measured, ground that nobody touched too"},
		}
	}
	list := []Omission{
		{"survey_error", "the survey: levels, control, and ground between spots are the same for all methods here, and their errors with them"},
		{"shape_of_works", "the shape of the works: outlines, levels, batters and where they meet the ground are taken as found for the prisms"},
	}
	if x.opts.Shots == nil {
		list = append(list, Omission{"no_check_shots", "the ground away from its spots: no points shot apart from the survey were given to hold it against"})
	}
	return list
}
