"""Writes worked.json: worked examples of the bench's formulas, computed apart from it.

Inputs said to be invented belong to the invented workshop of the demonstration. Numbers of the form "as printed" come
from worked examples written for this project before the bench was; the rest is computed here, with mpmath at 40 digits
and with numpy and scipy where a general-purpose routine exists. Versions: requirements.txt.

usage: python worked.py > ../worked.json
"""
import json

import numpy as np
from mpmath import asin, cos, degrees, exp, findroot, mp, mpf as F, pi, radians, sin, sqrt, tan
from scipy.interpolate import CubicSpline
from scipy.optimize import linear_sum_assignment
from scipy.stats import median_abs_deviation

mp.dps = 40
G0 = F("9.80665")
CHECKS = []
PRINTED = "worked example of the invented demonstration, as printed; inputs invented"
ARITHMETIC = "computed with mpmath 1.4.1; inputs invented"


def number(x):
    if isinstance(x, str):
        return x
    if isinstance(x, list):
        return [number(v) for v in x]
    return float(mp.nstr(F(x), 12)) if not isinstance(x, int) else x


def row(id, formula, inputs, expected, tolerance, source, provenance):
    assert all(c["id"] != id for c in CHECKS), id
    CHECKS.append(dict(id=id, formula=formula, inputs=inputs, expected={k: number(v) for k, v in expected.items()},
                       tolerance=tolerance, source=source, provenance=provenance))


def printed(id, formula, inputs, expected, tolerance):
    row(id, formula, inputs, expected, tolerance, PRINTED, "computed")


def computed(id, formula, inputs, expected, source=ARITHMETIC, rel="1e-9"):
    row(id, formula, inputs, expected, {"rel": float(rel), "abs": 1e-9}, source, "computed")


def practice(id, formula, inputs, expected, source="common practice, no source", tolerance=None):
    row(id, formula, inputs, expected, tolerance or {"abs": 0}, source, "common-practice")


# ---------------------------------------------------------------- cylinders
CHAMBER = {"bore": "82.0 mm", "stroke": "82.8 mm", "gasket-bore": "83 mm", "gasket-thickness": "0.65 mm", "deck": "0.20 mm"}
printed("swept-82-4", "displacement", {"bore": "82.0 mm", "stroke": "82.8 mm", "cylinders": 4},
        {"cylinder": F("437.27"), "engine": F("1749.1")}, {"rel": 4e-5})
printed("swept-82-5", "displacement", {"bore": "82.0 mm", "stroke": "82.8 mm", "cylinders": 5}, {"engine": F("2186.3")}, {"rel": 4e-5})
printed("ratio-standard", "compression-ratio", CHAMBER | {"chamber": "38.0 mL", "dish": "1.5 mL"},
        {"ratio": F("10.92"), "clearance": F("44.07")}, {"abs": 0.006})
printed("ratio-skimmed", "compression-ratio", CHAMBER | {"chamber": "36.9 mL", "dish": "1.5 mL"}, {"ratio": F("11.18")}, {"abs": 0.006})
printed("ratio-skimmed-thick-gasket", "compression-ratio",
        CHAMBER | {"chamber": "36.9 mL", "dish": "1.5 mL", "gasket-thickness": "1.00 mm"}, {"ratio": F("10.75")}, {"abs": 0.006})
printed("ratio-five-before", "compression-ratio", CHAMBER | {"chamber": "38.0 mL", "dish": "3.0 mL"}, {"ratio": F("10.59")}, {"abs": 0.006})
printed("ratio-five-supplied-head", "compression-ratio", CHAMBER | {"chamber": "37.0 mL", "dish": "3.0 mL"}, {"ratio": F("10.81")}, {"abs": 0.006})
printed("skim-quarter", "skimmed-volume", {"bore": "82 mm", "depth": "0.25 mm", "opening": "0.8"}, {"volume": F("1.06")}, {"abs": 0.005})
computed("skim-fifth", "skimmed-volume", {"bore": "86 mm", "depth": "0.20 mm", "opening": "0.9"},
         {"volume": F("0.9") * pi / 4 * F(86) ** 2 * F("0.2") / 1000})
printed("reading-at-1500", "cranking-pressure-at-height", {"height": "1500 m", "ratio": "8.0", "reading": "11.3 bar"},
        {"at-sea-level": F("13.5")}, {"abs": 0.1})
for h, p in ((1000, "0.898746"), (3000, "0.701085")):
    row(f"standard-atmosphere-{h}", "cranking-pressure-at-height", {"height": f"{h} m", "ratio": "8"}, {"atmosphere": F(p)},
        {"rel": 1e-5}, "ISO 2533 standard atmosphere, table, from memory", "memory")
p1500 = F(101325) * (1 - F("0.0065") * 1500 / F("288.15")) ** F("5.25588")
computed("cranking-at-1500", "cranking-pressure-at-height", {"height": "1500 m", "ratio": "8.2", "exponent": "1.28"},
         {"gauge": p1500 * (F("8.2") ** F("1.28") - 1) / 100000})
printed("compression-neighbours", "compression-test", {"readings": "12.9; 8.1; 8.3; 12.7 bar"},
        {"lowest-to-highest": F("62.8"), "pattern": "two neighbours low: cylinders 2 and 3"}, {"abs": 0.05})
practice("compression-even", "compression-test", {"readings": "12.3; 12.1; 12.2; 12.3; 12.2 bar"}, {"pattern": "even"})
practice("compression-one-low", "compression-test", {"readings": "11.9; 11.7; 11.8; 11.9; 8.2 bar"}, {"pattern": "one low: cylinder 5"})
practice("compression-all-low", "compression-test", {"readings": "8.1; 8.0; 8.2; 8.1 bar", "normal": "12.5 bar"}, {"pattern": "all low"})


