"""What commands say of findings made up here: lighter or darker, how many, on which page."""

from __future__ import annotations

import csv
import sys
from types import SimpleNamespace

import click
import pytest
from click.testing import CliRunner
from small_scenes import PLAIN
from tifffile import TiffFile

from glaze.cli import calibrate_commands, calibration_told, plan_command, question_commands, show
from glaze.cli.main import glaze
from glaze.cli.printing import to_print


def run(*words: str) -> str:
    result = CliRunner().invoke(glaze, words, catch_exceptions=False)
    assert result.exit_code == 0
    return result.stdout


def planned(kind: str, coats: int) -> str:
    minutes = SimpleNamespace(hands_on=17.0, dry=60.0)
    amount = SimpleNamespace(
        ready=False, text="Blue 1", ml_words="1.4 ml", parts="neat", area_cm2=80
    )
    step = SimpleNamespace(
        number=3, name="sky", kind=kind, value=None, ghost="", amount=amount, coats=coats,
        minutes=minutes, reason="On bare paper.", warnings=(),
    )  # fmt: skip
    return "\n".join(plan_command._step_lines(step))


def test_a_plan_counts_coats_of_a_wash_and_touches_of_a_lift() -> None:
    assert "neat, 2 touches; covers 80.0 cm²" in planned("lift", 2)
    assert "neat, 2 coats; covers 80.0 cm²" in planned("wash", 2)
    assert "neat; covers" in planned("wash", 1)
    assert "17 min to do, 60 min to dry" in planned("wash", 1)


def test_of_many_remarks_six_are_told_and_the_rest_counted() -> None:
    lines = list(plan_command._titled("Mind", ["", *(f"remark {n}" for n in range(9))]))
    assert lines[0] == "\nMind:"
    assert lines[1:7] == [f"  remark {n}" for n in range(6)]
    assert lines[7:] == ["  and 3 more; --json has them all."]
    assert list(plan_command._titled("Mind", ["", ""])) == []


def test_a_simpler_recipe_is_told_by_how_much_further_off_it_is() -> None:
    def match(de00: float, name: str) -> SimpleNamespace:
        band = SimpleNamespace(text="value 5.0", standing="assumed", half_width=0.5)
        return SimpleNamespace(
            rgb8=(1, 2, 3), proportions=name, parts="neat", notation="N 5", de00=de00, band=band,
            dilution=SimpleNamespace(parts_water=0.0, text=""),
        )  # fmt: skip

    found = SimpleNamespace(
        wanted=SimpleNamespace(notation="N 5"), note="", recipes=[match(1.5, "a"), match(4.0, "b")]
    )
    lines = list(question_commands._recipe_lines("grey", found))
    assert "Next simpler: b, 2.5 further off." in lines
    found.recipes.reverse()
    lines = list(question_commands._recipe_lines("grey", found))
    assert "Next simpler: a, 2.5 nearer, its hue or value not." in lines


def test_one_hue_gets_a_shadow_of_its_own_and_several_an_even_one() -> None:
    one, two = (run("shadow", *hues, "--darker", "1") for hues in (["Yellow"], ["Yellow", "Red"]))
    assert "One wash for all" not in one
    assert "CIELAB chroma" in one  # all that is known of one shadow, not a row of a table
    assert "One wash for all" in two


def test_rungs_that_are_off_are_told_from_a_third_of_a_step(monkeypatch) -> None:
    promised = "glaze.calibrate.report.promised.promised_lines"
    monkeypatch.setattr(promised, lambda found: ())

    def rung(gap: float) -> SimpleNamespace:
        return SimpleNamespace(name=f"off by {gap}", value_gap=gap, de00=1.0, acts_as=None)

    ink = SimpleNamespace(name="Blue")
    fit = SimpleNamespace(
        ink=ink, strength=1.0, mean_de00=1.0, rungs=[rung(0.29), rung(0.3), rung(-0.4)],
        unseen_de00={"strength": 1.0}, kind="strength",
        strength_band=1.2, dots=(), notes=(),
    )  # fmt: skip
    checks = [rung(0.29), rung(-0.3)]
    palette = SimpleNamespace(checked=())
    found = SimpleNamespace(inks={"Blue": fit}, checks=checks, notes=(), palette=palette)
    told = [line.strip() for line in calibration_told.calibration_lines(found)]
    assert told[1:3] == [
        "off by 0.3: painted 0.3 steps lighter than fitted.",
        "off by -0.4: painted 0.4 steps darker than fitted.",
    ]
    assert told[4:] == ["off by -0.3: painted 0.3 steps darker than fitted."]


