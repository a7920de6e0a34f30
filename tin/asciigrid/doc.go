// Package asciigrid reads and writes the plain-text grid of levels that nearly
// every program for rasters exchanges: a header of keys and values, then the
// levels row by row from the north.
//
//	ncols 3
//	nrows 2
//	xllcorner 312540
//	yllcorner 5812300
//	cellsize 10
//	NODATA_value -9999
//	62.5 62.4 62.3
//	62.4 -9999 62.1
//
// [Read] gives a [raster.Grid], [Write] writes what Read reads back to the same
// bits. With xllcorner the place is that of the south-west cell's corner, half a
// step from its sample; with xllcenter it is the sample's.
//
// The format states no unit and no coordinate system, so the caller must; files
// beside it are not read.
package asciigrid
