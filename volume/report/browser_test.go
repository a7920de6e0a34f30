//go:build browser

package report_test

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/volume/takeoff"
)

// browser is a page in a headless browser, with what it complains of and asks for.
type browser struct {
	*testing.T
	ctx context.Context
	url string

	mu       sync.Mutex
	said     []string // errors, warnings, and messages on its console
	requests []string
}

// open shows a page in a browser of its own; with scripts or without.
func open(t *testing.T, page string, scripts bool) *browser {
	t.Helper()
	path := filepath.Join(t.TempDir(), "report.html")
	require.NoError(t, os.WriteFile(path, []byte(page), 0o666))
	b := &browser{T: t, url: "file://" + path}
	ctx, stop := context.WithTimeout(t.Context(), time.Minute)
	t.Cleanup(stop)
	ctx, end := chromedp.NewContext(ctx, chromedp.WithListener(b.hear),
		chromedp.WithAllocatorOptions(chromedp.ExecPath(browserPath(t)), chromedp.NoSandbox, chromedp.DisableGPU))
	t.Cleanup(end)
	b.ctx = ctx
	b.do(func(ctx context.Context, t *chromedp.Target) (chromedp.Void, error) {
		_, err := cdp.Call(ctx, t, network.Enable, network.EnableParams{})
		return chromedp.Void{}, err
	})
	if !scripts {
		b.do(func(ctx context.Context, t *chromedp.Target) (chromedp.Void, error) {
			_, err := cdp.Call(ctx, t, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true})
			return chromedp.Void{}, err
		})
	}
	b.size(1280, 900)
	b.do(chromedp.Navigate(b.url))
	return b
}

// browserPath finds a browser: that of the environment variable BARROW_BROWSER, or one
// that is installed.
func browserPath(t *testing.T) string {
	t.Helper()
	for _, name := range []string{os.Getenv("BARROW_BROWSER"), "chromium-headless-shell", "chromium", "chrome"} {
		if path, err := exec.LookPath(name); name != "" && err == nil {
			return path
		}
	}
	t.Fatal("no browser: install chromium-headless-shell, or name one in BARROW_BROWSER")
	return ""
}

// hear notes what the browser tells.
func (b *browser) hear(event any) {
	b.mu.Lock()
	defer b.mu.Unlock()
	switch e := event.(type) {
	case *network.EventRequestWillBeSent:
		b.requests = append(b.requests, e.Request.URL)
	case *runtime.EventConsoleAPICalled:
		b.said = append(b.said, fmt.Sprint(e.Type))
	case *runtime.EventExceptionThrown:
		b.said = append(b.said, e.ExceptionDetails.Text)
	case *log.EventEntryAdded:
		b.said = append(b.said, e.Entry.Text)
	}
}

// quiet holds that the page asked for nothing but itself, and that nothing went wrong.
func (b *browser) quiet() {
	b.Helper()
	b.mu.Lock()
	defer b.mu.Unlock()
	assert.Empty(b, b.said)
	assert.Equal(b, []string{b.url}, b.requests)
}

func (b *browser) do(steps ...chromedp.Action[chromedp.Void]) {
	b.Helper()
	require.NoError(b, chromedp.Do(b.ctx, steps...))
}

func (b *browser) size(wide, high int64) { b.do(chromedp.EmulateViewport(wide, high)) }

// ask evaluates an expression in the page.
func ask[T any](b *browser, expression string) T {
	b.Helper()
	v, err := chromedp.Run(b.ctx, chromedp.Evaluate[T](expression))
	require.NoError(b, err, expression)
	return v
}

