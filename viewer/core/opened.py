"""What is open: a scene on the table, its sheet kept settled, and how it was saved last."""

from __future__ import annotations

from pathlib import Path

from glaze.painting.settle import Painting
from glaze.patch.table import Table
from glaze.scene.laid_out import table_of_scene
from glaze.scene.records import Scene
from glaze.sketch.line import Sketch
from viewer.core.brush import Mask
from viewer.core.drafting import Draft, files_named
from viewer.core.settling import Settling


class Opened:
    """A scene that is open.

    settling : the sheet, kept settled as the draft changes
    home : the folder or .zip it is saved to; None if it has none yet
    files : what it was opened with, by name, whatever becomes of the files themselves
    kept_regions : regions that are saved even if no step lies on them
    """

    def __init__(self, scene: Scene, aside: frozenset[int] = frozenset(), home: Path | None = None):
        self.settling = Settling(Draft(scene, aside))
        self.home = home
        self.home_stamp: tuple[int, int] | None = None
        self.files = {name: scene.file(name).read_bytes() for name in files_named(scene)}
        self.kept_regions = frozenset(scene.regions)
        self.saved_draft: Draft | None = self.draft
        self.saved_masks = dict(self.mask_numbers)
        self._table: tuple[Scene, Table] | None = None

    @property
    def draft(self) -> Draft:
        """The scene with all its steps, and what is set aside."""
        return self.settling.draft

    @property
    def painting(self) -> Painting:
        """The draft settled."""
        return self.settling.painting

    @property
    def masks(self) -> dict[str, Mask]:
        """Painted regions by name; they change in place, the sketch file never does."""
        return self.settling.masks

    @property
    def mask_numbers(self) -> dict[str, int]:
        """How often each painted region has changed."""
        return self.settling.mask_numbers

    @property
    def sketch(self) -> Sketch:
        """The sketch, cleaned of its paper."""
        return self.settling.sketch

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height of the sheet [mm]."""
        return self.sketch.size_mm

    @property
    def scene(self) -> Scene:
        """The scene with all its steps."""
        return self.draft.scene

    @property
    def table(self) -> Table:
        """The bottles, wells and paper of the scene."""
        scene = self.draft.scene
        if self._table is None or not _same_table(self._table[0], scene):
            self._table = scene, table_of_scene(scene)
        return self._table[1]

    @property
    def changed(self) -> bool:
        """Whether anything has changed since it was saved."""
        return self.draft != self.saved_draft or self.mask_numbers != self.saved_masks

    def saved(self, home: Path, draft: Draft, numbers: dict[str, int]) -> None:
        """It has been saved as it was with a draft and numbers of its masks."""
        self.home, self.saved_draft, self.saved_masks = home, draft, numbers


def _same_table(a: Scene, b: Scene) -> bool:
    """Whether two scenes lay out the same things."""
    keys = ("palette", "paper", "light", "wells", "room", "bleach", "folder")
    return all(getattr(a, key) == getattr(b, key) for key in keys)
