"""Names and files in a scene: inks, papers, lights, regions, pictures - known and there, or told.

This reads the file's raw tables rather than the finished scene, so that wrong names are told
together with wrong values.
"""

from __future__ import annotations

import re
import shlex
from collections.abc import Iterator, Mapping
from graphlib import TopologicalSorter
from pathlib import Path
from typing import Any

from glaze.errors import InputError, unknown
from glaze.materials.ink import Palette, load_palette
from glaze.materials.mix import Mix, mix_line, mix_recipe, mix_wells, with_amount
from glaze.materials.paper import load_paper
from glaze.materials.recipe import check_amounts, parse_recipe
from glaze.picture.light import LIGHT_NAMES
from glaze.record.checks import file_in
from glaze.region.records import SHEET
from glaze.scene.records import WATERPROOF

Table = Mapping[str, Any]

_N = r"-?\d+(\.\d+)?"
COLOUR = rf"#[0-9a-fA-F]{{3,8}}|{_N}\s*,\s*{_N}\s*,\s*{_N}|{_N}\s*[A-Z]{{1,2}}\s+{_N}/{_N}|N\s*{_N}"
"""A colour as `glaze mix` takes it."""
MOST_DEEP = 20
"""Regions made from regions made from others; the scenes that come with glaze have up to four."""


def name_problems(raw: Table, folder: Path) -> list[str]:
    """One line for each name that isn't known and each file that isn't there."""
    palette, problems = _palette(raw, folder)
    problems += _of(lambda: load_paper(_name_or_file(folder, raw["paper"])), "paper", raw)
    problems += _of(lambda: file_in(folder, raw["sketch"]), "sketch", raw)
    light = raw.get("light")
    if isinstance(light, str) and light.strip().upper() not in map(str.upper, LIGHT_NAMES):
        problems.append(f"light: {unknown('light', light, LIGHT_NAMES)}")
    line = raw.get("line")
    if palette and isinstance(line, str) and line != WATERPROOF:
        problems += _told("line", lambda: palette.ink(line), f' Or "{WATERPROOF}".')
    kept = raw.get("areas")
    if isinstance(kept, dict) and isinstance(kept.get("numbered"), str):
        problems += _told("areas.numbered", lambda: file_in(folder, kept["numbered"]))
    problems += _mixes(raw, palette)
    problems += _joins(raw)
    problems += _regions(raw, folder)
    return problems


def _told(place: str, action: Any, more: str = "") -> list[str]:
    """What an action has to say against the input, with its place in front."""
    try:
        action()
    except InputError as error:
        return [f"{place}: {problem}{more}" for problem in error.problems]
    return []


def _of(action: Any, key: str, raw: Table) -> list[str]:
    return _told(key, action) if isinstance(raw.get(key), str) else []


def _name_or_file(folder: Path, name: str) -> str | Path:
    return file_in(folder, name) if name.endswith(".toml") else name


def _palette(raw: Table, folder: Path) -> tuple[Palette | None, list[str]]:
    if not isinstance(raw.get("palette"), str):
        return None, []
    try:
        return load_palette(_name_or_file(folder, raw["palette"])), []
    except InputError as error:
        return None, [f"palette: {problem}" for problem in error.problems]


def _tables(value: Any) -> Iterator[tuple[str, Table]]:
    if isinstance(value, dict):
        yield from ((name, part) for name, part in value.items() if isinstance(part, dict))


def _steps(raw: Table) -> Iterator[tuple[str, Table]]:
    steps = raw.get("step")
    for number, step in enumerate(_listed(steps), 1):
        if isinstance(step, dict):
            yield f"step[{number}]", step


def _mixes(raw: Table, palette: Palette | None) -> list[str]:
    """Recipes that can't be mixed, in wells and washes."""
    given = raw.get("well")
    texts = (
        {k: v for k, v in given.items() if isinstance(v, str)} if isinstance(given, dict) else {}
    )
    problems = []
    wells: dict[str, Mix] = {}
    if palette:
        try:
            wells = mix_wells(texts, palette)
        except InputError as error:
            problems += list(error.problems)
            # a well that can't be mixed is still a known name in the washes
            wells = dict.fromkeys(texts, mix_recipe("water 1", palette))
    for place, step in _steps(raw):
        if isinstance(step.get("mix"), str):
            more = _as_colour(step["mix"])
            problems += _told(f"{place}.mix", _mixing(step["mix"], palette, wells), more)
    return problems


