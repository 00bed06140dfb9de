"""How the window looks: a neutral wall, one warm dark grey, an open typeface, icons of the studio.

Colour belongs to the ink: nothing beside the sheet has any (ISO 3664 asks for a neutral surround).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from qtpy.QtCore import QPointF, QRectF, Qt
from qtpy.QtGui import QColor, QFontDatabase, QIcon, QPainter, QPainterPath, QPen, QPixmap

from glaze.charts.type import FACES, font_file
from glaze.physics.colour import luminance_of_value, srgb_encode

FAMILY = "Atkinson Hyperlegible"


@dataclass(frozen=True)
class Wall:
    """The greys of a theme.

    wall : around the sheet. panel : Order and Table. field : where something can be written
    line : hairlines. ink : the warm grey of all letters. faint : letters of less weight
    """

    name: str
    wall: str
    panel: str
    field: str
    line: str
    ink: str
    faint: str
    dark: bool = False


def grey_of_value(value: float) -> str:
    """The neutral grey of a Munsell value, as a screen shows it."""
    level = round(255 * float(srgb_encode(float(luminance_of_value(value)))))
    return f"#{level:02x}{level:02x}{level:02x}"


def day() -> Wall:
    """A light grey wall, Munsell N8."""
    return Wall(
        "studio by day",
        grey_of_value(8.0),
        grey_of_value(8.7),
        grey_of_value(9.4),
        grey_of_value(7.0),
        "#37332f",
        "#57524c",
    )


def evening() -> Wall:
    """A dark wall, Munsell N3, for a dark room."""
    return Wall(
        "studio by evening",
        grey_of_value(3.2),
        grey_of_value(2.6),
        grey_of_value(3.6),
        grey_of_value(4.4),
        "#e9e5df",
        "#c4beb6",
        dark=True,
    )


def register(wall: Wall) -> str:
    """Make napari know the wall as a theme; gives its name."""
    from napari.utils.theme import Theme, register_theme

    name = "glaze-evening" if wall.dark else "glaze-day"
    theme = Theme(
        id=name,
        label=wall.name,
        type="dark" if wall.dark else "light",
        syntax_style="native" if wall.dark else "default",
        canvas=wall.wall,
        console=wall.field,
        background=wall.panel,
        foreground=wall.wall,
        primary=wall.line,
        secondary=wall.line,
        highlight=wall.line,
        text=wall.ink,
        icon=wall.ink,
        warning="#8a6d1f",
        error="#7d3b2e",
        current=wall.line,
        font_size="10pt",
    )
    register_theme(name, theme, "glaze-lift")
    return name


@cache
def family() -> str:
    """The typeface of the sheets, made known to Qt; Qt's own if it can't be read."""
    found: list[str] = []
    for face in FACES:
        number = QFontDatabase.addApplicationFont(font_file(face))
        found += QFontDatabase.applicationFontFamilies(number) if number >= 0 else []
    return found[0] if found else ""


def style(wall: Wall) -> str:
    """The style sheet of our own panels."""
    return f"""
    * {{ font-family: "{family()}"; font-size: 10pt; color: {wall.ink}; }}
    QWidget {{ background: {wall.panel}; }}
    QLabel {{ background: transparent; padding: 0; }}
    QLabel[place="true"] {{ font-size: 9pt; font-weight: bold; letter-spacing: 2px; }}
    QLabel[faint="true"] {{ color: {wall.faint}; font-size: 9pt; }}
    QLabel[reading="true"] {{ font-size: 13pt; }}
    QLabel[caution="true"] {{ font-size: 9pt; border: 1px solid {wall.ink}; padding: 3px 6px; }}
    QAbstractSpinBox, QLineEdit, QComboBox {{
        background: {wall.field}; border: none; border-bottom: 1px solid {wall.line};
        border-radius: 2px; padding: 1px 4px; min-height: 20px;
        selection-background-color: {wall.line}; selection-color: {wall.ink};
    }}
    QAbstractSpinBox QLineEdit {{
        background: transparent; border: none; padding: 0; margin: 0; min-height: 0;
    }}
    QAbstractSpinBox::up-button, QAbstractSpinBox::down-button {{ width: 0; border: none; }}
    QAbstractSpinBox:focus, QLineEdit:focus {{ border-bottom: 2px solid {wall.ink}; }}
    QComboBox {{ padding-right: 16px; }}
    QComboBox::drop-down {{ border: none; width: 14px; }}
    QComboBox::down-arrow {{ image: none; width: 0; height: 0; }}
    QComboBox QAbstractItemView {{ background: {wall.field}; border: 1px solid {wall.line}; }}
    QPushButton, QToolButton {{
        background: transparent; border: 1px solid transparent; border-radius: 3px;
        padding: 3px 7px;
    }}
    QPushButton {{ border-color: {wall.line}; }}
    QPushButton:hover, QToolButton:hover {{ background: {wall.field}; }}
    QPushButton:pressed, QToolButton:pressed {{ background: {wall.line}; }}
    QToolButton:checked {{ background: {wall.field}; border-color: {wall.ink}; }}
    QToolButton::menu-indicator {{ image: none; width: 0; }}
    QPushButton:disabled, QToolButton:disabled {{ color: {wall.line}; }}
    QCheckBox, QRadioButton {{ background: transparent; spacing: 5px; }}
    QCheckBox::indicator, QRadioButton::indicator,
    QCheckBox::indicator:checked, QRadioButton::indicator:checked,
    QCheckBox::indicator:hover, QRadioButton::indicator:hover {{
        width: 9px; height: 9px; border: 1px solid {wall.ink}; background: {wall.field};
        border-radius: 0; image: none; margin: 0; padding: 0;
    }}
    QRadioButton::indicator, QRadioButton::indicator:checked, QRadioButton::indicator:hover {{
        border-radius: 5px;
    }}
    QCheckBox::indicator:checked, QRadioButton::indicator:checked,
    QRadioButton::indicator:checked:hover {{ background: {wall.ink}; }}
    QListWidget {{ background: {wall.panel}; border: none; outline: none; }}
    QListWidget::item {{ border: none; }}
    QScrollBar:vertical {{ background: {wall.panel}; width: 9px; border: none; }}
    QScrollBar::handle:vertical {{ background: {wall.line}; border-radius: 4px; min-height: 24px; }}
    QScrollBar:horizontal {{ background: {wall.panel}; height: 5px; border: none; margin: 0; }}
    QScrollBar::handle:horizontal {{
        background: {wall.line}; border-radius: 2px; min-height: 5px; margin: 0; border: none;
    }}
    QScrollBar::add-line, QScrollBar::sub-line {{ width: 0; height: 0; }}
    QMenu {{ background: {wall.field}; border: 1px solid {wall.line}; padding: 4px; }}
    QMenu::item {{ padding: 4px 22px 4px 14px; background: transparent; }}
    QMenu::item:selected {{ background: {wall.panel}; }}
    QMenu::item:disabled {{ color: {wall.line}; }}
    QMenu::separator {{ height: 1px; background: {wall.line}; margin: 4px 8px; }}
    QFrame[hair="true"] {{ background: {wall.line}; border: none; }}
    QToolTip {{ background: {wall.field}; color: {wall.ink}; border: 1px solid {wall.line}; }}
    QDialog, QMessageBox {{ background: {wall.panel}; }}
    QTextEdit, QTextBrowser, QTableWidget {{ background: {wall.field}; border: none; }}
    """


# ---- icons, drawn here: things of the studio


Draw = Callable[[QPainter], None]


def icon(name: str, colour: str, size: int = 22) -> QIcon:
    """An icon of a studio thing, on a grid of 24."""
    scale = 4  # drawn large, so that it stays crisp on fine screens
    pixmap = QPixmap(size * scale, size * scale)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.scale(size * scale / 24, size * scale / 24)
    pen = QPen(QColor(colour), 1.5)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.setPen(pen)
    ICONS[name](painter)
    painter.end()
    pixmap.setDevicePixelRatio(scale)
    return QIcon(pixmap)


def _path(painter: QPainter, *points: tuple[float, float], close: bool = False) -> None:
    path = QPainterPath(QPointF(*points[0]))
    for point in points[1:]:
        path.lineTo(QPointF(*point))
    if close:
        path.closeSubpath()
    painter.drawPath(path)


def _filled(painter: QPainter) -> None:
    painter.setBrush(painter.pen().color())


def _drop(painter: QPainter, x: float, y: float, r: float) -> None:
    path = QPainterPath(QPointF(x, y - 2 * r))
    path.cubicTo(QPointF(x + 0.4 * r, y - r), QPointF(x + r, y - 0.5 * r), QPointF(x + r, y))
    path.arcTo(QRectF(x - r, y - r, 2 * r, 2 * r), 0, -180)
    path.cubicTo(QPointF(x - r, y - 0.5 * r), QPointF(x - 0.4 * r, y - r), QPointF(x, y - 2 * r))
    painter.drawPath(path)


def _brush(painter: QPainter) -> None:
    _path(painter, (20, 4), (11, 13))
    _path(painter, (12.5, 11.5), (9, 11), (5, 19), (13, 15), (12.5, 11.5), close=True)


def _soft(painter: QPainter) -> None:
    _brush(painter)
    _filled(painter)
    _path(painter, (9, 11.5), (5, 19), (12.5, 15), close=True)


def _damp(painter: QPainter) -> None:
    _brush(painter)
    _drop(painter, 18, 19, 2.6)


def _enclosed(painter: QPainter) -> None:
    path = QPainterPath(QPointF(6, 6))
    path.cubicTo(QPointF(11, 2), QPointF(20, 5), QPointF(20, 11))
    path.cubicTo(QPointF(20, 18), QPointF(13, 21), QPointF(8, 19))
    path.cubicTo(QPointF(2, 17), QPointF(2, 9), QPointF(6, 6))
    painter.drawPath(path)
    _filled(painter)
    _drop(painter, 12, 14, 2.6)


def _band(painter: QPainter) -> None:
    painter.save()
    painter.translate(12, 12)
    painter.rotate(-35)
    painter.drawRect(QRectF(-10, 1.5, 20, 5))
    _filled(painter)
    painter.drawRect(QRectF(-9, -5, 18, 2.6))
    painter.restore()


def _cut(painter: QPainter) -> None:
    _path(painter, (4, 18), (9, 5), (19, 8), (16, 18), close=True)
    for x, y in ((4, 18), (9, 5), (19, 8), (16, 18)):
        painter.drawEllipse(QPointF(x, y), 1, 1)


def _graded(painter: QPainter) -> None:
    for n in range(6):
        painter.setOpacity(1 - n / 6.5)
        _path(painter, (4, 4.5 + 3 * n), (20, 4.5 + 3 * n))


def _reserve(painter: QPainter) -> None:
    path = QPainterPath()
    path.addEllipse(QRectF(4, 5, 16, 14))
    painter.drawPath(path)
    painter.setClipPath(path)
    for n in range(-4, 6):
        _path(painter, (4 + 4 * n, 20), (14 + 4 * n, 4))


def _whole(painter: QPainter) -> None:
    painter.drawRect(QRectF(5, 3, 14, 18))
    _filled(painter)
    painter.drawRect(QRectF(7, 5, 10, 14))


def _read(painter: QPainter) -> None:
    painter.drawEllipse(QPointF(12, 12), 7.5, 7.5)
    painter.drawEllipse(QPointF(12, 12), 2.5, 2.5)
    for x, y in ((12, 2), (12, 22), (2, 12), (22, 12)):
        _path(painter, (x, y), (12 + (x - 12) * 0.6, 12 + (y - 12) * 0.6))


def _bottle(painter: QPainter) -> None:
    _path(painter, (9, 3), (15, 3))
    _path(painter, (10, 3), (10, 8), (6, 11), (6, 21), (18, 21), (18, 11), (14, 8), (14, 3))


def _dish(painter: QPainter) -> None:
    painter.drawEllipse(QRectF(3, 8, 18, 6))
    path = QPainterPath(QPointF(3, 11))
    path.cubicTo(QPointF(4, 20), QPointF(20, 20), QPointF(21, 11))
    painter.drawPath(path)


def _well(painter: QPainter) -> None:
    painter.drawEllipse(QPointF(12, 12), 8, 8)
    painter.drawEllipse(QPointF(12, 12), 5.5, 5.5)


def _blotter(painter: QPainter) -> None:
    painter.drawArc(QRectF(3, 2, 18, 16), 200 * 16, 140 * 16)
    _path(painter, (4, 13), (20, 13))
    _path(painter, (12, 13), (12, 6))
    painter.drawEllipse(QPointF(12, 5), 2, 2)


def _dry(painter: QPainter) -> None:
    for x in (7, 12, 17):
        path = QPainterPath(QPointF(x, 20))
        path.cubicTo(QPointF(x - 4, 15), QPointF(x + 4, 10), QPointF(x, 4))
        painter.drawPath(path)


ICONS: dict[str, Draw] = {
    "soft": _soft,
    "damp": _damp,
    "enclosed": _enclosed,
    "band": _band,
    "cut": _cut,
    "graded": _graded,
    "reserve": _reserve,
    "whole": _whole,
    "read": _read,
    "bottle": _bottle,
    "dish": _dish,
    "well": _well,
    "blotter": _blotter,
    "dry": _dry,
}
