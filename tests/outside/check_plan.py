#!/usr/bin/env python3
"""Checks a plan from outside: reads the session file and `mealtide plan --json`, shares nothing with the program.

    check_plan.py SESSION.toml < PLAN.json

Prints every rule of the session reference that the plan breaks, one a line; exit code 0 if there is none, 1 if there is.
Exact arithmetic in Fractions. Understands the forms of values that the test sessions use, and says when it meets another.
"""
import json
import math
import pathlib
import re
import sys
import tomllib
from datetime import datetime, timedelta
from fractions import Fraction as F

GAS = dict(zip(range(1, 10), (140, 150, 165, 180, 190, 200, 220, 230, 240)))
faults = []


def fault(text):
    faults.append(text)


def number(text):
    text = text.strip()
    m = re.fullmatch(r"(\d+)\s+(\d+)/(\d+)", text)
    if m:
        return int(m[1]) + F(int(m[2]), int(m[3]))
    return F(text)


def duration(value):
    """Seconds (lo, hi)."""
    if isinstance(value, str) and value.startswith("PT"):
        m = re.fullmatch(r"PT(?:(\d+)H)?(?:(\d+)M)?(?:(\d+)S)?", value)
        s = F(int(m[1] or 0) * 3600 + int(m[2] or 0) * 60 + int(m[3] or 0))
        return s, s
    unit = {"d": 86400, "day": 86400, "days": 86400, "h": 3600, "hour": 3600, "hours": 3600, "min": 60, "minute": 60,
            "minutes": 60, "s": 1, "sec": 1, "second": 1, "seconds": 1}
    ends = [e.strip() for e in re.split(r"\s+to\s+|-|–", value)]

    def one(text, default):
        total, last = F(0), default
        for n, u in re.findall(r"(\d+(?:\.\d+)?(?:\s+\d+/\d+|/\d+)?)\s*([a-z]*)", text):
            last = u or default
            total += number(n) * unit[last]
        return total, last

    hi, last = one(ends[-1], None)
    lo = one(ends[0], last)[0] if len(ends) == 2 else hi
    return lo, hi


def litres(text):
    n, u = re.fullmatch(r"([\d./ ]+?)\s*(ml|l|L|cl|dl)", text.strip()).groups()
    return number(n) * {"ml": F(1, 1000), "cl": F(1, 100), "dl": F(1, 10), "l": 1, "L": 1}[u]


def celsius(text):
    """(lo, hi) as written, or None for off."""
    t = text.strip()
    if t == "off":
        return None
    if m := re.fullmatch(r"gas (?:mark )?(\d)", t):
        return F(GAS[int(m[1])]), F(GAS[int(m[1])])
    fan = 20 if t.startswith("fan") else 0
    t = t.removeprefix("fan").strip()
    ends = re.fullmatch(r"([\d.]+)\s*(?:°?[CF])?(?:\s*(?:to|-)\s*([\d.]+))?\s*°?([CF])", t)
    lo, hi, unit = F(ends[1]), F(ends[2] or ends[1]), ends[3]
    if unit == "F":
        lo, hi = (lo - 32) * 5 / 9, (hi - 32) * 5 / 9
    return lo + fan, hi + fan


def rate(text):
    m = re.fullmatch(r"([\d.]+)\s*(C|F)\s*(?:/|per )\s*min", text)
    return F(m[1]) * (1 if m[2] == "C" else F(5, 9))


def up(seconds):
    return math.ceil(seconds / 30)


def read(path):
    session = tomllib.loads(path.read_text(encoding="utf-8-sig"))
    kitchen = session.get("kitchen", {})
    if isinstance(kitchen, str):
        kitchen = tomllib.loads((path.parent / kitchen).read_text(encoding="utf-8-sig"))
    own = {d["id"]: d for d in session.get("dish", [])}
    dishes = {}
    for course in session["course"]:
        for name in course["dishes"]:
            dishes[name] = own.get(name) or tomllib.loads(
                (path.parent / "dishes" / f"{name}.toml").read_text(encoding="utf-8-sig"))
    return session, kitchen, dishes


def ahead_steps(name, steps, session):
    if name not in session.get("ahead", []):
        return set()
    early = {s["id"] for s in steps if "ahead" in s}
    grown = True
    while grown:
        more = {a.split("/")[-1] for s in steps if s["id"] in early for a in s["_after"] if "/" not in a}
        grown = not more <= early
        early |= more
    return early


