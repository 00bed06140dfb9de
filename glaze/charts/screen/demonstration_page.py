"""The class lesson's demonstration of bleach, as a page for the grown-up's tablet."""

from __future__ import annotations

from PIL import Image

from glaze.charts.content.class_plan import ClassPlan
from glaze.charts.paper.page import Page
from glaze.charts.paper.png import page_pixels
from glaze.charts.screen.bench_step import sheet_figure, ticks
from glaze.charts.screen.markup import tag
from glaze.charts.screen.shell import caution, screen, whole_page
from glaze.charts.screen.stages import Stage, picture_uri
from glaze.charts.screen.to_do import Clock, Tick
from glaze.charts.sheets.facts import facts_of
from glaze.charts.sheets.grown_up_pages import TOUCH_MINUTES, demonstration_steps
from glaze.materials.words import Words
from glaze.physics.flow import MM_PER_INCH

DPI = 130.0
PAINTED = 4
"""The step at which the circle of bleach is painted; the next one blots it."""


def demonstration_page(plan: ClassPlan, words: Words, wheel: Page, day: str | None = None) -> str:
    """The page, as HTML. wheel : the answers' wheel, circle of bleach and all"""
    shown = _picture_of(wheel)
    title = words("demonstration.title")
    wheel_name = words("wheel.title")
    front = screen(
        "front",
        title,
        sheet_figure(shown, words("answers.wheel"), words, before=False),
        tag("p", words("demonstration.intro")),
        tag("p", words("demonstration.look")),
        tag("p", words("bench.kept"), class_="quiet screen-only", id="kept"),
        tag("p", facts_of(plan.table, day, words), class_="quiet"),
    )
    out = screen(
        "set-out",
        words("bench.set_out"),
        ticks([Tick("thing.1", words("bench.bleach_things"))]),
        caution(words),
    )
    steps = demonstration_steps(plan, words)
    screens = [(title, front), (words("bench.set_out"), out)]
    for number, told in enumerate(steps, start=1):
        one = ticks([Tick(f"{number}.1", told, _clocks(number, wheel_name, words))], "ticks deeds")
        name = words("bench.step_of", number=number, count=len(steps))
        line = tag("p", words.caution_line, class_="mind")
        screens.append((told, screen(f"step-{number}", name, one, line, step=str(number))))
    return whole_page(title, screens, words, told="\n".join(steps))


def _clocks(number: int, wheel: str, words: Words) -> tuple[Clock, ...]:
    """From the painted circle to the blot."""
    if number != PAINTED:
        return ()
    working, blot = words("bench.working", name=wheel), words("bench.blot_now", name=wheel)
    return (Clock(float(TOUCH_MINUTES), working, blot),)


def _picture_of(page: Page) -> Stage:
    """A sheet as the picture of a screen."""
    image = Image.fromarray(page_pixels(page, DPI))
    high, wide = (side * MM_PER_INCH / DPI for side in (image.height, image.width))
    return Stage(picture_uri(image), "", (0.0, 0.0, wide, high))
