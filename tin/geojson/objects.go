package geojson

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
)

// object is any object of GeoJSON that is read: which members it may have is
// not known before its type, and the type may come last.
type object struct {
	at          int64 // in the file
	kind        string
	kindAt      int64
	coordinates *array   // nil: absent, or null
	geometries  []object // of a GeometryCollection
	geometry    *object  // of a Feature; nil: absent, or null
	features    []object
	labels      labels // of the properties

	seen map[string]bool // members met
}

// root reads the outermost object, and that nothing follows it.
func (d *decoder) root() (object, error) {
	tok, at, err := d.next()
	if err != nil {
		return object{}, err
	}
	if tok != json.Delim('{') {
		return object{}, d.fail("not_geojson", at, "the file does not begin with an object", `it should begin with {"type": ...`)
	}
	root, err := d.object(at, 1)
	if err != nil {
		return object{}, err
	}
	after := d.here()
	if _, err := d.json.Token(); !errors.Is(err, io.EOF) {
		return object{}, d.fail("bad_json", after, "text after the end of the outermost object", "keep one object a file")
	}
	return root, nil
}

// object reads an object of GeoJSON after its brace.
func (d *decoder) object(at int64, depth int) (object, error) {
	o := object{at: at, seen: make(map[string]bool)}
	if depth > maxDepth {
		return o, d.tooDeep(at)
	}
	for d.json.More() {
		tok, keyAt, err := d.next()
		if err != nil {
			return o, err
		}
		key, _ := tok.(string)
		if err := d.member(&o, key, keyAt, depth); err != nil {
			return o, err
		}
	}
	_, _, err := d.next()
	return o, err
}

func (d *decoder) member(o *object, key string, keyAt int64, depth int) error {
	read := func(dst *[]object) error { return d.objects(dst, key, depth) }
	switch key {
	case "type", "coordinates", "geometry", "geometries", "properties", "features", "coordinates_are":
		if o.seen[key] {
			return d.fail("repeated_member", keyAt, fmt.Sprintf("the member %q stands twice in one object", key), "keep one of them")
		}
		o.seen[key] = true
	case "crs":
		d.crs.add(keyAt)
	case "units":
		if depth == 1 {
			d.units.add(keyAt)
		}
	}
	switch {
	case key == "geometries":
		return read(&o.geometries)
	case key == "features":
		return read(&o.features)
	case key == "coordinates_are" && depth > 1:
		return d.skip(depth)
	case key == "unit" && depth == 1:
		return d.unitMember(depth)
	case key == "coordinates":
		return d.coordinates(o)
	case key == "type", key == "geometry", key == "properties", key == "coordinates_are":
	default:
		return d.skip(depth)
	}
	tok, at, err := d.next()
	if err != nil {
		return err
	}
	switch key {
	case "type":
		var ok bool
		if o.kind, ok = tok.(string); !ok {
			return d.wrong(at, key, "text", tok)
		}
		o.kindAt = at
	case "coordinates_are":
		var ok bool
		if d.statement, ok = tok.(string); !ok {
			return d.wrong(at, key, "text", tok)
		}
		d.stated, d.statedAt = true, at
	case "geometry":
		if tok == nil {
			return nil
		}
		if tok != json.Delim('{') {
			return d.wrong(at, key, "an object or null", tok)
		}
		g, err := d.object(at, depth+1)
		o.geometry = &g
		return err
	case "properties":
		if tok == nil {
			return nil
		}
		if tok != json.Delim('{') {
			return d.wrong(at, key, "an object or null", tok)
		}
		return d.properties(o, depth+1)
	}
	return nil
}

// unitMember reads the unit that the file states; what is no text is some other
// program's.
func (d *decoder) unitMember(depth int) error {
	tok, at, err := d.next()
	if err != nil {
		return err
	}
	if text, ok := tok.(string); ok {
		d.unit = text
		return nil
	}
	return d.skipFrom(tok, at, depth)
}

// objects reads an array of objects.
func (d *decoder) objects(dst *[]object, key string, depth int) error {
	tok, at, err := d.next()
	if err != nil {
		return err
	}
	if tok != json.Delim('[') {
		return d.wrong(at, key, "an array", tok)
	}
	for d.json.More() {
		tok, at, err := d.next()
		if err != nil {
			return err
		}
		if tok != json.Delim('{') {
			return d.wrong(at, key, "an array of objects", tok)
		}
		o, err := d.object(at, depth+1)
		if err != nil {
			return err
		}
		if !o.seen["type"] { // at once: an object takes a hundred times the room of "{}"
			return d.lacks(o, "type")
		}
		*dst = append(*dst, o)
	}
	_, _, err = d.next()
	return err
}

// labels are what is read of the properties of a feature.
type labels struct{ name, code string }

// properties reads the labels of a feature.
func (d *decoder) properties(o *object, depth int) error {
	met := map[string]bool{}
	for d.json.More() {
		tok, keyAt, err := d.next()
		if err != nil {
			return err
		}
		key, _ := tok.(string)
		if key != "name" && key != "code" {
			if err := d.skip(depth); err != nil {
				return err
			}
			continue
		}
		if met[key] {
			return d.fail("repeated_member", keyAt, fmt.Sprintf("the property %q stands twice in one feature", key), "keep one of them")
		}
		met[key] = true
		if err := d.label(o, key, depth); err != nil {
			return err
		}
	}
	_, _, err := d.next()
	return err
}

// label reads a text, a number or null. A code of another kind is some other program's,
// and none here.
func (d *decoder) label(o *object, key string, depth int) error {
	tok, at, err := d.next()
	if err != nil {
		return err
	}
	to := &o.labels.name
	if key == "code" {
		to = &o.labels.code
	}
	switch v := tok.(type) {
	case string:
		*to = v
	case json.Number:
		*to = v.String()
	case nil:
	default:
		if key == "code" {
			return d.skipFrom(tok, at, depth)
		}
		return d.wrong(at, key, "text or a number", tok)
	}
	return nil
}
