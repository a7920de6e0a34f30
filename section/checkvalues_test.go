package section_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"barrow/section"
)

// exact is how far a value may be off that a source prints unrounded.
const exact = 1e-9

func spans(t testing.TB, ends ...section.End) []section.Span {
	t.Helper()
	out, err := section.Spans(ends)
	require.NoError(t, err)
	return out
}

func cut(chainage, area float64) section.End {
	return section.End{Chainage: chainage, Cut: section.Area{Area: area}}
}

// AEA-1: Wikibooks, Fundamentals of Transportation, Earthwork, Solution page
// (2021-03). The source takes runs that close to nothing as pyramids.
func TestAEA1(t *testing.T) {
	e := published(t, "AEA-1")
	require.Equal(t, []string{"station", "cut_area", "fill_area"}, e.Columns)
	var ends []section.End
	for _, r := range e.Rows {
		ends = append(ends, section.End{Chainage: *r[0], Cut: section.Area{Area: *r[1]}, Fill: section.Area{Area: *r[2]}})
	}
	v := section.AverageEndArea(spans(t, ends...), section.AsPyramid)
	holds(t, "fill", number(t, e.Printed, "fill_total"), v.Fill, exact)
	holds(t, "cut, printed to 0.1", number(t, e.Printed, "cut_total"), v.Cut, 0.05)
	holds(t, "cut", 1058+1.0/3, v.Cut, exact)
	holds(t, "fill less cut, printed to 0.1", number(t, e.Printed, "net_short"), v.Fill-v.Cut, 0.05)
	for i, want := range numbers(t, e.Recomputed, "fill_runs") {
		require.InDelta(t, want, v.Spans[i].Fill, exact)
	}
	for i, want := range numbers(t, e.Recomputed, "cut_runs") {
		require.InDelta(t, want, v.Spans[i+2].Cut, 5e-5)
	}
	plain := section.AverageEndArea(spans(t, ends...), section.Averaged)
	holds(t, "fill, plain averages", number(t, e.Recomputed, "if_plain_average_everywhere", "fill_total"), plain.Fill, exact)
	holds(t, "cut, plain averages", number(t, e.Recomputed, "if_plain_average_everywhere", "cut_total"), plain.Cut, exact)
}

// AEA-2: US Navy, NAVEDTRA 14080, ch. 4, pp. 4-8 and 4-9: cubic yards of one station
// of 100 ft between areas that add up to 1 ft2. The printed constant is rounded.
func TestAEA2(t *testing.T) {
	e := published(t, "AEA-2")
	v := section.AverageEndArea(spans(t, cut(0, 0.25), cut(100, 0.75)), section.Averaged)
	holds(t, "yd3 per ft2 and station, printed to 0.01", number(t, e.Printed, "constant"), v.Cut/27, 0.005)
	holds(t, "yd3 per ft2 and station", 100.0/54, v.Cut/27, exact)
}

// levelEnd is a level cut section on an alignment.
func levelEnd(chainage, width, slope, h float64) section.End {
	return cut(chainage, section.LevelSection(width, slope, h))
}

// AEA-3: G. L. Vose, Handbook of Railroad Construction (1857), par. 108. The book
// rounds to whole square feet; its middle areas 236 and 483 should be 234.4 and 484.4.
// PRIS-3: the correction by the formula of course notes 10CV44, pp. 101-103, is just
// the difference of the two sums.
func TestAEA3(t *testing.T) {
	e := published(t, "AEA-3")
	width, slope, length := number(t, e.Given, "base_width"), number(t, e.Given, "side_slope_h_per_v"), number(t, e.Given, "run_length")
	var run []section.Span
	corrections := 0.0
	for i := 1; i < len(e.Rows); i++ {
		a, b, c := *e.Rows[i-1][0], *e.Rows[i][0], float64(i)*length
		middle := levelEnd(c-length/2, width, slope, (a+b)/2)
		run = append(run, section.Span{From: levelEnd(c-length, width, slope, a), To: levelEnd(c, width, slope, b), Middle: &middle})
		holds(t, fmt.Sprintf("end area at cut %v, printed whole", b), *e.Rows[i][1], run[i-1].To.Cut.Area, 0.5)
		corrections += section.LevelCorrection(length, slope, a, b)
	}
	for i, want := range numbers(t, e.Recomputed, "middle_areas") {
		require.InDelta(t, want, run[i].Middle.Cut.Area, exact)
	}
	mean := section.AverageEndArea(run, section.Averaged)
	for i, want := range numbers(t, e.Printed, "run_volumes") {
		holds(t, fmt.Sprintf("run %d, from whole areas", i+1), want, mean.Spans[i].Cut, 0.75*length)
	}
	holds(t, "by averages, of whole areas", number(t, e.Printed, "average_total"), mean.Cut, 50)
	holds(t, "by averages", number(t, e.Recomputed, "average_total"), mean.Cut, exact)
	p, err := section.Prismoidal(run)
	require.NoError(t, err)
	holds(t, "prismoidal", number(t, e.Recomputed, "prismoidal_total"), p.Cut, exact)
	for i, want := range numbers(t, e.Recomputed, "run_volumes_prismoidal") {
		require.InDelta(t, want, p.Spans[i].Cut, exact)
	}
	over, err := section.OverMeasure(run)
	require.NoError(t, err)
	holds(t, "correction, by its formula (PRIS-3)", number(t, e.Recomputed, "prismoidal_correction_total"), corrections, exact)
	require.InDelta(t, corrections, over.Cut, exact)
}

