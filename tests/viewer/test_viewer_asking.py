"""The painter's questions, asked of a sitting."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from PIL import Image
from small_scenes import LIFTED

from glaze.errors import InputError
from glaze.materials.munsell import munsell_from_xyz
from glaze.painting.settle import resolve
from glaze.pipeline import render
from glaze.region.records import Region
from glaze.scene.file import load_scene
from viewer.core import asking, drafting
from viewer.core.keep import open_any, save
from viewer.core.laying import Laying
from viewer.core.ordering import order_words
from viewer.core.saying import say
from viewer.core.tour import FIRST, FIRST_END, TEN, TEN_END, Tour, sketch_to_try
from viewer.core.versions import keep_version
from viewer.core.views import Kept, View


@pytest.fixture
def sitting(scene_folder):
    found = open_any(scene_folder(LIFTED))
    found.finish()
    yield found
    found.close()


def test_the_drops_that_are_offered_make_a_colour_of_that_hue(sitting):
    offers = asking.drops_for(sitting, "5GY 6/6").offers
    assert offers
    sitting.table.mix(offers[0].mix)
    rgb = np.array(offers[0].rgb) / 255
    linear = np.where(rgb <= 0.04045, rgb / 12.92, ((rgb + 0.055) / 1.055) ** 2.4)
    # IEC 61966-2-1 matrix, D65
    to_xyz = [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
    found = munsell_from_xyz(np.array(to_xyz) @ linear, (0.9505, 1.0, 1.089))
    assert float(found.hue) == pytest.approx(35, abs=4)  # 5GY
    assert float(found.value) == pytest.approx(6, abs=0.4)


def test_shadows_of_the_ticked_washes_are_told_one_by_one(sitting):
    answer = asking.even_shadows_of(sitting, [0, 3], 1.5)
    assert answer.lines[0].startswith("yellow: ")
    assert answer.lines[1].startswith("over it: ")
    with pytest.raises(InputError, match="Tick"):
        asking.even_shadows_of(sitting, [], 1.5)


def test_a_proof_is_what_preview_writes(sitting, tmp_path):
    asking.write_proof(sitting, tmp_path / "proof.png")
    with Image.open(tmp_path / "proof.png") as image:
        found = np.asarray(image.convert("RGB"))
        assert image.info["dpi"][0] == pytest.approx(150, abs=0.1)
    assert np.array_equal(found, render(resolve(load_scene(sitting.home))).rgb)
    with pytest.raises(InputError, match="sketch"):
        asking.write_proof(sitting, sitting.scene.file("sketch.png"))


def test_a_proof_is_the_file_that_preview_writes_after_a_step_was_taken_out(sitting, tmp_path):
    from click.testing import CliRunner

    from glaze.cli.main import glaze

    laying = Laying(sitting)
    for _ in range(2):
        sitting.choose(None)
        laying.press((10, 10))
        laying.up()
    sitting.do("out", drafting.without_step(sitting.draft, len(sitting.scene.steps) - 1))
    sitting.finish()
    save(sitting, tmp_path / "saved")
    asking.write_proof(sitting, tmp_path / "proof.png")
    asked = ["preview", str(tmp_path / "saved"), "-o", str(tmp_path / "picture.png")]
    assert CliRunner().invoke(glaze, asked).exit_code == 0
    assert (tmp_path / "proof.png").read_bytes() == (tmp_path / "picture.png").read_bytes()


def test_a_card_is_written(sitting, tmp_path):
    written = asking.write_card(sitting, tmp_path / "card.pdf")
    assert written[0].read_bytes().startswith(b"%PDF")


def test_the_bench_page_of_a_sitting_is_that_of_the_command(sitting, tmp_path):
    """What `glaze plan --page` writes of the saved scene, to the letter."""
    from click.testing import CliRunner

    from glaze.cli.plan_command import plan

    asking.write_page(sitting, tmp_path / "window.html")
    given = [str(sitting.home), "--page", str(tmp_path / "command.html")]
    CliRunner().invoke(plan, given, catch_exceptions=False)
    page = (tmp_path / "window.html").read_text("utf-8")
    assert page == (tmp_path / "command.html").read_text("utf-8")
    with pytest.raises(InputError, match=r"\.html"):
        asking.write_page(sitting, tmp_path / "page.pdf")


def test_another_order_is_told_in_a_line(sitting):
    words = order_words(sitting, 0, 3)
    assert "yellow" in words
    assert "bleached places" in words
    assert "no longer lifts" in order_words(sitting, 2, 0)
    assert order_words(sitting, 3, 1)


def test_the_tour_goes_on_by_doing(sitting):
    tour = Tour(sitting)
    assert tour.hint.endswith(say(f"tour.{FIRST[0].key}"))
    assert not tour.look()
    sitting.hold(replace(sitting.hand, mix="Red 2"))
    assert tour.look()
    assert tour.hint.endswith(say(f"tour.{FIRST[1].key}"))
    sitting.do("wash", drafting.with_step(sitting.draft, sitting.hand.step("red", "left")))
    assert tour.look()
    assert tour.hint.endswith(say(f"tour.{FIRST[2].key}"))
    lift = replace(sitting.hand, kind="lift").step("beam", "left")
    sitting.do("lift", drafting.with_step(sitting.draft, lift))
    assert tour.look()
    assert tour.hint == say(f"tour.{FIRST_END}")
    assert tour.is_over
    tour.end()
    assert tour.hint == ""


def test_ten_things_to_try_are_each_seen_to_be_done(sitting):
    assert sketch_to_try().is_file()
    assert len(TEN) == 10
    tour, hand = Tour(sitting, TEN, TEN_END), sitting.hand

    def laid(name: str, values: dict, **regions) -> None:
        draft = sitting.draft
        for region, shape in regions.items():
            draft = drafting.with_region(draft, region, shape)
        step = replace(hand, **values).step(name, next(iter(regions), "left"))
        sitting.do(f"lay {name}", drafting.with_step(draft, step))

    def changed(name: str, **values) -> None:
        sitting.do(name, drafting.with_changed_step(sitting.draft, 1, **values))

    def reserve() -> None:
        sitting.reserving = True
        Laying(sitting).press((2, 2))
        sitting.reserving = False

    kept = keep_version(sitting, "before")
    deeds = (
        lambda: laid("wash", {}, box=Region(enclosed_at_mm=((30, 10),))),
        lambda: laid("wash 2", {}),
        lambda: changed("dilution of shadow", mix="Black 1 + water 8"),
        None,  # a wash of this scene is graded from the beginning
        reserve,
        lambda: laid("light", {"kind": "lift"}),
        lambda: changed(
            "to value 4: less water in shadow, Black 1 + water 1", mix="Black 1 + water 1"
        ),
        lambda: sitting.do("lay shadow later", drafting.with_step_moved(sitting.draft, 1, 2)),
        lambda: sitting.look(View("three values")),
        lambda: sitting.look(View(split=0.5, left=Kept(kept.name, sitting.painting))),
    )
    tour.look()
    assert tour.done == {3}
    for n, deed in enumerate(deeds):
        if deed is None:
            continue
        assert n not in tour.done
        deed()
        tour.look()
        assert n in tour.done, TEN[n].key
    assert tour.hint == say(f"tour.{TEN_END}")


def test_hints_can_be_looked_through_without_doing_them(sitting):
    tour = Tour(sitting, TEN, TEN_END)
    tour.look()
    tour.turn(1)
    assert tour.hint.startswith("2 of 10   ")
    tour.turn(2)
    assert tour.hint.startswith("4 of 10 (done)   ")
    tour.turn(-4)
    assert tour.hint.startswith("10 of 10   ")
