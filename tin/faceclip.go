package tin

// WhereFace returns the part of a convex polygon where a value that is linear over it is
// 0 or more; in the same order, without corners where there is none. A new corner has
// the levels between those of the two beside it, and is always computed from the lesser
// by (x, y), so that the parts on both sides of a cut share it to the bit.
func WhereFace(p []FaceCorner, value func(FaceCorner) float64) (part []FaceCorner) {
	for i, b := range p {
		a := p[(i+len(p)-1)%len(p)]
		va, vb := value(a), value(b)
		if va < 0 && vb > 0 || va > 0 && vb < 0 {
			part = append(part, faceBetween(a, b, va, vb))
		}
		if vb >= 0 {
			part = append(part, b)
		}
	}
	return part
}

// faceBetween returns where a value of different signs at two corners is 0.
func faceBetween(a, b FaceCorner, va, vb float64) FaceCorner {
	if b.X < a.X || b.X == a.X && b.Y < a.Y {
		a, b, va, vb = b, a, vb, va
	}
	t := va / (va - vb)
	at := func(a, b float64) float64 { return a + float64(t*(b-a)) }
	return FaceCorner{X: at(a.X, b.X), Y: at(a.Y, b.Y), Ground: at(a.Ground, b.Ground), Face: at(a.Face, b.Face)}
}
