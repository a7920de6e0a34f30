package report

import (
	"fmt"
	"slices"
	"strings"
)

// htmlTable is a table of a page: the first column names the rows, numbers stand to the
// right in the others.
type htmlTable struct {
	Caption string
	Quiet   bool // a heading says the same: the caption is for those who hear the page
	Heads   []htmlRow
	Groups  []htmlGroup
	Columns int  // with the first
	Words   bool // the cells are words, no figures
}

// htmlGroup is rows under a name.
type htmlGroup struct {
	Name string
	Rows []htmlRow
}

// htmlRow is a row with its cells, or words across all columns.
type htmlRow struct {
	Label string
	Deep  bool // part of the row above
	Cells []string
	Notes []string // instead
	Total bool
}

// Class is how the row is set.
func (r htmlRow) Class() string {
	switch {
	case r.Total:
		return "total"
	case r.Deep:
		return "deep"
	}
	return ""
}

// mostRows is how many rows a table of a page has at most; what is left out is said.
const mostRows = 1000

// lastRows are those that stay at the end of a longer one.
const lastRows = 20

// rowsFrom is how many pieces from the first on are a table: rows, what stands between
// them, names of groups before them, and what is said of the last one.
func rowsFrom(pieces []piece) int {
	if !pieces[0].isRow() && !namesGroup(pieces) {
		return 0
	}
	n, last, group := 0, 0, -1
	for i := range pieces {
		p := &pieces[i]
		switch {
		case p.isRow():
			n, last = i+1, p.indentOf()
		case p.kind != aParagraph || p.words == "":
			return n
		case namesGroup(pieces[i:]):
			group = p.indentOf()
		case group >= 0 && p.indentOf() > group, group < 0 && p.indentOf() > last:
			if n == i {
				n++
			}
		case n == i && !rowFollows(pieces[i:]):
			return n
		}
	}
	return n
}

// namesGroup reports whether a paragraph stands over rows that are farther in.
func namesGroup(pieces []piece) bool {
	if pieces[0].kind != aParagraph {
		return false
	}
	indent := pieces[0].indentOf()
	for i := range pieces[1:] {
		p := &pieces[i+1]
		switch {
		case p.kind == aRow || p.kind == aTotal:
			return p.indentOf() > indent
		case p.kind != aParagraph || p.words == "" || p.indentOf() <= indent:
			return false
		}
	}
	return false
}

// rowFollows reports whether the next piece but paragraphs is a row.
func rowFollows(pieces []piece) bool {
	for i := range pieces {
		if p := &pieces[i]; p.kind != aParagraph || p.words == "" {
			return p.isRow()
		}
	}
	return false
}

// tables adds the tables that rows make: a heading with other columns begins a new one.
func (b *blocks) tables(pieces []piece) {
	from := 0
	var heading *piece
	for i := range pieces {
		p := &pieces[i]
		if p.kind != aHeading {
			continue
		}
		if heading != nil && i > from && !pieces[i-1].isHeading() && !slices.Equal(heading.values, p.values) {
			b.add(block{Table: tableOf(b.caption, pieces[from:i])})
			from = i
		}
		heading = p
	}
	b.add(block{Table: tableOf(b.caption, pieces[from:])})
}

func (p *piece) isHeading() bool { return p.kind == aHeading }

// tableOf makes a table of rows. Headings that come again name groups.
func tableOf(caption string, pieces []piece) *htmlTable {
	t := tableMaker{htmlTable: htmlTable{Caption: printed(caption)}, ends: columnEnds(pieces), unlabelled: unlabelled(pieces), first: -1}
	t.Columns = len(t.ends) + 1
	if t.unlabelled {
		t.Columns--
	}
	again := headsAgain(pieces)
	for i := range pieces {
		p := &pieces[i]
		switch {
		case p.kind == aHeading && again:
			if len(t.Heads) == 0 {
				t.Heads = append(t.Heads, t.row(&piece{columns: p.columns, values: p.values}))
			}
			t.group(p.words)
		case p.kind == aHeading:
			t.Heads = append(t.Heads, t.row(p))
		case p.isRow():
			t.add(t.row(p))
		case namesGroup(pieces[i:]):
			t.group(p.lead + p.words)
		default:
			t.note(printed(strings.TrimSpace(p.lead + p.words)))
		}
	}
	t.bound()
	return &t.htmlTable
}