def psi(r):
    g = F("1.4")
    if r <= (2 / (g + 1)) ** (g / (g - 1)):
        return sqrt(g) * (2 / (g + 1)) ** ((g + 1) / (2 * (g - 1)))
    return sqrt(2 * g / (g - 1) * (r ** (2 / g) - r ** ((g + 1) / g)))


for i, (s, c, d) in enumerate((("5.5", "4.2", "1.0"), ("6.0", "5.7", "1.5"), ("7.0", "1.0", "1.0"))):
    ps, pc, pa = F(s) + F("1.01325"), F(c) + F("1.01325"), F("1.01325")
    ratio = ps * psi(pc / ps) / (pc * psi(pa / pc))
    computed(f"leak-hole-{i + 1}", "leak-down", {"supply": f"{s} bar", "cylinder": f"{c} bar", "orifice": f"{d} mm"},
             {"leak": 100 * (F(s) - F(c)) / F(s), "hole": F(d) * sqrt(ratio)},
             "isentropic nozzle flow, computed with mpmath 1.4.1; inputs invented")

ps, pa = F("5.5") + F("1.01325"), F("1.01325")
same = ps * psi((F("4.2") + pa) / ps) / ((F("4.2") + pa) * psi(pa / (F("4.2") + pa))) / F("1.5") ** 2
there = findroot(lambda p: ps * psi(p / ps) / (p * psi(pa / p)) - same, (F("5.5"), F("6.2")), solver="anderson")
computed("leak-other-tester", "leak-down", {"supply": "5.5 bar", "cylinder": "4.2 bar", "orifice": "1.0 mm", "other-orifice": "1.5 mm"},
         {"other-leak": 100 * (ps - there) / F("5.5")}, "isentropic nozzle flow, mpmath 1.4.1 findroot; inputs invented")

# ---------------------------------------------------------------- valve train
for add, rpm, margin in (("0", 10196, "40.5"), ("0.5", 10050, "36.6"), ("1.0", 9903, "32.6")):
    printed(f"float-taller-{add}", "float-speed",
            {"rate": "32 N/mm", "seat-load": f"{230 - 32 * float(add):g} N", "lift": "10.5 mm", "mass": "110 g",
             "curvature": "0.0055 mm", "speed": "8600 rpm"},
            {"float-speed": F(rpm), "margin": F(margin)}, {"abs": 0.5})
angles = np.arange(-64.0, 65.0, 4.0)
lifts = np.round(8.0 * np.cos(np.pi * angles / 136.0) ** 2, 3)
for name, ratio in (("direct", 1.0), ("rocker", 1.35)):
    curve = CubicSpline(np.radians(angles), lifts * ratio * 1e-3, bc_type="natural")
    bend, lift = curve(np.radians(angles), 2), lifts * ratio * 1e-3
    ok = (bend < 0) & (lift > 0)
    speed = np.where(ok, 2 * np.sqrt((230 + 32000 * lift) / (0.11 * np.where(ok, -bend, 1))), np.inf)
    k = int(np.argmin(speed))
    computed(f"float-table-{name}", "float-speed-from-lift-table",
             {"angles": "; ".join(f"{a:g}°" for a in angles), "lifts": "; ".join(f"{y:.3f}" for y in lifts) + " mm",
              "ratio": f"{ratio:g}", "rate": "32 N/mm", "seat-load": "230 N", "mass": "110 g", "speed": "5000 rpm"},
             {"float-speed": float(speed[k] * 30 / np.pi), "angle": float(angles[k]),
              "deceleration": float(-bend[k] * (5000 * np.pi / 60) ** 2), "margin": float(100 * ((speed[k] * 30 / np.pi / 5000) ** 2 - 1))},
             "natural cubic spline, scipy 1.17.1 CubicSpline; lift table invented", rel="1e-8")
ABOVE = [1.52, 1.55, 1.50, 1.54, 1.53, 1.17, 1.56, 1.51, 1.52, 1.02]
HEAD = [36.02, 36.05, 36.00, 36.04, 36.03, 36.04, 36.06, 36.01, 36.02, 36.19]
PLACES = ["C1-I1", "C1-I2", "C2-I1", "C2-I2", "C3-I1", "C3-I2", "C4-I1", "C4-I2", "C5-I1", "C5-I2"]
printed("tips-above-retainer", "valve-heights-compared",
        {"above-retainer": [f"{x:.2f} mm" for x in ABOVE], "above-head": [f"{x:.2f} mm" for x in HEAD], "places": PLACES},
        {"median": F("1.520"), "deviation": F("0.030"),
         "stand-out": ["C3-I2: 12 deviations low", "C5-I2: 17 deviations low"],
         "stand-out-head": ["C5-I2: 7 deviations high"]}, {"abs": 0.0005})
for name, values in (("retainer", ABOVE), ("other", [0.31, 0.28, 0.30, 0.33, 0.29, 0.55])):
    median, mad = float(np.median(values)), float(median_abs_deviation(values, scale="normal"))
    computed(f"row-{name}", "valve-heights-compared", {"above-retainer": [f"{x:.2f} mm" for x in values]},
             {"median": median, "deviation": mad, "scores": [float(v) for v in (np.array(values) - median) / mad]},
             "scipy 1.17.1 median_abs_deviation(scale='normal'); heights invented", rel="1e-9")
