"""Writes independent.json: formulas of the bench reached by another way than the formula itself.

A mechanism is moved and its constraint solved, a motion is simulated, a chain of masses is shaken, a pressure is integrated,
a printed rule or table is used. Inputs are invented. Versions: requirements.txt.

usage: python independent.py > ../independent.json
"""
import json
from math import asin, atan, cos, degrees, exp, log, pi, radians, sin, sqrt, tan

import numpy as np
from mpmath import diff, mp
from scipy import constants, integrate, interpolate, linalg, optimize
from scipy.spatial.transform import Rotation

mp.dps = 30
CHECKS = []


def row(id, formula, inputs, expected, source, provenance="computed", rel=1e-9, abs=1e-9):
    assert all(c["id"] != id for c in CHECKS), id
    expected = {k: v if isinstance(v, str) else float(f"{float(v):.12g}") for k, v in expected.items()}
    CHECKS.append(dict(id=id, formula=formula, inputs=inputs, expected=expected, tolerance={"rel": rel, "abs": abs},
                       source=source, provenance=provenance))


SCIPY, NUMPY, MPMATH = "scipy 1.17.1", "numpy 2.4.6", "mpmath 1.4.1"

# ---------------------------------------------------------------- valve train
for name, free, short, load, h, lift, solid in (("mild", 47.5, 37.5, 320, 40, 10, 26.5), ("stiff", 52, 32, 900, 41.5, 12.2, 27)):
    tester = interpolate.interp1d([short, free], [load, 0], fill_value="extrapolate")  # the spring on a tester, two points
    row(f"tester-line-{name}", "valve-spring-installed",
        {"rate": f"{load / (free - short)} N/mm", "free-length": f"{free} mm", "installed-height": f"{h} mm", "lift": f"{lift} mm",
         "solid-length": f"{solid} mm"},
        {"seat-load": tester(h), "open-load": tester(h - lift), "coil-bind-margin": h - lift - solid},
        f"{SCIPY} interp1d: the straight line through two points of a tester; inputs invented")


def shaken(k, m, masses, free):
    """Lowest frequency of a spring as a chain of masses, in Hz."""
    ki, mi = k * masses, m / masses
    main, off = np.full(masses, 2 * ki / mi), np.full(masses - 1, -ki / mi)
    if free:  # the last mass has no spring behind it and is a half one, so is the first
        main[-1] = 2 * ki / mi
        off[-1] = -sqrt(2) * ki / mi
    else:
        main, off = main[:-1], off[:-1]
    lowest = linalg.eigvalsh_tridiagonal(main, off, select="i", select_range=(0, 0))[0]
    return sqrt(lowest) / (2 * pi)


for name, d, D, n, G, rho in (("inner", 3.2, 21, 6, 78500, 7850), ("outer", 4.2, 28, 5.5, 79300, 7800)):
    wire = pi * D * n  # unrolled: the spring is a torsion bar on a lever of half its diameter
    k = (G * pi * d**4 / 32 / wire) / (D / 2) ** 2 * 1e3
    m = rho * pi * (d / 2000) ** 2 * wire / 1000
    row(f"chain-of-masses-{name}", "valve-spring-surge",
        {"wire": f"{d} mm", "mean-diameter": f"{D} mm", "coils": str(n), "shear-modulus": f"{G} MPa", "density": f"{rho} kg/m3"},
        {"held": shaken(k, m, 2000, False), "free": shaken(k, m, 2000, True), "active-mass": m * 1e3},
        f"{SCIPY} eigvalsh_tridiagonal: a chain of 2000 masses, its rate that of the unrolled torsion bar; inputs invented", rel=1e-6)

for lift, duration, rpm in ((10, 260, 6000), (8.6, 236, 7400)):
    w = rpm / 60 * 2 * pi
    curve = lambda t: (1 - mp.cos(2 * mp.pi * w * t / mp.radians(duration))) * lift / 2000
    row(f"lift-curve-{rpm}", "harmonic-nose-deceleration", {"lift": f"{lift} mm", "duration": f"{duration} deg", "speed": f"{rpm} rpm"},
        {"deceleration": -diff(curve, mp.radians(duration) / 2 / w, 2)}, f"{MPMATH} diff: the lift curve differentiated twice at its top; inputs invented")

