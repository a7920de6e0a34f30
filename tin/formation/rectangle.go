package formation

import "github.com/paulmach/orb"

// Rectangle returns the outline of a rectangle, all in one unit: from corner
// along bearing (degrees from north clockwise) for length, with width to the
// right.
// Its corners are corner, the end of the length, the one across from that, and
// the one across from corner: clockwise, and closed. At whole quarter turns
// nothing is rounded but the sums of coordinate and length.
//
// An error is a *tin.InputError with key "corner", "bearing", "length" or
// "width": all must be finite, and length and width above 0.
func Rectangle(corner orb.Point, bearing, length, width float64) (orb.Polygon, error) {
	if !isFinitePoint(corner) {
		return nil, inputError(CodeBadPoint, "corner", "give easting and northing as finite numbers",
			"corner (%g, %g) is not a place", corner[0], corner[1])
	}
	if err := checkBearing(bearing, "bearing"); err != nil {
		return nil, err
	}
	if err := checkLength(length, "length"); err != nil {
		return nil, err
	}
	if err := checkLength(width, "width"); err != nil {
		return nil, err
	}
	e, n := direction(bearing)
	far := func(l, w float64) orb.Point { // to the right of (e, n) is (n, -e)
		return orb.Point{
			corner[0] + (float64(l*e) + float64(w*n)),
			corner[1] + (float64(l*n) - float64(w*e)),
		}
	}
	across := far(length, width)
	if !isFinitePoint(across) {
		return nil, inputError(CodeBadLength, "length", "give it shorter",
			"a rectangle of %g by %g has no far corner", length, width)
	}
	return orb.Polygon{{corner, far(length, 0), across, far(0, width), corner}}, nil
}

func checkLength(x float64, key string) error {
	if x > 0 && isFinite(x) {
		return nil
	}
	return inputError(CodeBadLength, key, "give it above 0", "the %s of a rectangle is %g", key, x)
}
