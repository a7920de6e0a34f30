package asciigrid

import (
	"fmt"
	"math"
	"strings"

	"barrow/tin/raster"
)

// The keys of the header, in small letters.
const (
	keyColumns = "ncols"
	keyRows    = "nrows"
	keyCornerE = "xllcorner"
	keyCornerN = "yllcorner"
	keyCentreE = "xllcenter"
	keyCentreN = "yllcenter"
	keyCell    = "cellsize"
	keyStepE   = "dx"
	keyStepN   = "dy"
	keyNoData  = "nodata_value"
)

// wanted is what a header holds, for messages.
const wanted = "ncols, nrows, xllcorner or xllcenter, yllcorner or yllcenter, cellsize or dx and dy, and perhaps NODATA_value"

// header is the head of the file: values by key.
type header map[string]float64

func isKey(word string) bool {
	switch word {
	case keyColumns, keyRows, keyCornerE, keyCornerN, keyCentreE, keyCentreN, keyCell, keyStepE, keyStepN, keyNoData:
		return true
	}
	return false
}

// read reads the lines of the header, up to the first that begins with a number.
func (h header) read(s *scanner) error {
	for {
		word, err := s.peek()
		if err != nil {
			return err
		}
		if !startsWord(word) {
			return nil
		}
		line := s.line
		s.take()
		key := strings.ToLower(string(word))
		if !isKey(key) {
			return s.fail("bad_header", line, fmt.Sprintf("%q is no key of the header", short(string(word))), "it should hold "+wanted)
		}
		if _, twice := h[key]; twice {
			return s.fail("bad_header", line, fmt.Sprintf("%s stands twice", key), "keep one")
		}
		value, err := s.peek()
		if err != nil {
			return err
		}
		v, ok := number(value)
		if s.line != line || !ok || key != keyNoData && (math.IsNaN(v) || math.IsInf(v, 0)) {
			return s.fail("bad_header", line, fmt.Sprintf("%s is followed by %q, which is no number", key, short(string(value))), "give it a number, in the same line")
		}
		s.take()
		h[key] = v
	}
}

// startsWord reports whether a word of the file is a key rather than a number:
// NaN is a number.
func startsWord(word []byte) bool {
	if len(word) == 0 || strings.EqualFold(string(word), "nan") {
		return false
	}
	c := word[0] | 0x20
	return 'a' <= c && c <= 'z' || c == '_' || c == '#'
}

// either returns the value of the one of several keys that is there.
func (h header) either(s *scanner, keys ...string) (key string, value float64, err error) {
	for _, k := range keys {
		v, ok := h[k]
		switch {
		case ok && key != "":
			return "", 0, s.fail("bad_header", s.line, fmt.Sprintf("%s and %s both stand in the header", key, k), "keep one")
		case ok:
			key, value = k, v
		}
	}
	if key == "" {
		return "", 0, s.fail("bad_header", s.line, fmt.Sprintf("%s is missing from the header", strings.Join(keys, " or ")), "it should hold "+wanted)
	}
	return key, value, nil
}

// size reads a number of columns or rows.
func (h header) size(s *scanner, key string) (int64, error) {
	_, v, err := h.either(s, key)
	if err != nil {
		return 0, err
	}
	if v != math.Trunc(v) || v < 1 || v > math.MaxInt32 {
		return 0, s.fail("bad_header", s.line, fmt.Sprintf("%s is %v, and must be a whole number from 1", key, v), "export the file again")
	}
	return int64(v), nil
}

// place puts the header's place and steps into the grid.
func (h header) place(s *scanner, g *raster.Grid) error {
	for axis, of := range []struct {
		corner, centre, step string
		to                   *float64
	}{{keyCornerE, keyCentreE, keyStepE, &g.StepE}, {keyCornerN, keyCentreN, keyStepN, &g.StepN}} {
		_, step, err := h.either(s, keyCell, of.step)
		if err != nil {
			return err
		}
		if step <= 0 {
			return s.fail("bad_header", s.line, fmt.Sprintf("the step %v is not above 0", step), "correct "+keyCell)
		}
		*of.to = step
		key, at, err := h.either(s, of.corner, of.centre)
		if err != nil {
			return err
		}
		if key == of.corner {
			at = raster.Along(at, 0.5, step)
		}
		g.Origin[axis] = at
	}
	return nil
}
