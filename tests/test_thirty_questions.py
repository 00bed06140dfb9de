"""Thirty questions asked through every door: a command's text and JSON, a script, the window.

The doors are compared with one another; what is right is held by the tests of each room.
"""

from __future__ import annotations

import json
from functools import cache

import pytest
from click.testing import CliRunner

import glaze
from glaze.charts.content.card_words import recipe_lines
from glaze.cli.main import glaze as command
from glaze.materials.colour_words import colour_words
from glaze.materials.munsell import munsell_from_xyz
from glaze.patch.layers import Laid, Lifted
from glaze.patch.trust import trusted
from glaze.planning.asked import asked_of
from glaze.sheet.lift import Touches
from viewer.core.asking import drops_for
from viewer.core.cards import cards_of
from viewer.core.keep import open_any
from viewer.core.spot import read_at

SAME = 0.051
"""Value steps; JSON rounds to two places."""


def told(*arguments: str) -> tuple[str, dict]:
    """A command's lines, and its JSON."""
    lines, found = (CliRunner().invoke(command, [*arguments, *more]) for more in ([], ["--json"]))
    assert lines.exit_code == 0, lines.output
    return lines.stdout, json.loads(found.stdout)


@pytest.fixture(scope="module")
def sitting(tmp_path_factory):
    folder = tmp_path_factory.mktemp("asked") / "scene"
    folder.mkdir()
    (folder / "scene.toml").write_text(SCENE, encoding="utf-8")
    found = open_any(folder)
    found.finish()
    yield found
    found.close()


@cache
def usual():
    return asked_of().table


SCENE = """\
format = 1
palette = "lifting"
paper = "white cartridge"
size_mm = [60, 40]
dpi = 60

[well]
dusk = "Red 2 + Blue 1 + water 12"

[region.left]
polygon_mm = [[2, 2], [30, 2], [30, 38], [2, 38]]
[region.right]
polygon_mm = [[30, 2], [58, 2], [58, 38], [30, 38]]
[region.across]
polygon_mm = [[8, 12], [52, 12], [52, 28], [8, 28]]

[[step]]
wash = "yellow ground"
mix = "Yellow 1 + water 1"
region = "left"
edge = "none"

[[step]]
wash = "evening"
mix = "dusk"
region = "right"
edge = "none"

[[step]]
wash = "shadow"
mix = "Black 1 part + water 8 parts"
region = "across"
edge = "none"

[[step]]
lift = "glint"
region = { ellipse_mm = { centre = [19, 20], radii = [4, 4] } }
parts_water = 9
"""

COLOURS = ("#7a8a3c", "#c8452e", "#1f4e79", "#f2d16b", "#3a3a3a", "5R 4/8", "2.5PB 5/6", "N 6")


@pytest.mark.parametrize("colour", COLOURS)
def test_which_drops_make_a_colour(colour, sitting):
    text, found = told("mix", colour)
    script = glaze.match_colour(colour, usual()).recipes
    window = drops_for(sitting, colour).offers
    assert len(found["recipes"]) == len(script) >= len(window) >= 2
    for row, match, offer in zip(found["recipes"], script, window, strict=False):
        assert row["proportions"] == match.proportions
        assert row["parts"] == match.parts
        assert f"{match.proportions}   {match.parts}" in offer.words
        assert (offer.mix, offer.coats) == (match.mix.recipe.text, match.coats)
        assert match.proportions in text
        assert row["munsell"] == match.notation
        assert row["band"]["low"] == pytest.approx(match.band.low, abs=SAME)


SHADOWS = (
    ("Yellow 1", 1.0),
    ("Yellow 1", 2.0),
    ("Red 1", 1.5),
    ("Blue 1 + water 4", 1.0),
    ("Yellow 3 + Red 1", 2.5),
    ("paper", 3.0),
)


@pytest.mark.parametrize(("hue", "darker"), SHADOWS)
def test_which_dilution_gives_a_shadow(hue, darker):
    text, found = told("shadow", hue, "--darker", str(darker))
    script = glaze.shadow(usual(), hue, darker=darker)
    dilution = glaze.dilution_of(usual().mix("Black 1"), found["parts_water"])
    assert found["parts_water"] == pytest.approx(script.parts_water, abs=1e-4)
    assert found["parts"] == script.parts == dilution.words
    assert found["parts"] in text
    assert found["recipe"] == script.dilution.text == dilution.text
    assert found["value"] == pytest.approx(script.band.best, abs=SAME)
    assert f"value {found['value']:.1f}" in text


LIFTS = (("Black 1", 0.0), ("Black 1", 9.0), ("Blue 1", 19.0), ("Red 1", 4.0), ("Yellow 1", 9.0))


@pytest.mark.parametrize(("recipe", "parts"), LIFTS)
def test_what_bleach_leaves(recipe, parts):
    scrap = glaze.Scrap(usual()).wash(recipe).lift(parts_water=parts)
    band = trusted(usual(), [Laid(usual().mix(recipe)), Lifted(Touches(parts))]).band
    assert scrap.value[0, 0] == pytest.approx(band.best, abs=SAME)
    assert scrap.trusted.band.low == pytest.approx(band.low, abs=SAME)
    assert scrap.trusted.band.high == pytest.approx(band.high, abs=SAME)


STEPS = range(4)


@pytest.mark.parametrize("number", STEPS)
def test_what_a_step_comes_to(number, sitting, tmp_path):
    folder = str(sitting.scene.folder)
    _, preview = told("preview", folder, "-o", str(tmp_path / f"{number}.png"))
    text, plan = told("plan", folder)
    script = glaze.plan_of(glaze.load_scene(folder)).steps[number]
    seen, planned = preview["colours"][number], plan["steps"][number]
    for end in ("low", "high"):
        band = getattr(script.value, end)
        assert seen["band"][end] == pytest.approx(band, abs=SAME)
        assert planned["band"][end] == pytest.approx(band, abs=SAME)
    assert seen["value"] == pytest.approx(planned["value"], abs=SAME)
    card, row = recipe_lines(script, 80.0), cards_of(sitting)[number]
    assert row.name == planned["name"] == script.name
    assert row.kind == planned["kind"]
    if "mix" in planned:
        parts = planned["amount"]["parts"]
        assert parts in row.parts
        assert any(parts in str(line) for line in card)
        assert parts in text


PLACES = ((15, 8), (45, 8), (26, 20), (45, 20), (19, 20), (55, 35), (1, 1))


@pytest.mark.parametrize("place", PLACES)
def test_what_lies_at_a_place(place, sitting):
    painting = sitting.painting
    x, y = (round(mm * painting.dpi / 25.4) for mm in place)
    spot = read_at(painting, Touches(4.0), y, x)
    # the same layers on a scrap of the same paper, by name
    scrap = glaze.Scrap(painting.table)
    names = [one.name for one in spot.steps]
    for step in sitting.scene.steps:
        if step.name in names and step.recipe:
            scrap.wash(step.recipe)
        elif step.name in names:
            scrap.lift(parts_water=9)
    assert spot.value == pytest.approx(scrap.value[0, 0], abs=0.15)  # tooth of the paper
    found = munsell_from_xyz(scrap.xyz[0, 0], painting.table.light.white_xyz)
    hue, value, chroma = (float(part) for part in (found.hue, found.value, found.chroma))
    assert spot.words.split()[-1] == colour_words(hue, value, chroma).split()[-1]


def test_there_are_thirty():
    assert len(COLOURS) + len(SHADOWS) + len(LIFTS) + len(STEPS) + len(PLACES) == 30
