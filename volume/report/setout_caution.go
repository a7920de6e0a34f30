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
	list = append(list, cautionWords(inDig(t.r.Takeoff.Cautions))...)
	list = append(list, t.takeoff().deep()...)
	list = append(list, t.slopes()...)
	return append(list,
		"Find buried services before breaking ground. Plans and levels show none of them; hand-dig where one may lie.",
		"Water changes what ground can do. No ground water is allowed for; after rain or a burst pipe have faces judged again.",
		"Keep spoil, machines and traffic back from the edge: they press on the face below. 29 CFR 1926.651(j)(2), USA, keeps spoil and "+
			"equipment 2 ft (0.61 m) or more back from the edge of a trench.",
		levelCaution,
		"Local codes and law, and the judgement of licensed engineers and surveyors, come before this sheet.",
	)
}

const levelCaution = "Read the benchmark again at the end, and whenever the instrument was touched: a slip there is in every level of this sheet."

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

// inDig are the cautions about the dig: those about clearances have a part of their own.
func inDig(all []takeoff.Caution) (list []takeoff.Caution) {
	for _, c := range all {
		if c.Code != takeoff.CodeNoClearances && c.Code != takeoff.CodeClearances {
			list = append(list, c)
		}
	}
	return list
}
