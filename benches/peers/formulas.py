"""Formulas of the bench by a general uncertainty library, each number of the example known to one part in a hundred.

Value and standard uncertainty are compared with those of `witnessmark calc`: they agree to the digits that it prints, or the script fails.
"""

import json
import subprocess
import sys
import timeit
from math import pi

from uncertainties import ufloat
from uncertainties.umath import cos, log, log10

KELVIN = 273.15


def belt(m, length, f):
    return 4 * m * (length / 1e3) ** 2 * f**2


def ratio(bore, stroke, chamber, gasket_bore, gasket, deck, dish):
    area = pi / 4 * bore**2
    clearance = chamber * 1e3 + pi / 4 * gasket_bore**2 * gasket + area * deck + dish * 1e3
    return (area * stroke + clearance) / clearance


def torque(preload, pitch, thread_radius, bearing_radius, half_angle, thread, bearing):
    arm = pitch / (2 * pi) + thread * thread_radius / cos(half_angle * pi / 180) + bearing * bearing_radius
    return preload * arm


def stiffness(modulus, diameter, grip):
    inside = 5 * (0.5774 * grip + 0.5 * diameter) / (0.5774 * grip + 2.5 * diameter)
    return 0.5774 * pi * modulus * diameter / (2 * log(inside))


def viscosity(first, at_first, second, at_second, wanted):
    def double_log(nu):
        return log10(log10(nu + 0.7))

    slope = (double_log(first) - double_log(second)) / (log10(at_second + KELVIN) - log10(at_first + KELVIN))
    height = double_log(first) - slope * (log10(wanted + KELVIN) - log10(at_first + KELVIN))
    return 10 ** (10**height) - 0.7


FORMULAS = {
    "belt-span-tension": (belt, "tension"),
    "compression-ratio": (ratio, "ratio"),
    "torque-long-form": (torque, "torque"),
    "joint-stiffness": (stiffness, "stiffness"),
    "viscosity-at-temperature": (viscosity, "viscosity"),
}


def witnessmark(*words):
    command = ["cargo", "run", "--quiet", "--release", "-p", "witnessmark", "--", "calc", *words, "--json"]
    return json.loads(subprocess.run(command, capture_output=True, check=True, text=True).stdout)


def main():
    known = {formula["formula"]: formula for formula in witnessmark("list")}
    for id, (compute, result) in FORMULAS.items():
        values, given = [], []
        for entry in known[id]["inputs"]:
            # "82 mm", "30°": the figures, in the unit that the formula shows
            figures = entry["example"].rstrip("°").split(" ")[0]
            value = float(figures)
            unit = entry["example"][len(figures) :]
            values.append((value, 0.01 * abs(value)))
            given.append(f"{entry['key']}={figures} ± {0.01 * abs(value)!r}{unit}")
        answer = next(r for r in witnessmark(id, *given)["results"] if r["id"] == result)
        ours = (answer["value"], answer["u"])

        def work(compute=compute, values=values):
            got = compute(*(ufloat(value, u) for value, u in values))
            return got.nominal_value, got.std_dev

        for got, want in zip(work(), ours, strict=True):
            if abs(got - want) > 2e-6 * abs(want):
                sys.exit(f"{id}: {work()} here, {ours} ours")
        count, seconds = timeit.Timer(work).autorange()
        microseconds = f"{seconds / count * 1e6:.4f} us uncertainties 3.2.3"
        # The function itself, and all that the list of formulas tells beside: budget, shares, steps.
        print(f"figure bench/{id.replace('-', '_')}/with_u {microseconds}")
        print(f"figure bench/assess/{id} {microseconds}", flush=True)


if __name__ == "__main__":
    main()
