package geojson

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"unicode/utf8"

	"barrow/tin"
)

// Feature is a point or a line with properties, to be written.
type Feature struct {
	Properties []Property  // in the order in which they are written, each key once
	Points     []tin.Point // one makes a Point, more make a LineString; levels may be NaN
}

// Property is what a feature says of itself: a value that is a string, a bool, an int or
// a finite float64.
type Property struct {
	Key   string
	Value any
}

// WriteFeatures writes points and lines as [WriteLines] writes lines, with their
// properties. unit names that of coordinates and levels in a member of its own, such as
// "m"; empty: it is not said. What could not be read again is an error that names the
// feature by its number.
func WriteFeatures(w io.Writer, unit string, features []Feature) error {
	return write(w, unit, len(features), func(b []byte, i int) ([]byte, []Property, error) {
		f := &features[i]
		var err error
		switch len(f.Points) {
		case 0:
			err = errors.New("it has no place")
		case 1:
			b, err = appendPosition(append(b, `"Point","coordinates":`...), f.Points[0])
		default:
			b, err = appendPositions(append(b, `"LineString","coordinates":`...), f.Points)
		}
		if err != nil {
			return nil, nil, fmt.Errorf("feature %d: %w", i+1, err)
		}
		return b, f.Properties, nil
	})
}

// appendProperties appends properties as an object, or null.
func appendProperties(b []byte, list []Property) ([]byte, error) {
	if len(list) == 0 {
		return append(b, "null"...), nil
	}
	seen := make(map[string]bool, len(list))
	for i, p := range list {
		text, ok := p.Value.(string)
		switch {
		case p.Key == "" || seen[p.Key]:
			return nil, fmt.Errorf("the property %q is empty or stands twice", p.Key)
		case !utf8.ValidString(p.Key):
			return nil, fmt.Errorf("the property %q is not UTF-8", p.Key)
		case ok && !utf8.ValidString(text):
			return nil, fmt.Errorf("the %s %q is not UTF-8", p.Key, text)
		}
		seen[p.Key] = true
		key, err := json.Marshal(p.Key)
		if err != nil {
			return nil, err
		}
		value, err := json.Marshal(p.Value)
		if err != nil {
			return nil, fmt.Errorf("the property %q: %w", p.Key, err)
		}
		b = append(b, "{,"[min(i, 1)])
		b = append(append(append(b, key...), ':'), value...)
	}
	return append(b, '}'), nil
}
