package takeoff

import (
	"fmt"

	"barrow/tin/formation"
	"barrow/volume/takeoff/internal/tomltree"
)

// refuseLater checks the keys for work that is not measured yet as strictly as
// all others, and then refuses the first. A margin or a topsoil of 0 asks for
// nothing and passes.
func (l *loader) refuseLater(root *tomltree.Node) {
	var first *tomltree.Node
	later := func(n *tomltree.Node) {
		if first == nil || n.Line < first.Line || n.Line == first.Line && n.Column < first.Column {
			first = n
		}
	}
	if g := root.Get("ground"); g != nil && g.Kind == tomltree.Table {
		if t := g.Get("topsoil"); t != nil && l.topsoilDepth(t) != 0 {
			later(t)
		}
	}
	for _, c := range l.tables(root.Get("clearance"), "[[clearance]]") {
		l.clearance(c)
		later(c)
	}
	if pads := root.Get("pad"); pads != nil && pads.Kind == tomltree.Array {
		for _, p := range pads.Items {
			l.refuseLaterInPad(p, later)
		}
	}
	if l.err != nil || first == nil {
		return
	}
	l.fail(first, codeNotYetMeasured,
		"this is not measured yet: this version measures upright faces on the outline only",
		"take it out of the job to get those figures, and allow for it apart")
}

func (l *loader) refuseLaterInPad(p *tomltree.Node, later func(*tomltree.Node)) {
	if p.Kind != tomltree.Table {
		return
	}
	if m := p.Get("margin"); m != nil && l.distance(m, "margin = 0.75", &marginLimit) != 0 {
		later(m)
	}
	if b := p.Get("batter"); b != nil {
		l.batter(b)
		later(b)
	}
	for _, e := range l.tables(p.Get("edges"), `edges = [ { from = "1", to = "2", face = "upright" } ]`) {
		l.edge(e)
		later(e)
	}
}

func (l *loader) topsoilDepth(n *tomltree.Node) float64 {
	const example = "topsoil = { depth = 0.20, beyond = 1.0 }"
	if n.Kind != tomltree.Table {
		return l.distance(n, example, &topsoilLimit)
	}
	depth := l.distance(l.need(n, "depth", example), example, &topsoilLimit)
	l.distance(n.Get("beyond"), example, nil)
	return depth
}

func (l *loader) clearance(n *tomltree.Node) {
	l.text(l.need(n, "name", `name = "site boundary"`), `name = "site boundary"`)
	l.word(l.need(n, "stay", `stay = "inside" or "outside"`), "inside", "outside")
	l.need(n, "shape", `shape = "lot.geojson"`)
	l.distance(n.Get("distance"), "distance = 0.5", nil)
}

func (l *loader) batter(n *tomltree.Node) {
	const example = `batter = { cut = "1V:1H", fill = "1V:2H" }`
	if !l.want(n, tomltree.Table, example) {
		return
	}
	for _, key := range []string{"cut", "fill"} {
		b := n.Get(key)
		if b == nil {
			continue
		}
		if text := l.text(b, example); l.err == nil {
			_, err := formation.ParseBatter(text)
			l.failWith(b, err)
		}
	}
}

func (l *loader) edge(n *tomltree.Node) {
	for _, key := range []string{"from", "to"} {
		e := l.need(n, key, fmt.Sprintf("%s, a vertex of the outline by name or number", key))
		if e != nil && l.err == nil && e.Kind != tomltree.String && e.Kind != tomltree.Number {
			l.fail(e, codeWrongType, fmt.Sprintf("this is %s, wanted a vertex", e.Kind), "name it, or number it from 1 in the outline's order")
		}
	}
	l.word(n.Get("face"), "upright", "batter")
	l.distance(n.Get("margin"), "margin = 0.3", &marginLimit)
	if b := n.Get("batter"); b != nil {
		l.batter(b)
	}
}