// onScreen returns a function from places on the grid to places on the screen, found by
// two corners of the first outline as they are drawn.
func onScreen(b *browser, r *takeoff.ReportResult) func(e, n float64) (x, y float64) {
	b.Helper()
	b.do(chromedp.Evaluate[chromedp.Void](`document.getElementById("plan-sheet").scrollIntoView(), void 0`))
	type drawn struct {
		D           string
		A, D2, E, F float64
	}
	got := ask[drawn](b, `(() => {
		const outline = document.querySelector('#plan-outlines path[stroke-width="0.75"]');
		const m = outline.getScreenCTM();
		return {D: outline.getAttribute("d"), A: m.a, D2: m.d, E: m.e, F: m.f};
	})()`)
	var at [2][2]float64
	for i, corner := range regexp.MustCompile(`([0-9.]+) ([0-9.]+)`).FindAllStringSubmatch(got.D, 2) {
		x, _ := strconv.ParseFloat(corner[1], 64)
		y, _ := strconv.ParseFloat(corner[2], 64)
		at[i] = [2]float64{got.A*x + got.E, got.D2*y + got.F}
	}
	first, second := r.Takeoff.Plan.Outlines[0][0][0], r.Takeoff.Plan.Outlines[0][0][1]
	scale := math.Hypot(at[1][0]-at[0][0], at[1][1]-at[0][1]) / math.Hypot(second[0]-first[0], second[1]-first[1])
	return func(e, n float64) (x, y float64) { return at[0][0] + (e-first[0])*scale, at[0][1] - (n-first[1])*scale }
}

// reads is what the page must say of a place of the grid of depths.
func reads(g *takeoff.DepthGrid, column, row int) string {
	at := fmt.Sprintf(" E %.2f N %.2f", g.Origin[0]+float64(column)*g.Step, g.Origin[1]+float64(row)*g.Step)
	switch d := g.Depths[row*g.Columns+column]; {
	case math.IsNaN(d):
		return "no works here" + at
	case d > 0:
		return fmt.Sprintf("cut %.3f m", d) + at
	default:
		return fmt.Sprintf("fill %.3f m", -d) + at
	}
}

func (b *browser) readout() string {
	return strings.Join(strings.Fields(ask[string](b, `[...document.querySelector(".readout").children].map((c) => c.textContent).join(" ")`)), " ")
}

// The pointer, and the arrow keys, read the result's own depths off the plan.
func TestBrowserReadsDepths(t *testing.T) {
	page, r := demoPage(t)
	b := open(t, page, true)
	g := r.Depths
	deepest, highest := 0, 0
	for i, d := range g.Depths {
		if d > g.Depths[deepest] || math.IsNaN(g.Depths[deepest]) {
			deepest = i
		}
		if d < g.Depths[highest] || math.IsNaN(g.Depths[highest]) {
			highest = i
		}
	}
	place := onScreen(b, r)
	outside := slices.IndexFunc(g.Depths, math.IsNaN)
	for _, i := range []int{deepest, highest, outside, len(g.Depths) / 2} {
		column, row := i%g.Columns, i/g.Columns
		x, y := place(g.Origin[0]+float64(column)*g.Step, g.Origin[1]+float64(row)*g.Step)
		b.do(chromedp.MouseEvent(chromedp.MouseMoved, x, y))
		assert.Equal(t, reads(g, column, row), b.readout())
	}
	assert.Greater(t, g.Depths[deepest], 2.0)

	column, row := deepest%g.Columns, deepest/g.Columns
	x, y := place(g.Origin[0]+float64(column)*g.Step, g.Origin[1]+float64(row)*g.Step)
	b.do(chromedp.MouseEvent(chromedp.MouseMoved, x, y), chromedp.Focus("#plan-sheet"))
	for _, key := range []struct {
		key         string
		east, north int
	}{{kb.ArrowRight, 1, 0}, {kb.ArrowDown, 0, -1}, {kb.ArrowLeft, -1, 0}, {kb.ArrowUp, 0, 1}} {
		b.do(chromedp.KeyEvent(key.key))
		column, row = column+key.east, row+key.north
		assert.Equal(t, reads(g, column, row), b.readout())
	}
	b.do(chromedp.KeyEvent(kb.ArrowRight, chromedp.KeyModifiers(chromedp.ModifierShift)))
	assert.Equal(t, reads(g, column+10, row), b.readout())
	b.quiet()
}

// Each switch hides what it names and shows it again; all but the pegs begin shown.
func TestBrowserSwitches(t *testing.T) {
	page, _ := demoPage(t)
	b := open(t, page, true)
	names := ask[[]string](b, `[...document.querySelectorAll("#layers li")].map((i) => i.dataset.groups)`)
	require.Greater(t, len(names), 8)
	for i, groups := range names {
		shown := func() []string {
			return ask[[]string](b, fmt.Sprintf(`%q.split(" ").map((id) => getComputedStyle(document.getElementById(id)).visibility)`, groups))
		}
		box := fmt.Sprintf("#layers li:nth-child(%d) input", i+1)
		states := []string{"visible", "hidden", "visible"}
		if strings.Contains(groups, "pegs") {
			states = []string{"hidden", "visible", "hidden"}
		}
		for k, state := range states {
			for _, s := range shown() {
				assert.Equal(t, state, s, groups)
			}
			if k < 2 {
				b.do(chromedp.Click(box))
			}
		}
	}
	b.quiet()
}

