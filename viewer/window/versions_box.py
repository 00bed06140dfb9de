"""Versions of the scene: kept under a name, gone on from, and any two laid beside each other."""

from __future__ import annotations

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

from ..core.saying import problems, say
from ..core.sitting import Sitting
from ..core.versions import go_on_from, in_branches, keep_version, painting_of
from ..core.views import NOW, Kept
from ..core.worker import Worker
from .controls import Once, OneLine, empty, faint, push
from .dialogs import Box
from .language import when_words
from .surround import Surround

THUMB_PX = 72
SIDES = "left", "right"
"""Of the line between two versions."""
BRANCH_PX = 18


class VersionsBox(Box):
    """The list of versions, with what can be done with each."""

    def __init__(self, sitting: Sitting, surround: Surround) -> None:
        super().__init__(surround.host, say("versions.title"))
        self.worker = Worker()
        self._kept: dict[str, Kept] = {}
        self.setMinimumSize(620, 320)
        self.name = QLineEdit()
        self.name.setPlaceholderText(say("versions.example"))
        self.name.setAccessibleName(say("versions.name"))
        self.name.returnPressed.connect(self.keep)
        self.line = OneLine(faint=True)
        head = QHBoxLayout()
        head.addWidget(self.name, 1)
        head.addWidget(push(say("versions.keep"), self.keep))
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
        # they belong to what stands in the list, and go with it
        heads = [faint(say(f"versions.{side}")) for side in SIDES]
        self.sides = [QButtonGroup(head) for head in heads]
        for column, head in enumerate(heads, 2):
            self.rows.addWidget(head, 0, column)
        self._row(1, NOW, say("versions.on_table"), b"", 0)
        branches = in_branches(self.sitting.versions)
        for n, (version, depth) in enumerate(branches, 2):
            name, when = version.name, when_words(version.kept_at)
            if version.after:
                when = say("versions.after", when=when, name=version.after)
            self._row(n, name, when, version.thumb, depth)
            told = say("deed.go_on", name=name)
            go = push(say("versions.go_on"), partial(self._go, name), name=told)
            self.rows.addWidget(go, n, 4)
        self.line.setText(say("versions.where"))
        if not branches:
            words = QLabel(say("versions.none"))
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
        words.addWidget(OneLine(_called(name)))
        words.addWidget(OneLine(told, faint=True))
        words.addStretch()
        line.addLayout(words, 1)
        self.rows.addWidget(whole, row, 0, 1, 2)
        for group, column, side in zip(self.sides, (2, 3), SIDES, strict=True):
            radio = QRadioButton()
            radio.setProperty("version", name)
            told = say("common.named", what=_called(name), name=say(f"versions.{side}"))
            radio.setAccessibleName(told)
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
            self.line.setText(problems(error))
            return
        self.name.clear()
        self.sitting.told.emit(say("versions.kept", name=made.name))

    def _go(self, name: str) -> None:
        (version,) = (v for v in self.sitting.versions if v.name == name)
        try:
            go_on_from(self.sitting, version)
        except InputError as error:
            self.line.setText(problems(error))
        else:
            self.sitting.told.emit(say("versions.going_on", name=name))

    def compare(self) -> None:
        """Lay what is marked on either side of a line across the sheet."""
        ticked = [group.checkedButton() for group in self.sides]
        names = [NOW if one is None else str(one.property("version")) for one in ticked]
        if names[0] == names[1]:
            view = self.sitting.preview.view
            self.sitting.look(replace(view, left=None, right=None, split=0.0))
            return
        self.line.setText(say("common.working"))
        sitting = self.sitting
        wanted = [v for v in sitting.versions if v.name in names and v.name not in self._kept]

        def job() -> list[Kept]:
            return [Kept(v.name, painting_of(sitting, v)) for v in wanted]

        self.worker.do(job, partial(self._lay, sitting, names), self._refused)

    def _lay(self, sitting: Sitting, names: list[str], found: list[Kept]) -> None:
        if sitting is not self.sitting:
            return
        self._kept |= {kept.name: kept for kept in found}
        left, right = (self._kept.get(name) for name in names)
        view = self.sitting.preview.view
        shown = {side: _called(name) for side, name in zip(SIDES, names, strict=True)}
        self.line.setText(say("versions.compared", **shown))
        self.sitting.look(replace(view, left=left, right=right, split=view.split or 0.5))

    def _refused(self, error: InputError) -> None:
        self.line.setText(problems(error))


def _called(name: str) -> str:
    """A version's name, or what the sheet now is called."""
    return say("look.now") if name == NOW else name
