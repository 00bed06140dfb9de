"""`glaze rough SCENE PICTURE`: from a colour rough to steps, written as a scene of its own."""

from __future__ import annotations

import shlex
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from glaze.cli.show import Answer, answers, working
from glaze.errors import InputError
from glaze.record.incoming import PICTURES

if TYPE_CHECKING:
    from glaze.planning.rough.propose import Proposal
    from glaze.scene.records import Scene

EFFORTS = ("low", "middle", "high")
NO_FOLDERS = (*PICTURES, ".pdf", ".svg", ".toml", ".html")
"""Ends of names that mean a file."""


@click.command()
@click.argument("scene_path", metavar="SCENE")
@click.argument("picture", metavar="ROUGH")
@click.option("--folder", "-o", default=None, help="To make; SCENE-rough beside it if not given.")
@click.option("--here", is_flag=True, help="Into SCENE itself; its file is kept beside it.")
@click.option("--wells", type=int, default=6, show_default=True, help="At most so many mixes.")
@click.option(
    "--effort",
    type=click.Choice(EFFORTS),
    default="middle",
    show_default=True,
    help="About 6, 12 or 25 steps.",
)
@click.option("--steps", type=int, default=None, help="At most so many steps, before --effort.")
@click.option(
    "--corners",
    default=None,
    metavar="X,Y ...",
    help='Of the sheet in ROUGH: "find", or four in pixels, clockwise from the upper left.',
)
@click.option("--areas", default=None, metavar="3,7", help="Steps for these areas alone.")
@click.option("--anew", is_flag=True, help="Leave SCENE's own steps out; else they stay below.")
@click.option("--size", default=None, help="Of a sketch in place of SCENE: 210x148 (mm), A5.")
@click.option("--page", default="A4", show_default=True, help="Of the comparison: A4, A3, Letter.")
@answers
def rough(
    scene_path: str,
    picture: str,
    folder: str | None,
    here: bool,
    wells: int,
    effort: str,
    steps: int | None,
    corners: str | None,
    areas: str | None,
    anew: bool,
    size: str | None,
    page: str,
) -> Answer:
    """Find steps that bring SCENE's sheet to look like ROUGH, a small colour sketch of it.

    SCENE is a scene, whose steps stay and are painted over, or a sketch alone. What is found is
    written as a scene of its own, with beside.png: wanted, predicted, where they differ and why.
    Ctrl-C keeps the best so far.
    """
    from glaze.charts.paper.page import Page
    from glaze.planning.rough.propose import EFFORTS as STEPS
    from glaze.planning.rough.propose import propose

    Page(page)
    scene, home = _scene(Path(scene_path), size)
    out = _folder(home, folder, here)
    with working("Looking for steps (Ctrl-C keeps the best so far)") as share:
        found = propose(
            scene,
            picture,
            wells=wells,
            steps=steps if steps is not None else STEPS[effort],
            corners=corners,
            only=_numbers(areas),
            anew=anew or None,
            progress=share,
        )
    return _kept(found, out, page)


def _numbers(areas: str | None) -> list[int]:
    """Numbers of areas from "3, 7"."""
    try:
        return [int(part) for part in (areas or "").replace(",", " ").split()]
    except ValueError:
        raise InputError(f'--areas "{areas}": numbers of areas with commas, as 3,7.') from None


def _scene(path: Path, size: str | None) -> tuple[Scene, Path]:
    """The scene, or a first one for a sketch, and what its folder is called after."""
    from glaze.scene.file import load_scene, scene_path
    from glaze.scene.starter import sketch_scene

    if path.suffix.lower() in PICTURES:
        return sketch_scene(path, size), path.with_suffix("")
    if size is not None:
        raise InputError("--size goes with a sketch; a scene knows how large its sheet is.")
    return load_scene(path), scene_path(path).resolve().parent


def _folder(home: Path, folder: str | None, here: bool) -> Path | None:
    """The folder to make; None for the scene's own. Told before the work, not after."""
    if here and folder:
        raise InputError("--here writes into SCENE, --folder beside it: give one of them.")
    if here:
        return None
    out = Path(folder) if folder else home.with_name(f"{home.name}-rough")
    if out.exists() and (not out.is_dir() or any(out.iterdir())):
        raise InputError(f'"{out}" is there already and is left as it is; name another --folder.')
    if folder and out.suffix.lower() in NO_FOLDERS:
        raise InputError(
            f'"{out}" would be a folder: it gets the scene, its masks and beside.png. Name it '
            f'without {out.suffix}, as "{out.with_suffix("")}".'
        )
    return out


def _kept(found: Proposal, out: Path | None, size: str) -> Answer:
    """The scene and the comparison written, and what to say of them."""
    from glaze.charts.paper.publish import write_pages
    from glaze.charts.sheets.rough_sheet import rough_sheets
    from glaze.cli.plan_command import plan_lines
    from glaze.planning.rough.doubt import unsure
    from glaze.planning.rough.kept import keep
    from glaze.planning.rough.told import as_dict, shortfalls, summary, why_nothing
    from glaze.planning.sheet.planner import plan_of

    if not found.made.new:
        raise InputError(f"No step was found. {why_nothing(found)}")
    places, doubt = shortfalls(found), unsure(found)
    file = keep(found, out)
    pages = write_pages(rough_sheets(found, places, doubt, size), file.parent / "beside.png")
    files = [str(file), *map(str, pages)]
    plan = plan_of(found.scene, found.painting)
    told = as_dict(found, places, doubt) | {"files": files, "plan": plan.as_dict()}
    lines = [
        *summary(found),
        *_highlight_lines(found),
        *_shortfall_lines(places),
        "",
        doubt.text,
        "",
        *plan_lines(plan),
        "",
        *files,
    ]
    return told, [*lines, f"glaze plan {shlex.quote(str(file.parent))}"]


def _highlight_lines(found: Proposal) -> Iterator[str]:
    from glaze.materials.bleach import CAUTION_LINE

    if found.bare:
        yield "\nLighter than the wash about them:"
        yield from (f"  {one.text}" for one in found.bare)
        yield f"  {CAUTION_LINE}"


def _shortfall_lines(places: Any) -> Iterator[str]:
    if places:
        yield "\nWhere it differs most:"
    for n, place in enumerate(places, start=1):
        yield f"{n:4}  {place.name}, {place.mm2 / 100:.1f} cm², off {place.de00:.1f}: {place.why}"
