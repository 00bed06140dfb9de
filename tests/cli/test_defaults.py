"""What a command takes where nothing is said is what its function in a script takes."""

from __future__ import annotations

import inspect

import pytest

from glaze.calibrate.fit.own_inks import calibrate
from glaze.charts.content.class_plan import plan_class
from glaze.charts.content.lift_rows import plan_lift
from glaze.charts.content.wheel import plan_wheel
from glaze.charts.sheets.pack import class_pack
from glaze.cli.main import glaze
from glaze.cli.show import names
from glaze.materials.bleach import Bleach
from glaze.pipeline import render
from glaze.planning.bottles.choose import choose_bottles
from glaze.planning.bottles.gamut import plan_gamuts
from glaze.planning.bottles.nearest import nearest_bottles
from glaze.planning.looks.all_sides import swatch_of
from glaze.planning.recipe.match import match_colour
from glaze.planning.rough.propose import propose

CALLS = {
    "preview": (render, 2),
    "rough": (propose, 1),
    "mix": (match_colour, 1),
    "swatch": (swatch_of, 1),
    "calibrate": (calibrate, 1),
    "bottles nearest": (nearest_bottles, 1),
    "bottles choose": (choose_bottles, 2),
    "lesson": (plan_class, 4),
    "chart wheel": (plan_wheel, 4),
    "chart lift": (plan_lift, 3),
    "chart gamut": (plan_gamuts, 1),
    "chart all": (class_pack, 1),
}
"""Each command's function, and how many defaults they share at least."""


def options(words: str) -> dict[str, object]:
    """The defaults of a command's options."""
    command = glaze
    for word in words.split():
        command = command.get_command(None, word)
    said = int, float, str
    return {one.name: one.default for one in command.params if isinstance(one.default, said)}


@pytest.mark.parametrize("words", CALLS)
def test_a_command_takes_what_a_script_takes(words: str) -> None:
    function, least = CALLS[words]
    usual = {
        name: one.default
        for name, one in inspect.signature(function).parameters.items()
        if one.default is not one.empty and one.default is not None
    }
    typed = {name: value for name, value in options(words).items() if name in usual}
    assert len(typed) >= least
    for name, value in typed.items():
        listed = isinstance(usual[name], tuple)
        assert (tuple(names(value) or ()) if listed else value) == usual[name], name


def test_bleach_is_of_the_same_strength_everywhere() -> None:
    for words in ("chart wheel", "chart lift"):
        assert options(words)["percent"] == Bleach().percent
