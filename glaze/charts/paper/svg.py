"""A page as SVG: sizes in mm, names kept as ids, text as text in the embedded typeface."""

from __future__ import annotations

import base64
import io
import re
from xml.sax.saxutils import escape as escape_xml
from xml.sax.saxutils import quoteattr

from glaze.charts.paper.marks import MM_PER_PT, Image, Line, Mark, Text
from glaze.charts.paper.page import Page
from glaze.charts.paper.type import font_file
from glaze.patch.seen import hex_of
from glaze.picture.writable import OURS

FAMILY = "Atkinson Hyperlegible"


def svg_text(page: Page) -> str:
    """The page as an SVG file whose units are millimetres."""
    ids: dict[str, int] = {}
    body = "\n".join(_put(mark, ids) for mark in page.marks)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{page.width:g}mm" '
        f'height="{page.height:g}mm" viewBox="0 0 {page.width:g} {page.height:g}">\n'
        f"{OURS['.svg'][0].decode()}\n"
        f"<title>{escape(page.title or 'glaze')}</title>\n"
        f"<style>\n{_faces(page)}text {{ font-kerning: none; white-space: pre }}\n</style>\n"
        f'<rect width="100%" height="100%" fill="#ffffff"/>\n{body}\n</svg>\n'
    )


_NOT_IN_XML = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")


def escape(text: str) -> str:
    """Text as XML may hold it [XML 1.0, 2.2]: no control characters but tab and line ends."""
    return escape_xml(_NOT_IN_XML.sub("\ufffd", text))


def _faces(page: Page) -> str:
    """The typeface in the file, cut down to the letters that are used."""
    texts = [mark for mark in page.marks if isinstance(mark, Text)]
    rules = []
    for face in sorted({mark.face for mark in texts}):
        letters = "".join(sorted({c for mark in texts if mark.face == face for c in mark.text}))
        weight, style = (
            ("bold" if "Bold" in face else "normal"),
            ("italic" if "Italic" in face else "normal"),
        )
        rules.append(
            f'@font-face {{ font-family: "{FAMILY}"; font-weight: {weight}; font-style: {style}; '
            f"src: url(data:font/woff;base64,{_cut_font(face, letters)}) }}\n"
        )
    return "".join(rules)


def _cut_font(face: str, letters: str) -> str:
    from fontTools.subset import Options, Subsetter
    from fontTools.ttLib import TTFont

    cutter = Subsetter(Options(layout_features=[], notdef_outline=True))
    cutter.populate(text=letters)
    out = io.BytesIO()
    # the font keeps its own date, so that the file is the same every time
    with TTFont(font_file(face), recalcTimestamp=False) as font:
        cutter.subset(font)
        font.flavor = "woff"
        font.save(out)
    return base64.b64encode(out.getvalue()).decode()


def _put(mark: Mark, ids: dict[str, int]) -> str:
    if isinstance(mark, Text):
        return _text(mark, ids)
    if isinstance(mark, Image):
        return _image(mark, ids)
    points = " ".join(f"{_mm(x)},{_mm(y)}" for x, y in mark.points)
    if isinstance(mark, Line):
        return f'<polyline{_id(mark.name, ids)} points="{points}" fill="none"{_pen(mark)}/>'
    fill = "none" if mark.fill is None else hex_of(mark.fill)
    pen = _pen(mark.frame) if mark.frame else ""
    return f'<polygon{_id(mark.name, ids)} points="{points}" fill="{fill}"{pen}/>'


def _pen(line: Line) -> str:
    wide = line.points_wide * MM_PER_PT
    on, off = map(_mm, line.dashes_mm)
    dots = f' stroke-linecap="round" stroke-dasharray="{on} {off}"' if line.dotted else ""
    return f' stroke="{hex_of(line.colour)}" stroke-width="{_mm(wide)}"{dots}'


def _text(mark: Text, ids: dict[str, int]) -> str:
    """A line of text, each piece placed by itself, as some readers know no shifts within a line.

    One piece hangs at its anchor, so that it stays in place where the typeface is missing.
    """
    turn = (
        f' transform="rotate({mark.turn_degrees:g} {_mm(mark.x)} {_mm(mark.y)})"'
        if mark.turn_degrees
        else ""
    )
    runs = list(mark.runs)
    if len(runs) == 1 and runs[0][0] == 0.0:
        anchor = {"left": "", "centre": ' text-anchor="middle"', "right": ' text-anchor="end"'}
        place = f'x="{_mm(mark.x)}"{anchor[mark.align]}'
        return _set(mark, f"{_id(mark.name, ids)} {place}", runs[0][1], turn)
    pieces = [_set(mark, f' x="{_mm(mark.x + mark.left + at)}"', piece, turn) for at, piece in runs]
    return f"<g{_id(mark.name, ids)}>{''.join(pieces)}</g>"


def _set(mark: Text, place: str, text: str, turn: str) -> str:
    weight = ' font-weight="bold"' if "Bold" in mark.face else ""
    style = ' font-style="italic"' if "Italic" in mark.face else ""
    return (
        f'<text{place} y="{_mm(mark.y)}" font-family="{FAMILY}, sans-serif" '
        f'font-size="{_mm(mark.points * MM_PER_PT)}"{weight}{style} '
        f'fill="{hex_of(mark.colour)}"{turn}>{escape(text)}</text>'
    )


def _image(mark: Image, ids: dict[str, int]) -> str:
    from PIL import Image as Pillow

    out = io.BytesIO()
    Pillow.fromarray(mark.rgb8).save(out, "PNG")
    data = base64.b64encode(out.getvalue()).decode()
    return (
        f'<image{_id(mark.name, ids)} x="{_mm(mark.x)}" y="{_mm(mark.y)}" '
        f'width="{_mm(mark.width)}" height="{_mm(mark.height)}" preserveAspectRatio="none" '
        f'href="data:image/png;base64,{data}"/>'
    )


def _id(name: str, ids: dict[str, int]) -> str:
    """The mark's name as an id that no other mark of the page has."""
    if not name:
        return ""
    word = re.sub(r"[^A-Za-z0-9_.-]+", "-", name).strip("-") or "mark"
    word = word if word[0].isalpha() else f"m-{word}"
    ids[word] = ids.get(word, 0) + 1
    return f" id={quoteattr(word if ids[word] == 1 else f'{word}-{ids[word]}')}"


def _mm(value: float) -> str:
    """Millimetres to a micrometre."""
    return f"{value:.3f}".rstrip("0").rstrip(".") if value else "0"
