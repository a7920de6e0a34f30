package takeoff_test

import (
	"context"
	"errors"
	"fmt"
	"log"
	"os"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"barrow/tin"
	"barrow/tin/formation"
	"barrow/volume/material"
	"barrow/volume/price"
	"barrow/volume/takeoff"
)

const invented = "currency,XTS\nitem,quantity,unit,rate\nDig,cut,m3 bank,6.5\n"

// priced is a job on the site of the load tests, 100 m2, with rates.
func priced(rates string) fstest.MapFS {
	files := site(strings.Replace(jobOfPrices, "UNITS", "m", 1))
	files["rates.csv"] = &fstest.MapFile{Data: []byte(rates)}
	return files
}

const jobOfPrices = `
name  = "square"
units = "UNITS"
rates = "rates.csv"
[ground]
topsoil = 0.2
[[survey]]
points = "spots.csv"
[[pad]]
name     = "store"
outline  = "square.csv"
finished = 10.5
layers   = [ { name = "slab", thickness = 0.1 }, { name = "base", thickness = 0.2, to = "margin" } ]
margin   = 0.5
batter   = { cut = "1V:1H" }
thickenings = [ { name = "beam", line = [[12, 12], [18, 12]], width = 0.5, depth = 0.4, from = "formation" } ]
backfill = { to = "ground" }
`

// ruled is a result with every kind of quantity: two pads, thickenings, backfill, layers,
// batters, topsoil and a place to spread it again.
func ruled(t testing.TB, unit tin.Unit) *takeoff.Result {
	t.Helper()
	square := func(e, n, side float64) orb.Polygon {
		return orb.Polygon{{{e, n}, {e + side, n}, {e + side, n + side}, {e, n + side}}}
	}
	job := &takeoff.Job{
		Units:    unit,
		Surveys:  []takeoff.Survey{{Points: []tin.Point{{E: 0, N: 0, Level: 10}, {E: 80, N: 0, Level: 13}, {E: 80, N: 50, Level: 12}, {E: 0, N: 50, Level: 11}}}},
		Ground:   takeoff.Ground{Topsoil: takeoff.Topsoil{Depth: 0.2, Beyond: 1}},
		Respread: []takeoff.TopsoilArea{{Name: "garden", Area: orb.MultiPolygon{square(60, 30, 10)}, Depth: 0.15}},
	}
	for i, name := range []string{"store", "yard"} {
		job.Pads = append(job.Pads, takeoff.Pad{
			Name: name, Outline: square(10+float64(i)*30, 15, 12), Finished: 11.2, Margin: 0.75,
			Cut: takeoff.Batter{Along: 1}, Fill: takeoff.Batter{Along: 2},
			Layers:      []takeoff.Layer{{Name: "slab", Thickness: 0.15}, {Name: "base", Thickness: 0.2, To: takeoff.LayersToMargin}},
			Thickenings: []takeoff.Thickening{{Name: "beam", Lines: []orb.LineString{{{12 + float64(i)*30, 17}, {20 + float64(i)*30, 17}}}, Width: 0.5, Depth: 0.4, From: formation.FromFormation}},
			Backfill:    &takeoff.Backfill{UpTo: takeoff.BackfillGround},
		})
	}
	r, err := takeoff.Run(t.Context(), job, takeoff.Options{})
	require.NoError(t, err)
	return r
}

