"""Inks and palettes: the built-in ones, and a user's own file without any code."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from glaze.errors import InputError
from glaze.materials.checked import Off
from glaze.materials.ink import Ink, load_palette, palette_names


def written(folder: Path, text: str) -> Path:
    path = folder / "inks.toml"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize("name", palette_names())
def test_a_palette_has_four_bottles_with_letters_of_their_own(name: str) -> None:
    palette = load_palette(name)
    assert [ink.name for ink in palette.bottles] == ["Blue", "Red", "Yellow", "Black"]
    assert [ink.key for ink in palette.bottles] == ["B", "R", "Y", "K"]
    assert len({ink.key for ink in palette.inks.values()}) == len(palette.inks)


@pytest.mark.parametrize("name", palette_names())
def test_built_in_inks_are_said_to_be_invented(name: str) -> None:
    assert "real dyes" in load_palette(name).note
    assert {ink.how for ink in load_palette(name).inks.values()} == {"invented"}


@pytest.mark.parametrize("name", palette_names())
def test_bleach_class_agrees_with_the_dyes_rates(name: str) -> None:
    # a touch of neat bleach for a minute is an exposure of about 40 mol s/L
    palette = load_palette(name)
    for ink in palette.inks.values():
        gone = [palette.dyes[dye].bleach.k_ocl_l_per_mol_s * 40 > 3 for dye in ink.contents_g_per_l]
        expected = "lifts" if all(gone) else "partly" if any(gone) else "resists"
        assert ink.bleach_class == expected, ink.name


def test_the_two_reds_differ_in_what_bleach_leaves() -> None:
    lifting, resistant = (load_palette(n).inks["Red"] for n in ("lifting", "resistant"))
    assert lifting.bleach_class == "lifts"
    assert resistant.bleach_class == "partly"
    assert "Acid Red 52" in resistant.contents_g_per_l


def test_a_user_adds_an_ink_without_code(tmp_path: Path) -> None:
    path = written(
        tmp_path,
        'based_on = "lifting"\n[[ink]]\nname = "Moss"\n'
        'dyes_g_per_l = { "acid blue 9" = 0.5, "Acid Yellow 23" = 2 }\ndrops_per_ml = 30\n',
    )
    palette = load_palette(path)
    assert palette.name == "inks"
    assert list(palette.inks)[-1] == "Moss"
    assert palette.inks["Moss"].contents_g_per_l == {"Acid Blue 9": 0.5, "Acid Yellow 23": 2}
    assert palette.inks["Moss"].key == "M"
    assert palette.inks["Moss"].how == "estimated"
    assert palette.ink("moss") is palette.ink("M")


def test_a_bottle_of_which_nothing_is_told_may_be_three_times_off(tmp_path: Path) -> None:
    # as the built-in inks say of a bottle of one's own: assumed, no source
    lines = 'based_on = "lifting"\n[[ink]]\nname = "Moss"\ndyes_g_per_l = { "Acid Blue 9" = 0.5 }\n'
    assert load_palette(written(tmp_path, lines)).inks["Moss"].strength_factor == 3
    assert Ink("Moss", "M", {"Acid Blue 9": 0.5}).strength_factor == 3


def test_an_ink_of_the_same_name_takes_the_old_ones_place(tmp_path: Path) -> None:
    path = written(
        tmp_path,
        'based_on = "lifting"\n[[ink]]\nname = "Red"\nkey = "R"\n'
        'dyes_g_per_l = { "Acid Red 27" = 3 }\n',
    )
    palette = load_palette(path)
    assert list(palette.inks)[1] == "Red"
    assert palette.inks["Red"].contents_g_per_l == {"Acid Red 27": 3}


def test_a_measured_ink_comes_with_its_own_dye(tmp_path: Path) -> None:
    path = written(
        tmp_path,
        '[[dye]]\nname = "bottle blue"\nk_ocl = 0.6\n'
        "curve_l_per_g_cm = [[380, 5], [600, 150], [780, 0]]\n"
        '[[ink]]\nname = "Blue"\nhow = "measured"\ndyes_g_per_l = { "bottle blue" = 1 }\n',
    )
    palette = load_palette(path)
    assert [dye.name for dye in palette.colourants()] == ["bottle blue"]
    assert palette.dyes["bottle blue"].kind == "measured"


def test_all_that_is_wrong_with_a_file_is_told_at_once(tmp_path: Path) -> None:
    path = written(
        tmp_path,
        'based_on = "liftng"\ncolour = "red"\n'
        '[[ink]]\nname = "A"\nkey = "qq"\ndyes_g_per_l = { "Acid Blu 9" = 1, "Acid Red 1" = -2 }\n'
        '[[ink]]\nname = "B"\ndyes_g_per_l = {}\nseparation = "some"\nfilm = 3\n'
        '[[ink]]\nname = "water"\ndyes_g_per_l = { "Pale yellow azo residue" = 1 }\n',
    )
    with pytest.raises(InputError) as told:
        load_palette(path)
    text = str(told.value)
    for said in (
        'Did you mean "lifting"?',
        '"colour"',
        'Did you mean "Acid Blue 9"?',
        "-2",
        "one capital letter",
        '"dyes_g_per_l" is missing',
        '"some"',
        '"film"',
        'may not be "water"',
        "doesn't come in bottles",
    ):
        assert said in text
    assert all(problem.startswith("inks.toml") for problem in told.value.problems)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "has no ink"),
        ("ink = 3\n", r"\[\[ink\]\]"),
        ('[[ink]]\nname = "A"\ndyes_g_per_l = { "Acid Red 1" = 0 }\n', "no dye at all"),
        ('[[ink]]\nname = "A"\ndyes_g_per_l = { "Acid Red 1" = "much" }\n', "has to be a number"),
        ('[[ink]]\nname = "A"\ndyes_g_per_l = 3\n', "has to be a table"),
        ('[[ink]]\ndyes_g_per_l = { "Acid Red 1" = 1 }\n', '"name" is missing'),
        (2 * '[[ink]]\nname = "A"\ndyes_g_per_l = { "Acid Red 1" = 1 }\n', "two inks"),
    ],
)
def test_a_wrong_file_is_told(tmp_path: Path, text: str, said: str) -> None:
    with pytest.raises(InputError, match=said):
        load_palette(written(tmp_path, text))


def test_an_unknown_palette_or_ink_is_told_with_the_known_ones() -> None:
    with pytest.raises(InputError, match=r'Did you mean "lifting".*resistant'):
        load_palette("liftin")
    with pytest.raises(InputError, match='Did you mean "Yellow"'):
        load_palette("lifting").ink("Yelow")
    with pytest.raises(InputError, match="no such file"):
        load_palette("nowhere.toml")


def test_reading_a_palette_loads_no_slow_library() -> None:
    program = (
        "import sys; from glaze.materials.mix import mix_recipe;"
        "from glaze.materials.ink import load_palette; load_palette('lifting');"
        "print([m for m in ('colour', 'scipy', 'numba', 'PIL', 'pydantic') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True)
    assert done.stdout.strip() == "[]", done.stderr


def test_what_a_sheet_of_ones_own_does_not_say_was_off_by_nothing(tmp_path):
    file = tmp_path / "inks.toml"
    file.write_text('based_on = "lifting"\n[checked]\n[checked.one_ink]\nvalue = 0.4\n')
    found = load_palette(str(file)).checked
    assert found.one_ink == Off(value=0.4, colour=0.0, chroma=0.0)
    assert found.more_inks == found.scanner == Off(0.0, 0.0, 0.0)
    assert found.overlay_times == Off(1.0, 1.0, 1.0)  # the law's error as usual
