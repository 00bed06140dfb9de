"""Sittings without a window, left at any byte of their journal: thousands of ends in minutes.

Deeds of every kind are done on the desk's own rooms; after some of them the folder is copied as a
kill would leave it, its log cut short by chance, and opened as the next start does. What is found
has to be what was done, or all but the deed whose entry was cut. Every so often the work goes on
from what was found.
"""

from __future__ import annotations

import hashlib
import json
import random
import shutil
import tempfile
from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path

import numpy as np

from glaze.errors import InputError
from tests.small_scenes import BENCH, LIFTED, write_sketch
from viewer.core import drafting
from viewer.core.brush import Brush
from viewer.core.drafting import Draft, unused_regions, without_regions
from viewer.core.journal import Journal
from viewer.core.keep import open_any, save
from viewer.core.laying import Laying
from viewer.core.opened import RESERVE
from viewer.core.recovery import HEAD, NOTE, left_behind, logs_in, recover
from viewer.core.sitting import Sitting
from viewer.core.squares import Squares
from viewer.core.versions import go_on_from, keep_version

MIXES = ("Blue 1 + water 6", "Red 1 + water 9", "Black 1 + water 12", "Yellow 2 + water 5")
MOST_STEPS, MOST_VERSIONS = 12, 4
NOBODY = 2**22 + 1
"""A number no process has."""
IN_A_ROW, GOES_ON = 60, 0.15
"""Times that one scene is left behind, and the share of them that is gone on from."""
ENDS = "all of it", "all but the deed in hand"


def make_scene(folder: Path, text: str = BENCH) -> Path:
    """A scene with a sketch in a new folder; every kind of step if not told otherwise; made up."""
    (folder / "scene").mkdir(parents=True)
    write_sketch(folder / "scene" / "sketch.png")
    (folder / "scene" / "scene.toml").write_text(text, encoding="utf-8")
    return folder / "scene"


def told_of(sitting: Sitting, charges_wait: bool = False, versions: bool = True) -> str:
    """What a sitting holds in few letters: its steps, what is painted, the names of versions.

    Regions that nothing needs, and painted ones on which nothing lies, are none: they aren't saved.

    charges_wait : as it is once every charge is set aside
    versions : whether the names of versions count, which no deed takes back
    """
    masks, draft = sitting.masks, sitting.draft
    for step in draft.scene.steps if charges_wait else ():
        draft = draft if step.joins is None else drafting.without_charge(draft, step.name)
    draft = without_regions(draft, {name for name in masks if not masks[name].any()})
    draft = without_regions(draft, unused_regions(draft.scene) - {RESERVE})
    scene = draft.scene.model_dump(mode="json", by_alias=True, exclude_defaults=True)
    known = hashlib.sha1(json.dumps([scene, sorted(draft.aside)], sort_keys=True).encode())
    for name in sorted(draft.scene.regions):
        if draft.scene.regions[name].mask:
            known.update(name.encode() + np.ascontiguousarray(masks[name]).tobytes())
    if versions:
        known.update(json.dumps([version.name for version in sitting.versions]).encode())
    return known.hexdigest()[:16]


class Bench:
    """Somebody who does deeds on a sitting, drawn by number."""

    def __init__(self, sitting: Sitting, draw: random.Random) -> None:
        self.sitting, self.draw, self.laying = sitting, draw, Laying(sitting)

    def place(self) -> tuple[float, float]:
        """Anywhere on the sheet [mm]."""
        wide, high = self.sitting.size_mm
        return self.draw.uniform(1, wide - 1), self.draw.uniform(1, high - 1)

    def number(self) -> int | None:
        """Any step's number; None if there is none."""
        steps = len(self.sitting.scene.steps)
        return self.draw.randrange(steps) if steps else None

    def drafted(self, name: str, change: Callable[[Draft, int], Draft], merge: str = "") -> None:
        """Do what changes a step by its number."""
        if (number := self.number()) is not None:
            chosen = self.sitting.chosen
            self.sitting.do(name, change(self.sitting.draft, number), chosen=chosen, merge=merge)

    def stroke(self) -> None:
        """A stroke that begins a step, or goes on with the one in hand, or takes from it."""
        sitting, draw = self.sitting, self.draw
        if draw.random() < 0.5 and len(sitting.scene.steps) < MOST_STEPS:
            sitting.choose(None)
        elif draw.random() < 0.5:
            sitting.choose(self.number())
        brush = Brush(size_mm=draw.uniform(1, 8), damp=draw.random() < 0.3)
        kind = draw.choice(["wash", "wash", "lift", "water lift"])
        if sitting.chosen is None:
            sitting.hold(replace(sitting.hand, kind=kind, mix=draw.choice(MIXES)))
        sitting.hold(replace(sitting.hand, brush=brush))
        sitting.reserving = draw.random() < 0.1
        try:
            self.laying.press(self.place())
            for _ in range(draw.randint(0, 3)):
                self.laying.move([(self.place(), 1.0)])
            self.laying.up()
        finally:
            sitting.reserving = False

    def shape(self) -> None:
        """A ruled band."""
        if len(self.sitting.scene.steps) < MOST_STEPS:
            self.sitting.choose(None)
            self.laying.rule(self.place(), self.place())

    def dilute(self) -> None:
        """Another mix for a wash."""
        mix = f"Blue 1 + water {self.draw.randint(2, 40)}"
        kind = lambda d, n: d.scene.steps[n].kind  # noqa: E731
        change = drafting.with_changed_step
        self.drafted("mix", lambda d, n: change(d, n, mix=mix) if kind(d, n) == "wash" else d, "m")

    def order(self) -> None:
        """A step laid earlier or later."""
        self.drafted("order", lambda d, n: drafting.with_step_moved(d, n, self.number() or 0))

    def aside(self) -> None:
        """A step set aside, or laid again."""
        self.drafted("aside", lambda d, n: drafting.with_step_laid(d, n, n in d.aside))

    def take_out(self) -> None:
        """A step taken out."""
        if len(self.sitting.scene.steps) > 4:
            self.drafted("out", drafting.without_step)

    def back(self) -> None:
        """Some deeds taken back, and some of them done again."""
        for _ in range(self.draw.randint(1, 5)):
            self.sitting.take_back()
        for _ in range(self.draw.randint(0, 3)):
            self.sitting.do_again()

    def version(self) -> None:
        """A version kept; once there are some, gone on from one."""
        if len(self.sitting.versions) < MOST_VERSIONS:
            keep_version(self.sitting, f"kept {self.draw.random():.8f}")
        else:
            go_on_from(self.sitting, self.draw.choice(self.sitting.versions))

    def do_one(self) -> str:
        """Any deed, by name; what can't be done is refused, and nothing is changed."""
        name = self.draw.choices(list(DEEDS), weights=list(DEEDS.values()))[0]
        try:
            getattr(self, name)()
        except InputError:
            return f"{name}, refused"
        return name


