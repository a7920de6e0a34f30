package report

import (
	"fmt"
	"slices"
	"strings"

	"barrow/volume/takeoff"
)

// pad writes what is to be known of a pad before its volumes.
func (t *text) pad(p *takeoff.PadResult) {
	t.blank()
	t.put("PAD ", p.Name)
	t.buildUp(p)
	if p.Fall != nil || p.OwnLevels {
		t.corners(p)
	}
	t.sides(p)
}

// buildUp draws the layers as a ladder: the rungs are levels, between them
// stand the layers.
func (t *text) buildUp(p *takeoff.PadResult) {
	t.line("  " + buildUpTitle(p))
	list := t.ladder(p)
	for i, r := range list {
		switch {
		case r.layer:
			t.put(strings.Repeat(" ", 20), r.words)
		case r.level == "" && i == 0:
			t.line("    " + r.words)
		case r.level == "" || len(list) == 1:
			t.line(fmt.Sprintf("    %10s  %s", r.level, r.words))
		case i == len(list)-1:
			t.line(fmt.Sprintf("    %10s  === %s", r.level, r.words))
		default:
			t.line(fmt.Sprintf("    %10s  %s", r.level, strings.TrimSpace("--- "+r.words)))
		}
	}
}

func buildUpTitle(p *takeoff.PadResult) string {
	if p.Fall != nil {
		return "Build-up, where the finished level holds"
	}
	return "Build-up"
}

// rung is a level of a ladder, a layer between two of them, or words about it.
type rung struct {
	level string // empty: there is none
	words string
	layer bool
}

// ladder returns the levels of a pad's build-up from the top down, with the layers
// between them.
func (t *text) ladder(p *takeoff.PadResult) (list []rung) {
	switch {
	case p.FinishedLevel == nil && len(p.Layers) == 0:
		return []rung{{words: "none: the levels given are formation levels"}}
	case p.FinishedLevel == nil:
		list = append(list, rung{words: "under the finished levels of the corners below:"})
		sum := 0.0
		for _, l := range p.Layers {
			list = append(list, t.layer(l))
			sum += l.Thickness
		}
		return append(list, rung{words: t.n.small(sum) + " below the finished level: FORMATION"})
	case len(p.Layers) == 0:
		return []rung{{level: t.n.level(*p.FinishedLevel), words: "finished level = FORMATION (no layers given)"}}
	}
	list = append(list, rung{level: t.n.level(*p.FinishedLevel), words: "finished level"})
	for i, l := range p.Layers {
		words := ""
		if i == len(p.Layers)-1 {
			words = "FORMATION"
		}
		list = append(list, t.layer(l), rung{level: t.n.level(*l.Underside), words: words})
	}
	return list
}

func (t *text) layer(l takeoff.Rung) rung {
	return rung{words: l.Name + ", " + t.n.small(l.Thickness), layer: true}
}

// corners lists the levels of a pad that is not level, high and low one named.
func (t *text) corners(p *takeoff.PadResult) {
	columns := []int{44, 62, 68}
	t.heads(2, "Corners", columns, "finished", "formation")
	list := p.Corners
	for _, c := range []takeoff.Corner{p.High, p.Low} {
		if c.Ring < 0 { // a spot inside the outline
			list = append(slices.Clone(list), c)
		}
	}
	for _, c := range list {
		values := []string{t.n.level(c.Finished), t.n.level(c.Formation)}
		switch high, low := c.Formation >= p.High.Formation-sameLevel, c.Formation <= p.Low.Formation+sameLevel; {
		case high && !low:
			values = append(values, "HIGH")
		case low && !high:
			values = append(values, "LOW ")
		}
		t.row(4, c.Name, columns, values...)
	}
}

// sides lists what can be held against the drawing.
func (t *text) sides(p *takeoff.PadResult) {
	columns := []int{44, 62}
	t.heads(2, "To hold against the drawing", columns, "length "+t.r.Units.Length, "bearing")
	for _, s := range p.Sides {
		t.row(4, s.From+" to "+s.To, columns, t.n.length(s.Length), t.n.bearing(s.Bearing))
	}
	for _, d := range p.Diagonals {
		t.row(4, "diagonal "+d.From+" to "+d.To, columns, t.n.length(d.Length))
	}
	t.row(4, "round the outline", columns, t.n.length(p.Perimeter))
	t.row(4, "area", columns, t.n.area(p.OutlineArea))
}
