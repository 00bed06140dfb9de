"""`glaze shadow`: a dilution of black for a shadow, on a hue or over a region of the sketch."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from glaze.cli import completing
from glaze.cli.numbers import WholeBetween
from glaze.cli.printing import sheets_written, to_print
from glaze.cli.screen import block, columns
from glaze.cli.show import VALUE_NOTE, Answer, answers, working
from glaze.cli.table_options import with_table
from glaze.errors import InputError, number_of

if TYPE_CHECKING:
    from glaze.planning.asked import Asked
    from glaze.planning.recipe.rungs import Ladders
    from glaze.planning.recipe.shadow import EvenShadows, Shadow
    from glaze.planning.sheet.shade import Shade


@click.command()
@click.argument("hues", metavar="HUE... | SCENE", shell_complete=completing.hues, nargs=-1)
@click.option("--value", "to_value", type=float, default=None, help="Value it is to have, 0 to 10.")
@click.option("--darker", type=float, default=None, help="By so many value steps.")
@click.option("--ladder", type=int, default=None, help="Instead: a ladder of so many rungs.")
@click.option("--ink", default=None, help="The dark ink, or a mix; Black if not given.")
@click.option(
    "--region",
    default=None,
    shell_complete=completing.regions,
    help="Over all that lies in this region of SCENE.",
)
@click.option("-o", "--output", default=None, help="With --region: the strip, .png, .pdf or .svg.")
@click.option("--write", "takes", is_flag=True, help="With --region: put it into the scene.")
@click.option("--take", type=WholeBetween(1, 3), default=None, help="Another than fits most.")
@with_table
@answers
def shadow(
    asked: Asked,
    hues: tuple[str, ...],
    to_value: float | None,
    darker: float | None,
    ladder: int | None,
    ink: str | None,
    region: str | None,
    **strip: Any,
) -> Answer:
    """Find the dilution of black that gives a shadow on HUE, or over a region of SCENE.

    HUE is "paper", an ink, a recipe, "Red 1 over Yellow 1", or with --scene one of its wells or
    regions. Several hues with --darker get a dilution each, so that their shadows are even.

    glaze shadow SCENE --region shade --darker 2 -o strip.png tries three dilutions over every hue
    that the region crosses, on that very place of the sketch, and names the one that fits most;
    --write puts it into the scene, which is kept beside as it was.
    """
    from glaze.planning.recipe import shadow as shade
    from glaze.planning.recipe.rungs import ladders

    if region is not None:
        if darker is None or to_value is not None or ladder is not None:
            raise InputError("Over a region say by how many steps: --darker 2, and no other.")
        return _over_region(_scene_of(hues), region, darker, ink, **strip)
    if any(strip.values()):
        raise InputError("-o, --write and --take go with --region, as --region shade --darker 2.")
    if not hues:
        raise InputError("Name at least one hue, as Yellow or paper.")
    ink = ink or "Black"
    table, found = asked.table, [asked.hue(text) for text in hues]
    if ladder is not None:
        both = ladders(table, found[0], ladder, ink)
        return both.as_dict, _ladder_lines(both, ink)
    if len(found) > 1 and darker is not None:
        even = shade.even_shadows(table, found, darker, ink)
        return even.as_dict, _even_lines(even)
    shadows = [shade.shadow(table, h, to_value=to_value, darker=darker, ink=ink) for h in found]
    rows = [one.as_dict() for one in shadows]
    return rows[0] if len(rows) == 1 else {"shadows": rows}, _shadow_lines(shadows)


def _scene_of(named: tuple[str, ...]) -> str:
    """The one scene that is meant; the table is its own."""
    given = click.get_current_context().params
    scenes = [*named, *([given["scene"]] if given.get("scene") else [])]
    if len(scenes) != 1:
        raise InputError("--region needs one scene: glaze shadow SCENE --region shade --darker 2.")
    if others := [key for key in ("palette", "paper", "light", "dropper") if given.get(key)]:
        raise InputError(f"With --region the scene's own table holds; leave out --{others[0]}.")
    return str(scenes[0])


def _over_region(
    scene_path: str,
    region: str,
    darker: float,
    ink: str | None,
    output: str | None,
    takes: bool,
    take: int | None,
) -> Answer:
    """Three dilutions over a region: told, drawn and the chosen one written, as asked."""
    from glaze.planning.sheet.shade import shade_of
    from glaze.scene.file import load_scene

    if output is not None:
        from glaze.charts.paper.publish import check_output

        check_output(Path(output))
    if take is not None and not takes:
        raise InputError("--take says which of the three --write puts into the scene; give both.")
    scene = load_scene(scene_path)
    with working("Laying three dilutions") as share:
        found = shade_of(scene, region, darker, ink, share)
    files = _strip(found, output) if output else []
    chosen = found.trials[found.fits if take is None else take - 1]
    kept = None
    if takes:
        from glaze.scene.edited import change_step

        values: dict[str, str | int] = {"mix": chosen.mix}
        if found.new:
            values = {"wash": found.step.name, **values, "region": region}
        if chosen.coats != found.step.coats:
            values["coats"] = chosen.coats
        kept = change_step(scene_path, scene, found.number, values)
    told = {"strip": files, "written": chosen.mix if kept else None, "kept": kept and str(kept)}
    return found.as_dict() | told, [
        *_region_lines(found),
        *to_print(files),
        *([f'"{found.step.name}" has now mix = "{chosen.mix}".', f"{kept}: the scene as it was."]
          if kept else []),
    ]  # fmt: skip


def _strip(found: Shade, output: str) -> list[str]:
    from glaze.charts.sheets.parts import Layout
    from glaze.charts.sheets.shade_sheet import shade_pages

    return sheets_written(shade_pages(found, Layout()), output)


def _region_lines(found: Shade) -> Iterator[str]:
    """Each dilution with what it does to every hue."""
    what = "a new wash" if found.new else f'the step "{found.step.name}"'
    yield f'{number_of(found.darker, "value step")} darker over "{found.region}", {what}:'
    for n, trial in enumerate(found.trials):
        fits = "  <- fits most" if n == found.fits else ""
        drops = f"  ({trial.dilution.text})" if trial.dilution.text else ""
        yield f"{n + 1}  {trial.words}{drops}, off by {trial.miss:.1f}{fits}"
        for one, look, band, after in zip(
            found.crossed, found.before, trial.bands, trial.looks, strict=True
        ):
            drop = f"{look.value - band.best:.1f} darker"
            yield f"   {block(look.rgb8, after.rgb8)}{one.hue.text:<28} {drop}  {band.text}"
    if found.note:
        yield found.note
    yield "(Off: value steps from the wanted drop, root mean square over the area.)"
    yield found.promise
    yield VALUE_NOTE
    if found.bleached:
        from glaze.materials.bleach import CAUTION_LINE

        yield CAUTION_LINE


def _shadow_lines(shadows: list[Shadow]) -> Iterator[str]:
    """Each shadow in a few lines."""
    for one in shadows:
        hue = f"{block(one.before.rgb8)}{one.hue}, value {one.value_before:.1f}"
        yield f"{hue}: {one.ink}, {one.parts}."
        low, best, high = one.chroma
        chroma = f"CIELAB chroma {best:.0f} ({low:.0f} to {high:.0f})"
        becomes = f"{one.before.munsell} becomes {one.after.munsell}; {one.drift}"
        yield f"  {block(one.after.rgb8)}{becomes}"
        yield f"  {one.band.text}, {chroma}"
        if one.coats:
            measured = "in drops" if one.dilution.in_drops else "measured"
            yield f"  {measured}: {one.dilution.text}, value {one.recipe_value:.1f}"
        if one.note:
            yield f"  {one.note}"
    yield from _promise(shadows)


def _promise(shadows: Any) -> Iterator[str]:
    from glaze.patch.band import promise_of

    yield promise_of([one.band for one in shadows])
    yield VALUE_NOTE


def _even_lines(even: EvenShadows) -> Iterator[str]:
    yield f"Each {number_of(even.steps, 'value step')} darker:"
    rows = [
        (
            *(block(one.before.rgb8, one.after.rgb8), one.hue),
            f"{one.value_before:.1f} to {one.value:.1f}",
            *(one.parts, one.dilution.text if one.coats else ""),
        )
        for one in even.shadows
    ]
    yield from columns(rows)
    yield even.note
    yield from _promise(even.shadows)


def _ladder_lines(both: Ladders, ink: str) -> Iterator[str]:
    for title, row in (("Even values", both.even), ("Doubled water", both.doubling)):
        yield f"{title}, {ink} on {both.hue}:"
        yield from columns(
            [
                (block(r.chip), f"value {r.value:.1f}", r.dilution.words, r.dilution.text)
                for r in row
            ]
        )
    yield VALUE_NOTE
