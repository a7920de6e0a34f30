package report_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/report"
	"barrow/volume/takeoff"
)

func planOf(t testing.TB, job *takeoff.Job, triangles bool) *takeoff.Result {
	t.Helper()
	r, err := takeoff.Run(t.Context(), job, takeoff.Options{Plan: &takeoff.PlanOptions{Triangles: triangles}})
	require.NoError(t, err)
	return r
}

func planSVG(t testing.TB, r *takeoff.Result) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, report.PlanSVG(&b, r))
	return b.String()
}

// hillJob is a pad of a size in rolling ground, at the middle of a survey three times as
// wide, with a spot at each of n by n places.
func hillJob(size float64, n int) *takeoff.Job {
	job := &takeoff.Job{Name: "hill", Units: tin.Metre}
	survey := takeoff.Survey{}
	for i := range n {
		for k := range n {
			e, q := 3*size*float64(i)/float64(n-1), 3*size*float64(k)/float64(n-1)
			level := 50 + size/20*(math.Sin(e/size*2)+math.Cos(q/size*1.7))
			survey.Points = append(survey.Points, tin.Point{E: 1000 + e, N: 7000 + q, Level: math.Round(level*1e3) / 1e3})
		}
	}
	job.Surveys = []takeoff.Survey{survey}
	w, s := 1000+size, 7000+size
	job.Pads = []takeoff.Pad{{Name: "pad", Finished: math.Round(50 + size/30), Margin: size / 100,
		Outline: orb.Polygon{{{w, s}, {w + size, s}, {w + size, s + 0.7*size}, {w, s + 0.7*size}}},
		Cut:     takeoff.Batter{Along: 1}, Fill: takeoff.Batter{Along: 2}}}
	return job
}

func TestPlanSVG(t *testing.T) {
	golden(t, "plan.svg", []byte(planSVG(t, planOf(t, hillJob(30, 7), true))))
}

// What the legend says is in the result.
func TestPlanSVGSays(t *testing.T) {
	r := planOf(t, hillJob(30, 7), true)
	s := planSVG(t, r)
	for _, want := range []string{"Plan of the works, 1:250 on A4. Cut ", "Depth of the ground over formation", "all works", ">outline<", "outline with its margin",
		"crest: cut batter", "toe: fill batter", "zero line", "contours of the ground, each ", "triangles of the ground", "spot or vertex", ">N<", "E 1030", "N 7040"} {
		assert.Contains(t, s, want)
	}
	for _, b := range r.Plan.Bands {
		assert.Contains(t, s, strconv.FormatFloat(b.Area, 'f', 1, 64)+" m2")
	}
	assert.Contains(t, s, strconv.FormatFloat(r.Total.WorksArea, 'f', 1, 64)+" m2")
	for _, not := range []string{"breakline", "boundary of", "void of", "no ground", "stripped", "end of the triangles"} {
		assert.NotContains(t, s, not)
	}
	assert.NotContains(t, planSVG(t, planOf(t, hillJob(30, 7), false)), "triangles of the ground")
}

// Where there is no ground the plan says so, and that volumes are at least those given.
func TestPlanSVGUncovered(t *testing.T) {
	job := hillJob(30, 7)
	for i := range job.Pads[0].Outline[0] {
		job.Pads[0].Outline[0][i][0] += 50
	}
	s := planSVG(t, planOf(t, job, false))
	assert.Contains(t, s, "Cut at least ")
	assert.Contains(t, s, ">no ground<")
	assert.Contains(t, s, `fill="url(#plan-missing)"`)
	assert.Contains(t, s, "end of the triangles")
	assert.Contains(t, s, "Batters run off the surveyed ground")
	assert.Contains(t, s, "WARNINGS on this job")
}

// Further spots are marked by their number, those that lie off the plan in the legend only.
func TestPlanSVGShots(t *testing.T) {
	r := planOf(t, hillJob(30, 7), false)
	r.Uncertainty = &takeoff.UncertaintyResult{Shots: []takeoff.ShotResult{{At: takeoff.Place{1040, 7040}}, {At: takeoff.Place{10, 7040}}}}
	s := planSVG(t, r)
	assert.Contains(t, s, ">1. E 1040.00 N 7040.00<")
	assert.Contains(t, s, ">2. E 10.00 N 7040.00, off plan<")
	assert.Contains(t, s, ">1</text>")
	assert.NotContains(t, s, ">2</text>")
}

