package takeoff

import "github.com/paulmach/orb"

// The volumes that are held against each other, as indices of crossVolumes.
const (
	inCut = iota
	inFill
	inNet // cut less fill
	quantities
)

// crossVolumes are cubic metres on the grid.
type crossVolumes [quantities]float64

// depthCorner is a corner of a prism over the works: its place in metres, and ground
// less formation there.
type depthCorner struct {
	at    orb.Point
	depth float64
}

// depthPiece is the plan of a prism: convex, anticlockwise, with a linear depth. It is
// for finding out where methods differ; volumes of record come from package volume.
type depthPiece []depthCorner

// clip returns the part where side, a linear function, is not below 0.
func (p depthPiece) clip(side func(*depthCorner) float64) depthPiece {
	if len(p) == 0 {
		return nil
	}
	out := make(depthPiece, 0, len(p)+1)
	last := &p[len(p)-1]
	was := side(last)
	for i := range p {
		c := &p[i]
		is := side(c)
		if was*is < 0 {
			t := was / (was - is)
			mix := func(a, b float64) float64 { return a + float64(t*(b-a)) }
			out = append(out, depthCorner{orb.Point{mix(last.at[0], c.at[0]), mix(last.at[1], c.at[1])}, mix(last.depth, c.depth)})
		}
		if is >= 0 {
			out = append(out, *c)
		}
		last, was = c, is
	}
	return out
}

// volumes returns cut and fill of the prism.
func (p depthPiece) volumes() (v crossVolumes) {
	v[inNet] = p.integral()
	v[inCut] = p.clip(func(c *depthCorner) float64 { return c.depth }).integral()
	v[inFill] = -p.clip(func(c *depthCorner) float64 { return -c.depth }).integral()
	return v
}

// integral returns the integral of depth over the plan.
func (p depthPiece) integral() (sum float64) {
	for i := 2; i < len(p); i++ {
		a, b, c := &p[0], &p[i-1], &p[i]
		twice := float64((b.at[0]-a.at[0])*(c.at[1]-a.at[1])) - float64((b.at[1]-a.at[1])*(c.at[0]-a.at[0]))
		sum += float64(twice * (a.depth + b.depth + c.depth))
	}
	return sum / 6
}

// span returns the least and the greatest value of a function over the corners.
func (p depthPiece) span(of func(orb.Point) float64) (least, greatest float64) {
	least = of(p[0].at)
	greatest = least
	for _, c := range p[1:] {
		v := of(c.at)
		least, greatest = min(least, v), max(greatest, v)
	}
	return least, greatest
}
