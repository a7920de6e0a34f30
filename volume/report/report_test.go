package report_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"flag"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/pointfile"
	"barrow/volume/report"
	"barrow/volume/takeoff"
)

var update = flag.Bool("update", false, "write the golden files anew")

// golden holds text against a file of testdata, or writes it with -update.
func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		require.NoError(t, os.WriteFile(path, got, 0o666))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, string(want), string(got))
}

func text(t *testing.T, r *takeoff.Result) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, report.Text(&b, r))
	return b.String()
}

// empty is a result with nothing in it.
func empty() *takeoff.Result { return &takeoff.Result{Pads: []takeoff.PadResult{{}}} }

func TestGolden(t *testing.T) {
	for name, r := range map[string]*takeoff.Result{"metric": metric(), "feet": feet(), "works": works()} {
		t.Run(name, func(t *testing.T) {
			golden(t, name+".txt", []byte(text(t, r)))
			var b bytes.Buffer
			require.NoError(t, report.JSON(&b, r))
			golden(t, name+".json", b.Bytes())
		})
	}
}

func TestTextFits80Columns(t *testing.T) {
	wide := metric()
	long := strings.Repeat("W", 200)
	wide.Job, wide.Pads[0].Name, wide.Pads[1].Corners[0].Name = long, long, long
	wide.Pads[1].Sides[0].From, wide.Pads[0].Layers[0].Name, wide.Inputs[0].Path = long, long, long
	wide.Pads[0].Cut, wide.Pads[0].OutlineArea, wide.Pads[0].Sides[0].Length = 1e15, 1e15, 1e12
	for name, r := range map[string]*takeoff.Result{"metric": metric(), "feet": feet(), "works": works(), "empty": empty(), "wide": wide} {
		for line := range strings.SplitSeq(text(t, r), "\n") {
			assert.LessOrEqual(t, utf8.RuneCountInString(line), 80, "%s: %s", name, line)
		}
	}
	assert.Equal(t, strings.Count(text(t, wide), "W"), strings.Count(strings.Join(strings.Fields(text(t, wide)), ""), "W"))
}

// A name as long as a job file may be is broken in one pass: with one for each
// line of it, this takes minutes.
func TestTextOfAVeryLongName(t *testing.T) {
	r := empty()
	r.Job = strings.Repeat("é", 1<<20)
	assert.Equal(t, 1<<20, strings.Count(text(t, r), "é"))
}

// What is printed is a quantity, not a verdict: words for results after
// factors, and for whether ground will stand, have no place.
var notWords = regexp.MustCompile(`(?i)\b(un)?safe(ly|ty)?\b|\bsurplus\b|\bshort\b|\bbalanced?\b|NaN|Inf|-0\.0+\b`)

func TestTextWords(t *testing.T) {
	for _, r := range []*takeoff.Result{metric(), feet(), works(), empty()} {
		assert.Empty(t, notWords.FindAllString(text(t, r), -1))
	}
}

func TestTextOrder(t *testing.T) {
	s := text(t, metric())
	last := 0
	for _, title := range []string{"LEVEL TO DIG TO", "formation 62.925 m, 425 mm ABOVE benchmark BM1 62.500", "PAD store", "63.150  --- finished level",
		"62.925  === FORMATION", "P12 to P13", "diagonal P12 to P14", "PAD yard", "HIGH", "VOLUMES", "net void", "as dug", "cut exceeds fill by",
		"fill exceeds cut by", "AREA TO TRIM AND ROLL", "HOW THE FIGURES CAME ABOUT", "NOT IN THESE FIGURES", "CAUTIONS"} {
		i := strings.Index(s[last:], title)
		require.GreaterOrEqual(t, i, 0, title)
		last += i
	}
}

// A survey that ends within the works makes every volume it touches a least.
func TestTextSaysAtLeast(t *testing.T) {
	s := text(t, feet())
	assert.Equal(t, 4, strings.Count(s, "at least 37.04")+strings.Count(s, "at least 0.00"))
	assert.Contains(t, s, "on the ground surveyed")
	assert.Contains(t, s, "READ THE 2 WARNINGS")
	assert.NotContains(t, text(t, metric()), "at least")
}

// Where only batters run off the ground, the net void is measured whole.
func TestTextSaysAtLeastOfBatters(t *testing.T) {
	s := text(t, works())
	yard := s[strings.Index(s, "  yard\n    margin"):]
	assert.Regexp(t, `net void +0\.0 +55\.0\n`, yard)
	assert.Regexp(t, `batters +at least 0\.0 +at least 5\.0\n`, yard)
	assert.Regexp(t, `as dug +at least 0\.0 +at least 60\.0\n`, yard)
	assert.Regexp(t, `as far\s+as there is ground`, yard)
	store := s[strings.Index(s, "  store\n    margin"):strings.Index(s, "  yard\n    margin")]
	assert.NotContains(t, store, "at least")
}

