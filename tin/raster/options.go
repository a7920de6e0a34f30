package raster

import (
	"fmt"
	"math"

	"barrow/tin"
)

const (
	mostSamples  = 1 << 28                             // where the caller sets no bound: 16,384 x 16,384
	everySamples = min(math.MaxInt32, math.MaxInt/2/8) // what a list of levels, and package tin, can hold
)

// Options tell the readers of raster files what a file does not say. The zero
// value is good for most files.
type Options struct {
	// SiteGrid states that coordinates are those of the site, for a fine grid
	// without a stated system whose numbers could be degrees.
	SiteGrid bool

	MaxPoints int   // samples, with or without a level; more is an error; 0: 268,435,456, with words of 32 bits half of it
	MaxBytes  int64 // of the file; more is an error; 0: no limit

	// Progress, if not nil, is told now and then how many samples were read, of
	// how many.
	Progress func(done, total int64)
}

// Fits refuses a grid of more samples than the options allow. Readers ask before
// they allocate.
func (o Options) Fits(name string, columns, rows int64) error {
	most := int64(mostSamples)
	if o.MaxPoints > 0 {
		most = int64(o.MaxPoints)
	}
	most = min(most, everySamples)
	if columns <= most && (columns == 0 || rows <= most/columns) {
		return nil
	}
	return &tin.InputError{
		Code: "too_many_points", File: name,
		Message: fmt.Sprintf("the grid has %d x %d samples, and %d are the most allowed", columns, rows, most),
		Hint:    "cut the site out of it, or take a coarser grid",
	}
}
