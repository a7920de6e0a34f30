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
	where := ""
	if p.Fall != nil {
		where = ", where the finished level holds"
	}
	t.line("  Build-up" + where)
	const rung = "    %10s  %s"
	switch {
	case p.FinishedLevel == nil && len(p.Layers) == 0:
		t.line("    none: the levels given are formation levels")
	case p.FinishedLevel == nil:
		t.line("    under the finished levels of the corners below:")
		sum := 0.0
		for _, l := range p.Layers {
			t.layer(l)
			sum += l.Thickness
		}
		t.line(fmt.Sprintf("    %10s  %s below the finished level: FORMATION", "", t.n.small(sum)))
	case len(p.Layers) == 0:
		t.line(fmt.Sprintf(rung, t.n.level(*p.FinishedLevel), "finished level = FORMATION (no layers given)"))
	default:
		t.line(fmt.Sprintf(rung, t.n.level(*p.FinishedLevel), "--- finished level"))
		for i, l := range p.Layers {
			t.layer(l)
			mark := "---"
			if i == len(p.Layers)-1 {
				mark = "=== FORMATION"
			}
			t.line(fmt.Sprintf(rung, t.n.level(*l.Underside), mark))
		}
	}
}

func (t *text) layer(l takeoff.Rung) {
	t.put(strings.Repeat(" ", 20), l.Name+", "+t.n.small(l.Thickness))
}

// corners lists the levels of a pad that is not level, high and low one named.
func (t *text) corners(p *takeoff.PadResult) {
	columns := []int{44, 62}
	t.heads(2, "Corners", columns, "finished", "formation")
	list := p.Corners
	for _, c := range []takeoff.Corner{p.High, p.Low} {
		if c.Ring < 0 { // a spot inside the outline
			list = append(slices.Clone(list), c)
		}
	}
	for _, c := range list {
		mark := ""
		switch high, low := c.Formation >= p.High.Formation-sameLevel, c.Formation <= p.Low.Formation+sameLevel; {
		case high && !low:
			mark = "  HIGH"
		case low && !high:
			mark = "  LOW"
		}
		at := []int{columns[0], columns[1] + len(mark)}
		t.row(4, c.Name, at, t.n.level(c.Finished), t.n.level(c.Formation)+mark)
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
