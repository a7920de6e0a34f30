package takeoff

import (
	"fmt"
	"strconv"

	"barrow/tin/formation"
	"barrow/volume/takeoff/internal/tomltree"
)

// works reads what a pad says of its sides: margin, batters and edges.
func (l *loader) works(n *tomltree.Node, p *Pad) {
	if m := n.Get("margin"); m != nil {
		p.Margin = l.distance(m, "margin = 0.75", &marginLimit)
	}
	p.Cut, p.Fill = l.batters(n)
	for _, e := range l.tables(n.Get("edges"), `edges = [ { from = "1", to = "2", face = "upright" } ]`) {
		if edge := l.edge(e); l.err == nil {
			p.Edges = append(p.Edges, edge)
		}
	}
}

// batters reads the batter and the berm of a pad.
func (l *loader) batters(n *tomltree.Node) (cut, fill Batter) {
	b := n.Get("batter")
	c, f := l.batter(b)
	if c != nil {
		cut = *c
	}
	if f != nil {
		fill = *f
	}
	const example = `berm = { every = 3.0, width = 1.0 }`
	berm := n.Get("berm")
	if berm == nil || !l.want(berm, tomltree.Table, example) {
		return cut, fill
	}
	if cut.Along == 0 && fill.Along == 0 {
		l.fail(berm, codeMissingKey, "a berm without a batter", `add batter = { cut = "1V:1H", fill = "1V:2H" }`)
		return cut, fill
	}
	every := l.distance(l.need(berm, "every", example), example, nil)
	width := l.distance(l.need(berm, "width", example), example, nil)
	if l.err == nil && (every == 0 || width == 0) {
		l.fail(berm, codeBadValue, "a berm of no width, or after no rise", "give both lengths, or take the berm out")
	}
	if rise := every * l.job.Units.Metres(); l.err == nil && rise < formation.LeastRise {
		l.fail(berm.Get("every"), formation.CodeBatterNumbers, fmt.Sprintf("a batter that rises %s %s between berms", formatNumber(every), l.job.Units),
			"give a rise of at least "+lengthLimit{metres: formation.LeastRise}.text(l.job.Units))
	}
	for _, b := range []*Batter{&cut, &fill} {
		if b.Along != 0 {
			b.Every, b.Berm = every, width
		}
	}
	return cut, fill
}

// batter reads { cut = "1V:1H", fill = "1V:2H" }; what is not given is nil.
func (l *loader) batter(n *tomltree.Node) (cut, fill *Batter) {
	const example = `batter = { cut = "1V:1H", fill = "1V:2H" }`
	if n == nil || !l.want(n, tomltree.Table, example) {
		return nil, nil
	}
	read := func(key string) *Batter {
		at := n.Get(key)
		if at == nil {
			return nil
		}
		text := l.text(at, example)
		if l.err != nil {
			return nil
		}
		along, err := formation.ParseBatter(text)
		l.failWith(at, err)
		return &Batter{Along: along}
	}
	return read("cut"), read("fill")
}

func (l *loader) edge(n *tomltree.Node) (e Edge) {
	corner := func(key string) string {
		at := l.need(n, key, fmt.Sprintf("%s, a vertex of the outline by name or number", key))
		switch {
		case at == nil || l.err != nil:
			return ""
		case at.Kind == tomltree.String:
			return at.Text
		case at.Kind == tomltree.Number:
			return strconv.FormatFloat(l.number(at, key+" = 1"), 'f', -1, 64)
		}
		l.fail(at, codeWrongType, fmt.Sprintf("this is %s, wanted a vertex", at.Kind), "name it, or number it from 1 in the outline's order")
		return ""
	}
	e.From, e.To = corner("from"), corner("to")
	e.Upright = l.word(n.Get("face"), "upright", "batter") == "upright"
	if m := n.Get("margin"); m != nil {
		margin := l.distance(m, "margin = 0.3", &marginLimit)
		e.Margin = &margin
	}
	e.Cut, e.Fill = l.batter(n.Get("batter"))
	return e
}

// topsoil reads topsoil = 0.20, or a table.
func (l *loader) topsoil(n *tomltree.Node) (t Topsoil) {
	const example = "topsoil = { depth = 0.20, beyond = 1.0 }"
	if n == nil || l.err != nil {
		return t
	}
	if n.Kind != tomltree.Table {
		t.Depth = l.distance(n, example, &topsoilLimit)
		return t
	}
	t.Depth = l.distance(l.need(n, "depth", example), example, &topsoilLimit)
	if b := n.Get("beyond"); b != nil {
		t.Beyond = l.distance(b, example, nil)
	}
	t.Within = l.area(n.Get("within"))
	if b := n.Get("beyond"); b != nil && len(t.Within) > 0 {
		l.fail(b, codeBadValue, "a strip of a stated area does not go beyond the works", "give within or beyond, not both")
	}
	t.Areas = l.topsoilAreas(n.Get("areas"), `areas = [ { area = "paddock.geojson", depth = 0.30 } ]`)
	t.Deviation = l.deviation(n)
	return t
}

// deviation reads the standard deviation that a table may have, 0 for none.
func (l *loader) deviation(n *tomltree.Node) float64 {
	sd := n.Get("sd")
	if sd == nil {
		return 0
	}
	return l.distance(sd, `sd = "20 mm"`, &deviationLimit)
}

// topsoilAreas reads areas with a depth of topsoil each.
func (l *loader) topsoilAreas(n *tomltree.Node, example string) (areas []TopsoilArea) {
	for i, a := range l.tables(n, example) {
		area := TopsoilArea{Name: l.text(a.Get("name"), example), Area: l.area(l.need(a, "area", example))}
		area.Depth = l.distance(l.need(a, "depth", example), example, &topsoilLimit)
		if area.Name == "" {
			area.Name = strconv.Itoa(i + 1)
		}
		areas = append(areas, area)
	}
	return areas
}
