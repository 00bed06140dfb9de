"""What the shell may complete: palettes, papers, lights, inks, wells and regions.

Turned on by `eval "$(_GLAZE_COMPLETE=bash_source glaze)"` (or zsh_source, fish_source).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

import click

Completed = Callable[[click.Context, click.Parameter, str], list[str]]


def _starting(find: Callable[[click.Context], Iterable[str]]) -> Completed:
    """Those of the names found that begin with what is written; nothing where finding fails."""

    def complete(context: click.Context, _parameter: click.Parameter, begun: str) -> list[str]:
        try:
            names = list(find(context))
        except Exception:  # a scene half written is no reason for noise at the prompt
            return []
        return [name for name in names if name.lower().startswith(begun.lower())]

    return complete


def _files(ending: str) -> list[str]:
    return sorted(str(path) for path in Path().glob(f"*{ending}"))


def _palettes(_context: click.Context) -> list[str]:
    from glaze.materials.ink import palette_names

    return [*palette_names(), *_files(".toml")]


def _papers(_context: click.Context) -> list[str]:
    from glaze.materials.paper import paper_names

    return [*paper_names(), *_files(".toml")]


def _lights(_context: click.Context) -> list[str]:
    from glaze.picture.light import LIGHT_NAMES

    return list(LIGHT_NAMES)


def _scenes(_context: click.Context) -> list[str]:
    return sorted(str(file.parent) for file in Path().glob("*/scene.toml")) + _files(".zip")


def _scene_of(context: click.Context) -> Any:
    """The scene a command was given, as an option or by itself; None if it wasn't."""
    from glaze.scene.file import load_scene

    given = context.params.get("scene") or context.params.get("scene_path")
    # what stands before an option is still unread while that is completed
    here = (word for word in context.args if Path(word).exists())
    given = given or next(here, None)
    return load_scene(given) if given else None


def _inks(context: click.Context) -> list[str]:
    from glaze.materials.ink import load_palette
    from glaze.planning.asked import PALETTE
    from glaze.scene.laid_out import palette_of

    named = context.params.get("palette") or context.params.get("palette_name")
    scene = None if named else _scene_of(context)
    return list((palette_of(scene) if scene else load_palette(named or PALETTE)).inks)


def _regions(context: click.Context) -> list[str]:
    scene = _scene_of(context)
    return list(scene.regions) if scene else []


def _steps(context: click.Context) -> list[str]:
    scene = _scene_of(context)
    return [step.name for step in scene.steps] if scene else []


def _hues(context: click.Context) -> list[str]:
    scene = _scene_of(context) if context.params.get("scene") else None
    return [*_inks(context), "paper", *(scene.wells if scene else ()), *_regions(context)]


palettes, papers, lights, scenes = map(_starting, (_palettes, _papers, _lights, _scenes))
inks, hues, regions, steps = map(_starting, (_inks, _hues, _regions, _steps))