// tableMaker is a table in the making.
type tableMaker struct {
	htmlTable
	ends       []int // of the columns on a sheet
	unlabelled bool  // the first values name the rows
	first      int   // how far in the first row of a group stands
}

func (t *tableMaker) group(name string) {
	t.Groups = append(t.Groups, htmlGroup{Name: printed(strings.TrimSpace(name))})
	t.first = -1
}

func (t *tableMaker) add(r htmlRow) {
	if len(t.Groups) == 0 {
		t.group("")
	}
	g := &t.Groups[len(t.Groups)-1]
	g.Rows = append(g.Rows, r)
}

// note adds words about the rows above, to those that are there already.
func (t *tableMaker) note(words string) {
	if len(t.Groups) == 0 {
		t.group("")
	}
	g := &t.Groups[len(t.Groups)-1]
	if n := len(g.Rows); n > 0 && g.Rows[n-1].Notes != nil {
		g.Rows[n-1].Notes = append(g.Rows[n-1].Notes, words)
		return
	}
	g.Rows = append(g.Rows, htmlRow{Notes: []string{words}})
}

func (t *tableMaker) row(p *piece) htmlRow {
	r := htmlRow{Label: printed(strings.TrimSpace(p.words)), Total: p.kind == aTotal, Cells: make([]string, len(t.ends))}
	for i, v := range p.values {
		r.Cells[slices.Index(t.ends, p.columns[i])] = printedCell(v)
	}
	if t.unlabelled {
		r.Label, r.Cells = r.Cells[0], r.Cells[1:]
	}
	if p.kind == aHeading {
		return r
	}
	if t.first < 0 {
		t.first = p.indentOf()
	}
	r.Deep = p.indentOf() > t.first && !r.Total
	return r
}

// bound leaves out rows that are too many, and says so. The last ones stay: sums are
// among them.
func (t *tableMaker) bound() {
	out := -mostRows
	for _, g := range t.Groups {
		out += len(g.Rows)
	}
	if out <= 0 {
		return
	}
	note := htmlRow{Notes: []string{fmt.Sprintf("%s left out of this page: it shows at most %d of a table.", countOf(out, "further row is", "further rows are"), mostRows)}}
	groups := t.Groups
	t.Groups = nil
	for at := 0; len(groups) > 0; groups = groups[1:] {
		g := htmlGroup{Name: groups[0].Name}
		for _, r := range groups[0].Rows {
			switch {
			case at < mostRows-lastRows || at >= mostRows-lastRows+out:
				g.Rows = append(g.Rows, r)
			case at == mostRows-lastRows:
				g.Rows = append(g.Rows, note)
			}
			at++
		}
		if len(g.Rows) > 0 {
			t.Groups = append(t.Groups, g)
		}
	}
}

// columnEnds are all the columns that values of rows end at, from left to right.
func columnEnds(pieces []piece) (ends []int) {
	for i := range pieces {
		if p := &pieces[i]; p.isRow() {
			ends = append(ends, p.columns[:len(p.values)]...)
		}
	}
	slices.Sort(ends)
	return slices.Compact(ends)
}

// unlabelled reports whether no row has a label.
func unlabelled(pieces []piece) bool {
	return !slices.ContainsFunc(pieces, func(p piece) bool { return p.isRow() && strings.TrimSpace(p.words) != "" })
}

// headsAgain reports whether a heading comes more than once.
func headsAgain(pieces []piece) bool {
	var first *piece
	for i := range pieces {
		p := &pieces[i]
		if p.kind != aHeading {
			continue
		}
		if first != nil && slices.Equal(first.values, p.values) {
			return true
		}
		first = p
	}
	return false
}

// tableOfCells makes a table of rows under their heading.
func tableOfCells(caption string, rows [][]string) *htmlTable {
	t := tableMaker{htmlTable: htmlTable{Caption: printed(caption), Columns: len(rows[0])}}
	for i, cells := range rows {
		r := htmlRow{Label: printed(strings.TrimSpace(cells[0]))}
		for _, c := range cells[1:] {
			r.Cells = append(r.Cells, printedCell(c))
		}
		if i == 0 {
			t.Heads = []htmlRow{r}
		} else {
			t.add(r)
		}
	}
	t.bound()
	return &t.htmlTable
}