for name, load, rate, lift, mass, g in (("road", 62, 190, 0.36, 0.24, 420), ("sharp", 71, 230, 0.41, 0.21, 690)):
    lbf, inch, lb = constants.lbf, constants.inch, constants.lb
    spring, needed = load + rate * lift, mass * g  # pounds-force
    row(f"pounds-and-inches-{name}", "valve-spring-margin",
        {"seat-load": f"{load} lbf", "rate": f"{rate * lbf / inch} N/m", "lift": f"{lift} in", "mass": f"{mass} lb",
         "deceleration": f"{g * constants.g} m/s2"},
        {"spring-load": spring * lbf, "inertia": needed * lbf, "margin": (spring - needed) * lbf, "ratio": spring / needed},
        f"in pounds, inches and multiples of gravity, with the units of {SCIPY} constants; inputs invented")

for name, fitted, lash, target, step, smallest in (("tight", 2.80, 0.31, 0.20, 0.05, 2.0), ("loose", 3.125, 0.08, 0.24, 0.025, 2.2)):
    sold = np.arange(smallest, 4.5, step)
    nearest = sold[np.argmin(np.abs(fitted + lash - sold - target))]
    row(f"every-size-tried-{name}", "shim-for-lash",
        {"fitted": f"{fitted} mm", "lash": f"{lash} mm", "target": f"{target} mm", "step": f"{step} mm", "smallest": f"{smallest} mm"},
        {"stocked": nearest, "lash-then": fitted + lash - nearest}, "every size sold tried one by one; inputs invented")


# ---------------------------------------------------------------- the slider crank, solved
def pin_height(theta, stroke, rod, offset=0.0):
    """Height of the pin over the crank's centre, found from the length of the rod."""
    r = stroke / 2
    crank = np.array([r * sin(theta), r * cos(theta)])
    length = lambda y: np.hypot(offset - crank[0], y - crank[1]) - rod
    return optimize.brentq(length, crank[1], crank[1] + rod + 1, xtol=1e-13)


def drop(theta, stroke, rod, offset=0.0):
    top = optimize.minimize_scalar(lambda t: -pin_height(t, stroke, rod, offset), bounds=(-0.5, 0.5), method="bounded",
                                   options={"xatol": 1e-12})
    return -top.fun - pin_height(theta, stroke, rod, offset)


SOLVED = f"{SCIPY} brentq: the pin found from the rod's length; inputs invented"
for theta, stroke, rod, offset in ((73, 82.8, 144, 0), (140, 86, 150, 1.2)):
    row(f"rod-length-{theta}", "piston-drop",
        {"stroke": f"{stroke} mm", "rod": f"{rod} mm", "crank": f"{theta} deg", "pin-offset": f"{offset} mm"},
        {"drop": drop(radians(theta), stroke, rod, offset)}, SOLVED, rel=1e-8)
for closes, clearance in ((48, 44.07), (72, 38.5)):
    left = drop(radians(180 + closes), 82.8, 144)
    row(f"rod-length-closing-{closes}", "effective-compression",
        {"bore": "82 mm", "stroke": "82.8 mm", "rod": "144 mm", "closes": f"{closes} deg", "clearance": f"{clearance} mL"},
        {"stroke-left": left, "ratio": 1 + pi * 41**2 * left / 1000 / clearance}, SOLVED, rel=1e-8)
for stroke, rod, rpm, mass in ((82.8, 144, 7400, 480), (69, 130, 5200, 355)):
    r, l = mp.mpf(stroke) / 2000, mp.mpf(rod) / 1000
    w = 2 * mp.pi * rpm / 60
    height = lambda t: r * mp.cos(w * t) + mp.sqrt(l**2 - (r * mp.sin(w * t)) ** 2)
    a = -diff(height, 0, 2)
    row(f"differentiated-{rpm}", "piston-acceleration",
        {"stroke": f"{stroke} mm", "rod": f"{rod} mm", "speed": f"{rpm} rpm", "mass": f"{mass} g"},
        {"acceleration": a, "pull": a * mass / 1e6}, f"{MPMATH} diff: the pin's height differentiated twice; inputs invented")

for ratio, n in ((8.2, 1.28), (9.6, 1.33)):
    run = integrate.solve_ivp(lambda v, p: -n * p / v, (1, 1 / ratio), [1.013], rtol=1e-12, atol=1e-14, method="DOP853")
    end = run.y[0, -1]
    row(f"step-by-step-{ratio}", "compression-pressure",
        {"start": "1.013 bar", "ratio": str(ratio), "exponent": str(n), "atmosphere": "1.013 bar"}, {"absolute": end, "gauge": end - 1.013},
        f"{SCIPY} solve_ivp: dp/dV = -n p/V from bottom to closing; inputs invented", rel=1e-9)