// The quantities of each split of a work add up to the work, and none is missing: what
// is priced by parts, by pads or by names is what is priced whole.
func TestQuantitiesSplitsAddUp(t *testing.T) {
	for _, unit := range []tin.Unit{tin.Metre, tin.Foot, tin.SurveyFoot} {
		r := ruled(t, unit)
		sums := map[[2]string]float64{}
		units := map[[2]string]price.Unit{}
		keys := map[string]bool{}
		for _, q := range takeoff.Quantities(r) {
			assert.False(t, keys[q.Key], q.Key)
			keys[q.Key] = true
			assert.GreaterOrEqual(t, q.Amount, 0.0, q.Key)
			assert.NotEmpty(t, q.Words)
			again, err := price.ParseUnit(q.Unit.String())
			require.NoError(t, err)
			assert.Equal(t, again, q.Unit)
			assert.Equal(t, q.Work == "", q.Split == "", q.Key)
			if at := [2]string{q.Work, q.Split}; q.Work != "" {
				sums[at] += q.Amount
				assert.True(t, units[at] == (price.Unit{}) || units[at] == q.Unit, q.Key)
				units[at] = q.Unit
			}
		}
		splits := 0
		for at, got := range sums {
			whole := [2]string{at[0], "whole"}
			if units[at] != units[whole] {
				continue // by area
			}
			splits++
			assert.InDelta(t, sums[whole], got, 1e-9*sums[whole], at)
			assert.Positive(t, got, at)
		}
		assert.Equal(t, 18, splits) // cut, fill, thickenings and backfill 3 each, trimming 2, topsoil, respread and 2 layers 1 each
	}
}

// With materials, cut, thickenings and spoil are split by them, and what is of none has a
// row of its own.
func TestQuantitiesOfMaterials(t *testing.T) {
	r := ruled(t, tin.Metre)
	bank := func(v float64) *material.Bank { b := material.Bank(v); return &b }
	loose, tonnes := material.Loose(50), 90.0
	r.Materials = &material.Result{
		Materials: []material.MaterialResult{
			{Name: "topsoil", Topsoil: true, Dug: material.Bank(r.Total.Topsoil)},
			{Name: "clay", Dug: material.Bank(r.Total.Cut+r.Total.ThickeningVolume) - 3, Thickenings: material.Bank(r.Total.ThickeningVolume), Spoil: bank(40), SpoilLoose: 50, SpoilTonnes: 90},
		},
		Spoil: bank(40), SpoilLoose: &loose, SpoilTonnes: &tonnes,
		Import:   &material.ImportResult{Measure: material.ByTonnes, Amount: 21, Compacted: 10, Tonnes: 21},
		Trucks:   []material.TruckResult{{Name: "tipper", Loads: 5, Materials: []material.Loads{{Material: "clay", Loads: 5}}, Import: &material.Loads{Loads: 2}}},
		Machines: []material.MachineResult{{Name: "digger", Hours: 7}},
		Haul:     &material.HaulPlan{VolumeDistance: 800},
	}
	got := map[string]string{}
	for _, q := range takeoff.Quantities(r) {
		got[q.Key] = fmt.Sprintf("%.9g %s", q.Amount, q.Unit)
	}
	for key, want := range map[string]string{
		"material.clay.cut": fmt.Sprintf("%.9g m3 bank", r.Total.Cut-3), "cut_of_no_material": "3 m3 bank",
		"material.clay.thickenings": fmt.Sprintf("%.9g m3 bank", r.Total.ThickeningVolume), "thickenings_of_no_material": "0 m3 bank",
		"spoil": "40 m3 bank", "spoil_loose": "50 m3 loose", "spoil_tonnes": "90 t", "material.clay.spoil_loose": "50 m3 loose", "material.topsoil.spoil": "0 m3 bank",
		"truck.tipper.spoil_loads": "5 load", "truck.tipper.loads.clay": "5 load", "truck.tipper.import_loads": "2 load",
		"import_compacted": "10 m3 compacted", "import_loose": "0 m3 loose", "import_tonnes": "21 t", "machine.digger.hours": "7 h", "haul": "800 m3.m",
	} {
		assert.Equal(t, want, got[key], key)
	}
	assert.NotContains(t, got, "material.topsoil.cut")
}

// Every key stands in the table of docs/formats.md.
func TestQuantitiesAreDocumented(t *testing.T) {
	data, err := os.ReadFile("../../docs/formats.md")
	require.NoError(t, err)
	for _, q := range takeoff.Quantities(ruled(t, tin.Metre)) {
		key := q.Key
		for _, name := range []string{"slab", "base", "beam", "store", "yard"} {
			key = strings.Replace(key, "."+name+".", ".NAME.", 1)
		}
		assert.Contains(t, string(data), "`"+key+"`")
	}
}

