"""A disk and a memory that fail: the Nth call, a loss of power at every moment, kills.

Commands run in this process on a small scene. After each failure every file is as it was or new
and whole, and a failure is told in words.
"""

from __future__ import annotations

import contextlib
import io
import os
import random
import shutil
import tempfile
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
from PIL import Image

from glaze.cli.main import glaze
from glaze.errors import InputError
from glaze.picture.writable import OURS
from glaze.picture.writing import LITTER, together, write_whole
from tests.reliability.failing import Disk, memory

SCENE = """format = 1
palette = "lifting"
paper = "white cartridge"
sketch = "sketch.png"
[[step]]
wash = "sky"
mix = "Blue 1 + water 4"
region = { enclosed_at_mm = [5, 4] }
[[step]]
lift = "moon"
region = { ellipse_mm = { centre = [5, 4], radii = [1, 1] } }
"""
COMMANDS = {
    "picture": ("preview", "{scene}", "-o", "{out}/p.png"),
    "16 bits": ("preview", "{scene}", "-o", "{out}/p.tif"),
    "plan and card": ("plan", "{scene}", "--card", "{out}/card.svg"),
    "pages": ("chart", "wheel", "-o", "{out}/w.svg", "--segments", "6"),
    "new scene": ("new", "{scene}/sketch.png", "-o", "{out}/made"),
    "example": ("example", "lighthouse", "{out}/lighthouse"),
}
REPLACED = ("p.png", "p.tif", "card.svg", "w.svg")
"""Of these an earlier one lies there."""

Content = dict[str, bytes]


@contextlib.contextmanager
def table(name: str) -> Iterator[tuple[list[str], Path]]:
    """A folder with a scene and earlier files; gives a command's words and the folder."""
    home = Path(tempfile.mkdtemp(prefix="disk-"))
    try:
        scene, out = home / "scene", home / "out"
        scene.mkdir()
        out.mkdir()
        grey = np.full((32, 40), 255, np.uint8)
        grey[3:5, 3:37] = grey[27:29, 3:37] = grey[3:29, 3:5] = grey[3:29, 35:37] = 20
        Image.fromarray(grey).save(scene / "sketch.png", dpi=(101.6, 101.6))
        (scene / "scene.toml").write_text(SCENE, encoding="utf-8")
        for old in REPLACED:
            (out / old).write_bytes(b"old " + OURS[Path(old).suffix][0])  # else it would stay
        yield [word.format(scene=scene, out=out) for word in COMMANDS[name]], home
    finally:
        shutil.rmtree(home, ignore_errors=True)


def content(home: Path) -> Content:
    """All files of a folder but what lies beside its place."""
    files = (file for file in home.rglob("*") if file.is_file() and not LITTER.search(file.name))
    return {file.relative_to(home).as_posix(): file.read_bytes() for file in files}


def run(words: list[str]) -> str:
    """How a command ends: "done", "told", or the fault."""
    import click

    quiet = contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO())
    try:
        with quiet[0], quiet[1], together(command=True):
            glaze.main(words, standalone_mode=False, prog_name="glaze")
    except (InputError, click.ClickException, MemoryError):
        return "told"
    except OSError as error:
        return "told" if error.errno else f"{error!r}"
    except Exception as error:
        return f"{type(error).__name__}: {error}"
    return "done"


def disk_faults(name: str, every: int = 1) -> tuple[int, list[str]]:
    """A command with its Nth file call failing, for every N: how many, and what went wrong."""
    number, wrong = 0, []
    while True:
        number += every
        with table(name) as (words, home):
            before = content(home)
            with Disk(home, number) as disk:
                end = run(words)
            if not disk.failed:
                return number // every, wrong
            after = content(home)
            whole = after == before or (end == "done" and after.keys() >= before.keys())
            if end not in ("done", "told") or not whole:
                wrong.append(
                    f"{name}, call {number} ({disk.failed}): {end}, {_changed(before, after)}"
                )


