"""The class lesson: what each part says and leaves unsaid, its amounts by hand, its languages."""

from __future__ import annotations

import re
import tomllib
from dataclasses import replace
from string import Formatter

import pytest

from glaze.charts.content.class_plan import ClassPlan, plan_class
from glaze.charts.content.ladder import usual_ladders
from glaze.charts.content.lesson_words import FOLDER, lesson_languages, lesson_words
from glaze.charts.content.lift_rows import plan_lift
from glaze.charts.content.spoken_table import spoken_table
from glaze.charts.content.wheel import plan_wheel
from glaze.charts.paper.marks import Shape, Text, bounds, wrapped
from glaze.charts.paper.page import MARGIN_MM, Page
from glaze.charts.sheets.class_sheets import class_parts
from glaze.charts.sheets.ladder_sheet import ladder_sheets
from glaze.charts.sheets.lift_sheet import lift_chart
from glaze.charts.sheets.pack import class_pack
from glaze.charts.sheets.parts import Layout
from glaze.charts.sheets.wheel_sheet import wheel_sheets
from glaze.errors import InputError
from glaze.materials.bleach import CAUTION, CAUTION_LINE
from glaze.materials.ink import load_palette
from glaze.materials.paper import paper_names
from glaze.patch.table import table_of

TABLE = table_of("lifting", "white cartridge")
LAYOUT = Layout(day="2026-01-02")
BLEACH_WORDS = re.compile(r"bleach|hypochlor|bleich|javel|chlor|lej[ií]a|cloro|blanch", re.I)


@pytest.fixture(scope="module")
def plan() -> ClassPlan:
    return plan_class(TABLE)


def told(pages: list[Page]) -> str:
    return "\n".join(mark.text for page in pages for mark in page.marks if isinstance(mark, Text))


def parts_in(language: str, plan: ClassPlan) -> dict[str, list[Page]]:
    return class_parts(plan, lesson_words(language), LAYOUT)


def test_hand_outs_give_no_answer(plan: ClassPlan) -> None:
    pages = parts_in("en", plan)["handouts"]
    text = told(pages)
    looks = [look for block in plan.blocks for look in block.looks]
    looks += [part.hue for part in plan.wheel.segments] + [t.after for t in plan.glazes.tasks]
    for look in looks:
        assert look.munsell not in text
        assert not re.search(rf"\b{look.words}\b", text.replace("Yellow", "").replace("Red", ""))
    # nothing printed in a predicted colour: greys of the value strip alone are filled
    filled = [m for page in pages for m in page.marks if isinstance(m, Shape) and m.fill]
    assert all(m.fill[0] == m.fill[1] == m.fill[2] for m in filled)
    for page in pages:
        assert "Name:" in told([page])


def test_the_nine_blocks_are_the_same_on_hand_out_and_answers(plan: ClassPlan) -> None:
    parts = parts_in("en", plan)
    titles = [
        [m.text for m in page.marks if isinstance(m, Text) and re.match(r"[1-9]  ", m.text)]
        for page in (parts["handouts"][1], parts["answers"][1])
    ]
    assert titles[0] == titles[1]
    assert [block.way for block in plan.blocks] == ["black"] * 6 + ["water"] * 2 + ["free"]
    assert len(titles[0]) == 9


def test_one_shadow_dilution_holds_throughout() -> None:
    text = "\n".join(told(p) for p in parts_in("en", plan_class(TABLE, dilution="1+5")).values())
    assert set(re.findall(r"(?<!That is )1 part \+ (\d+) parts water(?!, enough)", text)) == {"5"}


@pytest.mark.parametrize("language", lesson_languages())
def test_no_bleach_means_not_a_word_of_it(language: str) -> None:
    parts = parts_in(language, plan_class(TABLE, bleach=False))
    assert "demonstration" not in parts
    for name, pages in parts.items():
        text = told(pages)
        assert not BLEACH_WORDS.search(text), (name, BLEACH_WORDS.search(text))


@pytest.mark.parametrize("language", lesson_languages())
def test_a_page_that_speaks_of_bleach_carries_the_caution(language: str, plan: ClassPlan) -> None:
    words = lesson_words(language)
    for pages in parts_in(language, plan).values():
        for page in pages:
            text = told([page]).replace("\n", " ")
            if BLEACH_WORDS.search(text):
                assert words.caution_line in text or words.caution[0] in text


