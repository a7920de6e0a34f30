#!/usr/bin/env python3
"""Writes the rasters of this folder with GDAL:  python3 make.py

All hold a made-up grid of 20 columns and 18 rows, step 2 m, whose upper left
corner is at 312500, 5812400 in EPSG:32755. From the upper left, with column c
and row r from 0, the level is 60 + c/2 + r/4 + (c r mod 7)/8 in the files of
floating point, and 60 + 2c + r + (c r mod 5) in those of integers.
"""
import os
import numpy as np
from osgeo import gdal, osr

gdal.UseExceptions()
here = os.path.dirname(os.path.abspath(__file__))
r, c = np.mgrid[0:18, 0:20]
real = 60 + c / 2 + r / 4 + (c * r % 7) / 8
whole = 60 + 2 * c + r + (c * r % 5)
north_up = (312500, 2, 0, 5812400, 0, -2)
utm = osr.SpatialReference()
utm.ImportFromEPSG(32755)


def write(name, kind, options, bands=1, place=north_up, system=utm, no_data=None, point=False, change=None):
    path = os.path.join(here, name + ".tif")
    d = gdal.GetDriverByName("GTiff").Create(path, 20, 18, bands, kind, options)
    if place:
        d.SetGeoTransform(place)
    if system:
        d.SetProjection(system.ExportToWkt())
    if point:
        d.SetMetadataItem("AREA_OR_POINT", "Point")
    values = real if kind in (gdal.GDT_Float32, gdal.GDT_Float64) else whole
    for i in range(bands):
        d.GetRasterBand(i + 1).WriteArray(values + i)
    if no_data is not None:
        d.GetRasterBand(1).SetNoDataValue(no_data)
    if change:
        change(d)
    d = None


F4, F8 = gdal.GDT_Float32, gdal.GDT_Float64
tiles = ["TILED=YES", "BLOCKXSIZE=16", "BLOCKYSIZE=16"]
apart, together = "INTERLEAVE=BAND", "INTERLEAVE=PIXEL"

write("f4_none", F4, [])
write("f4_point", F4, [], point=True)
write("f4_none_big_endian", F4, ["ENDIANNESS=BIG"])
write("f4_bigtiff_big_endian", F4, ["BIGTIFF=YES", "ENDIANNESS=BIG"])
write("f4_lzw", F4, ["COMPRESS=LZW"])
write("f4_lzw_pred2_big_endian", F4, ["COMPRESS=LZW", "PREDICTOR=2", "ENDIANNESS=BIG"])
write("f4_deflate_pred3_tiles", F4, tiles + ["COMPRESS=DEFLATE", "PREDICTOR=3"])
write("f8_lzw_pred3_tiles", F8, tiles + ["COMPRESS=LZW", "PREDICTOR=3"])
write("f8_deflate_pred2", F8, ["COMPRESS=DEFLATE", "PREDICTOR=2"])
write("f8_packbits_rows5", F8, ["COMPRESS=PACKBITS", "BLOCKYSIZE=5"])
write("u1_packbits", gdal.GDT_Byte, ["COMPRESS=PACKBITS"])
write("i2_lzw_pred2_tiles", gdal.GDT_Int16, tiles + ["COMPRESS=LZW", "PREDICTOR=2"])
write("u2_deflate_pred2", gdal.GDT_UInt16, ["COMPRESS=DEFLATE", "PREDICTOR=2"])
write("i4_deflate", gdal.GDT_Int32, ["COMPRESS=DEFLATE"])
write("u4_lzw_big_endian", gdal.GDT_UInt32, ["COMPRESS=LZW", "ENDIANNESS=BIG"])
write("bands_together_pred3", F4, tiles + [together, "COMPRESS=DEFLATE", "PREDICTOR=3"], bands=3)
write("bands_together_pred2", gdal.GDT_Int16, [together, "COMPRESS=LZW", "PREDICTOR=2", "PHOTOMETRIC=MINISBLACK"], bands=2)
write("bands_apart", F4, [apart, "COMPRESS=DEFLATE", "BLOCKYSIZE=4"], bands=2)
write("south_up", F4, [], place=(312500, 2, 0, 5812364, 0, 2))
write("rotated", F4, [], place=(312500, 1.6, 1.2, 5812400, 1.2, -1.6))
write("not_placed", F4, [], place=None, system=None)
write("no_keys", F4, [], system=None)


