"""The grown-up's pages of the class lesson: the demonstration of bleach, and the shopping list."""

from __future__ import annotations

from glaze.charts.content.class_plan import BLEACH_PARTS, ClassPlan
from glaze.charts.paper.page import Page
from glaze.charts.sheets.lesson_paper import STEP_PT, LessonPaper
from glaze.materials.parts_told import ml_words, parts_of
from glaze.materials.recipe import WATER
from glaze.materials.words import Words

TOUCH_MINUTES = 1


def demonstration_steps(plan: ClassPlan, words: Words) -> list[str]:
    """What the grown-up does, an action a line."""
    bleach, water = (ml_words(ml) for ml in plan.bleach_ml)
    filled = {
        "bleach_ml": bleach,
        "water_ml": water,
        "dilution": words("parts", parts=f"{parts_of(BLEACH_PARTS):g}"),
        "count": plan.pupils,
        "minutes": TOUCH_MINUTES,
    }
    return words.lines("demonstration.steps", **filled)


def demonstration_page(made: LessonPaper) -> Page:
    """What the grown-up shows, a page."""
    words = made.words
    page = made.start(words("demonstration.title"))
    wide = page.right - page.left
    page.top = page.paragraph(page.left, page.top + 2.0, wide, words("demonstration.intro"), 11)
    page.top += 4.0
    made.steps(page, demonstration_steps(made.plan, words), 11)
    page.top = page.paragraph(page.left, page.top, wide, words("demonstration.look"), 11) + 8.0
    for line in words.caution:
        page.top = page.paragraph(page.left, page.top, wide, line, STEP_PT, face="Bold") + 1.2
    return page


def shopping_page(made: LessonPaper) -> Page:
    """What to buy and to make ready, and how long each part takes."""
    words, plan = made.words, made.plan
    page = made.start(words("shopping.title"))
    page.top += 2.0
    made.ticked(page, words("shopping.told", pupils=plan.pupils), _bottles(made))
    groups = -(-plan.pupils // 4)
    wells = 12
    things = [
        words("shopping.sheets", count=4 * plan.pupils, paper=plan.table.paper.name),
        words("shopping.droppers", count=groups * (len(plan.table.palette.bottles) + 1)),
        words("shopping.wells", count=wells * plan.pupils, each=wells),
        words("shopping.brushes", count=plan.pupils),
    ]
    made.ticked(page, words("shopping.things"), things, [words("shopping.strip")])
    stock = words(
        "shopping.stock_wash",
        ml=ml_words(plan.shadow_ml),
        ink_ml=ml_words(plan.stock_ml[0]),
        water_ml=ml_words(plan.stock_ml[1]),
        ink=plan.black,
        parts=made.shadow,
    )
    made.ticked(page, words("shopping.stock"), [stock])
    at, rows = 0.0, []
    for key, minutes in plan.times:
        rows.append(f"{at:.0f}–{at + minutes:.0f}  {words(f'plan.{key}')}")
        at += minutes
    if plan.spare_minutes >= 0:
        fits = words("shopping.fits", left=f"{plan.spare_minutes:.0f}")
    else:
        parts = ", ".join(words(f"{key}.title") for key in plan.left_out)
        fits = words("shopping.too_long", over=f"{-plan.spare_minutes:.0f}", parts=parts)
    made.ticked(page, words("shopping.plan"), rows, [fits, words("shopping.plan_note")])
    made.caution_line(page, page.bottom - 5.0)
    return page


def _bottles(made: LessonPaper) -> list[str]:
    words, plan = made.words, made.plan
    keys = {ink.name: ink.key for ink in plan.table.palette.bottles}
    told = [
        words("shopping.bottle", name=name, letter=keys[name], ml=ml_words(ml))
        for name, ml in plan.bottles_ml.items()
        if name != WATER
    ]
    told.append(words("shopping.water", ml=ml_words(plan.bottles_ml.get(WATER, 0.0))))
    if plan.bleach:
        told.append(words("shopping.bleach", ml=ml_words(plan.bleach_ml[0])))
    return told
