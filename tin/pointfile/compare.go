package pointfile

import (
	"math"
	"slices"
)

// compare holds the level of a site against those of its 8 neighbours, brought
// to its place along their slope: on a hillside half of them would else lie far
// above and half far below. off is the level less the median of the others,
// local their median absolute deviation, alone tells that all but one of them,
// or all, lie on one side.
func (t *tree) compare(i int, q *near) (off, local float64, alone bool) {
	own := t.sites[i]
	var de, dn, dz [neighbours]float64
	for k, j := range q.site {
		s := t.sites[j]
		de[k], dn[k], dz[k] = s.e-own.e, s.n-own.n, s.level-own.level
	}
	// A neighbour with a wrong level would tilt the slope: the worst is left out.
	ge, gn := slope(&de, &dn, &dz, -1)
	worst, most := -1, 0.0
	mean := 0.0
	for k := range dz {
		mean += (dz[k] - ge*de[k] - gn*dn[k]) / neighbours
	}
	for k := range dz {
		if r := math.Abs(dz[k] - ge*de[k] - gn*dn[k] - mean); r > most {
			worst, most = k, r
		}
	}
	ge, gn = slope(&de, &dn, &dz, worst)

	var here [neighbours]float64
	above, below := 0, 0
	for k := range here {
		here[k] = dz[k] - float64(ge*de[k]) - float64(gn*dn[k])
		if here[k] > 0 {
			above++
		} else if here[k] < 0 {
			below++
		}
	}
	slices.Sort(here[:])
	m := median(here[:])
	for k := range here {
		here[k] = math.Abs(here[k] - m)
	}
	slices.Sort(here[:])
	return -m, median(here[:]), max(above, below) >= neighbours-1
}

// slope fits a plane by least squares, without one of the points (-1: with all
// of them). Where they lie nearly in a line the slope across it is not known:
// a twentieth of the moments is added to them, which takes it for nothing there
// and makes it a tenth too small elsewhere.
func slope(de, dn, dz *[neighbours]float64, without int) (ge, gn float64) {
	var count, me, mn, mz float64
	for k := range de {
		if k == without {
			continue
		}
		count++
		me += de[k]
		mn += dn[k]
		mz += dz[k]
	}
	me, mn, mz = me/count, mn/count, mz/count
	var ee, en, nn, ez, nz float64
	for k := range de {
		if k == without {
			continue
		}
		e, n, z := de[k]-me, dn[k]-mn, dz[k]-mz
		ee += float64(e * e)
		en += float64(e * n)
		nn += float64(n * n)
		ez += float64(e * z)
		nz += float64(n * z)
	}
	more := 0.05 * (ee + nn)
	ee, nn = ee+more, nn+more
	det := float64(ee*nn) - float64(en*en)
	if !(det > 0) {
		return 0, 0
	}
	return (float64(ez*nn) - float64(nz*en)) / det, (float64(nz*ee) - float64(ez*en)) / det
}

// median of ascending numbers, at least one.
func median(sorted []float64) float64 {
	n := len(sorted)
	if n%2 == 1 {
		return sorted[n/2]
	}
	return sorted[n/2-1]/2 + sorted[n/2]/2
}
