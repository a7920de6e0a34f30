package geojson

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// collector makes areas, breaklines and points of objects.
type collector struct {
	*decoder
	areas      []Area
	breaklines []tin.Breakline
	points     []tin.Point

	first   *array // the first position taken
	beyond  bool   // a position was taken that cannot be degrees
	null    tally  // features without a geometry
	empty   tally  // geometries without positions
	others  tally  // geometries of another kind
	otherBy map[string]int
}

// walk calls take for each geometry that is not a collection.
func (c *collector) walk(o object, of labels, take func(o object, of labels) (bool, error)) error {
	switch o.kind {
	case "FeatureCollection":
		if !o.seen["features"] {
			return c.lacks(o, "features")
		}
		for _, f := range o.features {
			if f.kind != "Feature" {
				return c.badType(f, "Feature")
			}
			if err := c.walk(f, labels{}, take); err != nil {
				return err
			}
		}
		return nil
	case "Feature":
		if !o.seen["geometry"] {
			return c.lacks(o, "geometry")
		}
		if o.geometry == nil {
			c.null.add(o.at)
			return nil
		}
		if k := o.geometry.kind; k == "Feature" || k == "FeatureCollection" {
			return c.badType(*o.geometry, "a geometry")
		}
		return c.walk(*o.geometry, o.labels, take)
	case "GeometryCollection":
		if !o.seen["geometries"] {
			return c.lacks(o, "geometries")
		}
		for _, g := range o.geometries {
			if g.kind == "Feature" || g.kind == "FeatureCollection" {
				return c.badType(g, "a geometry")
			}
			if err := c.walk(g, of, take); err != nil {
				return err
			}
		}
		return nil
	case "Point", "MultiPoint", "LineString", "MultiLineString", "Polygon", "MultiPolygon":
		if !o.seen["coordinates"] {
			return c.lacks(o, "coordinates")
		}
		if o.coordinates == nil || !o.coordinates.position && len(o.coordinates.kids) == 0 {
			c.empty.add(o.at)
			return nil
		}
		taken, err := take(o, of)
		if err == nil && !taken {
			c.others.add(o.at)
			if c.otherBy == nil {
				c.otherBy = make(map[string]int)
			}
			c.otherBy[o.kind]++
		}
		return err
	case "":
		if !o.seen["type"] {
			return c.lacks(o, "type")
		}
	}
	return c.badType(o, "FeatureCollection, Feature, or a geometry of RFC 7946")
}

func (d *decoder) lacks(o object, member string) error {
	what := "the object"
	if o.kind != "" {
		what = "the " + o.kind
	}
	return d.fail("missing_member", o.at, fmt.Sprintf("%s has no member %q", what, member), "add it, or export the file again")
}

func (c *collector) badType(o object, want string) error {
	if !o.seen["type"] {
		return c.lacks(o, "type")
	}
	return c.fail("wrong_type", o.kindAt, fmt.Sprintf("the type %q stands where %s should", short(o.kind), want), "correct it; upper and lower case count")
}

// polygons takes polygons.
func (c *collector) polygons(o object, of labels) (bool, error) {
	switch o.kind {
	case "Polygon":
		return true, c.polygon(*o.coordinates, of.name)
	case "MultiPolygon":
		for _, p := range o.coordinates.kids {
			if err := c.polygon(p, of.name); err != nil {
				return true, err
			}
		}
		return true, c.noPosition(*o.coordinates, "a MultiPolygon")
	}
	return false, nil
}

func (c *collector) polygon(p array, name string) error {
	if err := c.noPosition(p, "a polygon"); err != nil {
		return err
	}
	if len(p.kids) == 0 {
		c.empty.add(p.at)
		return nil
	}
	area := Area{Name: name, Line: p.line}
	levelled := false
	var levels [][]float64
	for _, r := range p.kids {
		if err := c.ring(r); err != nil {
			return err
		}
		ring := make(orb.Ring, len(r.kids))
		ls := make([]float64, len(r.kids))
		for i, v := range r.kids {
			ring[i], ls[i] = orb.Point{v.e, v.n}, v.level
			levelled = levelled || !math.IsNaN(v.level)
			c.look(v)
		}
		area.Polygon = append(area.Polygon, ring)
		levels = append(levels, ls)
	}
	if levelled {
		area.Levels = levels
	}
	c.areas = append(c.areas, area)
	return nil
}

// ring checks that a ring is one.
func (c *collector) ring(r array) error {
	if err := c.positions(r, "a ring"); err != nil {
		return err
	}
	if len(r.kids) < 4 {
		return c.fail("short_ring", r.at, fmt.Sprintf("the ring has %d positions, and a closed one has at least 4", len(r.kids)),
			"give three corners or more, and repeat the first position at the end")
	}
	first, last := r.kids[0], r.kids[len(r.kids)-1]
	if first.e != last.e || first.n != last.n {
		return c.fail("open_ring", last.at, fmt.Sprintf("the ring is not closed: it begins with [%v, %v] in line %d and ends with [%v, %v]",
			number(first.e), number(first.n), first.line, number(last.e), number(last.n)), "repeat the first position at the end")
	}
	if first.level != last.level && !math.IsNaN(first.level) && !math.IsNaN(last.level) {
		return c.fail("ring_levels", last.at, fmt.Sprintf("the ring begins at level %v in line %d and ends at the same place at level %v",
			number(first.level), first.line, number(last.level)), "give one place one level")
	}
	return nil
}

