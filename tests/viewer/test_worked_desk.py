"""The desk's figures and words, worked by hand on made-up steps and small sheets."""

from __future__ import annotations

from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
from small_scenes import PLAIN

from glaze.errors import InputError
from glaze.painting.settle import resolve
from glaze.patch.table import table_of
from glaze.pipeline import linear_rgb, render
from glaze.planning.recipe.thinned import diluted_text
from glaze.scene.called import free_name
from glaze.scene.file import read_text, scene_of
from glaze.scene.records import Scene
from glaze.sheet.rect import whole
from glaze.step.wash_step import Wash
from viewer.core import drafting, ordering, views
from viewer.core.cards import cards_of
from viewer.core.differences import changed_tiles
from viewer.core.drafting import Draft
from viewer.core.hand import amount_text
from viewer.core.keep import open_any
from viewer.core.sizes import size_of, usual_sizes
from viewer.core.tour import Tour
from viewer.core.views import View, seen

TABLE = table_of("lifting", "white cartridge")
GRADED = """
[[step]]
wash = "night"
mix = "Black 1"
region = "sheet"
edge = "none"
graded = { from_mm = [0, 0], to_mm = [20, 0], start = 1, end = 0 }
"""
LIFT = '[[step]]\nlift = "moon"\nregion = "sheet"\n'


def painted(text: str):
    return resolve(scene_of(read_text(PLAIN.replace("300", "60") + text), Path(".")), even=True)


# Ways of looking


def test_five_values_are_more_than_three_and_three_are_three() -> None:
    painting = painted(GRADED)
    greys = {
        way: np.unique(seen(painting, View(way=way), whole(painting.shape))[..., 0])
        for way in ("three values", "five values", "values only")
    }
    assert len(greys["three values"]) == 3
    # a neat coat on cartridge has value 3.2, which of five values is the second darkest
    assert len(greys["five values"]) == 4
    assert len(greys["values only"]) > 20


def test_without_bleach_is_the_scene_without_its_lift() -> None:
    lifted, plain = painted(GRADED + LIFT), painted(GRADED)
    shown = seen(lifted, View(way="without bleach"), whole(lifted.shape))
    assert np.array_equal(shown, render(plain).rgb)
    assert not np.array_equal(shown, render(lifted).rgb)
    assert np.array_equal(linear_rgb(lifted.unlifted()), linear_rgb(plain))
    assert np.array_equal(render(lifted, view="unlifted").rgb, render(plain).rgb)


def test_a_reserve_stands_dark_on_a_pale_picture() -> None:
    # 0.35 of white and 0.6 are 0.95; of that 0.15 where all is reserved, 0.575 where half is
    white = np.ones((1, 3, 3))
    reserve = np.array([[0, 32768, 65535]], np.uint16)
    shown = views._stopped_out(white, whole((1, 3)), reserve)
    assert shown[0, :, 0] == pytest.approx([0.95, 0.95 * 0.575, 0.95 * 0.15], abs=1e-4)


# The order


def told(monkeypatch, old: tuple[float, str], new: tuple[float, str], start=0, to=1, liquids="ii"):
    liquid = {"i": "ink", "b": "bleach"}
    steps = [
        SimpleNamespace(name=n, liquid=liquid[kind]) for n, kind in zip("ab", liquids, strict=True)
    ]
    settling = SimpleNamespace(painted_step=lambda n: n, tried=lambda draft: "after")
    sitting = SimpleNamespace(
        settling=settling, draft=None, painting="now", scene=SimpleNamespace(steps=steps)
    )
    looks = {"now": SimpleNamespace(value=old[0], notation=old[1]),
             "after": SimpleNamespace(value=new[0], notation=new[1])}  # fmt: skip
    monkeypatch.setattr(ordering, "thick_place", lambda step: (0, 0))
    monkeypatch.setattr(ordering.drafting, "with_step_moved", lambda *a: None)
    monkeypatch.setattr(ordering, "read_at", lambda painting, touches, *place: looks[painting])
    return ordering.order_words(sitting, start, to)


def test_another_order_is_told_lighter_or_darker(monkeypatch) -> None:
    red = "5R 5/4"
    assert "becomes 5R 6/4, 1.0 value lighter." in told(monkeypatch, (5.0, red), (6.0, "5R 6/4"))
    assert "0.5 value darker." in told(monkeypatch, (5.0, red), (4.5, "5R 4.5/4"))
    # values are told to a tenth of a step, so a tenth is a change
    assert "0.1 value darker." in told(monkeypatch, (5.04, red), (4.96, red))
    assert "another hue." in told(monkeypatch, (5.0, red), (5.04, "10R 5/4"))
    assert told(monkeypatch, (5.0, red), (5.04, red)) == "a: the same colour either way."


def test_bleach_that_is_passed_is_told(monkeypatch) -> None:
    same = (5.0, "N 5"), (5.0, "N 5")
    assert "no longer lifts" in told(monkeypatch, *same, start=1, to=0, liquids="ib")
    assert "also lifts" in told(monkeypatch, *same, liquids="bi")
    assert "isn't lifted itself" in told(monkeypatch, *same, liquids="ib")
    assert "is lifted with the rest" in told(monkeypatch, *same, start=1, to=0, liquids="bi")
    assert "bleach" not in told(monkeypatch, *same)


def draft(*aside: int) -> Draft:
    steps = tuple(Wash(name=n, mix="Blue 1", region="sheet") for n in "abc")
    scene = Scene(format=1, palette="lifting", paper="white cartridge", size_mm=(9, 9), steps=steps)
    return Draft(scene, frozenset(aside))


