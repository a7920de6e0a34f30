package takeoff_test

import (
	"math"
	"os"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/volume/takeoff"
)

// strippedPit is a job on level ground, 2.2 m above formation, with 0.2 m of topsoil.
func strippedPit() *takeoff.Job {
	return &takeoff.Job{
		Name: "pit",
		Surveys: []takeoff.Survey{{Name: "ground.csv", Points: []tin.Point{
			{E: 0, N: 0, Level: 12.2}, {E: 60, N: 0, Level: 12.2}, {E: 61, N: 62, Level: 12.2}, {E: 0, N: 60, Level: 12.2},
		}}},
		Ground: takeoff.Ground{Topsoil: takeoff.Topsoil{Depth: 0.2, Beyond: 1}},
		Pads:   []takeoff.Pad{{Name: "a", Outline: square(20, 20, 10), Finished: 10, Cut: takeoff.Batter{Along: 1.5}, Fill: takeoff.Batter{Along: 1.5}}},
	}
}

func TestStripOfAPit(t *testing.T) {
	area := func(b float64) float64 { return 100 + 40*b + math.Pi*b*b }
	r := run(t, strippedPit())
	assert.InEpsilon(t, area(4), r.Total.StripArea, 1e-6)
	assert.InEpsilon(t, 0.2*area(4), r.Total.Topsoil, 1e-6)
	assert.InEpsilon(t, area(3), r.Total.WorksArea, 1e-6)
	require.Len(t, r.Total.Strip, 1)
	assert.Equal(t, takeoff.StripResult{Depth: 0.2, Area: r.Total.StripArea, Volume: r.Total.Topsoil}, r.Total.Strip[0])
	p := r.Pads[0]
	assert.InEpsilon(t, 40+6*math.Pi, p.CrestLength, 1e-6)
	assert.Zero(t, p.ToeLength)
	require.Len(t, p.Crest, 1)
	assert.InDelta(t, 12, p.Crest[0][0][2], 1e-9, "the crest is on stripped ground")
	require.Len(t, p.FormationOutline, 1)
	assert.Equal(t, takeoff.LevelLine{{20, 20, 10}, {30, 20, 10}, {30, 30, 10}, {20, 30, 10}, {20, 20, 10}}, p.FormationOutline[0])
	require.Len(t, r.WorksOutline, 1)
	require.Len(t, r.StripOutline, 1)
	assert.Nil(t, r.Total.TopsoilLeft)
}

// Lengths somebody typed are on the ground: a grid drawn out by the scale draws them
// out as well.
func TestStripByScaleAndUnit(t *testing.T) {
	want := run(t, strippedPit()).Total
	for _, unit := range []tin.Unit{tin.Metre, tin.Foot} {
		job, k := strippedPit(), 1/unit.Metres()
		job.Units, job.Scale = unit, 1.001
		grid := k * job.Scale
		for i := range job.Surveys[0].Points {
			p := &job.Surveys[0].Points[i]
			p.E, p.N, p.Level = p.E*grid, p.N*grid, p.Level*k
		}
		job.Pads[0].Outline = square(20*grid, 20*grid, 10*grid)
		job.Pads[0].Finished *= k
		job.Ground.Topsoil.Depth *= k
		job.Ground.Topsoil.Beyond *= k
		got := run(t, job).Total
		area, volume := k*k, 1.0
		if unit == tin.Foot {
			volume = k * k * k / 27
		}
		assert.InEpsilon(t, want.StripArea*area, got.StripArea, 1e-6)
		assert.InEpsilon(t, want.Topsoil*volume, got.Topsoil, 1e-6)
	}
}

func TestStripOfStatedAreaAndRespread(t *testing.T) {
	job := strippedPit()
	job.Ground.Topsoil = takeoff.Topsoil{Depth: 0.2, Within: orb.MultiPolygon{square(10, 10, 30)}, Areas: []takeoff.TopsoilArea{
		{Name: "track", Area: orb.MultiPolygon{square(10, 10, 5)}}, {Name: "paddock", Area: orb.MultiPolygon{square(38, 38, 4)}, Depth: 0.5},
	}}
	job.Respread = []takeoff.TopsoilArea{
		{Name: "garden", Area: orb.MultiPolygon{square(0, 0, 10)}, Depth: 0.15},
		{Name: "verge", Area: orb.MultiPolygon{square(5, 5, 10), square(-5, 50, 10)}, Depth: 0.1},
	}
	r := run(t, job)
	// The paddock, 16 m2 with 4 m2 in common, and the rest but for the track.
	assert.InDelta(t, 900-25-4+16, r.Total.StripArea, 1e-9)
	assert.InDelta(t, 0.2*(900-25-4)+0.5*16, r.Total.Topsoil, 1e-9)
	require.Len(t, r.Total.Respread, 2)
	assert.InDelta(t, 75, r.Total.Respread[0].Area, 1e-9, "where areas overlap the last counts")
	assert.InDelta(t, 150, r.Total.Respread[1].Area, 1e-9, "half of a square has no ground")
	assert.InDelta(t, 15, r.Total.Respread[1].Volume, 1e-9)
	assert.InDelta(t, r.Total.Topsoil-75*0.15-15, *r.Total.TopsoilLeft, 1e-9)
	assert.Contains(t, codes(r.Notes), takeoff.NoteRespreadUncovered)
}

func TestStripBeyondTheGroundIsNoted(t *testing.T) {
	job := strippedPit()
	job.Ground.Boundary = orb.MultiPolygon{square(10, 10, 23.5)}
	r := run(t, job)
	assert.Contains(t, codes(r.Notes), takeoff.NoteStripUncovered)
}