lengths, loads = [30.0, 34.0, 38.0, 42.0], [580.0, 425.0, 290.0, 170.0]
for h, s in ((40.0, 9.5), (41.0, 6.0)):
    seat, top = np.interp([h, h - s], lengths, loads)
    computed(f"load-table-{h:g}", "valve-spring-load-table",
             {"lengths": "42; 38; 34; 30 mm", "loads": "170; 290; 425; 580 N", "installed-height": f"{h:g} mm", "lift": f"{s:g} mm"},
             {"seat-load": float(seat), "open-load": float(top), "rate": float((top - seat) / s)},
             "numpy 2.4.6 interp; loads invented")
computed("shim-under-spring", "valve-spring-shim", {"measured": "36.5 mm", "wanted": "36.0 mm", "rate": "32 N/mm"}, {"shim": F("0.5"), "load": F(16)})
computed("no-shim-under-spring", "valve-spring-shim", {"measured": "35.8 mm", "wanted": "36.0 mm", "rate": "30 N/mm"}, {"shim": F("-0.2"), "load": F(-6)})
computed("seal-clear", "retainer-seal-clearance", {"installed-height": "36 mm", "boss": "4 mm", "seal-height": "19.5 mm", "lift": "10.5 mm"}, {"clearance": F(2)})
computed("seal-struck", "retainer-seal-clearance", {"installed-height": "35.2 mm", "seal-height": "24.6 mm", "lift": "11.1 mm"}, {"clearance": F("-0.5")})
printed("screw-tenth", "lash-screw-turn", {"change": "0.10 mm", "pitch": "1.0 mm"}, {"turn": F(36)}, {"abs": 1e-9})
computed("screw-back", "lash-screw-turn", {"change": "-0.05 mm", "pitch": "0.75 mm"}, {"turn": F("-0.05") / F("0.75") * 360})

FITTED = [2.60, 2.62, 2.50, 2.52, 2.64, 2.58, 2.46, 2.54, 2.62, 2.66, 2.48, 2.44, 2.60, 2.56, 2.52, 2.50]
LASH = [.17, .15, .25, .23, .13, .19, .27, .21, .15, .13, .23, .29, .16, .22, .22, .24]
TARGET = [.21, .21, .29, .29] * 4


def fewest(fitted, lash, target, band, stock=()):
    """Fewest to buy, by scipy's assignment: a bought shim costs more than all else together."""
    wanted = [round(f + l - t, 3) for f, l, t in zip(fitted, lash, target)]
    pool = list(fitted) + list(stock)
    cost = [[abs(s - w) if abs(s - w) <= band + 1e-9 else 1e6 for s in pool] + [100.0] * len(wanted) for w in wanted]
    rows, columns = linear_sum_assignment(np.array(cost))
    return int(sum(c >= len(pool) for c in columns))


SHIMS = {"fitted": "; ".join(f"{x:.2f}" for x in FITTED) + " mm", "lash": "; ".join(f"{x:.2f}" for x in LASH) + " mm",
         "target": "; ".join(f"{x:.2f}" for x in TARGET) + " mm", "step": "0.01 mm", "smallest": "2.00 mm", "largest": "3.00 mm"}
printed("shims-sixteen", "shim-plan", SHIMS | {"band": "0.03 mm"}, {"out-of-band": 12, "bought": 7}, {"abs": 0})
computed("shims-sixteen-careful", "shim-plan", SHIMS | {"band": "0.03 mm", "margin": "0.01 mm"},
         {"bought": fewest(FITTED, LASH, TARGET, .03), "bought-careful": fewest(FITTED, LASH, TARGET, .02)},
         "exact assignment, scipy 1.17.1 linear_sum_assignment; inputs invented")
computed("shims-sixteen-with-stock", "shim-plan", SHIMS | {"band": "0.02 mm", "margin": "0 mm", "stock": "2.46; 2.42 mm"},
         {"bought": fewest(FITTED, LASH, TARGET, .02, (2.46, 2.42))},
         "exact assignment, scipy 1.17.1 linear_sum_assignment; inputs invented")


def drop(stroke, rod, deg):
    r, a = F(stroke) / 2, radians(F(deg))
    return F(rod) + r - r * cos(a) - sqrt(F(rod) ** 2 - (r * sin(a)) ** 2)


turn, lift = ["-20", "-10", "0", "10", "20", "30"], ["0.6", "1.0", "1.6", "2.4", "3.4", "4.6"]
for name, later in (("as-set", "0"), ("advanced", "-4")):
    gaps = [(F(4) + drop("82.8", "140", F(t) + F(later)) * cos(radians(F(15))) - F(y), F(t) + F(later)) for t, y in zip(turn, lift)]
    least, at = min(gaps)
    computed(f"valve-sweep-{name}", "piston-to-valve",
             {"angles": "; ".join(t + "°" for t in turn), "lifts": "; ".join(lift) + " mm", "closed-gap": "4.0 mm",
              "valve-angle": "15°", "later": f"{later}°", "stroke": "82.8 mm", "rod": "140 mm"},
             {"clearance": least, "at": at})
computed("valve-left-skim", "piston-to-valve-left", {"measured": "2.1 mm", "added-lift": "0.3 mm", "removed": "0.2 mm", "valve-angle": "15°", "timing": "2°", "per-degree": "0.07 mm"},
         {"clearance": F("2.1") - F("0.3") - F("0.2") * cos(radians(F(15))) - F("0.14")})
computed("valve-left-plain", "piston-to-valve-left", {"measured": "1.8 mm", "removed": "0.35 mm"}, {"clearance": F("1.45")})

