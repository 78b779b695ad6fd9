"""Twenty PSPLIB projects in one small file: projects.py FOLDER BEST.csv > ../data/j30.jsonl

FOLDER holds the .sm files of the set J30, BEST.csv its optima ("problem,optimum"), both from PSPLIB
(R. Kolisch, A. Sprecher, "PSPLIB - a project scheduling problem library", EJOR 96, 1996).
"""
import csv
import json
import pathlib
import re
import sys

NAMES = """j301_1 j302_3 j305_9 j307_1 j309_5 j3010_7 j3011_9 j3014_3 j3015_5 j3020_3 j3022_7 j3023_9
j3028_7 j3031_1 j3034_7 j3037_1 j3041_9 j3043_1 j3044_3 j3045_5""".split()


def rows(text, name, skip):
    lines = text.split(name, 1)[1].splitlines()[1 + skip :]
    for line in lines:
        if line.startswith("*"):
            return
        if re.fullmatch(r"[\s\d]+", line):
            yield [int(x) for x in line.split()]


def main():
    folder, best = pathlib.Path(sys.argv[1]), sys.argv[2]
    optimum = {r["problem"].removesuffix(".sm"): int(r["optimum"]) for r in csv.DictReader(open(best))}
    for name in NAMES:
        text = (folder / f"{name}.sm").read_text()
        jobs = list(rows(text, "REQUESTS/DURATIONS", 2))
        print(json.dumps({
            "name": name,
            "optimum": optimum[name],
            "capacity": next(rows(text, "RESOURCEAVAILABILITIES", 1)),
            "durations": [j[2] for j in jobs],
            "demands": [j[3:] for j in jobs],
            "successors": [r[3:] for r in rows(text, "PRECEDENCE RELATIONS", 1)],
        }, separators=(",", ":")))


if __name__ == "__main__":
    main()
