package report

import (
	"bytes"
	"crypto/sha256"
	_ "embed" // the page's template, style and script
	"encoding/base64"
	"errors"
	"fmt"
	"html/template"
	"io"

	"barrow/volume/takeoff"
)

//go:embed page.html.tmpl
var pageTemplate string

//go:embed page.css
var pageStyle string

//go:embed page.js
var pageScript string

// HTML writes a report as one page that needs nothing beside it: no network, no fonts, no
// other file. It shows all of the result, its numbers rounded as in [Text]; a script only
// adds switches for what is drawn on the plan and depths to read off it. Printed on A4 it
// has the same contents. The result's takeoff must have a plan, see [takeoff.Options].
//
// Names come from files of strangers: they are escaped, what could steer a screen is left
// out, and so is the middle of a text of over 2,000 characters, and what of a table goes
// beyond 1,000 rows, which the page says there.
func HTML(w io.Writer, r *takeoff.ReportResult) error {
	if r.Takeoff == nil || r.Takeoff.Plan == nil {
		return errors.New("report: the report has no takeoff with a plan")
	}
	page, err := newPage(r)
	if err != nil {
		return err
	}
	t, err := template.New("page").Parse(pageTemplate)
	if err != nil {
		return fmt.Errorf("report: %w", err)
	}
	var b bytes.Buffer
	if err := t.Execute(&b, page); err != nil {
		return fmt.Errorf("report: %w", err)
	}
	if _, err := w.Write(b.Bytes()); err != nil {
		return fmt.Errorf("report: %w", err)
	}
	return nil
}

// page is what the template lays out.
type page struct {
	Policy   string // what the page may load: itself
	Style    template.CSS
	Script   template.JS
	Job      string
	Says     string
	Date     string
	Program  string
	Warnings []string
	Figures  []htmlFigure
	Parts    []htmlPart
}

// htmlPart is a part of the page, with a heading of the second order.
type htmlPart struct {
	ID, Title string
	Blocks    []block
}

// Groups are the blocks under each heading, and those before the first.
func (p htmlPart) Groups() (groups [][]block) {
	for _, b := range p.Blocks {
		if b.Heading != "" || groups == nil {
			groups = append(groups, nil)
		}
		last := &groups[len(groups)-1]
		*last = append(*last, b)
	}
	return groups
}

func newPage(r *takeoff.ReportResult) (*page, error) {
	m := newPageMaker(r)
	p := &page{
		Policy: policy(), Style: template.CSS(pageStyle), Script: template.JS(pageScript),
		Job: cut(jobName(r.Takeoff.Job), 200), Says: printed(m.sheet.inUnits()), Date: cut(r.Date, 100),
		Program: printed(r.Takeoff.Program.Name + " " + r.Takeoff.Program.Version),
		Figures: m.figures(),
	}
	for i := range r.Warnings {
		p.Warnings = append(p.Warnings, printed(remarkWords(&r.Warnings[i])))
	}
	plan, err := planOf(m.takeoff, r.Depths)
	if err != nil {
		return nil, err
	}
	for _, part := range []htmlPart{
		{"dig", "Level to dig to", m.levels()},
		{"plan", "Plan", []block{{Plan: plan}}},
		{"quantities", "Quantities", m.quantities()},
		{"sure", "How sure", m.sure()},
		{"crosscheck", "Cross-check", m.crosscheck()},
		{"price", "Price", m.price()},
		{"sections", "Sections", m.sections()},
		{"setout", "Set-out", m.setOut()},
		{"method", "How the figures came about", m.cameAbout()},
		{"words", "Words and method", words()},
		{"left-out", "Not in these figures", m.leftOut()},
		{"notes", "Notes", points(r.Notes, remarkWords)},
		{"cautions", "Cautions", m.cautions()},
	} {
		if len(part.Blocks) > 0 {
			p.Parts = append(p.Parts, part)
		}
	}
	return p, nil
}

// policy lets the page load nothing, and run no script and use no style but its own.
func policy() string {
	hash := func(text string) string {
		sum := sha256.Sum256([]byte(text))
		return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
	}
	return "default-src 'none'; style-src " + hash(pageStyle) + "; script-src " + hash(pageScript) + "; base-uri 'none'; form-action 'none'"
}

// pageMaker words the parts of a page, with the sheets of the text.
type pageMaker struct {
	r       *takeoff.ReportResult
	takeoff *takeoff.Result // with squares and cubes in its units
	sheet   *text           // empty: for words and numbers
}

func newPageMaker(r *takeoff.ReportResult) *pageMaker {
	m := &pageMaker{r: r, takeoff: new(*r.Takeoff)}
	m.takeoff.Units = raisedUnits(m.takeoff.Units)
	m.sheet = m.text()
	return m
}

// text is an empty sheet of the takeoff.
func (m *pageMaker) text() *text {
	return &text{paper: paper{n: newNumbers(m.takeoff)}, r: m.takeoff}
}