# ---------------------------------------------------------------- hydraulics and brakes
for force, ratio, bore in ((70, 5.2, 0.75), (95, 4.6, 0.8125)):
    psi = force * ratio / (pi / 4 * bore**2)
    row(f"psi-{bore}", "line-pressure", {"pedal-force": f"{force} lbf", "pedal-ratio": str(ratio), "master-bore": f"{bore} in"},
        {"push": force * ratio * constants.lbf, "pressure": psi * constants.psi / constants.bar},
        f"in pounds and inches, with the units of {SCIPY} constants; inputs invented")
for name, master, slave, travel, psi in (("three-quarter", 0.75, 0.8125, 0.9, 600), ("small-master", 0.625, 0.875, 1.1, 450)):
    volume = integrate.quad(lambda x: pi / 4 * master**2, 0, travel)[0]  # what the master gives the slave takes
    moved = volume / (pi / 4 * slave**2)
    row(f"volume-{name}", "slave-force-travel",
        {"pressure": f"{psi} psi", "master-bore": f"{master} in", "slave-bore": f"{slave} in", "master-travel": f"{travel} in"},
        {"travel": moved * 25.4, "force": psi * volume / moved * constants.lbf},
        "the volume that the master gives, and the work of the pressure over it, in pounds and inches; inputs invented")
for name, x, t, limit in (("front", (41020, 52310), (9.4, 7.1), 2.0), ("rear", (12000, 31500), (10.2, 8.9), 3.0)):
    at = np.polynomial.Polynomial.fit(x, [t[0] - limit, t[1] - limit], 1).roots()[0]
    row(f"line-to-limit-{name}", "pad-wear-left",
        {"first": f"{t[0]} mm", "first-at": f"{x[0]} km", "second": f"{t[1]} mm", "second-at": f"{x[1]} km", "limit": f"{limit} mm"},
        {"reached-at": at, "distance": at - x[1]}, f"{NUMPY} Polynomial.fit: the root of the line through both readings; inputs invented", rel=1e-8)
for name, bar, pistons, bore, mu, inner, outer in (("sliding", 62, 1, 54, 0.38, 98, 142), ("fixed", 75, 2, 38, 0.42, 105, 151)):
    clamp = bar * 1e5 * pistons * pi * (bore / 2000) ** 2
    area = integrate.quad(lambda r: 1, inner, outer)[0]  # worn in: pressure falls as 1/r, so each ring carries alike
    torque = 2 * mu * integrate.quad(lambda r: clamp / area * r / 1000, inner, outer)[0]
    row(f"rings-of-a-pad-{name}", "disc-brake-torque",
        {"pressure": f"{bar} bar", "pistons": str(pistons), "bore": f"{bore} mm", "friction": str(mu), "radius": f"{(inner + outer) / 2} mm"},
        {"torque": torque, "clamp": clamp / 1000}, f"{SCIPY} quad: friction added ring by ring over a worn-in pad; inputs invented")
for rise, interval, tau in ((85, 40, 300), (140, 75, 420)):
    hot = 0.0
    for _ in range(2000):
        hot = hot * exp(-interval / tau) + rise
    row(f"stop-by-stop-{rise}", "repeated-stops", {"rise": f"{rise} K", "interval": f"{interval} s", "time-constant": f"{tau} s"},
        {"plateau": hot}, "two thousand stops, one after the other; inputs invented")
for boiling in (205, 260):
    allowed = 3.0 + sum(0.05 for _ in range(226, boiling + 1))
    row(f"degree-by-degree-{boiling}", "brake-fluid-stability", {"boiling": f"{boiling} °C"}, {"allowance": allowed},
        "49 CFR 571.116 S5.1.5: 3 °C, and 0.05 °C more for each degree above 225 °C, counted; from memory", "memory")
for name, forces, mass in (("light", (2400, 2350, 1500, 1480), 1320), ("laden", (3900, 3850, 2900, 2850), 2250)):
    v, a = 15.0, sum(forces) / mass
    still = lambda t, y: y[1]
    still.terminal = True
    run = integrate.solve_ivp(lambda t, y: [y[1], -a], (0, 60), [0, v], events=still, rtol=1e-11, atol=1e-12)
    way = run.y_events[0][0][0]
    row(f"stopped-from-15-{name}", "brake-efficiency", {"forces": "; ".join(f"{f} N" for f in forces), "mass": f"{mass} kg"},
        {"efficiency": 100 * v**2 / (2 * way) / 9.81}, f"{SCIPY} solve_ivp: a stop from 15 m/s, its deceleration over 9.81 m/s²; inputs invented", rel=1e-7)

