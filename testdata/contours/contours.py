"""Contours of open terrain by a general-purpose contouring library: matplotlib's tri
module (Debian package python3-matplotlib), which has its own contour follower, its own
filled contours, its own interpolation and, but for the grid, Qhull's triangles.

    /usr/bin/python3 contours.py [OPEN_DATA] > contours.json

OPEN_DATA is the folder of the data that may not travel with the repository; without it
the grid is left out.
"""

import csv
import json
import pathlib
import sys

import matplotlib

matplotlib.use("Agg")

import numpy as np
from matplotlib import pyplot
from matplotlib.tri import LinearTriInterpolator, Triangulation

HERE = pathlib.Path(__file__).parent


def read(path):
    """Easting, northing and level of each ground point, from the least corner."""
    rows = [r for r in csv.DictReader(open(path))]
    e = np.array([float(r["easting"]) for r in rows])
    n = np.array([float(r["northing"]) for r in rows])
    z = np.array([float(r["elevation"]) for r in rows])
    return e - e.min(), n - n.min(), z, (e.min(), n.min())


def area(ring):
    x, y = ring[:, 0], ring[:, 1]
    return float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y) / 2)


def contours(triangles, z, levels):
    axes = pyplot.figure().add_subplot()
    lines = axes.tricontour(triangles, z, levels=levels)
    out = []
    for level, segments in zip(levels, lines.allsegs):
        length, opened, closed, enclosed = 0.0, 0, 0, 0.0
        for s in segments:
            length += float(np.sum(np.hypot(*np.diff(s, axis=0).T)))
            if np.array_equal(s[0], s[-1]):
                closed += 1
                enclosed += abs(area(s[:-1]))
            else:
                opened += 1
        filled = axes.tricontourf(triangles, z, levels=[level, float(z.max()) + 1])
        above = 0.0
        for polygon, kinds in zip(filled.allsegs[0], filled.allkinds[0]):
            starts = list(np.flatnonzero(kinds == 1)) + [len(polygon)]
            above += sum(area(polygon[a:b]) for a, b in zip(starts, starts[1:]))
        out.append({"level": level, "length": length, "open": opened, "closed": closed,
                    "enclosed_area": enclosed, "area_above": above})
    pyplot.close("all")
    return {"triangles": len(triangles.triangles), "levels": out}


def levels_at(triangles, z, corner, places):
    """Interpolated levels at places."""
    level = LinearTriInterpolator(triangles, z)
    return [[e, n, float(level(e - corner[0], n - corner[1]))] for e, n in places]


def grid_triangles(columns, rows):
    """Two triangles of each square, cut from its north-west to its south-east corner."""
    out = []
    for i in range(columns - 1):
        for k in range(rows - 1):
            sw, nw, se, ne = i * rows + k, i * rows + k + 1, (i + 1) * rows + k, (i + 1) * rows + k + 1
            out += [(sw, se, nw), (se, ne, nw)]
    return out


def main():
    result = {"library": "matplotlib " + matplotlib.__version__ + ", numpy " + np.__version__}
    e, n, z, _ = read(HERE / "../topo52/points.csv")
    result["topo52"] = contours(Triangulation(e, n), z, [700.0, 725.5, 750.0, 800.0, 825.5, 850.0, 900.0, 925.5])
    e, n, z, corner = read(HERE / "../autzen-pad/ground.csv")
    triangles = Triangulation(e, n)
    result["autzen-pad"] = contours(triangles, z, [407.0, 410.0, 412.503, 415.0, 418.0, 420.0, 422.503, 425.0, 427.5, 430.0])
    places = [(636500.0 + 2 * i, 849050.0 + 2 * k) for k in range(3, 150, 13) for i in range(4, 150, 11)]
    result["autzen-pad"]["ground"] = levels_at(triangles, z, corner, places)
    if len(sys.argv) > 1:
        e, n, z, _ = read(pathlib.Path(sys.argv[1]) / "volcano/points.csv")
        order = np.lexsort((n, e))
        e, n, z = e[order], n[order], z[order]
        columns, rows = len(np.unique(e)), len(np.unique(n))
        result["volcano"] = contours(Triangulation(e, n, grid_triangles(columns, rows)), z,
                                     [95.5, 100.0, 120.0, 130.0, 130.5, 150.0, 170.0, 190.5])
    json.dump(result, sys.stdout, indent=1)
    print()


main()
