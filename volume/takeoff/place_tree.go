package takeoff

import (
	"math"

	"github.com/paulmach/orb"
)

// placeTree finds the distance to the nearest of many places: a k-d tree
// without nodes, in which the middle place of each stretch of the list splits
// it in two, by easting and northing in turn.
type placeTree struct{ places []orb.Point }

// fewPlaces are looked at one by one.
const fewPlaces = 8

// newPlaceTree sorts places in place.
func newPlaceTree(places []orb.Point) *placeTree {
	splitPlaces(places, 0)
	return &placeTree{places}
}

func splitPlaces(places []orb.Point, axis int) {
	for len(places) > fewPlaces {
		m := len(places) / 2
		selectPlace(places, m, axis)
		axis = 1 - axis
		splitPlaces(places[:m], axis)
		places = places[m+1:]
	}
}

// selectPlace moves the places so that the m-th by one coordinate is at m, none
// before it is greater, and none after it less (Hoare 1961; the pivot is the
// middle of three).
func selectPlace(places []orb.Point, m, axis int) {
	lo, hi := 0, len(places)-1
	for lo < hi {
		a, b, c := places[lo][axis], places[(lo+hi)/2][axis], places[hi][axis]
		pivot := max(min(a, b), min(max(a, b), c))
		i, j := lo, hi
		for i <= j {
			for places[i][axis] < pivot {
				i++
			}
			for places[j][axis] > pivot {
				j--
			}
			if i <= j {
				places[i], places[j] = places[j], places[i]
				i++
				j--
			}
		}
		switch {
		case m <= j:
			hi = j
		case m >= i:
			lo = i
		default:
			return
		}
	}
}

// distance returns the distance from p to the nearest place.
func (t *placeTree) distance(p orb.Point) float64 {
	best := math.Inf(1)
	nearestPlace(t.places, 0, p, &best)
	return math.Sqrt(best)
}

func nearestPlace(places []orb.Point, axis int, p orb.Point, best *float64) {
	if len(places) <= fewPlaces {
		for _, q := range places {
			*best = min(*best, squared(p, q))
		}
		return
	}
	m := len(places) / 2
	*best = min(*best, squared(p, places[m]))
	d := p[axis] - places[m][axis]
	first, second := places[:m], places[m+1:]
	if d > 0 {
		first, second = second, first
	}
	nearestPlace(first, 1-axis, p, best)
	if d*d < *best {
		nearestPlace(second, 1-axis, p, best)
	}
}

func squared(p, q orb.Point) float64 {
	de, dn := p[0]-q[0], p[1]-q[1]
	return float64(de*de) + float64(dn*dn)
}