// Nothing makes the page wider than its window, and what has the focus shows it.
func TestBrowserWidthsAndFocus(t *testing.T) {
	page, _ := demoPage(t)
	b := open(t, page, true)
	for _, wide := range []int64{320, 390, 768, 1280} {
		b.size(wide, 844)
		assert.LessOrEqual(t, ask[int](b, "document.documentElement.scrollWidth"), int(wide))
	}
	b.size(390, 844)
	for range 6 {
		b.do(chromedp.KeyEvent(kb.Tab))
		assert.NotEqual(t, "none", ask[string](b, "getComputedStyle(document.activeElement).outlineStyle"), ask[string](b, "document.activeElement.outerHTML"))
	}
	reached := ask[int](b, `[...document.querySelectorAll(".scroll")].filter((s) => s.scrollWidth > s.clientWidth && s.tabIndex !== 0).length`)
	assert.Zero(t, reached, "places that scroll and no key reaches")
	b.quiet()

	// A name without an end does not push it apart either.
	b = open(t, pageOf(t, namedReport(t, strings.Repeat("W", 10000))), true)
	b.size(390, 844)
	assert.LessOrEqual(t, ask[int](b, "document.documentElement.scrollWidth"), 390)
	b.quiet()
}

// Without scripts all of it is there, and nothing that only a script could make work.
func TestBrowserWithoutScript(t *testing.T) {
	page, r := demoPage(t)
	b := open(t, page, false)
	text := ask[string](b, "document.body.innerText")
	for _, words := range []string{"366.0", "Level to dig to", "Cross-check", "Set-out", "where a further spot would help", r.SetOut.Pegs[0].Number[len("workshop "):], "Local codes and law"} {
		assert.Contains(t, text, words)
	}
	hidden := ask[[]string](b, `[...document.querySelectorAll("main *:not(script):not(defs):not(defs *)")].filter((e) => getComputedStyle(e).visibility === "hidden" || getComputedStyle(e).display === "none").map((e) => e.outerHTML.slice(0, 80))`)
	assert.Empty(t, hidden)
	assert.Zero(t, ask[int](b, `document.querySelectorAll("input, button, .readout").length`))
	empty := ask[[]string](b, `[...document.querySelectorAll("section, table, figure, ul, ol, dl, p, div")].filter((e) => e.getBoundingClientRect().height < 2).map((e) => e.outerHTML.slice(0, 80))`)
	assert.Empty(t, empty)
	b.quiet()
}

// Printed it is A4, as many pages as it should be and none blank.
func TestBrowserPrints(t *testing.T) {
	page, _ := demoPage(t)
	b := open(t, page, true)
	pdf, err := chromedp.Run(b.ctx, chromedp.PrintToPDF(chromedp.PDFPreferCSSPageSize(), chromedp.PDFPrintBackground()))
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "report.pdf")
	require.NoError(t, os.WriteFile(path, pdf, 0o666))
	info, err := exec.Command("pdfinfo", path).Output()
	require.NoError(t, err)
	assert.Contains(t, string(info), "(A4)")
	pages := regexp.MustCompile(`Pages: +([0-9]+)`).FindSubmatch(info)
	require.NotNil(t, pages)
	count, err := strconv.Atoi(string(pages[1]))
	require.NoError(t, err)
	assert.InDelta(t, 19, count, 2)
	text, err := exec.Command("pdftotext", "-layout", path, "-").Output()
	require.NoError(t, err)
	for i, page := range bytes.Split(bytes.TrimSuffix(text, []byte("\f")), []byte("\f")) {
		assert.Greater(t, len(bytes.Fields(page)), 40, "page %d", i+1)
		assert.Contains(t, string(page), fmt.Sprintf("%d / %d", i+1, count))
	}
	assert.NotContains(t, string(text), "Point at the plan")
	assert.Contains(t, string(text), "zero line: cut turns to fill")
	assert.NotContains(t, string(text), "peg: corner", "what is not drawn")
	b.quiet()
}
