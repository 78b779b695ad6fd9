#!/usr/bin/env python3
"""Writes a random session file: random_session.py SEED > SESSION.toml. Same seed, same session."""
import random
import sys

r = random.Random(int(sys.argv[1]))
WARES = ["stockpot", "saucepan", "large tray", "blender", "bowl"]
TEMPERATURES = ["220 C", "190 C", "160 C", "425 F", "gas 7", "fan 180 C", "180 to 200 C", "120 C", "off", "100 C"]


def text(x):
    return '"' + x + '"'


def minutes(lo, hi):
    a = r.randint(lo, hi)
    return r.choice([f"{a} min", f"{a} to {a + r.randint(1, 15)} min", f"PT{a}M", f"{a} min"])


print(f"title = {text('Random')}\nguests = {r.randint(1, 12)}\nserve = {text('19:30')}")
print(f"start = {text(r.choice(['12:00', '17:00', '18:45', '09:00']))}")
courses, dishes, ahead = r.randint(1, 3), [], []
for c in range(courses):
    for d in range(r.randint(1, 3)):
        dishes.append((c, f"dish-{c}{d}"))
ahead = [d for _, d in dishes if r.random() < 0.15]
if ahead:
    print(f"ahead = [{', '.join(map(text, ahead))}]")
print(f"\n[kitchen]\ncooks = {r.randint(1, 2)}\nburners = {r.randint(2, 4)}")
for o in range(r.choice([1, 1, 1, 2])):
    print(f"\n[[kitchen.oven]]\nname = \"oven {o}\"\nracks = {r.randint(1, 3)}")
    if r.random() < 0.5:
        print(f"heats = \"{r.randint(5, 30)} C/min\"\ncools = \"{r.randint(2, 10)} C/min\"\nroom = \"{r.randint(16, 26)} C\"")
for w in WARES:
    print(f"\n[[kitchen.ware]]\nname = {text(w)}\ncount = {r.randint(1, 2)}\nholds = \"{r.choice([1, 2, 3])} L\"")
for c in range(courses):
    print(f"\n[[course]]\nname = \"Course {c}\"\ndishes = [{', '.join(text(d) for k, d in dishes if k == c)}]")
    if c and r.random() < 0.8:
        print(f"gap = \"{r.randint(5, 50)} min\"")
    if r.random() < 0.5:
        print(f"plating = \"{r.randint(0, 5)} min\"")
done = []
for _, d in dishes:
    print(f"\n[[dish]]\nid = {text(d)}\ntitle = {text(d.capitalize())}\nserves = {r.randint(2, 8)}\nmakes = \"{r.choice(['1.5 L', '800 ml', '3 L'])}\"")
    count = r.randint(1, 6)
    last = r.randrange(count) if d in ahead else -1
    for i in range(count):
        oven = r.random() < 0.35
        batch = not oven and r.random() < 0.1
        print(f"\n[[dish.step]]\nid = \"s{i}\"\ndo = \"Do number {i}\"\ntakes = {text(minutes(10, 70) if oven else minutes(1, 20))}")
        if oven:
            then = ""
            if r.random() < 0.4:
                then = f", then = [{{ after = \"{r.randint(1, 30)} min\", at = {text(r.choice(TEMPERATURES))} }}]"
            within = f", within = \"{r.choice([0, 5, 15])} C\"" if r.random() < 0.3 else ""
            print(f"oven = {{ at = {text(r.choice(TEMPERATURES))}{then}{within} }}")
            print(f"hands = {text(r.choice(['off', 'off', 'check every 20 min', 'check every 2 min']))}")
        else:
            print(f"hands = {text(r.choice(['on', 'on', 'off', 'check every 5 min']))}")
        needs = [w for w in WARES[:4] if r.random() < 0.15] + (["burner"] if not oven and r.random() < 0.3 else [])
        if needs:
            print(f"needs = [{', '.join(map(text, needs))}]")
        if batch:
            print(f"batch = \"bowl\"\nhot = {r.choice(['true', 'false'])}")
        elif r.random() < 0.15:
            print("scales = true")
        if r.random() < 0.35:
            print(f"keeps = \"{r.choice([5, 10, 20, 30, 60, 120])} min\"")
        if i == last:
            print("ahead = \"1 day\"")
        if i and r.random() < 0.15:
            other = r.choice(done) if done and r.random() < 0.5 and d not in ahead else f"s{r.randrange(i)}"
            print(f"after = [{text(other)}]")
    done += [f"{d}/s{i}" for i in range(count)] if d not in ahead else []
