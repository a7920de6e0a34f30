package report

import (
	"fmt"
	"strings"

	"barrow/volume/takeoff"
)

// cautions say what a set-out cannot know.
func (t *setOutSheet) cautions() []string {
	list := []string{
		"Pegs and levels say where the drawing wants the dig, and not how to work there. Upright faces and batters are shapes to measure by, " +
			"and no statement that ground will stand or a fill hold: the stability of trenches, faces and batters is for a competent person " +
			"to judge on site, by the local codes.",
	}
	list = append(list, cautionWords(comparedSlopes(t.r.Takeoff.Cautions))...)
	m := t.takeoff()
	list = append(list, m.deep()...)
	list = append(list, t.uprights(m)...)
	list = append(list, t.slopes()...)
	for i := range t.r.Pads {
		if p := &t.r.Pads[i]; p.Pond {
			list = append(list, t.pond(p))
		}
	}
	return append(list,
		"Find buried services before breaking ground. Plans and levels show none of them; hand-dig where one may lie.",
		"Water changes what ground can do. No ground water is allowed for; after rain or a burst pipe have faces judged again.",
		"Keep spoil, machines and traffic back from the edge: they press on the face below. 29 CFR 1926.651(j)(2), USA, keeps spoil and "+
			"equipment 2 ft (0.61 m) or more back from the edge of a trench.",
		"Read the benchmark again at the end, and whenever the instrument was touched: a slip there is in every level of this sheet.",
		"Local codes and law, and the judgement of licensed engineers and surveyors, come before this sheet.",
	)
}

// uprights names the pads whose upright faces are deeper than the lowest depth that a
// published rule speaks of.
func (t *setOutSheet) uprights(m *text) (list []string) {
	lowest := takeoff.DepthRules()[0]
	for i := range t.r.Takeoff.Pads {
		p := &t.r.Takeoff.Pads[i]
		depth := t.r.Takeoff.Dug(p)
		if words := faces(p); !lowest.Begins(depth*m.metres()) || !strings.HasPrefix(words, "upright") {
			continue
		}
		list = append(list, fmt.Sprintf("UPRIGHT FACES of %s are up to %s %s deep, more than %g ft (%.2f m): support must be designed by somebody competent before anyone goes near them.",
			p.Name, fixed(depth, 2), t.r.Units.Length, lowest.Feet, lowest.Metres))
	}
	return list
}

// slopes lists the batters that the job asks for.
func (t *setOutSheet) slopes() (list []string) {
	for i := range t.r.Takeoff.Pads {
		p := &t.r.Takeoff.Pads[i]
		words := []string{"cut " + slopeAsked(p.CutBatter), "fill " + slopeAsked(p.FillBatter)}
		for _, e := range p.Edges {
			side := fmt.Sprintf("from %s to %s ", e.From, e.To)
			if e.Upright {
				words = append(words, side+"upright")
			}
			if e.CutBatter != nil {
				words = append(words, side+"cut "+slopeAsked(e.CutBatter))
			}
			if e.FillBatter != nil {
				words = append(words, side+"fill "+slopeAsked(e.FillBatter))
			}
		}
		list = append(list, fmt.Sprintf("Asked for %s: %s.", p.Name, strings.Join(words, "; ")))
	}
	return list
}

func slopeAsked(b *takeoff.BatterResult) string {
	if b == nil {
		return "upright (no batter given)"
	}
	return takeoff.SlopeWords(b.Along)
}

// comparedSlopes are the cautions about slopes and the rule they were compared with, or
// that they were compared with none.
func comparedSlopes(all []takeoff.Caution) (list []takeoff.Caution) {
	for _, c := range all {
		switch c.Code {
		case takeoff.CodeNoSoil, takeoff.CodeSlopeCompared, takeoff.CodeSlopeBeyond, takeoff.CodeNoCutFace:
			list = append(list, c)
		}
	}
	return list
}
