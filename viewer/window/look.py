"""How the window looks: a neutral wall, one warm dark grey, an open typeface, icons of the studio.

Colour belongs to the ink: nothing beside the sheet has any (ISO 3664 asks for a neutral surround).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

from qtpy.QtGui import QFontDatabase

from glaze.charts.paper.type import FACES, font_file
from glaze.physics.colour import luminance_of_value, srgb_encode

FAMILY = "Atkinson Hyperlegible"
SEAMS = Path(__file__).with_name("seams.qss")
"""Between the places nothing is drawn: bar and foot are as high as what stands in them."""


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
    """Make napari know the wall as a theme, and what it is to look like; gives its name."""
    from napari._qt.qt_resources import STYLES
    from napari.utils.theme import Theme, register_theme

    STYLES["glaze"] = str(SEAMS)  # set with all others: a window's style takes 0.05 s to change

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
        selection-background-color: {wall.ink}; selection-color: {wall.field};
    }}
    QLineEdit {{ placeholder-text-color: {wall.faint}; }}
    QAbstractSpinBox QLineEdit {{
        background: transparent; border: none; padding: 0; margin: 0; min-height: 0;
    }}
    QAbstractSpinBox::up-button, QAbstractSpinBox::down-button {{ width: 0; border: none; }}
    QAbstractSpinBox:focus, QLineEdit:focus, QComboBox:focus {{
        border-bottom: 2px solid {wall.ink};
    }}
    QPushButton:focus, QToolButton:focus, QListWidget:focus {{ border: 1px solid {wall.ink}; }}
    QCheckBox:focus, QRadioButton:focus {{ text-decoration: underline; }}
    QToolButton[way="true"] {{ font-size: 8pt; padding: 1px 2px; }}
    QComboBox {{ padding-right: 16px; }}
    QComboBox::drop-down {{ border: none; width: 14px; }}
    QComboBox::down-arrow {{ image: none; width: 0; height: 0; }}
    QComboBox QAbstractItemView {{ background: {wall.field}; border: 1px solid {wall.line}; }}
    QPushButton, QToolButton {{
        background: transparent; border: 1px solid transparent; border-radius: 3px;
        padding: 3px 6px;
    }}
    QPushButton {{ border-color: {wall.line}; }}
    QToolButton[framed="true"] {{ border-color: {wall.line}; }}
    QPushButton:hover, QToolButton:hover {{ background: {wall.field}; }}
    QPushButton:pressed, QToolButton:pressed {{ background: {wall.line}; }}
    QToolButton:checked {{ background: {wall.field}; border-color: {wall.ink}; }}
    QToolButton::menu-indicator {{ image: none; width: 0; }}
    QPushButton:disabled, QToolButton:disabled {{
        color: {wall.faint}; font-style: italic; border-style: dotted;
    }}
    QCheckBox, QRadioButton {{ background: transparent; spacing: 5px; }}
    QCheckBox::indicator, QRadioButton::indicator,
    QCheckBox::indicator:checked, QRadioButton::indicator:checked,
    QCheckBox::indicator:hover, QRadioButton::indicator:hover {{
        width: 10px; height: 10px; border: 1px solid {wall.ink}; background: {wall.field};
        border-radius: 0; image: none; margin: 0; padding: 0;
    }}
    QRadioButton::indicator, QRadioButton::indicator:checked, QRadioButton::indicator:hover {{
        border-radius: 6px;
    }}
    QCheckBox::indicator:checked, QRadioButton::indicator:checked,
    QRadioButton::indicator:checked:hover {{ background: {wall.ink}; }}
    QListWidget {{ background: {wall.panel}; border: none; outline: none; }}
    QListWidget::item {{ border: none; padding: 1px 3px; }}
    QListWidget::item:selected, QListWidget::item:hover {{
        background: {wall.field}; color: {wall.ink};
    }}
    QScrollBar:vertical {{ background: {wall.panel}; width: 9px; border: none; }}
    QScrollBar::handle:vertical {{ background: {wall.line}; border-radius: 4px; min-height: 24px; }}
    QScrollBar:horizontal {{
        background: {wall.panel}; height: 5px; min-height: 5px; max-height: 5px;
        border: none; margin: 0; padding: 0;
    }}
    QScrollBar::handle:horizontal {{
        background: {wall.line}; border-radius: 2px; min-height: 5px; margin: 0; border: none;
    }}
    QScrollBar::add-line, QScrollBar::sub-line {{ width: 0; height: 0; }}
    QMenu {{ background: {wall.field}; border: 1px solid {wall.line}; padding: 4px; }}
    QMenu::item {{ padding: 4px 22px 4px 14px; background: transparent; }}
    QMenu::item:selected {{ background: {wall.panel}; }}
    QMenu::item:disabled {{ color: {wall.faint}; }}
    QMenu::separator {{ height: 1px; background: {wall.line}; margin: 4px 8px; }}
    QFrame[hair="true"] {{ background: {wall.line}; border: none; }}
    QToolTip {{ background: {wall.field}; color: {wall.ink}; border: 1px solid {wall.line}; }}
    QDialog, QMessageBox {{ background: {wall.panel}; border: 1px solid {wall.line}; }}
    QTextEdit, QTextBrowser, QTableWidget {{ background: {wall.field}; border: none; }}
    """
