package takeoff

import (
	"github.com/paulmach/orb"

	"barrow/tin"
	"barrow/tin/formation"
)

// LevelLine is a line with levels: easting and northing on the grid, and level. A
// closed one repeats its first place.
type LevelLine [][3]float64

// lines fills in the lines of a pad.
func (r *run) lines(p *PadResult, pad int) {
	found := &r.dig.Pads[pad]
	p.Crest, p.CrestLength = r.levelLines(found.Crest)
	p.Toe, p.ToeLength = r.levelLines(found.Toe)
	for i := range r.layout.Outlines {
		if o := &r.layout.Outlines[i]; o.Pads[0] == pad {
			p.FormationOutline, _ = r.levelLines(o.Lines())
		}
	}
	for _, line := range p.ZeroLines {
		p.ZeroLevels = append(p.ZeroLevels, r.zeroLevels(pad, line))
	}
}

// levelLines turns lines into the job's unit, and returns their length on the ground.
func (r *run) levelLines(lines []formation.Line) (out []LevelLine, length float64) {
	var sum tin.Sum
	for _, l := range lines {
		line := make(LevelLine, len(l))
		for i, v := range l {
			line[i] = [3]float64{v.E / r.unit, v.N / r.unit, v.Level / r.unit}
		}
		out = append(out, line)
		sum.Add(l.Length())
	}
	return out, sum.Value() / r.lengthUnit()
}

// zeroLevels returns a line with the level of a pad's formation.
func (r *run) zeroLevels(pad int, line orb.LineString) (out LevelLine) {
	for _, p := range line {
		if level, ok := r.layout.Pads[pad].LevelAt(scalePoint(p, r.unit)); ok {
			out = append(out, [3]float64{p[0], p[1], level / r.unit})
		}
	}
	return out
}