# ---------------------------------------------------------------- bottom end
computed("bearing-plain", "bearing-clearance", {"bore": "56.045 mm", "journal": "56.000 mm"}, {"clearance": F(45), "relative": F("0.045") / 56})
computed("bearing-inch", "bearing-clearance", {"bore": "2.1265 in", "journal": "2.1248 in"}, {"clearance": F("0.0017") * 25400})
for name, dt in (("cold", 0), ("warm", 70)):
    bore, journal = F("60.02") - 2 * F("1.99"), F(56)
    c = bore * (1 + F("23e-6") * dt) - journal * (1 + F("11.5e-6") * dt)
    computed(f"bearing-shells-{name}", "bearing-clearance-from-shells",
             {"housing": "60.02 mm", "shell": "1.990 mm", "journal": "56.000 mm", "warming": f"{dt} K"}, {"clearance": c * 1000}, rel="1e-9")
SIZES = ["1.982", "1.986", "1.990", "1.994", "1.998"]
for name, h, d, want in (("tight", "60.012", "55.988", "40"), ("wide", "60.020", "55.981", "44")):
    best = min((abs((F(h) - F(d) - F(a) - F(b)) * 1000 - F(want)), (F(h) - F(d) - F(a) - F(b)) * 1000) for i, a in enumerate(SIZES) for b in SIZES[i:])
    computed(f"shells-{name}", "shell-choice", {"housing": f"{h} mm", "journal": f"{d} mm", "sizes": [s + " mm" for s in SIZES], "wanted": f"{want} µm"}, {"clearance": best[1]}, rel="1e-8")
computed("float-washers", "crank-end-float", {"between-faces": "28.32 mm", "housing": "23.5 mm", "washer": "2.31 mm", "wanted": "0.15 mm"}, {"float": F("0.20"), "washer-wanted": F("2.335")})
computed("float-bound", "crank-end-float", {"between-faces": "28.10 mm", "housing": "23.5 mm", "washer": "2.31 mm", "wanted": "0.15 mm"}, {"float": F("-0.02"), "washer-wanted": F("2.225")})
computed("ring-new", "ring-gap", {"gap": "0.30 mm", "bore": "82 mm", "hotter": "80 K", "expansion": "11 µm/(m·K)"},
         {"relative": F("0.3") / 82 * 100, "closes-by": pi * 82 * F("11e-6") * 80})
computed("ring-worn-bore", "ring-gap", {"gap": "0.30 mm", "bore": "82 mm", "wear": "0.05 mm"}, {"in-worn-bore": F("0.3") + pi * F("0.05")})

# ---------------------------------------------------------------- clutch
CHAIN = {"pedal-stroke": "138 mm", "free-play": "8 mm", "pedal-ratio": "5.4", "loss": "1.2 mm", "needed": "14.0 mm"}
for name, m, s, travel, effort in (("matched", "15.87", "19.05", "15.51", "1.00"), ("slave", "15.87", "20.64", "13.03", "0.85"),
                                   ("master", "17.46", "19.05", "19.02", "1.21"), ("both", "17.46", "20.64", "16.03", "1.03")):
    printed(f"release-{name}", "clutch-release-travel", CHAIN | {"master-bore": f"{m} mm", "slave-bore": f"{s} mm"},
            {"slave-travel": F(travel), "spare": F(travel) - 14}, {"abs": 0.006})
    printed(f"pair-{name}", "clutch-pair-compared",
            CHAIN | {"master-bore": f"{m} mm", "slave-bore": f"{s} mm", "intended-master-bore": "15.87 mm", "intended-slave-bore": "19.05 mm"},
            {"travel": F(travel), "intended-travel": F("15.51"), "effort": F(effort)}, {"abs": 0.006})
for name, fb, fork, friction in (("road", "1700", "1.8", "15"), ("concentric", "2100", "1.0", "0")):
    fs = F(fb) / F(fork)
    computed(f"pedal-{name}", "clutch-pedal-effort",
             {"bearing-force": f"{fb} N", "fork-ratio": fork, "pedal-ratio": "5.4", "master-bore": "15.87 mm", "slave-bore": "19.05 mm", "friction": f"{friction} %"},
             {"slave-force": fs, "effort": fs / (F("5.4") * (F("19.05") / F("15.87")) ** 2) / (1 - F(friction) / 100)})
printed("clutch-holds-030", "clutch-torque-uniform-wear", {"outer": "215 mm", "inner": "150 mm", "friction": "0.30", "faces": 2, "clamp": "5600 N"}, {"torque": F("306.6")}, {"abs": 0.05})
printed("clutch-holds-025", "clutch-torque-uniform-wear", {"outer": "215 mm", "inner": "150 mm", "friction": "0.25", "faces": 2, "clamp": "5600 N"}, {"torque": F("255.5")}, {"abs": 0.05})
printed("clutch-holds-new", "clutch-torque-uniform-pressure", {"outer": "215 mm", "inner": "150 mm", "friction": "0.30", "faces": 2, "clamp": "5600 N"}, {"torque": F(310)}, {"abs": 0.8})
computed("lining-six", "clutch-lining-wear", {"retreat": "6.0 mm", "fork-ratio": "1.8", "finger-ratio": "3.5", "allowed": "2.0 mm"}, {"worn": F(6) / F("6.3"), "left": 100 * (1 - F(6) / F("12.6"))})
computed("lining-new", "clutch-lining-wear", {"retreat": "0 mm", "finger-ratio": "3.5", "allowed": "2.0 mm"}, {"worn": F(0), "left": F(100)})

# ---------------------------------------------------------------- brakes
printed("pads-rate", "pad-wear-left", {"first": "7.8 mm", "first-at": "50000 km", "second": "5.1 mm", "second-at": "62500 km", "limit": "3.0 mm"},
        {"rate": F("0.216"), "distance": F(9722)}, {"rel": 1e-4})
