"""The painter's questions, asked of the sitting: plain functions, each gives lines and offers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from glaze.errors import InputError
from glaze.step.wash_step import Wash

from .saying import say, spoken_words, translated
from .sitting import Sitting


@dataclass(frozen=True)
class Offer:
    """An answer that can be taken: what it says, and the recipe line it stands for."""

    words: str
    mix: str
    coats: int = 1
    rgb: tuple[int, int, int] | None = None


@dataclass(frozen=True)
class Answered:
    """Lines to read, and offers to take."""

    lines: tuple[str, ...]
    offers: tuple[Offer, ...] = ()


def drops_for(sitting: Sitting, colour: str) -> Answered:
    """Which drops make a colour on the bare paper; as `glaze mix` reads colours."""
    from glaze.planning.recipe.match import match_colour
    from glaze.planning.recipe.wanted import wanted_colour

    table = sitting.table
    found = match_colour(wanted_colour(colour), table)
    offers = []
    for match in found.recipes[:5]:
        words = f"{match.proportions}   {translated(match.parts)}   {match.notation}"
        offers.append(Offer(words, match.mix.recipe.text, match.coats, match.rgb8))
    return Answered((translated(found.note),) if found.note else (), tuple(offers))


def even_shadows_of(sitting: Sitting, numbers: Sequence[int], steps: float) -> Answered:
    """A dilution of a dark ink for each of some washes, so that all darken alike."""
    from glaze.planning.recipe.hue import read_hue
    from glaze.planning.recipe.shadow import even_shadows

    table, scene = sitting.table, sitting.scene
    chosen = [scene.steps[n] for n in numbers]
    texts = [step.mix for step in chosen if isinstance(step, Wash)]
    if not texts:
        raise InputError(say("questions.tick"))
    hues = [read_hue(text, table) for text in texts]
    found = even_shadows(table, hues, steps)
    lines = [
        say(
            "questions.shadow",
            name=step.name,
            parts=translated(one.parts),
            before=f"{one.value_before:.1f}",
            after=f"{one.band.best:.1f}",
        )
        for step, one in zip(chosen, found.shadows, strict=True)
    ]
    return Answered((*lines, translated(found.note)))


def write_card(sitting: Sitting, path: Path) -> list[Path]:
    """The recipe card of the plan, at true size: .pdf, .svg or .png."""
    from glaze.charts.paper.publish import check_output, write_pages
    from glaze.charts.sheets.card import card_pages
    from glaze.planning.sheet.planner import plan_of

    check_output(path)
    even = sitting.settling.worked_out(sitting.draft, even=True)
    return write_pages(card_pages(plan_of(sitting.draft.laid, even)), path)


def write_page(sitting: Sitting, path: Path) -> None:
    """The plan as a page for a tablet or phone beside the sheet: .html."""
    from glaze.charts.content.lesson_words import lesson_words
    from glaze.charts.screen.bench_page import bench_page
    from glaze.picture.writable import check_place
    from glaze.picture.writing import write_whole
    from glaze.planning.sheet.planner import plan_of

    check_place(path, (".html",), "the bench page")
    plan = plan_of(sitting.draft.laid, sitting.settling.worked_out(sitting.draft, even=True))
    page = bench_page(plan, sitting.painting, lesson_words(spoken_words().language))
    write_whole(path, page.encode())


def write_proof(sitting: Sitting, path: Path) -> None:
    """The picture as `glaze preview` writes it: true size, profile, recipe."""
    from glaze.picture.file import check_path, write_picture
    from glaze.pipeline import render
    from glaze.scene.file import scene_text

    scene = sitting.draft.laid
    sketch = scene.file(scene.sketch) if scene.sketch else None
    check_path(path, sketch)
    bits = 8 if path.suffix.lower() == ".png" else 16
    picture = render(sitting.painting, bits=bits)
    # as it is saved: without regions that no step needs any more
    told = {"scene": scene_text(sitting.lean.laid)}
    write_picture(picture, path, told, protect=sketch)


def write_chart(sitting: Sitting, name: str, path: Path) -> None:
    """A chart of the bottles and the paper on the table."""
    from glaze.cli.main import glaze

    scene = sitting.scene
    palette, paper = (
        str(scene.file(n)) if n.endswith(".toml") else n for n in (scene.palette, scene.paper)
    )
    # swatches and lessons bring their own palette options; all take these
    options = ["-o", str(path), "--palette", palette, "--paper", paper]
    glaze.main(["chart", name, *options], standalone_mode=False)