def _as_colour(text: str) -> str:
    """What helps where a colour stands in place of a recipe: hex, L,a,b or Munsell notation."""
    if not re.fullmatch(COLOUR, text.strip()):
        return ""
    return f" That is a colour; this finds the drops that make it: glaze mix {shlex.quote(text)}"


def _mixing(text: str, palette: Palette | None, wells: Mapping[str, Mix]) -> Any:
    """The act of mixing; without a palette only the recipe's form can be checked."""
    if palette:
        return lambda: mix_line(text, palette, wells)
    return lambda: check_amounts(parse_recipe(with_amount(text)))


def _joins(raw: Table) -> list[str]:
    """Steps that are laid into one that isn't there, or that comes later."""
    named = [(place, step, step.get("wash", step.get("charge"))) for place, step in _steps(raw)]
    names = [name for _, _, name in named if isinstance(name, str)]
    problems: list[str] = []
    before: list[str] = []
    for place, step, name in named:
        into = step.get("into")
        if isinstance(into, str) and into not in before:
            later = f'"{into}" comes later; put the wash first.'
            told = later if into in names else unknown("wash", into, before)
            problems.append(f"{place}.into: {told}")
        before += [name] if isinstance(name, str) else []
    return problems


def _regions(raw: Table, folder: Path) -> list[str]:
    given = raw.get("region")
    names = [*given, SHEET] if isinstance(given, dict) else [SHEET]
    problems = []
    if names.count(SHEET) > 1:
        problems.append(f"region.{SHEET}: that name is the whole sheet; call the region otherwise.")
    for name, region in _tables(given):
        problems += _region(f"region.{name}", region, names, folder)
    needs = _needs(given)
    round_ = [f"region.{circle[0]}: {_circle(circle)}" for circle in circles(needs)]
    problems += round_ or _too_deep(needs)
    for place, step in _steps(raw):
        where, graded = step.get("region"), step.get("graded")
        if isinstance(where, str) and where not in names:
            problems.append(f"{place}.region: {unknown('region', where, names)}")
        if isinstance(where, dict):
            problems += _region(f"{place}.region", where, names, folder)
        if isinstance(graded, dict) and isinstance(graded.get("picture"), str):
            problems += _told(
                f"{place}.graded.picture", lambda g=graded: file_in(folder, g["picture"])
            )
    return problems


def _listed(given: Any) -> list[Any]:
    return given if isinstance(given, list) else []


def _region(place: str, region: Table, names: list[str], folder: Path) -> list[str]:
    problems = []
    for key in ("union", "inside", "minus"):
        for other in _listed(region.get(key)):
            if isinstance(other, str) and other not in names:
                problems.append(f"{place}.{key}: {unknown('region', other, names)}")
    if isinstance(region.get("mask"), str):
        problems += _told(f"{place}.mask", lambda: file_in(folder, region["mask"]))
    return problems


def _needs(given: Any) -> dict[str, list[str]]:
    """The regions each region is made from."""
    return {
        name: [
            other
            for key in ("union", "inside", "minus")
            for other in _listed(region.get(key))
            if isinstance(other, str)
        ]
        for name, region in _tables(given)
    }


def _too_deep(needs: Mapping[str, list[str]]) -> list[str]:
    """A sentence where regions are made from regions that are made from regions, and so on."""
    depth: dict[str, int] = {}
    for name in TopologicalSorter(needs).static_order():
        depth[name] = 1 + max((depth[other] for other in needs.get(name, ())), default=0)
    deepest = max(depth, key=lambda name: depth[name], default="")
    if depth.get(deepest, 0) <= MOST_DEEP:
        return []
    return [
        f"region.{deepest}: is made from regions that are made from others, {depth[deepest]} deep; "
        f"allowed: {MOST_DEEP}. Write some of them as shapes of their own."
    ]


def _circle(names: list[str]) -> str:
    chain = " needs ".join([*names, names[0]])
    return f"regions go round in a circle: {chain}. Take one of these names out."


def circles(needs: Mapping[str, list[str]]) -> list[list[str]]:
    """Chains of names that lead back to their start, each told once."""
    done: set[str] = set()
    found: list[list[str]] = []
    for start in needs:
        path: list[str] = []
        branches = [iter([start])]
        while branches:
            name = next(branches[-1], None)
            if name is None:
                branches.pop()
                done.add(path.pop()) if path else None
            elif name in path:
                found.append(path[path.index(name) :])
            elif name in needs and name not in done:
                path.append(name)
                branches.append(iter(needs[name]))
    return found
