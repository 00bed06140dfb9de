"""A command on a class: every scene of a folder in one go, and a table of what came of each."""

from __future__ import annotations

import importlib
import inspect
import tempfile
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from glaze.cli.screen import columns
from glaze.cli.show import Answer, first_run_note, progress
from glaze.errors import InputError

OURS = {
    ".png": b"glaze:",
    ".pdf": b"/Creator (glaze: layered",
    ".html": b'<meta name="generator" content="glaze">',
}
"""What an earlier file of ours holds: another that is there already is left alone."""

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


@dataclass(frozen=True)
class Done:
    """What a command said of one scene.

    found : as its JSON
    files : what it wrote, by the option that named it and the end of its name
    """

    found: Mapping[str, Any]
    files: Mapping[tuple[str, str], bytes]


def each_scene(
    *, says: Callable[[Mapping[str, Any]], Sequence[str]], **endings: str
) -> Callable[[Callable[..., Answer]], Callable[..., Answer]]:
    """Let a command on a scene also take a folder of scenes, each worked out by itself.

    What it writes is then written into a folder, a file named for each scene. One scene's mistakes
    stop no other, and are told with exit code 2.

    Parameters
    ----------
    says : cells of a row that tell what came of a scene, from its JSON
    endings : the options that name a file, and how its name ends for a class
    """

    def made(command: Callable[..., Answer]) -> Callable[..., Answer]:
        @wraps(command)
        def told(scene_path: str, scheduler: str | None = None, **options: Any) -> Answer:
            scenes = scenes_in(Path(scene_path))
            if scenes:
                return _class(command, scenes, scheduler, options, says, endings)
            if scheduler:
                raise InputError(
                    "--scheduler is for a folder of scenes; a single scene is done here."
                )
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
    says: Callable[[Mapping[str, Any]], Sequence[str]],
    endings: Mapping[str, str],
) -> Answer:
    """The command on every scene: written, then told in a table."""
    from glaze.planning.many.spread import Job, done

    places = {
        option: Path(value) for option in endings if (value := options.get(option)) is not None
    }
    for place in places.values():
        _check_folder(place)
    names = command.__module__, command.__name__
    wanted = *names, options, {option: endings[option] for option in places}, _given()
    with first_run_note(), progress(f"{len(scenes)} scenes") as share:
        found = done(one_of_many, [Job(str(s), wanted) for s in scenes], scheduler, share)
    by_name = {scene.name: one for scene, one in zip(scenes, found, strict=True)}
    files = list(_written(by_name, places))
    wrong = sum(isinstance(one, InputError) for one in found)
    content = {
        "scenes": {name: _as_dict(one) for name, one in by_name.items()},
        "files": [str(file) for file in files],
    }
    return content, _lines(by_name, says, files), 2 if wrong else 0


def _given() -> list[str]:
    """Names of the options that stand on the command line."""
    context = click.get_current_context()
    source = click.core.ParameterSource.COMMANDLINE
    return [name for name in context.params if context.get_parameter_source(name) is source]


def _check_folder(place: Path) -> None:
    if place.suffix or place.is_file():
        raise InputError(
            f'"{place}": for a folder of scenes name a folder too; each scene gets a file in it.'
        )


def one_of_many(
    scene: str,
    _memory: Memory | None,
    module: str,
    name: str,
    options: Mapping[str, Any],
    endings: Mapping[str, str],
    given: Sequence[str],
) -> Done:
    """A command on one scene of many, as it would be alone; what it writes is handed back."""
    from glaze.picture.writing import place_all

    shown = getattr(importlib.import_module(module), name)
    alone = inspect.unwrap(shown.callback)
    with tempfile.TemporaryDirectory(prefix="glaze-") as folder, click.Context(shown) as context:
        # no bar of its own, and the same options count as given
        context.params = {"as_json": True}
        for option in given:
            context.set_parameter_source(option, click.core.ParameterSource.COMMANDLINE)
        own = {option: str(Path(folder) / f"{option}{end}") for option, end in endings.items()}
        found, _ = alone(scene, **{**options, **own})
        found = found() if callable(found) else found
        place_all()
        # pages after the first have names of their own
        files = {
            (option, file.name.removeprefix(option)): file.read_bytes()
            for option in endings
            for file in sorted(Path(folder).glob(f"{option}*"))
        }
    return Done(found, files)


def _written(by_name: Mapping[str, Any], places: Mapping[str, Path]) -> Iterator[Path]:
    """Write what the scenes gave, each under its scene's name, all together."""
    from glaze.picture.writing import make_folder, write_whole

    for place in places.values():
        make_folder(place)
    for name, one in by_name.items():
        for (option, ending), content in one.files.items() if isinstance(one, Done) else ():
            file = places[option] / f"{name}{ending}"
            write_whole(file, content, ours=OURS.get(file.suffix))
            yield file


def _as_dict(one: Done | InputError) -> dict[str, Any]:
    if isinstance(one, InputError):
        return {"good": False, "problems": one.problems}
    return {**one.found, "good": True}


def _lines(
    by_name: Mapping[str, Any],
    says: Callable[[Mapping[str, Any]], Sequence[str]],
    files: Sequence[Path],
) -> Iterator[str]:
    """A row for each scene, then the mistakes of those that have some."""
    rows = [(name, *says(one.found)) for name, one in by_name.items() if isinstance(one, Done)]
    yield from columns(rows)
    for name, one in by_name.items():
        if isinstance(one, InputError):
            yield f"{name}:"
            yield from (f"  {problem}" for problem in one.problems)
    wrong = len(by_name) - len(rows)
    good = f"{len(rows)} of {len(by_name)} scenes are done"
    yield f"{good}; {wrong} can't be, as told above." if wrong else f"{good}."
    yield from (
        f"{folder}: {count} files." for folder, count in Counter(f.parent for f in files).items()
    )
