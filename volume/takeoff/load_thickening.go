package takeoff

import (
	"github.com/paulmach/orb"

	"barrow/tin/formation"
	"barrow/volume/takeoff/internal/tomltree"
)

const thickeningExample = `thickenings = [ { name = "footing", line = [[E, N], [E, N]], width = 0.6, depth = 0.8, from = "finished" } ]`

// thickenings reads the strip footings, edge beams and pits of a pad.
func (l *loader) thickenings(n *tomltree.Node, move *formation.PlanToSite) (list []Thickening) {
	for _, t := range l.tables(n, thickeningExample) {
		th := l.thickening(t, move)
		if l.err != nil {
			return nil
		}
		list = append(list, th)
	}
	return list
}

func (l *loader) thickening(n *tomltree.Node, move *formation.PlanToSite) (t Thickening) {
	t.Name = l.text(l.need(n, "name", `name = "footing"`), thickeningExample)
	if b := n.Get("batter"); b != nil {
		text := l.text(b, `batter = "1V:0.5H"`)
		if l.err == nil {
			along, err := formation.ParseBatter(text)
			l.failWith(b, err)
			t.Along = along
		}
	}
	line, area := n.Get("line"), n.Get("area")
	switch {
	case (line == nil) == (area == nil):
		l.fail(n, codeMissingKey, "a thickening has either a line or an area", "add line = [[E, N], [E, N]] with a width, or area = [[E, N], ...]")
	case line != nil:
		t.Lines = l.lines(line, move)
		t.Width = l.distance(l.need(n, "width", "width = 0.6, from side to side"), "width = 0.6", &widthLimit)
	default:
		t.Areas = l.siteArea(area, move)
		if w := n.Get("width"); w != nil {
			l.fail(w, codeBadValue, "an area has its own width", "take the width out, or give a line")
		}
	}
	l.thickeningDepth(n, &t)
	t.Layers = l.layers(n.Get("layers"))
	return t
}

// thickeningDepth reads how deep a thickening goes: a depth from somewhere, or a level.
func (l *loader) thickeningDepth(n *tomltree.Node, t *Thickening) {
	depth, from := n.Get("depth"), n.Get("from")
	if u := n.Get("underside"); u != nil {
		level, _ := l.length(u, "underside = 61.80, a level")
		t.Underside = &level
		for _, other := range []*tomltree.Node{depth, from, n.Get("slab")} {
			if other != nil {
				l.fail(other, codeBadValue, "the underside is given as a level already", "give underside, or depth and from")
			}
		}
		return
	}
	const words = `from = "finished", "slab underside" or "formation"`
	t.Depth = l.distance(l.need(n, "depth", "depth = 0.8, down to the underside of what stands in it"), "depth = 0.8", &depthLimit)
	if l.err == nil && from == nil {
		l.fail(depth, codeMissingKey, "the depth of a thickening does not say what it counts from: drawings give overall depths from the top of the slab, and others from its underside",
			"add "+words)
	}
	t.From = formation.DepthFrom(l.word(from, string(formation.FromFinished), string(formation.FromSlab), string(formation.FromFormation)))
	slab := n.Get("slab")
	t.Slab = l.text(slab, `slab = "concrete", the name of a layer`)
	if slab != nil && t.From != formation.FromSlab {
		l.fail(slab, codeBadValue, "the depth does not count from a slab", `say from = "slab underside", or take slab out`)
	}
}

// siteArea reads an area, moved from the drawing to the site where it was typed.
func (l *loader) siteArea(n *tomltree.Node, move *formation.PlanToSite) (area orb.MultiPolygon) {
	if n == nil {
		return nil
	}
	for _, s := range l.shapes(n) {
		p := s.polygon
		if s.typed && move != nil {
			p = movePolygon(move, p)
		}
		l.failWith(n, l.job.checkOutline(p))
		area = append(area, p)
	}
	return area
}

const lineExample = `[[E, N], [E, N]], or a list of such lines, or { points = ["P1", "P2"] }, or "footings.geojson"`

// lines reads one line or several.
func (l *loader) lines(n *tomltree.Node, move *formation.PlanToSite) (lines []orb.LineString) {
	if l.err != nil {
		return nil
	}
	switch n.Kind {
	case tomltree.Table:
		if n.Get("points") != nil {
			l.onlyKeys(n, "points")
			return []orb.LineString{l.lineOfSpots(n.Get("points"))}
		}
	case tomltree.Array:
		list := []*tomltree.Node{n}
		if len(n.Items) > 0 && n.Items[0].Kind == tomltree.Array && len(n.Items[0].Items) > 0 && n.Items[0].Items[0].Kind == tomltree.Array {
			list = n.Items
		}
		for _, item := range list {
			lines = append(lines, moveLine(move, l.typedLine(item)))
		}
		return lines
	}
	for _, b := range l.lineFile(l.dataFile(n, lineExample), "lines are read from .geojson and .xml files, or typed") {
		lines = append(lines, moveLine(move, lineThrough(b.Vertices)))
	}
	return lines
}

func (l *loader) typedLine(n *tomltree.Node) (line orb.LineString) {
	if !l.want(n, tomltree.Array, lineExample) {
		return nil
	}
	l.failWith(n, l.budget.vertices("", len(n.Items)))
	for _, item := range n.Items {
		line = append(line, l.coordinates(item))
	}
	return line
}

func (l *loader) lineOfSpots(n *tomltree.Node) (line orb.LineString) {
	if !l.want(n, tomltree.Array, `points = ["P1", "P2"]`) {
		return nil
	}
	l.failWith(n, l.budget.vertices("", len(n.Items)))
	for _, item := range n.Items {
		p := l.spot(item)
		if l.err != nil {
			return nil
		}
		line = append(line, orb.Point{p.E, p.N})
	}
	return line
}

func moveLine(move *formation.PlanToSite, line orb.LineString) orb.LineString {
	if move == nil {
		return line
	}
	out := make(orb.LineString, len(line))
	for i, p := range line {
		out[i] = move.Apply(p)
	}
	return out
}

// layersTo reads how far layers go.
func (l *loader) layersTo(n *tomltree.Node) LayersTo {
	return LayersTo(l.word(n, string(LayersToOutline), string(LayersToMargin)))
}

// backfill reads what is filled up again round a pad's structure.
func (l *loader) backfill(n *tomltree.Node, p *Pad, move *formation.PlanToSite) *Backfill {
	const example = `backfill = { to = "stripped ground" }`
	if n == nil || !l.want(n, tomltree.Table, example) {
		return nil
	}
	b := &Backfill{UpTo: BackfillLevel, Around: l.siteArea(n.Get("around"), move)}
	to := l.need(n, "to", `to = "stripped ground", "ground", "finished" or a level`)
	if to == nil || l.err != nil {
		return nil
	}
	switch word := BackfillTo(to.Text); {
	case to.Kind == tomltree.String && (word == BackfillStripped || word == BackfillGround || word == BackfillFinished):
		b.UpTo = word
	default:
		b.Level, _ = l.length(to, `to = "stripped ground", "ground", "finished" or a level`)
	}
	if b.UpTo == BackfillFinished && p.Levels != nil {
		l.fail(to, codeBackfillFinished, finishedOfOwn, finishedOfOwnHint)
	}
	return b
}
