"""What a painter has decided: a scene, which of its steps are set aside, and changes of both.

Plain functions from one draft to the next; nothing here paints or remembers.
"""

from __future__ import annotations

from collections.abc import Iterable, Set
from dataclasses import dataclass, replace
from typing import Any
from zlib import crc32

from glaze.region.records import Region
from glaze.scene.records import Scene
from glaze.step.kind import Step
from glaze.step.kinds import step_of


@dataclass(frozen=True)
class Draft:
    """A scene with all its steps, and the numbers of those that are set aside for now."""

    scene: Scene
    aside: frozenset[int] = frozenset()

    @property
    def laid(self) -> Scene:
        """The scene as it is painted: without what is set aside."""
        steps = tuple(s for n, s in enumerate(self.scene.steps) if n not in self.aside)
        return changed(self.scene, steps=steps)

    def place(self, number: int) -> int | None:
        """Where a step stands among those that are painted; None if it is set aside."""
        if number in self.aside or not 0 <= number < len(self.scene.steps):
            return None
        return number - sum(other < number for other in self.aside)


def aside_told(draft: Draft) -> list[tuple[int, dict[str, Any]]]:
    """Numbers and keys of the steps that are set aside, as they are kept beside a scene file.

    They don't stand in the scene file itself, which is painted as it is, and which a charge that
    comes before its wash would spoil.
    """
    steps = draft.scene.steps
    return [
        (n, steps[n].model_dump(mode="json", by_alias=True, exclude_defaults=True))
        for n in sorted(draft.aside)
    ]


def with_aside(scene: Scene, told: Iterable[tuple[int, dict[str, Any]]]) -> Draft:
    """A scene as it is painted with what is set aside in its place again."""
    steps, noted = list(scene.steps), sorted((int(place), raw) for place, raw in told)
    for place, raw in noted:
        steps.insert(place, step_of(raw))
    return Draft(changed(scene, steps=tuple(steps)), frozenset(place for place, _ in noted))


def changed(record: Any, **values: Any) -> Any:
    """A record with some values changed, checked again.

    Raises
    ------
    InputError : in a painter's words
    """
    return record.model_copy(update=values)


def with_step(draft: Draft, step: Step, at: int | None = None) -> Draft:
    """A new step, last if no place is given."""
    at = len(draft.scene.steps) if at is None else at
    steps = (*draft.scene.steps[:at], step, *draft.scene.steps[at:])
    aside = frozenset(n + (n >= at) for n in draft.aside)
    return Draft(changed(draft.scene, steps=steps), aside)


def without_step(draft: Draft, number: int) -> Draft:
    """The draft with a step taken out; regions that only it used stay in the scene."""
    steps = tuple(s for n, s in enumerate(draft.scene.steps) if n != number)
    aside = frozenset(n - (n > number) for n in draft.aside if n != number)
    return Draft(changed(draft.scene, steps=steps), aside)


def with_changed_step(draft: Draft, number: int, **values: Any) -> Draft:
    """A step with some values changed."""
    step = changed(draft.scene.steps[number], **values)
    steps = tuple(step if n == number else s for n, s in enumerate(draft.scene.steps))
    return replace(draft, scene=changed(draft.scene, steps=steps))


def with_step_moved(draft: Draft, number: int, to: int) -> Draft:
    """A step laid earlier or later: it comes to stand at `to` in the new order."""
    order = list(range(len(draft.scene.steps)))
    order.insert(to, order.pop(number))
    steps = tuple(draft.scene.steps[n] for n in order)
    aside = frozenset(place for place, n in enumerate(order) if n in draft.aside)
    return Draft(changed(draft.scene, steps=steps), aside)


def with_step_laid(draft: Draft, number: int, laid: bool) -> Draft:
    """A step set aside, or laid again."""
    return replace(draft, aside=draft.aside - {number} if laid else draft.aside | {number})


def without_charge(draft: Draft, name: str) -> Draft:
    """A charge set aside, and with it what was put into it."""
    gone, aside = {name}, set(draft.aside)
    for number, step in enumerate(draft.scene.steps):
        if step.name in gone or step.joins in gone:
            gone.add(step.name)
            aside.add(number)
    return replace(draft, aside=frozenset(aside))


def with_region(draft: Draft, name: str, region: Region) -> Draft:
    """A region added or changed."""
    return replace(draft, scene=changed(draft.scene, regions={**draft.scene.regions, name: region}))


def with_gaps(draft: Draft, **values: Any) -> Draft:
    """Other gaps closed or left open between the sketch's lines."""
    return replace(draft, scene=changed(draft.scene, areas=changed(draft.scene.areas, **values)))


def with_mask(draft: Draft, name: str) -> Draft:
    """A painted region added, whose picture is written when it is saved."""
    if name in draft.scene.regions:
        return draft
    return with_region(draft, name, Region(mask=mask_file(name)))


def mask_file(region: str, content: bytes | None = None) -> str:
    """Name of the picture of a painted region in the scene's folder.

    content : what is in it, if it is to stay as it is; else it is written anew at each save
    """
    # two regions whose plain names agree must not share a file
    told = region.encode() if content is None else region.encode() + content
    return f"masks/{plain(region)}-{crc32(told):08x}.png"


def plain(name: str) -> str:
    """A name as files have it on any computer."""
    return "".join(c if c.isalnum() or c in "-_" else "-" for c in name.lower())[:40]


def without_regions(draft: Draft, names: Set[str]) -> Draft:
    """The draft without regions on which nothing lies, and without steps that lie only there."""
    if not names:
        return draft
    for number in reversed(range(len(draft.scene.steps))):
        if draft.scene.steps[number].region in names:
            draft = without_step(draft, number)
    regions = {
        name: _without_names(region, names)
        for name, region in draft.scene.regions.items()
        if name not in names
    }
    return replace(draft, scene=changed(draft.scene, regions=regions))


def unused_regions(scene: Scene) -> set[str]:
    """Regions that no step lies on, by itself or through another region."""
    waiting = [step.region for step in scene.steps]
    used: set[str] = set()
    while waiting:
        region = waiting.pop()
        if isinstance(region, str):
            if region in used or region not in scene.regions:
                continue
            used.add(region)
            region = scene.regions[region]
        waiting += region.needs
    return scene.regions.keys() - used


def _without_names(region: Region, names: Set[str]) -> Region:
    """A region that no longer needs regions on which nothing lies."""
    if not names & set(region.needs):
        return region
    values = {key: getattr(region, key) for key in region.model_fields_set}
    for key in ("union", "minus"):
        values[key] = tuple(name for name in getattr(region, key) if name not in names)
    return Region(**{key: value for key, value in values.items() if value})


def with_well(draft: Draft, name: str, recipe: str) -> Draft:
    """A well filled, or mixed anew."""
    return replace(draft, scene=changed(draft.scene, wells={**draft.scene.wells, name: recipe}))