def aside_names(one: Draft) -> set[str]:
    return {one.scene.steps[n].name for n in one.aside}


def test_what_is_set_aside_stays_set_aside_wherever_it_goes() -> None:
    one = draft(1)
    for moved in (
        drafting.with_step_moved(one, 1, 0),
        drafting.with_step_moved(one, 0, 2),
        drafting.with_step_moved(one, 2, 0),
        drafting.with_step(one, one.scene.steps[0].model_copy(update={"name": "new"}), 0),
        drafting.without_step(one, 0),
        drafting.without_step(one, 2),
    ):
        assert aside_names(moved) == {"b"}
    assert drafting.without_step(one, 1).aside == frozenset()
    assert [s.name for s in drafting.with_step_moved(one, 0, 2).scene.steps] == ["b", "c", "a"]
    assert [s.name for s in drafting.without_step(one, 0).scene.steps] == ["b", "c"]
    assert [s.name for s in one.laid.steps] == ["a", "c"]
    assert [one.place(n) for n in (0, 1, 2, 3)] == [0, None, 1, None]
    assert free_name("Sky", {"sky", "sky 2"}) == "Sky 3"


def test_sheets_of_two_sizes_differ_everywhere() -> None:
    of = {"line": None, "table": SimpleNamespace(light=1, paper=1), "layers": ()}
    one, other = (SimpleNamespace(shape=shape, **of) for shape in ((5, 5), (6, 5)))
    assert changed_tiles(one, other) is None
    assert changed_tiles(one, one) == set()


# Amounts


def test_cards_count_every_coat(tmp_path: Path) -> None:
    # A4 under 100 ml/m2: 623.7 cm2, 6.237 ml a coat and 1.4 of that to mix; 1 min and 15.6 by hand,
    # 153 g/(m2 h) in air so 1.5 x 39.2 min until bone dry: 75 min a coat
    wash = '[[step]]\nwash = "{}"\nmix = "dusk"\nregion = "sheet"\nedge = "none"\ncoats = {}\n'
    head = PLAIN.replace("[20, 12]", "[210, 297]").replace("300", "20")
    wells = '[well]\ndusk = "Blue 1 ml + water 3 ml"\n'
    (tmp_path / "scene.toml").write_text(head + wells + wash.format("a", 1) + wash.format("b", 2))
    sitting = open_any(tmp_path)
    try:
        sitting.finish()
        one, two = cards_of(sitting)
    finally:
        sitting.close()
    # 20 dpi cover 209.55 x 297.18 mm, and the brush's patches leave the mean as it is
    assert one.ml == pytest.approx(6.237 * 1.4, rel=0.01)
    assert two.ml == pytest.approx(2 * 6.237 * 1.4, rel=0.01)
    assert one.minutes == pytest.approx(75.4, rel=0.02)
    assert two.minutes == pytest.approx(2 * 75.4, rel=0.02)
    assert one.recipe == "Blue 1 ml + water 3 ml"
    assert two.parts == "1 part + 3 parts water, 2 coats"


def test_drops_stay_whole_and_water_goes_by_volume() -> None:
    assert amount_text("Blue 1 + water 4", "Blue", 2.4) == "Blue 2 + water 4"
    assert amount_text("Blue 1 ml + water 4 ml", "Blue", 2.444) == "Blue 2.44 ml + water 4 ml"
    assert amount_text("Blue 1 + water 4", "water", 0) == "Blue 1"
    assert diluted_text("Blue 1 + water 2", 8.0, TABLE) == "Blue 1 part + water 8 parts"
    # one drop of each ink is 2/35 ml; 300 parts are 17.14 ml, 343 drops of 1/20 ml
    assert diluted_text("Blue 1 + Red 1", 300.0, TABLE) == "Blue 1 + Red 1 + water 343"
    assert diluted_text("Blue 1 ml + Red 3 ml", 2.0, TABLE) == "Blue 1 ml + Red 3 ml + water 8 ml"


def test_sizes_of_a_picture_by_its_shape() -> None:
    upright, lying = usual_sizes((1480, 2100)), usual_sizes((2100, 1480))
    assert (upright["A5"], upright["A4"]) == ((148, 210), (210, 297))
    assert (lying["A5"], lying["A4"]) == ((210, 148), (297, 210))
    assert "Letter" not in upright  # 215.9/279.4 is a tenth broader than 1/sqrt 2
    assert size_of("148", (1480, 2100)) == (148, 210)
    assert size_of("a4", (2100, 1480)) == (297, 210)
    assert size_of("148 x 206", (1480, 2100)) == (148, 206)  # 2 % off: edges are cut
    with pytest.raises(InputError, match="another shape"):
        size_of("148 x 200", (1480, 2100))


def test_the_tour_goes_on_when_its_step_is_done() -> None:
    scene, hand = SimpleNamespace(steps=[]), SimpleNamespace(mix="Blue 1")
    tour = Tour(SimpleNamespace(hand=hand, scene=scene))
    assert not tour.look()
    hand.mix = "Red 1"
    assert tour.look()
    assert tour.hint.startswith("2 of 3")
    scene.steps.append(SimpleNamespace(liquid="ink"))
    assert tour.look()
    assert not tour.look()
    assert tour.hint.startswith("3 of 3")
    scene.steps.append(SimpleNamespace(liquid="bleach"))
    assert tour.look()
    assert tour.hint.startswith("That is all")
    tour.end()
    assert tour.hint == ""
