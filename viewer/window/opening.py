"""Opening and saving from the window: dialogs, and what is dropped on it."""

from __future__ import annotations

from functools import partial
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from qtpy.QtCore import QObject, Signal
from qtpy.QtGui import QDropEvent
from qtpy.QtWidgets import QFileDialog

from glaze.errors import InputError

from ..core import keep
from ..core.corners import Photo, read_photo, straight_sketch
from ..core.saying import problems, say, translated
from ..core.sitting import Sitting
from ..core.sizes import Size, picture_size, size_of, usual_sizes
from .corners_box import CornersBox
from .dialogs import PICTURE_FILES, LineBox, choose
from .errands import Errands
from .surround import Surround


class Opening(QObject):
    """What is opened and saved.

    opened : another sitting is to go on the table
    saved : the sitting has been saved
    """

    opened = Signal(object)
    saved = Signal()

    def __init__(self, sitting: Sitting, errands: Errands, surround: Surround) -> None:
        super().__init__()
        self.errands, self.surround = errands, surround
        self.corners: CornersBox | None = None
        self.follow(sitting)

    def follow(self, sitting: Sitting) -> None:
        """Save another sitting from now on."""
        self.sitting = sitting

    def tell(self, text: str) -> None:
        """A line for the painter."""
        self.errands.told.emit(text)

    # ---- opening

    def open_later(self, path: Path) -> None:
        """Open a scene or a sketch; it is read in the background."""
        self.tell(say("files.opening", name=path.name))
        self.errands.run(
            lambda: keep.open_any(path),
            lambda sitting: self._opened(sitting, path),
            lambda error: self._not_opened(path, error),
        )

    def open_path(self, path: Path) -> bool:
        """Open a scene or a sketch and wait for it; whether it could be opened."""
        try:
            self._opened(keep.open_any(path), path)
        except InputError as error:
            return self._not_opened(path, error)
        return True

    def open_example(self, folder: Path) -> None:
        """Open a scene that comes with glaze."""
        if self.may_leave():
            self.open_later(folder)

    def _opened(self, sitting: Sitting, path: Path) -> None:
        self.opened.emit(sitting)
        notes = sitting.settling.left_out, *sitting.painting.notes
        self.tell(
            "   ".join(translated(note) for note in notes if note)
            or say("files.opened", name=path.name)
        )

    def _not_opened(self, path: Path, error: InputError) -> bool:
        """Ask how large a sketch is if it doesn't say; else tell what is wrong."""
        if isinstance(error, keep.SizeWantedError):
            return self.ask_size(path)
        self.errands.tell_wrong(error)
        return False

    def ask_size(self, path: Path) -> bool:
        """Ask how large the sheet of a picture is, and open it; whether it could be opened."""
        pixels = picture_size(path)
        usual = [f"{name} ({w:g} x {h:g} mm)" for name, (w, h) in usual_sizes(pixels).items()]
        box = LineBox(
            self.surround.host,
            say("files.size_title"),
            say("files.size_asked", name=path.name, wide=pixels[0], high=pixels[1]),
            lambda text: keep.open_any(path, size_of(text, pixels)),
            usual,
            say("common.open"),
            say("files.photo"),
        )
        sitting = box.ask()
        if box.other_taken:
            self.straighten(path)
        elif sitting is None:
            self.tell(say("files.no_size", name=path.name))
        else:
            self._opened(sitting, path)
        return sitting is not None

    def ask_photo(self) -> None:
        """Ask for a photo of a sketch, and for the corners of the sheet in it."""
        if self.may_leave():
            kinds = say("common.pictures", kinds=PICTURE_FILES)
            title = say("menu.straighten")
            name, _ = QFileDialog.getOpenFileName(self.surround.window, title, "", kinds)
            if name:
                self.straighten(Path(name))

    def straighten(self, photo: Path) -> None:
        """Ask for the corners of the sheet in a photo, and open it seen square from above."""

        def taken(seen: Photo, corners: NDArray[np.float64], size_mm: Size | None) -> None:
            assert size_mm is not None
            self.tell(say("files.straightening", name=photo.name))
            self.errands.run(
                lambda: keep.open_any(straight_sketch(seen, corners, size_mm), size_mm),
                lambda sitting: self._opened(sitting, photo),
            )

        def ask(seen: Photo) -> None:
            self.corners = CornersBox(
                self.surround.host, seen, say("common.open"), partial(taken, seen), sized=True
            )
            self.corners.show()

        self.tell(say("files.opening", name=photo.name))
        self.errands.run(lambda: read_photo(photo), ask)

    def ask_open(self) -> None:
        """Ask for a scene or a sketch."""
        if not self.may_leave():
            return
        kinds = say("files.kinds", kinds=f"*.toml *.zip {PICTURE_FILES}")
        name, _ = QFileDialog.getOpenFileName(self.surround.window, say("menu.open"), "", kinds)
        if name:
            self.open_later(Path(name))

    def dropped(self, event: QDropEvent) -> bool:
        """A scene or a sketch dropped on the window goes on the desk; whether it was one."""
        paths = [Path(url.toLocalFile()) for url in event.mimeData().urls() if url.isLocalFile()]
        if len(paths) != 1 or not keep.can_open(paths[0]):
            return False
        if self.may_leave():
            self.open_later(paths[0])
        return True

    # ---- saving

    def save(self) -> None:
        """Save to where it was saved before, or ask where; it is written in the background."""
        home = self.sitting.home or self._where_to_save()
        if home is not None:
            self._save_later(home)

    def save_elsewhere(self) -> None:
        """Ask for a place, and save there: a folder, or a .zip."""
        target = self._where_to_save()
        if target is not None:
            self._save_later(target)

    def _where_to_save(self) -> Path | None:
        name, _ = QFileDialog.getSaveFileName(
            self.surround.window,
            say("files.where"),
            f"{self.sitting.scene.title}.zip",
            say("files.zip_or_folder"),
        )
        return Path(name) if name else None

    def _save_later(self, target: Path) -> None:
        sitting = self.sitting
        self.tell(say("files.saving", name=target.name))
        self.errands.run(
            lambda: keep.save(sitting, target),
            lambda _: self._saved(target),
            lambda error: self._not_saved(target, error),
        )

    def _saved(self, target: Path) -> None:
        self.saved.emit()
        self.tell(say("files.saved", place=target))

    def _save_now(self) -> bool:
        """Save and wait for it; whether it was saved."""
        home = self.sitting.home or self._where_to_save()
        return home is not None and self._try_save(home)

    def _try_save(self, target: Path, over: bool = False) -> bool:
        try:
            keep.save(self.sitting, target, over)
        except InputError as error:
            return self._not_saved(target, error)
        self._saved(target)
        return True

    def _not_saved(self, target: Path, error: InputError) -> bool:
        """Ask which is to stay if somebody else has saved there meanwhile; whether it is saved."""
        if not isinstance(error, keep.ChangedElsewhereError):
            self.errands.tell_wrong(error)
            return False
        beside = keep.free_place(target)
        words = say("files.which", error=problems(error), name=beside.name)
        both, mine, theirs = (say(f"files.{which}") for which in ("both", "mine", "theirs"))
        answers = both, mine, theirs, say("common.cancel")
        chosen = choose(self.surround.host, words, answers)
        if chosen == mine:
            return self._try_save(target, over=True)
        if chosen not in (both, theirs) or not self._try_save(beside):
            return False
        if chosen == theirs:
            self.open_path(target)
        return True

    def look_at_home(self) -> None:
        """Tell when the saved scene was changed outside this window."""
        if keep.changed_elsewhere(self.sitting):
            name = self.sitting.home.name if self.sitting.home else ""
            self.tell(say("files.changed_outside", name=name))

    def may_leave(self) -> bool:
        """Whether the sitting may be left: it is saved, or the painter says so."""
        if not self.sitting.changed:
            return True
        words = say("files.unsaved", name=self.sitting.scene.title)
        save, leave = say("common.save"), say("files.dont_save")
        chosen = choose(self.surround.host, words, (save, leave, say("common.cancel")))
        return self._save_now() if chosen == save else chosen == leave
