package geojson

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"unicode/utf8"

	"barrow/tin"
)

const (
	maxDepth      = 100 // of nested objects and arrays
	maxCoordinate = 1e9
)

// decoder makes objects of JSON, and knows where it is.
type decoder struct {
	data []byte
	json *json.Decoder
	name string
	opts Options

	// For lines of positions, which are asked for in order.
	lineAt int64
	line   int

	arrays    int // of coordinates, positions or not
	positions int
	extra     tally // positions with more than three numbers
	marked    tally // levels of -999 and -9999
	crs       tally
	units     tally  // members "units" at the top, where "unit" is what is read
	statement string // of the member "coordinates_are" at the top
	stated    bool
	statedAt  int64
	unit      string // of the member "unit" at the top, if it is a text
	bom       bool
}

// tally counts something and remembers where it was met first.
type tally struct {
	count int
	at    int64
}

func (t *tally) add(at int64) {
	if t.count == 0 {
		t.at = at
	}
	t.count++
}

// open reads the file and its outermost object.
func open(r io.Reader, name string, opts Options) (*decoder, object, error) {
	d := &decoder{name: name, opts: opts, line: 1}
	if opts.MaxBytes > 0 && opts.MaxBytes < math.MaxInt64 {
		r = io.LimitReader(r, opts.MaxBytes+1)
	}
	data, err := io.ReadAll(r)
	if err != nil {
		return nil, object{}, fmt.Errorf("geojson: %s: %w", name, err)
	}
	if opts.MaxBytes > 0 && int64(len(data)) > opts.MaxBytes {
		return nil, object{}, &tin.InputError{
			Code: "too_many_bytes", File: name,
			Message: fmt.Sprintf("the file is longer than %d bytes, the most allowed", opts.MaxBytes),
			Hint:    "split the file",
		}
	}
	if rest, ok := bytes.CutPrefix(data, []byte("\xEF\xBB\xBF")); ok {
		data, d.bom = rest, true
	}
	d.data = data
	if !utf8.Valid(data) {
		at := 0
		for at < len(data) {
			r, size := utf8.DecodeRune(data[at:])
			if r == utf8.RuneError && size == 1 {
				break
			}
			at += size
		}
		return nil, object{}, d.fail("not_utf8", int64(at), "the file is not UTF-8 text", "save it as UTF-8")
	}
	d.json = json.NewDecoder(bytes.NewReader(data))
	d.json.UseNumber()
	root, err := d.root()
	return d, root, err
}

// next gives the next token and where it begins.
func (d *decoder) next() (json.Token, int64, error) {
	at := d.here()
	tok, err := d.json.Token()
	if err == nil {
		return tok, at, nil
	}
	return nil, at, d.notJSON(err, d.here())
}

func (d *decoder) notJSON(err error, at int64) error {
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		return d.fail("bad_json", int64(len(d.data)), "the file ends in the middle", "it was cut short: copy or export it again")
	}
	e := d.fail("bad_json", at, "not valid JSON: "+err.Error(), "correct it, or export the file again")
	e.Err = err
	return e
}

// here is where the next token begins.
func (d *decoder) here() int64 {
	at := d.json.InputOffset()
	for at < int64(len(d.data)) {
		switch d.data[at] {
		case ' ', '\t', '\r', '\n', ',', ':':
			at++
			continue
		}
		break
	}
	return at
}

// skip reads over a value.
func (d *decoder) skip(depth int) error {
	tok, at, err := d.next()
	if err != nil {
		return err
	}
	return d.skipFrom(tok, at, depth)
}

// skipFrom skips the value that begins with a token.
func (d *decoder) skipFrom(tok json.Token, at int64, depth int) (err error) {
	for from := depth; ; {
		switch tok {
		case json.Delim('{'), json.Delim('['):
			if depth++; depth > maxDepth {
				return d.tooDeep(at)
			}
		case json.Delim('}'), json.Delim(']'):
			depth--
		}
		if depth == from {
			return nil
		}
		if tok, at, err = d.next(); err != nil {
			return err
		}
	}
}

// lineOf gives the line of a place; places must not go back.
func (d *decoder) lineOf(at int64) int {
	d.line += bytes.Count(d.data[d.lineAt:at], []byte{'\n'})
	d.lineAt = at
	return d.line
}

func (d *decoder) tooDeep(at int64) error {
	return d.fail("nested_too_deep", at, fmt.Sprintf("objects and arrays are nested more than %d deep", maxDepth), "check that it is the right file")
}

func (d *decoder) wrong(at int64, key, want string, tok json.Token) error {
	return d.fail("wrong_type", at, fmt.Sprintf("%q is %s, and should be %s", key, show(tok), want), "correct it, or export the file again")
}

// fail makes the error for a place in the file.
func (d *decoder) fail(code string, at int64, message, hint string) *tin.InputError {
	line, column := d.place(at)
	return &tin.InputError{Code: code, Message: message, Hint: hint, File: d.name, Line: line, Column: column}
}

// place gives the line and the column, in characters, of a place.
func (d *decoder) place(at int64) (line, column int) {
	before := d.data[:at]
	start := bytes.LastIndexByte(before, '\n') + 1
	return 1 + bytes.Count(before, []byte{'\n'}), 1 + utf8.RuneCount(before[start:])
}

// show writes a token for a message.
func show(tok json.Token) string {
	switch v := tok.(type) {
	case nil:
		return "null"
	case json.Delim:
		if v == '{' {
			return "an object"
		}
		return "an array"
	case string:
		return "the text " + strconv.Quote(short(v))
	}
	return short(fmt.Sprint(tok))
}

func short(s string) string {
	const most = 40
	if utf8.RuneCountInString(s) <= most {
		return s
	}
	return string([]rune(s)[:most]) + "..."
}
