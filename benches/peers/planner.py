"""HiGHS on the cars of the planner's benches: one thread, no gap allowed.

Without arguments: every kind of car, a figure for each (the median over the cars), and whether the answers agree with
ours. With a kind, such as `coupled tight 20 60` (build, room, cars, seconds for each): car by car.
"""

import json
import statistics
import subprocess
import sys
import time

import highspy
import numpy as np


def opened(access, ids):
    """The steps and all that they need."""
    found, todo = set(), list(ids)
    while todo:
        step = todo.pop()
        if step not in found:
            found.add(step)
            todo += access[step].get("needs", [])
    return found


def program(instance):
    """The instance as rows and columns: x[job, choice] and y[step, occasion]; only direct needs are written."""
    occasions = [o["id"] for o in instance["occasions"]]
    access = {a["id"]: a for a in instance["access"]}
    last = {o: t for t, o in enumerate(occasions)}
    lies_open = {o: opened(access, [a["id"] for a in instance["access"] if o in a.get("open", [])]) for o in occasions}
    column, cost = {}, []

    def add(name, value):
        column[name] = len(cost)
        cost.append(value)

    def step_cost(a, o):
        if a["id"] in lies_open[o]:
            return 0.0
        return a["cost"][o] if isinstance(a["cost"], dict) else a["cost"]

    def pinned_out(job, choice):
        pins = [p for p in instance.get("pins", []) if p["job"] == job["id"]]
        return any((p["choice"] == choice) != (p["rule"] == "must") for p in pins)

    for job in instance["jobs"]:
        for choice, value in job["cost"].items():
            late = job.get("by") is not None and (choice == "leave" or last[choice] > last[job["by"]])
            if not late and not pinned_out(job, choice):
                add(("x", job["id"], choice), value)
    for a in instance["access"]:
        for o in occasions:
            add(("y", a["id"], o), step_cost(a, o))
    rows = []  # (low, high, {column: factor})
    for job in instance["jobs"]:
        own = {choice: column[x] for choice in [*occasions, "leave"] if (x := ("x", job["id"], choice)) in column}
        rows.append((1, 1, {x: 1 for x in own.values()}))
        for o in occasions:
            if o in own:
                rows += [(-np.inf, 0, {own[o]: 1, column["y", a, o]: -1}) for a in job["needs"]]
    for a in instance["access"]:
        for q in a.get("needs", []):
            rows += [(-np.inf, 0, {column["y", a["id"], o]: 1, column["y", q, o]: -1}) for o in occasions]
    for o, limits in instance.get("limits", {}).items():
        for what in ("hours", "cash"):
            if what in limits:
                row = {column["x", j["id"], o]: j[what] for j in instance["jobs"] if ("x", j["id"], o) in column}
                for a in instance["access"]:
                    free = a["id"] in lies_open[o]
                    row[column["y", a["id"], o]] = (0 if free else a["hours"]) if what == "hours" else step_cost(a, o)
                rows.append((-np.inf, limits[what], row))
    done = lambda job, until: [column[x] for o in occasions[:until] if (x := ("x", job, o)) in column]
    for group in instance.get("together", []):
        for other in group[1:]:
            for choice in [*occasions, "leave"]:
                pair = [(("x", group[0], choice), 1), (("x", other, choice), -1)]
                rows.append((0, 0, {column[x]: factor for x, factor in pair if x in column}))
    for group in instance.get("exclusive", []):
        rows.append((-np.inf, 1, {x: 1 for job in group for x in done(job, len(occasions))}))
    for first, then in instance.get("before", []):
        for t in range(1, len(occasions) + 1):
            rows.append((-np.inf, 0, {x: 1 for x in done(then, t)} | {x: -1 for x in done(first, t)}))
    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = len(cost), len(rows)
    model.col_cost_ = np.array(cost, float)
    model.col_lower_, model.col_upper_ = np.zeros(len(cost)), np.ones(len(cost))
    model.row_lower_ = np.array([low for low, _, _ in rows], float)
    model.row_upper_ = np.array([high for _, high, _ in rows], float)
    model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    model.a_matrix_.start_ = np.cumsum([0] + [len(row) for _, _, row in rows])
    model.a_matrix_.index_ = np.array([c for _, _, row in rows for c in row], int)
    model.a_matrix_.value_ = np.array([v for _, _, row in rows for v in row.values()], float)
    model.integrality_ = [highspy.HighsVarType.kInteger] * len(cost)
    return model


def solve(instance, limit):
    """Seconds, cost, and whether it is proven."""
    solver = highspy.Highs()
    for name, value in {
        "output_flag": False,
        "threads": 1,
        "mip_rel_gap": 0.0,
        "mip_abs_gap": 1e-9,
        "time_limit": float(limit),
    }.items():
        solver.setOptionValue(name, value)
    solver.passModel(program(instance))
    start = time.perf_counter()
    solver.run()
    seconds = time.perf_counter() - start
    proven = solver.getModelStatus() == highspy.HighsModelStatus.kOptimal
    return seconds, solver.getInfo().objective_function_value, proven


def example(name, *words, given=None):
    """What an example of the planner prints, by lines."""
    command = ["cargo", "run", "--quiet", "--release", "-p", "witnessmark-planner", "--example", name, "--", *words]
    return subprocess.run(command, input=given, capture_output=True, check=True, text=True).stdout.splitlines()


def compare(build, room, count, limit, tell=False):
    """The median of the seconds, and how many answers are proven; complains when a proven answer is not ours."""
    lines = example("cars", build, room, str(count))
    ours = [float(line.split("cost ")[1].split()[0]) for line in example("plan_cars", given="\n".join(lines))[:-1]]
    took, proven = [], 0
    for number, (line, own) in enumerate(zip(lines, ours, strict=True)):
        seconds, cost, is_proven = solve(json.loads(line), limit)
        took.append(seconds)
        proven += is_proven
        if tell:
            print(f"{number:3d} {seconds:8.3f} s  cost {cost:.4f}  ours {own:.4f}  {'' if is_proven else 'not '}proven")
        if own > cost + 1e-4 or (is_proven and own < cost - 1e-4):
            sys.exit(f"{build} {room} {number}: {cost} here, {own} ours")
    return statistics.median(took), proven


def main():
    if len(sys.argv) > 1:
        build, room, count, limit = sys.argv[1:]
        print("median %.3f s, proven %d" % compare(build, room, int(count), float(limit), tell=True))
        return
    kinds = {"endless": ("without_limits", 20, 60), "loose": ("loose_limits", 20, 60)}
    kinds |= {"tight": ("tight_limits", 20, 60), "even": ("even_limits", 5, 30)}
    for room, (figure, count, limit) in kinds.items():
        for build in ("zoned", "coupled"):
            median, proven = compare(build, room, count, limit)
            by = "HiGHS 1.16" if proven == count else f"HiGHS 1.16, {proven} of {count} cars proven in {limit} s each"
            print(f"figure planner/{figure}/{build} {median:.6f} s {by}", flush=True)


if __name__ == "__main__":
    main()
