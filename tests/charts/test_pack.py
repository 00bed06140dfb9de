"""The class pack and the command that prints sheets."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner
from pypdf import PdfReader

from glaze.charts.paper.marks import Text
from glaze.charts.sheets import pack as sheets
from glaze.charts.sheets.pack import class_pack, parts_of_pack
from glaze.charts.sheets.parts import Layout
from glaze.cli.chart_commands import CHARTS, chart
from glaze.cli.lesson_command import lesson
from glaze.errors import InputError
from glaze.patch.table import table_of
from tests.charts.sheet_faults import faults

DAY = "2026-01-02"


@pytest.fixture(scope="module")
def pack():
    told: list[float] = []
    table = table_of("lifting", "white cartridge")
    pages = class_pack(table, Layout(day=DAY), progress=told.append)
    return pages, told


def test_the_pack_tells_its_progress_to_the_end(pack) -> None:
    _, told = pack
    assert told == sorted(told)
    assert told[0] == 0.0
    assert told[-1] == 1.0
    assert len(told) > 8


def test_contents_give_the_pages_on_which_sheets_start(pack) -> None:
    pages, _ = pack
    texts = [mark.text for mark in pages[0].marks if isinstance(mark, Text)]
    for span, name in (("Ladders", "Ladders"), ("Tertiaries", "Tertiaries"), ("Gamut", "Gamut")):
        first = int(texts[texts.index(span) - 1].split(" ")[0])
        assert pages[first - 1].title == name
    numbers = [m.text for p in pages for m in p.marks if m.name == "page-number"]
    assert numbers == [f"{k} of {len(pages)}" for k in range(1, len(pages) + 1)]


def test_every_sheet_has_its_check_line_and_says_what_it_rests_on(pack) -> None:
    for page in pack[0]:
        names = {mark.name for mark in page.marks}
        assert "check-line-100-mm" in names or page.title == "Swatch sheet"
        told = " ".join(m.text for m in page.marks if isinstance(m, Text))
        assert "palette lifting" in told
        assert "inks invented" in told


def test_every_page_is_fit_to_print(pack) -> None:
    assert not faults(pack[0])


def test_the_caution_stands_on_every_sheet_that_plans_bleach(pack) -> None:
    for page in pack[0]:
        texts = [m for m in page.marks if isinstance(m, Text)]
        told = " ".join(m.text for m in texts if m.name != "facts")
        if re.search(r"[Bb]leach", told):
            assert "poisonous gas" in told, page.title


def test_a_pack_without_bleach_plans_none() -> None:
    table = table_of("lifting", "white cartridge")
    with_bleach, without = (
        [part.name for part in parts_of_pack(table, Layout(day=DAY), 12, bleach)]
        for bleach in (True, False)
    )
    assert [name for name in with_bleach if name not in without] == ["Bleach chart"]


# --- the command ---


def run(*arguments: str):
    return CliRunner().invoke(chart, list(arguments))


@pytest.mark.parametrize("name", ["wheel", "ladder", "blocks", "tertiary", "fringe"])
@pytest.mark.parametrize("suffix", ["pdf", "svg"])
def test_every_chart_is_written_by_its_command(tmp_path: Path, name: str, suffix: str) -> None:
    file = tmp_path / f"{name}.{suffix}"
    done = run(name, "-o", str(file), "--date", DAY, "--json")
    assert done.exit_code == 0, done.output
    found = json.loads(done.output)
    assert found["chart"] == name
    assert all(Path(made).exists() for made in found["files"])


@pytest.mark.parametrize(("size", "wide", "high"), [("A3", 297, 420), ("Letter", 215.9, 279.4)])
def test_sheets_have_the_size_that_is_asked_for(
    tmp_path: Path, size: str, wide: float, high: float
) -> None:
    # ISO 216 and ANSI Y14.1
    file = tmp_path / "blocks.pdf"
    assert run("blocks", "-o", str(file), "--page", size, "--turned").exit_code == 0
    box = PdfReader(file).pages[0].mediabox
    assert float(box.width) / 72 * 25.4 == pytest.approx(high, abs=0.01)
    assert float(box.height) / 72 * 25.4 == pytest.approx(wide, abs=0.01)


def test_the_same_sheet_gives_the_same_bytes(tmp_path: Path) -> None:
    one, two = tmp_path / "one.pdf", tmp_path / "two.pdf"
    for file in (one, two):
        run("wheel", "-o", str(file), "--date", DAY)
    assert one.read_bytes() == two.read_bytes()


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (["wheel", "--segments", "7"], "7 segments"),
        (["wheel", "--primaries", "Blue, Red"], "2 given"),
        (["wheel", "--across", "400"], "doesn't fit A4"),
        (["wheel", "--page", "B5"], "Known: A3, A4, A5, Letter"),
        (["wheel", "--inner", "8"], "write a dilution as 1+8"),
        (["wheel", "--by", "weight"], "Known: drops, hue"),
        (["ladder", "--of", "Purple"], 'called "Purple"'),
        (["tertiary", "--of", "Red 4"], "is one ink"),
        (["gamut", "--space", "rgb"], 'called "rgb"'),
    ],
)
def test_what_cannot_be_printed_is_refused_and_nothing_written(
    tmp_path: Path, arguments: list[str], told: str
) -> None:
    file = tmp_path / "x.pdf"
    done = run(*arguments, "-o", str(file))
    assert isinstance(done.exception, InputError)
    assert told in str(done.exception)
    assert not file.exists()


def test_a_place_that_cannot_be_written_is_refused_before_the_work(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    drawn: list[object] = []
    monkeypatch.setattr(sheets, "class_pack", lambda *given: drawn.append(given))
    for file in (tmp_path / "x.doc", tmp_path / "none" / "x.pdf"):
        assert isinstance(run("all", "-o", str(file)).exception, InputError)
    assert drawn == []


def test_an_unknown_chart_is_answered_with_the_nearest(tmp_path: Path) -> None:
    done = run("weel", "-o", str(tmp_path / "x.pdf"))
    assert done.exit_code == 2
    assert 'Did you mean "wheel"' in done.output


def test_help_lists_every_chart_without_loading_one() -> None:
    assert all(name in run("--help").output for name in CHARTS)


def test_the_example_in_the_docs_runs(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    docs = Path(__file__).resolve().parents[2] / "docs" / "sheets.md"
    code = re.search(r"```python\n(.*?)```", docs.read_text(encoding="utf-8"), re.DOTALL)
    assert code is not None
    monkeypatch.chdir(tmp_path)
    exec(code[1], {})
    assert capsys.readouterr().out.startswith("Yellow 3 + Red 3 ")
    assert (tmp_path / "wheel.pdf").stat().st_size > 10_000


def test_the_docs_name_every_chart_and_only_options_there_are() -> None:
    docs = Path(__file__).resolve().parents[2] / "docs" / "sheets.md"
    text = docs.read_text(encoding="utf-8")
    assert all(f"glaze chart {name} " in text for name in CHARTS)
    helps = " ".join(run(name, "--help").output for name in CHARTS)
    helps += CliRunner().invoke(lesson, ["--help"]).output
    for option in set(re.findall(r"`(--[a-z-]+)", text)):
        assert option in helps, option
