"""Makes nutation.pack: IAU 2000A nutation through 1950 to 2100 as a uniform B-spline.

    pip install numpy scipy pyerfa
    python3 make_pack.py nutation.pack          # writes the pack, then measures it
    python3 make_pack.py --check nutation.pack  # only measures

The layout of the pack is told in README.md beside this file and at the top of
core/src/earth/nutation.rs. Nothing in it depends on the clock or on chance.
"""

import argparse
import hashlib
from importlib.metadata import version
from pathlib import Path

import erfa
import numpy as np
from scipy.interpolate import BSpline, make_lsq_spline

J2000_JD = 2451545.0
MICROARCSEC = 180.0 * 3600.0e6 / np.pi
DEGREE = 9

# Days of TT from J2000.0: the span of the ephemeris, and a week more at both ends.
FIRST_DAY = -18454.0
# The shortest periods of the series are near 4 days; three steps in each leave next to no error.
STEP_DAYS = 1.25
INTERVALS = 44458
LAST_DAY = FIRST_DAY + STEP_DAYS * INTERVALS
QUANTUM_MICROARCSEC = 0.01


def truth(days):
    """Nutation in longitude and in obliquity, in microarcseconds; shape (days, 2)."""
    return np.array(erfa.nut06a(J2000_JD, days)).T * MICROARCSEC


def fit():
    """Least-squares coefficients, shape (count, 2).

    The fit runs over 14 more steps at both ends and keeps none of them, so the edges
    are fitted as well as the middle. Four samples per step.
    """
    spare = 14
    total = INTERVALS + 2 * spare
    knots = np.arange(-DEGREE, total + DEGREE + 1, dtype=float)
    samples = (np.arange(4 * total) + 0.5) / 4
    values = truth(FIRST_DAY + STEP_DAYS * (samples - spare))
    spline = make_lsq_spline(samples, values, knots, k=DEGREE)
    return spline.c[spare : spare + INTERVALS + DEGREE]


def check(path, instants=400_000):
    """Prints the largest errors over random instants none of which was fitted."""
    integers = np.frombuffer(path.read_bytes(), "<i4").reshape(-1, 2)
    assert len(integers) == INTERVALS + DEGREE
    knots = FIRST_DAY + STEP_DAYS * np.arange(-DEGREE, len(integers) + 1)
    days = np.random.default_rng(20_000).uniform(FIRST_DAY, LAST_DAY, instants)
    errors = BSpline(knots, integers * QUANTUM_MICROARCSEC, DEGREE)(days) - truth(days)
    print(", ".join(f"{name} {version(name)}" for name in ("pyerfa", "numpy", "scipy")))
    print(f"{path.stat().st_size} bytes, sha256 {hashlib.sha256(path.read_bytes()).hexdigest()}")
    print(f"largest errors over {instants} random instants, microarcseconds:")
    for name, error in zip(("longitude", "obliquity"), np.abs(errors).max(axis=0)):
        print(f"{name}: {error:.3f}")


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("pack", type=Path)
    parser.add_argument("--check", action="store_true", help="measure an existing pack only")
    arguments = parser.parse_args()
    if not arguments.check:
        integers = np.rint(fit() / QUANTUM_MICROARCSEC)
        assert np.abs(integers).max() < 2**31
        arguments.pack.write_bytes(integers.astype("<i4").tobytes())
    check(arguments.pack)


if __name__ == "__main__":
    main()