// A label of a picture, by its middle, half its size and its angle.
type label struct {
	words            string
	x, y, wide, high float64
	cos, sin         float64
}

// labelsOf reads every text of a picture, at 0.62 of the size for each letter.
func labelsOf(t *testing.T, picture string) (list []label, width, height float64) {
	t.Helper()
	decoder := xml.NewDecoder(strings.NewReader(picture))
	var open *label
	var size, plain float64
	var anchor string
	for {
		token, err := decoder.Token()
		if errors.Is(err, io.EOF) {
			return list, width, height
		}
		require.NoError(t, err)
		switch e := token.(type) {
		case xml.StartElement:
			at := map[string]string{}
			for _, a := range e.Attr {
				at[a.Name.Local] = a.Value
			}
			if e.Name.Local == "svg" {
				_, err := fmt.Sscanf(at["viewBox"], "0 0 %f %f", &width, &height)
				require.NoError(t, err)
				plain, err = strconv.ParseFloat(at["font-size"], 64)
				require.NoError(t, err)
			}
			if e.Name.Local != "text" {
				continue
			}
			open, size, anchor = &label{cos: 1}, plain, at["text-anchor"]
			if at["font-size"] != "" {
				size, err = strconv.ParseFloat(at["font-size"], 64)
				require.NoError(t, err)
			}
			if turned := at["transform"]; turned != "" {
				var angle float64
				if n, _ := fmt.Sscanf(turned, "translate(%f %f) rotate(%f)", &open.x, &open.y, &angle); n != 3 {
					t.Fatalf("transform %q", turned)
				}
				open.sin, open.cos = math.Sincos(angle * math.Pi / 180)
				continue
			}
			_, err = fmt.Sscanf(at["x"]+" "+at["y"], "%f %f", &open.x, &open.y)
			require.NoError(t, err)
			open.y -= 0.36 * size
		case xml.CharData:
			if open != nil {
				open.words = string(e)
				open.wide, open.high = 0.31*size*float64(len([]rune(open.words))), 0.4*size
				switch anchor {
				case "end":
					open.x -= open.wide
				case "":
					open.x += open.wide
				}
			}
		case xml.EndElement:
			if open != nil {
				list, open = append(list, *open), nil
			}
		}
	}
}

// over reports whether two labels lie over one another: no side of either parts them.
func (a label) over(b label) bool {
	dx, dy := b.x-a.x, b.y-a.y
	for _, axis := range [][2]float64{{a.cos, a.sin}, {-a.sin, a.cos}, {b.cos, b.sin}, {-b.sin, b.cos}} {
		reach := func(l label) float64 {
			return l.wide*math.Abs(l.cos*axis[0]+l.sin*axis[1]) + l.high*math.Abs(-l.sin*axis[0]+l.cos*axis[1])
		}
		if math.Abs(dx*axis[0]+dy*axis[1]) > reach(a)+reach(b) {
			return false
		}
	}
	return true
}

// From 5 m to 5 km, few spots or many: no text lies over another or runs off the sheet,
// and the picture stays small.
func TestPlanSVGHasRoom(t *testing.T) {
	t.Parallel()
	for _, size := range []float64{5, 10, 60, 333, 1666} {
		for _, n := range []int{5, 40, 120} {
			job := hillJob(size, n)
			job.Name = strings.Repeat("store and yard ", 30)
			job.Pads[0].Name = strings.Repeat("W", 200)
			job.Pads[0].Margin = min(job.Pads[0].Margin, 5)
			planned := planOf(t, job, n > 5)
			if n < 120 {
				planned = withPegs(t, job)
			}
			s := planSVG(t, planned)
			what := fmt.Sprintf("%v m, %d spots", size, n*n)
			assert.Less(t, len(s), 5_000_000, what)
			assert.NotRegexp(t, `NaN|Inf`, s)
			list, width, height := labelsOf(t, s)
			require.Greater(t, len(list), 25, what)
			for i, a := range list {
				x, y := a.wide*math.Abs(a.cos)+a.high*math.Abs(a.sin), a.wide*math.Abs(a.sin)+a.high*math.Abs(a.cos)
				require.True(t, a.x-x >= 0 && a.x+x <= width && a.y-y >= 0 && a.y+y <= height, "%s: %q runs out: %+v", what, a.words, a)
				for _, b := range list[:i] {
					require.False(t, a.over(b), "%s: %q and %q", what, a.words, b.words)
				}
			}
		}
	}
}

