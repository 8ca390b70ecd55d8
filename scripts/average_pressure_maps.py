"""Average the records of public pressure maps over time, for the checks against real people.

Run as `python scripts/average_pressure_maps.py FOLDER`, with the folder that holds
`experiment-i-S01.npz` and so on (arrays `p01` to `p17`, frames x 64 x 32) and `subjects-i.csv`.
Writes `tests/data/pmatdata/maps.npz`, one mean map per person and posture in the sensor's own
units, and `people.csv`. Nothing is cleaned, scaled or mirrored.
"""

import argparse
import csv
from pathlib import Path

import numpy as np

TARGET = Path(__file__).parent.parent / "tests" / "data" / "pmatdata"
#: Lying straight with arms at the sides, with other arms and legs, turned, backrest raised.
POSTURES = ("p01", "p08", "p09", "p11", "p12", "p04", "p05", "p06", "p07", "p15", "p16", "p17")


def mean_maps(folder: Path) -> dict[str, np.ndarray]:
    """Mean map of every record, rounded to whole sensor units."""
    maps = {}
    for path in sorted(folder.glob("experiment-i-S*.npz")):
        person = path.stem.rsplit("-", 1)[1]
        with np.load(path) as records:
            for posture in POSTURES:
                mean = records[posture].mean(axis=0, dtype=np.float64)
                maps[f"{person}_{posture}"] = np.rint(mean).astype(np.uint16)
    return maps


def main() -> None:
    """Write the mean maps and the table of people."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    folder = parser.parse_args().folder
    np.savez_compressed(TARGET / "maps.npz", **mean_maps(folder))
    with (folder / "subjects-i.csv").open(newline="") as table:
        rows = list(csv.DictReader(table))
    with (TARGET / "people.csv").open("w", newline="") as table:
        writer = csv.writer(table, lineterminator="\n")
        writer.writerow(("person", "age_year", "stature_cm", "mass_kg"))
        for row in rows:
            number = int(row["Subject-Number"])
            writer.writerow((f"S{number:02d}", row["Age"], row["Height/cm"], row["Weight/kg"]))


if __name__ == "__main__":
    main()