// Depths that published rules speak of are named with the rule, and no others.
func TestTextNamesPublishedDepths(t *testing.T) {
	for _, tt := range []struct {
		units       string
		depth       float64
		rules, lack string
	}{
		{"m", 1.2, "", "Those rules"},
		{"m", 1.25, "from 4 ft (1.22 m)", "from 1.5 m"},
		{"m", 1.5, "from 1.5 m", "from 5 ft"},
		{"m", 1.6, "from 5 ft (1.52 m), a protective system: slopes, benches, support or shields (29 CFR 1926.652(a), USA)", "over 20 ft"},
		{"ft", 5, "from 5 ft", "over 20 ft"},
		{"ft", 20, "from 5 ft", "over 20 ft"},
		{"ft", 20.1, "over 20 ft (6.10 m), a protective system designed by a registered professional engineer", "over 21"},
		{"ftUS", 1.6, "", "Those rules"},
	} {
		r := metric()
		r.Units.Length, r.Pads = tt.units, r.Pads[:1]
		r.Pads[0].MaxCutDepth = tt.depth
		words := strings.Join(strings.Fields(text(t, r)), " ")
		assert.Contains(t, words, tt.rules, "%g %s", tt.depth, tt.units)
		assert.NotContains(t, words, tt.lack, "%g %s", tt.depth, tt.units)
	}
}

// How deep a dig is counts from the top of its batters and with its topsoil; how
// its faces are is said.
func TestTextCountsDepthsFromTheTop(t *testing.T) {
	r := works()
	flat := func() string { return strings.Join(strings.Fields(text(t, r)), " ") }
	assert.Contains(t, flat(), "store up to 6.85 m, with upright faces on some sides; apron") // 6.5 + 0.35
	r.Pads[0].BatterTop.Level = 69.975
	assert.Contains(t, flat(), "store up to 7.40 m") // 69.975 - 62.925 + 0.35
	r.Pads[0].Edges = nil
	assert.Contains(t, flat(), "store up to 7.40 m, with batters as given")
	r.Pads[0].CutBatter = nil
	assert.Contains(t, flat(), "store up to 7.40 m, with upright faces (no batter given)")
	for i := range r.Pads {
		r.Pads[i].Cut, r.Pads[i].MaxCutDepth, r.Pads[i].WorksCutDepth, r.Pads[i].BatterTop = 0, 0, 0, nil
	}
	assert.NotContains(t, flat(), "published rules")
	assert.NotContains(t, flat(), "Footings")
}

// What a job was given for topsoil and sides is said as it is.
func TestTextSaysTheRulesOfTheJob(t *testing.T) {
	r := works()
	flat := func() string { return strings.Join(strings.Fields(text(t, r)), " ") }
	assert.Contains(t, flat(), "adds less than 0.001 m3 to all of them together")
	r.Total.FacetBound = 0
	assert.NotContains(t, flat(), "cone")
	r.StripRule = &takeoff.StripRule{Depth: 0.15, Within: true}
	assert.Contains(t, flat(), "Taken off: 150 mm, over the area stated for it.")
	r.StripRule = &takeoff.StripRule{Areas: []takeoff.StripArea{{Name: "1", Depth: 1.2}}}
	assert.Contains(t, flat(), "the topsoil (none outside stated areas, in area 1 1.200 m) is in neither cut nor fill")
	assert.Contains(t, flat(), "its rim is an upright face")
	r.StripRule, r.Total.StripArea, r.Total.Topsoil, r.Total.Strip, r.Total.Respread, r.Total.TopsoilLeft = nil, 0, 0, nil, nil, nil
	assert.NotContains(t, flat(), "TOPSOIL")
	assert.Contains(t, text(t, metric()), "margin 0, upright (no batter given)")
}

// A name cannot colour the screen, move its cursor or hide text.
func TestTextIsClean(t *testing.T) {
	r := metric()
	r.Job = "a\x1b[31mb\u202ec\nd\x00e\xff"
	s := text(t, r)
	assert.NotContains(t, s, "\x1b")
	assert.NotContains(t, s, "\u202e")
	assert.True(t, strings.HasPrefix(s, "a [31mb c d e?\n"), s[:40])
}

