"""A command on a class: every scene of a folder in one go, and a table of what came of each."""

from __future__ import annotations

import importlib
import inspect
import tempfile
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from glaze.cli.screen import columns
from glaze.cli.show import Answer, caution_lines, refuse_idle, working
from glaze.errors import InputError, number_of

if TYPE_CHECKING:
    from glaze.sheet.memory import Memory

Command = Callable[..., Any]


def scheduler_option(command: Command) -> Command:
    """Where many jobs of work are done."""
    return click.option(
        "--scheduler",
        default=None,
        metavar="ADDRESS",
        help="Spread the work over a running dask cluster, as tcp://127.0.0.1:8786.",
    )(command)


Closing = Callable[[Mapping[str, "Done"], Mapping[str, Path]], tuple[dict[str, Any], list[str]]]
"""What is said of all scenes together, for JSON and in lines, from each by its name and the folders
that were asked for, by option."""


@dataclass(frozen=True)
class Done:
    """What a command said of one scene.

    scene : its path
    found : as its JSON
    files : what it wrote, by the option that named it and the end of its name
    """

    scene: str
    found: Mapping[str, Any]
    files: Mapping[tuple[str, str], bytes]


@dataclass(frozen=True)
class Class:
    """How a command takes a folder of scenes.

    says : cells of a row that tell what came of a scene, from its JSON
    closing : what is said of all together
    endings : the options that name a file, and how its name ends for a class
    alone : options that are for a single scene
    """

    says: Callable[[Mapping[str, Any]], Sequence[str]]
    closing: Closing = lambda done, places: ({}, [])
    endings: Mapping[str, str] = field(default_factory=dict)
    alone: Sequence[str] = ()


def each_scene(how: Class) -> Callable[[Callable[..., Answer]], Callable[..., Answer]]:
    """Let a command on a scene also take a folder of scenes, each worked out by itself.

    What it writes is then written into a folder, a file named for each scene. One scene's mistakes
    stop no other, and are told with exit code 2.
    """

    def made(command: Callable[..., Answer]) -> Callable[..., Answer]:
        @wraps(command)
        def told(scene_path: str, scheduler: str | None = None, **options: Any) -> Answer:
            scenes = scenes_in(Path(scene_path))
            if scenes:
                return _class(command, scenes, scheduler, options, how)
            refuse_idle("scheduler", "is for a folder of scenes; a single one is done here")
            return command(scene_path, **options)

        return scheduler_option(told)

    return made


def scenes_in(folder: Path) -> list[Path]:
    """The scenes that lie in a folder which is none itself."""
    from glaze.scene.file import FILE

    try:
        if not folder.is_dir() or (folder / FILE).exists():
            return []
        return sorted(one for one in folder.iterdir() if (one / FILE).is_file())
    except (OSError, ValueError):  # no name of a folder, or none that may be read
        return []


def _class(
    command: Callable[..., Answer],
    scenes: Sequence[Path],
    scheduler: str | None,
    options: dict[str, Any],
    how: Class,
) -> Answer:
    """The command on every scene: written, then told in a table."""
    from glaze.picture.writing import together
    from glaze.planning.many.spread import Job, done

    refuse_idle(" ".join(how.alone), "is for a single scene")
    places = {
        option: Path(value) for option in how.endings if (value := options.get(option)) is not None
    }
    for place in places.values():
        if place.suffix or place.is_file():
            raise InputError(
                f'"{place}": for a folder of scenes name a folder too; each scene gets a file in '
                "it."
            )
    names = f"{command.__module__}:{command.__name__}"
    endings = {option: how.endings[option] for option in places}
    jobs = [Job(str(s), (str(s), names, options, endings, _given())) for s in scenes]
    with working(number_of(len(scenes), "scene")) as share:
        found = done(one_of_many, jobs, scheduler, share)
    by_name = {scene.name: one for scene, one in zip(scenes, found, strict=True)}
    right = {name: one for name, one in by_name.items() if isinstance(one, Done)}
    with together():
        files = list(_written(right, places))
        more, last = how.closing(right, places)
    caution = _caution(right.values())
    content = {
        "scenes": {name: _as_dict(one) for name, one in by_name.items()},
        "files": [str(file) for file in files],
        **more,
        "notes": caution,
    }
    lines = [*_lines(by_name, right, how), *_counted(files), *last, *caution]
    return content, lines, 2 if len(right) < len(by_name) else 0