func TestQuantitiesUnits(t *testing.T) {
	for unit, want := range map[tin.Unit]string{tin.Metre: "m3 bank m2 m m3", tin.Foot: "yd3 bank ft2 ft yd3", tin.SurveyFoot: "yd3 bank ftUS2 ftUS yd3"} {
		got := map[string]string{}
		for _, q := range takeoff.Quantities(ruled(t, unit)) {
			got[q.Key] = q.Unit.String()
		}
		assert.Equal(t, want, strings.Join([]string{got["cut"], got["trim_area"], got["perimeter"], got["layer.slab.volume"]}, " "))
	}
}

// Where the ground ends, what it touches is at least that.
func TestQuantitiesAtLeast(t *testing.T) {
	least := func(r *takeoff.Result) (keys []string) {
		for _, q := range takeoff.Quantities(r) {
			if q.AtLeast {
				keys = append(keys, q.Key)
			}
		}
		return keys
	}
	r := ruled(t, tin.Metre)
	assert.Empty(t, least(r))
	r.Total.OpenLength = 1
	assert.Contains(t, least(r), "cut")
	assert.NotContains(t, least(r), "outline_cut")
	r.Total.UncoveredArea = 1
	assert.Contains(t, least(r), "outline_cut")
	assert.NotContains(t, least(r), "outline_area")
	assert.NotContains(t, least(r), "pad.store.cut")
	r.Pads[0].OpenLength = 1
	assert.Contains(t, least(r), "pad.store.cut")
	assert.NotContains(t, least(r), "pad.yard.cut")
}

func TestPriceOfAJobFile(t *testing.T) {
	job, err := takeoff.Load(t.Context(), priced(invented), "job.toml", takeoff.Limits{})
	require.NoError(t, err)
	require.NotNil(t, job.Rates)
	measured, err := takeoff.Run(t.Context(), job, takeoff.Options{})
	require.NoError(t, err)
	p, err := takeoff.Price(t.Context(), job, takeoff.Options{})
	require.NoError(t, err)
	with := func(r *price.Rates) []takeoff.Input {
		return append(slices.Clone(measured.Inputs), takeoff.Input{Path: "rates.csv", SHA256: r.SHA256})
	}
	assert.Equal(t, with(job.Rates), p.Inputs)
	assert.Equal(t, "rates.csv", p.Rates)
	assert.Equal(t, measured.Total.Cut, p.Quantities[0].Amount)
	assert.Equal(t, p.Quantities[0].Amount, p.Bill.Groups[0].Lines[0].Quantity.Amount)
	var works []string
	for _, g := range p.Bill.NotPriced {
		works = append(works, g.Work)
	}
	assert.Equal(t, []string{"topsoil", "trimming of the formation", "thickenings", "backfill", "layer slab", "layer base"}, works)
	assert.Len(t, p.Warnings, len(measured.Warnings)+len(works))

	rates, err := takeoff.LoadRates(t.Context(), takeoff.DataFile{FS: priced(strings.Replace(invented, "6.5", "7", 1)), Name: "rates.csv"}, takeoff.Limits{})
	require.NoError(t, err)
	other, err := takeoff.PriceResult(measured, rates)
	require.NoError(t, err)
	assert.Greater(t, other.Bill.Total, p.Bill.Total)
	assert.Equal(t, with(rates), other.Inputs, "the rates it was priced by, and no others")
}

// A bill without warnings has an empty list of them in JSON, as a takeoff has, and no null.
func TestPriceWithoutWarnings(t *testing.T) {
	rates, err := takeoff.LoadRates(t.Context(), takeoff.DataFile{FS: priced(invented), Name: "rates.csv"}, takeoff.Limits{})
	require.NoError(t, err)
	p, err := takeoff.PriceResult(&takeoff.Result{Units: takeoff.Units{Length: "m", Area: "m2", Volume: "m3"}}, rates)
	require.NoError(t, err)
	assert.Empty(t, p.Warnings)
	assert.NotNil(t, p.Warnings)
}