// Many small pads: every name stands once, beside its pad, or the legend counts it.
func TestPlanSVGOfManyPads(t *testing.T) {
	job := hillJob(100, 12)
	job.Pads = nil
	for i := range 40 {
		e, n := 1030+float64(i%8)*30, 7040+float64(i/8)*45
		job.Pads = append(job.Pads, takeoff.Pad{Name: fmt.Sprintf("plot %d", i+1), Finished: 50,
			Outline: orb.Polygon{{{e, n}, {e + 10, n}, {e + 10, n + 12}, {e, n + 12}}}})
	}
	s := planSVG(t, planOf(t, job, false))
	list, _, _ := labelsOf(t, s)
	names := 0
	for i, a := range list {
		if strings.HasPrefix(a.words, "plot ") {
			names++
		}
		for _, b := range list[:i] {
			require.False(t, a.over(b), "%q and %q", a.words, b.words)
		}
	}
	var nameless int
	if i := strings.Index(s, " names of pads had no room"); i > 0 {
		_, err := fmt.Sscanf(s[strings.LastIndex(s[:i], ">")+1:i], "%d", &nameless)
		require.NoError(t, err)
	}
	assert.Equal(t, 40, names+nameless)
	assert.Greater(t, names, 36)
}

// Names come from files of strangers.
func TestPlanSVGEscapes(t *testing.T) {
	job := hillJob(30, 7)
	job.Name = "</text><script>alert(1)</script>\x1b[31m\x00"
	job.Pads[0].Name = "a]]>&amp;\"'\n\u202e"
	s := planSVG(t, planOf(t, job, false))
	list, _, _ := labelsOf(t, s)
	assert.Equal(t, "</text><script>alert(1)</script> [31m", list[0].words)
	assert.NotContains(t, s, "<script")
	assert.NotContains(t, s, "\x1b")
	assert.NotContains(t, s, "\u202e")
	assert.Contains(t, s, "a]]&gt;&amp;amp;&#34;&#39;")
}

// The demo as its picture in the README has it: shots, breaklines, boundary, falls.
func TestPlanSVGOfDemo(t *testing.T) {
	job, err := takeoff.Load(t.Context(), os.DirFS("../../cmd/barrow/demo"), "job.toml", takeoff.Limits{})
	require.NoError(t, err)
	s := planSVG(t, planOf(t, job, false))
	for _, want := range []string{"Depth from stripped ground", ">breakline<", "boundary of the survey", "formation falls 1:80", "Further spots would help most at"} {
		assert.Contains(t, s, want)
	}
	drawn, err := os.ReadFile("../../docs/demo.svg")
	require.NoError(t, err)
	assert.Equal(t, string(drawn), s, "go run docs/picture.go")
}

func TestPlanSVGTellsOfErrors(t *testing.T) {
	r := planOf(t, hillJob(30, 7), false)
	assert.ErrorContains(t, report.PlanSVG(fullDisk{}, r), "disk full")
	r.Units.Length = "cubit"
	assert.Error(t, report.PlanSVG(io.Discard, r))
	r.Plan = nil
	assert.ErrorContains(t, report.PlanSVG(io.Discard, r), "no plan")
}