def _given() -> list[str]:
    """Names of the options that stand on the command line."""
    context = click.get_current_context()
    source = click.core.ParameterSource.COMMANDLINE
    return [name for name in context.params if context.get_parameter_source(name) is source]


def one_of_many(
    here: str,
    _memory: Memory | None,
    scene: str,
    command: str,
    options: Mapping[str, Any],
    endings: Mapping[str, str],
    given: Sequence[str],
) -> Done:
    """A command on one scene of many, as it would be alone; what it writes is handed back.

    here : where the scene lies for now; scene : where it lies for who asked
    command : as module:function
    given : options that count as given
    """
    from glaze.picture.writing import together

    module, name = command.split(":")
    shown = getattr(importlib.import_module(module), name)
    alone = inspect.unwrap(shown.callback)
    with tempfile.TemporaryDirectory(prefix="glaze-") as folder, click.Context(shown) as context:
        context.params = {"as_json": True}  # no bar of its own
        for option in given:
            context.set_parameter_source(option, click.core.ParameterSource.COMMANDLINE)
        own = {option: str(Path(folder) / f"{option}{end}") for option, end in endings.items()}
        with together():
            found, *_ = alone(here, **{**options, **own})
            found = found() if callable(found) else found
        # a file's later pages have names of their own
        files = {
            (option, file.name.removeprefix(option)): file.read_bytes()
            for option in endings
            for file in sorted(Path(folder).glob(f"{option}*"))
        }
    there = {here: scene} | {
        str(Path(folder) / option): str(Path(options[option]) / Path(scene).name)
        for option in endings
    }
    return Done(scene, _moved(found, there), files)


def _moved(found: Any, there: Mapping[str, str]) -> Any:
    """The same with paths as they are for who asked."""
    if isinstance(found, Mapping):
        return {key: _moved(value, there) for key, value in found.items()}
    if isinstance(found, list | tuple):
        return [_moved(value, there) for value in found]
    if isinstance(found, str):
        for here, path in there.items():
            found = found.replace(here, path)
    return found


def _written(right: Mapping[str, Done], places: Mapping[str, Path]) -> Iterator[Path]:
    """Write what the scenes gave, each under its scene's name, all together."""
    from glaze.picture.writing import make_folder, write_whole

    for place in places.values():
        make_folder(place)
    for name, one in right.items():
        for (option, ending), content in one.files.items():
            file = places[option] / f"{name}{ending}"
            write_whole(file, content, named=False)
            yield file


def _as_dict(one: Done | InputError) -> dict[str, Any]:
    if isinstance(one, InputError):
        return {"good": False, "problems": one.problems}
    return {**one.found, "good": True}


def _lines(
    by_name: Mapping[str, Done | InputError], right: Mapping[str, Done], how: Class
) -> Iterator[str]:
    """A row for each scene, then the mistakes of those that have some."""
    yield from columns([(name, *how.says(one.found)) for name, one in right.items()])
    for name, one in by_name.items():
        if isinstance(one, InputError):
            yield f"  {name} can't be:"
            yield from (f"    {problem}" for problem in one.problems)
    verb = "is" if len(right) == 1 else "are"
    yield f"{len(right)} of {number_of(len(by_name), 'scene')} {verb} good."


def _caution(right: Iterable[Done]) -> list[str]:
    """The line that goes with bleach, where any scene has it."""
    said = caution_lines(True)[0]
    return caution_lines(any("caution" in one.found or said in one.found["notes"] for one in right))


def _counted(files: Sequence[Path]) -> Iterator[str]:
    for folder, count in Counter(file.parent for file in files).items():
        yield f"{folder}: {number_of(count, 'file')} written."
