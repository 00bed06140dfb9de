"""Tables: every figure says value, unit, source and how; a bad entry is refused and told."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from glaze.errors import InputError
from glaze.materials import dye, ink, paper
from glaze.materials.dye import load_dyes
from glaze.materials.entries import HOW, TABLES, Reader, rising
from glaze.materials.ink import PALETTES, load_palette
from glaze.record.incoming import read_toml, toml_of

FIGURES = [TABLES / name for name in ("dyes.toml", "dye_bands.toml", "papers.toml")]
PLAIN = {"extra"}


def figures(table: Any, path: str = "") -> Iterator[tuple[str, dict[str, Any]]]:
    """Every entry of a table that holds numbers, with its place."""
    if isinstance(table, dict) and "value" in table:
        yield path, table
    elif isinstance(table, dict):
        for key, inner in table.items():
            yield from figures(inner, f"{path}/{key}")
    elif isinstance(table, list):
        for number, inner in enumerate(table):
            yield from figures(inner, f"{path}/{number}")
    elif isinstance(table, int | float) and path.rsplit("/", 1)[-1] not in PLAIN:
        yield path, {"value": table}


@pytest.mark.parametrize("path", [*FIGURES, *sorted(PALETTES.glob("*.toml"))], ids=lambda p: p.name)
def test_every_figure_says_unit_source_and_how(path: Path) -> None:
    found = list(figures(read_toml(path)))
    assert len(found) >= 3
    incomplete = [place for place, f in found if not all(f.get(k) for k in ("unit", "source"))]
    assert incomplete == []
    assert [place for place, f in found if f.get("how") not in {*HOW, "invented"}] == []


@pytest.mark.parametrize("name", ["dyes.toml", "papers.toml"])
def test_every_source_key_is_explained(name: str) -> None:
    table = read_toml(TABLES / name)
    sources = table.pop("sources")
    keys = {entry["source"] for _, entry in figures(table)}
    assert keys
    # a source is a key of the list, or is written out in full where it serves once
    assert [key for key in keys if key not in sources and " " not in key] == []


def test_every_assumed_or_analogous_rate_carries_an_uncertainty() -> None:
    table = read_toml(TABLES / "dyes.toml")
    table.pop("sources")
    rates = {name: dye["k_ocl"] for name, dye in table.items()}
    bare = [
        n for n, r in rates.items() if r["how"] in ("assumed", "analogue") and "factor" not in r
    ]
    assert bare == []


@pytest.mark.parametrize("missing", ["unit", "source", "how", "value"])
def test_an_entry_without_its_standing_is_refused(missing: str) -> None:
    entry = {"value": 1.0, "unit": "g/L", "source": "x", "how": "read"}
    del entry[missing]
    problems: list[str] = []
    Reader({"k": entry}, "t.toml", problems, strict=True).number("k", 0, 10)
    assert any(missing in problem for problem in problems)


def test_a_bare_number_is_refused_in_a_built_in_table_and_taken_from_a_user() -> None:
    problems: list[str] = []
    assert Reader({"k": 2.0}, "mine.toml", problems).number("k", 0, 10) == 2.0
    assert problems == []
    Reader({"k": 2.0}, "t.toml", problems, strict=True).number("k", 0, 10)
    assert "unit" in problems[0]


def test_a_key_nobody_reads_is_told_with_the_nearest_known_one() -> None:
    problems: list[str] = []
    reader = Reader({"dropz_per_ml": 30}, "inks.toml", problems)
    reader.number("drops_per_ml", 5, 100, 35)
    reader.finish()
    assert 'Did you mean "drops_per_ml"?' in problems[0]


@pytest.mark.parametrize("value", [float("nan"), float("inf"), -1.0, 11.0, True, "3"])
def test_a_number_out_of_range_is_told(value: object) -> None:
    problems: list[str] = []
    Reader({"k": value}, "t.toml", problems).number("k", 0, 10, 1)
    assert len(problems) == 1


def test_a_broken_file_is_told_with_its_line(tmp_path: Path) -> None:
    path = tmp_path / "inks.toml"
    path.write_text('name = "x"\nkey = = 3\n')
    with pytest.raises(InputError, match="line 2"):
        read_toml(path)
    with pytest.raises(InputError, match="no such file"):
        read_toml(tmp_path / "none.toml")
    path.write_bytes(b"\xff\xfe\x00")
    with pytest.raises(InputError, match="UTF-8"):
        read_toml(path)


@pytest.mark.parametrize(("before", "after"), [("[", "]"), ("{a = ", "}")])
def test_what_lies_over_forty_deep_is_refused(before: str, after: str) -> None:
    # the key itself is the first of the forty
    assert toml_of(f"a = {before * 39}1{after * 39}", "inks.toml")
    with pytest.raises(InputError, match="more than 40 deep"):
        toml_of(f"a = {before * 40}1{after * 40}", "inks.toml")


def test_rising_rows() -> None:
    assert rising([(400, 1), (410, 0)])
    assert not rising([(400, 1), (400, 0)])


def test_the_ends_of_every_figure_are_those_of_the_page(monkeypatch, tmp_path: Path) -> None:
    told = {}
    page = (Path(__file__).parents[2] / "docs" / "materials.md").read_text(encoding="utf-8")
    for keys, low, high in re.findall(r"((?:`\w+`,? )+)([\d.]+) to ([\d.]+)", page):
        told |= {key: (float(low), float(high)) for key in re.findall(r"`(\w+)`", keys)}
    ends, entry = {}, Reader.entry

    def noted(self, key, low, high, default=None):
        ends[key] = low, high
        return entry(self, key, low, high, default)

    monkeypatch.setattr(Reader, "entry", noted)
    file = tmp_path / "inks.toml"
    file.write_text('based_on = "lifting"\n[checked]\n[checked.one_ink]\nvalue = 0.4\n')
    load_palette(str(file))
    dye._built_in.__wrapped__()
    ink._built_in.__wrapped__("lifting")
    paper._built_in.__wrapped__()
    grams = {ends.pop(key) for key in list(ends) if key in load_dyes()}
    assert grams == {(0, 100)}
    assert ends == told