// PRIS-1: engineering examination question bank, an embankment on ground that falls 1
// in 50; width, side slope and heights are implied by its areas. PRIS-3 as above.
func TestPRIS1(t *testing.T) {
	e := published(t, "PRIS-1")
	width, slope := number(t, e.Given, "implied", "formation_width"), number(t, e.Given, "implied", "side_slope_h_per_v")
	h0, h1 := number(t, e.Given, "implied", "height_start"), number(t, e.Given, "implied", "height_end")
	length := number(t, e.Given, "length")
	a, m, b := levelEnd(0, width, slope, h0), levelEnd(length/2, width, slope, (h0+h1)/2), levelEnd(length, width, slope, h1)
	require.InDelta(t, number(t, e.Given, "A0"), a.Cut.Area, exact)
	require.InDelta(t, number(t, e.Given, "A1"), b.Cut.Area, exact)
	run, err := section.Alternate([]section.End{a, m, b})
	require.NoError(t, err)
	p, err := section.Prismoidal(run)
	require.NoError(t, err)
	holds(t, "prismoidal", number(t, e.Printed, "prismoidal"), p.Cut, exact)
	holds(t, "end areas", number(t, e.Printed, "end_area"), section.AverageEndArea(run, section.Averaged).Cut, exact)
	holds(t, "correction, by its formula (PRIS-3)", number(t, e.Printed, "correction"), section.LevelCorrection(length, slope, h0, h1), exact)
}

// PRIS-2: worked spreadsheet page on filling over a 5 m grid. The total is printed to
// 3 decimals.
func TestPRIS2(t *testing.T) {
	e := published(t, "PRIS-2")
	d, areas := number(t, e.Given, "spacing"), numbers(t, e.Given, "areas_in_order")
	require.InDelta(t, number(t, e.Recomputed, "first_area"), section.Trapezoidal(d, []float64{0.98, 0.97}), exact)
	holds(t, "weighted areas", number(t, e.Printed, "row_bracket"), section.Simpson(d, areas)*3/d, exact)
	holds(t, "total of seven rows, to 3 decimals", number(t, e.Printed, "total_volume"), number(t, e.Given, "row_bracket_sum_over_all_rows")*section.Simpson(d, []float64{0, 1, 0})/4, 5e-4)
	var ends []section.End
	for i, a := range areas {
		ends = append(ends, cut(float64(i)*d, a))
	}
	run, err := section.Alternate(ends)
	require.NoError(t, err)
	p, err := section.Prismoidal(run)
	require.NoError(t, err)
	require.InDelta(t, section.Simpson(d, areas), p.Cut, exact, "Simpson's weights are the prismoidal rule of alternate sections")
}

// SECT-1: US Navy, NAVEDTRA 14069 (fig. 14-30) and 14070/14071 (ch. 10, pp. 10-7,
// 10-8), station 305. The printed 509.9 ft2 is from dimensions scaled off a plot.
func TestSECT1(t *testing.T) {
	e := published(t, "SECT-1")
	three := section.ThreeLevel{
		Width: number(t, e.Given, "formation_width"), Centre: number(t, e.Given, "centre_cut"),
		LeftOffset: number(t, e.Given, "left", "offset"), LeftHeight: number(t, e.Given, "left", "cut"),
		RightOffset: number(t, e.Given, "right", "offset"), RightHeight: number(t, e.Given, "right", "cut"),
	}
	want := number(t, e.Recomputed, "area_by_three_level_formula")
	holds(t, "by the formula", want, three.Area(), exact)
	corners := []section.Level{
		{Offset: -20}, {Offset: -three.LeftOffset, Level: three.LeftHeight}, {Level: three.Centre},
		{Offset: three.RightOffset, Level: three.RightHeight}, {Offset: 20},
	}
	holds(t, "by coordinates", number(t, e.Recomputed, "area_by_coordinates"), section.CrissCross(corners), exact)
	s, err := three.Section(305)
	require.NoError(t, err)
	holds(t, "between ground and formation", want, s.Cut.Area, exact)
	scaled := number(t, e.Printed, "area_by_scaled_resolution")
	holds(t, "scaled off a plot", scaled, three.Area(), scaled*0.005)
}

