// Package geotiff reads elevation rasters in GeoTIFF (OGC 19-008r4) as ground.
//
// [Read] takes the plain part of the format that elevations come in: TIFF and
// BigTIFF in either byte order; strips and tiles; uncompressed, LZW, Deflate or
// PackBits, with either predictor; integers of 8, 16 and 32 bits and floating
// point of 32 and 64 bits; north-up or south-up grids placed by a scale and a tie
// point, or by a matrix that does not turn. What it gives is a [raster.Grid]:
//
//	g, err := geotiff.Read(ctx, r, "ground.tif", raster.Options{})
//	points := g.Points()
//
// A sample stands for an area, then its level is that of the area's centre, half
// a step from the corner that the file gives; or for a point. The file says
// which.
//
// It is not for pictures, and projects nothing: a raster in longitude and
// latitude is refused. So is whatever could shift ground in silence: turned or
// mirrored grids, masks, ground control points, levels placed by the tie point,
// unknown units. Of several bands or images the first is read, with a note. World
// files and other files beside the raster are not read.
//
// Levels are as stored: 32 bits of floating point hold about seven digits. Where
// band metadata give a scale and an offset, they are applied, with a note.
package geotiff