def test_a_zone_is_painted_lighter_or_darker_than_predicted() -> None:
    zones = [
        SimpleNamespace(zone=SimpleNamespace(name="sky"), value_gap=gap, de00=2.0)
        for gap in (0.5, -0.5)
    ]
    told = calibrate_commands._zone_lines(SimpleNamespace(zones=zones))
    assert told == [
        "sky: painted 0.5 steps lighter, 2.0 (CIEDE2000).",
        "sky: painted 0.5 steps darker, 2.0 (CIEDE2000).",
    ]


def test_each_palette_lists_its_own_bottles() -> None:
    told = run("inks")
    lifting, resistant = told.split("\nresistant: ")
    assert "Neon Pink" in lifting
    assert "Neon Pink" not in run("inks", "--palette", "resistant").split("resistant:")[0]
    assert resistant.count("Red") >= 1
    only = run("inks", "--palette", "lifting")
    assert "Yellow" in only


@pytest.mark.parametrize(
    ("words", "size"),
    [([], ("210", "297")), (["--page", "A3"], ("297", "420")), (["--of", "Black"], ("210", "297"))],
)
def test_sheets_are_of_a4_with_six_rungs_unless_told(tmp_path, words, size) -> None:
    out = tmp_path / "ladder.svg"
    run("chart", "ladder", "-o", str(out), *words)
    text = out.read_text()
    assert f'width="{size[0]}mm"' in text
    assert f'height="{size[1]}mm"' in text
    # doubling from neat: 1 + 1, 2, 4, 8, 16 and no further
    assert ">1 part + 16 parts water<" in text
    assert "32 parts" not in text
    assert "64 parts" not in text


@pytest.mark.parametrize("none", ["none", " None "])
def test_a_lift_chart_has_no_shadow_wash_where_none_is_wanted(tmp_path, none) -> None:
    out = tmp_path / "lift.csv"

    def shadows(shadow: str) -> set[str]:
        given = ("--strengths", "1+9", "--touches", "1", "--shadow", shadow)
        run("chart", "lift", "-o", str(out.with_suffix(".svg")), *given)
        lines = (line for line in out.read_text().splitlines() if not line.startswith("#"))
        return {row["shadow_wash"] for row in csv.DictReader(lines)}

    assert shadows(none) == {""}
    assert shadows("1+8") > {""}


@pytest.mark.parametrize(
    ("name", "words", "bits"),
    [("a.png", [], 8), ("a.PNG", [], 8), ("a.tif", [], 16), ("b.png", ["--bits", "16"], 16)],
)
def test_a_picture_has_8_bits_as_png_and_16_as_tiff_unless_told(
    scene_folder, tmp_path, name, words, bits
) -> None:
    out = tmp_path / name
    run("preview", str(scene_folder(PLAIN)), "-o", str(out), "--scale", "0.2", *words)
    # depth stands in byte 25 of a PNG [ISO 15948, 11.2.2]
    if name.lower().endswith("png"):
        assert out.read_bytes()[24] == bits
        return
    with TiffFile(out) as tiff:
        assert tiff.pages[0].bitspersample == bits


def test_a_bar_ends_at_its_end(monkeypatch) -> None:
    moved = []

    class Bar:
        pos = 0

        def __enter__(self) -> Bar:
            return self

        def __exit__(self, *_: object) -> None: ...

        def update(self, by: int) -> None:
            moved.append(by)
            self.pos += by

    bar = Bar()
    monkeypatch.setattr(sys, "stderr", SimpleNamespace(isatty=lambda: True))
    monkeypatch.setattr(click, "progressbar", lambda **_: bar)
    with show.progress("Painting") as share:
        for done in (0.25, 0.25, 0.5, 1.0):
            share(done)
    assert bar.pos == 1000
    assert moved == [250, 0, 250, 500]


def test_pages_of_one_sheet_are_told_in_one_line():
    files = ["a.png", "a-2.png", "a-3.png", "a-answers.png", "a-answers-2.png", "b-2.png"]

    assert to_print(files) == [
        "a.png to a-3.png: written. Print at 100 %.",
        "a-answers.png to a-answers-2.png: written. Print at 100 %.",
        "b-2.png: written. Print at 100 %.",
    ]
