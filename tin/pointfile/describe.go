package pointfile

import (
	"cmp"
	"context"
	"math"
	"slices"

	"github.com/paulmach/orb"
	"gonum.org/v1/gonum/stat"

	"barrow/tin"
)

// Description is what a point file holds, in the unit of the file.
type Description struct {
	Points   int
	PlanOnly int       // of them, those without a level
	Extent   orb.Bound // easting and northing
	Levels   Levels    // of the points that have one

	// Spacing is the median distance in plan from a place to the nearest other
	// place; of the places with a level if there are any. 0 if there are fewer
	// than two.
	Spacing float64

	Codes      []CodeCount // most frequent first, then by code; points without a code are not among them
	Uncoded    int
	Duplicates []Duplicate // in the order of the second line
	Suspects   []Suspect   // in the order of the file
}

// Levels sums levels up. All are 0 if Count is.
type Levels struct {
	Count    int
	Min, Max float64
	Mean     float64
	SD       float64 // sample standard deviation; 0 for one level
}

// CodeCount is how often a code occurs.
type CodeCount struct {
	Code  string
	Count int
}

// Duplicate is a point at the place of one before it; both have levels.
type Duplicate struct {
	First, Second tin.Point
	SameLevel     bool // otherwise one of them is wrong, or a rule must decide
}

// Describe sums a file up. The result depends on the file alone; a million
// points take a few seconds. If ctx ends its error is returned.
func Describe(ctx context.Context, file *File) (Description, error) {
	d := Description{Points: len(file.Points)}
	if len(file.Points) == 0 {
		return d, ctx.Err()
	}
	d.Extent = boundOf(file.Points)
	var levels []float64
	codes := make(map[string]int)
	for _, p := range file.Points {
		if p.HasLevel() {
			levels = append(levels, p.Level)
		}
		if p.Code == "" {
			d.Uncoded++
		} else {
			codes[p.Code]++
		}
	}
	d.PlanOnly = len(file.Points) - len(levels)
	d.Levels = levelsOf(levels)
	for c, n := range codes {
		d.Codes = append(d.Codes, CodeCount{c, n})
	}
	slices.SortFunc(d.Codes, func(a, b CodeCount) int {
		return cmp.Or(cmp.Compare(b.Count, a.Count), cmp.Compare(a.Code, b.Code))
	})

	apart := findApart(file.Points)
	d.Suspects = apart.suspects(file.Points)
	var sites []site
	sites, d.Duplicates = sitesOf(file.Points, apart.out, len(levels) > 0)
	if len(sites) > 1 {
		spacing, suspects, err := survey(ctx, file.Points, sites, len(levels) > 0)
		if err != nil {
			return Description{}, err
		}
		d.Spacing = spacing
		d.Suspects = append(d.Suspects, suspects...)
	}
	slices.SortStableFunc(d.Suspects, func(a, b Suspect) int { return cmp.Compare(a.index, b.index) })
	return d, ctx.Err()
}

func levelsOf(levels []float64) Levels {
	l := Levels{Count: len(levels)}
	if l.Count == 0 {
		return l
	}
	l.Min, l.Max = slices.Min(levels), slices.Max(levels)
	l.Mean, l.SD = stat.MeanStdDev(levels, nil)
	if l.Count == 1 {
		l.SD = 0
	}
	return l
}

// sitesOf returns the places of the points, those with a level only if
// levelled, without those left out; and the points that share a place.
func sitesOf(points []tin.Point, out []bool, levelled bool) ([]site, []Duplicate) {
	sites := make([]site, 0, len(points))
	for i, p := range points {
		if !levelled || p.HasLevel() {
			// Adding 0 makes -0 and 0 one place.
			sites = append(sites, site{p.E + 0, p.N + 0, p.Level, int32(i)})
		}
	}
	slices.SortFunc(sites, func(a, b site) int {
		return cmp.Or(compareSites(&a, &b, false), cmp.Compare(a.point, b.point))
	})
	var dups []Duplicate
	kept := sites[:0]
	first := site{e: math.NaN()}
	for _, s := range sites {
		if s.e == first.e && s.n == first.n {
			if levelled {
				dups = append(dups, Duplicate{points[first.point], points[s.point], s.level == first.level})
			}
			continue
		}
		first = s
		if out == nil || !out[s.point] {
			kept = append(kept, s)
		}
	}
	slices.SortFunc(dups, func(a, b Duplicate) int { return cmp.Compare(a.Second.Line, b.Second.Line) })
	return kept, dups
}
