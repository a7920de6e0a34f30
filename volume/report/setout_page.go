package report

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"barrow/volume/takeoff"
)

// An A4 page, millimetres. Letters of type are read at arm's length.
const (
	pageWide, pageHigh = 210.0, 297.0
	pageLeft           = 12.0
	pageRight          = pageWide - 12
	pageTop            = 30.0
	pageFoot           = pageHigh - 16
	letter             = 4.0 // size of type
	pitch              = 6.2 // from line to line
)

// SetOutPages writes a set-out as pages to print on A4, each an SVG picture in black on
// white: levels, a plan, pegs, boxes to fill in on site, and cautions.
func SetOutPages(r *takeoff.SetOutResult) [][]byte {
	p := &pages{sheet: newSetOutSheet(r)}
	p.levels()
	p.plan()
	p.pegs()
	p.tops()
	p.site()
	p.cautions()
	out := make([][]byte, len(p.list))
	for i, page := range p.list {
		page.text(pageRight, 20, style(letter, "end", false), fmt.Sprintf("page %d of %d", i+1, len(p.list)))
		page.line(`</svg>`)
		out[i] = page.buf.Bytes()
	}
	return out
}

// pages are pages in the making, filled from the top down.
type pages struct {
	sheet *setOutSheet
	list  []*svg
	page  *svg
	title string
	y     float64 // of the next line's foot

	legend string // of a table that goes on over pages, again at the top of each
}

// begin begins a page under a title.
func (p *pages) begin(title string) {
	s := &svg{width: pageWide, height: pageHigh}
	s.line(`<svg xmlns="http://www.w3.org/2000/svg" width="210mm" height="297mm" viewBox="0 0 210 297" font-family="sans-serif">`)
	s.line(`<title>%s</title>`, escaped(jobName(p.sheet.r.Job)+": "+title))
	s.line(`<rect width="210" height="297" fill="white"/>`)
	s.text(pageLeft, 13, style(6, "start", true), cutShort(jobName(p.sheet.r.Job), 46))
	s.text(pageLeft, 20, style(letter, "start", false), fmt.Sprintf("%s. Set-out, %s %s, in %s", cutShort(title, 28), p.sheet.r.Program.Name, p.sheet.r.Program.Version, p.sheet.r.Units.Length))
	s.line(`<path d="M%s 23H%s" stroke="black" stroke-width="0.6"/>`, px(pageLeft), px(pageRight))
	foot := "Read the cautions on the last page."
	if n := len(p.sheet.r.Warnings); n > 0 {
		foot = fmt.Sprintf("READ THE %s ON THE LAST PAGES BEFORE DIGGING, and the cautions.", countOf(n, "WARNING", "WARNINGS"))
	}
	s.text(pageLeft, pageHigh-9, style(letter, "start", true), foot)
	p.list, p.page, p.title, p.y = append(p.list, s), s, title, pageTop
	if p.legend != "" {
		p.words(pageLeft, letter, false, p.legend)
	}
}

// need begins a new page where there is no room for what comes.
func (p *pages) need(high float64) bool {
	if p.y+high <= pageFoot {
		return false
	}
	p.begin(p.title)
	return true
}

// style writes how letters look.
func style(size float64, anchor string, bold bool) string {
	weight := "normal"
	if bold {
		weight = "bold"
	}
	return fmt.Sprintf(`font-size="%s" text-anchor="%s" font-weight="%s"`, px(size), anchor, weight)
}

// cutShort leaves off what does not fit.
func cutShort(words string, most int) string {
	runes := []rune(Plain(words))
	if len(runes) <= most {
		return string(runes)
	}
	return string(runes[:most-3]) + "..."
}

// wide is how wide words are, reckoned generously: no less than 0.62 of the height a
// letter, and more where they are wide ones.
func wide(words string, size float64) float64 {
	units := 0.0
	for _, r := range words {
		switch {
		case strings.ContainsRune("MWmw", r):
			units += 0.95
		case r >= 'A' && r <= 'Z':
			units += 0.74
		case strings.ContainsRune("iljtf.,:;'|! ()", r):
			units += 0.4
		default:
			units += 0.64
		}
	}
	return size * max(units, 0.62*float64(utf8.RuneCountInString(words)))
}

// heading writes a heading.
func (p *pages) heading(words string) {
	p.need(3 * pitch)
	p.y += 3
	p.page.text(pageLeft, p.y, style(5, "start", true), cutShort(words, 60))
	p.y += pitch + 1
}

// words writes text over as many lines as it takes, from a place to the right edge.
func (p *pages) words(left float64, size float64, bold bool, text string) {
	line := ""
	put := func() {
		p.need(size * 1.5)
		p.page.text(left, p.y, style(size, "start", bold), line)
		p.y += size * 1.5
		line = ""
	}
	room := pageRight - left
	for word := range strings.FieldsSeq(Plain(text)) {
		for utf8.RuneCountInString(word) > 60 {
			cut := []rune(word)
			word = string(cut[60:])
			if line != "" {
				put()
			}
			line = string(cut[:60])
			put()
		}
		if line != "" && wide(line+" "+word, size) > room {
			put()
		}
		line = strings.TrimSpace(line + " " + word)
	}
	if line != "" {
		put()
	}
}

// column is a column of a table: where its words end, or begin.
type column struct {
	x      float64
	anchor string
	bold   bool
	room   float64 // words that are wider are written smaller
	strong string  // words that are bold even so
}

// size is how large words are written in the column.
func (c *column) size(words string) float64 {
	return letter * min(1, c.room/max(wide(words, letter), 1e-3))
}

// rows writes a table, its heading again on every page.
func (p *pages) rows(columns []column, heading []string, rows [][]string) {
	head := func() {
		for i, c := range columns {
			p.page.text(c.x, p.y, style(3.2, c.anchor, false), heading[i])
		}
		p.y += pitch
	}
	p.need(3 * pitch)
	head()
	for k, row := range rows {
		if p.need(pitch) {
			head()
		}
		if k%2 == 0 {
			p.page.line(`<rect x="%s" y="%s" width="%s" height="%s" fill="#ececec"/>`, px(pageLeft-1), px(p.y-4.6), px(pageRight-pageLeft+2), px(pitch))
		}
		for i, c := range columns {
			p.page.text(c.x, p.y, style(c.size(row[i]), c.anchor, c.bold || row[i] != "" && row[i] == c.strong), row[i])
		}
		p.y += pitch
	}
	p.y += 2
}
