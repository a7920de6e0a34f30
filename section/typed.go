package section

import (
	"math"

	"github.com/paulmach/orb"

	"barrow/tin"
)

// Level is a place of a typed section: the offset from the centre line, negative to
// the left, and the level there.
type Level struct{ Offset, Level float64 }

// FromLevels returns the section of typed offsets and levels, of ground and of
// formation, each from left to right; two at one offset are an upright step. The
// works lie where the formation does; ground that does not reach over them is
// Uncovered. Formation and ground may be in any one unit.
func FromLevels(chainage float64, ground, formation []Level) (*Section, error) {
	s := &Section{Chainage: chainage, Right: orb.Point{1, 0}}
	if !isLength(chainage) {
		return nil, fail("bad_section", "give finite numbers", "a section at chainage %v", chainage)
	}
	var err error
	if s.Ground, err = joined("ground", ground); err != nil {
		return nil, err
	}
	if s.Formation, err = joined("formation", formation); err != nil {
		return nil, err
	}
	s.measure()
	return s, nil
}

// joined returns the stretches between typed levels.
func joined(what string, levels []Level) (out []Stretch, err error) {
	for i, l := range levels {
		if !isLength(l.Offset, l.Level) {
			return nil, fail("bad_section", "give finite numbers", "the %s has offset %v, level %v", what, l.Offset, l.Level)
		}
		if i == 0 {
			continue
		}
		before := levels[i-1]
		if l.Offset < before.Offset {
			return nil, fail("offsets_order", "go from left to right, offsets to the left negative", "offset %v of the %s comes after %v", l.Offset, what, before.Offset)
		}
		if st := between(before.Offset, before.Level, l.Offset, l.Level); l.Offset > before.Offset {
			out = append(out, st)
		}
	}
	if len(out) == 0 {
		return nil, fail("section_narrow", "give at least two offsets", "the %s of the section has no width", what)
	}
	return out, nil
}

// CrissCross returns the area of a section from the offsets and heights of its
// corners, taken in order round it, by the coordinate rule: each height times the
// offsets before and after it, crosswise. Heights are above or below formation, which
// the corners at its edges have at 0. It is 0 for fewer than three corners, and
// positive for corners taken clockwise with heights upwards: over the ground from
// left to right and back along the formation (US Navy, NAVEDTRA 14070, ch. 10).
func CrissCross(corners []Level) float64 {
	var sum tin.Sum
	for i, c := range corners {
		// From the first corner, so that large offsets do not swamp the area.
		u, v := c, corners[(i+1)%len(corners)]
		a, h := u.Offset-corners[0].Offset, u.Level-corners[0].Level
		b, k := v.Offset-corners[0].Offset, v.Level-corners[0].Level
		sum.Add(float64(h*b) - float64(k*a))
	}
	return sum.Value() / 2
}

// ThreeLevel is a section known by three heights over a level formation: at the
// centre and at both slope stakes. All are of one sign: cut positive, fill negative.
type ThreeLevel struct {
	Width                    float64 // of the formation
	Centre                   float64 // height at the centre
	LeftOffset, LeftHeight   float64 // the offset as a distance, not negative
	RightOffset, RightHeight float64
}

// Area returns the area, w/4 (hl + hr) + c/2 (dl + dr), negative in fill (US Navy,
// NAVEDTRA 14070, ch. 10).
func (t ThreeLevel) Area() float64 {
	return float64(t.Width/4*(t.LeftHeight+t.RightHeight)) + float64(t.Centre/2*(t.LeftOffset+t.RightOffset))
}

// Section returns the same as a section whose formation is at level 0. Heights of
// both signs, offsets that are short of the formation's edges, and values that are no
// lengths are errors.
func (t ThreeLevel) Section(chainage float64) (*Section, error) {
	half := t.Width / 2
	least, most := min(t.Centre, t.LeftHeight, t.RightHeight), max(t.Centre, t.LeftHeight, t.RightHeight)
	switch {
	case !isLength(t.Width, t.Centre, t.LeftOffset, t.LeftHeight, t.RightOffset, t.RightHeight) || t.Width <= 0:
		return nil, fail("bad_section", "give a width above 0 and finite numbers", "a three-level section of %+v", t)
	case least < 0 && most > 0:
		return nil, fail("section_mixed", "give it by its levels", "a three-level section has both cut and fill")
	case t.LeftOffset < half || t.RightOffset < half:
		return nil, fail("bad_section", "give distances from the centre line", "a slope stake of a three-level section is within the formation")
	}
	return FromLevels(chainage,
		[]Level{{-t.LeftOffset, t.LeftHeight}, {0, t.Centre}, {t.RightOffset, t.RightHeight}},
		[]Level{{-t.LeftOffset, t.LeftHeight}, {-half, 0}, {half, 0}, {t.RightOffset, t.RightHeight}})
}

// LevelSection returns the area of a section on ground that is level across: a
// formation of some width, with sides of 1V:slopeH, at a depth or height h at the
// centre, w h + slope h^2 (G. L. Vose 1857, par. 108). It is not negative.
func LevelSection(width, slope, h float64) float64 {
	h = math.Abs(h)
	return float64(width*h) + float64(slope*h*h)
}

// LevelCorrection returns the prismoidal correction between two level sections with
// sides of 1V:slopeH, to be taken off the volume by average end areas:
// L slope / 6 (h1 - h2)^2 (Surveying II, course notes 10CV44, pp. 101-103).
func LevelCorrection(length, slope, h1, h2 float64) float64 {
	return length * slope / 6 * (h1 - h2) * (h1 - h2)
}

// ThreeLevelCorrection returns the prismoidal correction between two three-level
// sections, to be taken off the volume by average end areas:
// L / 12 (c1 - c2) (w1 - w2), of the centre heights and the full widths between
// slope stakes (route surveying notes). Both sections are cut, or both fill.
func ThreeLevelCorrection(length float64, a, b ThreeLevel) float64 {
	wide := func(t ThreeLevel) float64 { return t.LeftOffset + t.RightOffset }
	return length / 12 * (math.Abs(a.Centre) - math.Abs(b.Centre)) * (wide(a) - wide(b))
}