def memory_faults(name: str, every: int = 1) -> tuple[int, list[str]]:
    """A command whose Nth field doesn't fit into memory, for every N."""
    undisturbed(name)  # libraries that are read in halves stay so
    number, wrong = 0, []
    while True:
        number += every
        with table(name) as (words, home):
            before = content(home)
            with memory(number) as asked:
                end = run(words)
            if asked[0] < number:
                return number // every, wrong
            after = content(home)
            if end not in ("done", "told") or (end == "told" and after != before):
                wrong.append(f"{name}, field {number}: {end}, {_changed(before, after)}")


def _changed(before: Content, after: Content) -> list[str]:
    return sorted(n for n in before | after if before.get(n) != after.get(n))


def power_losses(name: str) -> tuple[int, list[str]]:
    """The power fails after every call of a command: what a disk then holds is old or new, whole.

    Of a file only what was flushed is there. Names change in order, but as many of the latest as
    weren't flushed with their folder may be lost. Once a command has ended all is new.
    """
    with table(name) as (words, home):
        before = {str(home / n): data for n, data in content(home).items()}
        with Disk(home) as disk:
            assert run(words) == "done"
        after = {str(home / n): data for n, data in content(home).items()}
    count, wrong = 0, []
    for end in range(len(disk.notes) + 1):
        kept = _flushed_names(disk.notes[:end])
        for names in range(kept, end + 1):
            count += 1
            held = _after_power(before, disk.notes[:end], names)
            for path in held.keys() | before.keys():
                data = held.get(path)
                if not LITTER.search(path) and data not in (before.get(path), after.get(path)):
                    wrong.append(f"{name}, power lost after call {end}: half of {path}")
    last = _after_power(before, disk.notes, _flushed_names(disk.notes))
    if {path: data for path, data in last.items() if not LITTER.search(path)} != after:
        wrong.append(f"{name}: has ended, and isn't all on the disk")
    return count, wrong


def _flushed_names(notes: list[tuple[Any, ...]]) -> int:
    """How many of the calls have their names on the disk for sure: up to a folder's last flush."""
    flushed = [n for n, (call, place, *_) in enumerate(notes, 1) if call == "fsync" and
               not any(note[:2] == ("open", place) for note in notes)]  # fmt: skip
    return max(flushed, default=0)


def _after_power(before: Content, notes: list[tuple[Any, ...]], names: int) -> Content:
    """Files by path: flushed bytes under the names of the first so many calls."""
    files: dict[str, list[bytes]] = {path: [data, data] for path, data in before.items()}
    named = dict(files)
    for number, (call, path, *more) in enumerate(notes, 1):
        if call == "open" and set(more[0]) & set("wxa"):
            files[path] = [b"", b""]
        elif call == "write":
            files[path][0] += more[0]
        elif call == "fsync" and path in files:
            files[path][1] = files[path][0]
        elif call == "replace":
            files[more[0]] = files.pop(path)
        elif call == "link":
            files[more[0]] = files[path]
        elif call == "unlink":
            files.pop(path, None)
        if number <= names:
            named = dict(files)
    return {path: file[1] for path, file in named.items()}


def kills(count: int, seed: int = 14) -> tuple[Counter[str], list[str]]:
    """Commands killed at a call by chance: files are old or new, and the next run clears up."""
    draw, ends, wrong = random.Random(seed), Counter[str](), []
    whole = {name: undisturbed(name) for name in COMMANDS}
    for _ in range(count):
        name = draw.choice(list(COMMANDS))
        calls, after = whole[name]
        with table(name) as (words, home):
            before = content(home)
            child = os.fork()
            if child == 0:
                with Disk(home, draw.randint(1, calls + 1), deadly=True):
                    run(words)
                os._exit(0)
            os.waitpid(child, 0)
            found = content(home)
            half = [n for n in found if found[n] not in (before.get(n), after.get(n))]
            for folder in {file.parent for file in home.rglob("*")}:
                write_whole(folder / "next.txt", b"next")
            left = [file.name for file in home.rglob("*") if LITTER.fullmatch(file.name)]
            ends["old" if found == before else "new" if found == after else "some new"] += 1
            wrong += [f"{name}: half of {n}" for n in half] + [f"{name}: left {n}" for n in left]
    return ends, wrong


def undisturbed(name: str) -> tuple[int, Content]:
    """How many calls a command makes, and what it leaves."""
    with table(name) as (words, home), Disk(home) as disk:
        assert run(words) == "done"
        return len(disk.notes), content(home)
