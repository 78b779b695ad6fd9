#!/usr/bin/env python3
"""Holds the program's units to pint, a unit library of its own making.

Usage: units.py FILE, where FILE is the JSON that the test `measure::units_agree_with_pint` writes: a list of
{"unit": name in pint, "size": [numerator, denominator], "base": "g" | "ml" | "mm"}.

Exit code 0: all agree within 1e-9 relative; 1: some do not; 3: pint is not installed (nothing was checked).
Install it with: python3 -m pip install pint
"""

import json
import sys
from fractions import Fraction


def main() -> int:
    try:
        import pint
    except ImportError:
        print("pint is not installed: units were NOT cross-checked")
        return 3
    registry = pint.UnitRegistry()
    with open(sys.argv[1], encoding="utf-8") as file:
        rows = json.load(file)
    wrong = 0
    for row in rows:
        numerator, denominator = row["size"]
        ours = float(Fraction(numerator, denominator))
        theirs = registry.Quantity(1, row["unit"]).to(row["base"]).magnitude
        if abs(ours / theirs - 1) > 1e-9:
            wrong += 1
            print(f"{row['unit']}: {ours} here, {theirs} in pint ({row['base']})")
    print(f"pint {pint.__version__}: {len(rows)} units compared, {wrong} differ")
    return 1 if wrong or not rows else 0


if __name__ == "__main__":
    sys.exit(main())
