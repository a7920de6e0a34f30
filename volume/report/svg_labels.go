package report

import (
	"math"
	"unicode"

	"github.com/paulmach/orb"
)

// rectangle is a part of a picture.
type rectangle struct{ left, top, right, bottom float64 }

func (r rectangle) meets(q rectangle) bool {
	return r.left < q.right && q.left < r.right && r.top < q.bottom && q.top < r.bottom
}

func (r rectangle) holds(q rectangle) bool {
	return r.left <= q.left && q.right <= r.right && r.top <= q.top && q.bottom <= r.bottom
}

// around returns a rectangle by its middle.
func around(c orb.Point, wide, high float64) rectangle {
	return rectangle{c[0] - wide/2, c[1] - high/2, c[0] + wide/2, c[1] + high/2}
}

// textWidth is how wide words are at most in a common sans serif type of a size: 0.66 of
// it for most letters, more for capitals, full width for those of East Asia. Measured on
// DejaVu Sans, the widest in common use.
func textWidth(words string, size float64) (wide float64) {
	for _, c := range words {
		switch {
		case c > 0x2e80:
			wide += 1.1
		case unicode.IsUpper(c):
			wide += 0.8
		default:
			wide += 0.66
		}
	}
	return wide * size
}

// place takes room for a label, unless it lies outside the ground's part of the sheet or
// over another.
func (d *planDrawing) place(parts ...rectangle) bool {
	within := rectangle{d.left + 0.5, d.top + 0.5, d.right - 0.5, d.bottom - 0.5}
	for _, p := range parts {
		if !within.holds(p) {
			return false
		}
		for _, t := range d.taken {
			if p.meets(t) {
				return false
			}
		}
	}
	d.taken = append(d.taken, parts...)
	return true
}

// slanted returns rectangles that hold a label written at an angle, radians.
func slanted(c orb.Point, wide, high, angle float64) (parts []rectangle) {
	n := max(int(math.Ceil(wide/high)), 1)
	side := high * (math.Abs(math.Cos(angle)) + math.Abs(math.Sin(angle)))
	for k := range n {
		along := (float64(k)+0.5)/float64(n)*wide - wide/2
		parts = append(parts, around(orb.Point{c[0] + along*math.Cos(angle), c[1] + along*math.Sin(angle)}, side, side))
	}
	return parts
}
