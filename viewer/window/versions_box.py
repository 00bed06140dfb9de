"""Versions of the scene: kept under a name, gone on from, and any two laid beside each other."""

from __future__ import annotations

import time
from dataclasses import replace
from functools import partial

from qtpy.QtCore import QEvent, Qt
from qtpy.QtGui import QPixmap
from qtpy.QtWidgets import (
    QApplication,
    QButtonGroup,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QRadioButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from glaze.errors import InputError

from ..core.sitting import Sitting
from ..core.versions import go_on_from, in_branches, keep_version, painting_of
from ..core.views import NOW, Kept
from ..core.worker import Worker
from .controls import Once, OneLine, empty, faint, push
from .dialogs import Box
from .surround import Surround

THUMB_PX = 72
BRANCH_PX = 18
NONE_YET = (
    "No version is kept yet. Give the sheet as it is a name: you can go on from it later, and lay "
    "any two versions beside each other."
)


class VersionsBox(Box):
    """The list of versions, with what can be done with each."""

    def __init__(self, sitting: Sitting, surround: Surround) -> None:
        super().__init__(surround.host, "versions")
        self.worker = Worker()
        self._kept: dict[str, Kept] = {}
        self.setMinimumSize(620, 320)
        self.name = QLineEdit()
        self.name.setPlaceholderText("a name, as: shadow 1 + 5")
        self.name.setAccessibleName("name of a version")
        self.name.returnPressed.connect(self.keep)
        self.line = OneLine(faint=True)
        head = QHBoxLayout()
        head.addWidget(self.name, 1)
        head.addWidget(push("keep the sheet as it is", self.keep))
        self.places.addLayout(head)
        self.places.addWidget(self._list(), 1)
        self.places.addWidget(self.line)
        self.soon = Once(self.refresh, self)
        self.follow(sitting)

    def _list(self) -> QWidget:
        self._inside, self.rows = QWidget(), QGridLayout()
        box = QVBoxLayout(self._inside)
        box.setContentsMargins(0, 0, 0, 0)
        box.addLayout(self.rows)
        box.addStretch()
        self.rows.setColumnStretch(1, 1)
        self.rows.setHorizontalSpacing(12)
        area = QScrollArea()
        area.setWidget(self._inside)
        area.setWidgetResizable(True)
        area.setFrameShape(QScrollArea.Shape.NoFrame)
        return area

    def follow(self, sitting: Sitting) -> None:
        """Show the versions of another sitting."""
        self.sitting = sitting
        self._kept.clear()
        sitting.versions_changed.connect(self.soon)
        sitting.view_changed.connect(self._view_changed)
        sitting.done.connect(self._done)
        self.close()

    def open_list(self) -> None:
        """Show the list."""
        self.refresh()
        self.show()
        self.raise_()
        self.name.setFocus()

    def refresh(self) -> None:
        """Show what is kept."""
        empty(self.rows)
        self.sides = [QButtonGroup(self), QButtonGroup(self)]
        for column, text in ((2, "left of the line"), (3, "right of the line")):
            self.rows.addWidget(faint(text), 0, column)
        self._row(1, NOW, "as it lies on the table", b"", 0)
        branches = in_branches(self.sitting.versions)
        for n, (version, depth) in enumerate(branches, 2):
            when = time.strftime("%d %b %Y, %H:%M", time.localtime(version.kept_at))
            after = f", after {version.after}" if version.after else ""
            self._row(n, version.name, f"{when}{after}", version.thumb, depth)
            name = version.name
            go = push("go on from it", partial(self._go, name), name=f"go on from {name}")
            self.rows.addWidget(go, n, 4)
        self.line.setText("They are saved in the scene's folder with the scene.")
        if not branches:
            words = QLabel(NONE_YET)
            words.setWordWrap(True)
            self.rows.addWidget(words, 2, 0, 1, 5)
            self.line.setText("")
        # shown and given its room at once: Qt would wait for turns of its own, and paint meanwhile
        for widget in self._inside.findChildren(QWidget):
            widget.show()
        QApplication.sendPostedEvents(None, QEvent.Type.LayoutRequest.value)
        self._view_changed()

    def _row(self, row: int, name: str, told: str, thumb: bytes, depth: int) -> None:
        whole = QWidget()
        line = QHBoxLayout(whole)
        line.setContentsMargins(BRANCH_PX * depth, 2, 0, 2)
        if thumb:
            picture, seen = QLabel(), QPixmap()
            seen.loadFromData(thumb)
            keep = Qt.AspectRatioMode.KeepAspectRatio
            smooth = Qt.TransformationMode.SmoothTransformation
            picture.setPixmap(seen.scaled(THUMB_PX, THUMB_PX, keep, smooth))
            line.addWidget(picture)
        words = QVBoxLayout()
        words.setSpacing(0)
        words.addStretch()
        words.addWidget(OneLine(name))
        words.addWidget(OneLine(told, faint=True))
        words.addStretch()
        line.addLayout(words, 1)
        self.rows.addWidget(whole, row, 0, 1, 2)
        for group, column, side in zip(self.sides, (2, 3), ("left", "right"), strict=True):
            radio = QRadioButton()
            radio.setProperty("version", name)
            radio.setAccessibleName(f"{name}: {side} of the line")
            radio.clicked.connect(lambda _=False: self.compare())
            group.addButton(radio)
            self.rows.addWidget(radio, row, column, Qt.AlignmentFlag.AlignCenter)

    def _view_changed(self) -> None:
        """Mark what stands on either side of the line; nothing where there is none."""
        shown = self.sitting.preview.view.compared or ("", "")
        for group, name in zip(getattr(self, "sides", ()), shown, strict=False):
            group.setExclusive(False)
            for radio in group.buttons():
                radio.setChecked(radio.property("version") == name)
            group.setExclusive(True)

    def _done(self, _: object) -> None:
        """What is done is done to the sheet: it has to be in sight."""
        view = self.sitting.preview.view
        if view.right is not None:
            self.sitting.look(replace(view, left=None, right=None, split=0.0))

    # ---- what can be done

    def keep(self) -> None:
        """Keep the sheet as it is under the name that is written."""
        try:
            made = keep_version(self.sitting, self.name.text())
        except InputError as error:
            self.line.setText(" ".join(error.problems))
            return
        self.name.clear()
        self.sitting.told.emit(f"kept as a version: {made.name}")

    def _go(self, name: str) -> None:
        (version,) = (v for v in self.sitting.versions if v.name == name)
        try:
            go_on_from(self.sitting, version)
        except InputError as error:
            self.line.setText(" ".join(error.problems))
        else:
            self.sitting.told.emit(f"going on from {name}; a new name makes a branch")

    def compare(self) -> None:
        """Lay what is marked on either side of a line across the sheet."""
        ticked = [group.checkedButton() for group in self.sides]
        names = [NOW if one is None else str(one.property("version")) for one in ticked]
        if names[0] == names[1]:
            view = self.sitting.preview.view
            self.sitting.look(replace(view, left=None, right=None, split=0.0))
            return
        self.line.setText("working them out")
        sitting = self.sitting
        wanted = [v for v in sitting.versions if v.name in names and v.name not in self._kept]

        def job() -> list[Kept]:
            return [Kept(v.name, painting_of(sitting, v)) for v in wanted]

        self.worker.do(job, partial(self._lay, names), self._refused)

    def _lay(self, names: list[str], found: list[Kept]) -> None:
        self._kept |= {kept.name: kept for kept in found}
        left, right = (self._kept.get(name) for name in names)
        view = self.sitting.preview.view
        self.line.setText(f"{names[0]} | {names[1]}: \u201cbefore\u201d above moves the line.")
        self.sitting.look(replace(view, left=left, right=right, split=view.split or 0.5))

    def _refused(self, error: InputError) -> None:
        self.line.setText(" ".join(error.problems))
