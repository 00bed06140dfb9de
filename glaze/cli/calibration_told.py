"""What painted swatches told of the inks, in lines and as JSON."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Any

from glaze.materials.parts_told import NEAT, parts_words

if TYPE_CHECKING:
    from glaze.calibrate.fit.found import Calibration, InkFit, ReadRung
    from glaze.materials.checked import Checked

Z = 1.645
"""Half width of a band of 9 in 10, in standard deviations."""

LIFTS_TOLD = {"lifts": "lifts", "partly": "lifts in part", "resists": "resists"}


def chroma_of(rgb: tuple[float, float, float]) -> float:
    """CIELAB chroma of a linear colour under D65."""
    import numpy as np

    from glaze.calibrate.scan.swatch import lab_of

    return float(np.hypot(*lab_of(np.array(rgb))[1:]))


def calibration_lines(found: Calibration) -> Iterator[str]:
    """What was found, a line an ink."""
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
                yield f"           {rung.name}: {_gap(rung)}{_acts(rung)}."
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
                yield f"           {check.name}: {_gap(check)}."
        yield from film_lines(found.checks)
    yield from promised_lines(found.palette.checked)
    yield from found.notes
    for fit in found.inks.values():
        yield from fit.notes


def film_lines(checks: Iterable[ReadRung]) -> Iterator[str]:
    """Whether a thin black over a strong colour turned to grey film, as your own patch has it."""
    for check in checks:
        if " neat" in check.name and " over " in check.name:
            painted, expected = (chroma_of(rgb) for rgb in (check.seen, check.fitted))
            yield (
                f"           {check.name}: chroma {painted:.0f} as painted, {expected:.0f} as "
                "predicted; no measurement but yours tells whether it turns to grey film."
            )


def promised_lines(checked: Checked) -> Iterator[str]:
    """What washes with these inks are promised, by kind: 9 of 10 within so much."""
    for words, own in (("one ink", checked.one_ink), ("two inks and more", checked.more_inks)):
        if own.colour:
            colour = Z * math.hypot(own.colour, checked.scanner.colour)
            value = Z * math.hypot(own.value, checked.scanner.value)
            yield (
                f"From these patches, washes of {words} within {colour:.0f} (CIEDE2000) and "
                f"{value:.1f} step, 9 of 10{_of_scanner(checked)}."
            )


def _of_scanner(checked: Checked) -> str:
    off = Z * checked.scanner.colour
    return f"; {off:.0f} of it is what this scanner may be off" if off >= 0.5 else ""


def _gap(rung: ReadRung) -> str:
    side = "lighter" if rung.value_gap > 0 else "darker"
    return f"painted {abs(rung.value_gap):.1f} step {side} than fitted"


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
