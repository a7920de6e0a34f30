package report

import (
	"encoding/csv"
	"fmt"
	"io"

	"barrow/volume/takeoff"
)

// SetOutCSV writes the pegs of a set-out as CSV with a header, for an instrument and for
// a spreadsheet: number, easting, northing, level and code, as a point file has them, and
// then what belongs to each peg. Numbers have four decimals. level is that of the works
// at the peg; formation that which it is for. A peg's number that a spreadsheet would take
// for a formula has an apostrophe before it, and is read back with it.
func SetOutCSV(w io.Writer, r *takeoff.SetOutResult) error {
	layers := 0
	for i := range r.Pegs {
		layers = max(layers, len(layerTops(&r.Pegs[i])))
	}
	out := csv.NewWriter(w)
	header := []string{"number", "easting", "northing", "level", "code", "ground", "topsoil", "formation", "cut", "fill", "batter", "to_edge", "reading"}
	for k := range layers {
		header = append(header, fmt.Sprintf("top_%d", k+1), fmt.Sprintf("reading_%d", k+1))
	}
	_ = out.Write(header) // the error comes again from Error
	for i := range r.Pegs {
		_ = out.Write(pegRow(&r.Pegs[i], layers))
	}
	out.Flush()
	if err := out.Error(); err != nil {
		return fmt.Errorf("report: %w", err)
	}
	return nil
}

// pegRow is a peg with so many layers.
func pegRow(p *takeoff.PegResult, layers int) []string {
	four := func(x *float64) string {
		if x == nil {
			return ""
		}
		return fixed(*x, 4)
	}
	cut, fill := "", ""
	if d := p.Depth; d != nil && *d >= 0 {
		cut = fixed(*d, 4)
	} else if d != nil {
		fill = fixed(-*d, 4)
	}
	batter := ""
	switch {
	case p.Batter != nil:
		batter = fmt.Sprintf("1V:%gH", p.Batter.Along)
	case p.Kind != "grid":
		batter = "upright"
	}
	row := []string{harmless(p.Number), fixed(p.At[0], 4), fixed(p.At[1], 4), four(p.Level), string(p.Kind), four(p.Ground), fixed(p.Topsoil, 4),
		fixed(p.Formation, 4), cut, fill, batter, fixed(p.ToEdge, 4), ""}
	for _, l := range p.Levels {
		if l.What == takeoff.LevelFormation {
			row[12] = readingCell(&l)
		}
	}
	tops := layerTops(p)
	for k := range layers {
		if k < len(tops) {
			row = append(row, fixed(tops[k].Level, 4), readingCell(&tops[k]))
		} else {
			row = append(row, "", "")
		}
	}
	return row
}

// layerTops are the tops of a peg's layers, from the top down.
func layerTops(p *takeoff.PegResult) (tops []takeoff.PegLevel) {
	for _, l := range p.Levels {
		if l.What == takeoff.LevelFinished || l.What == takeoff.LevelLayer {
			tops = append(tops, l)
		}
	}
	return tops
}

// readingCell is empty where the staff cannot show the level.
func readingCell(l *takeoff.PegLevel) string {
	if l.Reading == nil || *l.Reading < 0 {
		return ""
	}
	return fixed(l.Reading.Float(), 4)
}
