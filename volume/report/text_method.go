package report

import (
	"fmt"
	"math"
	"strconv"
)

// formation writes how the surface to dig to came about.
func (t *text) formation() {
	words := "finished level less the build-up, by the ladders above"
	if t.any(hasMargin) {
		words += "; its surface goes on into the margin"
	}
	t.item("Formation", words)
	if t.any(hasBatter) {
		t.batters()
	}
	if t.r.StripRule != nil {
		t.item("Topsoil", "works, cut and fill are found on the ground less its depth of topsoil. Where that lies below the "+
			"formation and the ground above it, the gap is filled up again: make-up, a part of fill")
	}
}

// batters writes by what rule they are found.
func (t *text) batters() {
	t.item("Batters", "from the formation outline each face rises at its batter, in fill it falls, to where it meets the ground. "+
		"At any place the lowest face of all sides rules, in fill the highest; what does not hang together with the "+
		"pad's own cut or fill, such as a second rise behind, stays")
	if bound := t.r.Total.FacetBound; bound > 0 {
		t.item("", fmt.Sprintf("round an outward corner the face is a cone, made of planes that touch it from below, in fill "+
			"from above: that takes nothing off the volumes, and adds less than %s %s to all of them together", roundedUp(bound), t.n.units.Volume))
	}
}

// roundedUp writes the least power of ten over x, which is above 0, but no less
// than a millionth.
func roundedUp(x float64) string {
	digits := min(-int(math.Floor(math.Log10(x)))-1, 6)
	return strconv.FormatFloat(math.Pow10(-digits), 'f', max(digits, 0), 64)
}
