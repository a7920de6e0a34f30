package report

import (
	"html/template"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// block is a part of a page. What is empty is not there.
type block struct {
	Heading string
	Words   string
	Points  []htmlPoint // below Words
	Items   []htmlItem
	Table   *htmlTable
	Picture *htmlPicture
	Plan    *htmlPlan
}

// htmlPoint is a point of a list, with what belongs to it.
type htmlPoint struct {
	Words  string
	Points []htmlPoint
}

// htmlItem is a subject and what is said of it.
type htmlItem struct {
	Subject string
	Words   []string
}

// htmlPicture is a picture with its caption.
type htmlPicture struct {
	Caption string
	Drawing template.HTML
}

// blocksOf makes blocks of the pieces of a sheet. Tables are named by caption.
func blocksOf(caption string, pieces []piece) []block {
	b := blocks{caption: caption}
	for i := 0; i < len(pieces); {
		p := &pieces[i]
		if n := rowsFrom(pieces[i:]); n > 0 {
			b.tables(pieces[i : i+n])
			i += n
			continue
		}
		i++
		switch p.kind {
		case aTitle:
			b.add(block{Heading: printed(sentence(p.words))})
		case aLine, aParagraph:
			b.paragraph(p)
		case aPoint:
			b.point(p)
		case anItem:
			b.item(p)
		case aTable:
			b.add(block{Table: tableOfCells(b.caption, p.rows)})
		}
	}
	return b.list
}

// blocks are the blocks of a sheet in the making.
type blocks struct {
	caption string
	list    []block
	indents []int // of the last paragraph and those it belongs to; none after anything else
}

func (b *blocks) add(k block) {
	b.list = append(b.list, k)
	b.indents = nil
}

func (b *blocks) last() *block {
	if len(b.list) == 0 {
		return &block{}
	}
	return &b.list[len(b.list)-1]
}

// paragraph adds words; those that stand farther in belong to what stands before them.
func (b *blocks) paragraph(p *piece) {
	words := strings.TrimSpace(p.lead + p.words)
	if words == "" {
		b.indents = nil
		return
	}
	words = printed(words)
	indent := p.indentOf()
	for len(b.indents) > 0 && b.indents[len(b.indents)-1] >= indent {
		b.indents = b.indents[:len(b.indents)-1]
	}
	if len(b.indents) == 0 {
		b.list = append(b.list, block{Words: words})
	} else {
		points := &b.last().Points
		for range len(b.indents) - 1 {
			points = &(*points)[len(*points)-1].Points
		}
		*points = append(*points, htmlPoint{Words: words})
	}
	b.indents = append(b.indents, indent)
}

func (b *blocks) point(p *piece) {
	if k := b.last(); k.Words != "" || k.Points == nil {
		b.add(block{})
	}
	k := b.last()
	k.Points = append(k.Points, htmlPoint{Words: printed(p.words)})
}

func (b *blocks) item(p *piece) {
	if b.last().Items == nil {
		b.add(block{})
	}
	k := b.last()
	if p.lead == "" && len(k.Items) > 0 {
		i := &k.Items[len(k.Items)-1]
		i.Words = append(i.Words, printed(p.words))
		return
	}
	k.Items = append(k.Items, htmlItem{printed(p.lead), []string{printed(p.words)}})
}

// indentOf is the column at which a piece's words begin.
func (p *piece) indentOf() int {
	text := p.lead + p.words
	return p.indent + len(text) - len(strings.TrimLeft(text, " "))
}

func (p *piece) isRow() bool { return p.kind == aRow || p.kind == aTotal || p.kind == aHeading }

// sentence writes a title that is in capitals as a sentence begins; what is not, and a code
// of one word, stays behind a comma.
func sentence(title string) string {
	head, code := title, ""
	if i := strings.Index(title, ", "); i >= 0 && (!strings.Contains(title[i+2:], " ") || strings.ContainsFunc(title[i:], unicode.IsLower)) {
		head, code = title[:i], title[i:]
	}
	if strings.ContainsFunc(head, unicode.IsLower) {
		return title
	}
	head = strings.ToLower(head)
	first, size := utf8.DecodeRuneInString(head)
	return string(unicode.ToUpper(first)) + head[size:] + code
}

// without leaves out pieces that a page has in a place of its own: titles, and blank lines
// before them.
func without(pieces []piece, kinds ...pieceKind) []piece {
	return slices.DeleteFunc(slices.Clone(pieces), func(p piece) bool { return slices.Contains(kinds, p.kind) })
}
