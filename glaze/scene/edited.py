"""A scene file changed in one place on the painter's word: comments and order stay.

The new text is read back before it is written, and what stood there is kept beside it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from itertools import count
from pathlib import Path

from glaze.errors import InputError
from glaze.picture.writing import together, write_whole
from glaze.record.incoming import read_bytes
from glaze.record.toml_text import toml_value
from glaze.scene.changed import Raw, raw_of
from glaze.scene.file import read_text, scene_of, scene_path
from glaze.scene.lines import step_blocks
from glaze.scene.records import Scene

ONE_LINE = r"(\"(?:[^\"\\]|\\.)*\"|'[^']*'|[-+.\w]+)"


def change_step(
    path: str | Path, scene: Scene, number: int, values: Mapping[str, str | int]
) -> Path:
    """Write other values for some keys of a step, or a new step after the last.

    Parameters
    ----------
    path : of the scene; `scene` is what was read from it
    number : of the step, an index from 0; one beyond the last for a new one
    values : by the keys of the file, the new step's in their order

    Returns
    -------
    kept : where the file as it was is kept

    Raises
    ------
    InputError
        When the file has changed since, or is written in a way that can't be changed in one place.
    """
    file = scene_path(path)
    before = read_bytes(file)
    text = before.decode("utf-8-sig")
    changed = _with_step(text, number, values)
    wanted = _raw_steps(scene_of(read_text(text), file.parent))
    if wanted != _raw_steps(scene):
        raise InputError(f"{file} was saved meanwhile and stays as it is; ask again.")
    wanted = [*wanted, {}][: max(len(wanted), number + 1)]
    wanted[number] = {**wanted[number], **values}
    try:
        right = _raw_steps(scene_of(read_text(changed), file.parent)) == wanted
    except InputError:
        right = False
    if not right:
        by_hand = "; ".join(f"{key} = {toml_value(value)}" for key, value in values.items())
        raise InputError(
            f"{file} is written in a way that can't be changed in one place, and stays as it is. "
            f"Write it by hand: {by_hand}."
        )
    return write_changed(file, changed.encode(), before)


def _raw_steps(scene: Scene) -> list[Raw]:
    return list(raw_of(scene).get("step", ()))


def _with_step(text: str, number: int, values: Mapping[str, str | int]) -> str:
    lines = text.splitlines(keepends=True)
    end = "\r\n" if lines and lines[0].endswith("\r\n") else "\n"
    new = [f"{key} = {toml_value(value)}{end}" for key, value in values.items()]
    blocks = list(step_blocks(lines))
    if number >= len(blocks):
        gap = end if text.endswith(("\n", "\r")) else 2 * end
        return "".join([text, gap, f"[[step]]{end}", *new])
    first, old = blocks[number]
    block = list(old)
    for line, (key, value) in zip(new, values.items(), strict=True):
        at = next((n for n, own in enumerate(block) if re.match(rf"\s*{key}\s*=", own)), None)
        if at is None:
            block.insert(1, line)
        else:
            block[at] = re.sub(
                rf"(\s*{key}\s*=\s*){ONE_LINE}",
                lambda found, value=value: found[1] + toml_value(value),  # type: ignore[misc]
                block[at],
                count=1,
            )
    return "".join([*lines[: first - 1], *block, *lines[first - 1 + len(old) :]])


def write_changed(path: Path, content: bytes, before: bytes) -> Path:
    """Change a file of the painter's on their word; gives where it is kept as it was.

    before : what it held when it was read; if that isn't so any more it stays as it is
    """
    if path.read_bytes() != before:
        raise InputError(f'"{path}" was saved meanwhile and stays as it is; ask again.')
    names = (path.with_name(f"{path.stem} before {n}{path.suffix}") for n in count(1))
    kept = next(name for name in names if not name.exists())
    with together():
        write_whole(kept, before)
        write_whole(path, content, changed=True)
    return kept