# ---------------------------------------------------------------- springs and ride
for rate, ratio, lean in ((42, 0.7, 0), (55, 0.62, 18)):
    arm, far = 1000 * ratio, 1e6  # the spring's foot on an arm whose wheel end is at 1000; its head far away, leaning
    foot0 = np.array([arm, 0.0])
    head = foot0 + far * np.array([sin(radians(lean)), cos(radians(lean))])

    def energy(z):
        turn = z / 1000
        foot = (arm * mp.cos(turn), arm * mp.sin(turn))
        length = mp.sqrt((head[0] - foot[0]) ** 2 + (head[1] - foot[1]) ** 2)
        return rate * (length - far) ** 2 / 2

    row(f"energy-of-an-arm-{lean}", "wheel-rate", {"spring-rate": f"{rate} N/mm", "motion-ratio": str(ratio), "lean": f"{lean} deg"},
        {"wheel-rate": diff(energy, 0, 2)}, f"{MPMATH} diff: the energy of a spring on a swinging arm, differentiated twice; inputs invented", rel=1e-6)
for x in (100, 165):
    k = constants.g / (x / 1000)  # for each kilogram
    turns = lambda t, y: y[1]
    turns.direction = 1
    run = integrate.solve_ivp(lambda t, y: [y[1], -k * y[0]], (0, 12), [0.05, -1e-9], events=turns, rtol=1e-12, atol=1e-14, method="DOP853")
    t = run.t_events[0]
    row(f"bounced-{x}", "ride-frequency-from-deflection", {"deflection": f"{x} mm"}, {"frequency": (len(t) - 1) / (t[-1] - t[0])},
        f"{SCIPY} solve_ivp: a mass on its spring, swings counted; inputs invented", rel=1e-8)

# ---------------------------------------------------------------- wheels
for name, D, d in (("smaller", 634.5, 618.0), ("larger", 601.6, 622.3)):
    turns = 1e6 / (pi * D)  # in what the speedometer takes for a kilometre
    row(f"turns-in-a-kilometre-{name}", "tyre-diameter-change", {"reference": f"{D} mm", "fitted": f"{d} mm"},
        {"error": 100 * (turns * pi * d / 1e6 - 1), "height": d / 2 - D / 2}, "turns of the wheel in a kilometre; inputs invented")
for toe, D in ((0.2, 381), (-1.4, 620)):
    ends = np.array([D / 2, -D / 2]) * np.exp(1j * radians(toe))
    row(f"turned-diameter-{D}", "toe-to-millimetres", {"toe": f"{toe} deg", "diameter": f"{D} mm"}, {"difference": ends[0].imag - ends[1].imag},
        "a diameter turned as complex numbers, its ends subtracted; inputs invented")
for shim, lever in ((3, 180), (-2.5, 242)):
    row(f"turned-lever-{lever}", "camber-shim", {"shim": f"{shim} mm", "lever": f"{lever} mm"},
        {"change": degrees(np.angle(complex(lever, shim)))}, "the angle of lever and shim as a complex number; inputs invented")
for caster, turn in ((6.0, 20), (3.5, 15)):
    pin = np.array([-sin(radians(caster)), 0, cos(radians(caster))])  # x forward, y left, z up; its top leans back

    def camber(delta):
        axle = Rotation.from_rotvec(radians(delta) * pin).apply([0, 1, 0])  # the left wheel's, outwards
        return degrees(asin(-axle[2]))

    sides = sorted((camber(turn), camber(-turn)), reverse=True)
    row(f"swung-wheel-{turn}", "caster-from-swing",
        {"camber-in": f"{sides[0]:.6f} deg", "camber-out": f"{sides[1]:.6f} deg", "turn": f"{turn} deg"}, {"caster": caster},
        f"{SCIPY} Rotation: a wheel swung about a leaning pin; the formula holds for small angles, so 0.5 % is allowed; inputs invented", rel=5e-3)
for toe in (0.2, -1.1):
    way = 1000 * np.exp(1j * radians(toe))
    row(f"rolled-{abs(toe)}", "side-slip", {"toe": f"{toe} deg"}, {"per-kilometre": way.imag, "slip": way.imag / 1000},
        "a kilometre rolled along the wheel's heading, as a complex number; inputs invented")

