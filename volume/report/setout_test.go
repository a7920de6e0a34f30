package report_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"regexp"
	"slices"
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

// terraceSetOut sets the terrace out from a benchmark, with all that can be asked for.
func terraceSetOut(t *testing.T, unit tin.Unit, change func(*takeoff.Job, *takeoff.SetOutOptions)) *takeoff.SetOutResult {
	t.Helper()
	job, back := terrace(unit), 1.4
	job.Surveys[0].Benchmark = &takeoff.Mark{Name: "BM1", Plan: 13, Measured: 13}
	opts := takeoff.SetOutOptions{Interval: 10, Grid: 10, Back: []float64{4}, Backsight: &back, Trim: 0.05, OverDig: 0.1,
		PegTops: &takeoff.PegTops{Name: "tops.csv", Points: []tin.Point{{Name: "house 1", E: 10, N: 10, Level: 11.6, Line: 2}, {Name: "drive 2", E: 50, N: 10, Level: 15.2, Line: 3}}}}
	change(job, &opts)
	r, err := takeoff.SetOut(t.Context(), job, opts)
	require.NoError(t, err)
	return r
}

func asGiven(*takeoff.Job, *takeoff.SetOutOptions) {}

func setOutText(t *testing.T, r *takeoff.SetOutResult) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, report.SetOut(&b, r))
	for line := range strings.SplitSeq(b.String(), "\n") {
		assert.LessOrEqual(t, utf8.RuneCountInString(line), 80, line)
	}
	return b.String()
}

func TestSetOutGolden(t *testing.T) {
	for name, unit := range map[string]tin.Unit{"setout": tin.Metre, "setout_feet": tin.Foot} {
		r := terraceSetOut(t, unit, asGiven)
		golden(t, name+".txt", []byte(setOutText(t, r)))
		var pegs bytes.Buffer
		require.NoError(t, report.SetOutCSV(&pegs, r))
		golden(t, name+".csv", pegs.Bytes())
	}
	pages := report.SetOutPages(terraceSetOut(t, tin.Metre, asGiven))
	golden(t, "setout_page.svg", pages[0])
	plan := slices.IndexFunc(pages, func(page []byte) bool { return bytes.Contains(page, []byte("Plan of the pegs")) })
	golden(t, "setout_plan.svg", pages[plan])
}

// The JSON object holds every number the sheet shows, with its keys as they are listed.
func TestSetOutJSON(t *testing.T) {
	r := terraceSetOut(t, tin.Metre, asGiven)
	var b bytes.Buffer
	require.NoError(t, report.SetOutJSON(&b, r))
	var back struct {
		Pegs []struct {
			Number string  `json:"number"`
			ToEdge float64 `json:"to_edge"`
			Levels []struct {
				What           string
				Level, Reading float64
			}
			Depth float64
		}
		Instrument struct{ Collimation float64 }
		Pads       []struct {
			Levels []struct {
				Levels []struct {
					Sight struct {
						Reading float64
						Up      float64 `json:"receiver_up"`
					}
				}
			}
		}
		Takeoff struct{ Total struct{ Cut float64 } }
	}
	require.NoError(t, json.Unmarshal(b.Bytes(), &back))
	assert.Len(t, back.Pegs, len(r.Pegs))
	assert.Equal(t, "house 1", back.Pegs[0].Number)
	assert.Equal(t, 14.4, back.Instrument.Collimation)
	assert.Equal(t, 14.4-12.2, float64(int(back.Pads[0].Levels[0].Levels[0].Sight.Reading*1e6+0.5))/1e6)
	assert.Positive(t, back.Takeoff.Total.Cut)
}

// The trade's own words: which way from the benchmark, from a peg's top, and no signs.
func TestSetOutWords(t *testing.T) {
	s := setOutText(t, terraceSetOut(t, tin.Metre, asGiven))
	for _, words := range []string{
		"benchmark BM1 13.000 + backsight 1.400 = height of collimation 14.400",
		"formation is 1.000 m BELOW benchmark BM1 13.000",
		"move the receiver UP\n    the staff 1.000 m from its benchmark setting",
		"UP from peg top 400 mm: FORMATION",
		"DOWN from peg top 700 mm: FORMATION",
		"1V:1.5H (1 up, 1.5 along, 34 deg)",
		"no soil class stated: no slope has been compared with any rule",
		"BENCHMARK CHECKS", "LOADS", "SOFT SPOTS", "CLEARANCES",
	} {
		assert.Contains(t, s, words)
	}
	assert.NotRegexp(t, `(CUT|FILL|UP|DOWN) -`, s)
	assert.NotRegexp(t, `(?i)\bsafe\b`, s)

	// Above the benchmark the receiver goes down.
	s = setOutText(t, terraceSetOut(t, tin.Metre, func(j *takeoff.Job, o *takeoff.SetOutOptions) {
		j.Surveys[0].Benchmark = &takeoff.Mark{Name: "BM2", Plan: 11.575, Measured: 11.575}
	}))
	assert.Contains(t, s, "move the receiver DOWN\n    the staff 425 mm from its benchmark setting")
}

