package report

import (
	"math"
	"strconv"
	"strings"

	"barrow/volume/takeoff"
)

// numbers writes the numbers of a result, rounded for the sheet.
type numbers struct {
	units           takeoff.Units
	areas, decimals int // decimals of areas and of volumes
}

// newNumbers chooses the decimals: one for areas and volumes, two on a job so
// small that the first would be coarse.
func newNumbers(r *takeoff.Result) numbers {
	greatest := 0.0
	for _, p := range r.Pads {
		greatest = max(greatest, p.Cut, p.Fill)
	}
	return numbersFor(r.Units, greatest, r.Total.WorksArea)
}

// numbersFor chooses the decimals for a greatest volume and an area.
func numbersFor(units takeoff.Units, volume, area float64) numbers {
	n := numbers{units: units, areas: 1, decimals: 1}
	if volume < 100 {
		n.decimals = 2
	}
	if area < 100 {
		n.areas = 2
	}
	return n
}

// fixed writes x with so many decimals, and never "-0.0".
func fixed(x float64, decimals int) string {
	s := strconv.FormatFloat(x, 'f', decimals, 64)
	if strings.Trim(s, "-0.") == "" {
		return strings.TrimPrefix(s, "-")
	}
	return s
}

func (n numbers) level(z float64) string   { return fixed(z, 3) }
func (n numbers) length(l float64) string  { return fixed(l, 3) }
func (n numbers) area(a float64) string    { return fixed(a, n.areas) + " " + n.units.Area }
func (n numbers) volume(v float64) string  { return fixed(v, n.decimals) + " " + n.units.Volume }
func (n numbers) bearing(b float64) string { return fixed(math.Mod(math.Round(b*1e3)/1e3, 360), 3) }

func (n numbers) metric() bool { return n.units.Length == "m" }

// small writes a thickness or a difference of levels, not below 0: in
// millimetres below a metre, else in the unit of the levels.
func (n numbers) small(d float64) string {
	if n.metric() && d < 0.99995 {
		return strconv.FormatFloat(math.Round(d*1e4)/10, 'f', -1, 64) + " mm"
	}
	return fixed(d, 3) + " " + n.units.Length
}

// zero reports whether a difference of levels prints as nothing.
func (n numbers) zero(d float64) bool {
	if n.metric() {
		return math.Abs(d) < 0.00005
	}
	return math.Abs(d) < 0.0005
}

// place writes a place on the grid.
func place(p *takeoff.Place) string {
	return "E " + fixed(p[0], 2) + " N " + fixed(p[1], 2)
}

// above says in words how a level lies to the benchmarks: "425 mm ABOVE
// benchmark BM1 62.500".
func (n numbers) above(marks []takeoff.Above) string {
	var words []string
	for _, m := range marks {
		mark := "benchmark " + strings.TrimSpace(m.Mark+" "+n.level(m.Level))
		switch {
		case n.zero(m.Above):
			words = append(words, "level with "+mark)
		case m.Above > 0:
			words = append(words, n.small(m.Above)+" ABOVE "+mark)
		default:
			words = append(words, n.small(-m.Above)+" BELOW "+mark)
		}
	}
	return strings.Join(words, ", ")
}

// slope writes a fall as a ratio and in per cent.
func slope(s float64) string {
	if s == 0 {
		return "level"
	}
	return "1:" + strconv.FormatFloat(math.Round(100/s)/100, 'f', -1, 64) + " (" +
		strconv.FormatFloat(math.Round(s*1e5)/1e3, 'f', -1, 64) + " %)"
}