def test_the_caution_is_told_whole_in_every_language() -> None:
    for language in lesson_languages():
        assert len(lesson_words(language).caution) == len(CAUTION.split("\n"))


@pytest.mark.parametrize("language", lesson_languages())
@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_nothing_is_cut_or_printed_over(language: str, size: str, plan: ClassPlan) -> None:
    for pages in class_parts(plan, lesson_words(language), Layout(size, day="2026-01-02")).values():
        for page in pages:
            texts = [m for m in page.marks if isinstance(m, Text)]
            boxes = [bounds(m) for m in texts]
            for mark, (left, top, right, bottom) in zip(texts, boxes, strict=True):
                assert left >= MARGIN_MM - 0.5, mark.text
                assert right <= page.width - MARGIN_MM + 0.5, mark.text
                assert top >= MARGIN_MM - 2, mark.text
                assert bottom <= page.height - MARGIN_MM + 2, mark.text
            for n, a in enumerate(boxes):
                for k, b in enumerate(boxes[n + 1 :], start=n + 1):
                    over = min(a[2], b[2]) - max(a[0], b[0]), min(a[3], b[3]) - max(a[1], b[1])
                    assert min(over) < 0.9, (texts[n].text, texts[k].text)


def test_amounts_by_hand(plan: ClassPlan) -> None:
    # ring of 0.4 of a disc of 75 mm, and six right halves of 2.5 fields of 12 x 16 mm:
    # 7068.6 + 2880 mm2; 100 ml/m2, 1.4 for the mix, 20 pupils, a quarter more
    assert plan.shadow_ml == pytest.approx(34.8, abs=0.1)
    # the ladder's first rung: neat black, a drop of 1/35 ml; no bottle goes below it
    assert plan.bottles_ml["Black"] > 20 * 1.25 / 35
    # a circle of 3 mm at 0.6 of the wheel: 848 mm2, 60 ml/m2: 1.4 ml, less than a dish holds
    assert plan.bleach_ml == (1.0, 4.0)
    twice = plan_class(TABLE, pupils=40)
    assert twice.bottles_ml["Red"] == pytest.approx(2 * plan.bottles_ml["Red"])


def test_a_box_to_tick_stands_before_deeds_and_not_before_remarks(plan: ClassPlan) -> None:
    (page,) = parts_in("en", plan)["shopping"]
    boxes = [mark.points[0][1] for mark in page.marks if mark.name == "tick"]
    words = lesson_words("en")
    for key, boxed in (("shopping.water", True), ("shopping.plan_note", False)):
        start = words(key, ml="")[:11]
        (line,) = [m for m in page.marks if isinstance(m, Text) and m.text.startswith(start)]
        near = any(0 < line.y - y < 4.5 for y in boxes)
        assert near == boxed, key


def test_minutes_that_do_not_suffice_are_told_with_what_to_leave_out() -> None:
    long = plan_class(TABLE, minutes=120)
    assert long.spare_minutes == 120 - sum(minutes for _, minutes in long.times) > 0
    assert long.left_out == []
    assert plan_class(TABLE, minutes=90).left_out == ["blocks"]
    assert plan_class(TABLE, minutes=20).left_out == ["ladder", "blocks"]


@pytest.mark.parametrize(
    ("wish", "said"),
    [
        ({"pupils": 0}, "1 to 60"),
        ({"segments": 24}, "18 or 36"),
        ({"minutes": 5}, "20 to 480"),
        ({"dilution": "8"}, "1\\+8"),
    ],
)
def test_wishes_nobody_can_have_are_told(wish, said) -> None:
    with pytest.raises(InputError, match=said):
        plan_class(TABLE, **wish)
    with pytest.raises(InputError, match="en"):
        lesson_words("xx")


def _shape(found, at: str = "") -> dict[str, list]:
    """Every text's key with the names filled into it."""
    if isinstance(found, dict):
        return {k: v for key, part in found.items() for k, v in _shape(part, f"{at}.{key}").items()}
    lines = found if isinstance(found, list) else [found]
    return {at: [sorted(f for _, f, _, _ in Formatter().parse(line) if f) for line in lines]}


@pytest.mark.parametrize("language", lesson_languages())
def test_a_translation_has_every_text_and_fills_in_the_same(language: str) -> None:
    shapes = []
    for name in ("en", language):
        content = tomllib.loads((FOLDER / f"{name}.toml").read_text(encoding="utf-8"))
        content.pop("caution", None)
        shapes.append(_shape(content))
    assert shapes[0] == shapes[1]


