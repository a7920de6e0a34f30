package takeoff

import (
	"fmt"
	"io"
	"math"
	"strconv"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/tin/formation"
	"barrow/volume/takeoff/internal/tomltree"
)

func (l *loader) pad(n *tomltree.Node) {
	var p Pad
	p.Name = l.text(l.need(n, "name", `name = "store"`), `name = "store"`)
	if l.err == nil && p.Name == "" {
		l.fail(n.Get("name"), codeBadValue, "the pad's name is empty", `write it like name = "store"`)
	}
	outline := l.need(n, "outline", "outline = "+shapeExample)
	l.drawing = l.plan != nil || n.Get("plan_to_site") != nil
	defer func() { l.drawing = false }()
	s := l.shape(outline)
	move := l.plan
	if m := n.Get("plan_to_site"); m != nil {
		move = l.planToSite(m)
		if l.err == nil && !s.typed {
			l.fail(m, codeBadValue, "the outline is on the site already, so there is nothing to turn", "take plan_to_site out of this pad")
		}
	}
	if !s.typed {
		move = nil
	}
	if l.err != nil {
		return
	}
	p.Outline, p.Corners = move.polygon(s.polygon), s.corners
	l.failWith(outline, l.job.checkOutline(p.Outline))
	p.Layers = l.layers(n.Get("layers"))
	if f := n.Get("fall"); f != nil {
		p.Fall = l.fall(f, move)
	}
	p.Levels = l.levels(n, s, move)
	switch finished := n.Get("finished"); {
	case p.Levels == nil:
		const example = "finished = 63.150, the top of the first layer"
		p.Finished, _ = l.length(l.need(n, "finished", example), example)
	case finished != nil:
		l.fail(finished, codeBadValue, "a pad with levels of its own has no one finished level", "give finished or levels, not both")
	}
	if l.err == nil && p.Fall != nil && p.Levels != nil {
		l.fail(n.Get("fall"), codeBadValue, "a pad with levels of its own cannot have a fall as well", "give fall or levels, not both")
	}
	l.job.Pads = append(l.job.Pads, p)
}

func (l *loader) layers(n *tomltree.Node) []Layer {
	const example = `layers = [ { name = "concrete slab", thickness = "175 mm" } ]`
	var layers []Layer
	for _, t := range l.tables(n, example) {
		name := l.text(l.need(t, "name", example), example)
		at := l.need(t, "thickness", example)
		thickness := l.distance(at, example, &layerLimit)
		if l.err == nil && thickness == 0 {
			l.fail(at, codeBadValue, "a layer 0 thick", "give its thickness, or take the layer out")
		}
		layers = append(layers, Layer{Name: name, Thickness: thickness})
	}
	return layers
}

func (l *loader) fall(n *tomltree.Node, move *planToSite) *Fall {
	const example = `fall = { slope = "1:100", bearing = 90.0, at = [312540.0, 5812300.0] }`
	if !l.want(n, tomltree.Table, example) {
		return nil
	}
	f := &Fall{}
	if slope := l.need(n, "slope", example); slope != nil && l.err == nil {
		text := slope.Text
		if slope.Kind == tomltree.Number {
			text = strconv.FormatFloat(l.number(slope, example), 'f', -1, 64)
		} else if !l.want(slope, tomltree.String, example) {
			return nil
		}
		var err error
		f.Slope, err = formation.ParseSlope(text)
		l.failWith(slope, err)
	}
	f.Bearing = l.number(l.need(n, "bearing", example), example)
	at := l.need(n, "at", example+", or the name of a spot: where the finished level holds")
	f.At = l.place(at)
	if l.err == nil && move != nil {
		if at.Kind != tomltree.String {
			f.At = move.point(f.At)
		}
		l.job.Notes = append(l.job.Notes, tin.Problem{Code: NoteSiteBearing,
			Message: fmt.Sprintf("%s: the bearing %s is from grid north, though the outline came from a drawing's own coordinates", n.Key, formatNumber(f.Bearing))})
	}
	return f
}

