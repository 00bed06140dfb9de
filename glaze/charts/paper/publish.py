"""Pages to files: PDF in one, SVG and PNG one a page; each is there whole or not at all."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from glaze.charts.paper.page import Page
from glaze.errors import InputError

SUFFIXES = (".pdf", ".svg", ".png")
DPI = (20.0, 1200.0)
"""Pixels an inch that a sheet is drawn at; A3 at 1200 dpi has 278 million."""


def check_output(path: Path) -> None:
    """Refuse a place a sheet can't be written to, before the work is done."""
    if path.suffix.lower() not in SUFFIXES:
        raise InputError(
            f'"{path}": a sheet is written as .pdf, .svg or .png; end the name in one of them.'
        )
    if path.is_dir() or not path.parent.is_dir():
        raise InputError(f'"{path}" can\'t be written; give a file in a folder that exists.')


def write_pages(pages: Sequence[Page], path: str | Path, dpi: float = 150.0) -> list[Path]:
    """Write pages at true size; gives the files written.

    Parameters
    ----------
    path : .pdf (all pages), or .svg or .png (page 2 and on as name-2.svg ...)
    dpi : pixels an inch of a .png
    """
    path = Path(path)
    check_output(path)
    if not DPI[0] <= dpi <= DPI[1]:
        raise InputError(f"{dpi:g} dpi: give {DPI[0]:g} to {DPI[1]:g} pixels an inch.")
    if path.suffix.lower() == ".pdf":
        from glaze.charts.paper.pdf import pdf_bytes

        _write(path, pdf_bytes(pages))
        return [path]
    written = []
    for number, page in enumerate(pages, start=1):
        file = path if number == 1 else path.with_stem(f"{path.stem}-{number}")
        _write_one(page, file, dpi)
        written.append(file)
    return written


def _write_one(page: Page, file: Path, dpi: float) -> None:
    if file.suffix.lower() == ".svg":
        from glaze.charts.paper.svg import svg_text

        _write(file, svg_text(page).encode())
        return
    from glaze.charts.paper.png import page_pixels
    from glaze.picture.file import Picture, write_picture

    write_picture(Picture(page_pixels(page, dpi), dpi), file)


def _write(file: Path, content: bytes) -> None:
    from glaze.picture.writing import write_whole

    write_whole(file, content)
