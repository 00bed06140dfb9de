"""Pictures of docs/accuracy.md."""

from __future__ import annotations

from pathlib import Path

import matplotlib as mpl
import numpy as np

from glaze.physics.colour import D65_XYZ, adaptation, rgb_from_xyz, srgb_encode
from tests.accuracy.measured import NEAT_ML, UNCOATED, lab, watercolours, weights, xyz
from tests.accuracy.scores import BLACKS, COLOURS, diluted, offset_cases

mpl.use("Agg")
import matplotlib.pyplot as plt

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


def swatches(path: Path) -> None:
    """Overprints on uncoated paper: measured on the left, predicted on the right."""
    patches = (*COLOURS, *BLACKS)
    figure, axes = plt.subplots(len(UNCOATED), 1, figsize=(9, 3.2), layout="constrained")
    for ax, condition in zip(axes, UNCOATED, strict=True):
        cases = offset_cases(condition, patches)
        row = np.array([colour for got, true in cases for colour in (true, got)])
        ax.imshow(_screen(row)[None], aspect="auto", interpolation="nearest")
        ax.set_yticks([])
        ax.set_ylabel(condition, rotation=0, ha="right", va="center", fontsize=8)
        ax.set_xticks(np.arange(len(patches)) * 2 + 0.5, patches, fontsize=8)
        for x in np.arange(1, len(patches)) * 2 - 0.5:
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
