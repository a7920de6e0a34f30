package grid

import (
	"bufio"
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// TableOptions say how a file of corners is read.
type TableOptions struct {
	// Grid is the grid's sides and bearing, metres and degrees, and for a file
	// of rows and columns the place of its row 0 and column 0. The numbers of
	// rows and columns are found.
	Grid Layout
	// Unit is the unit of the lengths in the file.
	Unit tin.Unit
	// Formation is the level to dig or fill to, for a file with levels and no
	// column of formation; nil if there is none.
	Formation *tin.Plane
	// Topsoil is taken off the levels of the file, metres.
	Topsoil float64
	// MaxCells is the most cells, DefaultTableCells if 0. A file may have as
	// many corners as they can have, and 256 bytes for each.
	MaxCells int
}

// DefaultTableCells is the limit of cells of a table where [TableOptions] give
// none.
const DefaultTableCells = 500_000

// ReadTable reads corners from comma-separated text (RFC 4180) with a header. It
// says what is in a column, in any order: row and column, or easting and
// northing; level, or depth (ground less formation); with levels formation too,
// unless the options give it. With depths the options give neither formation nor
// topsoil. Columns called number, code, description or ignored are not read; nor
// are lines that begin with #.
//
// Rows count up along the grid's bearing and columns to the right of it; the
// least of each in the file becomes 0. Eastings and northings must lie on a grid
// of the given sides and bearing, within a twentieth of a side.
//
// What cannot be used is a [*tin.InputError] with the line and the column of the
// text, in bytes. The name is that of the file, for errors.
func ReadTable(ctx context.Context, r io.Reader, name string, o TableOptions) (Table, error) {
	t, err := readTable(ctx, r, o)
	if e, ok := errors.AsType[*tin.InputError](err); ok && e.File == "" {
		named := *e
		named.File = name
		return Table{}, &named
	}
	return t, err
}

func readTable(ctx context.Context, r io.Reader, o TableOptions) (Table, error) {
	most := o.MaxCells
	if most == 0 {
		most = DefaultTableCells
	}
	if err := (&Options{MaxCells: most}).check(); err != nil {
		return Table{}, err
	}
	probe := o.Grid
	probe.Rows, probe.Columns = 1, 1
	if err := probe.check(1); err != nil {
		return Table{}, err
	}
	if !(math.Abs(o.Topsoil) <= 1e3) || o.Formation != nil && !o.Formation.IsFinite() {
		return Table{}, &tin.InputError{Code: "bad_formation", Message: "the topsoil or the formation is no finite level", Hint: "give metres"}
	}
	b := newBook(r, most, o)
	if err := b.header(); err != nil {
		return Table{}, err
	}
	for n := 0; ; n++ {
		if n%4096 == 0 && ctx.Err() != nil {
			return Table{}, ctx.Err()
		}
		if int64(n) > mostCorners(most) {
			return Table{}, b.fail("too_many_corners", 0, fmt.Sprintf("more than %d corners", mostCorners(most)), "raise the limit of cells")
		}
		more, err := b.line()
		if err != nil {
			return Table{}, err
		}
		if !more {
			break
		}
	}
	return b.table(most)
}

// mostCorners is how many corners so many cells can have: those of one row.
func mostCorners(cells int) int64 { return 2*int64(cells) + 2 }

// book reads a file line by line.
type book struct {
	in      *csv.Reader
	limited *io.LimitedReader
	o       TableOptions
	at      map[string]int // which field a word stands for
	words   int            // of the header
	fields  []string
	corners []bookCorner
}

// bookCorner is a corner as read: by row and column, or by easting and northing
// in metres.
type bookCorner struct {
	row, column int
	place       orb.Point
	depth       float64
	line        int
}

func newBook(r io.Reader, most int, o TableOptions) *book {
	b := &book{limited: &io.LimitedReader{R: r, N: 256*mostCorners(most) + 4096}, o: o, at: make(map[string]int)}
	text := bufio.NewReader(b.limited)
	if mark, err := text.Peek(3); err == nil && string(mark) == "\ufeff" {
		_, _ = text.Discard(3) // cannot fail: it was peeked
	}
	b.in = csv.NewReader(text)
	b.in.Comment, b.in.TrimLeadingSpace, b.in.FieldsPerRecord, b.in.ReuseRecord = '#', true, -1, true
	return b
}

// fail is an error at a field of the line in hand.
func (b *book) fail(code string, field int, message, hint string) error {
	e := &tin.InputError{Code: code, Message: message, Hint: hint}
	if field < len(b.fields) {
		e.Line, e.Column = b.in.FieldPos(field)
	}
	return e
}

// next reads a line into fields. It reports false at the end.
func (b *book) next() (bool, error) {
	fields, err := b.in.Read()
	switch bad, isBad := errors.AsType[*csv.ParseError](err); {
	case b.limited.N <= 0:
		return false, &tin.InputError{Code: "too_many_bytes", Message: "the file is too long", Hint: "raise the limit of cells"}
	case isBad:
		return false, &tin.InputError{Code: "bad_csv", Line: bad.Line, Column: bad.Column, Message: bad.Err.Error(), Hint: "separate fields by commas; quotes only round a whole field", Err: err}
	case errors.Is(err, io.EOF):
		return false, nil
	case err != nil:
		return false, fmt.Errorf("grid: reading a table: %w", err)
	}
	b.fields = fields
	return true, nil
}

const tableWords = "row, column, easting, northing, level, depth, formation; not read: number, code, description, ignored"

// header reads the words of the first line.
func (b *book) header() error {
	if more, err := b.next(); err != nil || !more {
		return firstError(err, &tin.InputError{Code: "no_header", Message: "the file is empty", Hint: "begin with a line of words: row,column,level"})
	}
	for i, word := range b.fields {
		word = strings.ToLower(strings.TrimSpace(word))
		switch word {
		case "number", "code", "description", "ignored":
			continue
		case "row", "column", "easting", "northing", "level", "depth", "formation":
		default:
			return b.fail("bad_columns", i, fmt.Sprintf("the word %q is not known", word), "the words are "+tableWords)
		}
		if _, twice := b.at[word]; twice {
			return b.fail("bad_columns", i, fmt.Sprintf("%s stands there twice", word), "keep one")
		}
		b.at[word] = i
	}
	b.words = len(b.fields)
	return b.checkWords()
}

func firstError(err, otherwise error) error {
	if err != nil {
		return err
	}
	return otherwise
}

func (b *book) has(words ...string) bool {
	return !slices.ContainsFunc(words, func(w string) bool { _, ok := b.at[w]; return !ok })
}

// checkWords sees that the words say where and how deep.
func (b *book) checkWords() error {
	_, row := b.at["row"]
	_, column := b.at["column"]
	_, easting := b.at["easting"]
	_, northing := b.at["northing"]
	switch {
	case (row || column) == (easting || northing) || row != column || easting != northing:
		return b.fail("bad_columns", 0, "the columns do not say where a corner is", "give row and column, or easting and northing")
	case b.has("level") == b.has("depth"):
		return b.fail("bad_columns", 0, "the columns do not say how deep it is", "give level, or depth")
	case b.has("depth") && b.has("formation"):
		return b.fail("bad_columns", 0, "a depth needs no formation", "give level and formation, or depth")
	case b.has("depth") && (b.o.Formation != nil || b.o.Topsoil != 0):
		return b.fail("bad_columns", 0, "depths are taken as they are, and neither topsoil nor a formation goes with them", "leave both out, or give levels")
	case b.has("formation") && b.o.Formation != nil:
		return b.fail("bad_columns", 0, "the formation is in the file and given apart", "keep one")
	case b.has("level") && !b.has("formation") && b.o.Formation == nil:
		return b.fail("no_formation", 0, "levels without a formation have no depth", "add a column of formation, or give its level")
	}
	return nil
}

// line reads a corner. It reports false at the end.
func (b *book) line() (bool, error) {
	more, err := b.next()
	if err != nil || !more {
		return false, err
	}
	if len(b.fields) != b.words {
		return false, b.fail("bad_fields", 0, fmt.Sprintf("the line has %d fields, the header %d", len(b.fields), b.words), "give every field; write decimal points, not commas")
	}
	var c bookCorner
	c.line, _ = b.in.FieldPos(0)
	if b.has("row") {
		if c.row, err = b.whole("row"); err == nil {
			c.column, err = b.whole("column")
		}
	} else if c.place[0], err = b.length("easting"); err == nil {
		c.place[1], err = b.length("northing")
	}
	if err != nil {
		return false, err
	}
	if c.depth, err = b.depth(&c); err != nil {
		return false, err
	}
	b.corners = append(b.corners, c)
	return true, nil
}

// depth reads ground less formation, metres.
func (b *book) depth(c *bookCorner) (float64, error) {
	if b.has("depth") {
		return b.length("depth")
	}
	level, err := b.length("level")
	if err != nil {
		return 0, err
	}
	if b.has("formation") {
		formation, err := b.length("formation")
		return (level - b.o.Topsoil) - formation, err
	}
	place := c.place
	if b.has("row") {
		place = b.o.Grid.Corner(c.row, c.column)
	}
	return (level - b.o.Topsoil) - b.o.Formation.LevelAt(place[0], place[1]), nil
}

func (b *book) whole(word string) (int, error) {
	i := b.at[word]
	n, err := strconv.Atoi(strings.TrimSpace(b.fields[i]))
	if err != nil || n < -1e9 || n > 1e9 {
		return 0, b.fail("bad_number", i, fmt.Sprintf("%s %q is no whole number", word, b.fields[i]), "count rows and columns within ±1e9")
	}
	return n, nil
}

func (b *book) length(word string) (float64, error) {
	i := b.at[word]
	v, err := strconv.ParseFloat(strings.TrimSpace(b.fields[i]), 64)
	v *= b.o.Unit.Metres()
	if err != nil || strings.ContainsAny(b.fields[i], "xX_") || // 0x10 and 1_0 are numbers of programs
		!(math.Abs(v) <= 1e9) {
		return 0, b.fail("bad_number", i, fmt.Sprintf("%s %q is no number within ±1e9", word, b.fields[i]), "correct it, or leave out the line")
	}
	return v, nil
}

// table puts the corners on their grid.
func (b *book) table(most int) (Table, error) {
	if len(b.corners) == 0 {
		return Table{}, &tin.InputError{Code: "no_corners", Message: "the file has no corners", Hint: "give four at least"}
	}
	g := b.o.Grid
	if !b.has("row") {
		if err := b.onGrid(&g); err != nil {
			return Table{}, err
		}
	}
	low, high := b.corners[0], b.corners[0]
	for _, c := range b.corners {
		low.row, low.column = min(low.row, c.row), min(low.column, c.column)
		high.row, high.column = max(high.row, c.row), max(high.column, c.column)
	}
	g.Origin = g.Corner(low.row, low.column)
	g.Rows, g.Columns = high.row-low.row, high.column-low.column
	if err := g.check(most); err != nil {
		return Table{}, err
	}
	t := Table{Layout: g, Corners: make([]Corner, len(b.corners))}
	for i, c := range b.corners {
		t.Corners[i] = Corner{c.row - low.row, c.column - low.column, c.depth, c.line}
	}
	slices.SortFunc(t.Corners, func(a, b Corner) int {
		if a.Row != b.Row {
			return a.Row - b.Row
		}
		if a.Column != b.Column {
			return a.Column - b.Column
		}
		return a.Line - b.Line
	})
	for i := 1; i < len(t.Corners); i++ {
		a, c := t.Corners[i-1], t.Corners[i]
		if a.Row == c.Row && a.Column == c.Column {
			return Table{}, &tin.InputError{Code: "corner_twice", Line: c.Line, Message: fmt.Sprintf("the corner of line %d is given again", a.Line), Hint: "take one out"}
		}
	}
	return t, nil
}

// onGrid finds rows and columns of eastings and northings. The grid begins at
// the least of both, turned by its bearing.
func (b *book) onGrid(g *Layout) error {
	g.Origin = b.corners[0].place
	for _, c := range b.corners {
		if p := c.place; p[0] < g.Origin[0] || p[0] == g.Origin[0] && p[1] < g.Origin[1] {
			g.Origin = p
		}
	}
	u0, v0 := 0.0, 0.0
	for _, c := range b.corners {
		u, v := g.cells(c.place)
		u0, v0 = min(u0, u), min(v0, v)
	}
	g.Origin = g.place(u0, v0)
	for i := range b.corners {
		c := &b.corners[i]
		u, v := g.cells(c.place)
		column, row := math.Round(u), math.Round(v)
		if off := max(math.Abs(u-column), math.Abs(v-row)); !(off <= 0.05) || column > 1e9 || row > 1e9 {
			return &tin.InputError{
				Code: "corner_off_grid", Line: c.line, At: &c.place,
				Message: fmt.Sprintf("E %.3f N %.3f is %.2f of a side off the grid that begins at E %.3f N %.3f", c.place[0], c.place[1], off, g.Origin[0], g.Origin[1]),
				Hint:    "see that sides and bearing are right",
			}
		}
		c.column, c.row = int(column), int(row)
	}
	return nil
}
