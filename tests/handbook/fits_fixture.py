"""Writes fits.csv: ISO 286 limits by two reference libraries, for the handbook's cross-check.

Run from this folder, with pressfit 0.1.0 and isofits 1.0 installed:
    python3 fits_fixture.py > fits.csv
Columns: library, nominal size in mm, class, lower and upper limit in µm.
"""

import re

import data as isofits  # the table module that the package isofits installs
import pressfit
from pressfit.tables import GRADES, SHAFT_LETTERS

SIZES = [3, 6, 10, 18, 24, 30, 40, 50, 65, 80, 100, 120, 140, 160, 180, 200, 225, 250, 280, 315,
         355, 400, 450, 500]


def main() -> None:
    print("# Made by fits_fixture.py with pressfit 0.1.0 and isofits 1.0; do not edit.")
    print("# library,size in mm,class,lower in µm,upper in µm")
    for size in SIZES:
        for grade in GRADES:
            for letter in SHAFT_LETTERS:
                it = pressfit.fit(f"{size} H{grade}/{letter}{grade}")
                print(f"pressfit,{size},{letter}{grade},{it.shaft_ei_um:g},{it.shaft_es_um:g}")
            print(f"pressfit,{size},H{grade},{it.hole_ei_um:g},{it.hole_es_um:g}")
    for table in (isofits.hole_data, isofits.shaft_data):
        for name, column in table.items():
            if not re.fullmatch(r"[A-Za-z]{1,2}\d+", name):
                continue
            for size, cell in zip(table["inc."], column):
                try:
                    values = sorted(float(it.replace("−", "-")) for it in cell.split("\n"))
                except ValueError:
                    continue
                if len(values) == 1:
                    half = abs(values[0])
                    values = [-half, half]
                print(f"isofits,{size},{name},{values[0]:g},{values[1]:g}")


main()
