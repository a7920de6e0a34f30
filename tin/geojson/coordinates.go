package geojson

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strconv"
)

// array is an array of coordinates: a position, or an array of arrays.
type array struct {
	at          int64
	line        int
	position    bool
	e, n, level float64
	kids        []array
}

// coordinates reads the member of that name. Its text is checked by
// encoding/json in one go and then read here: token by token a vertex costs
// six microseconds, so about one.
func (d *decoder) coordinates(o *object) error {
	at := d.here()
	if at == int64(len(d.data)) || d.data[at] != '[' {
		tok, at, err := d.next()
		if err == nil && tok != nil {
			err = d.wrong(at, "coordinates", "an array", tok)
		}
		return err
	}
	var text json.RawMessage
	if err := d.json.Decode(&text); err != nil {
		// The decoder does not tell where in the stream it was; from the start of
		// the value it does.
		var syntax *json.SyntaxError
		if errors.As(json.Unmarshal(d.data[at:], &text), &syntax) {
			at = min(at+max(syntax.Offset-1, 0), int64(len(d.data)))
		}
		return d.notJSON(err, at)
	}
	a, _, err := d.array(at, 1)
	o.coordinates = &a
	return err
}

// array reads the array that begins at a place of the text, which is known to
// be good JSON, and tells where it ends.
func (d *decoder) array(at int64, depth int) (array, int64, error) {
	a := array{at: at, line: d.lineOf(at), level: math.NaN()}
	// Rings and polygons are fewer than their positions: many more arrays than
	// positions allowed hold nothing.
	if d.arrays++; d.opts.MaxVertices > 0 && d.arrays > 3*d.opts.MaxVertices+8 {
		return a, 0, d.tooMany(at, "the coordinates have more arrays than can be needed for %d positions, the most allowed")
	}
	if depth > 4 {
		return a, 0, d.fail("bad_coordinates", at, "the coordinates are nested deeper than those of a MultiPolygon", "correct the brackets")
	}
	numbers := 0
	for at++; ; {
		switch c := d.data[at]; {
		case c == ' ', c == '\t', c == '\r', c == '\n', c == ',':
			at++
		case c == ']':
			if numbers == 1 {
				return a, 0, d.fail("bad_coordinates", a.at, "the position has one number", notPosition)
			}
			if numbers > 0 {
				a.position = true
				if d.positions++; d.opts.MaxVertices > 0 && d.positions > d.opts.MaxVertices {
					return a, 0, d.tooMany(a.at, "the file has more than %d positions, the most allowed")
				}
			}
			return a, at + 1, nil
		case (c == '-' || '0' <= c && c <= '9') && a.kids == nil:
			end := at + 1
			for isNumber(d.data[end]) {
				end++
			}
			v, err := d.number(string(d.data[at:end]), at)
			if err != nil {
				return a, 0, err
			}
			numbers++
			d.put(&a, numbers, v, at)
			at = end
		case c == '[' && numbers == 0:
			kid, end, err := d.array(at, depth+1)
			if err != nil {
				return a, 0, err
			}
			a.kids = append(a.kids, kid)
			at = end
		default:
			return a, 0, d.fail("bad_coordinates", at, startOf(c)+" among coordinates", notPosition)
		}
	}
}

func (d *decoder) tooMany(at int64, message string) error {
	return d.fail("too_many_vertices", at, fmt.Sprintf(message, d.opts.MaxVertices), "thin the lines out, or split the file")
}

const notPosition = "a position is two or three numbers: [easting, northing, level]"

// put sets the n-th number of a position.
func (d *decoder) put(a *array, n int, v float64, at int64) {
	switch n {
	case 1:
		a.e = v
	case 2:
		a.n = v
	case 3:
		if v == -999 || v == -9999 {
			d.marked.add(at)
		} else {
			a.level = v
		}
	case 4:
		d.extra.add(a.at)
	}
}

func isNumber(c byte) bool {
	return '0' <= c && c <= '9' || c == '.' || c == '-' || c == '+' || c == 'e' || c == 'E'
}

func (d *decoder) number(s string, at int64) (float64, error) {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || math.Abs(v) > maxCoordinate {
		return 0, d.fail("out_of_range", at, fmt.Sprintf("the number %s is beyond %.0f", short(s), float64(maxCoordinate)), "correct it")
	}
	return v, nil
}

// startOf tells from its first character what kind of value it is.
func startOf(c byte) string {
	switch c {
	case '[':
		return "an array"
	case '{':
		return "an object"
	case '"':
		return "a text"
	case 'n':
		return "null"
	case 't':
		return "true"
	case 'f':
		return "false"
	}
	return "a number"
}
