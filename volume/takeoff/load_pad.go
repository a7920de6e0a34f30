package takeoff

import (
	"fmt"
	"io"
	"strconv"

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
	if i := l.job.padNamed(p.Name); l.err == nil && i >= 0 {
		l.failWith(n.Get("name"), sameName(i, p.Name))
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
	p.Outline, p.Corners = movePolygon(move, s.polygon), s.corners
	l.failWith(outline, l.job.checkOutline(p.Outline))
	p.Layers = l.layers(n.Get("layers"))
	p.LayersTo = l.layersTo(n.Get("layers_to"))
	p.Thickenings = l.thickenings(n.Get("thickenings"), move)
	if f := n.Get("fall"); f != nil {
		p.Fall = l.fall(f, move)
	}
	p.Levels = l.levels(n, s, move)
	p.Backfill = l.backfill(n.Get("backfill"), &p, move)
	l.works(n, &p)
	switch finished := n.Get("finished"); {
	case p.Levels == nil:
		const example = "finished = 63.150, the top of the first layer"
		p.Finished, _ = l.length(l.need(n, "finished", example), example)
	case finished != nil:
		l.fail(finished, codeBadValue, "a pad with levels of its own has no one finished level", "give finished or levels, not both")
	}
	p.NotBelow = l.bound(n.Get("not_below"), "not_below = 63.000")
	p.NotAbove = l.bound(n.Get("not_above"), "not_above = 63.300")
	p.Soil = l.soil(n.Get("soil"))
	p.Tolerance = l.levelTolerance(n.Get("tolerance"))
	if l.err != nil {
		return
	}
	if at := n.Get("levels"); s.levels != nil && (at == nil || at.Kind != tomltree.String) {
		l.job.Notes = append(l.job.Notes, tin.Problem{Code: NoteOutlineLevels,
			Message: fmt.Sprintf(`pad %q: the levels in the file of its outline are not used; levels = "outline" would take them as finished levels`, p.Name)})
	}
	// What else can be wrong formation knows; in the job's unit it is checked
	// here, so that what it says is in that unit too.
	if e := asInputError(p.metric(1, l.job.scale()).Check()); e != nil {
		keyed := *e
		keyed.Key = n.Child(e.Key)
		l.err = l.job.placed(&keyed)
		return
	}
	l.job.Pads = append(l.job.Pads, p)
}

// bound reads a finished level that a pad keeps to, nil if there is none.
func (l *loader) bound(n *tomltree.Node, example string) *float64 {
	if n == nil {
		return nil
	}
	level, _ := l.length(n, example)
	return &level
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
		layers = append(layers, Layer{Name: name, Thickness: thickness, To: l.layersTo(t.Get("to")), Deviation: l.deviation(t)})
	}
	return layers
}

func (l *loader) fall(n *tomltree.Node, move *formation.PlanToSite) *Fall {
	const example = `fall = { slope = "1:100", bearing = 90.0, at = [312540.0, 5812300.0] }`
	if !l.want(n, tomltree.Table, example) {
		return nil
	}
	f := &Fall{}
	if slope := l.need(n, "slope", example); slope != nil && l.err == nil {
		text := slope.Text
		if slope.Kind == tomltree.Number {
			text = strconv.FormatFloat(l.number(slope, example), 'f', -1, 64)
		} else if slope.Kind != tomltree.String {
			l.fail(slope, codeWrongType, fmt.Sprintf("this is %s, wanted a text or a number", slope.Kind), "write it like "+example)
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
			f.At = move.Apply(f.At)
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
func (l *loader) levels(n *tomltree.Node, s shape, move *formation.PlanToSite) *Levels {
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
			l.fail(at, formation.CodeLevelsIncomplete, "the outline carries no levels", "give them here, one for each corner, or put a level column into the outline's file")
		}
		v.Outline = s.levels
	} else {
		v.Outline = l.levelLists(at)
	}
	if e := n.Get("spots"); e != nil {
		v.Spots = moveSpots(move, l.padSpots(e))
	}
	if e := n.Get("breaklines"); e != nil {
		v.Lines = moveLines(move, l.breaklines(e, nil))
	}
	return v
}

// levelLists reads a list of levels, or one for each ring; whether they are
// complete is checked with the pad.
func (l *loader) levelLists(n *tomltree.Node) [][]float64 {
	const example = "levels = [63.15, 63.15, 62.95, 62.95], one for each corner in the outline's order"
	if !l.want(n, tomltree.Array, example) {
		return nil
	}
	lists := []*tomltree.Node{n}
	if len(n.Items) > 0 && n.Items[0].Kind == tomltree.Array {
		lists = n.Items
	}
	var levels [][]float64
	for _, list := range lists {
		if !l.want(list, tomltree.Array, example) {
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

// padSpots reads spots of a pad's own levels: a file of points, or [[E, N, level],
// ...].
func (l *loader) padSpots(n *tomltree.Node) (points []tin.Point) {
	if n.Kind == tomltree.Array {
		return l.vertices(n)
	}
	f := l.dataFile(n, `spots = "levels.csv" or [[E, N, level], ...]`)
	if !f.kind.holdsLines() {
		l.wrongKind(&f, "spots of a pad", "point files, GeoJSON and LandXML")
	}
	if f.surface != "" {
		l.fail(n.Get("surface"), codeUnknownKey, "spots of a pad are not read from a surface", "take surface out: they are the file's single points, with name those of that name")
	}
	l.read(f.at, f.name, func(r io.Reader) (in Input, err error) {
		switch f.kind {
		case geoJSON:
			points, in, err = l.geoSpots(r, &f)
		case landXML:
			points, in, err = l.xmlSpots(r, &f)
		default:
			points, in, err = l.pointSpots(r, &f)
		}
		return in, err
	})
	if l.err == nil && len(points) == 0 {
		l.noneNamed(&f, "spot")
	}
	return points
}
