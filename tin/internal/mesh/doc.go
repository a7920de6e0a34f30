// Package mesh triangulates points of the plane: the canonical Delaunay
// triangulation, with or without forced edges, held in flat int32 arrays.
//
// It knows plan coordinates and triangles only; levels, files, units and
// errors that a person reads belong to package tin. Start at [New], then
// [Mesh.Force], [Mesh.Locate] and, in every test, [Mesh.Check].
//
// # The triangulation is a function of the point set
//
// Where four or more points lie on one circle, every diagonal is Delaunay. The
// choice is made by symbolic perturbation: each point p has the lifted height
// x^2 + y^2 + e(p) with e infinitely small and positive, infinitely greater
// than that of every point before p in the order of (x, y). So the greatest
// point of four on a circle is not on the diagonal, whatever the order of the
// input (see tie in delaunay.go). Vertices and triangles are numbered by
// coordinates too: the same set of points and forced edges gives the same
// arrays, to the last bit.
//
// # Coordinates
//
// Coordinates are doubles. When they are whole numbers whose differences stay
// below 2^26 (a survey in decimals, taken in whole units from a local origin),
// the mesh says so in [Mesh.Whole] and signs come from whole-number
// arithmetic, which makes exact grids cheap.
//
// # Half-edges
//
//	       V[3t+2]                 half-edge 3t+i runs from V[3t+i] to the
//	        /   \                  next corner of triangle t; N[3t+i] is the
//	3t+2   /     \   3t+1          half-edge on its other side, running the
//	      /   t   \                opposite way, or -1 on the hull.
//	V[3t] --------- V[3t+1]        Triangles turn anticlockwise, x east,
//	          3t                   y north.
package mesh
