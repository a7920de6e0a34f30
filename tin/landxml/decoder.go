package landxml

import (
	"context"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"barrow/tin"
	"barrow/tin/internal/limited"
)

const (
	maxDepth      = 100 // of nested elements
	maxAttributes = 100 // of one element
	maxCoordinate = 1e9
)

// decoder reads elements, and knows in which line it is.
type decoder struct {
	ctx   context.Context
	in    *limited.Reader
	src   *source
	xml   *xml.Decoder
	name  string
	opts  Options
	space string // namespace of the root: elements of others are passed over
	depth int
	empty bool // the element just opened has no text: it ends with its tag

	positions int // read so far, for MaxPoints
	field     []byte
}

func newDecoder(ctx context.Context, r io.Reader, name string, opts Options) *decoder {
	d := &decoder{ctx: ctx, in: limited.NewReader(ctx, r, opts.MaxBytes), name: name, opts: opts}
	d.in.Progress = opts.Progress
	d.src = open(d.in)
	d.xml = xml.NewDecoder(d.src)
	d.xml.CharsetReader = d.encoded
	return d
}

// token reads one token. Its bytes are the decoder's until the next.
func (d *decoder) token() (xml.Token, error) {
	d.src.left = maxToken
	tok, err := d.xml.Token()
	if err != nil {
		return nil, d.notXML(err)
	}
	d.empty = false
	switch t := tok.(type) {
	case xml.StartElement:
		d.empty = d.src.empty
		if d.depth++; d.depth > maxDepth {
			return nil, d.fail("nested_too_deep", fmt.Sprintf("elements are nested more than %d deep", maxDepth), "check that it is the right file")
		}
		if err := d.attributes(t); err != nil {
			return nil, err
		}
	case xml.EndElement:
		d.depth--
	}
	return tok, nil
}

// attributes looks for what the XML decoder does not: attributes given twice.
func (d *decoder) attributes(el xml.StartElement) error {
	if len(el.Attr) > maxAttributes {
		return d.fail("bad_xml", fmt.Sprintf("<%s> has more than %d attributes", short(el.Name.Local), maxAttributes), "check that it is the right file")
	}
	for i, a := range el.Attr {
		for _, b := range el.Attr[:i] {
			if a.Name == b.Name {
				return d.fail("bad_xml", fmt.Sprintf("<%s> has the attribute %q twice", short(el.Name.Local), short(a.Name.Local)), "keep one of them")
			}
		}
	}
	return nil
}

// notXML makes the error of a file that cannot be read as XML, or not at all.
func (d *decoder) notXML(err error) error {
	var input *tin.InputError
	var syntax *xml.SyntaxError
	switch {
	case errors.Is(d.in.Err(), limited.ErrTooLong):
		return d.fail("too_many_bytes", fmt.Sprintf("the file is longer than %d bytes, the most allowed", d.opts.MaxBytes), "split the file")
	case d.in.Err() != nil && !errors.Is(d.in.Err(), io.EOF):
		return fmt.Errorf("landxml: %s: %w", d.name, d.in.Err())
	case errors.Is(err, errHugeToken):
		return d.fail("huge_token", fmt.Sprintf("a tag, a comment or a text is longer than %d bytes", maxToken), "check that it is the right file, and take it out")
	case errors.As(err, &input):
		return input
	case errors.Is(err, io.EOF):
		return d.fail("not_landxml", "the file holds no element", "check that it is the right file")
	case errors.As(err, &syntax) && syntax.Msg == "unexpected EOF":
		return d.fail("bad_xml", "the file ends in the middle", "it was cut short: copy or export it again")
	}
	message := strings.TrimPrefix(err.Error(), "xml: ")
	if syntax != nil {
		message = syntax.Msg
	}
	e := d.fail("bad_xml", "not well-formed XML: "+message, "correct it, or export the file again")
	e.Err = err
	return e
}

// each gives child every element inside the one just opened, up to its end. child
// must read the element to its end.
func (d *decoder) each(child func(xml.StartElement) error) error {
	for {
		tok, err := d.token()
		if err != nil {
			return err
		}
		switch t := tok.(type) {
		case xml.EndElement:
			return nil
		case xml.StartElement:
			if t.Name.Space != d.space {
				err = d.skip()
			} else {
				err = child(t)
			}
			if err != nil {
				return err
			}
		}
	}
}

// skip reads the element just opened to its end. Text in it may be of any length.
func (d *decoder) skip() error {
	for from := d.depth; d.depth >= from; {
		if !d.empty {
			if err := d.src.pass(); err != nil && !errors.Is(err, io.EOF) {
				return d.notXML(err)
			}
		}
		if _, err := d.token(); err != nil {
			return err
		}
	}
	return nil
}

// stopped gives the error of a context that has ended, asked for now and then in a
// long loop.
func (d *decoder) stopped(turn int) error {
	if turn%4096 != 0 || d.ctx.Err() == nil {
		return nil
	}
	return fmt.Errorf("landxml: %s: %w", d.name, d.ctx.Err())
}

// line is that of what was read last.
func (d *decoder) line() int { return d.src.line }

// fail makes the error for what was read last.
func (d *decoder) fail(code, message, hint string) *tin.InputError {
	return d.failAt(d.line(), code, message, hint)
}

func (d *decoder) failAt(line int, code, message, hint string) *tin.InputError {
	return &tin.InputError{Code: code, Message: message, Hint: hint, File: d.name, Line: line}
}

// attr gives an attribute of an element, empty if it has none.
func attr(el xml.StartElement, name string) string {
	for _, a := range el.Attr {
		if a.Name.Local == name && a.Name.Space == "" {
			return a.Value
		}
	}
	return ""
}

// short cuts a text for a message.
func short(s string) string {
	const most = 40
	if utf8.RuneCountInString(s) <= most {
		return s
	}
	return string([]rune(s)[:most]) + "..."
}

// count writes a number with its noun.
func count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return strconv.Itoa(n) + " " + noun + "s"
}