func TestJSONOfSchema1(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, report.JSON(&b, metric()))
	assert.Equal(t, byte('\n'), b.Bytes()[b.Len()-1])
	var got map[string]any
	require.NoError(t, json.Unmarshal(b.Bytes(), &got))
	keys := func(v any, names string) {
		t.Helper()
		object, ok := v.(map[string]any)
		require.True(t, ok, names)
		for name := range strings.FieldsSeq(names) {
			assert.Contains(t, object, name)
		}
	}
	first := func(v any) any { return v.([]any)[0] }
	keys(got, "schema program job units inputs ground pads total notes warnings not_measured")
	keys(got["program"], "name version")
	keys(got["units"], "length area volume")
	keys(first(got["inputs"]), "path sha256")
	keys(got["ground"], "points merged left_out triangles area level_min level_max")
	keys(first(got["pads"]), "name finished_level formation_level outline_area formation_area batter_area outline_cut outline_fill "+
		"margin_cut margin_fill batter_cut batter_fill cut fill cut_less_fill cut_area fill_area max_cut_depth max_fill_depth uncovered_area open_length")
	keys(got["total"], "margin_cut margin_fill batter_cut batter_fill batter_area cut fill cut_less_fill outline_cut outline_fill works_area uncovered_area open_length thin_area max_gap")
	keys(first(got["notes"]), "code message at")
	keys(first(got["not_measured"]), "code message")
	assert.NotContains(t, got["pads"].([]any)[2], "formation_level", "a pad with levels of its own has no one level")
	assert.Equal(t, 431.2345, first(got["pads"]).(map[string]any)["cut"], "unrounded")
}

func TestJSONRefusesWhatItCannotHold(t *testing.T) {
	r := metric()
	r.Total.Cut = math.NaN()
	var b bytes.Buffer
	assert.Error(t, report.JSON(&b, r))
	assert.Zero(t, b.Len())
}

func TestErrorJSON(t *testing.T) {
	for _, tt := range []struct {
		err  error
		want string
	}{
		{&tin.InputError{Code: "bad_value", Message: "a <b>", File: "job.toml", Line: 3, Column: 4, Key: "pad[0].name", Hint: "so"},
			`{"schema":1,"error":{"code":"bad_value","message":"a <b>","file":"job.toml","line":3,"column":4,"key":"pad[0].name","hint":"so"}}`},
		{&tin.InputError{Code: "bad_value", Message: "m"}, `{"schema":1,"error":{"code":"bad_value","message":"m"}}`},
		{errors.New("broken"), `{"schema":1,"error":{"code":"failed","message":"broken"}}`},
	} {
		var b bytes.Buffer
		require.NoError(t, report.ErrorJSON(&b, tt.err))
		assert.JSONEq(t, tt.want, b.String())
	}
}

type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) { return 0, errors.New("disk full") }

func TestWritersTellOfErrors(t *testing.T) {
	f, d := points(t)
	for name, write := range map[string]func() error{
		"Text":       func() error { return report.Text(fullDisk{}, metric()) },
		"JSON":       func() error { return report.JSON(fullDisk{}, metric()) },
		"Comparison": func() error { return report.Comparison(fullDisk{}, claim()) },
		"ErrorJSON":  func() error { return report.ErrorJSON(fullDisk{}, errors.New("x")) },
		"Points":     func() error { return report.Points(fullDisk{}, f, d) },
		"PointsJSON": func() error { return report.PointsJSON(fullDisk{}, f, d) },
	} {
		assert.ErrorContains(t, write(), "disk full", name)
	}
}

// points is a file with something to say about each thing.
func points(t *testing.T) (*pointfile.File, *pointfile.Description) {
	t.Helper()
	var b strings.Builder
	b.WriteString("# a made-up survey\n\nnumber;easting;northing;level;code\n")
	k := 0
	for i := range 6 {
		for j := range 6 {
			k++
			line := []string{"G" + itoa(k), itoa(1000 + 10*i), itoa(2000 + 10*j), itoa(50 + i), "GL"}
			if k == 15 {
				line[3] = "99"
			}
			if k == 7 {
				line[4] = ""
			}
			b.WriteString(strings.Join(line, ";") + "\n")
		}
	}
	b.WriteString("D1;1000;2000;50;GL\nD2;1010;2000;51.5;GL\nX;1005;2005;;PEG\n")
	f, err := pointfile.Read(t.Context(), strings.NewReader(b.String()), "ground.csv", pointfile.Options{})
	require.NoError(t, err)
	d, err := pointfile.Describe(t.Context(), f)
	require.NoError(t, err)
	return f, &d
}

func itoa(i int) string {
	b, _ := json.Marshal(i) // of an int there is no error
	return string(b)
}

func TestPointsGolden(t *testing.T) {
	f, d := points(t)
	var b bytes.Buffer
	require.NoError(t, report.Points(&b, f, d))
	golden(t, "points.txt", b.Bytes())
	for line := range strings.SplitSeq(b.String(), "\n") {
		assert.LessOrEqual(t, utf8.RuneCountInString(line), 80)
	}
	b.Reset()
	require.NoError(t, report.PointsJSON(&b, f, d))
	golden(t, "points.json", b.Bytes())
	assert.Equal(t, 2, report.PointsDoubts(d))
}
