"""Writes the VOTables in `lists` with astropy: one invented list in every form of data that is read.

python votables.py FOLDER, with astropy 8.0.2 and numpy 2.4.6.
"""

import sys
from pathlib import Path

import numpy as np
from astropy.io.votable import writeto
from astropy.io.votable.tree import CooSys, Field, Resource, TableElement, Values, VOTableFile

# name, class, right ascension and declination in degrees, long and short axis in arcseconds (0: not known), magnitude (NaN: not
# known), proper motion in mas a year. Invented.
ROWS = [
    ("Lantern & Sons", "PN", 87.512345678, 31.204567891, 95, 60, 9.5, 0.0, 0.0),
    ("The \"Kiln\" <3>", "Galaxy", 11.25, 47.125, 10680, 3600, 3.5, 0.0, 0.0),
    ("Müllers Lampe", "GlobularCluster", 251.5, -36.4321, 1200, 0, float("nan"), 0.0, 0.0),
    ("星の灯", "*", 301.375, 4.625, 0, 0, 9.54, -812.5, 4250.25),
]


def fields(file, radians):
    angle = "rad" if radians else "deg"
    made = [
        Field(file, name="main", datatype="unicodeChar", arraysize="*", ucd="meta.id;meta.main"),
        Field(file, name="otype", datatype="char", arraysize="16", ucd="src.class"),
        Field(file, name="alpha_col", datatype="double", unit=angle, ucd="pos.eq.ra;meta.main", ref="sys"),
        Field(file, name="delta_col", datatype="double", unit=angle, ucd="pos.eq.dec;meta.main", ref="sys"),
        Field(file, name="majax", datatype="int", unit="arcsec"),
        Field(file, name="minax", datatype="short", unit="arcsec"),
        Field(file, name="Vmag", datatype="float", unit="mag", ucd="phot.mag;em.opt.V"),
        Field(file, name="pmRA", datatype="double", unit="mas.yr-1", ucd="pos.pm;pos.eq.ra"),
        Field(file, name="pmDE", datatype="double", unit="mas.yr-1", ucd="pos.pm;pos.eq.dec"),
        Field(file, name="flag", datatype="boolean"),
        Field(file, name="levels", datatype="float", arraysize="2x2"),
    ]
    for field in made[4:6]:
        field.values.null = 0
    return made


def write(folder, name, form, system, radians=False):
    file = VOTableFile(version="1.4")
    resource = Resource()
    resource.coordinate_systems.append(CooSys(ID="sys", config={"version_1_1_or_later": True}, **system))
    file.resources.append(resource)
    table = TableElement(file)
    resource.tables.append(table)
    table.fields.extend(fields(file, radians))
    table.create_arrays(len(ROWS))
    for position, (title, kind, ra, dec, long, short, magnitude, pm_ra, pm_dec) in enumerate(ROWS):
        ra, dec = (np.radians(ra), np.radians(dec)) if radians else (ra, dec)
        table.array[position] = (title, kind, ra, dec, long, short, magnitude, pm_ra, pm_dec, True, [[1, 2], [3, 4]])
        for column, empty in ((4, long == 0), (5, short == 0), (6, magnitude != magnitude)):
            table.array.mask[position][column] = empty
    table.format = form
    writeto(file, str(folder / name))


folder = Path(sys.argv[1])
write(folder, "tabledata.vot", "tabledata", {"system": "ICRS"})
write(folder, "binary.vot", "binary", {"system": "eq_FK5", "equinox": "J2000"})
write(folder, "binary2.vot", "binary2", {"system": "ICRS"}, radians=True)
write(folder, "epoch.vot", "binary2", {"system": "ICRS", "epoch": "J2016.0"})
write(folder, "b1950.vot", "tabledata", {"system": "eq_FK4", "equinox": "B1950"})
