"""Writes tests/data/optima.csv anew: the optimum of thirty made-up dinners by CP-SAT.

Usage: cargo bench --bench dinners -- --dump 18:0-9,30:0-11,22:0-7 | python3 optima.py > ../data/optima.csv
Each line on stdin is {"steps", "seed", "problem"}. Needs OR-Tools (pip install ortools).
"""
import json
import sys

from dinner_model import solve


def main():
    print("steps,seed,optimum")
    for line in sys.stdin:
        row = json.loads(line)
        answer = solve(row["problem"], 2, 120.0)
        if answer["status"] != "OPTIMAL":
            sys.exit(f"{row['steps']} steps, seed {row['seed']}: {answer['status']}")
        print(f"{row['steps']},{row['seed']},{answer['cost']}")


if __name__ == "__main__":
    main()
