// Package daylight finds the works outside formation outlines: the parts of batters
// that hang together with the outline, out to where they meet the ground.
//
// A builder makes plane faces of the batters (face.go), a plan cuts the ground's
// triangles at outlines, limits and topsoil (tile.go), and a flood follows the parts
// of faces below the ground from the outline (seed.go, flood.go). Of parts that
// overlap the lowest is kept (result.go). Places are in local units of the ground's
// frame, levels in metres.
package daylight