def test_a_pack_without_bleach_has_not_a_word_of_it() -> None:
    """Every page of every chart; swatch dots, gamut sentences and bottles spoke of it."""
    for page in class_pack(TABLE, LAYOUT, bleach=False):
        found = BLEACH_WORDS.search(told([page]))
        assert not found, (page.title, found)


def test_every_page_of_the_pack_that_speaks_of_bleach_carries_the_caution() -> None:
    pages = class_pack(TABLE, LAYOUT)
    for page in pages:
        text = told([page]).replace("\n", " ")
        if BLEACH_WORDS.search(text):
            assert CAUTION_LINE in text or CAUTION.split("\n")[0] in text, page.title
    assert any(BLEACH_WORDS.search(told([page])) for page in pages)


def test_blank_sheets_give_nothing_away() -> None:
    blank = Layout(mode="blank", day="2026-01-02")
    notation = re.compile(r"\d[A-Z]{1,2} \d\.\d/\d")
    chart = plan_lift(TABLE, ("neat",), 1)
    lifted = told(lift_chart(chart, blank))
    for row in chart.rows:
        assert all(cell.ghost not in lifted for cell in row.cells if " " in cell.ghost)
    wheel = wheel_sheets(plan_wheel(TABLE), blank)
    assert len(wheel) == 1  # the key tells every colour
    ladders = told(ladder_sheets(TABLE, usual_ladders(TABLE), blank))
    assert not re.search(r"value \d", ladders)
    for text in (lifted, told(wheel), ladders):
        assert not notation.search(text)


@pytest.mark.parametrize(("language", "check", "rung"), [
    ("de", "mit dem Lineal", "Schwarz 5 + Wasser 3 Tropfen"),
    ("fr", "à la règle", "Noir 5 + eau 3 gouttes"),
    ("es", "con una regla", "Negro 5 + agua 3 gotas"),
])  # fmt: skip
def test_foot_and_recipes_speak_the_lessons_language(language, check, rung) -> None:
    text = told(_spoken_parts(language)["handouts"]).split("\n")
    assert any(check in line for line in text)
    assert rung in text
    assert not any("print at" in line or " paper · " in line for line in text)
    # one drop is one drop
    assert not any(line in text for line in ("Noir 1 gouttes", "Negro 1 gotas"))


def _spoken_parts(language: str, table=TABLE) -> dict[str, list[Page]]:
    words = lesson_words(language)
    return class_parts(plan_class(spoken_table(table, words)), words, LAYOUT)


@pytest.mark.parametrize("language", ["de", "fr", "es"])
def test_bottles_paper_and_figures_are_the_languages_own(language: str) -> None:
    """Children read "Yellow 5 + Red 1 gouttes" on "papier white cartridge", value 7.1."""
    text = "\n".join(told(pages) for pages in _spoken_parts(language).values())
    assert not re.search(r"\b(Blue|Red|Yellow|Black|white|cartridge)\b", text)
    assert re.search(r"\d,\d", text)
    assert not re.search(r"(?<![\d.])\d+\.\d(?![\d.])", text)  # but glaze 1.0.0


def test_a_painters_own_bottle_keeps_its_name() -> None:
    own = replace(TABLE.palette.inks["Blue"], how="measured")
    inks = {**TABLE.palette.inks, "Blue": own}
    table = replace(TABLE, palette=replace(TABLE.palette, inks=inks))
    text = told(_spoken_parts("de", table)["shopping"])
    assert "Blue (B)" in text
    assert "Rot (R)" in text


def test_every_bottle_and_paper_has_a_name_in_the_languages() -> None:
    known = {*TABLE.palette.inks, *load_palette("resistant").inks, *paper_names()}
    for language in lesson_languages():
        words = lesson_words(language)
        assert set(words.told["called"]) == known
        letters = words.told["key_letters"].values()
        assert len(set(letters)) == len(letters), language


def test_letters_of_the_blocks_are_explained(plan: ClassPlan) -> None:
    """K and w stood under the fields, and nowhere what they are."""
    page = parts_in("en", plan)["handouts"][1]
    assert "Y Yellow, R Red, B Blue, K Black, w water." in told([page])


def test_french_marks_stand_with_their_word() -> None:
    lines = wrapped("eau de Javel " * 4 + "nature : rien ; non !", 20.0, 10.0)
    assert not any(line[0] in ":;!" for line in lines)
