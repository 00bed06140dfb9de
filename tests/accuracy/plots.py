"""Pictures of docs/accuracy.md."""

from __future__ import annotations

from pathlib import Path

import matplotlib as mpl
import numpy as np

from glaze.physics.colour import D65_XYZ, adaptation, rgb_from_xyz, srgb_encode
from tests.accuracy.measured import (
    COATED,
    NEAT_ML,
    TRANSPARENT,
    UNCOATED,
    lab,
    watercolours,
    weights,
    xyz,
)
from tests.accuracy.scores import (
    BLACKS,
    COLOURS,
    Overlay,
    diluted,
    press_overlay,
    wash_overlays,
)

mpl.use("Agg")
import matplotlib.pyplot as plt

WASH_CHIPS = ("1, black 1", "2, black 2", "4, black 2", "4, black 4")
WASH_CHIPS += ("1 twice", "1 and 5", "2 twice", "2 and 4", "4 twice", "4 and 8")
"""Hundredths of a ml that lie in the chips of a pigment, in the order of `wash_overlays`."""

PLAIN = {"Software": None}  # no version in the file: same bytes with the same library


def bars(table: dict[str, dict[str, np.ndarray]], path: Path) -> None:
    """Mean error of each model on each family of measurements."""
    models = list(next(iter(table.values())))
    figure, axes = plt.subplots(figsize=(9, 4), layout="constrained")
    width = 0.8 / len(models)
    for i, model in enumerate(models):
        at = np.arange(len(table)) + (i - (len(models) - 1) / 2) * width
        axes.bar(at, [row[model].mean() for row in table.values()], width, label=model)
    axes.set_xticks(range(len(table)), [name.replace(", ", "\n") for name in table], fontsize=8)
    axes.set_ylabel("mean CIEDE2000")
    axes.legend(frameon=False)
    figure.savefig(path, dpi=110, metadata=PLAIN)
    plt.close(figure)


def _screen(colours: np.ndarray) -> np.ndarray:
    to_d65 = adaptation(weights().sum(axis=0), D65_XYZ)
    return srgb_encode(np.clip(rgb_from_xyz(xyz(colours) @ to_d65.T), 0, 1))


def _rows() -> dict[str, list[Overlay]]:
    """Every measured overlay, by what stands beside its row of the picture."""
    rows = {
        condition: [press_overlay(condition, patch) for patch in (*COLOURS, *BLACKS)]
        for condition in (*COATED, *UNCOATED)
    }
    black, itself = (np.array(wash_overlays(s)).reshape(9, -1) for s in ("ivory black", None))
    return rows | {n: [*black[i], *itself[i]] for i, n in enumerate(sorted(TRANSPARENT))}


def swatches(path: Path) -> None:
    """Every overlay there is: measured on the left of a chip, predicted on the right."""
    rows = _rows()
    figure, axes = plt.subplots(len(rows), 1, figsize=(9, 7), layout="constrained")
    for ax, (label, cases) in zip(axes, rows.items(), strict=True):
        row = _screen(np.array([c for one in cases for c in (one.measured, one.predicted)]))
        ax.imshow(row[None], aspect="auto", interpolation="nearest")
        ax.set_yticks([])
        ax.set_ylabel(label, rotation=0, ha="right", va="center", fontsize=8)
        names = (*COLOURS, *BLACKS) if label in (*COATED, *UNCOATED) else WASH_CHIPS
        ax.set_xticks(np.arange(len(cases)) * 2 + 0.5, names, fontsize=7)
        ax.tick_params(length=0, pad=1)
        for x in np.arange(1, len(cases)) * 2 - 0.5:
            ax.axvline(x, color="white", lw=4)
    figure.savefig(path, dpi=110, metadata=PLAIN)
    plt.close(figure)


def dilutions(path: Path) -> None:
    """Lightness of watercolours by amount: dots measured, lines from the .04 ml wash alone."""
    singles, _ = watercolours()
    paper = singles["paper", 0.0]
    figure, axes = plt.subplots(figsize=(7, 4), layout="constrained")
    amounts = np.linspace(0.002, 0.125, 60)
    for name in ("lemon yellow", "alizarin crimson", "ultramarine", "prussian blue", "ivory black"):
        known = singles[name, NEAT_ML]
        line = [lab(diluted(known, paper, NEAT_ML, ml))[0] for ml in amounts]
        (drawn,) = axes.plot(amounts, line, lw=1, label=name)
        at = sorted(ml for pigment, ml in singles if pigment == name)
        axes.plot(at, [lab(singles[name, ml])[0] for ml in at], "o", ms=4, color=drawn.get_color())
    axes.set(xlabel="ml of colour on the swatch", ylabel="L*")
    axes.legend(frameon=False, fontsize=8)
    figure.savefig(path, dpi=110, metadata=PLAIN)
    plt.close(figure)