func TestNoTopsoilNoStrip(t *testing.T) {
	job := strippedPit()
	job.Ground.Topsoil = takeoff.Topsoil{Beyond: 1}
	r := run(t, job)
	assert.Zero(t, r.Total.StripArea)
	assert.Nil(t, r.StripOutline)
	job = strippedPit()
	job.Surveys[0].Stripped = true
	assert.Zero(t, run(t, job).Total.StripArea)
}

// replacedJob is a pit where a later survey takes the place of the first over its
// eastern half.
func replacedJob(first, second bool) *takeoff.Job {
	job := strippedPit()
	job.Pads[0].Cut, job.Ground.Topsoil.Beyond = takeoff.Batter{}, 0
	half := orb.MultiPolygon{{{{25, -5}, {70, -5}, {70, 70}, {25, 70}}}}
	job.Surveys[0].Stripped = first
	job.Surveys = append(job.Surveys, takeoff.Survey{Name: "later.csv", Stripped: second, ReplacesWithin: half, StepTolerance: 1, Points: []tin.Point{
		{E: 25.001, N: 0, Level: 12.2}, {E: 60, N: 0, Level: 12.2}, {E: 61, N: 62, Level: 12.2}, {E: 25.001, N: 60, Level: 12.2},
	}})
	return job
}

// Only one half has topsoil: nothing is taken off what was surveyed after the strip.
func TestStripLeavesStrippedSurveys(t *testing.T) {
	for _, c := range []struct{ first, second bool }{{false, true}, {true, false}} {
		r := run(t, replacedJob(c.first, c.second))
		assert.InDelta(t, 50, r.Total.StripArea, 1e-9)
		assert.InDelta(t, 10, r.Total.Topsoil, 1e-9)
		assert.InDelta(t, 50*2.2+50*2, r.Total.Cut, 1e-9)
	}
	// A later original survey within a stripped one has its topsoil.
	job := replacedJob(false, true)
	third := job.Surveys[1]
	third.Name, third.Stripped = "last.csv", false
	third.ReplacesWithin = orb.MultiPolygon{square(27, 15, 30)}
	third.Points = []tin.Point{{E: 27.001, N: 20, Level: 12.2}, {E: 50, N: 20, Level: 12.2}, {E: 40, N: 40, Level: 12.2}}
	job.Surveys = append(job.Surveys, third)
	assert.InDelta(t, 80, run(t, job).Total.StripArea, 1e-9)
}

func TestFormationOfAJob(t *testing.T) {
	surfaces, err := takeoff.Formation(t.Context(), strippedPit(), takeoff.Options{})
	require.NoError(t, err)
	require.Len(t, surfaces, 1)
	for _, c := range []struct{ e, n, level float64 }{{25, 25, 10}, {20, 25, 10}, {18.5, 25, 11}, {17.0001, 25, 12}} {
		level, ok := surfaces[0].LevelAt(c.e, c.n)
		require.True(t, ok)
		assert.InDelta(t, c.level, level, 1e-4)
	}
	_, ok := surfaces[0].LevelAt(16.9, 25)
	assert.False(t, ok, "beyond the crest there are no works")
	_, err = takeoff.Formation(t.Context(), &takeoff.Job{}, takeoff.Options{})
	require.Error(t, err)
}

// Where ground and formation meet, the zero line has the level of both.
func TestZeroLineHasLevels(t *testing.T) {
	job := slopeJob()
	job.Pads[0].Fall = &takeoff.Fall{Slope: 0.02, Bearing: 0, At: orb.Point{20, 20}}
	p := run(t, job).Pads[0]
	require.Len(t, p.ZeroLevels, len(p.ZeroLines))
	for i, line := range p.ZeroLevels {
		require.Len(t, line, len(p.ZeroLines[i]))
		for _, v := range line {
			assert.InDelta(t, 10+v[0]/10, v[2], 1e-9)
		}
	}
}

func TestLoadRespread(t *testing.T) {
	files := site(pad(`outline = "square.csv"`, "finished = 11") + "[[respread]]\narea = \"square.csv\"\ndepth = \"150 mm\"\n[[respread]]\nname = \"verge\"\narea = [[0, 0], [5, 0], [5, 5]]\ndepth = 0.1\n")
	job, err := load(t, files)
	require.NoError(t, err)
	require.Len(t, job.Respread, 2)
	assert.Equal(t, "1", job.Respread[0].Name)
	assert.InDelta(t, 0.15, job.Respread[0].Depth, 1e-12)
	assert.Equal(t, "verge", job.Respread[1].Name)
	assert.Len(t, job.Respread[1].Area, 1)
	_, err = load(t, site(pad(`outline = "square.csv"`, "finished = 11")+"[[respread]]\narea = \"square.csv\"\n"))
	assert.Equal(t, "respread[0].depth", inputError(t, err).Key)
	_, err = load(t, site(pad(`outline = "square.csv"`, "finished = 11")+"[[respread]]\narea = \"square.csv\"\ndepth = 175\n"))
	assert.Equal(t, "respread[0].depth", inputError(t, err).Key)
}

// At this level two facets of the strip's rim leave a ring a few micrometres wide, which
// is no part of the rim.
func TestStripOfDemoAtASliver(t *testing.T) {
	job, err := takeoff.Load(t.Context(), os.DirFS("../../cmd/barrow/demo"), "job.toml", takeoff.Limits{})
	require.NoError(t, err)
	before := run(t, job).Total.StripArea
	job.Pads[0].Finished, job.Pads[1].Finished = 64.897769419, 64.397769419
	assert.InEpsilon(t, before, run(t, job).Total.StripArea, 0.02)
}