computed("disc-track", "disc-wear-left", {"first": "24.6 mm", "first-at": "55100 km", "second": "24.1 mm", "second-at": "60900 km", "limit": "23.0 mm"},
         {"left": F("1.1"), "rate": F("0.5") / F("5.8"), "distance": F("1.1") / (F("0.5") / 5800), "reached-at": 60900 + F("1.1") / (F("0.5") / 5800)})
computed("disc-no-loss", "disc-wear-left", {"first": "24.1 mm", "first-at": "55100 km", "second": "24.1 mm", "second-at": "60900 km", "limit": "23.0 mm"}, {"left": F("1.1"), "rate": F(0)})
for name, h, ha, d, da, studs in (("four", 40, 30, 50, 100, 4), ("five", 60, 200, 35, 20, 5)):
    runs = [abs(h * np.exp(1j * np.radians(ha)) + d * np.exp(1j * (np.radians(da) + 2 * np.pi * k / studs))) for k in range(studs)]
    computed(f"index-{name}", "run-out-indexed",
             {"hub": f"{h} µm", "hub-high": f"{ha}°", "disc": f"{d} µm", "disc-high": f"{da}°", "studs": studs},
             {"as-it-is": float(runs[0]), "least": float(min(runs)), "stud": int(np.argmin(runs)) + 1},
             "sum of two complex numbers, numpy 2.4.6; inputs invented")
for name, o in (("centred", "0"), ("forward", "3")):
    share, push = F("0.5") + F(o) / 63, F(2000)
    area = lambda d: pi / 4 * F(d) ** 2
    computed(f"bar-{name}", "brake-balance-bar",
             {"pedal-force": "400 N", "pedal-ratio": "5.0", "width": "63 mm", "offset": f"{o} mm", "front-bore": "15.875 mm", "rear-bore": "17.78 mm"},
             {"front-push": 100 * share, "front-pressure": push * share / area("15.875") * 10, "rear-pressure": push * (1 - share) / area("17.78") * 10})
row("fluid-no-water", "brake-fluid-boiling-margin", {"dry": "230 °C", "wet": "155 °C", "water": "0 %", "hottest": "140 °C"},
    {"boiling": F(230), "margin": F(90)}, {"abs": 1e-9}, "49 CFR 571.116 S5.1.1, grade DOT 4: the dry point", "published")
row("fluid-wet", "brake-fluid-boiling-margin", {"dry": "230 °C", "wet": "155 °C", "water": "3.7 %", "hottest": "140 °C"},
    {"boiling": F(155), "margin": F(15)}, {"abs": 1e-9}, "49 CFR 571.116 S5.1.2, grade DOT 4: the wet point", "published")
computed("fluid-halfway", "brake-fluid-boiling-margin", {"dry": "205 °C", "wet": "140 °C", "water": "1.85 %", "hottest": "150 °C"}, {"boiling": F("172.5"), "margin": F("22.5")})
LINES, CAL = ["1.2", "0.8", "4.1", "4.6"], ["12", "12", "5", "5"]
volumes = [2 * (pi / 4 * F("3.2") ** 2 * F(l) + F(c)) for l, c in zip(LINES, CAL)]
computed("bleed-front-rear", "bleeding-order", {"lengths": "; ".join(LINES) + " m", "bore": "3.2 mm", "calipers": "; ".join(CAL) + " mL", "times": "2", "split": "front and rear"},
         {"volumes": volumes, "total": sum(volumes)})
practice("bleed-longest-first", "bleeding-order", {"lengths": "1.2; 0.8; 4.1; 4.6 m", "calipers": "12; 12; 5; 5 mL", "split": "front and rear"},
         {"order": ["rear right", "rear left", "front left", "front right"]})
practice("bleed-diagonal", "bleeding-order", {"lengths": "1.2; 0.8; 4.1; 4.6 m", "calipers": "12; 12; 5; 5 mL", "split": "diagonal"},
         {"order": ["rear right", "front left", "rear left", "front right"]})

# ---------------------------------------------------------------- springs
printed("corners", "corner-weights", {"front-left": "292 kg", "front-right": "284 kg", "rear-left": "268 kg", "rear-right": "262 kg"},
        {"total": F(1106), "front": F("52.1"), "left": F("50.6"), "cross": F("49.9")}, {"abs": 0.05})
computed("corners-even", "corner-weights", {"front-left": "250 kg", "front-right": "250 kg", "rear-left": "250 kg", "rear-right": "250 kg"}, {"front": F(50), "left": F(50), "cross": F(50)})
FRONT, REAR = {"sprung-mass": "242 kg", "motion-ratio": "0.70"}, {"sprung-mass": "225 kg", "motion-ratio": "0.75"}
printed("height-front-standard", "ride-height-from-spring", FRONT | {"free-length": "300 mm", "rate": "42 N/mm", "other-free-length": "325 mm", "other-rate": "33 N/mm"},
        {"length": F("219.3"), "other-length": F("222.3"), "change": F("4.3")}, {"abs": 0.06})
printed("height-rear-standard", "ride-height-from-spring", REAR | {"free-length": "325 mm", "rate": "33 N/mm", "other-free-length": "300 mm", "other-rate": "42 N/mm"},
        {"length": F("235.8"), "other-length": F("230.0"), "change": F("-7.9")}, {"abs": 0.06})
printed("height-front-lowered", "ride-height-from-spring", FRONT | {"free-length": "275 mm", "rate": "54 N/mm", "other-free-length": "310 mm", "other-rate": "38 N/mm"},
        {"change": F("12.2")}, {"abs": 0.06})