// A pit with upright sides in a bowl: support must be designed, and water has no way out.
func TestSetOutCautions(t *testing.T) {
	pit := func(finished float64) string {
		return setOutText(t, terraceSetOut(t, tin.Metre, func(j *takeoff.Job, o *takeoff.SetOutOptions) {
			j.Ground.Topsoil = takeoff.Topsoil{}
			j.Pads = j.Pads[2:]
			j.Pads[0].Levels, j.Pads[0].Finished = nil, finished
			o.PegTops = nil
		}))
	}
	s := pit(10.5) // the ground is 11 to 12
	assert.Contains(t, s, "no outlet for water:")
	assert.Contains(t, s, "face in cut upright (90 deg), up to 1.50 m deep: its support must be\n    designed, and stand before anyone goes near it")
	s = pit(11.2) // 0.8 m at the deepest, and the low side open
	assert.NotContains(t, s, "its support")
	assert.NotContains(t, s, "no outlet")
}

// What is written for an instrument is read as a point file again, all levels with it.
func TestSetOutCSVIsAPointFile(t *testing.T) {
	r := terraceSetOut(t, tin.Metre, asGiven)
	var b bytes.Buffer
	require.NoError(t, report.SetOutCSV(&b, r))
	read, err := pointfile.Read(t.Context(), bytes.NewReader(b.Bytes()), "pegs.csv", pointfile.Options{})
	require.NoError(t, err)
	require.Len(t, read.Points, len(r.Pegs))
	for i, p := range r.Pegs {
		assert.Equal(t, p.Number, read.Points[i].Name)
		assert.Equal(t, string(p.Kind), read.Points[i].Code)
		assert.InDelta(t, *p.Level, read.Points[i].Level, 5.1e-5)
	}
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	assert.Equal(t, []string{"number", "easting", "northing", "level", "code", "ground", "topsoil", "formation", "cut", "fill", "batter", "to_edge", "reading", "top_1", "reading_1"}, rows[0])
}

// Long names, many levels, wide numbers: on no page does one text run into another or off
// the paper. Everything is black on white.
func TestSetOutPagesHaveRoom(t *testing.T) {
	t.Parallel()
	for _, unit := range []tin.Unit{tin.Metre, tin.SurveyFoot} {
		for _, long := range []int{1, 12} {
			r := terraceSetOut(t, unit, func(j *takeoff.Job, o *takeoff.SetOutOptions) {
				j.Name = strings.Repeat("Store and yard ", long)
				for i := range j.Pads {
					j.Pads[i].Name = fmt.Sprint(strings.Repeat("WORKSHOP ", long), i)
					j.Pads[i].Layers = nil
					for k := range long {
						j.Pads[i].Layers = append(j.Pads[i].Layers, takeoff.Layer{Name: strings.Repeat("crushed stone ", long), Thickness: 0.01 * float64(k+1)})
					}
				}
				o.PegTops.Points[0].Name = j.Pads[0].Name + " 1"
				o.PegTops.Points[1].Name = "unknown" + strings.Repeat("W", 100)
				o.Interval, o.Back = 3.333, []float64{3.125, 6}
			})
			pages := report.SetOutPages(r)
			require.Greater(t, len(pages), 6)
			for n, page := range pages {
				for _, colour := range regexp.MustCompile(`(?:fill|stroke)="([^"]*)"`).FindAllStringSubmatch(string(page), -1) {
					require.Contains(t, []string{"none", "black", "white", "#ececec"}, colour[1])
				}
				list, width, height := boxes(t, string(page))
				for i, b := range list {
					require.True(t, b.left >= 0 && b.right <= width && b.top >= 0 && b.foot <= height, "page %d: %q runs out: %v", n+1, b.words, b)
					for _, c := range list[:i] {
						require.False(t, b.left < c.right && c.left < b.right && b.top < c.foot && c.top < b.foot, "page %d: %q and %q", n+1, b.words, c.words)
					}
				}
			}
		}
	}
}