# ---------------------------------------------------------------- threads
for name, F, P, d2, mu, nut in (("m10", 30, 1.5, 9.026, 0.14, 6.5), ("m12", 48, 1.75, 10.863, 0.12, 7.7)):
    turn = lambda m: F * 1000 * (0.16 * P + 0.58 * d2 * m + nut * m) / 1000
    row(f"printed-factors-{name}", "torque-long-form",
        {"preload": f"{F} kN", "pitch": f"{P} mm", "thread-radius": f"{d2 / 2} mm", "bearing-radius": f"{nut} mm", "thread-friction": str(mu),
         "bearing-friction": str(mu)}, {"torque": turn(mu)},
        "VDI 2230: M = F (0.16 P + 0.58 d2 mu + D/2 mu), its rounded factors; from memory", "memory", rel=8e-3)
    lead, true = atan(P / (pi * d2)), mu / cos(radians(30))
    wedge = F * (d2 / 2 * tan(lead + atan(true)) + nut * mu)
    row(f"inclined-plane-{name}", "torque-long-form",
        {"preload": f"{F} kN", "pitch": f"{P} mm", "thread-radius": f"{d2 / 2} mm", "bearing-radius": f"{nut} mm", "thread-friction": str(mu),
         "bearing-friction": str(mu)}, {"torque": wedge},
        "the thread as an inclined plane with its exact equilibrium; the formula leaves out a product of two small angles, so 1 % is allowed", rel=1e-2)
for name, angle, P, kb, kc in (("long", 90, 1.5, 250000, 1500000), ("short", 60, 1.75, 610000, 2100000)):
    stretch, squeeze = np.linalg.solve([[1, 1], [kb, -kc]], [angle / 360 * P, 0])
    row(f"two-springs-{name}", "angle-to-preload",
        {"angle": f"{angle} deg", "pitch": f"{P} mm", "bolt-stiffness": f"{kb} N/mm", "joint-stiffness": f"{kc} N/mm"},
        {"preload": kb * stretch / 1000}, f"{NUMPY} linalg.solve: bolt and joint share the nut's way under one force; inputs invented")


def pulled(E, pieces):
    """Stiffness of a bar of pieces (area, length), from its assembled stiffness matrix: one end held, one pulled."""
    n = len(pieces)
    K = np.zeros((n + 1, n + 1))
    for i, (area, length) in enumerate(pieces):
        K[i : i + 2, i : i + 2] += E * area / length * np.array([[1, -1], [-1, 1]])
    pull = np.zeros(n)
    pull[-1] = 1.0
    return 1 / np.linalg.solve(K[1:, 1:], pull)[-1]


for name, E, At, d, lt, ld in (("stud", 205000, 58, 10, 14, 46), ("head-bolt", 207000, 84.3, 12, 22, 78)):
    pieces = [(pi * d**2 / 4, ld / 10)] * 10 + [(At, lt / 10)] * 10
    row(f"twenty-elements-{name}", "bolt-stiffness",
        {"modulus": f"{E} MPa", "stress-area": f"{At} mm2", "shank": f"{d} mm", "threaded": f"{lt} mm", "plain": f"{ld} mm"},
        {"stiffness": pulled(E, pieces)}, f"{NUMPY} linalg.solve: twenty elements, one end held and one pulled; inputs invented")
for name, E, d, l in (("steel", 207000, 10, 60), ("aluminium", 71000, 8, 32)):
    slice_ = lambda x: 1 / (E * pi * ((0.75 * d + x * 0.5774) ** 2 - (d / 2) ** 2))
    give = 2 * integrate.quad(slice_, 0, l / 2, epsabs=0, epsrel=1e-12)[0]
    row(f"slices-of-a-cone-{name}", "joint-stiffness", {"modulus": f"{E} MPa", "diameter": f"{d} mm", "grip": f"{l} mm"}, {"stiffness": 1 / give},
        f"{SCIPY} quad: two cones of 30° from a washer of 1.5 d, slice by slice; inputs invented", rel=1e-8)