printed("height-rear-lowered", "ride-height-from-spring", REAR | {"free-length": "310 mm", "rate": "38 N/mm", "other-free-length": "275 mm", "other-rate": "54 N/mm"},
        {"change": F("-16.1")}, {"abs": 0.06})
for name, k, r, m, f in (("front", 42, "0.70", 242, "1.468"), ("front-exchanged", 33, "0.70", 242, "1.301"), ("rear", 33, "0.75", 225, "1.446"), ("rear-exchanged", 42, "0.75", 225, "1.631")):
    printed(f"ride-{name}", "ride-frequency", {"wheel-rate": f"{float(F(k) * F(r) ** 2):.6g} N/mm", "sprung-mass": f"{m} kg"}, {"frequency": F(f)}, {"abs": 0.0006})
CAR = {"front-mass": "242 kg", "rear-mass": "225 kg", "front-ratio": "0.70", "rear-ratio": "0.75", "reading-spread": "2 mm", "model-spread": "3 mm"}
KIT = CAR | {"front-free-length": "275 mm", "front-rate": "54 N/mm", "rear-free-length": "310 mm", "rear-rate": "38 N/mm", "front-expected": "330 mm", "rear-expected": "336 mm"}
STANDARD = CAR | {"front-free-length": "300 mm", "front-rate": "42 N/mm", "rear-free-length": "325 mm", "rear-rate": "33 N/mm", "front-expected": "352 mm", "rear-expected": "358 mm"}
printed("odds-kit", "springs-where", KIT | {"front-left": "341 mm", "front-right": "341 mm", "rear-left": "321 mm", "rear-right": "321 mm"},
        {"front-change": F("12.2"), "rear-change": F("-16.1"), "log-odds": F("5.7")}, {"abs": 0.06})
printed("odds-standard", "springs-where", STANDARD | {"front-left": "354 mm", "front-right": "354 mm", "rear-left": "349 mm", "rear-right": "349 mm"},
        {"front-change": F("4.3"), "rear-change": F("-7.9"), "log-odds": F("1.3")}, {"abs": 0.06})


def springs_where(seen, front, rear, sag=(12, 8), other=25, priors=(70, 5, 15, 10)):
    """Four normal laws and Bayes' rule; ends are (mass, ratio, free length, rate) in kg, 1, mm, N/mm."""
    def length(end, spring):
        return spring[2] - end[0] * G0 / end[1] / spring[3]
    change = [(length(a, b) - length(a, a)) / a[1] for a, b in ((front, rear), (rear, front))]
    def law(means, spread):
        v = F(13) + F(spread) ** 2
        p = F(1)
        for d, m in zip(seen, means):
            p *= exp(-(F(d) - m) ** 2 / (2 * v)) / sqrt(2 * pi * v)
        return p
    weights = [w * p for w, p in zip((law((0, 0), 0), law(change, 0), law((-sag[0], -sag[0]), sag[1]), law((0, 0), other)), priors)]
    return [100 * w / sum(weights) for w in weights]


f_std, r_std = (F(242), F("0.7"), F(300), F(42)), (F(225), F("0.75"), F(325), F(33))
for name, heights, seen in (("level", (352, 352, 358, 358), (0, 0)), ("both-low", (338, 340, 347, 345), (-13, -12)), ("odd", (392, 392, 330, 330), (40, -28))):
    p = springs_where(seen, f_std, r_std)
    computed(f"springs-{name}", "springs-where", STANDARD | dict(zip(("front-left", "front-right", "rear-left", "rear-right"), (f"{h} mm" for h in heights))),
             dict(zip(("as-intended", "exchanged", "sagged", "something-else"), p)))

# ---------------------------------------------------------------- threads
for k, f in (("0.15", "60.0"), ("0.20", "45.0"), ("0.28", "32.1")):
    printed(f"wheel-preload-{k}", "torque-to-preload", {"torque": "108 N·m", "nut-factor": k, "diameter": "12 mm"}, {"preload": F(f)}, {"abs": 0.06})
computed("torque-34", "preload-to-torque", {"preload": "34.226 kN", "nut-factor": "0.20", "diameter": "12 mm"}, {"torque": F("82.1424")})
computed("torque-oiled", "preload-to-torque", {"preload": "50 kN", "nut-factor": "0.15", "diameter": "10 mm"}, {"torque": F(75)})
computed("scatter-impact", "preload-scatter", {"greatest": "60 kN", "tightening-factor": "2.5"}, {"least": F(24)})
computed("bolt-all-thread", "bolt-stiffness", {"modulus": "205000 MPa", "stress-area": "84.3 mm2", "shank": "12 mm", "threaded": "60 mm", "plain": "0 mm"}, {"stiffness": F("84.3") * 205000 / 60})
computed("head-bolt", "head-bolt-stretch", {"preload": "50 kN", "stiffness": "250000 N/mm", "new-length": "110.0 mm", "length": "110.4 mm", "allowed": "0.5 mm"}, {"stretch": F("0.2"), "growth": F("0.4"), "left": F("0.1")})
computed("head-bolt-long", "head-bolt-stretch", {"preload": "35 kN", "stiffness": "200000 N/mm", "new-length": "98.0 mm", "length": "98.9 mm", "allowed": "0.6 mm"}, {"stretch": F("0.175"), "growth": F("0.9"), "left": F("-0.3")})
practice("wheel-stages", "tightening-stages", {"torque": "108 N·m", "stages": "50; 100 %"}, {"torques": [54, 108]}, tolerance={"abs": 1e-9})
practice("head-stages", "tightening-stages", {"torque": "60 N·m", "stages": "30; 70; 100 %", "angle": "90°"}, {"torques": [18, 42, 60]}, tolerance={"abs": 1e-9})


