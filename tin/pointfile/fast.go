package pointfile

import (
	"bytes"
	"math"
	"unicode/utf8"
)

// fast reads a line in one pass if nothing about it is out of the ordinary, and
// reports whether it did. Whatever it does not take, slow decides; whatever it
// takes, slow would read alike (a test holds them together).
func (p *parser) fast(line []byte) (done bool, err error) {
	var (
		e, n       float64
		z          = math.NaN()
		name       = text{line: line}
		kind, desc []byte
		fine       = 0
		i          = 0
		sep        = p.sep
		mark       = p.mark
		last       = len(p.roles) - 1
		marked     = false
	)
	if mark == 0 {
		mark = '.'
	}
	for k, r := range p.roles {
		for i < len(line) && (line[i] == ' ' || line[i] == '\t' && sep == blanks) {
			i++
		}
		switch r {
		case easting, northing, level:
			v, next, decimals := decimal(line, i, mark)
			if next < 0 || math.Abs(v) > maxCoordinate {
				return false, nil
			}
			if sep == blanks && decimals == 0 && math.Abs(v) < 1000 {
				return false, nil // it may be the first group of digits of a number
			}
			marked = marked || decimals > 0
			for next < len(line) && line[next] == ' ' && sep != blanks {
				next++
			}
			if next < len(line) {
				if line[next] != sep || k == last && sep != blanks {
					return false, nil
				}
				next++
			} else if k < last {
				return false, nil
			}
			i = next
			switch r {
			case easting:
				e = v
			case northing:
				n = v
			default:
				if v == -999 || v == -9999 {
					return false, nil
				}
				z = v
				continue
			}
			if decimals >= 5 {
				fine++
			}
			if mark == ',' && !p.commaOnly {
				return false, nil
			}
		default:
			rest := line[i:]
			end := len(rest)
			if k < last {
				if end = bytes.IndexByte(rest, sep); end < 0 {
					return false, nil
				}
			} else if bytes.IndexByte(rest, sep) >= 0 {
				return false, nil
			}
			field, at := rest[:end], i
			i += end + 1
			for len(field) > 0 && isBlank(field[len(field)-1]) {
				field = field[:len(field)-1]
			}
			if len(field) == 0 {
				if k < last || sep == blanks {
					return false, nil
				}
				continue
			}
			if c := field[0]; c == '"' || k == 0 && (c == '#' || c == '/' || c == ';') {
				return false, nil
			}
			if sep == blanks && bytes.IndexByte(field, '\t') >= 0 || !p.lines.ascii && !utf8.Valid(field) {
				return false, nil
			}
			switch r {
			case number:
				name.text, name.at = field, at
			case code:
				kind = field
			case description:
				desc = field
			}
		}
	}
	for i < len(line) {
		if !isBlank(line[i]) || sep == '\t' {
			return false, nil
		}
		i++
	}
	if marked && p.mark == 0 {
		p.setMark(mark)
	}
	if fine == 2 {
		p.fine++
	}
	if math.IsNaN(z) {
		p.noLevel[missingColumn].add(p.file.Lines)
	}
	return true, p.add(e, n, z, name, p.textOf(kind, desc))
}
