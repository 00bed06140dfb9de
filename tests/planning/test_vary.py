"""One scene with many values: each as its file would be painted, and told apart as colour does."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader
from small_scenes import BENCH, LIFTED, SMALL

import glaze
from glaze.charts.sheets.contact import Cell
from glaze.cli.main import glaze as command
from glaze.errors import InputError
from glaze.materials.bleach import CAUTION, CAUTION_LINE
from glaze.planning.many.variants import MOST, painted_small, vary, words_of
from glaze.scene.changed import ASIDE, Change, with_changes
from glaze.scene.file import read_text, scene_of
from tests.charts.sheet_faults import faults


def told(*words: str | Path) -> dict[str, object]:
    found = CliRunner().invoke(command, [*map(str, words), "--json"], catch_exceptions=False)
    assert found.exit_code == 0, found.output
    return json.loads(found.stdout)


def lab_of(rgb8: np.ndarray) -> np.ndarray:
    """CIELAB of 8-bit sRGB, by a general library."""
    import colour

    xyz = colour.sRGB_to_XYZ(rgb8 / 255.0)
    return colour.XYZ_to_Lab(
        xyz, colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
    )


# ---- a scene with some values changed


EDITS = [
    (Change("coats", 3, "yellow"), ('region = "left"\n', 'region = "left"\ncoats = 3\n')),
    (Change("paper", "cream cartridge"), ("white cartridge", "cream cartridge")),
    (Change("bleach.percent", 3), ("[region.left]", "[bleach]\npercent = 3\n[region.left]")),
    (
        Change("room.humidity_percent", 80),
        ("[region.left]", "[room]\nhumidity_percent = 80\n[region.left]"),
    ),
    (Change("parts_water", 9, "light"), ("parts_water = 4", "parts_water = 9")),
    (Change("mix", "Red 1 + water 2", "over it"), ("Blue 1 + water 6", "Red 1 + water 2")),
]


@pytest.mark.parametrize(("change", "edit"), EDITS, ids=[c.place for c, _ in EDITS])
def test_a_changed_scene_is_the_one_whose_file_was_edited_so(scene_folder, change, edit) -> None:
    folder = scene_folder(LIFTED)
    edited = scene_of(read_text(LIFTED.replace(*edit)), folder)
    before = scene_of(read_text(LIFTED), folder)
    assert with_changes(before, [change]) == edited != before
    assert with_changes(before, []) is before


def test_a_step_set_aside_takes_what_is_laid_into_it_along(scene_folder) -> None:
    scene = scene_of(read_text(BENCH), scene_folder(BENCH))
    names = [step.name for step in scene.steps]
    assert {"sky", "bloom"} <= set(names)
    left = [step.name for step in with_changes(scene, [Change(ASIDE, True, "sky")]).steps]
    assert left == [name for name in names if name not in ("sky", "bloom")]
    assert with_changes(scene, [Change(ASIDE, False, "sky")]) == scene


def test_places_of_steps_hold_while_another_is_set_aside(scene_folder) -> None:
    """As --aside beside other values: the first is left out, and the last changed."""
    scene = scene_of(read_text(LIFTED), scene_folder(LIFTED))
    changes = [Change(ASIDE, True, "yellow"), Change("coats", 3, "over it")]
    assert [(step.name, step.times) for step in with_changes(scene, changes).steps] == [
        ("shadow", 1),
        ("light", 1),
        ("over it", 3),
    ]
    axes = [
        [Change("parts", n, "yellow") for n in (1.0, 4.0)],
        [Change(ASIDE, out, "yellow") for out in (False, True)],
    ]
    off = [one.most_off for one in vary(str(scene.folder), axes).each]
    assert off[1] == off[3] > off[2] > off[0] == 0.0


def test_a_scene_without_steps_says_so(scene_folder) -> None:
    scene = scene_of(read_text(SMALL.split("[[step]]")[0]), scene_folder(SMALL))
    with pytest.raises(InputError, match="none yet"):
        with_changes(scene, [Change("coats", 2, "yellow")])


@given(coats=st.integers(-5, 40))
def test_values_are_held_to_the_files_own_limits(coats: int) -> None:
    """A wash has 1 to 20 coats (docs/scene-file.md)."""
    text = SMALL.replace('sketch = "sketch.png"', "size_mm = [40, 32]")
    scene = scene_of(read_text(text), ".")
    change = [Change("coats", coats, "yellow")]
    if 1 <= coats <= 20:
        assert with_changes(scene, change).steps[0].times == coats
    else:
        with pytest.raises(InputError, match="coats"):
            with_changes(scene, change)


# ---- each is painted as its own file is


def test_each_picture_is_the_one_that_its_edited_scene_gives(scene_folder, tmp_path) -> None:
    """Painted from a file edited by hand. A picture of full size is encoded by the compiled kernel,
    a small one in numpy: one level of rounding apart at most; values go the same way."""
    folder = scene_folder(LIFTED)
    found = vary(
        str(folder),
        [
            [Change("parts", 3.0, "shadow"), Change("parts", 8.0, "shadow")],
            [Change("light", "D65"), Change("light", "A")],
        ],
    )
    edits = {  # as written: 1 drop of Black and n parts of water by volume
        (n, light): LIFTED.replace("Black 1 + water 3", f"Black 1 part + water {n} parts").replace(
            "format = 1", f'format = 1\nlight = "{light}"'
        )
        for n in (3, 8)
        for light in ("D65", "A")
    }
    for number, (one, text) in enumerate(zip(found.each, edits.values(), strict=True)):
        edited = scene_folder(text, f"edited {number}")
        cell = Cell(one.seen.linear_rgb, "")
        assert np.abs(cell.rgb8.astype(int) - glaze.paint(edited).rgb).max() <= 1
        assert np.array_equal(cell.grey8, glaze.paint(edited, view="value").rgb)


def test_how_far_off_is_ciede2000_over_the_sheet(scene_folder) -> None:
    """By colour-science from the 8-bit pictures: rounding alone is 0.3 at most in the mean."""
    import colour

    axes = [[Change("coats", n, "shadow") for n in (1, 4)]]
    first, other = vary(str(scene_folder(SMALL)), axes).each
    one, two = (lab_of(Cell(seen.linear_rgb, "").rgb8) for seen in (first.seen, other.seen))
    apart = colour.delta_E(one, two, method="CIE 2000")
    assert first.mean_off == first.most_off == 0.0
    assert other.mean_off == pytest.approx(apart.mean(), abs=0.3)
    assert other.most_off == pytest.approx(np.quantile(apart, 0.99), abs=0.5)
    assert other.mean_off > 2.0


def test_a_deeper_shadow_reads_darker_and_its_band_holds_its_value(scene_folder) -> None:
    axes = [[Change("parts", float(n), "shadow") for n in (2, 6, 18)]]
    bands = [one.seen.band for one in vary(str(scene_folder(SMALL)), axes).each]
    values = [band.best for band in bands if band]
    assert len(values) == 3
    assert values == sorted(values)
    assert all(band and band.low < band.best < band.high for band in bands)


def test_what_the_scene_has_already_is_named(scene_folder) -> None:
    axes = [[Change("coats", n, "yellow") for n in (2, 1)]]
    assert [one.as_it_is for one in vary(str(scene_folder(SMALL)), axes).each] == [False, True]


def test_a_memory_of_the_others_changes_no_pixel(scene_folder) -> None:
    """What is settled once for all of them gives what each would be by itself."""
    folder = str(scene_folder(LIFTED))
    axes = [
        [Change("touches", n, "light") for n in (1, 3)],
        [Change(ASIDE, out, "shadow") for out in (False, True)],
    ]
    for one in vary(folder, axes).each:
        alone = painted_small(folder, None, one.changes)
        assert np.array_equal(alone.linear_rgb, one.seen.linear_rgb)


WORDS = [
    (Change("parts", 8.0, "shadow"), "1 part + 8 parts water"),
    (Change("parts", 4.0, "light"), "1 part bleach + 4 parts water"),
    (Change("parts", 0.0, "light"), "neat bleach"),
    (Change("coats", 1, "yellow"), "1 coat"),
    (Change("touches", 3, "light"), "3 touches"),
    (Change(ASIDE, True, "light"), "without light"),
    (Change("seed", 4), "day 4"),
    (Change("room.humidity_percent", 80), "room.humidity_percent = 80"),
]


@pytest.mark.parametrize(("change", "words"), WORDS)
def test_what_was_changed_is_told_in_a_painters_words(scene_folder, change, words) -> None:
    assert words_of(change, scene_of(read_text(LIFTED), scene_folder(LIFTED))) == words


# ---- the command


def test_the_command_paints_every_combination_on_a_sheet_of_true_size(scene_folder, tmp_path):
    sheet = tmp_path / "ways.pdf"
    words = ("--step", "light", "--parts", "neat,1+4,9", "--minutes", "1,3", "--paper")
    found = told("vary", scene_folder(LIFTED), *words, "white cartridge", "-o", sheet)
    ways = found["variants"]
    assert [one["changed"]["light.parts"] for one in ways] == [0.0, 0.0, 4.0, 4.0, 9.0, 9.0]
    assert [one["changed"]["light.minutes"] for one in ways] == [1, 3] * 3
    assert all(one["changed"]["paper"] == "white cartridge" for one in ways)
    assert CAUTION_LINE in found["notes"]
    pages = PdfReader(sheet).pages
    assert [float(side) for side in pages[0].mediabox[2:]] == pytest.approx(
        [595.28, 841.89], abs=0.1
    )
    text = " ".join("\n".join(page.extract_text() for page in pages).split())
    for one in ways:
        assert " ".join(one["words"][0].split()) in text
    assert " ".join(CAUTION.splitlines()[0].split()) in text
    assert sum(page.extract_text().count("check with a ruler") for page in pages) == len(pages)


def test_every_page_is_fit_to_print(scene_folder):
    from glaze.charts.paper.marks import Image
    from glaze.charts.sheets.parts import Layout
    from glaze.charts.sheets.variant_sheet import variant_pages

    axes = [
        [Change("coats", n, "yellow") for n in (1, 2, 3, 4, 5)],
        [Change("paper", p) for p in ("white cartridge", "cream cartridge", "white hot-pressed")],
    ]
    found = vary(str(scene_folder(LIFTED)), axes)
    for layout in (Layout(), Layout("Letter", True), Layout("A5"), Layout("A3")):
        pages = variant_pages(found, layout)
        assert sum(isinstance(m, Image) for page in pages for m in page.marks) == 2 * 15
        assert not faults(pages)


def test_without_a_file_the_ways_are_told(scene_folder):
    words = ["vary", str(scene_folder(SMALL)), "--step", "shadow", "--aside"]
    found = CliRunner().invoke(command, words, catch_exceptions=False)
    assert found.exit_code == 0
    assert "with shadow" in found.stdout
    assert "without shadow" in found.stdout
    # counted from 1, and the scene as it is differs by nothing from itself
    ways = [line.split() for line in found.stdout.splitlines() if line.strip()[:1].isdigit()]
    assert [way[0] for way in ways] == ["1", "2"]
    assert ["off" in way for way in ways] == [False, True]
    assert CAUTION_LINE not in found.stdout


def test_any_other_key_of_the_file_can_be_varied(scene_folder):
    also = ("--also", "yellow.coats = 1, 2", "--also", "room.humidity_percent = 40, 80")
    ways = told("vary", scene_folder(SMALL), *also)["variants"]
    assert [one["changed"] for one in ways] == [
        {"yellow.coats": coats, "room.humidity_percent": humid}
        for coats in (1, 2)
        for humid in (40, 80)
    ]


WRONG = {
    "one way": (["--light", "A"], "1 combination"),
    "none": ([], "several values"),
    "no step": (["--parts", "4,8"], "Say which step"),
    "unknown step": (["--step", "shadw", "--parts", "4,8"], '"shadow"'),
    "no coats": (["--step", "shadow", "--coats", "0,1"], "1 to 20 coats"),
    "no key": (["--also", "coats"], "KEY = VALUES"),
    "unknown key": (["--also", "shadow.coat = 1, 2"], "coat"),
    "a rinse": (["--step", "blot", "--parts", "1,2"], "no ink and no bleach"),
    "another sheet": (["--also", "dpi = 100, 150"], "one sheet"),
    "too many": (["--also", "seed = " + ", ".join(map(str, range(1, MOST + 2)))], f"2 to {MOST}"),
    "no dilution": (["--step", "shadow", "--parts", "4,weak"], "as 1+8"),
    "no cluster": (["--light", "A,D65", "--scheduler", "tcp://127.0.0.1:9"], "No cluster answers"),
}


@pytest.mark.parametrize(("words", "said"), WRONG.values(), ids=WRONG.keys())
def test_what_cant_be_varied_is_told(scene_folder, words, said, monkeypatch):
    monkeypatch.setattr("glaze.planning.many.spread.CONNECT_S", 1)
    folder = scene_folder(LIFTED + '[[step]]\nrinse = "blot"\n')
    found = CliRunner().invoke(command, ["vary", str(folder), *words])
    assert found.exit_code != 0
    assert said in f"{found.output}{found.exception}"


def test_a_mistake_in_one_list_is_told_once(scene_folder):
    words = [
        "vary",
        str(scene_folder(SMALL)),
        "--step",
        "shadow",
        "--coats",
        "0,1,2",
        "--light",
        "A,B",
    ]
    found = CliRunner().invoke(command, words)
    assert isinstance(found.exception, InputError)
    assert len(found.exception.problems) == 1