// lines takes lines.
func (c *collector) lines(o object, of labels) (bool, error) {
	switch o.kind {
	case "LineString":
		return true, c.line(*o.coordinates, of.name)
	case "MultiLineString":
		for _, l := range o.coordinates.kids {
			if err := c.line(l, of.name); err != nil {
				return true, err
			}
		}
		return true, c.noPosition(*o.coordinates, "a MultiLineString")
	}
	return false, nil
}

func (c *collector) line(l array, name string) error {
	if err := c.positions(l, "a line"); err != nil {
		return err
	}
	switch len(l.kids) {
	case 0:
		c.empty.add(l.at)
		return nil
	case 1:
		return c.fail("short_line", l.at, "the line has one position", "a line has two or more")
	}
	b := tin.Breakline{Name: name, Vertices: make([]tin.Point, len(l.kids))}
	for i, v := range l.kids {
		b.Vertices[i] = tin.Point{E: v.e, N: v.n, Level: v.level, Line: int32(min(v.line, math.MaxInt32))}
		c.look(v)
	}
	c.breaklines = append(c.breaklines, b)
	return nil
}

// single takes points.
func (c *collector) single(o object, of labels) (bool, error) {
	list := []array{*o.coordinates}
	switch o.kind {
	case "Point":
		if !o.coordinates.position {
			return true, c.fail("bad_coordinates", o.coordinates.at, "an array of arrays stands where a position should", "check the type and the brackets")
		}
	case "MultiPoint":
		if err := c.positions(*o.coordinates, "a MultiPoint"); err != nil {
			return true, err
		}
		list = o.coordinates.kids
	default:
		return false, nil
	}
	for _, v := range list {
		c.points = append(c.points, tin.Point{Name: of.name, Code: of.code, E: v.e, N: v.n, Level: v.level, Line: int32(min(v.line, math.MaxInt32))})
		c.look(v)
	}
	return true, nil
}

// positions checks that an array holds positions only.
func (c *collector) positions(a array, what string) error {
	if err := c.noPosition(a, what); err != nil {
		return err
	}
	for _, k := range a.kids {
		if !k.position {
			return c.fail("bad_coordinates", k.at, fmt.Sprintf("%s holds an array that is not a position", what),
				"check the type and the brackets: a position is [easting, northing, level]")
		}
	}
	return nil
}

func (c *collector) noPosition(a array, what string) error {
	if !a.position {
		return nil
	}
	return c.fail("bad_coordinates", a.at, fmt.Sprintf("a single position stands where %s should", what), "check the type and the brackets")
}

// look remembers whether positions could be degrees.
func (c *collector) look(v array) {
	if c.first == nil {
		c.first = &v
	}
	c.beyond = c.beyond || math.Abs(v.e) > 180 || math.Abs(v.n) > 90
}

// finish checks the whole, and gives the notes.
func (c *collector) finish(found int, what string) error {
	if found == 0 {
		return &tin.InputError{
			Code: "no_" + what + "s", File: c.name,
			Message: fmt.Sprintf("the file holds no %s%s", what, c.list(": only ")), Hint: "check that it is the right file",
		}
	}
	grid := c.stated && strings.HasPrefix(c.statement, "site grid")
	if c.stated && !grid {
		return c.fail("not_site_grid", c.statedAt, fmt.Sprintf(`"coordinates_are" is %q, and only the coordinates of a site can be read`, short(c.statement)),
			`write "coordinates_are": "site grid" if they are, else export the file in the grid of the site`)
	}
	if !grid && !c.opts.SiteGrid && !c.beyond {
		return c.fail("like_degrees", c.first.at, "all positions lie within 180 and 90, so they may be longitude and latitude",
			`if they are coordinates of the site, say so: write "coordinates_are": "site grid" beside the outermost "type"; `+
				"else export the file in the grid of the site")
	}
	c.notes(what)
	c.tellUnit()
	return nil
}

// tellUnit tells the unit that the file states.
func (c *collector) tellUnit() {
	switch unit, err := tin.ParseUnit(c.unit); {
	case c.unit == "":
	case err == nil && c.opts.Unit != nil:
		c.opts.Unit(unit)
	case err != nil && c.opts.Note != nil:
		c.opts.Note(tin.Problem{Code: "unit_not_known", Message: fmt.Sprintf("the file states the unit %q, which is not known here: m, ft and ftUS are", short(c.unit))})
	}
}

// list names the geometries left out.
func (c *collector) list(before string) string {
	var parts []string
	for k, n := range c.otherBy {
		parts = append(parts, fmt.Sprintf("%s %d", k, n))
	}
	if len(parts) == 0 {
		return ""
	}
	slices.Sort(parts)
	return before + strings.Join(parts, ", ")
}

func (c *collector) notes(what string) {
	if c.opts.Note == nil {
		return
	}
	note := func(code, message string) { c.opts.Note(tin.Problem{Code: code, Message: message}) }
	counted := func(code string, t tally, message string) {
		if t.count > 0 {
			line, _ := c.place(t.at)
			note(code, fmt.Sprintf("%s (%d, the first in line %d)", message, t.count, line))
		}
	}
	if c.bom {
		note("byte_order_mark", "the file begins with a byte order mark, which was skipped")
	}
	counted("crs_not_used", c.crs, `a member "crs" was not used: coordinates are taken as those of the site`)
	counted("units_not_used", c.units, `a member "units" was not used: the unit of a file stands in a member "unit"`)
	counted("null_geometry", c.null, "features without a geometry were left out")
	counted("empty_geometry", c.empty, "geometries without positions were left out")
	counted("other_geometry", c.others, fmt.Sprintf("geometries that are no %ss were left out%s", what, c.list(": ")))
	counted("extra_numbers", c.extra, "positions have more than three numbers, and only three were read")
	counted("marked_level", c.marked, "levels of -999 or -9999 stand for none and were not taken")
}
