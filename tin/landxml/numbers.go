package landxml

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
)

// maxField is the most characters in one number: the smallest double written out
// needs fewer than 1100 (from memory of IEEE 754), and no survey writes more.
const maxField = 1100

// fields reads the text of the element just opened up to its end, and gives take
// each of its words, with the line it ends in. A word is good until take returns.
// Long lists are read without being held.
func (d *decoder) fields(take func(word []byte, line int) error) error {
	d.field = d.field[:0]
	end := func() error {
		if len(d.field) == 0 {
			return nil
		}
		err := take(d.field, d.line())
		d.field = d.field[:0]
		return err
	}
	// After a text of its own the decoder has read one byte ahead.
	for ahead := d.empty; ; {
		if !ahead {
			if err := d.direct(end); err != nil {
				return err
			}
		}
		tok, err := d.token()
		if err != nil {
			return err
		}
		_, ahead = tok.(xml.CharData)
		switch t := tok.(type) {
		case xml.CharData: // from a character reference on, or a CDATA section
			for _, c := range t {
				if err := d.add(c, end); err != nil {
					return err
				}
			}
		case xml.StartElement:
			if err := end(); err != nil {
				return err
			}
			if err := d.skip(); err != nil {
				return err
			}
		case xml.EndElement:
			return end()
		}
	}
}

// direct reads text past the XML decoder, up to the next markup.
func (d *decoder) direct(end func() error) error {
	for {
		c, err := d.src.r.ReadByte()
		if errors.Is(err, io.EOF) {
			return nil // the decoder says what is missing
		}
		if err != nil {
			return d.notXML(err)
		}
		if c == '<' || c == '&' {
			return d.src.r.UnreadByte()
		}
		if err := d.add(c, end); err != nil {
			return err
		}
		d.src.count(c)
	}
}

// add adds a character to the word, or ends it.
func (d *decoder) add(c byte, end func() error) error {
	switch c {
	case ' ', '\t', '\n', '\r':
		return end()
	}
	if len(d.field) == maxField {
		return d.fail("bad_number", fmt.Sprintf("%q is no number", short(string(d.field))), "write numbers with blanks between them")
	}
	d.field = append(d.field, c)
	return nil
}

// number reads a coordinate or level.
func (d *decoder) number(word []byte, line int) (float64, error) {
	if v, ok := plain(word); ok && math.Abs(v) <= maxCoordinate {
		return v, nil
	}
	text := string(word)
	if bytes.IndexByte(word, ',') >= 0 {
		return 0, d.failAt(line, "comma_in_number", fmt.Sprintf("%q has a comma", short(text)), "write decimal points, and blanks between numbers")
	}
	for _, c := range word {
		if (c < '0' || c > '9') && c != '+' && c != '-' && c != '.' && c != 'e' && c != 'E' {
			return 0, d.failAt(line, "bad_number", fmt.Sprintf("%q is no number", short(text)), "correct it, or export the file again")
		}
	}
	v, err := strconv.ParseFloat(text, 64)
	if errors.Is(err, strconv.ErrRange) || err == nil && math.Abs(v) > maxCoordinate {
		return 0, d.failAt(line, "out_of_range", fmt.Sprintf("the number %s is beyond %.0f", short(text), float64(maxCoordinate)), "correct it")
	}
	if err != nil {
		return 0, d.failAt(line, "bad_number", fmt.Sprintf("%q is no number", short(text)), "correct it, or export the file again")
	}
	return v, nil
}

// plain reads a decimal such as -12.50. The digits make a whole number m below
// 2^53, and ten to the number of decimals is exact too, so the one division rounds
// once, to the same bits as strconv.ParseFloat (W. D. Clinger, How to read floating
// point numbers accurately, PLDI 1990, section 3). For others ok is false.
func plain(word []byte) (v float64, ok bool) {
	rest, negative := bytes.CutPrefix(word, []byte("-"))
	if len(rest) == 0 || len(rest) > 17 {
		return 0, false
	}
	m, scale, decimals := uint64(0), 1.0, false
	for _, c := range rest {
		switch {
		case '0' <= c && c <= '9':
			m = m*10 + uint64(c-'0')
			if decimals {
				scale *= 10
			}
		case c == '.' && !decimals && len(rest) > 1:
			decimals = true
		default:
			return 0, false
		}
	}
	if m >= 1<<53 {
		return 0, false
	}
	v = float64(m) / scale
	if negative {
		v = -v
	}
	return v, true
}

// id reads the number of a surface's point: a positive whole number.
func (d *decoder) id(word []byte, line int) (int32, error) {
	v, err := strconv.ParseUint(string(bytes.TrimPrefix(word, []byte("+"))), 10, 31)
	if err != nil || v == 0 {
		return 0, d.failAt(line, "bad_id", fmt.Sprintf("%q is no number of a point", short(string(word))), fmt.Sprintf("ids are whole numbers from 1 to %d", math.MaxInt32))
	}
	return int32(v), nil
}