// withPegs is a plan with many pegs.
func withPegs(t testing.TB, job *takeoff.Job) *takeoff.Result {
	t.Helper()
	size := job.Pads[0].Outline.Bound().Max[0] - job.Pads[0].Outline.Bound().Min[0]
	s, err := takeoff.SetOut(t.Context(), job, takeoff.SetOutOptions{Interval: size / 6, Grid: size / 5, Back: []float64{size / 20, size / 10}})
	require.NoError(t, err)
	var opts takeoff.PlanOptions
	for _, p := range s.Pegs {
		opts.Pegs = append(opts.Pegs, takeoff.PlanPeg{Number: p.Number, Pad: p.Pad, Kind: p.Kind, At: p.At})
	}
	r, err := takeoff.Run(t.Context(), job, takeoff.Options{Plan: &opts})
	require.NoError(t, err)
	return r
}

// Every peg on the plan has its sign, and its number unless the legend counts it as
// without room; the rest of the plan stays as it is.
func TestPlanSVGPegs(t *testing.T) {
	r := withPegs(t, hillJob(30, 7))
	s := planSVG(t, r)
	golden(t, "plan_pegs.svg", []byte(s))
	list, _, _ := labelsOf(t, s)
	for i, a := range list {
		for _, b := range list[:i] {
			require.False(t, a.over(b), "%q and %q", a.words, b.words)
		}
	}
	signs := group(t, s, "plan-pegs")
	assert.Equal(t, len(r.Plan.Pegs), strings.Count(signs, "<circle")+strings.Count(signs, "<path")+strings.Count(signs, "<rect"))
	var without int
	if i := strings.Index(s, " numbers of pegs"); i > 0 {
		_, err := fmt.Sscanf(s[strings.LastIndex(s[:i], ">")+1:i], "%d", &without)
		require.NoError(t, err)
	}
	numbers := strings.Count(group(t, s, "plan-labels-pegs"), "<text")
	assert.Equal(t, len(r.Plan.Pegs), numbers+without)
	assert.Greater(t, numbers, 40)
	assert.NotContains(t, planSVG(t, planOf(t, hillJob(30, 7), false)), "egs")
}

// withAlignment is a plan with sections along the long axis of its works.
func withAlignment(t testing.TB, job *takeoff.Job) *takeoff.Result {
	t.Helper()
	s, err := takeoff.Sections(t.Context(), job, takeoff.SectionsOptions{})
	require.NoError(t, err)
	r, err := takeoff.Run(t.Context(), job, takeoff.Options{Plan: &takeoff.PlanOptions{Alignments: s.Alignments}})
	require.NoError(t, err)
	return r
}

// Each section has a tick where it is cut, square to the line unless it is skew, and its
// number unless the legend counts it as without room.
func TestPlanSVGAlignments(t *testing.T) {
	r := withAlignment(t, hillJob(30, 7))
	s := planSVG(t, r)
	a := &r.Plan.Alignments[0]
	require.Greater(t, len(a.Sections), 20)
	d := regexp.MustCompile(` d="(M[^"]*)"`).FindAllStringSubmatch(group(t, s, "plan-alignments"), -1)
	require.Len(t, d, 2, "the line and the ticks")
	var x0, y0, x1, y1 float64
	_, err := fmt.Sscanf(d[0][1], "M%f %fL%f %f", &x0, &y0, &x1, &y1)
	require.NoError(t, err)
	mm := 1000 / r.Plan.Ratio
	assert.InDelta(t, (a.End-a.Start)*mm, math.Hypot(x1-x0, y1-y0), 0.02)
	ticks := regexp.MustCompile(`M([0-9.]+) ([0-9.]+)l(-?[0-9.]+) (-?[0-9.]+)`).FindAllStringSubmatch(d[1][1], -1)
	require.Len(t, ticks, len(a.Sections))
	for i, tick := range ticks {
		var v [4]float64
		for k := range v {
			v[k], err = strconv.ParseFloat(tick[k+1], 64)
			require.NoError(t, err)
		}
		assert.InDelta(t, 3, math.Hypot(v[2], v[3]), 0.02)
		assert.InDelta(t, 0, (v[2]*(x1-x0)+v[3]*(y1-y0))/math.Hypot(x1-x0, y1-y0), 0.03, "square")
		assert.InDelta(t, (a.Sections[i].Chainage-a.Start)*mm, math.Hypot(v[0]+v[2]/2-x0, v[1]+v[3]/2-y0), 0.03)
	}
	var without int
	if i := strings.Index(s, " numbers of sections had"); i > 0 {
		_, err := fmt.Sscanf(s[strings.LastIndex(s[:i], ">")+1:i], "%d", &without)
		require.NoError(t, err)
	}
	names := group(t, s, "plan-labels-alignments")
	assert.Equal(t, len(a.Sections)+1, strings.Count(names, "<text")+without)
	assert.Contains(t, names, ">001<")
	assert.Contains(t, names, ">"+a.Name+"<")
	assert.Contains(t, s, "alignment, sections by number")
	list, _, _ := labelsOf(t, s)
	for i, a := range list {
		for _, b := range list[:i] {
			require.False(t, a.over(b), "%q and %q", a.words, b.words)
		}
	}
	assert.NotContains(t, planSVG(t, planOf(t, hillJob(30, 7), false)), "alignment")

	// Of many at one place some have no room for their name, and the legend counts them.
	r.Plan.Alignments = many(r.Plan.Alignments, 60)
	s = planSVG(t, r)
	i := strings.Index(s, " names of alignments had")
	require.Positive(t, i)
	_, err = fmt.Sscanf(s[strings.LastIndex(s[:i], ">")+1:i], "%d", &without)
	require.NoError(t, err)
	assert.Equal(t, 60, strings.Count(group(t, s, "plan-labels-alignments"), ">"+a.Name+"<")+without)
}

