"""What a proposal says of itself: how near it comes, where it doesn't and why, what isn't sure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.errors import number_of, percent
from glaze.materials.bleach import CAUTION
from glaze.physics.colour import delta_e_2000
from glaze.planning.rough.choice import STEPS_PRICE
from glaze.planning.rough.doubt import Unsure
from glaze.planning.rough.draft import OVER, UNSHADED
from glaze.planning.rough.highlights import (
    COVERED,
    COVERING,
    LIFTED,
    LIFTING,
    ROUND,
    TOUCH,
    UNSURE,
)
from glaze.planning.rough.propose import Proposal
from glaze.planning.rough.stocks import DROP_PRICE
from glaze.planning.rough.written import words_of

Array = NDArray[np.float64]

SEEN_DE00 = 3.0
"""From so far off on a place is told [CIEDE2000]."""
MOST_PLACES = 8
CANT_DE00 = 4.0
"""A place whose own best wash is so far off can't be had."""
SHAPE_SHARE = 0.6
NEARER_DE00 = 0.5
"""What freedom has to gain a place to be the reason why it is off [CIEDE2000] (guess)."""
AS_PAPER_DE00 = 1.0
"""What is no further from it looks bare [CIEDE2000]."""
DARKER_L = 2.0
"""What lies there is darker than what is wanted by so much [L*]."""


@dataclass(frozen=True, eq=False)
class Shortfall:
    """A place that differs from what is wanted.

    mm2 : its size. de00 : middle difference. why : in a sentence.
    wanted, predicted : CIELAB, shape (3,). at : row and column of a sample well inside it.
    """

    name: str
    mm2: float
    de00: float
    why: str
    wanted: Array
    predicted: Array
    at: tuple[int, int]

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "place": self.name,
            "area_cm2": round(self.mm2 / 100, 2),
            "de00": round(self.de00, 1),
            "why": self.why,
            "wanted_lab": [round(float(v), 1) for v in self.wanted],
            "predicted_lab": [round(float(v), 1) for v in self.predicted],
        }


def shortfalls(found: Proposal) -> list[Shortfall]:
    """The places that spoil most, each with the reason why."""
    wanted, flat = found.easel.wanted, found.off.ravel()
    told: list[tuple[float, Shortfall]] = []
    for n, piece in enumerate(wanted.pieces):
        seen = piece.at[np.isfinite(flat[piece.at])]
        if not seen.size:
            continue
        off = float(flat[seen].mean())
        if off >= SEEN_DE00:
            told.append((off * len(seen), _shortfall(found, n, seen, off)))
    told.sort(key=lambda one: -one[0])
    return [one for _, one in told[:MOST_PLACES]]


def _shortfall(found: Proposal, n: int, seen: NDArray[np.intp], off: float) -> Shortfall:
    piece = found.easel.wanted.pieces[n]
    wanted = np.median(found.laid.lab.reshape(-1, 3)[seen], axis=0)
    predicted = np.median(found.predicted.reshape(-1, 3)[seen], axis=0)
    columns = found.off.shape[1]
    middle = np.array(np.divmod(seen, columns)).T
    at = middle[np.argmin(((middle - middle.mean(axis=0)) ** 2).sum(axis=1))]
    return Shortfall(
        f"{words_of(wanted)}, area {piece.area}",
        piece.mm2,
        off,
        _why(found, n, off, float(delta_e_2000(wanted, predicted)), wanted, predicted),
        wanted,
        predicted,
        (int(at[0]), int(at[1])),
    )


def _why(found: Proposal, n: int, off: float, middle: float, wanted: Array, near: Array) -> str:
    own = float(found.free[n])
    if found.easel.wanted.shut[n]:
        return "Bleach lies there already: no wash goes over it."
    if own > CANT_DE00 and found.easel.lying is not None:
        there = found.easel.bare_lab[found.easel.wanted.first[n], 0]
        if there < wanted[0] - DARKER_L:
            return "What is laid there already is darker than that, and a wash only darkens it."
    if own > CANT_DE00:
        return f"No wash of these bottles gives it; {words_of(near)} is nearest. {_side(wanted)}"
    if middle < SHAPE_SHARE * off:
        return "Its middle is right; it holds shapes or edges finer than these steps paint."
    if own > off - NEARER_DE00:
        return "Its own colour is uneven: no one wash comes nearer."
    others = [k for k, stack in enumerate(found.draft.stacks) if stack == found.draft.stacks[n]]
    if not found.draft.stacks[n]:
        left = "bare paper" if found.easel.lying is None else "it is"
        return f"Left as {left}: a step of its own would bring it to {own:.1f}."
    if len(others) > 1:
        return f"It shares its washes with others; a step of its own would bring it to {own:.1f}."
    return f"Its mix is bound to a well or to whole drops; freely mixed it would be {own:.1f}."