def engagement(d, P, Rb, Rm, s):
    """Shear rings of the basic profile, from the flanks' geometry rather than the seven eighths and three quarters."""
    d, P = F(d), F(P)
    H = P * sqrt(3) / 2
    d2, D1 = d - 2 * F(3) / 8 * H, d - 2 * F(5) / 8 * H
    As = pi / 4 * ((d2 + d - F(17) / 12 * H) / 2) ** 2
    hole = pi * d / P * (P / 2 + tan(radians(F(30))) * (d - d2))
    bolt = pi * D1 / P * (P / 2 + tan(radians(F(30))) * (d2 - D1))
    return F(Rb) * As / (F(s) * F(Rm) * hole), As / (F(s) * bolt)


for name, d, P, Rb, Rm in (("aluminium", "10", "1.5", "1040", "250"), ("steel", "10", "1.5", "830", "830"), ("fine", "12", "1.25", "830", "320")):
    hole, bolt = engagement(d, P, Rb, Rm, "0.6")
    computed(f"engage-{name}", "thread-engagement", {"diameter": f"{d} mm", "pitch": f"{P} mm", "bolt-strength": f"{Rb} MPa", "hole-strength": f"{Rm} MPa"},
             {"for-hole": hole, "for-bolt": bolt, "engagement": max(hole, bolt), "diameters": max(hole, bolt) / F(d)})

# ---------------------------------------------------------------- belts
for f, t in ((150, 266), (170, 342), (195, 450)):
    printed(f"belt-{f}", "belt-span-tension", {"mass-per-length": "0.100 kg/m", "span": "172 mm", "frequency": f"{f} Hz"}, {"tension": t}, {"abs": 0.5})
computed("belt-mass-six", "belt-unit-mass", {"mass": "126 g", "length": "1.26 m", "ribs": 6}, {"unit-mass": F("0.1"), "per-rib": F("0.1") / 6})
lean = 2 * asin(F(40) / 350)
computed("drive-wrap", "belt-drive", {"centres": "350 mm", "large": "140 mm", "small": "60 mm"},
         {"small-wrap": degrees(pi - lean), "large-wrap": degrees(pi + lean), "ratio": F(140) / 60})
for name, new, now, angle in (("worn", "0.60", "0.35", "40"), ("new", "0.60", "0.60", "40"), ("wide", "1.10", "0.80", "60")):
    w = 2 * (F(new) - F(now)) * tan(radians(F(angle) / 2))
    computed(f"rib-{name}", "ribbed-belt-wear", {"stands-new": f"{new} mm", "stands": f"{now} mm", "angle": f"{angle}°"}, {"widening": w, "share": 100 * w / F("3.56")})

# ---------------------------------------------------------------- fluids and cooling
printed("coolant-35-50", "coolant-exchange", {"content": "6.2 L", "from": "35 %", "to": "50 %"}, {"exchange": F("1.43")}, {"abs": 0.005})
computed("coolant-from-water", "coolant-exchange", {"content": "8 L", "from": "0 %", "to": "50 %"}, {"exchange": F(4)})
computed("account-lost", "fluid-account", {"content": "4.8 L", "drained": "3.7 L", "filled": "4.5 L", "distance": "12000 km"},
         {"left-in": F("0.3"), "lost": F("0.8"), "over": F(0), "rate": F(800) / 12})
computed("account-overfilled", "fluid-account", {"content": "2.1 L", "drained": "2.4 L", "filled": "2.1 L", "over-then": "0.3 L", "over-now": "0.1 L"},
         {"left-in": F("0.1"), "lost": F("-0.1"), "over": F("0.1")})
computed("dynamic-hot", "dynamic-viscosity", {"kinematic": "14.5 mm2/s", "density": "820 kg/m3"}, {"dynamic": F("11.89")})
computed("hold-steady", "cooling-pressure-hold", {"start": "1.10 bar", "end": "1.00 bar", "time": "10 min"}, {"expected": F("1.10"), "leaked": F("0.10"), "in-ten-minutes": F("0.10")})
p = (F("1.1") + F("1.01325")) * F("303.15") / F("313.15") - F("1.01325")
computed("hold-cooling", "cooling-pressure-hold", {"start": "1.10 bar", "end": "1.00 bar", "time": "5 min", "temperature": "40 °C", "temperature-end": "30 °C", "air": "0.5 L"},
         {"expected": p, "leaked": p - 1, "in-ten-minutes": 2 * (p - 1),
          "coolant-out": 500 * ((F("2.11325") * F("303.15")) / (F("2.01325") * F("313.15")) - 1)})
T, L = [76.0, 80.0, 84.0, 88.0, 92.0], [0.0, 0.0, 0.8, 3.5, 7.5]
for name, rating, threshold in (("as-rated", 82, 0.1), ("early", 88, 0.5)):
    at = float(np.interp(threshold, L[1:], T[1:]))
    computed(f"thermostat-{name}", "thermostat-opening", {"temperatures": "76; 80; 84; 88; 92 °C", "lifts": "0; 0; 0.8; 3.5; 7.5 mm", "threshold": f"{threshold} mm", "rating": f"{rating} °C", "full-lift": "7.0 mm"},
             {"opens": at, "off": at - rating, "fully-open": float(np.interp(7.0, L[1:], T[1:]))}, "numpy 2.4.6 interp; readings invented", rel="1e-9")

