"""What is cited stands in one bibliography: docs/sources.bib, shown on docs/sources.md."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
PAGES = sorted(
    path
    for room in ("glaze", "viewer", "docs", "tests")
    for path in (ROOT / room).rglob("*")
    if path.suffix in (".py", ".md", ".toml") and "made" not in path.parts
)
ENTRIES = re.findall(r"^@\w+\{(.+)\}$", (ROOT / "docs" / "sources.bib").read_text("utf-8"), re.M)
NAME = r"[A-ZÅ][\wÀ-ÿ'’-]+"
CITED = re.compile(
    rf"({NAME})(?:(?:,| and|,? &) {NAME})*(?: et al\.?| and others)?,? \(?((?:18|19|20)\d\d)\b"
)
NO_SOURCES = {"Nov", "November", "January", "Of", "Text", "ISCC-NBS", "RFC", "Xiv", "Journal"}
"""Words that stand before a year and cite nothing, standards by number, and parts of names."""


def key_of(entry: str) -> str:
    return entry.partition(",")[0]


def first_authors() -> set[tuple[str, str]]:
    """Family name of the first author, and year, of each entry."""
    found = set()
    for entry in ENTRIES:
        author = re.search(r"author = \{+([^,}]+?)(?:,| and |\})", entry)
        year = re.search(r"year = \{(\d{4})\}", entry)
        found |= {(author[1], year[1])} if author and year else set()
    return found


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.relative_to(ROOT).as_posix())
def test_what_is_cited_by_name_and_year_stands_in_the_bibliography(page):
    text = re.sub(r"\s+", " ", page.read_text("utf-8"))
    known = first_authors()
    # colour spaces go by a year of the CIE, all of them in its one standard
    missing = {
        (name, year)
        for name, year in CITED.findall(text)
        if name not in {*NO_SOURCES, "CIE"} and (name, year) not in known
    }
    assert missing == set()


def test_the_sources_of_the_tables_stand_in_the_bibliography_under_the_same_key():
    keys = {key_of(entry) for entry in ENTRIES}
    for table in (ROOT / "glaze" / "materials" / "tables").glob("*.toml"):
        for source in tomllib.loads(table.read_text("utf-8")).get("sources", {}):
            assert source in keys or not re.search(r"\d{4}$", source), source


def test_an_entry_says_what_it_is_and_no_key_comes_twice():
    keys = [key_of(entry) for entry in ENTRIES]
    assert keys == sorted(set(keys))
    for entry in ENTRIES:
        assert "author = {" in entry, entry
        assert "title = {" in entry, entry
