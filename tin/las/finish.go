package las

import (
	"fmt"
	"math"

	"barrow/tin"
)

func (d *decoder) note(code, format string, args ...any) {
	d.file.Notes = append(d.file.Notes, tin.Problem{Code: code, Message: fmt.Sprintf(format, args...)})
}

// finish says what the coordinates are, counts, and makes the points.
func (d *decoder) finish() error {
	if err := d.system(); err != nil {
		return err
	}
	d.counted()
	if err := d.nothingKept(); err != nil {
		return err
	}
	if err := d.take(); err != nil {
		return err
	}
	d.leftOut()
	d.doubts()
	return nil
}

// nothingKept is the error of a file without any point that is wanted.
func (d *decoder) nothingKept() error {
	c := &d.file.Counts
	switch {
	case c.Kept > 0:
		return nil
	case c.Points == 0:
		return d.fail("no_points", "check that it is the right file", "it holds no points")
	case c.OtherClass == c.Points:
		return d.fail("no_wanted_class", "say which classes are ground, or have the points classified",
			"none of its %d points is of class %s: it has %s", c.Points, listWanted(&d.wanted), listCounts(c.Classes))
	}
	return d.fail("all_left_out", "see what is asked for, and what the file marks",
		"no point is left: of %d, %d are of other classes, %d withheld, %d overlap, %d outside the box asked for",
		c.Points, c.OtherClass, c.Withheld, c.Overlap, c.Outside)
}

// leftOut says what was left out.
func (d *decoder) leftOut() {
	c := &d.file.Counts
	if c.OtherClass > 0 {
		var others []ClassCount
		for _, class := range c.Classes {
			if !d.wanted[class.Class] {
				others = append(others, class)
			}
		}
		d.note("classes_left_out", "left out: %s of other classes than %s: %s", times(c.OtherClass, "point"), listWanted(&d.wanted), listCounts(others))
	}
	counted := func(code string, count int64, why string) {
		if count > 0 {
			d.note(code, "left out: %s %s", times(count, "point"), why)
		}
	}
	counted("withheld", c.Withheld, "marked as withheld")
	counted("overlap", c.Overlap, "marked as overlap of flight lines")
	counted("outside", c.Outside, "outside the box asked for")
	if t := d.opts.Thin; t != nil && t.Keep == KeepLowest {
		counted("thinned", c.Thinned, "for a lower one in the same cell; what is kept lies below the ground on the whole")
	} else {
		counted("thinned", c.Thinned, "for one nearer to the centre of the same cell")
	}
}

// times writes a number of things.
func times(n int64, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}

// doubts says what looks odd.
func (d *decoder) doubts() {
	h := d.header
	if h.legacy != 0 && h.minor >= 4 && h.legacy != h.large {
		d.note("counts_differ", "its header counts %d points for older readers and %d for newer ones: the first was followed, as the standard says", h.legacy, h.large)
	}
	for i, axis := range []string{"easting", "northing", "level"} {
		low, high := d.axes[i].at(d.low[i]), d.axes[i].at(d.high[i])
		if slack := h.Scale[i]; !(low >= h.Min[i]-slack && high <= h.Max[i]+slack) {
			d.note("box_misfit", "the header says that %ss lie between %v and %v; its points lie between %v and %v", axis, h.Min[i], h.Max[i], low, high)
		}
	}
	if d.likeDegrees() {
		d.note("like_degrees", "all points lie within 180 and 90 with steps of %v: are these longitudes and latitudes? Only plan coordinates give volumes", h.Scale[0])
	}
}

// likeDegrees reports whether the coordinates may be longitude and latitude: the
// file states no unit, and its steps are finer than a hundredth of a millimetre
// would be if they were metres, as they have to be in degrees.
func (d *decoder) likeDegrees() bool {
	const fine = 1e-5
	far := func(i int) float64 {
		return max(math.Abs(d.axes[i].at(d.low[i])), math.Abs(d.axes[i].at(d.high[i])))
	}
	return d.file.Unit == 0 && max(d.header.Scale[0], d.header.Scale[1]) < fine && far(0) <= 180 && far(1) <= 90
}
