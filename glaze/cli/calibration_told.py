"""What painted swatches told of the inks, in lines and as JSON."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from glaze.errors import number_of
from glaze.materials.parts_told import NEAT, parts_words

if TYPE_CHECKING:
    from glaze.calibrate.fit.found import Calibration, InkFit, ReadRung

LIFTS_TOLD = {"lifts": "lifts", "partly": "lifts in part", "resists": "resists"}


def calibration_lines(found: Calibration) -> Iterator[str]:
    """What was found, a line an ink."""
    from glaze.calibrate.report.promised import promised_lines

    for fit in found.inks.values():
        strength = f"{fit.strength:5.2f} times the palette's strength,"
        if fit.kind == "spectrum":
            strength = "its spectrum as measured, its strength"
        yield (
            f"{fit.ink.name:<10} {strength} known within {fit.strength_band:.2f} times; "
            f"{len(fit.rungs)} patches differ by {fit.mean_de00:.1f} (CIEDE2000) from the fit, "
            f"unseen ones by {fit.unseen_de00[fit.kind]:.1f}."
        )
        for rung in fit.rungs:
            if abs(rung.value_gap) >= 0.3:
                gap = painted_gap(rung.value_gap)
                yield f"           {rung.name}: {gap} than fitted{_acts(rung)}."
        if fit.dots:
            ghosts = "; ".join(f"{dot.name}: {dot.words}" for dot in fit.dots)
            yield f"           under bleach it {LIFTS_TOLD[fit.ink.bleach_class]} ({ghosts})."
    if found.checks:
        gaps = [check.de00 for check in found.checks]
        yield (
            f"{len(gaps)} mixes and shadow washes, predicted and not fitted, differ by "
            f"{sum(gaps) / len(gaps):.1f} on average, at most {max(gaps):.1f} (CIEDE2000)."
        )
        for check in found.checks:
            if abs(check.value_gap) >= 0.3:
                yield f"           {check.name}: {painted_gap(check.value_gap)} than fitted."
    yield from promised_lines(found)
    yield from found.notes
    for fit in found.inks.values():
        yield from fit.notes


def painted_gap(value_gap: float) -> str:
    """How far off a patch was painted, in value steps: "painted 0.4 steps darker"."""
    steps = number_of(round(abs(value_gap), 1), "step")
    return f"painted {steps} {'lighter' if value_gap > 0 else 'darker'}"


def _acts(rung: ReadRung) -> str:
    if rung.acts_as is None:
        return ""
    if rung.acts_as < NEAT:
        return ", as if it held no water" if rung.acts_as > -NEAT else ", stronger than neat"
    return f", as if it were {parts_words(rung.acts_as)}"


def calibration_json(found: Calibration) -> dict[str, Any]:
    """What `glaze calibrate --json` prints of it."""
    return {
        "inks": {name: _ink_json(fit) for name, fit in found.inks.items()},
        "checks": [_rung_json(check) for check in found.checks],
        "paper": {
            "how": found.paper.how,
            "linear_srgb": [float(v) for v in found.paper.rgb],
            "surface_reflectance": found.paper.paper.surface_reflectance,
        },
        "scanner": {"told_by": found.scanner.told_by, "off_de00": found.scanner.off_de00},
        "checked": found.palette.checked.as_dict(),
        "notes": list(found.notes),
    }


def _ink_json(fit: InkFit) -> dict[str, Any]:
    return {
        "kind": fit.kind,
        "strength": fit.strength,
        "strength_factor": fit.ink.strength_factor,
        "strength_band": fit.strength_band,
        "dyes_g_per_l": dict(fit.ink.contents_g_per_l),
        "mean_de00": fit.mean_de00,
        "unseen_de00": fit.unseen_de00,
        "crowding": fit.crowding[0],
        "bleach_class": fit.ink.bleach_class,
        "patches": [_rung_json(rung) for rung in fit.rungs],
        "dots": [
            {
                "patch": dot.name,
                "ghost": dot.words,
                "value_gain": dot.value_gain,
                "share": dot.share,
            }
            for dot in fit.dots
        ],
        "lift": _lift_json(fit),
        "notes": list(fit.notes),
    }


def _lift_json(fit: InkFit) -> dict[str, Any] | None:
    """What the lift experiment says: each number times the table's, and its band."""
    if fit.lift is None:
        return None
    names = ("rate", "ghost", "ghost_rate")
    told = {name: dict(zip(("times", "band"), fit.lift.times(name), strict=True)) for name in names}
    return {**told, "told": list(fit.lift.told), "add": [list(dot) for dot in fit.lift.add]}


def _rung_json(rung: ReadRung) -> dict[str, Any]:
    return {
        "patch": rung.name,
        "de00": rung.de00,
        "unseen_de00": rung.unseen_de00,
        "value_gap": rung.value_gap,
        "acts_as_parts_water": rung.acts_as,
    }