def build(session, kitchen, dishes, q):
    wares = {w["name"]: w for w in kitchen.get("ware", [])}
    steps, holds = {}, []
    for name, dish in dishes.items():
        listed = dish["step"]
        for i, s in enumerate(listed):
            after = s.get("after", [listed[i - 1]["id"]] if i else [])
            s["_after"] = [after] if isinstance(after, str) else after
        early = ahead_steps(name, listed, session)
        grow = F(session["guests"]) / number(str(dish["serves"])) if "serves" in dish else F(1)
        named = {}
        for s in listed:
            if s["id"] in early:
                continue
            lo, hi = duration(s["takes"])
            length = lo + q * (hi - lo)
            if s.get("scales"):
                length *= grow
            if "batch" in s:
                holds_l = litres(wares[s["batch"]]["holds"]) * (F(2, 3) if s.get("hot") else 1)
                length *= max(1, math.ceil(litres(dish["makes"]) * grow / holds_l))
            length = max(1, up(length))
            hands = s.get("hands", "on")
            checked = hands.startswith("check") and duration(hands.removeprefix("check every "))[0] < 180
            needs = s.get("needs", [])
            steps[name, s["id"]] = dict(
                dish=name, length=length, hands=hands == "on" or checked,
                burners=needs.count("burner"), after=[tuple(a.split("/")) if "/" in a else (name, a) for a in s["_after"]],
                keeps=math.floor(duration(s["keeps"])[0] / 30) if "keeps" in s else None,
                oven=oven_use(s.get("oven"), length))
            for w in set(needs) - {"burner"}:
                named.setdefault(w, []).append((s["id"], needs.count(w)))
        holds += [(w, max(c for _, c in uses), [(name, i) for i, _ in uses]) for w, uses in named.items()]
    for s in steps.values():
        s["after"] = [a for a in s["after"] if a in steps]
    return steps, holds, wares


def oven_use(oven, length):
    if not oven:
        return None
    within = F(re.match(r"[\d.]+", oven.get("within", "10 C"))[0])
    if "F" in oven.get("within", ""):
        within *= F(5, 9)
    cuts = [(0, oven["at"])] + [(up(duration(t["after"])[0]), t["at"]) for t in oven.get("then", [])]
    cuts = [c for c in cuts if c[0] == 0 or c[0] < length]
    ends = [c[0] for c in cuts[1:]] + [length]
    parts = []
    for (at, text), to in zip(cuts, ends):
        t = celsius(text)
        spread = within if t and t[0] == t[1] else 0
        parts.append((at, to, t and (t[0] - spread, t[1] + spread)))
    return dict(racks=oven.get("racks", 1), parts=parts)


def meet(a, b):
    return a == b if a is None or b is None else a[0] <= b[1] and b[0] <= a[1]


def check(path, plan):
    session, kitchen, dishes = read(path)
    q = F(str(plan["quantile"]))
    steps, holds, wares = build(session, kitchen, dishes, q)
    said = {(s["dish"], s["step"]): s for s in plan["steps"]}
    if set(said) != set(steps):
        fault(f"steps differ: {set(said) ^ set(steps)}")
        return
    for key, s in steps.items():
        s["start"], s["oven_name"] = said[key]["start"], said[key]["oven"]
        s["end"] = s["start"] + s["length"]
        if said[key]["length"] != s["length"]:
            fault(f"{key}: length {said[key]['length']}, not {s['length']}")
    serve_and_zero(session, plan)
    courses = []
    promised = plan["courses"][0]["promised"]
    for k, c in enumerate(session["course"]):
        gap = up(duration(c["gap"])[0]) if k and "gap" in c else 0
        promised += gap
        courses.append(dict(name=c["name"], promised=promised, gap=gap, plating=up(duration(c.get("plating", "2 min"))[0]),
                            dishes=c["dishes"], served=plan["courses"][k]["served"]))
        if plan["courses"][k]["promised"] != promised:
            fault(f"course {k}: promised {plan['courses'][k]['promised']}, not {promised}")
    order_and_service(steps, courses, plan)
    capacity(steps, holds, wares, kitchen, courses)
    ovens(steps, kitchen, plan)
    costs(steps, courses, plan)


def serve_and_zero(session, plan):
    zero = datetime.fromisoformat(plan["zero"])
    first = zero + timedelta(seconds=30 * plan["courses"][0]["promised"])
    serve = session["serve"]
    text = serve.isoformat(" ") if not isinstance(serve, str) else serve
    clock = text.replace("T", " ").split(" ")[-1][:5]
    if first.strftime("%H:%M") != clock.rjust(5, "0"):
        fault(f"the first course is promised at {first}, not at {text}")


def order_and_service(steps, courses, plan):
    broken = {(b["dish"], b["step"], b["follower"]): b["ticks"] for b in plan["broken"]}
    for key, s in steps.items():
        if s["start"] < 0:
            fault(f"rule 8: {key} starts at {s['start']}")
        for a in s["after"]:
            wait = s["start"] - steps[a]["end"]
            if wait < 0:
                fault(f"rule 1: {key} before the end of {a}")
            keeps = steps[a]["keeps"]
            over = max(0, wait - keeps) if keeps is not None else 0
            if over != broken.pop((*a, "/".join(key)), 0):
                fault(f"rule 2: {a} waits {wait} for {key}, keeps {keeps}")
    if broken:
        fault(f"broken names what is not: {broken}")
    for k, c in enumerate(courses):
        soonest = max([c["promised"]] + [s["end"] for s in steps.values() if s["dish"] in c["dishes"]])
        if k:
            soonest = max(soonest, courses[k - 1]["served"] + c["gap"])
        if c["served"] < soonest:
            fault(f"rule 9: course {k} served at {c['served']}, not before {soonest}")