def geographic():
    s = osr.SpatialReference()
    s.ImportFromEPSG(4326)
    return s


def feet():  # plan in US survey feet, levels in international feet
    s = osr.SpatialReference()
    s.ImportFromEPSG(2227)
    v = osr.SpatialReference()
    v.ImportFromEPSG(8228)
    out = osr.SpatialReference()
    out.SetCompoundCS("site", s, v)
    return out


def scaled(d):
    b = d.GetRasterBand(1)
    b.SetScale(0.25)
    b.SetOffset(-10)
    b.SetUnitType("m")


def hole(value):
    def change(d):
        a = real.copy()
        a[:3, :4] = value
        d.GetRasterBand(1).WriteArray(a)
    return change


def control(d):
    d.SetGCPs([gdal.GCP(312500 + x, 5812400 - y, 0, x / 2, y / 2) for x, y in ((0, 0), (40, 0), (0, 36), (40, 36))], utm.ExportToWkt())


write("geographic", F4, [], place=(145, 1e-5, 0, -37, 0, -1e-5), system=geographic())
write("feet", F4, [], system=feet())
write("scaled", gdal.GDT_Int16, [], change=scaled)
write("no_data", F4, ["COMPRESS=DEFLATE"], no_data=-3.4028234663852886e38, change=hole(-3.4028234663852886e38))
write("no_data_nan", F4, [], change=hole(np.nan))
write("no_data_unsaid", F4, [], change=hole(-9999))
write("control_points", F4, [], place=None, system=None, change=control)
write("zstd", F4, ["COMPRESS=ZSTD"])
write("lerc", F4, ["COMPRESS=LERC"])
write("jpeg", gdal.GDT_Byte, ["COMPRESS=JPEG"])
write("picture", gdal.GDT_Byte, [together, "PHOTOMETRIC=RGB"], bands=3)
write("alpha", gdal.GDT_Byte, [together, "PHOTOMETRIC=MINISBLACK", "ALPHA=YES"], bands=2)

# A block of which no sample was written takes no bytes.
path = os.path.join(here, "sparse.tif")
d = gdal.GetDriverByName("GTiff").Create(path, 20, 18, 1, F4, tiles + ["SPARSE_OK=TRUE"])
d.SetGeoTransform(north_up)
d.SetProjection(utm.ExportToWkt())
d.GetRasterBand(1).SetNoDataValue(-9999)
d.GetRasterBand(1).WriteArray(real[:16, :16])
d = None

# Smaller copies within the file, and a mask within it.
source = gdal.Open(os.path.join(here, "f4_none.tif"))
path = os.path.join(here, "overviews.tif")
gdal.Translate(path, source, creationOptions=tiles + ["COMPRESS=DEFLATE"])
d = gdal.Open(path, gdal.GA_Update)
d.BuildOverviews("NEAREST", [2, 4])
d = None
gdal.SetConfigOption("GDAL_TIFF_INTERNAL_MASK", "YES")
path = os.path.join(here, "mask.tif")
gdal.Translate(path, source)
d = gdal.Open(path, gdal.GA_Update)
d.CreateMaskBand(gdal.GMF_PER_DATASET)
m = np.full((18, 20), 255, np.uint8)
m[:3, :4] = 0
d.GetRasterBand(1).GetMaskBand().WriteArray(m)
d = None

# Two images of full size.
gdal.Translate(os.path.join(here, "images.tif"), source)
gdal.GetDriverByName("GTiff").CreateCopy(os.path.join(here, "images.tif"), source, options=["APPEND_SUBDATASET=YES"])
for name in os.listdir(here):
    if name.endswith(".aux.xml"):
        os.remove(os.path.join(here, name))
