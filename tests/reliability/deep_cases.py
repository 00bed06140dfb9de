# ruff: noqa: E501 - lists of words read best in long lines
"""Seeded cases that get past the door: good files of odd kinds (`deep_files.py`), through commands
that work long on them."""

from __future__ import annotations

from pathlib import Path
from random import Random
from typing import Any

from tests.reliability.cases import Case, Kinds
from tests.reliability.deep_files import (
    PAPERS,
    a_scene,
    measured,
    painted_sheet,
    photo_of,
    saved_as,
    seen_by,
    sheets_of,
    some_colours,
)
from tests.reliability.scenes_at_ends import INKS

PALETTES = ("lifting", "resistant")
LIGHTS = ("D65", "A", "FL11", "LED-B3", "D50")
HUES = ("teal", "deep brown", "#2f6f6a", "#000", "#ffffff", "#00ff00", "42,-21,-3", "0,0,0", "100,0,0", "5BG 4/4",
        "N 6", "N 0", "N 10", "10RP 9/2", "olive", "black", "white", "lilac", "50,120,-120")  # fmt: skip
STRENGTHS = ("neat", "1+4", "1+9", "1+100", "neat,1+4,1+9,1+19")


def mix_of(random: Random) -> str:
    """A recipe that is good, if rarely wise."""
    inks = random.sample(INKS, random.choice([1, 1, 2, 3, 4]))
    shares = [f"{ink} {random.choice([1, 2, 3, 7, 100])}" for ink in inks]
    return " + ".join([*shares, f"water {random.choice([0, 1, 4, 60, 1000])}"])


def hue_of(random: Random) -> str:
    """A bottle, a mix or washes over each other."""
    laid = [random.choice([mix_of(random), *INKS]) for _ in range(random.choice([1, 1, 2, 3]))]
    return " over ".join(laid)


def _some(random: Random, **options: Any) -> Case:
    """Some of these options, each with one of its values; "" for one that has none."""
    found = []
    for name, values in options.items():
        if random.random() < 0.3:
            value = str(random.choice(values))
            found += [f"--{name.replace('_', '-')}", *([value] if value else [])]
    return found


def _table(random: Random) -> Case:
    return _some(
        random, palette=PALETTES, paper=PAPERS, light=LIGHTS,
        dropper=["both 25", "ink 5, water 100", "ink 100, water 5"], json=[""],
    )  # fmt: skip


def _sheet(random: Random, folder: Path, name: str) -> Case:
    """Where a sheet goes, and how large and fine it is."""
    file = folder / f"{name}{random.choice(['.pdf', '.svg', '.png'])}"
    fine = {"dpi": [20, 50, 72]} if file.suffix == ".png" else {}
    return ["-o", str(file), *_some(random, page=["A5", "A4", "A4", "A3", "Letter"], **fine)]


def calibrate_case(random: Random, folder: Path) -> Case:
    """A painted swatch sheet, scanned or photographed, read back."""
    palette = random.choice(["lifting", "lifting", "resistant"])
    inks = random.choice([(), (), (), ("Blue",), ("Blue", "Black")])
    last = len(sheets_of(palette, inks)) - 1
    numbers = random.choice([[0], [0], [0, last], [0, *range(1, last)], [last], [0, 0]])
    factor, left = random.choice([1.0, 1.4, 0.05, 0.5, 0.8, 20.0]), random.choice([0, 0, 2, 3, 5])
    scans = []
    for n, number in enumerate(numbers):
        linear = painted_sheet(palette, number, factor, left, inks)
        scans.append(saved_as(random, seen_by(random, linear), folder / f"scan{n}"))
    more = {
        "paper": PAPERS, "fit": ["strength", "dyes", "measured"],
        "grey_card": [0.18, 0.5, 1, 0.001], "tint_from_scan": [""], "paper_out": [folder / "paper.toml"],
        "report": [folder / "report.pdf", folder / "report.svg", folder / "report.png"], "json": [""],
    }  # fmt: skip
    asked = ["--palette", palette, *(["--inks", ", ".join(inks)] if inks else [])]
    return ["calibrate", *scans, "-o", str(folder / "inks.toml"), *asked, *_some(random, **more)]


def spectra_case(random: Random, folder: Path) -> Case:
    """Strips that were measured, made inks."""
    file = measured(random, folder)
    more = {
        "paper_out": [folder / "paper.toml"], "report": [folder / "r.svg", folder / "r.pdf"], "json": [""],
    }  # fmt: skip
    return ["spectra", file, "-o", str(folder / "inks.toml"), *_some(random, **more)]


