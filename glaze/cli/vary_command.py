"""`glaze vary SCENE`: one scene with many values, told and on a contact sheet."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from typing import TYPE_CHECKING, Any

import click

from glaze.cli import completing
from glaze.cli.each_scene import scheduler_option
from glaze.cli.printing import page_options, sheets_written, to_print
from glaze.cli.screen import columns
from glaze.cli.show import VALUE_NOTE, Answer, answers, caution_lines, names, working
from glaze.errors import InputError

if TYPE_CHECKING:
    from glaze.charts.sheets.parts import Layout
    from glaze.planning.many.variants import Variants
    from glaze.scene.changed import Change

OF_A_STEP = {
    "mix": 'Recipes of the step, as "Blue 1, Blue 2 + Red 1".',
    "parts": "Parts of water to its ink or bleach, as 4,8 or neat,1+4.",
    "coats": "Coats of a wash.",
    "touches": "Touches of a lift.",
    "minutes": "Minutes that a lift stands, or after which a charge goes in.",
    "film_ml_per_m2": "Liquid it lays, in ml to the m².",
}
OF_THE_SHEET = {"paper": "Papers.", "light": "Lights it is seen under.", "palette": "Palettes."}
COMPLETED = {
    "paper": completing.papers,
    "light": completing.lights,
    "palette": completing.palettes,
}


def _value_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Lists of values for the usual keys of a step and of the sheet."""
    for key, told in reversed({**OF_A_STEP, **OF_THE_SHEET}.items()):
        flag, found = f"--{key.replace('_', '-')}", COMPLETED.get(key)
        command = click.option(flag, key, default=None, help=told, shell_complete=found)(command)
    return command


@click.command()
@click.argument("scene_path", metavar="SCENE", shell_complete=completing.scenes)
@click.option(
    "--step",
    default="",
    shell_complete=completing.steps,
    help="Name of the step that is varied.",
)
@_value_options
@click.option("--aside", is_flag=True, help="With the step, and without it.")
@click.option(
    "--also",
    multiple=True,
    metavar='"KEY = ..."',
    help='Any other key of the file: "room.humidity_percent = 40, 80", "sky.coats = 1, 2".',
)
@scheduler_option
@partial(page_options, needed=False)
@answers
def vary(
    scene_path: str,
    step: str,
    aside: bool,
    also: tuple[str, ...],
    output: str | None,
    layout: Layout,
    dpi: float,
    scheduler: str | None,
    **listed: str | None,
) -> Answer:
    """Paint SCENE with every combination of some values, and see how far apart they are.

    glaze vary SCENE --step shadow --parts 4,8 --light D65,A -o sheet.pdf

    Values are parted by commas. Each combination is a small picture with its value plan, what was
    changed, and how far it is off the first one.
    """
    from glaze.charts.sheets.variant_sheet import variant_pages
    from glaze.planning.many import variants
    from glaze.scene.changed import ASIDE, Change

    axes = [_listed(key, listed[key], step) for key in OF_A_STEP if listed[key]]
    axes += [[Change(ASIDE, out, step) for out in (False, True)]] if aside else []
    if axes and not step:
        raise InputError('Say which step that is of, as --step "shadow".')
    axes += [_listed(key, listed[key]) for key in OF_THE_SHEET if listed[key]]
    axes += [_also(text) for text in also]
    with working("Painting each") as share:
        found = variants.vary(scene_path, axes, scheduler, share)
    files = sheets_written(variant_pages(found, layout) if output else [], output, dpi)
    caution = caution_lines(found.bleached)
    told = {
        "scene": scene_path,
        "files": files,
        **found.as_dict,
        "notes": [*found.notes, *caution],
    }
    return told, [*_lines(found), *caution, *to_print(files)]


def _listed(key: str, text: str | None, step: str = "") -> list[Change]:
    """The changes that a list of values stands for."""
    from glaze.materials.parts_told import parts_of
    from glaze.planning.many.variants import PARTS
    from glaze.scene.changed import Change

    def value(part: str) -> Any:
        number = _value(part)
        if key == PARTS and isinstance(number, str):
            return parts_of(part, "--parts")
        return number

    return [Change(key, one, step) for one in dict.fromkeys(map(value, names(text) or []))]


def _also(text: str) -> list[Change]:
    """The changes that "KEY = ..." stands for; a key of a step has its name in front."""
    key, equals, values = text.partition("=")
    step, _, last = key.strip().rpartition(".")
    if not (equals and last and names(values)):
        raise InputError(f'--also "{text}": write KEY = VALUES, as "sky.coats = 1, 2".')
    from glaze.scene.records import Scene

    of_scene = step.split(".")[0] in {*Scene.model_fields, "well", "region"}
    return _listed(key.strip(), values) if not step or of_scene else _listed(last, values, step)


def _value(text: str) -> Any:
    """A number, true or false, or else a text, as a scene's file has them."""
    plain = text.strip().strip("\"'")
    for read in (int, float):
        try:
            return read(plain)
        except ValueError:
            continue
    return {"true": True, "false": False}.get(plain, plain)


def _lines(found: Variants) -> Iterator[str]:
    """Each combination in a row."""
    yield f"{found.scene.title}, {len(found.each)} ways:"
    yield from columns(
        [
            (
                f"{number}",
                "; ".join(one.words) + (" (as it is)" if one.as_it_is else ""),
                one.seen.band.text if one.seen.band else "",
                f"off {one.mean_off:.1f}, at most {one.most_off:.1f}" if number > 1 else "",
            )
            for number, one in enumerate(found.each, start=1)
        ]
    )
    yield found.note
    if found.step:
        yield found.promise
        yield VALUE_NOTE
