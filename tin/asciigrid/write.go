package asciigrid

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strconv"

	"barrow/tin/raster"
)

// Write writes a grid so that [Read] gives back the same bits: the place of its
// south-west sample as xllcenter and yllcenter, cellsize or dx and dy, the
// shortest decimals, a row a line from the north, and -9999 where there is no
// level. What Read could not give back is an error: a level of -9999, -32767 or
// -32768, or a number that is not finite. Units, system and notes are not written.
func Write(w io.Writer, g *raster.Grid) error {
	if err := writable(g); err != nil {
		return fmt.Errorf("asciigrid: write: %w", err)
	}
	out := bufio.NewWriter(w)
	fmt.Fprintf(out, "ncols %d\nnrows %d\nxllcenter %s\nyllcenter %s\n", g.Columns, g.Rows, shortest(g.Origin[0]), shortest(g.Origin[1]))
	if g.StepE == g.StepN {
		fmt.Fprintf(out, "cellsize %s\n", shortest(g.StepE))
	} else {
		fmt.Fprintf(out, "dx %s\ndy %s\n", shortest(g.StepE), shortest(g.StepN))
	}
	fmt.Fprintf(out, "NODATA_value %d\n", noLevel)
	var line []byte
	for r := g.Rows - 1; r >= 0; r-- {
		line = line[:0]
		for c, v := range g.Levels[r*g.Columns : (r+1)*g.Columns] {
			if c > 0 {
				line = append(line, ' ')
			}
			if math.IsNaN(v) {
				line = strconv.AppendInt(line, noLevel, 10)
			} else {
				line = strconv.AppendFloat(line, v, 'f', -1, 64)
			}
		}
		if _, err := out.Write(append(line, '\n')); err != nil {
			return fmt.Errorf("asciigrid: write: %w", err)
		}
	}
	if err := out.Flush(); err != nil {
		return fmt.Errorf("asciigrid: write: %w", err)
	}
	return nil
}

const noLevel = -9999

func writable(g *raster.Grid) error {
	for _, v := range g.Levels {
		if raster.NoData(v, noLevel) || v == -32767 || v == -32768 {
			return fmt.Errorf("a level of %v stands for none", v)
		}
	}
	checked := *g
	checked.Notes = nil
	return checked.Check(raster.Options{SiteGrid: true})
}

func shortest(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
