"""The kitchen problem as a CP-SAT model, to hold the planner's engine against.

Reads problems as JSON lines on stdin (the form that the bench writes), prints one JSON line each:
{"status", "cost", "bound", "seconds"}.  Usage: dinner_model.py [workers] [seconds]
Needs OR-Tools (pip install ortools); an independent statement of the rules, sharing nothing with src/.
"""
import json
import math
import sys
from fractions import Fraction
from itertools import combinations

from ortools.sat.python import cp_model


def frac(x):
    return Fraction(x[0], x[1])


def span(oven, accepts):
    return (oven["room"], oven["room"]) if accepts == "Off" else (frac(accepts[0]), frac(accepts[1]))


def gap(oven, early, late):
    """Ticks of half a minute between two segments, None when they share a temperature."""
    (alo, ahi), (blo, bhi) = span(oven, early), span(oven, late)
    off = (early == "Off") + (late == "Off")
    if off == 2 or (off == 0 and max(alo, blo) <= min(ahi, bhi)):
        return None
    if blo > ahi:
        return math.ceil(2 * (blo - ahi) / oven["heats"])
    return max(0, math.ceil(2 * (alo - bhi) / oven["cools"]))


def ready(oven, accepts):
    lo, hi = span(oven, accepts)
    t = oven["temperature"]
    need = (lo - t) / oven["heats"] if t < lo else max(Fraction(0), (t - hi) / oven["cools"])
    return oven["from"] + math.ceil(2 * need)


def solve(p, workers, seconds):
    m = cp_model.CpModel()
    steps, courses, dishes = p["steps"], p["courses"], p["dishes"]
    n = len(steps)
    for o in p["ovens"]:
        for key in ("room", "temperature", "heats", "cools"):
            o[key] = frac(o[key])
    horizon = p["horizon"]
    s = [m.new_int_var(0, horizon, f"s{i}") for i in range(n)]
    e = [s[i] + steps[i]["length"] for i in range(n)]
    c = [m.new_int_var(k["promised"], horizon, "c") for k in courses]
    followers = [[] for _ in range(n)]
    for i, st in enumerate(steps):
        for a in st["after"]:
            m.add(s[i] >= e[a])
            followers[a].append(i)
            if steps[a]["keeps"] is not None:
                m.add(s[i] <= e[a] + steps[a]["keeps"])
    for k, course in enumerate(courses):
        if k:
            m.add(c[k] >= c[k - 1] + course["gap"])
        for d in course["dishes"]:
            for i in dishes[d]["steps"]:
                m.add(c[k] >= e[i])
    fixed = [m.new_fixed_size_interval_var(s[i], steps[i]["length"], f"i{i}") for i in range(n)]

    def share(capacity, uses):
        if sum(d for _, d in uses) <= capacity:
            return
        if all(2 * d > capacity for _, d in uses):
            m.add_no_overlap([i for i, _ in uses])
        else:
            m.add_cumulative([i for i, _ in uses], [d for _, d in uses], capacity)

    cooks = [(fixed[i], 1) for i in range(n) if steps[i]["hands"]]
    for k, course in enumerate(courses):
        if course["plating"]:
            cooks.append((m.new_fixed_size_interval_var(c[k], course["plating"], f"p{k}"), 1))
    share(p["cooks"], cooks)
    share(p["burners"], [(fixed[i], steps[i]["burners"]) for i in range(n) if steps[i]["burners"]])
    for w, count in enumerate(p["wares"]):
        uses = []
        for d in dishes:
            for h in d["holds"]:
                if h["ware"] != w:
                    continue
                if len(h["steps"]) == 1:
                    uses.append((fixed[h["steps"][0]], h["count"]))
                    continue
                b, z, size = (m.new_int_var(0, horizon, x) for x in ("b", "z", "l"))
                m.add_min_equality(b, [s[i] for i in h["steps"]])
                m.add_max_equality(z, [e[i] for i in h["steps"]])
                uses.append((m.new_interval_var(b, size, z, "h"), h["count"]))
        share(count, uses)
    ovens = [i for i in range(n) if steps[i]["oven"]]
    inside = {}
    for i in ovens:
        fits = [o for o, oven in enumerate(p["ovens"]) if oven["racks"] >= steps[i]["oven"]["racks"]]
        for o in fits:
            inside[i, o] = m.new_bool_var(f"in{i}_{o}") if len(fits) > 1 else m.new_constant(1)
            m.add(s[i] >= ready(p["ovens"][o], steps[i]["oven"]["segments"][0][2])).only_enforce_if(inside[i, o])
        m.add_exactly_one([inside[i, o] for o in fits])
    for o, oven in enumerate(p["ovens"]):
        here = [i for i in ovens if (i, o) in inside]
        uses = []
        for i in here:
            v = m.new_optional_fixed_size_interval_var(s[i], steps[i]["length"], inside[i, o], "o")
            uses.append((v, steps[i]["oven"]["racks"]))
        share(oven["racks"], uses)
        for i, j in combinations(here, 2):
            for (af, at, aa) in steps[i]["oven"]["segments"]:
                for (bf, bt, ba) in steps[j]["oven"]["segments"]:
                    ab, back = gap(oven, aa, ba), gap(oven, ba, aa)
                    if ab is None:
                        continue
                    y = m.new_bool_var("y")
                    m.add(s[j] + bf >= s[i] + at + ab).only_enforce_if(y, inside[i, o], inside[j, o])
                    m.add(s[i] + af >= s[j] + bt + back).only_enforce_if(~y, inside[i, o], inside[j, o])
    cost = [1000 * (c[k] - courses[k]["promised"]) for k in range(len(courses))]
    for i, st in enumerate(steps):
        if st["keeps"] is None:
            continue
        if followers[i]:
            if st["keeps"] <= 60:
                cost += [10 * (s[f] - e[i]) for f in followers[i]]
            continue
        served = c[dishes[st["dish"]]["course"]]
        over = m.new_int_var(0, horizon, "over")
        m.add(over >= served - e[i] - st["keeps"])
        cost.append(300 * over)
        if st["keeps"] <= 60:
            cost.append(10 * (served - e[i]))
    first = m.new_int_var(0, horizon, "first")
    m.add_min_equality(first, s)
    cost.append(c[-1] - first)
    m.minimize(sum(cost))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = workers
    solver.parameters.max_time_in_seconds = seconds
    status = solver.solve(m)
    known = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    return {
        "status": solver.status_name(status),
        "cost": round(solver.objective_value) if known else None,
        "bound": math.ceil(solver.best_objective_bound - 1e-6) if known else None,
        "seconds": solver.user_time,
    }


def main():
    workers = int(sys.argv[1]) if len(sys.argv) > 1 else 1
    seconds = float(sys.argv[2]) if len(sys.argv) > 2 else 10.0
    for line in sys.stdin:
        if line.strip():
            print(json.dumps(solve(json.loads(line), workers, seconds)), flush=True)


if __name__ == "__main__":
    main()
