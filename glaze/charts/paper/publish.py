"""Pages to files: PDF in one, SVG and PNG one a page; each is there whole or not at all."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from glaze.charts.paper.page import Page, caution_page
from glaze.errors import InputError
from glaze.picture.writable import check_place
from glaze.picture.writing import together, write_whole

SUFFIXES = (".pdf", ".svg", ".png")
DPI = (20.0, 1200.0)
"""Pixels an inch that a sheet is drawn at; A3 at 1200 dpi has 278 million."""


def check_output(path: Path) -> None:
    """Refuse a place a sheet can't be written to, before the work is done."""
    check_place(path, SUFFIXES, "a sheet")


def with_caution(pages: Sequence[Page]) -> list[Page]:
    """The pages, and a page with the whole caution where one of them bears its line alone."""
    short = [page for page in pages if page.full_caution is False]
    there = any(page.full_caution for page in pages)
    return [*pages, *(caution_page(page) for page in short[:1] if not there)]


def write_pages(pages: Sequence[Page], path: str | Path, dpi: float = 150.0) -> list[Path]:
    """Write pages at true size; gives the files written.

    Parameters
    ----------
    path : .pdf (all pages), or .svg or .png (page 2 and on as name-2.svg ...)
    dpi : pixels an inch of a .png
    """
    path, pages = Path(path), with_caution(pages)
    check_output(path)
    if not DPI[0] <= dpi <= DPI[1]:
        raise InputError(f"{dpi:g} dpi: give {DPI[0]:g} to {DPI[1]:g} pixels an inch.")
    if path.suffix.lower() == ".pdf":
        from glaze.charts.paper.pdf import pdf_bytes

        write_whole(path, pdf_bytes(pages))
        return [path]
    written = []
    with together():
        for number, page in enumerate(pages, start=1):
            file = path if number == 1 else path.with_stem(f"{path.stem}-{number}")
            _write_one(page, file, dpi, number == 1)
            written.append(file)
    return written


def _write_one(page: Page, file: Path, dpi: float, named: bool) -> None:
    if file.suffix.lower() == ".svg":
        from glaze.charts.paper.svg import svg_text

        write_whole(file, svg_text(page).encode(), named=named)
        return
    from glaze.charts.paper.png import page_pixels
    from glaze.picture.file import Picture, write_picture

    write_picture(Picture(page_pixels(page, dpi), dpi), file, {"sheet": page.title}, named=named)
