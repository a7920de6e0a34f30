package report_test

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/base64"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"barrow/tin"
	"barrow/volume/report"
	"barrow/volume/takeoff"
)

// demoReport is the report of the demo's job, with an instrument and pegs set back.
var demoReport = sync.OnceValues(func() (*takeoff.ReportResult, error) {
	job, err := takeoff.Load(context.Background(), os.DirFS("../../cmd/barrow/demo"), "job.toml", takeoff.DefaultLimits())
	if err != nil {
		return nil, err
	}
	backsight := 1.245
	r, err := takeoff.Report(context.Background(), job, takeoff.ReportOptions{SetOut: takeoff.SetOutOptions{Back: []float64{6}, Backsight: &backsight}})
	if err == nil {
		r.Date = "2030-06-29"
	}
	return r, err
})

func pageOf(t *testing.T, r *takeoff.ReportResult) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, report.HTML(&b, r))
	return b.String()
}

func demoPage(t *testing.T) (string, *takeoff.ReportResult) {
	t.Helper()
	r, err := demoReport()
	require.NoError(t, err)
	return pageOf(t, r), r
}

// has looks for words in a page, which is too long to be shown where they lack.
func has(t *testing.T, page, words string) {
	t.Helper()
	assert.True(t, strings.Contains(page, words), "the page lacks %q", words)
}

// parsed is a page as a browser reads it.
func parsed(t *testing.T, page string) *html.Node {
	t.Helper()
	root, err := html.Parse(strings.NewReader(page))
	require.NoError(t, err)
	return root
}

// elements are all of some names, in order; all elements without a name.
func elements(root *html.Node, names ...string) (list []*html.Node) {
	for n := range root.Descendants() {
		if n.Type == html.ElementNode && (len(names) == 0 || slices.Contains(names, n.Data)) {
			list = append(list, n)
		}
	}
	return list
}

func attribute(n *html.Node, key string) string {
	for _, a := range n.Attr {
		if a.Key == key {
			return a.Val
		}
	}
	return ""
}

