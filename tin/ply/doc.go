// Package ply writes surfaces as PLY 1.0 files, for looking at in three
// dimensions and as an exact dump of a mesh.
//
// [Write] takes one or more triangle meshes, such as the ground and the formation,
// and writes their vertices as doubles and their faces as lists of vertex
// numbers, in plain text or in little-endian binary. Comments give the unit, the
// origin that was taken off, and which vertices and faces belong to which mesh.
// [FromSurface] makes a mesh of a surface:
//
//	ground := ply.FromSurface("existing ground", surface)
//	err := ply.Write(w, ply.Options{Binary: true, Origin: ply.NearOrigin(tin.Metre, ground)}, ground)
//
// Many viewers compute in 32-bit floating point, which steps by half a metre at
// five million metres: take an origin near the site off. The same meshes give the
// same bytes.
//
// The package reads nothing, and writes no colours.
package ply