// group returns what is in a group of a picture, without groups in it.
func group(t testing.TB, picture, id string) string {
	t.Helper()
	_, in, ok := strings.Cut(picture, `<g id="`+id+`">`)
	require.True(t, ok, id)
	in, _, ok = strings.Cut(in, "</g>")
	require.True(t, ok)
	return in
}

// Each kind of thing is in the group of its name, and pictures that stand in one page share
// no id.
func TestPicturesShareNoID(t *testing.T) {
	t.Parallel()
	job, err := takeoff.Load(t.Context(), os.DirFS("../../cmd/barrow/demo"), "job.toml", takeoff.Limits{})
	require.NoError(t, err)
	job.Alignments[0].Haul = &takeoff.Haul{CompactedPerBank: 0.9}
	r, err := takeoff.Report(t.Context(), job, takeoff.ReportOptions{Crosscheck: takeoff.CrosscheckOptions{Spacing: 5}})
	require.NoError(t, err)
	plan := planSVG(t, r.Takeoff)
	for _, id := range []string{"heading", "bands", "hatching", "contours", "breaklines", "boundary", "daylight", "outlines", "zero", "alignments", "spots", "shots", "pegs",
		"labels-pads", "labels-alignments", "labels-pegs", "labels-contours", "labels-spots", "grid", "frame", "legend"} {
		assert.NotEmpty(t, strings.TrimSpace(group(t, plan, "plan-"+id)), id)
	}
	assert.NotContains(t, plan, `"plan-uncovered"`)
	assert.NotContains(t, plan, `"plan-triangles"`)
	var all bytes.Buffer
	all.WriteString(plan)
	for i := range r.Sections.Alignments {
		for k := range r.Sections.Alignments[i].Sections {
			require.NoError(t, report.SectionSVG(&all, r.Sections, i, k))
		}
		require.NoError(t, report.HaulSVG(&all, r.Sections, i))
	}
	seen := map[string]bool{}
	for _, m := range regexp.MustCompile(` id="([^"]*)"`).FindAllStringSubmatch(all.String(), -1) {
		assert.False(t, seen[m[1]], m[1])
		seen[m[1]] = true
	}
	used := regexp.MustCompile(`(?:url\(|href=")#([^")]*)`).FindAllStringSubmatch(all.String(), -1)
	require.Greater(t, len(used), 50)
	for _, m := range used {
		assert.True(t, seen[m[1]], "%s is known", m[1])
	}
}

func BenchmarkPlanSVG(b *testing.B) {
	r := planOf(b, hillJob(100, 100), false)
	for b.Loop() {
		require.NoError(b, report.PlanSVG(io.Discard, r))
	}
}
