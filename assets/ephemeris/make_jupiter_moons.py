"""Writes the series of Jupiter's four large moons as a table of Rust.

    pip install astronomy-engine==2.1.19
    python3 make_jupiter_moons.py ../../core/src/ephemeris/jupiter_moons_series.rs

The theory is L1.2 of Duriez, Lainey and Vienne (IMCCE); the choice of its largest terms is that of the
Python package named above, from which they are read. README.md beside this file tells more.
"""

import sys
from importlib.metadata import version

import astronomy.astronomy as source

HEAD = """//! The largest terms of theory L1.2 of Jupiter's moons; made by `assets/ephemeris/make_jupiter_moons.py`.
//!
//! Lainey, Duriez and Vienne 2004, Astronomy and Astrophysics 420, 1171, and 2006, 456, 783; terms as chosen
//! in astronomy-engine {version} (copyright 2019-2023 Don Cross, MIT licence: `assets/ephemeris/README.md`).

/// Amplitude, phase in radians and frequency in radians a day of one wave.
pub(super) type Term = (f64, f64, f64);

/// One moon's elements as functions of time.
pub(super) struct Series {{
    /// Mean longitude in radians at the epoch, and its motion in radians a day.
    pub mean_longitude: (f64, f64),
    /// Semi-major axis in au: a sum of cosines.
    pub semi_major_axis_au: &'static [Term],
    /// What the longitude has beside its mean, in radians: a sum of sines.
    pub longitude: &'static [Term],
    /// Eccentricity and pericentre, `z = k + i h`: k a sum of cosines, h of sines.
    pub eccentricity: &'static [Term],
    /// Inclination and node, `zeta = q + i p`: q a sum of cosines, p of sines.
    pub inclination: &'static [Term],
}}
"""


def number(value):
    """As Rust writes it, in groups of three digits."""
    texts = (f"{value:.{digits}f}" for digits in range(1, 25))
    whole, part = next(text for text in texts if float(text) == value).split(".")
    groups = [part[start : start + 3] for start in range(0, len(part), 3)]
    return f"{whole}.{'_'.join(groups)}"


def terms(name, series):
    rows = [f"({', '.join(number(value) for value in term)})" for term in series.series]
    if len(rows) == 1:
        return f"        {name}: &[{rows[0]}],\n"
    rows = "".join(f"            {row},\n" for row in rows)
    return f"        {name}: &[\n{rows}        ],\n"


def main(path):
    text = HEAD.format(version=version("astronomy-engine"))
    rotation = source._Rotation_JUP_EQJ.rot
    text += "\n/// From the theory's axes (near Jupiter's equator) to those of the mean equator of J2000.0.\n"
    text += "pub(super) const TO_J2000: [[f64; 3]; 3] = [\n"
    for row in range(3):
        text += f"    [{', '.join(number(rotation[column][row]) for column in range(3))}],\n"
    text += "];\n\n/// From the innermost outwards.\npub(super) const SERIES: [Series; 4] = [\n"
    for model in source._JupiterMoonModel:
        text += "    Series {\n"
        text += f"        mean_longitude: ({number(model.al0)}, {number(model.al1)}),\n"
        text += terms("semi_major_axis_au", model.a)
        text += terms("longitude", model.l)
        text += terms("eccentricity", model.z)
        text += terms("inclination", model.zeta)
        text += "    },\n"
    text += "];\n"
    with open(path, "w", encoding="utf-8", newline="\n") as file:
        file.write(text)


if __name__ == "__main__":
    main(sys.argv[1])