// SECT-2: Wheatley, The Polar Planimeter, ch. VI, Form of Field Notes. Offsets and
// cuts are printed; areas and volumes are computed from them, stations 100 ft apart.
// PRIS-3: the three-level correction (route surveying notes) on the same four runs.
func TestSECT2(t *testing.T) {
	e := published(t, "SECT-2")
	half, slope := number(t, e.Given, "half_width_implied"), number(t, e.Given, "side_slope_h_per_v")
	spacing := number(t, e.Given, "station_spacing_assumed_here")
	areas := numbers(t, e.Recomputed, "areas")
	var notes []section.ThreeLevel
	var ends []section.End
	for i, r := range e.Rows {
		three := section.ThreeLevel{Width: 2 * half, LeftOffset: *r[1], LeftHeight: *r[2], Centre: *r[3], RightOffset: *r[4], RightHeight: *r[5]}
		require.InDelta(t, half+slope*three.LeftHeight, three.LeftOffset, exact)
		require.InDelta(t, half+slope*three.RightHeight, three.RightOffset, exact)
		s, err := three.Section(*r[0] * spacing)
		require.NoError(t, err)
		holds(t, fmt.Sprintf("area at station %v", *r[0]), areas[i], s.Cut.Area, exact)
		require.InDelta(t, s.Cut.Area, three.Area(), exact)
		notes, ends = append(notes, three), append(ends, s.End())
	}
	run := spans(t, ends...)
	correction := 0.0
	for i := range run {
		c := section.ThreeLevelCorrection(spacing, notes[i], notes[i+1])
		run[i].Middle = halfWay(t, run[i], notes[i], notes[i+1])
		correction += c
	}
	mean := section.AverageEndArea(run, section.Averaged)
	p, err := section.Prismoidal(run)
	require.NoError(t, err)
	holds(t, "end areas, yd3", number(t, e.Recomputed, "volume_average_yd3"), mean.Cut/27, 5e-4)
	holds(t, "correction by its formula (PRIS-3), yd3", number(t, e.Recomputed, "prismoidal_correction_yd3"), correction/27, 5e-5)
	holds(t, "prismoidal, yd3", number(t, e.Recomputed, "volume_prismoidal_yd3"), p.Cut/27, 5e-5)
	require.InDelta(t, mean.Cut-correction, p.Cut, exact)
}

// halfWay is the middle section, all dimensions the means of both ends'.
func halfWay(t *testing.T, s section.Span, a, b section.ThreeLevel) *section.End {
	t.Helper()
	mean := section.ThreeLevel{
		Width: a.Width, Centre: (a.Centre + b.Centre) / 2,
		LeftOffset: (a.LeftOffset + b.LeftOffset) / 2, LeftHeight: (a.LeftHeight + b.LeftHeight) / 2,
		RightOffset: (a.RightOffset + b.RightOffset) / 2, RightHeight: (a.RightHeight + b.RightHeight) / 2,
	}
	m, err := mean.Section((s.From.Chainage + s.To.Chainage) / 2)
	require.NoError(t, err)
	end := m.End()
	return &end
}

// AREA-1: course slides, Lecture 18, Module 5, Problem 2. Printed to 2 decimals.
func TestAREA1(t *testing.T) {
	e := published(t, "AREA-1")
	d, offsets := number(t, e.Given, "spacing"), numbers(t, e.Given, "offsets")
	holds(t, "trapezoidal", number(t, e.Printed, "trapezoid"), section.Trapezoidal(d, offsets), exact)
	holds(t, "Simpson, first nine", number(t, e.Printed, "simpson_part"), section.Simpson(d, offsets[:9]), exact)
	holds(t, "last strip, to 0.01", number(t, e.Printed, "last_strip"), section.Trapezoidal(d, offsets[8:]), 0.0051)
	holds(t, "Simpson and last strip, to 0.01", number(t, e.Printed, "simpson_total"), section.Simpson(d, offsets), 0.0051)
}

