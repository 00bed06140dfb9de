"""Opening and saving from the window: dialogs, drops, and what a crash left behind."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from qtpy.QtGui import QDropEvent
from qtpy.QtWidgets import QFileDialog, QInputDialog, QMessageBox

from glaze.errors import InputError
from glaze.scene.examples import example_names, scenes_folder
from viewer.core import keep
from viewer.core.recovery import Left, left_behind, recover
from viewer.core.sitting import Sitting
from viewer.window.look import style

if TYPE_CHECKING:
    from viewer.window.app import Desk


class Opening:
    """What is opened and saved at a desk."""

    def __init__(self, desk: Desk) -> None:
        self.desk = desk

    def open_later(self, path: Path) -> None:
        """Open a scene or a sketch; it is read in the background."""
        self.desk.tell(f"opening {path.name}")

        def failed(error: Exception) -> None:
            if not isinstance(error, InputError):
                raise error
            self._not_opened(path, error)

        self.desk.keeper.do(lambda: keep.open_any(path), lambda s: self._opened(s, path), failed)

    def open_path(self, path: Path) -> bool:
        """Open a scene or a sketch and wait for it; whether it could be opened."""
        try:
            self._opened(keep.open_any(path), path)
        except InputError as error:
            return self._not_opened(path, error)
        return True

    def _opened(self, sitting: Sitting, path: Path) -> None:
        if is_example(path):
            sitting.home = None  # the scenes that come with glaze stay as they are
        self.desk.follow(sitting)
        self.desk.tell("   ".join(sitting.painting.notes) or f"opened: {path.name}")

    def _not_opened(self, path: Path, error: InputError) -> bool:
        """Ask how large a sketch is if it doesn't say; else tell what is wrong."""
        size = None
        if path.suffix.lower() in keep.PICTURES and "size_mm" in " ".join(error.problems):
            size = self._ask_size(path)
        if size is not None:
            sitting = self.desk.attempt(lambda: keep.open_any(path, size))
            if sitting is not None:
                self._opened(sitting, path)
            return sitting is not None
        self.desk.tell(" ".join(error.problems))
        return False

    def _ask_size(self, path: Path) -> tuple[float, float] | None:
        text, good = QInputDialog.getText(
            self.desk.window,
            "how large is the sheet?",
            f"{path.name} doesn't say how large it is on paper.\nWidth x height in mm:",
            text="148 x 210",
        )
        if not good:
            return None
        try:
            width, height = (float(p) for p in text.lower().replace(",", ".").split("x"))
        except ValueError:
            return None
        return width, height

    def ask_open(self) -> None:
        """Ask for a scene or a sketch."""
        if not self.may_leave():
            return
        name, _ = QFileDialog.getOpenFileName(
            self.desk.window,
            "open a scene or a sketch",
            "",
            "Scenes and sketches (*.toml *.zip *.png *.jpg *.jpeg *.tif *.tiff)",
        )
        if name:
            self.open_later(Path(name))

    def save(self) -> None:
        """Save to where it was saved before, or ask where; it is written in the background."""
        home = self.desk.sitting.home or self._where_to_save()
        if home is not None:
            self._save_later(home)

    def save_elsewhere(self) -> None:
        """Ask for a place, and save there: a folder, or a .zip."""
        target = self._where_to_save()
        if target is not None:
            self._save_later(target)

    def _where_to_save(self) -> Path | None:
        name, _ = QFileDialog.getSaveFileName(
            self.desk.window,
            "save the scene: a new folder, or a .zip",
            f"{self.desk.sitting.scene.title}.zip",
            "A scene in one file (*.zip);;A scene folder (*)",
        )
        return Path(name) if name else None

    def _save_later(self, target: Path) -> None:
        sitting = self.desk.sitting

        def failed(error: Exception) -> None:
            if not isinstance(error, InputError):
                raise error
            self.desk.tell(" ".join(error.problems))

        self.desk.tell(f"saving {target.name}")
        self.desk.keeper.do(
            lambda: keep.save(sitting, target), lambda _: self._saved(target), failed
        )

    def _saved(self, target: Path) -> None:
        self.desk.show_title()
        self.desk.tell(f"saved: {target}")

    def _save_now(self) -> bool:
        """Save and wait for it; whether it was saved."""
        home = self.desk.sitting.home or self._where_to_save()
        if home is None:
            return False
        return self.desk.attempt(lambda: (keep.save(self.desk.sitting, home), True)[1]) is True

    def may_leave(self) -> bool:
        """Whether the sitting may be left: it is saved, or the painter says so."""
        if not self.desk.sitting.changed:
            return True
        box = QMessageBox(self.desk.window)
        box.setStyleSheet(style(self.desk.wall))
        box.setText(f"\u201c{self.desk.sitting.scene.title}\u201d has changed since it was saved.")
        save = box.addButton("save it", QMessageBox.ButtonRole.AcceptRole)
        leave = box.addButton("leave it", QMessageBox.ButtonRole.DestructiveRole)
        box.addButton("stay", QMessageBox.ButtonRole.RejectRole)
        box.exec()
        if box.clickedButton() is save:
            return self._save_now()
        return box.clickedButton() is leave

    def offer_recovery(self) -> None:
        """Offer the latest sitting that a crash left behind."""
        left = left_behind(self.desk.recovery_home)
        if not left:
            return
        box = QMessageBox(self.desk.window)
        box.setStyleSheet(style(self.desk.wall))
        box.setText(
            f"\u201c{left[0].title}\u201d wasn't closed in peace. It was kept as it was after the "
            "last strokes."
        )
        take = box.addButton("go on with it", QMessageBox.ButtonRole.AcceptRole)
        drop = box.addButton("let it go", QMessageBox.ButtonRole.DestructiveRole)
        box.addButton("decide later", QMessageBox.ButtonRole.RejectRole)
        box.exec()
        if box.clickedButton() is take:
            self.take_recovery(left[0])
        elif box.clickedButton() is drop:
            left[0].discard()

    def take_recovery(self, left: Left) -> None:
        """Go on with a sitting that was left behind; its folder goes when this one is kept."""
        sitting = self.desk.attempt(lambda: recover(left))
        if sitting is not None:
            self.desk.follow(sitting)
            # from now on its files are read from where this sitting is kept
            self.desk.recovery.keep()
            sitting.move_to(self.desk.recovery.folder)
            left.discard()
            self.desk.tell(f"recovered: {left.title}")

    def dropped(self, event: QDropEvent) -> bool:
        """A scene or a sketch dropped on the window goes on the desk; whether it was one."""
        paths = [Path(url.toLocalFile()) for url in event.mimeData().urls() if url.isLocalFile()]
        if len(paths) != 1 or not keep.can_open(paths[0]):
            return False
        if self.may_leave():
            self.open_later(paths[0])
        return True


def is_example(path: Path) -> bool:
    """Whether a path leads into the scenes that come with glaze, which stay as they are."""
    return path.resolve().is_relative_to(scenes_folder().resolve())


def first_sitting(path: Path | None) -> Sitting:
    """What is open at the start: what was asked for, or the lighthouse without a home."""
    if path is not None:
        sitting = keep.open_any(path)
        sitting.home = None if is_example(path) else sitting.home
        return sitting
    if "lighthouse" not in example_names():
        return keep.open_bare()
    sitting = keep.open_any(scenes_folder() / "lighthouse")
    sitting.home = None  # the scenes that come with glaze stay as they are
    return sitting
