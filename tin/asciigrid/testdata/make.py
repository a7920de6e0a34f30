#!/usr/bin/env python3
"""Writes the grids of this folder with GDAL:  python3 make.py

A made-up grid of 5 columns and 4 rows whose upper left corner is at 312500,
5812400. From the upper left, with column c and row r from 0, the level is
60 + c/2 + r/4 + (c r mod 7)/8; the first two samples of the second row have none.
"""
import os
import numpy as np
from osgeo import gdal

gdal.UseExceptions()
here = os.path.dirname(os.path.abspath(__file__))
r, c = np.mgrid[0:4, 0:5]
z = 60 + c / 2 + r / 4 + (c * r % 7) / 8
z[1, :2] = -9999
for name, step in (("square", (2, 2)), ("oblong", (2, 0.5))):
    d = gdal.GetDriverByName("MEM").Create("", 5, 4, 1, gdal.GDT_Float64)
    d.SetGeoTransform((312500, step[0], 0, 5812400, 0, -step[1]))
    d.GetRasterBand(1).SetNoDataValue(-9999)
    d.GetRasterBand(1).WriteArray(z)
    gdal.GetDriverByName("AAIGrid").CreateCopy(os.path.join(here, name + ".asc"), d)
for name in os.listdir(here):
    if name.endswith((".aux.xml", ".prj")):
        os.remove(os.path.join(here, name))
