package mesh

// site is a vertex on its way into the mesh: its place, and its index in the
// input.
type site struct {
	xy
	id int32
}

// below is the order of a cut: by (x, y) on axis 0, by (y, x) on axis 1. No
// two sites are equal, so every cut is one of coordinates alone.
func (p site) below(q site, axis int) bool {
	if axis == 0 {
		return p.before(q.xy)
	}
	return p.y < q.y || (p.y == q.y && p.x < q.x)
}

// selectMedian reorders s so that s[k] is the site it would be if s were sorted
// along the axis, smaller ones before it and greater ones after it. The pivot
// is a median of places of s, so the cost is linear but for contrived orders;
// the outcome as a partition never depends on the order of the input.
func selectMedian(s []site, k, axis int) {
	lo, hi := 0, len(s)-1
	for hi > lo {
		if hi-lo < 12 {
			insertionSort(s[lo:hi+1], axis)
			return
		}
		n := hi - lo
		p := median3(
			median3(s[lo], s[lo+n/8], s[lo+n/4], axis),
			median3(s[lo+3*n/8], s[lo+n/2], s[lo+5*n/8], axis),
			median3(s[lo+3*n/4], s[lo+7*n/8], s[hi], axis), axis)
		i, j := lo, hi
		for i <= j {
			for s[i].below(p, axis) {
				i++
			}
			for p.below(s[j], axis) {
				j--
			}
			if i <= j {
				s[i], s[j] = s[j], s[i]
				i++
				j--
			}
		}
		switch {
		case k <= j:
			hi = j
		case k >= i:
			lo = i
		default:
			return
		}
	}
}

func median3(a, b, c site, axis int) site {
	if b.below(a, axis) {
		a, b = b, a
	}
	if c.below(a, axis) {
		return a
	}
	if c.below(b, axis) {
		return c
	}
	return b
}

func insertionSort(s []site, axis int) {
	for i := 1; i < len(s); i++ {
		p := s[i]
		j := i
		for ; j > 0 && p.below(s[j-1], axis); j-- {
			s[j] = s[j-1]
		}
		s[j] = p
	}
}
