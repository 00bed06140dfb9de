"""The part of docs/accuracy.md on swatch sheets that others painted."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from scipy.stats import binomtest

from tests.accuracy.painted_sheets import SCANNER, Held, calibrated, held, paints

HEAD = """## After a calibration

Thirteen swatch sheets painted by numbers, none by the law, read and fitted by `glaze calibrate`'s
own code, then asked for patches that weren't on the sheet.
*Watercolours*: six sets of three pigments and ivory black. One wash, black over a colour and a
colour over itself are as measured; two hues and three washes are by textbook Kubelka-Munk from the
measured washes, as no measured ones may be kept here.
*Dyes*: four sets, each dye left out of the prior, in paper by Kubelka and Munk.
*Presses*: three uncoated ones as measured, their strips by the law.
The hand slips by 5 %. The scanner mixes its channels and bends their tones: exact, or {size:g} of
a standard deviation each, which is about 4 on these sheets.
Off: mean / 90th percentile / worst. Promised: mean of the bands' widths. The interval is binomial,
95 %; patches of a sheet share inks, so it is narrower than the truth.
"""

TAIL = """
Strips alone, without the sheet's own check patches and its scanner in the bands, held 74 % of the
watercolours' single washes in CIEDE2000 by an exact scanner, 50 % by one 4.6 off, and 31 % of the
dyes'. How it is done, and how near a scanner lets anybody come:
[decision 14](decisions/014-the-scanner.md).
"""


def page() -> str:
    """Both tables."""
    text = HEAD.format(size=SCANNER)
    for size, words in ((0.0, "An exact scanner:"), (SCANNER, "A scanner about 4 off:")):
        rows = [
            one
            for number, paint in enumerate(paints())
            for one in held(paint, calibrated(paint, number, size))
        ]
        text += f"\n{words}\n\n{_table(rows)}"
    return text + TAIL


def _table(rows: Sequence[Held]) -> str:
    kinds: dict[tuple[str, str], list[Held]] = {}
    for row in rows:
        kinds.setdefault((row.kind, row.patch), []).append(row)
        kinds.setdefault((row.kind, "**all**"), []).append(row)
    kinds = dict(sorted(kinds.items(), key=lambda item: (item[0][0], "*" in item[0][1])))
    lines = ["| paint | patch | n | off | promised | held | value off, rms | promised | held |"]
    lines.append("|---" * 9 + "|")
    for (kind, patch), some in kinds.items():
        off = np.array([row.de00 for row in some])
        value = np.sqrt(np.mean([row.value**2 for row in some]))
        wide = np.mean([(row.promised_de00, row.promised_value) for row in some], axis=0)
        lines.append(
            f"| {kind} | {patch} | {len(some)} "
            f"| {off.mean():.1f} / {np.percentile(off, 90):.1f} / {off.max():.1f} | {wide[0]:.1f} "
            f"| {_share([row.in_de00 for row in some])} | {value:.2f} | ± {wide[1]:.2f} "
            f"| {_share([row.in_value for row in some])} |"
        )
    return "\n".join(lines) + "\n"


def _share(held_: Sequence[bool]) -> str:
    low, high = binomtest(sum(held_), len(held_)).proportion_ci(method="wilson")
    return f"{100 * np.mean(held_):.0f} % ({100 * low:.0f} to {100 * high:.0f})"
