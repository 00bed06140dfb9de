# ruff: noqa: E501 - lists of words read best in long lines
"""Seeded cases of everything a painter can give, good, odd and broken; each is a command to run."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable
from pathlib import Path
from random import Random

import numpy as np
from PIL import Image

from tests.reliability.scenes_at_ends import scene_at_ends

Case = list[str]
"""A command's words; the first may be `unpack`, which opens a .zip as the window does."""

NUMBERS = ("0", "1", "-1", "1e308", "-1e-320", "nan", "inf", "1,5", "", "9" * 400, "½", "1e-9")
WORDS = (
    *("Blue", "Black 1 + water 4", "Blue 0 + water 4", "Red 0 ml", "neat", "1+4", "paper", "none"),
    *(
        "#2f6f6a",
        "42,-21,-3",
        "5BG 4/4",
        "N 6",
        "no.png@5,5",
        "a\x1b]0;b\x07",
        "x" * 5000,
        "+",
        "@",
    ),
    *(
        "Blue 1 + " * 60,
        "Blue -1",
        "Blue 1e400",
        "water 4",
        "💧 1",
        "=",
        ",,,",
        "Blue 3 + Yellow 2",
    ),
)
ODD_TOML = (
    "[" * 3000, "a = " + "[" * 2000, "a = " + "9" * 5000, "a = 1" + "0" * 400, "a = nan", "a = -inf",
    'title = "\\u001b[31m"', "\x00", "a = 1e999", '"\\u0007" = 1', "step = 3", "[[step]]\nstep = []",
    "region = []", "well = 4", "format = true", "= =", "a.b.c.d = 1\na = 2",
)  # fmt: skip


def scene_case(random: Random, folder: Path) -> Case:
    """A scene at the ends of its ranges, through a command that takes one."""
    (folder / "scene.toml").write_text(scene_at_ends(random, folder), encoding="utf-8")
    scene, out = str(folder), str(folder / "out.png")
    views = ["value", "unlifted", "before-after", "stacked-stirred", "five-values", "protan"]
    return random.choice(
        [
            ["check", scene],
            ["preview", scene, "-o", out, "--json"],
            ["preview", scene, "-o", out, "--view", random.choice(views)],
            ["preview", scene, "-o", out, "--scale", random.choice(["0.1", "1e-320", "0.5"])],
            ["preview", scene, "-o", out, "--crop", f"0,0,{random.choice(NUMBERS)},5"],
            ["preview", scene, "-o", out, "--neon", "--light", "A"],
            ["plan", scene],
            ["plan", scene, "--json"],
            ["plan", scene, "--card", str(folder / "card.svg")],
            [
                "reach",
                scene,
                "-o",
                str(folder / "reach.svg"),
                "--touches",
                "1",
                "--strengths",
                "1+4",
            ],
        ]
    )


def broken_scene_case(random: Random, folder: Path) -> Case:
    """A scene file with something cut out, doubled or put in."""
    text = scene_at_ends(random, folder)
    for _ in range(random.randint(1, 4)):
        text = _damaged_text(random, text)
    (folder / "scene.toml").write_text(text, encoding="utf-8", errors="replace")
    return [random.choice(["check", "plan"]), str(folder)]


def _damaged_text(random: Random, text: str) -> str:
    at, to = sorted(random.randrange(len(text) + 1) for _ in range(2))
    lines = text.splitlines() or [""]
    line = random.randrange(len(lines))
    return random.choice(
        [
            text[:at] + text[to:][:4000],
            text[:at] + random.choice(ODD_TOML) + text[at:],
            text + "\n" + random.choice(ODD_TOML),
            "\n".join([*lines[:line], lines[line], *lines[line:]]),
            "\n".join(lines[:line] + lines[line + 1 :]),
            text.replace("0", random.choice(["-0", "1e308", "[]", "''", "9" * 30]), 1),
        ]
    )


OWN_INK = """based_on = "lifting"
note = "mine"
[[ink]]
name = "Mine"
key = "M"
dyes_g_per_l = { "Acid Blue 9" = 5.0 }
drops_per_ml = 30
"""
OWN_PAPER = """based_on = "white cartridge"
surface_reflectance = 0.04
reflectance = [[400, 0.8], [700, 0.9]]
"""


def table_case(random: Random, folder: Path) -> Case:
    """A file of own inks or of a paper, whole or damaged."""
    text, option = random.choice([(OWN_INK, "--palette"), (OWN_PAPER, "--paper")])
    for _ in range(random.randint(0, 3)):
        text = _damaged_text(random, text)
    file = folder / "own.toml"
    file.write_text(text, encoding="utf-8", errors="replace")
    return ["wet", "Blue 1 + water 4", option, str(file)]