// levels reads a pad's own finished levels, nil if it has none: `levels` is a
// list of one level for each corner in the outline's order (one such list for
// each ring if there are holes), or "outline" where the outline's file carries
// them; `spots` and `breaklines` add more inside.
func (l *loader) levels(n *tomltree.Node, s shape, move *planToSite) *Levels {
	at := n.Get("levels")
	if at == nil {
		for _, key := range []string{"spots", "breaklines"} {
			if extra := n.Get(key); extra != nil {
				l.fail(extra, codeMissingKey, fmt.Sprintf("%s inside a pad need levels at its corners too", key),
					`add levels = [63.15, 63.15, 62.95, 62.95], one for each corner, or levels = "outline"`)
			}
		}
		return nil
	}
	if l.err != nil {
		return nil
	}
	v := &Levels{}
	if at.Kind == tomltree.String {
		if l.word(at, "outline"); l.err == nil && s.levels == nil {
			l.fail(at, codeBadValue, "the outline carries no levels", "give them here, one for each corner, or put a level column into the outline's file")
		}
		v.Outline = s.levels
	} else {
		v.Outline = l.levelLists(at, s.polygon)
	}
	for r, ring := range v.Outline {
		for i, z := range ring {
			if l.err == nil && math.IsNaN(z) {
				l.fail(at, codeBadValue, fmt.Sprintf("corner %d of ring %d has no level", i+1, r+1), "give every corner a level")
			}
		}
	}
	if e := n.Get("spots"); e != nil {
		v.Spots = move.spots(l.padSpots(e))
	}
	if e := n.Get("breaklines"); e != nil {
		v.Lines = move.lines(l.breaklines(e, nil))
	}
	return v
}

func (l *loader) levelLists(n *tomltree.Node, p orb.Polygon) [][]float64 {
	const example = "levels = [63.15, 63.15, 62.95, 62.95], one for each corner in the outline's order"
	if !l.want(n, tomltree.Array, example) {
		return nil
	}
	lists := []*tomltree.Node{n}
	if len(n.Items) > 0 && n.Items[0].Kind == tomltree.Array {
		lists = n.Items
	}
	if len(lists) != len(p) {
		l.fail(n, codeBadValue, fmt.Sprintf("levels for %d rings, the outline has %d", len(lists), len(p)), "give a list for the outer ring and one for each hole: [[...], [...]]")
		return nil
	}
	var levels [][]float64
	for i, list := range lists {
		if !l.want(list, tomltree.Array, example) {
			return nil
		}
		if len(list.Items) != len(p[i]) {
			l.fail(list, codeBadValue, fmt.Sprintf("%d levels for %d corners", len(list.Items), len(p[i])), "give one for each corner in the outline's order, without the closing one")
			return nil
		}
		ring := make([]float64, len(list.Items))
		for j, item := range list.Items {
			ring[j], _ = l.length(item, example)
		}
		levels = append(levels, ring)
	}
	return levels
}

// padSpots reads spots of a pad's own levels: a point file, or [[E, N, level],
// ...].
func (l *loader) padSpots(n *tomltree.Node) (points []tin.Point) {
	file, columns := n, ""
	switch n.Kind {
	case tomltree.Array:
		return l.vertices(n)
	case tomltree.Table:
		l.onlyKeys(n, "file", "columns")
		columns = l.text(n.Get("columns"), `columns = "easting, northing, level"`)
		file = l.need(n, "file", `file = "levels.csv"`)
	}
	name := l.path(file, `spots = "levels.csv" or [[E, N, level], ...]`)
	l.read(file, name, func(r io.Reader) (int, error) {
		f, err := l.pointFile(r, name, columns, false)
		if err != nil {
			return 0, err
		}
		points = f.Points
		return len(points), l.budget.vertices(name, len(points))
	})
	return points
}