def compare_case(random: Random, folder: Path) -> Case:
    """A finished painting over its prediction: its own picture seen by a camera, or another's."""
    scene = a_scene(random, folder, sketched=random.random() < 0.8)
    made = photo_of if random.random() < 0.8 else None
    scan = made(random, scene, folder / "scan") if made else some_colours(random, folder, "scan")
    more = {"inks_out": [folder / "inks.toml"], "json": [""]}
    file = folder / f"report{random.choice(['.pdf', '.svg', '.png'])}"
    fine = {"dpi": [20, 72]} if file.suffix == ".png" else {}
    return ["compare", str(scene), scan, "-o", str(file), *_some(random, **more, **fine)]


def rough_case(random: Random, folder: Path) -> Case:
    """A colour rough of any mode and size, for a scene or for its sketch alone."""
    scene = a_scene(random, folder, sketched=random.random() < 0.8)
    sketch = scene / "sketch.png"
    if random.random() < 0.3:
        rough = photo_of(random, scene, folder / "rough")
    else:
        rough = some_colours(random, folder, "rough", sketch)
    what = [str(scene), rough]
    if sketch.is_file() and random.random() < 0.3:
        what = [str(sketch), rough, *_some(random, size=["60x45", "A7"])]
    more = {
        "wells": [1, 2, 6, 12], "effort": ["low", "middle"], "steps": [1, 2, 4], "corners": ["find", "0,0 33,0 33,33 0,33"],
        "areas": ["1", "1,2", "3,9"], "anew": [""], "page": ["A4", "Letter"], "json": [""],
    }  # fmt: skip
    chosen = _some(random, **more)
    if not {"--effort", "--steps"} & set(chosen):
        chosen += ["--steps", "3"]
    return ["rough", *what, "-o", str(folder / "found"), *chosen]


def vary_case(random: Random, folder: Path) -> Case:
    """A scene with many values."""
    scene = a_scene(random, folder)
    text = (scene / "scene.toml").read_text(encoding="utf-8")
    steps = [line for line in text.splitlines() if line.startswith(("wash", "lift", "water_lift"))]
    more: Case = []
    if steps and random.random() < 0.8:
        kind, name, *_ = random.choice(steps).split('"')
        many = ",".join(str(n) for n in range(1, random.choice([3, 7, 21])))
        options = {
            "wash": {"mix": [mix_of(random), f"{mix_of(random)}, {mix_of(random)}"], "coats": ["1,2", many], "parts": ["4,8", "neat,1+4", "0.01,1000"]},
            "lift": {"parts": ["neat,1+4", "1,100", many], "touches": ["1,3", many], "minutes": ["0.1,30"]},
        }.get(kind.split()[0], {"minutes": ["0.1,30", many]})  # fmt: skip
        more = ["--step", name, *_some(random, **options, aside=[""])]
        more += ["--aside"] if len(more) == 2 else []
    also = ["room.humidity_percent = 0, 98", "room.temperature_c = 5, 40", 'line = "Blue", "waterproof"',
            "bleach.percent = 1, 9", "dpi = 20, 30", "seed = 1, 2, 3", "size_mm = [5, 5]"]  # fmt: skip
    more += _some(
        random,
        paper=[", ".join(PAPERS), PAPERS[0]],
        light=["D65,A", "FL11"],
        palette=[",".join(PALETTES)],
        also=also,
    )
    return [
        "vary",
        str(scene),
        *more,
        *_sheet(random, folder, "ways"),
        *_some(random, turned=[""], json=[""]),
    ]


def reach_case(random: Random, folder: Path) -> Case:
    """How light bleach gets a scene back, against values wanted by name or by a picture."""
    scene = a_scene(random, folder)
    text = (scene / "scene.toml").read_text(encoding="utf-8")
    names = ["sheet", *(f"r{n}" for n in range(5) if f"[region.r{n}]" in text)]
    wanted = [f"{name}={value}" for name in names for value in (0, 5, 8.5, 10)]
    more = _some(random, strengths=STRENGTHS, touches=[1, 2, 3], want=wanted)
    if random.random() < 0.5:
        more += ["--want-picture", some_colours(random, folder, "want")]
    return ["reach", str(scene), *more, *_sheet(random, folder, "reach"), *_some(random, json=[""])]


