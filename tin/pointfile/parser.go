package pointfile

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"unicode/utf8"

	"barrow/tin"
)

// maxCoordinate is the greatest number taken for a coordinate or a level.
const maxCoordinate = 1e9

// maxGuess is the greatest number of points allocated before they are read.
const maxGuess = 1 << 20

// tally counts something and remembers the line where it was met first.
type tally struct{ count, line int }

func (t *tally) add(line int) {
	if t.count == 0 {
		t.line = line
	}
	t.count++
}

// parser makes points of lines.
type parser struct {
	lines lines
	file  *File
	opts  Options
	size  int64 // of the file, if known

	sep         byte
	roles       []role
	heading     heading
	stated      int // columns stated; 0: none
	awaitHeader bool
	numberTexts bool // numbers are usual as texts in the last column; known for blanks only
	slowOnly    bool // for tests: no line is read the quick way

	mark      byte // decimal mark: '.', ',' or 0 until a number shows it
	markLine  int
	commaOnly bool // a number was met that fits the decimal comma only
	commaAt   *tin.InputError

	fields []field // of the line in hand
	texts  texts
	names  nameCheck

	// What the notes are made of.
	fine        int                 // points with five decimals or more in plan
	noLevel     [missingKinds]tally // plan-only points, by what stands for the level
	joined      tally               // text that runs over several fields
	unclosed    tally               // quotes
	latin       tally               // texts that are not UTF-8
	endMark     tally               // control-Z
	commented   tally               // points in comments
	undescribed tally               // descriptions beside codes
	lf, crlf,
	cr int
}

// block reads the lines of a block.
func (p *parser) block(block []byte) error {
	if p.file.Points == nil {
		p.file.Points = make([]tin.Point, 0, p.guess(block))
	}
	for len(block) > 0 {
		line := block
		i := bytes.IndexByte(block, '\n')
		if i < 0 {
			block = nil
		} else {
			line, block = block[:i], block[i+1:]
		}
		if !p.lines.hasCR {
			if i >= 0 {
				p.lf++
			}
			if err := p.line(line); err != nil {
				return err
			}
			continue
		}
		if err := p.returns(line, i >= 0); err != nil {
			return err
		}
	}
	return nil
}

// returns reads what stands before a line feed, or at the end of a block, where
// carriage returns may end lines too.
func (p *parser) returns(text []byte, fed bool) error {
	if fed {
		if n := len(text); n > 0 && text[n-1] == '\r' {
			text = text[:n-1]
			p.crlf++
		} else {
			p.lf++
		}
	}
	for {
		i := bytes.IndexByte(text, '\r')
		if i < 0 {
			break
		}
		p.cr++
		if err := p.line(text[:i]); err != nil {
			return err
		}
		text = text[i+1:]
	}
	if len(text) == 0 && !fed {
		return nil
	}
	return p.line(text)
}

func (p *parser) line(line []byte) error {
	if p.file.Lines++; p.file.Lines > math.MaxInt32 {
		return p.fail("too_many_lines", line, 0, "the file has more than 2147483647 lines", "split it")
	}
	if len(line) > maxLine {
		return p.fail("line_too_long", nil, 0, fmt.Sprintf("the line is longer than %d bytes", maxLine),
			"check that the file is a list of points, one a line")
	}
	if p.lines.hasCtrlZ {
		if rest := bytes.Trim(line, "\x1a"); len(rest) < len(line) {
			p.endMark.add(p.file.Lines)
			line = rest
		}
	}
	if !p.awaitHeader && !p.slowOnly {
		if done, err := p.fast(line); done {
			return err
		}
	}
	return p.slow(line)
}

// text is a text with its place in the line in hand.
type text struct {
	text, line []byte
	at         int
}

// column counts in characters, from 1.
func (t text) column() int { return 1 + utf8.RuneCount(t.line[:t.at]) }

// add takes a point. The texts are copied.
func (p *parser) add(e, n, z float64, name text, code []byte) error {
	if p.opts.MaxPoints > 0 && len(p.file.Points) == p.opts.MaxPoints {
		return p.fail("too_many_points", nil, 0,
			fmt.Sprintf("the file holds more than %d points, the most allowed", p.opts.MaxPoints),
			"thin the points out, or split the file")
	}
	if len(p.file.Points) == cap(p.file.Points) {
		p.grow()
	}
	pt := tin.Point{E: e, N: n, Level: z, Line: int32(p.file.Lines)}
	if len(name.text) > 0 {
		pt.Name = p.texts.keep(name.text)
		if !p.names.rises(pt.Name) {
			p.names.below = append(p.names.below, seenName{int32(len(p.file.Points)), int32(name.column())})
		}
	}
	if len(code) > 0 {
		pt.Code = p.texts.share(code)
	}
	p.file.Points = append(p.file.Points, pt)
	return nil
}

// finish checks the whole and makes the notes.
func (p *parser) finish() error {
	if len(p.file.Points) == 0 {
		return p.noPoints()
	}
	if p.mark == ',' && !p.commaOnly {
		return p.commaAt
	}
	p.file.DecimalComma = p.mark == ','
	equal, conflict := p.names.check(p.file.Points)
	if conflict != nil {
		a, b := p.file.Points[conflict.first], p.file.Points[conflict.point]
		return &tin.InputError{
			Code: "name_conflict", File: p.file.Name, Line: int(b.Line), Column: int(conflict.column),
			Message: fmt.Sprintf("the name %q is that of line %d too, with other coordinates: %s there, %s here",
				b.Name, a.Line, place(a), place(b)),
			Hint: `rename or leave out one of them; if the column holds codes and not names, state it as "code" in columns`,
		}
	}
	p.file.Notes = p.notes(equal)
	return nil
}

func place(p tin.Point) string {
	if !p.HasLevel() {
		return fmt.Sprintf("E %v N %v, no level", shortest(p.E), shortest(p.N))
	}
	return fmt.Sprintf("E %v N %v level %v", shortest(p.E), shortest(p.N), shortest(p.Level))
}

// textOf returns what becomes a point's code: the description where there is no
// code.
func (p *parser) textOf(code, description []byte) []byte {
	if len(code) == 0 {
		return description
	}
	if len(description) > 0 {
		p.undescribed.add(p.file.Lines)
	}
	return code
}

// guess returns how many points to make room for at first.
func (p *parser) guess(block []byte) int {
	lines := bytes.Count(block, []byte{'\n'})
	if lines == 0 || p.size <= int64(len(block)) {
		return lines + 1
	}
	whole := float64(lines) * float64(p.size) / float64(len(block))
	return int(min(1.02*whole+64, maxGuess))
}

// grow makes room for more points: for all that should come by what was read so
// far, if the size of the file is known, but no more than twice as many.
func (p *parser) grow() {
	have := len(p.file.Points)
	want := have + have/2 + 64
	if p.size > p.lines.count {
		whole := 1.02*float64(have)*float64(p.size)/float64(p.lines.count) + 64
		want = int(min(max(whole, float64(have)*1.05+64), float64(2*have+64)))
	}
	p.file.Points = slices.Grow(p.file.Points, want-have)
}

// fail makes the error for a place in the line in hand.
func (p *parser) fail(code string, line []byte, at int, message, hint string) *tin.InputError {
	column := 0
	if line != nil {
		column = text{line: line, at: min(at, len(line))}.column()
	}
	return &tin.InputError{
		Code: code, Message: message, Hint: hint,
		File: p.file.Name, Line: p.file.Lines, Column: column,
	}
}