// The rates are among the files of a bill, and not of a takeoff, which does not use them.
func TestRatesAreAnInputOfTheBill(t *testing.T) {
	job, err := takeoff.Load(t.Context(), priced(invented), "job.toml", takeoff.Limits{})
	require.NoError(t, err)
	paths := func(list []takeoff.Input) (out []string) {
		for _, in := range list {
			out = append(out, in.Path)
		}
		return out
	}
	require.Contains(t, paths(job.Inputs), "rates.csv", "it was read, and nothing may be written over it")
	r, err := takeoff.Run(t.Context(), job, takeoff.Options{})
	require.NoError(t, err)
	assert.NotContains(t, paths(r.Inputs), "rates.csv")
	p, err := takeoff.Price(t.Context(), job, takeoff.Options{})
	require.NoError(t, err)
	assert.Equal(t, append(paths(r.Inputs), "rates.csv"), paths(p.Inputs))
}

func TestPriceErrors(t *testing.T) {
	load := func(files fstest.MapFS) error {
		job, err := takeoff.Load(t.Context(), files, "job.toml", takeoff.Limits{})
		if err == nil {
			_, err = takeoff.Price(t.Context(), job, takeoff.Options{})
		}
		return err
	}
	missing, outside, none := priced(invented), priced(invented), priced(invented)
	delete(missing, "rates.csv")
	outside["job.toml"].Data = []byte(strings.Replace(string(outside["job.toml"].Data), `"rates.csv"`, `"/rates.csv"`, 1))
	none["job.toml"].Data = []byte(strings.Replace(string(none["job.toml"].Data), `rates = "rates.csv"`, "", 1))
	for _, tt := range []struct {
		files      fstest.MapFS
		code, file string
		line       int
	}{
		{missing, "file_missing", "job.toml", 4},
		{outside, "path_outside", "job.toml", 4},
		{none, "no_rates", "", 0},
		{priced(invented + "Dig,cut,m3 bank,-1\n"), "negative_rate", "rates.csv", 4},
		{priced(invented + "Cart,cut,m3 loose,1\n"), "unit_mismatch", "rates.csv", 4},
	} {
		err := load(tt.files)
		e, ok := errors.AsType[*tin.InputError](err)
		require.True(t, ok, err)
		assert.Equal(t, []any{tt.code, tt.file, tt.line}, []any{e.Code, e.File, e.Line}, err)
	}
	_, err := takeoff.LoadRates(t.Context(), takeoff.DataFile{FS: missing, Name: "rates.csv"}, takeoff.Limits{})
	assert.ErrorContains(t, err, "rates.csv")
	job, err := takeoff.Load(t.Context(), priced(invented), "job.toml", takeoff.Limits{})
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err = takeoff.Price(ctx, job, takeoff.Options{})
	assert.ErrorIs(t, err, context.Canceled)
}

// A pit of 10 m by 10 m, half a metre deep: 50 m3 at 6.50.
func ExamplePrice() {
	rates, err := price.ReadRates(strings.NewReader("currency,XTS\nitem,quantity,unit,rate\nDig,cut,m3 bank,6.50\nTrim,trim_area,m2,0.75\n"), "rates.csv")
	if err != nil {
		log.Fatal(err)
	}
	job := &takeoff.Job{
		Rates:   rates,
		Surveys: []takeoff.Survey{{Points: []tin.Point{{E: 0, N: 0, Level: 10}, {E: 30, N: 0, Level: 10}, {E: 30, N: 30, Level: 10}, {E: 0, N: 30, Level: 10}}}},
		Pads:    []takeoff.Pad{{Name: "pit", Outline: orb.Polygon{{{10, 10}, {20, 10}, {20, 20}, {10, 20}}}, Finished: 9.5}},
	}
	p, err := takeoff.Price(context.Background(), job, takeoff.Options{})
	if err != nil {
		log.Fatal(err)
	}
	for _, l := range p.Bill.Groups[0].Lines {
		fmt.Println(l.Item, l.Billed, l.Unit, p.Bill.Currency.Text(l.Amount))
	}
	fmt.Println("total", p.Bill.Currency.Code, p.Bill.Currency.Text(p.Bill.Total))
	// Output:
	// Dig 50 m3 bank 325.00
	// Trim 100 m2 75.00
	// total XTS 400.00
}