def chart_case(random: Random, folder: Path) -> Case:
    """A chart of any palette, paper, light and page."""
    hue = lambda: hue_of(random)  # noqa: E731
    name, options = random.choice([
        ("wheel", {"segments": [6, 18, 72], "by": ["drops", "hue"], "inner": ["1+8", "none", "neat"], "shadow": INKS, "bleach": STRENGTHS[:4],
                       "primaries": ["Blue, Red, Yellow", "Black, Red, Blue"], "across": [20, 100, 180]}),
        ("ladder", {"of": [hue()], "over": [hue()], "coats_of": [mix_of(random)], "coats": [1, 8], "rungs": [2, 12],
                        "spacing": ["doubling", "even"], "shadow": INKS}),
        ("blocks", {"of": [mix_of(random)], "kinds": ["primaries", "secondaries, tertiaries"], "shadow": INKS, "wet": [""], "language": ["de", "fr"]}),
        ("tertiary", {"of": ["Yellow 3 + Red 3", mix_of(random)], "inner": ["1+4", "neat", "1+60"], "shadow": INKS}),
        ("gamut", {"and": PALETTES, "inks": ["Blue, Red", "Blue", "Blue, Red, Yellow, Black"], "space": ["munsell", "cielab"], "bleach": STRENGTHS[:4]}),
        ("fringe", {"of": [mix_of(random)]}),
        ("lift", {"curve": [mix_of(random)], "strengths": STRENGTHS, "touches": [1, 4], "shadow": ["1+8", "none"], "extras": [""], "minutes": [0.01, 30],
                      "tool": ["brush", "dip pen", "swab"], "percent": [0.01, 9], "age": [0, 60], "room": [5, 40], "no_csv": [""]}),
        ("swatches", {"inks": ["Blue", "Blue, Black"], "no_bleach": [""], "coats": [""]}),
    ])  # fmt: skip
    how = random.choice([[], ["--blank"], ["--half"]]) if name not in ("gamut", "swatches") else []
    return [
        "chart",
        name,
        *_some(random, **options),
        *how,
        *_sheet(random, folder, name),
        *_table(random),
    ]


def question_case(random: Random, folder: Path) -> Case:
    """A question about colours, mixes and bottles that has an answer."""
    hue, only = random.choice(HUES), [", ".join(random.sample(INKS, n)) for n in (1, 2, 3)]
    if random.random() < 0.2:
        hue = f"{some_colours(random, folder, 'photo')}@0,0"
    scene = ["--scene", str(a_scene(random, folder))] if random.random() < 0.3 else []
    case = random.choice([
        ["mix", hue, *_some(random, drops=[1, 2, 12, 30], inks=[1, 2, 3, 4], only=only)],
        ["name", mix_of(random), *_some(random, drops=[1, 12])],
        ["jar", random.choice([hue, mix_of(random)]), *_some(random, ml=[0.5, 30, 5000], marks=[0.01, 0.5, 10], name=["a", "é" * 60]),
         *random.choice([[], _sheet(random, folder, "jar")])],
        ["bottles", "nearest", hue], ["bottles", "mixable"], ["bottles", "lack", *_some(random, count=[1, 3], values=["light", "dark"])],
        ["bottles", "choose", str(random.choice([1, 3, 9])), *_some(random, have=only, bleach=["lifts", "stays"])],
        ["bottles", "beside", *random.sample(INKS, 2)],
        ["swatch", hue_of(random), *_some(random, shadow=INKS, output=[folder / "s.png"])],
        ["shadow", hue_of(random), random.choice(["--darker", "--value"]), str(random.choice([0.1, 2, 5, 9]))],
        ["room", hue_of(random)], ["wet", hue_of(random)], ["keep", hue_of(random)], ["lights", hue_of(random)],
    ])  # fmt: skip
    return [*case, *(scene or _table(random))]


def class_case(random: Random, folder: Path) -> Case:
    """A folder of several scenes, some of them perhaps no good, done in one go."""
    pupils = folder / "class"
    pupils.mkdir()
    for number in range(random.choice([1, 2, 4])):
        a_scene(random, pupils, f"pupil {number}")
    if random.random() < 0.2:
        (pupils / "pupil x").mkdir()
        (pupils / "pupil x" / "scene.toml").write_text("format = 1\n", encoding="utf-8")
    done = random.choice([["check"], ["plan"], ["preview", "-o", str(folder / "made")]])
    return [done[0], str(pupils), *done[1:], *_some(random, json=[""])]


DEEP: Kinds = {
    "swatch sheets read": (3, calibrate_case),
    "measured strips": (2, spectra_case),
    "paintings compared": (2, compare_case),
    "colour roughs": (2, rough_case),
    "values varied": (2, vary_case),
    "light got back": (2, reach_case),
    "charts": (4, chart_case),
    "questions of colours": (4, question_case),
    "classes": (1, class_case),
}
"""Each kind's share and its maker."""