// wordsOf is the text in an element, with single blanks.
func wordsOf(n *html.Node) string {
	var b strings.Builder
	for c := range n.Descendants() {
		if c.Type == html.TextNode {
			b.WriteString(c.Data + " ")
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

// The parts of the page in order, their headings, and what tables have in them.
func TestHTMLOutline(t *testing.T) {
	t.Parallel()
	page, _ := demoPage(t)
	var b strings.Builder
	for _, n := range elements(parsed(t, page), "header", "nav", "main", "section", "footer", "h1", "h2", "h3", "table", "figure", "dl", "ol") {
		switch n.Data {
		case "h1", "h2", "h3":
			fmt.Fprintf(&b, "%s %s\n", n.Data, wordsOf(n))
		case "table":
			var heads []string
			for _, h := range elements(n, "th") {
				if attribute(h, "scope") == "col" {
					heads = append(heads, wordsOf(h))
				}
			}
			fmt.Fprintf(&b, "  table %q: %d rows; %s\n", wordsOf(elements(n, "caption")[0]), len(elements(n, "tr")), strings.Join(heads, " | "))
		case "figure":
			fmt.Fprintf(&b, "  figure %q\n", wordsOf(elements(n, "figcaption")[0]))
		case "dl":
			fmt.Fprintf(&b, "  dl of %d\n", len(elements(n, "dt")))
		default:
			fmt.Fprintf(&b, "%s %s\n", n.Data, attribute(n, "id"))
		}
	}
	golden(t, "page_outline.txt", []byte(b.String()))
}

// What assistive technology needs: one language, one first heading, no order skipped,
// landmarks, names for tables, their cells and pictures, and no id twice.
func TestHTMLIsAccessible(t *testing.T) {
	page, _ := demoPage(t)
	root := parsed(t, page)
	assert.Equal(t, "en", attribute(elements(root, "html")[0], "lang"))
	assert.NotEmpty(t, wordsOf(elements(root, "title")[0]))
	for _, name := range []string{"h1", "header", "nav", "main", "footer"} {
		assert.Len(t, elements(root, name), 1, name)
	}
	level := 0
	for _, h := range elements(root, "h1", "h2", "h3", "h4") {
		now := int(h.Data[1] - '0')
		assert.LessOrEqual(t, now, level+1, wordsOf(h))
		assert.NotEmpty(t, wordsOf(h))
		level = now
	}
	ids := map[string]bool{}
	for _, n := range elements(root) {
		if id := attribute(n, "id"); id != "" {
			assert.False(t, ids[id], "id %s twice", id)
			ids[id] = true
		}
	}
	for _, n := range elements(root) {
		for _, key := range []string{"aria-labelledby", "aria-describedby"} {
			if id := attribute(n, key); id != "" {
				assert.True(t, ids[id], "%s of %s: %s", key, n.Data, id)
			}
		}
		if to, ok := strings.CutPrefix(attribute(n, "href"), "#"); ok {
			assert.True(t, ids[to], "href %s", to)
		}
	}
	for _, s := range elements(root, "section") {
		assert.NotEmpty(t, attribute(s, "aria-labelledby"))
	}
	for _, table := range elements(root, "table") {
		captions := elements(table, "caption")
		require.Len(t, captions, 1)
		assert.NotEmpty(t, wordsOf(captions[0]))
		heads := elements(table, "th")
		assert.NotEmpty(t, heads, wordsOf(captions[0]))
		for _, h := range heads {
			assert.Contains(t, []string{"col", "row", "rowgroup"}, attribute(h, "scope"))
			assert.NotEmpty(t, wordsOf(h), wordsOf(captions[0]))
		}
	}
	for _, s := range elements(root, "svg") {
		named := attribute(s, "aria-hidden") == "true" || attribute(s, "aria-labelledby") != "" || attribute(s.Parent, "aria-label") != ""
		assert.True(t, named, "a picture without a name")
	}
}

// The page loads nothing and may load nothing, and runs no script but its own.
func TestHTMLStandsAlone(t *testing.T) {
	page, _ := demoPage(t)
	root := parsed(t, page)
	policy := ""
	for _, m := range elements(root, "meta") {
		if attribute(m, "http-equiv") == "Content-Security-Policy" {
			policy = attribute(m, "content")
		}
	}
	hash := func(n *html.Node) string {
		sum := sha256.Sum256([]byte(n.FirstChild.Data))
		return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
	}
	styles, scripts := elements(root, "style"), elements(root, "script")
	require.Len(t, styles, 1)
	require.Len(t, scripts, 2)
	assert.Equal(t, "application/json", attribute(scripts[0], "type"))
	assert.Equal(t, "default-src 'none'; style-src "+hash(styles[0])+"; script-src "+hash(scripts[1])+"; base-uri 'none'; form-action 'none'", policy)
	for _, n := range elements(root) {
		assert.NotContains(t, []string{"link", "img", "iframe", "object", "embed", "image", "base", "form"}, n.Data)
		for _, a := range n.Attr {
			assert.NotContains(t, []string{"src", "srcset", "style", "action", "data", "xlink:href"}, a.Key)
			assert.False(t, strings.HasPrefix(a.Key, "on"), a.Key)
			if a.Key == "href" {
				assert.True(t, strings.HasPrefix(a.Val, "#"), a.Val)
			}
			if strings.Contains(a.Val, "url(") {
				assert.Regexp(t, `^url\(#[a-z0-9-]+\)$`, a.Val)
			}
		}
	}
	assert.Empty(t, regexp.MustCompile(`https?://`).FindAllString(strings.ReplaceAll(page, "http://www.w3.org/2000/svg", ""), -1))
	assert.NotContains(t, styles[0].FirstChild.Data, "url(")
	assert.Less(t, len(page), 1<<20)
}

// Colours are those of cut and fill, and black to white.
func TestHTMLColours(t *testing.T) {
	page, _ := demoPage(t)
	puOr := []string{"#b35806", "#e08214", "#f1a340", "#fdb863", "#fee0b6", "#f7f7f7", "#d8daeb", "#b2abd2", "#998ec3", "#8073ac", "#542788"}
	for _, c := range regexp.MustCompile(`#(?:[0-9a-f]{6}|[0-9a-f]{3})\b`).FindAllString(page, -1) {
		grey := strings.Count(c, c[1:2]) == len(c)-1 || len(c) == 7 && c[1:3] == c[3:5] && c[3:5] == c[5:7]
		assert.True(t, grey || slices.Contains(puOr, c), c)
	}
}

// Every figure of the sheet's volumes stands in the page as it does there.
func TestHTMLHasTheFiguresOfTheText(t *testing.T) {
	page, r := demoPage(t)
	root := parsed(t, page)
	cells := map[string]bool{}
	for _, row := range elements(root, "tr") {
		cells[wordsOf(row)] = true
	}
	sheet := between(t, text(t, r.Takeoff), "VOLUMES", "HOW SURE") + between(t, text(t, r.Takeoff), "LAYERS", "MATERIALS")
	rows := regexp.MustCompile(`(?m)^ {4}(\S.*?) {2,}([0-9.]+) +([0-9.]+)$`).FindAllStringSubmatch(sheet, -1)
	require.Greater(t, len(rows), 15)
	for _, row := range rows {
		assert.True(t, cells[strings.Join(row[1:], " ")], row)
	}
	words := wordsOf(root)
	for _, want := range []string{"64.500 m 120 mm ABOVE benchmark BM1 64.380", "cut exceeds fill by 27.0 m³", "no clearance given"} {
		assert.Contains(t, words, want)
	}
	for _, in := range r.Takeoff.Inputs {
		assert.Contains(t, words, in.SHA256)
	}
	assert.Contains(t, words, "barrow "+takeoff.Version)
	assert.Contains(t, words, "2030-06-29")
	assert.Contains(t, words, "Digging kills.")
	assert.NotRegexp(t, `(?i)\bsafe(ly|ty)?\b`, words)
	assert.NotContains(t, words, "NaN")
}

// depthsIn are the depths in a page, as its script reads them.
type depthsIn struct {
	Columns, Rows, Decimals, NoDepth int
	Step, East, North, X, Y, Pitch   float64
	Quantum                          float64
	Unit, Data, NoWords              string
	Places                           int
}

func depthsOf(t *testing.T, page string) (d depthsIn, depths []float64) {
	t.Helper()
	for _, s := range elements(parsed(t, page), "script") {
		if attribute(s, "id") == "depths" {
			require.NoError(t, json.Unmarshal([]byte(s.FirstChild.Data), &d))
		}
	}
	data, err := base64.StdEncoding.DecodeString(d.Data)
	require.NoError(t, err)
	for i := 0; i < len(data); i += 2 {
		word := int(int16(binary.LittleEndian.Uint16(data[i:])))
		if word == d.NoDepth {
			depths = append(depths, math.NaN())
		} else {
			depths = append(depths, float64(word)*d.Quantum)
		}
	}
	return d, depths
}

// The depths in the page are those of the result, to half of what it says it rounds to.
func TestHTMLDepths(t *testing.T) {
	page, r := demoPage(t)
	d, depths := depthsOf(t, page)
	assert.Equal(t, []int{r.Depths.Columns, r.Depths.Rows}, []int{d.Columns, d.Rows})
	assert.Equal(t, []float64{r.Depths.Step, r.Depths.Origin[0], r.Depths.Origin[1]}, []float64{d.Step, d.East, d.North})
	assert.Equal(t, 0.001, d.Quantum)
	has(t, page, "rounded to 0.001\u00a0m")
	require.Len(t, depths, len(r.Depths.Depths))
	some := 0
	for i, depth := range r.Depths.Depths {
		if math.IsNaN(depth) {
			assert.True(t, math.IsNaN(depths[i]))
			continue
		}
		some++
		assert.InDelta(t, depth, depths[i], d.Quantum/2+1e-12)
	}
	assert.Greater(t, some, 1000)
	assert.Equal(t, 2, d.Places)
	assert.Equal(t, "no works here", d.NoWords)
	// Places in the drawing fit those on the grid.
	assert.InDelta(t, 1000/r.Takeoff.Plan.Ratio*d.Step, d.Pitch, 1e-9)
}

// Depths beyond 16 bits of thousandths are rounded more, and the page says so.
func TestHTMLDeepDepths(t *testing.T) {
	_, demo := demoPage(t)
	for greatest, quantum := range map[float64]float64{32.767: 0.001, -32.8: 0.01, 4000: 1, 1e6: 100} {
		r := *demo
		r.Depths = &takeoff.DepthGrid{Step: 1, Columns: 2, Rows: 1, Depths: []float64{greatest, math.NaN()}}
		d, depths := depthsOf(t, pageOf(t, &r))
		assert.Equal(t, quantum, d.Quantum, greatest)
		assert.InDelta(t, greatest, depths[0], quantum/2)
	}
}

// Inside a pad without ground there are works, only no depth to read; and neighbours of a
// fine grid are told apart.
func TestHTMLDepthsWithoutGround(t *testing.T) {
	_, demo := demoPage(t)
	r := *demo
	r.Takeoff = new(*demo.Takeoff)
	r.Takeoff.Total.UncoveredArea = 400
	r.Depths = &takeoff.DepthGrid{Step: 0.0025, Columns: 2, Rows: 1, Depths: []float64{1, math.NaN()}}
	d, _ := depthsOf(t, pageOf(t, &r))
	assert.Equal(t, "no works here, or no ground", d.NoWords)
	assert.Equal(t, 4, d.Places)
}

// What is said of a name that is too long for a page stays.
func TestHTMLWarningOfALongName(t *testing.T) {
	_, demo := demoPage(t)
	r := *demo
	r.Warnings = []takeoff.Remark{{Code: "clearance_broken", Message: strings.Repeat("W", 10000) + " is broken: 11.6 m2 of the works are past its line"}}
	assert.Contains(t, wordsOf(parsed(t, pageOf(t, &r))), "WWW is broken: 11.6 m² of the works are past its line")
}

// A report of nothing but a takeoff has nothing but that, and no empty parts.
func TestHTMLWithoutParts(t *testing.T) {
	_, demo := demoPage(t)
	r := &takeoff.ReportResult{Takeoff: new(*demo.Takeoff), Left: []takeoff.Omission{{Code: "failed", Message: "sections: no alignment"}}}
	r.Takeoff.Materials, r.Takeoff.Uncertainty = nil, nil
	root := parsed(t, pageOf(t, r))
	var ids []string
	for _, s := range elements(root, "section") {
		ids = append(ids, attribute(s, "id"))
		assert.Greater(t, len(wordsOf(s)), 50, attribute(s, "id"))
	}
	assert.Equal(t, []string{"figures", "dig", "plan", "quantities", "method", "words", "left-out", "cautions"}, ids)
	assert.Contains(t, wordsOf(root), "could not be made sections: no alignment")
	assert.Len(t, elements(root, "script"), 1)

	r.Takeoff.Plan = nil
	require.ErrorContains(t, report.HTML(&bytes.Buffer{}, r), "plan")
	require.Error(t, report.HTML(&bytes.Buffer{}, &takeoff.ReportResult{}))
	_, demo = demoPage(t)
	require.ErrorContains(t, report.HTML(broken{}, demo), "report: full")
}

type broken struct{}

func (broken) Write([]byte) (int, error) { return 0, errors.New("full") }

// Names of strangers stay words: whatever they are, the page has the same kinds of
// elements and attributes, and no script but its own. One of a quarter of a million letters
// is cut in one pass: with one for each letter, this takes hours.
func TestHTMLHostileNames(t *testing.T) {
	t.Parallel()
	kinds := func(page string) map[string]bool {
		found := map[string]bool{}
		for _, n := range elements(parsed(t, page)) {
			key := n.Data
			for _, a := range n.Attr {
				key += " " + a.Key
			}
			found[key] = true
		}
		return found
	}
	tame := pageOf(t, namedReport(t, "tame name"))
	known := kinds(tame)
	hostile := `javascript:alert(1) </script><script>alert(1)</script> "><img src=x onerror=alert(1)> 'onload='alert(1) ]]><svg onload=alert(1)> --><b> ` +
		"</style></title></text></svg> {{.}}${x}` &lt;b&gt;&amp; 🚜 \u202ereversed\u202c a\x00b\x1b[31mc\x07\r\n\td\u2028e \xff\xfe"
	for _, name := range []string{hostile, strings.Repeat("W", 10000), strings.Repeat("long words ", 1000), strings.Repeat("é", 1<<18)} {
		page := pageOf(t, namedReport(t, name))
		for kind := range kinds(page) {
			assert.True(t, known[kind], "%.40q: %s", name, kind)
		}
		scripts := elements(parsed(t, page), "script")
		require.Len(t, scripts, 2, "%.40q", name)
		var d depthsIn
		assert.NoError(t, json.Unmarshal([]byte(scripts[0].FirstChild.Data), &d), "%.40q", name)
		assert.NotRegexp(t, "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\u2028\u202e]", page, "%.40q", name)
		assert.Less(t, len(page), 1<<20, "%.40q", name)
		assert.Less(t, len(wordsOf(elements(parsed(t, page), "h1")[0])), 1000)
		switch name[0] {
		case 'j':
			assert.Contains(t, wordsOf(parsed(t, page)), `&lt;b&gt;&amp; 🚜 reversed a b [31mc d e ??`)
		default:
			assert.Regexp(t, `… \([0-9]+ characters left out\)`, page)
		}
	}
}

// namedReport is a report of a small job in which everything that has a name has this one.
func namedReport(t *testing.T, name string) *takeoff.ReportResult {
	t.Helper()
	job := &takeoff.Job{
		Name: name, Units: tin.Metre,
		Surveys: []takeoff.Survey{{
			Name: name, Benchmark: &takeoff.Mark{Name: name, Plan: 8, Measured: 8}, Checks: []takeoff.Mark{{Name: name, Plan: 8, Measured: 8.1}},
			Points: []tin.Point{{E: 0, N: 0, Level: 11, Code: name}, {E: 60, N: 0, Level: 11.5}, {E: 60, N: 40, Level: 10}, {E: 0, N: 40, Level: 10.5}, {E: 20, N: 20, Level: 10.2}},
		}},
		Pads: []takeoff.Pad{{
			Name: name, Outline: box(10, 10, 30, 30), Finished: 10.9, Layers: []takeoff.Layer{{Name: name, Thickness: 0.15}}, Margin: 1,
			Cut: takeoff.Batter{Along: 1}, Fill: takeoff.Batter{Along: 2},
		}},
		Inputs: []takeoff.Input{{Path: name, SHA256: strings.Repeat("0", 64), Points: 5}},
	}
	backsight := 1.4
	r, err := takeoff.Report(t.Context(), job, takeoff.ReportOptions{
		SetOut: takeoff.SetOutOptions{Backsight: &backsight}, Crosscheck: takeoff.CrosscheckOptions{Spacing: 1},
	})
	require.NoError(t, err)
	r.Date = name
	r.Warnings = append(r.Warnings, takeoff.Remark{Code: "made up", Message: name})
	return r
}

// Two hundred sections: all areas in the table, a few of them drawn, and the page says so.
func TestHTMLManySections(t *testing.T) {
	t.Parallel()
	_, demo := demoPage(t)
	r := *demo
	r.Sections = new(*demo.Sections)
	a := r.Sections.Alignments[0]
	a.Sections, a.Spans = many(a.Sections, 200), many(a.Spans, 199)
	r.Sections.Alignments = []takeoff.AlignmentResult{a}
	page := pageOf(t, &r)
	root := parsed(t, page)
	var figures, tables []int
	for _, s := range elements(root, "section") {
		if attribute(s, "id") == "sections" {
			figures = append(figures, len(elements(s, "figure")))
			for _, table := range elements(s, "table") {
				tables = append(tables, len(elements(table, "tr")))
			}
		}
	}
	assert.Equal(t, []int{8}, figures)
	assert.Contains(t, tables, 202) // with two rows of headings
	assert.Regexp(t, `8 of the 1\d\d sections with works are drawn here`, wordsOf(root))

	// A table that is too long for any page is cut, and says so.
	a.Sections, a.Spans = many(a.Sections, 5000), many(a.Spans, 4999)
	r.Sections.Alignments = []takeoff.AlignmentResult{a}
	page = pageOf(t, &r)
	has(t, page, "4000 further rows are left out of this page: it shows at most 1000 of a table.")
	assert.Less(t, len(page), 5<<20)

	// So are alignments, and their pictures.
	r.Sections.Alignments = many(demo.Sections.Alignments, 300)
	page = pageOf(t, &r)
	has(t, page, "200 further alignments are left out of this page")
	assert.Equal(t, 101, len(elements(parsed(t, page), "figure"))) // with the plan
	assert.Less(t, len(page), 5<<20)
}

// Hundreds of pads do not make a page that nobody can open, and what they come to stays.
func TestHTMLManyPads(t *testing.T) {
	t.Parallel()
	_, demo := demoPage(t)
	r := *demo
	r.Takeoff = new(*demo.Takeoff)
	r.Takeoff.Pads = many(demo.Takeoff.Pads, 800)
	r.Takeoff.Plan = new(*demo.Takeoff.Plan)
	r.Takeoff.Plan.Outlines = many(demo.Takeoff.Plan.Outlines, 800)
	page := pageOf(t, &r)
	assert.Less(t, len(page), 5<<20)
	root := parsed(t, page)
	assert.Contains(t, wordsOf(root), "700 further pads are left out of this page")
	for _, table := range elements(root, "table") {
		if caption := wordsOf(elements(table, "caption")[0]); caption == "Cut and fill" {
			assert.Contains(t, wordsOf(table), "further rows are left out")
			assert.Contains(t, wordsOf(table), "ALL PADS net void 258.0 285.0 margin 40.2 23.7 batters 67.7 30.3 as dug 366.0 338.9")
			assert.LessOrEqual(t, len(elements(table, "tr")), 1500) // names of groups count for none
		}
	}
}

// many repeats a list until it is so long.
func many[T any](list []T, n int) (out []T) {
	for i := range n {
		out = append(out, list[i%len(list)])
	}
	return out
}
