"""What to say of wet work before it happens: time to charge, blooms, dyes that part, dry edges."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

import numpy as np

from glaze.materials.dye import Dye
from glaze.patch.table import Table
from glaze.physics.wet_film import shine_seconds
from glaze.scene.records import Scene
from glaze.step.charge_step import Charge
from glaze.step.passage import evaporation_m_per_s, sorptivity_of
from glaze.step.timing import MINUTES_PER_CM2, drying_in_room, spoken

BLOOMS = 2.0
"""From so many times the film that still stands, a charge pushes it aside. Guess."""
PARTS = 0.25
"""Dyes whose Rf differ by so much part so that it shows. Guess."""


def wet_words(scene: Scene, table: Table, areas_cm2: Sequence[float]) -> list[str]:
    """Sentences for the plan, in the order of the steps."""
    found: list[str] = []
    laid: dict[str, tuple[float, float]] = {}
    charged = {step.into for step in scene.steps if isinstance(step, Charge)}
    for step, area in zip(scene.steps, areas_cm2, strict=True):
        if step.liquid != "ink":
            continue
        film = step.film_ml_per_m2_on(table)
        found += _dry_edge(step.name, film, area, table)
        if isinstance(step, Charge) and step.into in laid:
            first, at = laid[step.into]
            found += _bloom(step, first, at + step.minutes, table)
            found += _parting(step.name, table.mix(step.mix).contents_g_per_l, table)
            laid[step.name] = first, at + step.minutes
        else:
            laid[step.name] = film, 0.0
        if step.name in charged and not isinstance(step, Charge):
            found.append(_time_to_charge(step.name, film, table))
    return found


def shine_minutes(film_ml_per_m2: float, table: Table) -> float:
    """Minutes until a film no longer stands on the paper: the air takes it, and the paper."""
    S = sorptivity_of(table.paper)
    evaporation = evaporation_m_per_s(table.room)
    return float(shine_seconds(film_ml_per_m2 * 1e-6, evaporation, S)) / 60.0


def _time_to_charge(name: str, film: float, table: Table) -> str:
    soft, dry = shine_minutes(film, table), drying_in_room(film, table.room)
    return (
        f'"{name}" takes a charge softly while it shines, for about {spoken(soft)} on this paper '
        f"and in this room; then it is damp and blooms, and after {spoken(dry)} it is dry. "
        "Assumed, within a factor of 2."
    )


def _bloom(step: Charge, film: float, at_minutes: float, table: Table) -> Iterator[str]:
    """A charge that is wetter than what it goes into."""
    S = sorptivity_of(table.paper)
    seconds = at_minutes * 60.0
    gone = evaporation_m_per_s(table.room) * seconds + S * float(np.sqrt(seconds))
    left = max(film - gone * 1e6, 0.0)
    if step.film_ml_per_m2 > BLOOMS * left:
        yield (
            f'"{step.name}" is wetter than what it goes into ({step.film_ml_per_m2:g} into about '
            f"{left:.0f} ml/m² that still stand): expect a bloom, a paler middle with a dark, "
            "crinkled edge some millimetres out. For a soft edge charge sooner or with less."
        )


def _parting(name: str, contents_g_per_l: Mapping[str, float], table: Table) -> Iterator[str]:
    """Dyes of a charge that run apart."""
    dyes = [d for d in table.dyes if d.name in contents_g_per_l]
    ranked = sorted(dyes, key=lambda dye: dye.retardation)
    if not ranked or ranked[-1].retardation - ranked[0].retardation < PARTS:
        return
    gaps = [b.retardation - a.retardation for a, b in pairwise(ranked)]
    at = 1 + gaps.index(max(gaps))
    yield (
        f'"{name}" parts where it runs: {_colours(ranked[at:])} goes ahead, '
        f"{_colours(ranked[:at])} stays behind."
    )


def _colours(dyes: Sequence[Dye]) -> str:
    return " and ".join(dict.fromkeys(dye.colour or dye.name for dye in dyes))


def _dry_edge(name: str, film: float, area_cm2: float, table: Table) -> Iterator[str]:
    """A wash so large that its first edge has dried when its last is laid."""
    laying, wet = area_cm2 * MINUTES_PER_CM2, shine_minutes(film, table)
    if laying > wet:
        yield (
            f'"{name}" takes about {spoken(laying)} to lay, but its film of {film:g} ml/m² stands '
            f"wet for {spoken(wet)}: its first edge dries before the last is reached. Lay more "
            "film, use a larger brush, wet the sheet first, or lay it in parts that end on a line."
        )