// A bill of cut and fill alone: its slopes are the rates, with contingency, and the
// covariance is carried through them. With materials a shortage turns into import.
func TestPriceUncertainty(t *testing.T) {
	rates, err := price.ReadRates(strings.NewReader("currency,XTS\ncontingency,10\nquantities,hundredths\nitem,quantity,unit,rate\nDig,cut,m3 bank,650\nFill,fill,m3 compacted,800\nBuy,import_compacted,m3 compacted,3000\n"), "rates.csv")
	require.NoError(t, err)
	job := roughSite(90)
	job.Rates = rates
	p, err := takeoff.Price(t.Context(), job, takeoff.Options{})
	require.NoError(t, err)
	measured := run(t, job)
	u := p.Uncertainty
	require.NotNil(t, u)
	for i, want := range []float64{715_00, 880_00} {
		assert.InEpsilon(t, want, u.TotalPerVolume[i], 1e-3)
		assert.InEpsilon(t, want, u.FirmPerVolume[i], 1e-3)
	}
	assert.InEpsilon(t, 1.96*measured.Uncertainty.Covariance.Of([2]float64{715_00, 880_00}), *u.Total, 1e-3)
	assert.Equal(t, measured.Uncertainty.Parts, u.Parts)

	job.Materials = []takeoff.Material{{Name: "clay", Factors: material.Factors{LoosePerBank: 1.25, CompactedPerBank: 0.1 / 0.11}, Reuse: 0}}
	p, err = takeoff.Price(t.Context(), job, takeoff.Options{})
	require.NoError(t, err)
	assert.InEpsilon(t, 715_00, p.Uncertainty.TotalPerVolume[0], 1e-3)
	assert.InEpsilon(t, 880_00+3300_00, p.Uncertainty.TotalPerVolume[1], 1e-3) // all fill is bought

	job.Surveys[0].Points = job.Surveys[0].Points[:12]
	p, err = takeoff.Price(t.Context(), job, takeoff.Options{})
	require.NoError(t, err)
	assert.Nil(t, p.Uncertainty.Total)
	assert.NotEmpty(t, p.Uncertainty.NotStated)
}

// Spoil priced material by material is priced in part where one of them has no factor to
// be counted by: no split passes for whole without it.
func TestSpoilOfUnknownFactorsIsNotPriced(t *testing.T) {
	job := cutAndFill()
	job.Pads = job.Pads[:1]
	rock := takeoff.Material{Name: "rock", Below: []takeoff.Horizon{{Level: 8.5}}} // 100 of 400 m3
	job.Materials = append([]takeoff.Material{rock}, job.Materials...)
	job.Trucks = []material.Truck{{Name: "tipper", Body: 10}}
	const head = "currency,XTS\nitem,quantity,unit,rate,basis\nDig,cut,m3 bank,6.5,\nTrim,trim_area,m2,1,\n"
	for _, rate := range []string{
		"Cart,material.clay.spoil_loose,m3 loose,3,\n", "Tip,material.clay.spoil_tonnes,t,9,density as dug\n",
		"Cart,truck.tipper.loads.clay,load,30,\n", "Cart,truck.tipper.spoil_loads,load,30,\n", "Cart,spoil_loose,m3 loose,3,\n",
	} {
		var err error
		job.Rates, err = price.ReadRates(strings.NewReader(head+rate), "rates.csv")
		require.NoError(t, err)
		p, err := takeoff.Price(t.Context(), job, takeoff.Options{})
		require.NoError(t, err)
		require.Len(t, p.Bill.NotPriced, 1, rate)
		assert.Equal(t, "spoil: what leaves the site", p.Bill.NotPriced[0].Work, rate)
		assert.Contains(t, codes(p.Warnings), "not_priced", rate)
	}
	job.Rates.Items[2].Key, job.Rates.Items[2].Unit = "spoil", price.Unit{Name: "m3", Measure: price.Bank}
	p, err := takeoff.Price(t.Context(), job, takeoff.Options{})
	require.NoError(t, err)
	assert.Empty(t, p.Bill.NotPriced)
}