# ---------------------------------------------------------------- belts
for name, m, L, T in (("short", 0.1, 172, 342), ("long", 0.13, 310, 265)):
    n = 4000
    main, off = np.full(n - 1, 2.0), np.full(n - 2, -1.0)
    lowest = linalg.eigvalsh_tridiagonal(main, off, select="i", select_range=(0, 0))[0]
    f = sqrt(T / m * lowest * (n / (L / 1000)) ** 2) / (2 * pi)
    row(f"string-of-beads-{name}", "belt-span-frequency", {"mass-per-length": f"{m} kg/m", "span": f"{L} mm", "tension": f"{T} N"}, {"frequency": f},
        f"{SCIPY} eigvalsh_tridiagonal: a string of 4000 beads; inputs invented", rel=1e-6)
for C, D, d in ((350, 140, 60), (212, 168, 52)):
    # The belt's normal where it leaves both pulleys: both lie as far from the belt as they are thick.
    a = optimize.brentq(lambda a: C * cos(a) - (D - d) / 2, 0.01, pi / 2)
    n = np.array([cos(a), sin(a)])
    large, small = D / 2 * n, np.array([C, 0]) + d / 2 * n
    row(f"common-tangent-{C}", "belt-drive", {"centres": f"{C} mm", "large": f"{D} mm", "small": f"{d} mm"},
        {"span": np.hypot(*(small - large)), "small-wrap": degrees(2 * a), "large-wrap": 360 - degrees(2 * a)},
        f"{SCIPY} brentq: the common tangent of two circles; inputs invented")

# ---------------------------------------------------------------- fluids
for name, first, second, wanted in (("engine", (100, 40), (14.5, 100), 130), ("gear", (155, 40), (15.2, 100), 10)):
    flat = lambda v: np.log(np.log(v + 0.7))
    line = np.polynomial.Polynomial.fit(np.log(np.array([first[1], second[1]]) + 273.15), [flat(first[0]), flat(second[0])], 1)
    v = exp(exp(line(log(wanted + 273.15)))) - 0.7
    row(f"natural-logarithms-{name}", "viscosity-at-temperature",
        {"first": f"{first[0]} mm2/s", "at-first": f"{first[1]} °C", "second": f"{second[0]} mm2/s", "at-second": f"{second[1]} °C", "wanted": f"{wanted} °C"},
        {"viscosity": v}, f"{NUMPY} Polynomial.fit on natural logarithms, a straight line there too; inputs invented", rel=1e-8)
for name, shares, v in (("near", (80, 20), (100, 32)), ("even", (50, 50), (150, 68))):
    number = lambda v: 14.534 * log(log(v + 0.8)) + 10.975
    mean = sum(s / 100 * number(x) for s, x in zip(shares, v))
    row(f"blending-numbers-{name}", "oil-blend", {"shares": "; ".join(f"{s} %" for s in shares), "viscosities": "; ".join(f"{x} mm2/s" for x in v)},
        {"viscosity": exp(exp((mean - 10.975) / 14.534)) - 0.8},
        "viscosity blending numbers 14.534 ln ln(v + 0.8) + 10.975, another form of the same practice, by mass of oils of like density; from memory", "memory", rel=5e-3)
for share, glycol, water in ((50, 1113.4, 998.2), (33, 1113.4, 998.2)):
    parts = [("glycol", share * 10, glycol), ("water", 1000 - share * 10, water)]  # millilitres of a litre, weighed
    grams = {name: ml * density / 1000 for name, ml, density in parts}
    row(f"weighed-litre-{share}", "glycol-by-mass", {"by-volume": f"{share} %", "glycol-density": f"{glycol} kg/m3", "water-density": f"{water} kg/m3"},
        {"by-mass": 100 * grams["glycol"] / sum(grams.values())}, "a litre poured together and weighed part by part; densities at 20 °C")

# ---------------------------------------------------------------- electrics
for gauge, area, per_1000_ft in ((4, 21.15, 0.2485), (10, 5.261, 0.9989)):
    row(f"wire-table-awg-{gauge}", "lead-voltage-drop", {"length": "10 m", "section": f"{area} mm2", "current": "20 A", "metal": "copper"},
        {"resistance": per_1000_ft / 304.8 * 10 * 1000, "drop": per_1000_ft / 304.8 * 10 * 20},
        f"wire table of the American gauges: No. {gauge}, {area} mm², {per_1000_ft} ohm per 1000 ft at 20 °C; from memory", "memory", rel=5e-4)

print(json.dumps({"topic": "independent",
                  "title": "Formulas of the bench reached by another way",
                  "note": "Inputs are written as a person would; what is expected is in the unit that the formula shows. No row uses the formula it checks. Computed by generate/independent.py.",
                  "checks": CHECKS}, indent=1, ensure_ascii=False))
