"""Commands on scenes: preview and check."""

from __future__ import annotations

import math
import shlex
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from glaze.cli import completing
from glaze.cli.each_scene import Class, Done, each_scene
from glaze.cli.numbers import WholeBetween
from glaze.cli.picture_size import is_for_disk, painted_on_disk, part_of_sheet, scale_of
from glaze.cli.show import Answer, answers, caution_lines, working
from glaze.cli.watching import painted_again
from glaze.errors import number_of, percent

if TYPE_CHECKING:
    from glaze.painting.large import PaintedFile
    from glaze.painting.settle import Painting
    from glaze.picture.file import Picture
    from glaze.scene.records import Scene
    from glaze.sheet.memory import Memory
    from glaze.sheet.rect import Rect

CONTACT_SHEET = "contact sheet.pdf"


def _painted(found: Mapping[str, Any]) -> list[str]:
    wide, high = found["pixels"]
    return [f"{wide} x {high} px", found["light"], number_of(len(found["steps"]), "step")]


def _all_on_one(
    done: Mapping[str, Done], places: Mapping[str, Path]
) -> tuple[dict[str, Any], list[str]]:
    """A contact sheet of a class, beside its pictures."""
    from glaze.charts.paper.pdf import pdf_bytes
    from glaze.charts.paper.publish import with_caution
    from glaze.charts.sheets.class_contact import class_contact_pages
    from glaze.picture.writing import write_whole

    if not done:
        return {}, []
    painted = {name: (one.scene, one.files["output", ".png"]) for name, one in done.items()}
    sheet = places["output"] / CONTACT_SHEET
    pages = with_caution(class_contact_pages(painted))
    write_whole(sheet, pdf_bytes(pages), named=False)
    return {"contact_sheet": str(sheet)}, [f"{sheet}: all of them. Print it at 100 %."]


@click.command()
@click.argument("scene_path", metavar="SCENE | FOLDER", shell_complete=completing.scenes)
@click.option("-o", "--output", required=True, help="Picture: .png or .tif; a folder for a FOLDER.")
@click.option(
    "--view",
    default="picture",
    show_default=True,
    help="picture; before-after; unlifted (before bleach); stacked-stirred; value; three-values; "
    "five-values; protan, deutan or tritan (weak red, green or blue cone)",
)
@click.option("--light", default=None, help="Light to see it under, as D65, D50, A, FL11, LED-B3.")
@click.option("--scale", type=float, default=1.0, help="Smaller picture, as 0.5, or larger, as 2.")
@click.option("--dpi", type=float, default=None, help="Its dots per inch, in place of --scale.")
@click.option("--crop", default=None, metavar="X,Y,W,H", help="Only this part of the sheet, in mm.")
@click.option(
    "--bits",
    type=click.Choice(["8", "16"]),
    default=None,
    help="Bits a channel; 8 for PNG and 16 for TIFF if not given.",
)
@click.option("--neon", is_flag=True, help="With the glow of fluorescent inks.")
@click.option(
    "--hands",
    type=WholeBetween(2, 9),
    default=None,
    help="A contact sheet of so many likely outcomes: the same scene on as many days of the hand.",
)
@click.option("--watch", is_flag=True, help="Paint again after every save, until Ctrl-C.")
@answers
@each_scene(Class(_painted, _all_on_one, {"output": ".png"}, ("watch",)))
def preview(
    scene_path: str,
    output: str,
    view: str,
    light: str | None,
    scale: float,
    dpi: float | None,
    crop: str | None,
    bits: str | None,
    neon: bool,
    hands: int | None,
    watch: bool,
) -> Answer:
    """Paint SCENE (a folder or its scene.toml) and write the picture.

    The washes, shadow washes and lifts are laid in painting order on the scene's paper; the
    sketch's line stays on top. The picture has the sheet's true size and carries the recipe.

    Of a FOLDER of scenes each is painted, into a folder; a contact sheet of all goes with them.
    """
    from glaze.scene.file import load_scene

    path = Path(output)

    def paint(memory: Memory | None) -> Answer:
        scene = _under(load_scene(scene_path, with_sketch=True), light)
        from glaze.picture.file import check_path, write_picture
        from glaze.planning.looks.days import days_of

        sketch = scene.file(scene.sketch) if scene.sketch else None
        check_path(path, sketch)
        depth = int(bits or (8 if path.suffix.lower() == ".png" else 16))
        size = scale_of(scene, scale, dpi)
        if not (hands or watch) and is_for_disk(scene, path, view, size):
            recipe = lambda painted: _recipe(scene, painted, neon)  # noqa: E731
            return told(scene, *painted_on_disk(scene, path, recipe, depth, size, neon, crop))
        # so many pictures share the room of one
        part = size / math.ceil(math.sqrt(hands or 1))
        pictures: list[Picture] = []
        for day in days_of(scene, hands):
            painting = _settled(day, neon, memory, part)
            area = part_of_sheet(painting, crop)
            with working("Painting") as share:
                from glaze.pipeline import render

                one = render(painting, area, view=view, bits=depth, scale=part, progress=share)
                pictures.append(one)
        picture = _contact_sheet(pictures, painting, area, scene.seed) if hands else one
        write_picture(picture, path, _recipe(scene, picture, neon), protect=sketch)
        return told(scene, painting, picture)

    def told(scene: Scene, painting: Painting, picture: Picture | PaintedFile) -> Answer:
        report = lambda: _report(scene, painting, path, picture, view)  # noqa: E731
        lines = [
            *_picture_lines(path, picture, painting, neon),
            *_hands_line(scene, hands),
            *_notes_line(painting, scene_path),
            *_caution(painting),
        ]
        return report, lines

    return paint(None) if not watch else painted_again(scene_path, path, paint)


