"""What can be checked of how a window looks without eyes: room for words, contrast, names, focus.

`faults_of(widget)` says what is wrong with a window as it stands, each in a line.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from qtpy.QtCore import QPoint, QRect, Qt
from qtpy.QtGui import QImage
from qtpy.QtWidgets import (
    QAbstractButton,
    QAbstractScrollArea,
    QAbstractSlider,
    QApplication,
    QComboBox,
    QLabel,
    QLineEdit,
    QListWidget,
    QRadioButton,
    QScrollBar,
    QWidget,
)

LEAST_CONTRAST = 4.5
"""WCAG 2.2, success criterion 1.4.3, for text of this size."""
MOVED_SIDEWAYS = ("SideRow", "CardList", "QListWidget", "QScrollArea")
"""What may be moved in its place; lists show their bar only where they are longer."""
CONTROLS = (QAbstractButton, QComboBox, QLineEdit, QAbstractSlider, QListWidget)


def faults_of(window: QWidget, ours: tuple[QWidget, ...] | None = None) -> list[str]:
    """What is wrong with how a window or a box looks now.

    ours : its parts that are looked at; all of it if not given
    """
    shot = pixels(window)
    fine = window.devicePixelRatioF()
    found = []
    for place in ours or (window,):
        for widget in (place, *place.findChildren(QWidget)):
            if not widget.isVisible() or widget.window() is not window or _napari(widget):
                continue
            told = (*_outside(window, widget), *_clipped(widget), *_bars(widget), *_named(widget))
            found += [f"{_who(widget)}: {fault}" for fault in told]
            moved_away = (
                _in_a_strip(widget) and widget.visibleRegion().boundingRect() != widget.rect()
            )
            if not (isinstance(widget, QScrollBar) or moved_away) and _text_of(widget):
                seen = _contrast(window, widget, shot, fine)
                if seen < LEAST_CONTRAST:
                    found.append(f"{_who(widget)}: contrast {seen:.1f}")
    return found


def pixels(widget: QWidget) -> np.ndarray:
    """What a widget shows, uint8, shape (rows, columns, 3), in pixels of the screen."""
    image = widget.grab().toImage().convertToFormat(QImage.Format.Format_RGB888)
    rows, wide = image.height(), image.bytesPerLine()
    flat = np.frombuffer(image.constBits(), np.uint8, rows * wide).reshape(rows, wide)
    return flat[:, : 3 * image.width()].reshape(rows, image.width(), 3).copy()


def _luminance(rgb: np.ndarray) -> np.ndarray:
    """Relative luminance [-] of sRGB colours, 0 to 255, shape (colours, 3) (WCAG 2.2)."""
    share = np.asarray(rgb, float) / 255
    linear = np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)
    return linear @ (0.2126, 0.7152, 0.0722)


def _who(widget: QWidget) -> str:
    words = widget.accessibleName() or _text_of(widget) or widget.objectName()
    return f"{type(widget).__name__} \u201c{words[:40]}\u201d"


def _napari(widget: QWidget) -> bool:
    return type(widget).__module__.startswith("napari") or "Canvas" in type(widget).__name__


def _text_of(widget: QWidget) -> str:
    if isinstance(widget, QComboBox):
        return widget.currentText()
    if isinstance(widget, QLabel | QAbstractButton | QLineEdit):
        return widget.text()
    return ""


def _in_a_strip(widget: QWidget) -> bool:
    parent = widget.parentWidget()
    while parent is not None:
        if type(parent).__name__ in MOVED_SIDEWAYS:
            return True
        parent = parent.parentWidget()
    return False


def _outside(window: QWidget, widget: QWidget) -> Iterator[str]:
    """Whether it lies whole in its window, and a window whole on the screen."""
    if widget is window:
        screen = window.screen().availableGeometry()
        if not screen.contains(window.geometry()):
            yield f"off the screen: {_told(window.geometry())} of {_told(screen)}"
    elif widget.window() is window and not _in_a_strip(widget):
        where = QRect(widget.mapTo(window, QPoint(0, 0)), widget.size())
        if not window.rect().contains(where):
            yield f"off the window: {_told(where)} of {_told(window.rect())}"


def _told(rect: QRect) -> str:
    return f"{rect.x()}, {rect.y()}, {rect.width()} x {rect.height()}"


def _clipped(widget: QWidget) -> Iterator[str]:
    """Whether its words have room; what is meant to leave words out, or is written in, has it."""
    text = _text_of(widget)
    if not text or type(widget).__name__ in ("OneLine", "WellButton", "QLineEdit"):
        return
    wide = widget.contentsRect().width()
    if isinstance(widget, QLabel):
        if widget.wordWrap():
            needed = widget.heightForWidth(widget.width())
            if needed > widget.height() + 1:
                yield f"clipped: {needed} px high in {widget.height()}"
        elif widget.sizeHint().width() > widget.width() + 1:
            yield f"clipped: {widget.sizeHint().width()} px wide in {widget.width()}"
        return
    if isinstance(widget, QAbstractButton):
        needed = widget.minimumSizeHint().width()
        if needed > widget.width() + 2:
            yield f"clipped: {needed} px wide in {widget.width()}"
        return
    letters = widget.fontMetrics().horizontalAdvance(text)
    room = wide - (16 if isinstance(widget, QComboBox) else 4)
    if letters > room:
        yield f"clipped: \u201c{text}\u201d is {letters} px wide in {room}"


def _bars(widget: QWidget) -> Iterator[str]:
    """Whether it has a bar to move it where it should be seen whole."""
    if isinstance(widget, QAbstractScrollArea) and type(widget).__name__ not in MOVED_SIDEWAYS:
        for bar in (widget.verticalScrollBar(), widget.horizontalScrollBar()):
            if bar is not None and bar.isVisible():
                yield "has a scroll bar"


def _named(widget: QWidget) -> Iterator[str]:
    """Whether a control says what it is, and can be come to by keys."""
    if not isinstance(widget, CONTROLS) or widget.objectName() == "qt_spinbox_lineedit":
        return
    if isinstance(widget, QScrollBar):
        return
    text = widget.text() if isinstance(widget, QAbstractButton) else ""
    if not (widget.accessibleName() or text):
        yield f"has no name ({widget.toolTip()[:40]})"
    # of radio buttons that belong together Tab comes to one, and arrows to the others
    group = widget.group() if isinstance(widget, QRadioButton) else None
    together = [widget] if group is None else group.buttons()
    if not any(one.focusPolicy() & Qt.FocusPolicy.TabFocus for one in together):
        yield "can't be come to by keys"


def _contrast(window: QWidget, widget: QWidget, shot: np.ndarray, fine: float) -> float:
    """Contrast ratio of the letters to what is behind them, from the pixels (WCAG 2.2)."""
    corner = widget.mapTo(window, QPoint(0, 0)) if widget is not window else QPoint(0, 0)
    rows = slice(round(max(corner.y(), 0) * fine), round((corner.y() + widget.height()) * fine))
    columns = slice(round(max(corner.x(), 0) * fine), round((corner.x() + widget.width()) * fine))
    part = shot[rows, columns].reshape(-1, 3)
    if len(part) == 0:
        return 21.0
    colours, counts = np.unique(part.astype(int) @ (65536, 256, 1), return_counts=True)
    light = _luminance(np.stack([colours >> 16, colours >> 8 & 255, colours & 255], axis=-1))
    behind = light[np.argmax(counts)]
    return float(((np.maximum(light, behind) + 0.05) / (np.minimum(light, behind) + 0.05)).max())


def unseen_focus(place: QWidget) -> list[str]:
    """Controls that look the same with and without the keys' focus."""
    found = []
    for widget in place.findChildren(QWidget):
        if not isinstance(widget, CONTROLS) or not widget.isVisible() or not widget.isEnabled():
            continue
        if not widget.focusPolicy() & Qt.FocusPolicy.TabFocus:
            continue
        widget.clearFocus()
        QApplication.processEvents()
        before = pixels(widget)
        widget.setFocus(Qt.FocusReason.TabFocusReason)
        QApplication.processEvents()
        if widget.hasFocus() and np.array_equal(before, pixels(widget)):
            found.append(_who(widget))
        widget.clearFocus()
    return found