# ---------------------------------------------------------------- wheels
for code, d in (("205/50R16", "611.4"), ("225/45R17", "634.3")):
    D = F(d)
    printed(f"size-{code[:3]}", "tyre-size", {"size": code}, {"diameter": D}, {"abs": 0.05})
D = 2 * F("102.5") + 16 * F("25.4")
computed("size-service", "tyre-size", {"size": "205/50 R16 87V"}, {"diameter": D, "revolutions": F(1000000) / (pi * D * F("0.97")), "load": 545, "speed": 240})
computed("mixed-sizes", "tyre-diameter-change", {"reference": "634.3 mm", "fitted": "611.4 mm"}, {"error": 100 * (F("611.4") / F("634.3") - 1), "height": F("-11.45")})
computed("age-2218", "tyre-age", {"code": "2218", "on": "2026-05-18"}, {"week": 22, "years": [2018]})
for gear, rpm in (("0.82", 3000), ("3.31", 6500)):
    computed(f"speed-{gear}", "gear-speed", {"engine": f"{rpm} rpm", "gear": gear, "axle": "4.1", "circumference": "1865 mm"},
             {"speed": F(rpm) * 60 / (F(gear) * F("4.1")) * F("1.865") / 1000})
    computed(f"engine-{gear}", "engine-speed-in-gear", {"road": "100 km/h", "gear": gear, "axle": "4.1", "circumference": "1865 mm", "seen": "3100 rpm"},
             {"engine": F(100000) / 60 / F("1.865") * F(gear) * F("4.1"), "slip": 100 * (1 - F(100000) / 60 / F("1.865") * F(gear) * F("4.1") / 3100)})
for name, gap, floor in (("in", "6", "0"), ("out-on-slope", "-2.5", "0.3")):
    computed(f"camber-{name}", "camber-to-degrees", {"difference": f"{gap} mm", "diameter": "406 mm", "floor": f"{floor}°"},
             {"camber": -degrees(asin(F(gap) / 406)) - F(floor)})
printed("toe-two", "toe-to-degrees", {"difference": "2 mm", "diameter": "600 mm"}, {"toe": F("0.19")}, {"abs": 0.005})
computed("slip-degree", "side-slip", {"toe": "1°"}, {"per-kilometre": 1000 * sin(radians(F(1))), "slip": sin(radians(F(1)))})
for name, d, worn in (("inner", ("3.2", "4.6", "4.8"), "the inner edge"), ("outer", ("5.0", "4.8", "3.9"), "the outer edge"), ("middle", ("5.0", "3.6", "5.1"), "the middle"),
                      ("edges", ("3.4", "5.2", "3.5"), "both edges"), ("even", ("5.0", "5.2", "4.9"), "even")):
    practice(f"tread-{name}", "tread-across", dict(zip(("inner", "middle", "outer"), (x + " mm" for x in d))), {"worn": worn}, "common practice, no source; depths invented")
computed("toe-limit-minus", "toe-service-limit", {"maker": "-1.2 mm"}, {"limit": F("-1.8")})

# ---------------------------------------------------------------- electrics
printed("standing-three-weeks", "standing-draw", {"draw": "60 mA", "capacity": "45 A·h", "days": "21 d"}, {"used": F(30)}, {"abs": 0.3})
printed("standing-310", "standing-draw", {"draw": "310 mA", "capacity": "45 A·h"}, {"flat": F(6)}, {"abs": 0.5})
computed("standing-28", "standing-draw", {"draw": "28 mA", "capacity": "45 A·h", "state": "90 %", "needed": "50 %"}, {"stands": 45 * F("0.4") / F("0.028") / 24})
practice("charge-warm", "charging-voltage", {"voltage": "14.2 V", "temperature": "25 °C"}, {"low": F("13.8"), "high": F("14.7"), "reading": "in the window"}, tolerance={"abs": 1e-9})
practice("charge-cold", "charging-voltage", {"voltage": "13.9 V", "temperature": "0 °C"}, {"low": F("14.4"), "high": F("15.3"), "reading": "too low: belt, leads, regulator or alternator"},
         "common practice, no source: 24 mV a kelvin on a 12 V battery", {"abs": 1e-9})

# ---------------------------------------------------------------- measuring
GAUGE = {"standard": "50.000623 mm", "difference": "215 nm", "expansion": "11.5 um/(m.K)", "deviation": "-0.1 K"}
row("end-gauge", "length-comparison", GAUGE, {"length": F("50.000838"), "grown": 0}, {"abs": 5e-10, "rel": 0},
    "JCGM 100:2008 H.1.5 prints 50.000 838 mm", "published")
for name, delta, theta, apart in (("aluminium", "11.7", "6", "0"), ("warm", "0", "-2", "1.5")):
    grown = F("100.0004") * (F(delta) * F(theta) + F("11.5") * F(apart)) / 10**6
    computed(f"work-{name}", "length-comparison",
             {"standard": "100.0004 mm", "difference": "-3.2 um", "corrections": "0.4; -0.1 um", "expansion": "11.5 um/(m.K)",
              "expansion-difference": f"{delta} um/(m.K)", "deviation": f"{theta} K", "temperature-difference": f"{apart} K"},
             {"length": F("100.0004") - F("0.0029") - grown, "grown": grown * 1000})

print(json.dumps({"topic": "worked",
                  "title": "Worked examples of the bench's formulas",
                  "note": "Inputs are written as a person would; what is expected is in the unit that the formula shows. Inputs said to be invented belong to no real car. Computed by generate/worked.py.",
                  "checks": CHECKS}, indent=1, ensure_ascii=False))