def capacity(steps, holds, wares, kitchen, courses):
    last = max([s["end"] for s in steps.values()] + [c["served"] + c["plating"] for c in courses])
    for t in range(last):
        on = [s for s in steps.values() if s["start"] <= t < s["end"]]
        cooks = sum(s["hands"] for s in on) + sum(c["served"] <= t < c["served"] + c["plating"] for c in courses)
        if cooks > kitchen.get("cooks", 1):
            fault(f"rule 3: {cooks} cooks at {t}")
        if sum(s["burners"] for s in on) > kitchen.get("burners", 4):
            fault(f"rule 4: burners at {t}")
        held = {}
        for ware, count, users in holds:
            if min(steps[u]["start"] for u in users) <= t < max(steps[u]["end"] for u in users):
                held[ware] = held.get(ware, 0) + count
        for ware, count in held.items():
            if count > wares.get(ware, {}).get("count", 1):
                fault(f"rule 5: {count} {ware} at {t}")
        for o in kitchen.get("oven", [dict(name="oven")]):
            racks = sum(s["oven"]["racks"] for s in on if s["oven_name"] == o["name"])
            if racks > o.get("racks", 2):
                fault(f"rule 6: {racks} racks of {o['name']} at {t}")


def ovens(steps, kitchen, plan):
    for o in kitchen.get("oven", [dict(name="oven")]):
        heats, cools = rate(o.get("heats", "10 C/min")) / 2, rate(o.get("cools", "4 C/min")) / 2
        room = celsius(o.get("room", "20 C"))[0]
        used = [(k, s, s["start"] + a, s["start"] + b, t) for k, s in steps.items() if s["oven_name"] == o["name"]
                for a, b, t in s["oven"]["parts"]]
        real = lambda t: t or (room, room)  # noqa: E731
        for k, s, a, b, t in used:
            if a == s["start"] and t and a < (t[0] - room) / heats:
                fault(f"rule 7: {k} starts at {a} in a cold oven")
            for k2, _, a2, b2, t2 in used:
                if k2 == k or meet(t, t2) or a2 < a:
                    continue
                (lo, hi), (lo2, hi2) = real(t), real(t2)
                gap = (lo2 - hi) / heats if lo2 > hi else (lo - hi2) / cools if hi2 < lo else 0
                if a2 < b or a2 - b < gap:
                    fault(f"rule {6 if a2 < b else 7}: {k} to {b} and {k2} from {a2} in {o['name']}")
        changes = next(x for x in plan["ovens"] if x["name"] == o["name"])["changes"]
        follow(o["name"], changes, used, heats, cools, room)


def follow(name, changes, used, heats, cools, room):
    """Follows the oven tick by tick: within 1 C of what is accepted at a start, and not out of it once reached."""
    if not used:
        return
    at = {c["at"]: c["set"] for c in changes}
    if any(t < 0 for t in at):
        fault(f"{name} is turned before zero")
    now, target, reached = room, room, set()
    for tick in range(max(b for _, _, _, b, _ in used) + 1):
        if tick in at:
            t = celsius(at[tick])
            target = t[0] if t else room
        for n, (k, s, a, b, t) in enumerate(used):
            if not a <= tick <= b:
                continue
            lo, hi = t or (room, room)
            inside = lo - 1 <= now <= hi + 1
            if not inside and (a == s["start"] or n in reached):
                fault(f"{name} is at {float(now):.1f} at {tick}, {k} accepts {float(lo):.1f} to {float(hi):.1f}")
            if lo <= now <= hi:
                reached.add(n)
        now = min(target, now + heats) if target > now else max(target, now - cools)


def costs(steps, courses, plan):
    service = {d: c["served"] for c in courses for d in c["dishes"]}
    followed = {a for s in steps.values() for a in s["after"]}
    late = sum(c["served"] - c["promised"] for c in courses)
    over = stale = 0
    for key, s in steps.items():
        if s["keeps"] is None:
            continue
        waits = [f["start"] - s["end"] for f in steps.values() if key in f["after"]]
        if key not in followed:
            waits = [service[s["dish"]] - s["end"]]
            over += max(0, waits[0] - s["keeps"])
        if s["keeps"] <= 60:
            stale += sum(waits)
    span = max(c["served"] for c in courses) - min(s["start"] for s in steps.values()) if steps else 0
    real = dict(late=late, over=over, stale=stale, span=span)
    if plan["parts"] != real:
        fault(f"parts {plan['parts']}, not {real}")
    cost = 1000 * late + 300 * over + 10 * stale + span
    if plan["cost"] != cost:
        fault(f"cost {plan['cost']}, not {cost}")
    if plan["bound"] > cost or (plan["status"] == "optimal" and plan["bound"] != cost):
        fault(f"status {plan['status']}, bound {plan['bound']}, cost {cost}")


check(pathlib.Path(sys.argv[1]), json.load(sys.stdin))
print("\n".join(faults) or "correct")
sys.exit(1 if faults else 0)