def _contact_sheet(
    pictures: list[Picture], painting: Painting, area: Rect | None, seed: int
) -> Picture:
    """The days side by side, each with its number and where it differs most from the first."""
    from glaze.charts.paper.captions import captioned
    from glaze.pipeline import contact_sheet
    from glaze.planning.looks.days import days_apart

    told = days_apart(pictures, painting, area, seed)
    return contact_sheet([captioned(p, lines) for p, lines in zip(pictures, told, strict=True)])


def _hands_line(scene: Scene, hands: int | None) -> Iterator[str]:
    if hands:
        seeds = ", ".join(str(scene.seed + n) for n in range(hands))
        yield (
            f"Row by row the hand on days {seeds}: what differs can't be foretold, what doesn't "
            "can. `seed = ` in the scene takes one of them."
        )


def _settled(scene: Scene, neon: bool, memory: Memory | None, scale: float) -> Painting:
    """The scene read with its sketch and regions, glowing if asked for."""
    with working("Reading the sketch and its regions", scene) as share:
        from glaze.painting.settle import resolve

        painting = resolve(scene, share, memory=memory, scale=scale)
    if memory is not None:
        memory.only_for(layer.key for layer in painting.layers)
    return painting.glowing() if neon else painting


def _recipe(scene: Scene, picture: Picture | PaintedFile, neon: bool) -> dict[str, str]:
    """What the picture's file says of how it was made."""
    from glaze.scene.file import scene_text

    told = {"scene": scene_text(scene)}
    if neon:
        beyond = f"{percent(picture.mapped_share, 1)} of the picture is beyond what a screen shows"
        told["neon"] = f"with the glow of fluorescent inks; {beyond}"
    return told


def _picture_lines(
    path: Path, picture: Picture | PaintedFile, painting: Painting, neon: bool
) -> Iterator[str]:
    """Size of the picture written, and how much of it a screen can't show."""
    if neon and painting.table.glow is None:
        yield "No ink in this scene is fluorescent, so --neon changes nothing."
    rows, columns = picture.shape
    light = painting.table.light.name
    yield f"{path}: {columns} x {rows} px at {picture.dpi:.0f} dpi, {light}."
    if picture.mapped_share > 0.0005:
        more = "glows more, or is more vivid," if neon else "is more vivid"
        yield (
            f"{percent(picture.mapped_share, 1)} of it {more} than a screen shows; "
            "there the nearest colour of the same lightness stands."
        )


def _notes_line(painting: Painting, scene_path: str) -> Iterator[str]:
    if painting.notes:
        notes = number_of(len(painting.notes), "note")
        yield f"{notes}, told by: glaze check {shlex.quote(scene_path)}"


def _checked(found: Mapping[str, Any]) -> list[str]:
    wide, high = found["size_mm"]
    notes = len(found["notes"])
    steps = number_of(len(found["steps"]), "step")
    return [f"{wide:.0f} x {high:.0f} mm", steps, number_of(notes, "note") if notes else ""]


@click.command()
@click.argument("scene_path", metavar="SCENE | FOLDER", shell_complete=completing.scenes)
@answers
@each_scene(Class(_checked))
def check(scene_path: str) -> Answer:
    """Read SCENE and say all that is wrong with it; exit code 2 if it can't be painted.

    Of a FOLDER of scenes each is checked, and what is wrong with any is told.
    """
    from glaze.scene.file import load_scene

    scene = load_scene(scene_path, with_sketch=True)
    from glaze.painting.settle import resolve

    painting = resolve(scene)
    wide, high = painting.size_mm
    steps = [step.name for step in scene.steps]
    notes = [*painting.notes, *_caution(painting)]
    found = {"scene": str(scene_path), "good": True, "size_mm": [wide, high]}
    size = f"{wide:.0f} x {high:.0f} mm, {number_of(len(steps), 'step')}"
    good = f"{scene.title}: {size}. It can be painted."
    return {**found, "steps": steps, "notes": notes}, [good, *notes]


def _caution(painting: Painting) -> list[str]:
    """The line that goes with a scene in which bleach is planned."""
    return caution_lines(any(step.step.liquid == "bleach" for step in painting.steps))


def _under(scene: Scene, light: str | None) -> Scene:
    """The scene under another light, or under its own."""
    if light is None:
        return scene
    from glaze.scene.changed import Change, with_changes

    return with_changes(scene, [Change("light", light)])


def _report(
    scene: Scene, painting: Painting, path: Path, picture: Picture | PaintedFile, view: str
) -> dict[str, Any]:
    """What `glaze preview --json` prints, each step's colour with its band among it."""
    from glaze.planning.sheet.step_bands import step_bands

    return {
        "picture": str(path),
        "view": view,
        "pixels": [*picture.shape[::-1]],
        "light": painting.table.light.name,
        "mapped_share": picture.mapped_share,
        "paper": scene.paper,
        "palette": scene.palette,
        "steps": [step.name for step in painting.steps],
        "inks": [ink.how for ink in painting.table.palette.bottles],
        "colours": [band.as_dict() for band in step_bands(scene, painting)],
        "notes": [*painting.notes, *_caution(painting)],
    }