DEEDS = {
    "stroke": 8, "shape": 1, "dilute": 2, "order": 2, "aside": 2, "take_out": 2, "back": 3,
    "version": 0.5,
}  # fmt: skip


class Told(Journal):
    """A journal that remembers what each of its entries was of."""

    def write(self, changes: Mapping[str, Squares]) -> None:
        """Write a deed down."""
        self.states = [*getattr(self, "states", [])[-3:], told_of(self.sitting)]
        super().write(changes)


def sitting_kills(count: int, seed: int = 13) -> tuple[Counter[str], list[str]]:
    """Leave sittings behind so many times; how each was found again, and what was lost."""
    draw, ends, wrong = random.Random(seed), Counter[str](), list[str]()
    place = Path(tempfile.mkdtemp(prefix="sittings-"))
    try:
        for scene in range(-(-count // IN_A_ROW)):
            folder = place / str(scene)
            sitting: Sitting | None = open_any(make_scene(folder, LIFTED))
            journal = Told(sitting, folder / "kept")
            for n in range(min(IN_A_ROW, count - scene * IN_A_ROW)):
                _do_some(sitting, draw)
                if draw.random() < 0.05:
                    save(sitting, folder / "scene")
                    journal.saved()
                home = folder / f"left {n}"
                end, found = _found_again(sitting, journal, home, draw)
                ends[end] += 1
                if end not in ENDS:
                    wrong.append(f"{scene}.{n}: {end}")
                if found is not None and draw.random() < GOES_ON:
                    sitting.close()
                    sitting, journal = found, Told(found, home, home / "one")
                    journal.write({})
                elif found is not None:
                    found.close()
            sitting.close()
            shutil.rmtree(folder)
    finally:
        shutil.rmtree(place, ignore_errors=True)
    return ends, wrong


def _do_some(sitting: Sitting, draw: random.Random) -> None:
    bench = Bench(sitting, draw)
    for _ in range(draw.randint(1, 4)):
        bench.do_one()
    if draw.random() < 0.3:
        sitting.finish()


def _found_again(
    sitting: Sitting, journal: Told, home: Path, draw: random.Random
) -> tuple[str, Sitting | None]:
    """What the next start finds after a kill now, and the sitting that it can go on with."""
    if not journal.folder.exists():
        return ENDS[0], None  # nothing was done yet
    shutil.copytree(journal.folder, home / "one")
    note = json.loads((home / "one" / NOTE).read_text())
    (home / "one" / NOTE).write_text(json.dumps({**note, "pid": NOBODY}))
    may_be, left = journal.states[-1:], left_behind(home)
    if left and draw.random() < 0.5 and _cut(home / "one", draw):
        may_be = journal.states[-2:]
    # what is still worked out may be refused: then it is as if it hadn't been done
    sitting.finish()
    may_be.append(told_of(sitting))
    if not left:
        saved = open_any(sitting.home)
        told = told_of(saved)
        saved.close()
        return (ENDS[0] if told in may_be else "what was saved isn't what was done"), None
    found = recover(left[0])
    told = told_of(found)
    if told not in may_be:
        return "what was done is lost", found
    return ENDS[told != may_be[-1]], found


def _cut(folder: Path, draw: random.Random) -> bool:
    """Take some bytes of the log's last entry away, where it isn't the only one."""
    (file,) = logs_in(folder)
    raw, starts, at = file.read_bytes(), [], 0
    while at < len(raw):
        starts.append(at)
        at += HEAD.size + HEAD.unpack_from(raw, at)[0]
    if len(starts) > 1:
        file.write_bytes(raw[: draw.randrange(starts[-1], len(raw))])
    return len(starts) > 1