def picture_case(random: Random, folder: Path) -> Case:
    """A picture with bytes turned, cut off or put in, as a sketch or a colour."""
    kind = random.choice(["PNG", "JPEG", "TIFF"])
    mode = random.choice(["L", "RGB", "RGBA", "1", "P", "CMYK", "I;16"])
    image = Image.fromarray(np.arange(35 * 30 * 3, dtype=np.uint8).reshape(35, 30, 3))
    image = (
        Image.fromarray(np.full((9, 9), 9, np.uint16)) if mode == "I;16" else image.convert(mode)
    )
    content = io.BytesIO()
    try:
        image.save(content, kind, dpi=(random.choice([1, 72, 300, 1e6]),) * 2)
    except (OSError, ValueError, OverflowError):
        content = io.BytesIO()
        image.convert("RGB").save(content, kind)
    data = bytearray(content.getvalue())
    for _ in range(random.choice([0, 1, 3, 30])):
        data[random.randrange(len(data))] = random.randrange(256)
    if random.random() < 0.2:
        del data[random.randrange(len(data)) :]
    file = folder / "picture.png"
    file.write_bytes(data)
    sizes = ["210x148", "0x0", "nanx5", "1e9x1e9", "5x5"]
    return random.choice(
        [
            ["new", str(file), "-o", str(folder / "made")],
            ["new", str(file), "-o", str(folder / "made"), "--size", random.choice(sizes)],
            ["new", str(file), "-o", str(folder / "made"), "--dpi", random.choice(NUMBERS)],
            ["mix", f"{file}@{random.choice(['1,1', '8,8', '999999,1', 'a,b', '-1,-1'])}"],
        ]
    )


def words_case(random: Random, folder: Path) -> Case:
    """A question with any words and options."""
    word = lambda: random.choice(WORDS) if random.random() < 0.8 else random.choice(NUMBERS)  # noqa: E731
    case = random.choice(
        [
            ["wet", word()],
            ["wet", word(), "--on", word()],
            ["keep", word(), "--mlxh", random.choice(NUMBERS)],
            ["lights", word()],
            ["room", word()],
            ["shadow", word()],
            ["shadow", word(), "--darker", random.choice(NUMBERS)],
            ["mix", word()],
            ["name", word()],
            ["chart", "wheel", "-o", str(folder / "w.svg"), "--segments", random.choice(NUMBERS)],
            ["chart", "ladder", "-o", str(folder / "l.svg"), "--of", word()],
            ["chart", "fringe", "-o", random.choice(["", ".", str(folder / "f.pdf")])],
            ["inks", "--palette", word()],
            ["preview", word(), "-o", word()],
            ["example", word(), str(folder / "e")],
            [word(), word()],
        ]
    )
    if random.random() < 0.3:
        case += [random.choice(["--paper", "--palette", "--light", "--dropper", "--json"])]
        case += [word()] if case[-1] != "--json" else []
    return case


def zip_case(random: Random, folder: Path) -> Case:
    """A .zip of a scene, damaged or an attack, opened as the window opens it."""
    (folder / "scene").mkdir()
    text = scene_at_ends(random, folder / "scene")
    content = io.BytesIO()
    how = random.choice([zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED, zipfile.ZIP_LZMA])
    with zipfile.ZipFile(content, "w", how) as packed:
        packed.writestr(random.choice(["scene.toml", "a/scene.toml", "no.toml"]), text)
        for file in (folder / "scene").iterdir():
            packed.writestr(file.name, file.read_bytes())
        asides = ["[]", "[[0, Infinity]]", "[[1e999, {}]]", "{", "[[0, {}]]", "NaN", '{"a": 1}',
                  "[[999999999999, {}]]", "[" * 3000, '[[0, {"wash": "a"}]]']  # fmt: skip
        packed.writestr("aside.json", random.choice(asides))
        if random.random() < 0.2:
            packed.writestr(
                random.choice(["../out", "/abs", "C:x", "a/../../b", "scene.toml/x"]), "x"
            )
    data = bytearray(content.getvalue())
    for _ in range(random.choice([0, 0, 1, 3, 20])):
        data[random.randrange(len(data))] = random.randrange(256)
    if random.random() < 0.1:
        del data[random.randrange(len(data)) :]
    (folder / "s.zip").write_bytes(data)
    return ["unpack", str(folder / "s.zip")]


Kinds = dict[str, tuple[int, Callable[[Random, Path], Case]]]
"""Each kind's share and its maker."""

KINDS: Kinds = {
    "scenes at the ends of their ranges": (2, scene_case),
    "broken scene files": (6, broken_scene_case),
    "own inks and papers": (4, table_case),
    "pictures": (3, picture_case),
    "words and options": (3, words_case),
    "zips": (2, zip_case),
}


def case_of(seed: int, folder: Path, kinds: Kinds = KINDS) -> tuple[str, Case]:
    """One case by its number: its kind and its command; the folder is empty and holds its files."""
    random = Random(seed)
    kind = random.choices(list(kinds), [share for share, _ in kinds.values()])[0]
    return kind, kinds[kind][1](random, folder)
