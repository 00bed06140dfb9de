"""`glaze reach` (also `glaze floor`): how light bleach gets a scene back, and what to reserve."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from glaze.cli import completing
from glaze.cli.printing import page_options, sheets_written, to_print
from glaze.cli.show import VALUE_NOTE, Answer, answers, working
from glaze.cli.table_options import bleach_strengths
from glaze.errors import InputError

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from glaze.charts.sheets.parts import Layout
    from glaze.planning.lift.reach import Reach
    from glaze.planning.lift.reach_plans import LiftPlan


@click.command()
@click.argument("scene_path", metavar="SCENE", shell_complete=completing.scenes)
@click.option(
    "--want", multiple=True, metavar="REGION=VALUE", help='Value wanted there, as "beam=8.5".'
)
@click.option(
    "--want-picture", default=None, help="Grey picture of wanted values; black: nothing wanted."
)
@bleach_strengths
@click.option("--touches", type=int, default=3, show_default=True, help="Most touches to try.")
@page_options
@answers
def reach(
    scene_path: str,
    want: tuple[str, ...],
    want_picture: str | None,
    strengths: str,
    touches: int,
    output: str,
    layout: Layout,
    dpi: float,
) -> Answer:
    """How light bleach can get every place of SCENE back, and what has to be reserved.

    Every region is lifted by every plan of strength and touches, and the gentlest plan that gets
    lightest is named, with its ghost and a band. Against wanted values (--want, --want-picture, or
    want_value of a region in the scene) a map says: lift, reserve, or can't be had.
    """
    from glaze.materials.bleach import CAUTION_LINE
    from glaze.scene.file import load_scene

    scene = load_scene(scene_path)
    wants = dict(_wish(text) for text in want)
    parts = _strengths(strengths)
    picture = _values_of(want_picture) if want_picture else None
    with working("Lifting everything") as share:
        from glaze.planning.lift.reach import reach_of

        found = reach_of(scene, wants, picture, parts, touches)
        share(0.9)
    from glaze.charts.sheets.reach_sheet import reach_sheets

    files = sheets_written(reach_sheets(found, layout, scene.title), output, dpi)
    as_dict = {"files": files, **report(found), "caution": CAUTION_LINE}
    return as_dict, [*to_print(files), *lines_of(found), CAUTION_LINE]


def _strengths(text: str) -> list[float]:
    """Parts of water of each strength of bleach."""
    from glaze.materials.parts_told import parts_of

    return [parts_of(part, "--strengths") for part in text.split(",") if part.strip()]


def _wish(text: str) -> tuple[str, float]:
    """A region and the value wanted there."""
    name, _, value = text.rpartition("=")
    try:
        return name.strip(), float(value)
    except ValueError:
        raise InputError(f'--want "{text}": write a region and a value, as beam=8.5.') from None


def _values_of(path: str) -> NDArray[np.float32]:
    """Wanted values from a grey picture: each grey is wanted as light as it looks."""
    import numpy as np
    from PIL import Image

    from glaze.physics.colour import LUMINANCE_OF_RGB, munsell_value, srgb_decode

    try:
        with Image.open(path) as image:
            rgb = np.asarray(image.convert("RGB"), float) / 255.0
    except (OSError, ValueError) as error:
        raise InputError(f'--want-picture "{path}" can\'t be read as a picture: {error}') from None
    values = np.asarray(munsell_value(srgb_decode(rgb) @ LUMINANCE_OF_RGB), np.float32)
    values[values < 0.5] = np.nan
    return values


def lines_of(found: Reach) -> list[str]:
    """The table for a terminal."""
    from glaze.charts.sheets.reach_sheet import verdict_words
    from glaze.cli.screen import block
    from glaze.patch.seen import chip_of
    from glaze.planning.lift.reach_regions import MIDDLE_WORDS

    wide = max((len(region.name) for region in found.regions), default=0)
    lines = [f"Bare paper is value {found.paper_value:.1f}."]
    for region in found.regions:
        told = (
            f"{block(chip_of(region.rgb_now), chip_of(region.rgb_left))}"
            f"{region.name:<{wide}}  now {region.now:.1f}, reach {region.reach:.1f}; "
            f"{plan_words(region.plan)}: leaves {region.leaves:.1f} "
            f"({region.low:.1f} to {region.high:.1f}), {region.ghost}"
        )
        if region.want is not None:
            told += f"; wanted {region.want:g}: {verdict_words(region)}"
        lines.append(told)
    lines.append(
        f"Now, reach and leaves are {MIDDLE_WORDS}, painted in full without any bleach; a plan "
        "tells where a step lies fullest, just after it."
    )
    lines.append(f"Bands hold 9 times of 10, and rest on assumed figures. {VALUE_NOTE}")
    return lines


def plan_words(plan: LiftPlan) -> str:
    """A plan in full: "1 part bleach + 9 parts water, 2 touches"."""
    from glaze.materials.parts_told import parts_words

    bleach = parts_words(plan.parts_water, of="bleach")
    return f"{bleach}, {plan.touches_words}"


def report(found: Reach) -> dict[str, object]:
    """What `--json` prints."""
    from glaze.planning.lift.reach_map import VERDICTS
    from glaze.planning.lift.reach_regions import MIDDLE_WORDS

    def plan(plan: object) -> dict[str, object] | None:
        return None if plan is None else dict(vars(plan))

    return {
        "paper_value": round(found.paper_value, 2),
        "plans": [plan(p) for p in found.plans],
        "shares": {word: round(share, 4) for word, share in found.shares.items()},
        "regions": [
            {
                "name": r.name,
                "read": MIDDLE_WORDS,
                "value_now": round(r.now, 2),
                "reach": round(r.reach, 2),
                "plan": plan(r.plan),
                "leaves": round(r.leaves, 2),
                "band": [round(r.low, 2), round(r.high, 2)],
                "standing": "assumed",  # a lift rests on assumed drying and blotting throughout
                "ghost": r.ghost,
                "darkest": round(r.darkest, 2),
                "wanted": r.want,
                "verdict": VERDICTS[r.verdict] or None,
                "doubtful": r.doubtful,
            }
            for r in found.regions
        ],
    }