// MASS-1: highway engineering textbook solution (believed Garber and Hoel; from
// memory). Ordinates follow from its moment terms: the volume of each stretch is at
// its middle. What lies above the free-haul lines is not given; any hump will do. The
// source rounds its haul distances, which moves the two parts by a dollar.
func TestMASS1(t *testing.T) {
	e := published(t, "MASS-1")
	free, rate := number(t, e.Given, "free_haul_ft"), number(t, e.Given, "rate_per_yd3_station")
	first, second := number(t, e.Given, "section_1_volume"), number(t, e.Given, "section_2_volume")
	curve := [][2]float64{ // ft, yd3
		{0, 0}, {100, 130}, {180, first}, {500, 600}, {880, first}, {900, 299}, {960, 0},
		{1000, -201}, {1020, -second}, {1300, -400}, {1720, -second}, {1763, 0},
	}
	var spans []section.Volume
	for i := 1; i < len(curve); i++ {
		s := section.Volume{From: curve[i-1][0], To: curve[i][0]}
		if net := curve[i][1] - curve[i-1][1]; net > 0 {
			s.Cut = net
		} else {
			s.Fill = -net
		}
		spans = append(spans, s)
	}
	c, err := section.MassHaul(spans, section.Haulage{FreeHaul: free})
	require.NoError(t, err)
	require.InDeltaSlice(t, []float64{960, 1763}, c.Balance, exact)
	moments := numbers(t, e.Recomputed, "moments") // in stations of 100 ft
	holds(t, "overhaul, yd3 station", moments[0]+moments[1]+moments[2]+moments[3], c.Overhaul/100, exact)
	holds(t, "overhauled, yd3", first+second, c.OverhaulVolume, exact)
	holds(t, "cost, printed to 1", number(t, e.Printed, "total"), c.Overhaul/100*rate, 0.5)
	one, err := section.MassHaul(spans[:6], section.Haulage{FreeHaul: free})
	require.NoError(t, err)
	holds(t, "cost of the first section, of rounded distances", number(t, e.Printed, "cost_1"), one.Overhaul/100*rate, 1.5)
	holds(t, "cost of the first section", number(t, e.Recomputed, "cost_1"), one.Overhaul/100*rate, exact)
	holds(t, "cost of the second section", number(t, e.Recomputed, "cost_2"), (c.Overhaul-one.Overhaul)/100*rate, exact)
}

// MASS-2: SURVY2 202, Chapter 4B lessons, example 1. The source's cut and fill do not
// balance, so its limits are taken as given; it rounds the areas at them.
func TestMASS2(t *testing.T) {
	e := published(t, "MASS-2")
	start, end := numbers(t, e.Given, "cut_start"), numbers(t, e.Given, "fill_end")
	balance := cut(number(t, e.Given, "balance_point"), 0)
	economic, free := numbers(t, e.Given, "economic_haul_limits"), numbers(t, e.Given, "free_haul_limits")
	from, to := cut(start[0], start[1]), cut(end[0], end[1])
	inCut, inFill := section.Interpolate(from, balance, economic[0]), section.Interpolate(balance, to, economic[1])
	mean := func(a, b section.End) float64 { return section.AverageEndArea(spans(t, a, b), section.Averaged).Cut }
	holds(t, "cut area at the limit", number(t, e.Printed, "cut_area_at_limit"), inCut.Cut.Area, 0.005)
	holds(t, "fill area at the limit", number(t, e.Printed, "fill_area_at_limit"), inFill.Cut.Area, 0.005)
	holds(t, "waste, of rounded areas", number(t, e.Printed, "waste"), mean(from, inCut), 0.05)
	holds(t, "borrow, of rounded areas", number(t, e.Printed, "borrow"), mean(inFill, to), 0.05)
	holds(t, "waste", number(t, e.Recomputed, "waste"), mean(from, inCut), 5e-4)
	holds(t, "borrow", number(t, e.Recomputed, "borrow"), mean(inFill, to), 5e-4)
	freeCut, freeFill := section.Interpolate(from, balance, free[0]), section.Interpolate(balance, to, free[1])
	holds(t, "fill area at the free haul", number(t, e.Printed, "fill_area_at_free_haul"), freeFill.Cut.Area, 5e-4)
	holds(t, "free haul, cut", number(t, e.Recomputed, "free_haul_volume_cut"), mean(freeCut, balance), 5e-4)
	holds(t, "free haul, fill", number(t, e.Recomputed, "free_haul_volume_fill"), mean(balance, freeFill), 5e-4)
	holds(t, "overhaul, cut", number(t, e.Recomputed, "overhaul_volume_cut_side"), mean(inCut, freeCut), 5e-4)
	holds(t, "overhaul, fill", number(t, e.Recomputed, "overhaul_volume_fill_side"), mean(freeFill, inFill), 5e-4)
}
