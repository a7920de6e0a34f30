// Package raster holds ground given as levels on a regular grid, and makes
// points of it for package tin.
//
// It is what the readers of raster files, tin/geotiff and tin/asciigrid, give
// back. It is not for pictures, and not for grids that are turned against
// easting and northing. [Grid.Points] are the samples as spot heights:
//
//	g, err := asciigrid.Read(ctx, r, "ground.asc", raster.Options{})
//	s, err := tin.Build(ctx, []tin.Source{{Name: g.Name, Points: g.Points()}}, tin.Options{})
//
// Coordinates and levels stay in the units of the file.
//
// # The diagonals are free
//
// The four samples of a cell lie on one circle, so either of the cell's
// diagonals makes a Delaunay triangulation, and where the four do not lie in one
// plane the choice moves the volume below. Package tin takes the diagonal from
// the upper left to the lower right in all cells. [Grid.Spread] is how much hangs
// on that; the readers say it in a note, and [tin.Surface.Ties] lists the cells of
// the surface with the spread of each.
package raster
