"""Brings an open data set of 14,000 deep-sky targets, which a Python package carries, in through `evenfall convert`: as CSV, and as
VOTable in two forms written by astropy. Nothing of it is kept.

python open_catalogue.py EVENFALL FOLDER, with PyOngc 1.2.2 (its data: CC-BY-SA-4.0) and astropy 8.0.2.
"""

import csv
import math
import random
import re
import sqlite3
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pyongc
from astropy.io.votable import from_table, writeto
from astropy.table import MaskedColumn, Table

evenfall, folder = sys.argv[1], Path(sys.argv[2])
database = sqlite3.connect(Path(pyongc.__file__).parent / "ongc.db")
columns = ["name", "type", "ra", "dec", "majax", "minax", "pa", "vmag", "identifiers", "commonnames"]
rows = database.execute(f"SELECT {', '.join(columns)} FROM objects ORDER BY id").fetchall()
assert len(rows) > 13_000, len(rows)


def degrees(radians):
    return None if radians is None else round(math.degrees(radians), 7)


def write_csv(path):
    with open(path, "w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file, delimiter=";")
        writer.writerow(["Name", "Type", "RA (deg)", "Dec (deg)", "MajAx (arcmin)", "MinAx (arcmin)", "PA", "V-Mag",
                         "Identifiers", "Common names"])
        for row in rows:
            writer.writerow(["" if value is None else value for value in (*row[:2], degrees(row[2]), degrees(row[3]), *row[4:])])


def write_votable(path, form):
    def numbers(position, convert=lambda value: value):
        values = [convert(row[position]) for row in rows]
        return MaskedColumn([math.nan if value is None else value for value in values],
                            mask=[value is None for value in values], dtype=float)

    def words(position):
        return [row[position] or "" for row in rows]

    table = Table()
    table["Name"], table["Type"] = words(0), words(1)
    # In radians, as the data set has them; their unit is told.
    table["RA"], table["Dec"] = numbers(2, lambda value: value), numbers(3, lambda value: value)
    table["MajAx"], table["MinAx"], table["PA"], table["V-Mag"] = (numbers(position) for position in range(4, 8))
    table["Identifiers"], table["Common names"] = words(8), words(9)
    for name, unit in [("RA", "rad"), ("Dec", "rad"), ("MajAx", "arcmin"), ("MinAx", "arcmin"), ("PA", "deg"), ("V-Mag", "mag")]:
        table[name].unit = unit
    file = from_table(table)
    file.get_first_table().format = form
    writeto(file, str(path))


def separation_arcsec(one, other):
    def vector(row):
        return np.array([math.cos(row[3]) * math.cos(row[2]), math.cos(row[3]) * math.sin(row[2]), math.sin(row[3])])

    return math.degrees(2 * math.asin(np.linalg.norm(vector(one) - vector(other)) / 2)) * 3600


def brought_in(path):
    """The targets that came in, by name, and why each of the other rows did not, by name."""
    started = time.perf_counter()
    done = subprocess.run([evenfall, "convert", path, "--to", f"{path}.ron"], capture_output=True, text=True)
    seconds = time.perf_counter() - started
    assert done.returncode == 1, done.stderr[-2000:]
    counted = re.search(r"(\d+) rows, (\d+) used, (\d+) not used, (\d+) values not used", done.stdout)
    count, used, unused, _ = map(int, counted.groups())
    left_out = re.findall(r":(\d+): (?:Type: )?\"(.*)\": row not used: (.*)", done.stderr)
    assert count == len(rows) and used + unused == count and unused == len(left_out), (counted.groups(), len(left_out))
    targets = {}
    for entry in re.split(r"\n    \(\n", Path(f"{path}.ron").read_text(encoding="utf-8"))[1:]:
        name = re.search(r'name: "((?:[^"\\]|\\.)*)"', entry).group(1)
        number = lambda key: (lambda found: found and float(found.group(1)))(re.search(key + r": \(?(-?[\d.]+)", entry))
        targets[name] = [number(key) for key in ("ra_deg", "dec_deg", "size_arcmin", "magnitude")]
    assert len(targets) == used
    print(f"{path.name}: {count} rows, {used} used in {seconds:.2f} s")
    return targets, left_out


write_csv(folder / "open.csv")
write_votable(folder / "open-tabledata.vot", "tabledata")
write_votable(folder / "open-binary2.vot", "binary2")
by_name = {row[0]: row for row in rows}
results = [brought_in(folder / name) for name in ("open.csv", "open-tabledata.vot", "open-binary2.vot")]
first, left_out = results[0]
for other, _ in results[1:]:
    assert other.keys() == first.keys(), sorted(other.keys() ^ first.keys())[:10]
    for name, values in other.items():
        for got, want in zip(values, first[name]):
            # The CSV has seven decimals of a degree.
            assert (got is None) == (want is None) and (got is None or abs(got - want) < 1e-7), (name, values, first[name])
# Every row of a kind that can be shown came in, but those that stand on another.
shown = {"*", "**", "*Ass", "Cl+N", "G", "GCl", "GGroup", "GPair", "GTrpl", "HII", "Neb", "OCl", "PN", "RfN", "SNR", "EmN", "DrkN"}
twins = 0
for _, value, reason in left_out:
    if value in by_name:
        assert by_name[value][1] in shown, (value, reason)
        assert re.match(r"it stands \d+″ from|line \d+ has", reason), (value, reason)
        twins += 1
could = sum(row[1] in shown and row[2] is not None for row in rows)
print(f"{could} rows could be shown, {twins} of them stand on another, {len(first)} came in")
assert len(first) >= could - twins, (len(first), could, twins)
unknown_sizes = sum(row[4] is None for row in rows if row[0] in first)
zero_sizes = sum(values[2] == 0 for values in first.values())
assert unknown_sizes > 0 and zero_sizes == 0
for name in random.Random(1).sample(sorted(first), 2000):
    row, (ra, dec, size, magnitude) = by_name[name], first[name]
    assert abs(ra - math.degrees(row[2])) < 1e-7 and abs(dec - math.degrees(row[3])) < 1e-7, name
    assert magnitude == row[7] or row[1] == "**", (name, magnitude, row[7])
    assert row[1] in ("*", "**") or (size or None) == (row[4] or None) or row[5] and row[5] > (row[4] or 0), (name, size, row[4:6])
print("2000 of them have the places, sizes and magnitudes of the data set")
