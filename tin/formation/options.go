package formation

import (
	"fmt"
	"strconv"

	"barrow/tin"
)

// Options tell [Lay] and [Layout.Dig] what is stripped off the ground first, and how
// their messages give quantities; all else is in metres on the grid. The zero value
// strips nothing and gives metres.
type Options struct {
	Topsoil Topsoil
	Unit    tin.Unit // of messages; cubic yards where it is a foot
	Scale   float64  // grid distance / ground distance: areas and volumes in messages are on the ground; 0 counts as 1
}

// length writes a level, or the difference of two.
func (o Options) length(format string, metres float64) string {
	return fmt.Sprintf(format+" %s", metres/o.Unit.Metres(), o.Unit)
}

func (o Options) place(e, n float64) string {
	u := o.Unit.Metres()
	return fmt.Sprintf("(%.3f, %.3f)", e/u, n/u)
}

// area writes a grid area in square metres.
func (o Options) area(m2 float64) string {
	return quantity(m2/o.ground()) + fmt.Sprintf(" %s2", o.Unit)
}

// volume writes an area of the grid by a depth, in cubic metres.
func (o Options) volume(m3 float64) string {
	v := m3 / (o.ground() * o.Unit.Metres())
	if o.Unit == tin.Metre || o.Unit == 0 {
		return quantity(v) + " m3"
	}
	return quantity(v/27) + " yd3"
}

// scale returns Scale, or its default.
func (o Options) scale() float64 {
	if o.Scale == 0 {
		return 1
	}
	return o.Scale
}

// ground is how many square metres of the grid are a square unit on the ground.
func (o Options) ground() float64 {
	u := o.Unit.Metres()
	if o.Scale != 0 {
		u *= o.Scale
	}
	return u * u
}

// quantity writes an area or a volume for a message: to the hundredth, or
// smaller ones to three figures.
func quantity(x float64) string {
	if x >= 1 {
		return strconv.FormatFloat(x, 'f', 2, 64)
	}
	return strconv.FormatFloat(x, 'g', 3, 64)
}
