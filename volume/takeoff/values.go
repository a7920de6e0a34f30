package takeoff

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/volume/takeoff/internal/tomltree"
)

// Codes of errors in a job file.
const (
	codeUnknownKey     = "unknown_key"
	codeMissingKey     = "missing_key"
	codeWrongType      = "wrong_type"
	codeBadValue       = "bad_value"
	codeUnlikelyLength = "unlikely_length"
	codeUnknownSpot    = "unknown_spot"
	codeAmbiguousSpot  = "ambiguous_spot"
)

// fail keeps the first error; all readers below return a zero value once there
// is one, so that they can be called in a row.
func (l *loader) fail(n *tomltree.Node, code, message, hint string) {
	if l.err == nil {
		l.err = &tin.InputError{Code: code, Message: message, Hint: hint,
			File: l.name, Line: n.Line, Column: n.Column, Key: n.Key}
	}
}

// failWith keeps an error of another package, with the place in the job file
// where that package could not know it.
func (l *loader) failWith(n *tomltree.Node, err error) {
	if l.err != nil || err == nil {
		return
	}
	e := asInputError(err)
	if e == nil {
		l.err = fmt.Errorf("takeoff: %s: %w", n.Key, err)
		return
	}
	if e.File == "" {
		placed := *e
		placed.File, placed.Line, placed.Column = l.name, n.Line, n.Column
		placed.Key = n.Key
		if e.Key != "" {
			placed.Key = n.Child(e.Key)
		}
		e = &placed
	}
	l.err = e
}

// want reports whether n is of the kind; where it is not, it fails with what
// was wanted.
func (l *loader) want(n *tomltree.Node, kind tomltree.Kind, example string) bool {
	if l.err != nil {
		return false
	}
	if n.Kind != kind {
		l.fail(n, codeWrongType, fmt.Sprintf("this is %s, wanted %s", n.Kind, kind), "write it like "+example)
		return false
	}
	return true
}

// need returns a table's value for a key that must be there.
func (l *loader) need(t *tomltree.Node, key, example string) *tomltree.Node {
	if n := t.Get(key); n != nil {
		return n
	}
	if l.err == nil {
		at := *t
		at.Key = t.Child(key)
		l.fail(&at, codeMissingKey, fmt.Sprintf("the key %q is missing", key), "add "+example)
	}
	return nil
}

func (l *loader) text(n *tomltree.Node, example string) string {
	if n == nil || !l.want(n, tomltree.String, example) {
		return ""
	}
	return n.Text
}

// word reads a text that must be one of a few.
func (l *loader) word(n *tomltree.Node, words ...string) string {
	if n == nil {
		return ""
	}
	list := `"` + strings.Join(words, `" or "`) + `"`
	if !l.want(n, tomltree.String, list) {
		return ""
	}
	if !slices.Contains(words, n.Text) {
		l.fail(n, codeBadValue, fmt.Sprintf("unknown word %q", n.Text), "use "+list)
		return ""
	}
	return n.Text
}

// texts reads a list of texts; one text alone stands for a list of it.
func (l *loader) texts(n *tomltree.Node, example string) []string {
	if n == nil {
		return nil
	}
	if n.Kind == tomltree.String {
		return []string{n.Text}
	}
	if !l.want(n, tomltree.Array, example) {
		return nil
	}
	var texts []string
	for _, item := range n.Items {
		texts = append(texts, l.text(item, example))
	}
	return texts
}

// number reads a finite number.
func (l *loader) number(n *tomltree.Node, example string) float64 {
	if n == nil || !l.want(n, tomltree.Number, example) {
		return 0
	}
	if math.IsNaN(n.Number) || math.IsInf(n.Number, 0) {
		l.fail(n, codeBadValue, fmt.Sprintf("%s is not a finite number", n.Text), "write it like "+example)
		return 0
	}
	return n.Number
}

// length reads a length or level in the job's unit: a number, or a text with
// a unit, which bare reports.
func (l *loader) length(n *tomltree.Node, example string) (length float64, bare bool) {
	if n == nil || l.err != nil {
		return 0, false
	}
	if n.Kind == tomltree.Number {
		return l.number(n, example), true
	}
	if n.Kind != tomltree.String {
		l.fail(n, codeWrongType, fmt.Sprintf("this is %s, wanted a length", n.Kind), "write it like "+example)
		return 0, false
	}
	length, unit, err := ParseLength(n.Text, l.job.Units)
	if err != nil {
		message, hint, _ := strings.Cut(strings.TrimPrefix(err.Error(), "takeoff: "), ": ")
		l.fail(n, codeBadValue, message, hint)
		return 0, false
	}
	return length, !unit
}

// distance reads a length that is not below 0; a bare number over the limit is
// an error.
func (l *loader) distance(n *tomltree.Node, example string, limit *lengthLimit) float64 {
	length, bare := l.length(n, example)
	if l.err != nil || n == nil {
		return 0
	}
	if length < 0 {
		l.fail(n, codeBadValue, fmt.Sprintf("%s is below 0", formatNumber(length)), "write it like "+example)
		return 0
	}
	if limit != nil && bare {
		if message, hint := limit.unlikely(length, l.job.Units); message != "" {
			l.fail(n, codeUnlikelyLength, message, hint)
			return 0
		}
	}
	return length
}

// coordinates reads [E, N].
func (l *loader) coordinates(n *tomltree.Node) orb.Point {
	p := l.numbers(n, 2, 2, "[312540.0, 5812300.0], easting and northing")
	if l.err != nil {
		return orb.Point{}
	}
	return orb.Point{p[0], p[1]}
}

// numbers reads a list of least to most finite numbers.
func (l *loader) numbers(n *tomltree.Node, least, most int, example string) []float64 {
	if n == nil || !l.want(n, tomltree.Array, example) {
		return nil
	}
	if len(n.Items) < least || len(n.Items) > most {
		l.fail(n, codeBadValue, fmt.Sprintf("a list of %d, wanted %s numbers", len(n.Items), countRange(least, most)), "write it like "+example)
		return nil
	}
	numbers := make([]float64, len(n.Items))
	for i, item := range n.Items {
		numbers[i] = l.number(item, example)
	}
	return numbers
}

func countRange(least, most int) string {
	if least == most {
		return strconv.Itoa(least)
	}
	return fmt.Sprintf("%d to %d", least, most)
}

// tables reads a list of tables.
func (l *loader) tables(n *tomltree.Node, example string) []*tomltree.Node {
	if n == nil || !l.want(n, tomltree.Array, example) {
		return nil
	}
	for _, item := range n.Items {
		if !l.want(item, tomltree.Table, example) {
			return nil
		}
	}
	return n.Items
}

// formatNumber writes a number as briefly as it can be read back.
func formatNumber(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
