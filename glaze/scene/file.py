"""Scene files: read with all mistakes told at once, checked for names and files, written whole.

`python -m glaze.scene.file` prints the JSON Schema that stands in docs/scene.schema.json.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

from glaze.errors import InputError
from glaze.picture.writing import write_whole
from glaze.record.incoming import read_bytes, read_toml, toml_of
from glaze.record.toml_text import toml_key, toml_lines
from glaze.scene.lines import with_lines

if TYPE_CHECKING:
    from glaze.scene.records import Scene

FILE = "scene.toml"


def load_scene(path: str | Path, *, with_sketch: bool = False) -> Scene:
    """The scene of a folder, or of a scene file.

    with_sketch : whether its sketch is wanted next: then it is begun to be read

    Raises
    ------
    InputError
        With every mistake of the file, one line each: file, place (steps and points count from
        1), what was found, what is allowed.
    """
    file = scene_path(path)
    raw = read_toml(file, file.name)
    if with_sketch:
        from glaze.scene.ahead import begin_sketch

        begin_sketch(raw, file.parent)
    try:
        return scene_of(raw, file.parent, file.name)
    except InputError as error:
        text = read_bytes(file).decode("utf-8-sig")
        raise InputError(with_lines(error.problems, text)) from None


def scene_of(raw: dict[str, Any], folder: str | Path, name: str = FILE) -> Scene:
    """A scene from the tables of its file; `name` stands in front of each mistake."""
    # the model is loaded here, where a scene is at hand
    from pydantic import ValidationError

    from glaze.record.mistakes import in_words
    from glaze.scene.names import name_problems
    from glaze.scene.records import Scene

    scene, problems = None, []
    try:
        # only the file's own keys: Python's names of the fields are not allowed beside them
        scene = Scene.model_validate(raw, by_alias=True, by_name=False)
    except ValidationError as error:
        problems = in_words(error)
    problems += name_problems(raw, Path(folder))
    if problems or scene is None:
        raise InputError([f"{name}: {problem}" for problem in dict.fromkeys(problems)])
    return scene.in_folder(folder)


def scene_path(path: str | Path) -> Path:
    """The scene file that a path means: the file itself or the scene.toml of a folder."""
    path = Path(path)
    try:
        file = path / FILE if path.is_dir() else path
        there = file.is_file()
    except (OSError, ValueError):
        there = False
    if not there:
        from glaze.scene.examples import example_names

        ours = f" `glaze example {path}` copies ours here." if str(path) in example_names() else ""
        raise InputError(
            f'There is no scene at "{path}". Give a folder with a {FILE} in it, or that file; '
            f"`glaze new SKETCH` makes one.{ours}"
        )
    return file


def read_text(text: str, name: str = FILE) -> dict[str, Any]:
    """A scene file's text as tables and values."""
    return toml_of(text, name)


def scene_text(scene: Scene) -> str:
    """The scene as the text of a scene file; what is left at its usual value isn't written."""
    values = scene.model_dump(by_alias=True, exclude_defaults=True)
    tables = {key: values.pop(key, None) or {} for key in ("room", "bleach", "areas", "well")}
    regions, steps = values.pop("region", {}), values.pop("step", ())
    blocks = [toml_lines(values)] if values else []
    blocks += [f"[{key}]\n{toml_lines(table)}" for key, table in tables.items() if table]
    blocks += [f"[region.{toml_key(name)}]\n{toml_lines(one)}" for name, one in regions.items()]
    blocks += [f"[[step]]\n{toml_lines(step)}" for step in steps]
    return "\n".join(blocks)


def write_scene(scene: Scene, path: str | Path | None = None) -> Path:
    """Write a scene file whole or not at all; by default to the scene.toml of its own folder."""
    file = scene.folder / FILE if path is None else Path(path)
    write_whole(file, scene_text(scene).encode("utf-8", "replace"))
    return file


def schema_text() -> str:
    """JSON Schema of scene files, for editors that complete and check as one types."""
    from glaze.scene.records import Scene

    schema = Scene.model_json_schema(by_alias=True)
    schema = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **schema,
        "title": "glaze scene, format 1",
    }
    return json.dumps(schema, indent=2, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    print(schema_text(), end="")