def _side(wanted: Array) -> str:
    """In which way a colour lies beyond the bottles."""
    L, C = float(wanted[0]), float(np.hypot(wanted[1], wanted[2]))
    if L > 92:
        return "It is lighter than the paper takes it."
    if L < 25:
        return "It is darker than two coats of them."
    return "It is more vivid than they are at that value." if C > 30 else "Look at its value first."


def why_nothing(found: Proposal) -> str:
    """Why no step of a proposal is to be laid, in a sentence."""
    easel = found.easel
    if delta_e_2000(easel.bare_lab, easel.bottles.paper_lab).max() < AS_PAPER_DE00:
        return "The rough is as light as the bare paper there: nothing is to be laid."
    if easel.wanted.shut.any():
        return "Bleach lies there already: no wash goes over it."
    off = f"{found.mean:.1f} (CIEDE2000) on average"
    if found.mean < SEEN_DE00:
        return (
            f"What lies there is near the rough already, off by {off}: nothing more is to be laid."
        )
    return (
        f"What lies there is off the rough by {off}, and no wash over it brings it nearer: leave "
        "it out, and ask again."
    )


def summary(found: Proposal) -> list[str]:
    """How near it comes, in sentences."""
    steps, wells = number_of(len(found.made.new), "step"), number_of(len(found.made.wells), "well")
    told = [
        f"{steps} from {wells}, laid over the sheet by {found.laid.how}.",
        f"Off what is wanted by {found.mean:.1f} (CIEDE2000) on average; "
        f"{percent(found.within(6))} of the sheet within 6. Free colours for every area would "
        f"come to {found.bound:.1f}.",
    ]
    if before := found.made.before:
        told.append(
            f"They go over the {before} {'step that is' if before == 1 else 'steps that are'} in "
            "the scene already; --anew leaves those out."
        )
    if found.left_out:
        told.append("The scene's first washes, which are there to be changed, are left out.")
    if found.stopped:
        told.append("Stopped early: this is the best so far.")
    return [*told, *found.laid.notes]


def _prices(allowed: int) -> dict[str, float]:
    """What the search pays for, of so many steps that are allowed."""
    return {
        "step_de00": round(STEPS_PRICE / allowed, 4),
        "drop_de00": DROP_PRICE,
        "glaze_over_another_de00": OVER,
        "shadow_not_its_own_wash_de00": UNSHADED,
        "painted_round_steps": ROUND,
        "covered_steps": COVERED,
        "covering_at_all_steps": COVERING,
        "lifted_steps": LIFTED,
        "bleach_step_or_rinse_steps": LIFTING,
        "further_touch_steps": TOUCH,
        "value_step_a_lift_may_fall_short_steps": UNSURE,
    }


def as_dict(found: Proposal, places: Sequence[Shortfall], doubt: Unsure) -> dict[str, Any]:
    """For JSON."""
    return {
        "steps": len(found.made.new),
        "steps_before": found.made.before,
        "wells": dict(found.made.wells),
        "laid_by": found.laid.how,
        "mean_de00": round(found.mean, 2),
        "share_within_6": round(found.within(6), 4),
        "bound_de00": round(found.bound, 2),
        "stopped_early": found.stopped,
        "plan_minds": found.minded,
        "prices": _prices(found.allowed),
        "differs": [place.as_dict() for place in places],
        "sure": doubt.as_dict(),
        "lighter_places": [one.as_dict() for one in found.bare],
        "notes": list(found.laid.notes),
        **({"caution": CAUTION} if found.bare else {}),
    }
