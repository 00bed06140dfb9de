"""Pages as one PDF of true size: vector shapes, embedded type, the same bytes every time."""

from __future__ import annotations

import io
from collections.abc import Sequence
from typing import Any

from glaze.charts.paper.marks import MM_PER_PT, Colour, Image, Line, Mark, Shape, Text
from glaze.charts.paper.page import Page
from glaze.charts.paper.type import FACES, font_file

PT_PER_MM = 1.0 / MM_PER_PT


def pdf_bytes(pages: Sequence[Page]) -> bytes:
    """A PDF of the pages, each of its own size."""
    from reportlab.pdfgen.canvas import Canvas

    _register_faces()
    out = io.BytesIO()
    # invariant: no date and no random id in the file
    canvas = Canvas(out, invariant=1, pageCompression=1)
    canvas.setTitle(pages[0].title or "glaze")
    canvas.setCreator("glaze: layered glazing and bleach lift")
    canvas.setViewerPreference("PrintScaling", "None")
    for page in pages:
        canvas.setPageSize((page.width * PT_PER_MM, page.height * PT_PER_MM))
        # millimetres from the upper left corner, y down
        canvas.translate(0, page.height * PT_PER_MM)
        canvas.scale(PT_PER_MM, -PT_PER_MM)
        canvas.setLineJoin(0)
        for mark in page.marks:
            _put(canvas, mark)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def _register_faces() -> None:
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    for face in FACES:
        if _face(face) not in pdfmetrics.getRegisteredFontNames():
            pdfmetrics.registerFont(TTFont(_face(face), font_file(face)))


def _face(face: str) -> str:
    return f"Glaze{face}"


def _put(canvas: Any, mark: Mark) -> None:
    if isinstance(mark, Text):
        _text(canvas, mark)
    elif isinstance(mark, Shape):
        _shape(canvas, mark)
    elif isinstance(mark, Line):
        _pen(canvas, mark)
        canvas.drawPath(_path(canvas, mark.points), stroke=1, fill=0)
    else:
        _image(canvas, mark)


def _shape(canvas: Any, mark: Shape) -> None:
    path = _path(canvas, mark.points)
    path.close()
    if mark.fill is not None:
        canvas.setFillColorRGB(*_rgb(mark.fill))
    if mark.frame is not None:
        _pen(canvas, mark.frame)
    canvas.drawPath(path, stroke=int(mark.frame is not None), fill=int(mark.fill is not None))


def _path(canvas: Any, points: Sequence[tuple[float, float]]) -> Any:
    path = canvas.beginPath()
    path.moveTo(*points[0])
    for point in points[1:]:
        path.lineTo(*point)
    return path


def _pen(canvas: Any, line: Line) -> None:
    wide = line.points_wide * MM_PER_PT
    canvas.setLineWidth(wide)
    canvas.setStrokeColorRGB(*_rgb(line.colour))
    canvas.setLineCap(1 if line.dotted else 0)
    # round dots: strokes of no length with round ends
    canvas.setDash(list(line.dashes_mm) if line.dotted else [])


def _text(canvas: Any, mark: Text) -> None:
    canvas.setFillColorRGB(*_rgb(mark.colour))
    canvas.saveState()
    canvas.translate(mark.x, mark.y)
    canvas.rotate(mark.turn_degrees)
    # upright letters in a page whose y runs down
    canvas.scale(MM_PER_PT, -MM_PER_PT)
    canvas.setFont(_face(mark.face), mark.points)
    for at, piece in mark.runs:
        canvas.drawString((mark.left + at) * PT_PER_MM, 0, piece)
    canvas.restoreState()


def _image(canvas: Any, mark: Image) -> None:
    from PIL import Image as Pillow
    from reportlab.lib.utils import ImageReader

    canvas.saveState()
    canvas.translate(mark.x, mark.y + mark.height)
    canvas.scale(1, -1)
    reader = ImageReader(Pillow.fromarray(mark.rgb8))
    canvas.drawImage(reader, 0, 0, mark.width, mark.height)
    canvas.restoreState()


def _rgb(colour: Colour) -> tuple[float, float, float]:
    r, g, b = (channel / 255 for channel in colour)
    return r, g, b
