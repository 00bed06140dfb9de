"""What is open: a scene on the table, its sheet kept settled, and how it was saved last."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from contextlib import suppress
from dataclasses import dataclass, replace
from pathlib import Path

from glaze.errors import InputError
from glaze.painting.settle import Painting
from glaze.patch.table import Table
from glaze.record.incoming import note_read
from glaze.scene.laid_out import table_of_scene
from glaze.scene.parcel import files_named
from glaze.scene.records import Scene
from glaze.sketch.line import Sketch

from .drafting import Draft, unused_regions, without_regions
from .packed import folder_till_the_end
from .settling import Settling
from .squares import Mask, Masks

RESERVE = "painted reserve"
"""The region that the reserve brush paints: washes and lifts laid later stay out of it."""


@dataclass(frozen=True, eq=False)
class Version:
    """The sheet as it was kept under a name; it never changes.

    after : name of the version it was made from; "" if from none
    kept_at : when [s since 1970]
    file : its scene file in the scene's folder
    draft : its steps and regions, painted ones named by pictures of their own
    masks : those pictures, by region
    thumb : a small picture of it
    """

    name: str
    after: str
    kept_at: float
    file: str
    draft: Draft
    masks: Mapping[str, bytes]
    thumb: bytes


class Opened:
    """A scene that is open.

    settling : the sheet, kept settled as the draft changes
    home : the folder or .zip it is saved to; None if it has none yet
    files : what it was opened with, by name, whatever becomes of the files themselves
    kept_regions : regions that are saved even if no step lies on them
    versions : what was kept under names; stands_on : the one that was kept or gone on from last
    """

    def __init__(self, scene: Scene, aside: frozenset[int] = frozenset(), home: Path | None = None):
        self.files: dict[str, bytes] = {}
        self._copies: Path | None = None
        self.settling = Settling(Draft(self._with_copies(scene), aside))
        self.home = home
        self.home_stamp: tuple[int, int] | None = None
        self.kept_regions = frozenset(scene.regions)
        self.saved_draft: Draft | None = None if self.settling.left_out else self.draft
        self.saved_masks = dict(self.mask_numbers)
        self.versions: tuple[Version, ...] = ()
        self.saved_versions: tuple[Version, ...] = ()
        self.stands_on = ""
        self._table: tuple[Scene, Table] | None = None

    def _with_copies(self, scene: Scene, but: Collection[str] = ()) -> Scene:
        """The scene among copies of its files: they stay, whoever moves or deletes theirs.

        but : names of files that it doesn't need
        """
        for name in files_named(scene):
            if name in self.files or name in but:
                continue
            note_read(scene.file(name))
            self.files[name] = scene.file(name).read_bytes()
            self._copies = self._copies or folder_till_the_end()
            copy = self._copies / name
            copy.parent.mkdir(parents=True, exist_ok=True)
            copy.write_bytes(self.files[name])
        return scene.in_folder(self._copies or scene.folder)

    def take_versions(self, versions: Iterable[Version]) -> None:
        """Versions that were read from the scene's folder."""
        taken = []
        for version in versions:
            scene = version.draft.scene
            own = {scene.regions[region].mask or "" for region in version.masks}
            with suppress(InputError):  # one whose file is gone is kept, and told when asked for
                draft = replace(version.draft, scene=self._with_copies(scene, own))
                version = replace(version, draft=draft)
            taken.append(version)
        self.versions = tuple(taken)

    @property
    def draft(self) -> Draft:
        """The scene with all its steps, and what is set aside."""
        return self.settling.draft

    @property
    def painting(self) -> Painting:
        """The draft settled."""
        return self.settling.painting

    @property
    def masks(self) -> Masks:
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
        kept = self.versions == self.saved_versions
        numbers = {n: self.mask_numbers.get(n) for n in self.draft.scene.regions}
        same = self.draft == self.saved_draft and all(
            number == self.saved_masks.get(name) for name, number in numbers.items()
        )
        return not (kept and same)

    def saved(
        self, home: Path, draft: Draft, numbers: dict[str, int], versions: tuple[Version, ...]
    ) -> None:
        """It has been saved as it was with a draft, numbers of its masks, and versions."""
        self.home, self.saved_draft, self.saved_masks = home, draft, numbers
        self.saved_versions = versions

    def is_painted(self, region: str) -> bool:
        """Whether a region of the scene is one that is painted."""
        record = self.scene.regions.get(region)
        return region in self.masks and record is not None and bool(record.mask)

    @property
    def reserve(self) -> Mask | None:
        """Where washes are stopped out; None before it is painted, and once it is taken back."""
        return self.masks[RESERVE] if self.is_painted(RESERVE) else None

    @property
    def lean(self) -> Draft:
        """The draft as it is written: without painted regions on which nothing lies, and without
        regions made here that no step needs any more; what the scene came with stays."""
        bare = {name for name in self.masks if self.is_painted(name)}
        draft = without_regions(self.draft, {name for name in bare if not self.masks[name].any()})
        return without_regions(draft, self.unneeded(draft))

    def unneeded(self, draft: Draft) -> set[str]:
        """Regions made here that no step of a draft lies on."""
        return unused_regions(draft.scene) - self.kept_regions - {RESERVE}


def _same_table(a: Scene, b: Scene) -> bool:
    """Whether two scenes lay out the same things."""
    keys = ("palette", "paper", "light", "wells", "room", "bleach", "folder")
    return all(getattr(a, key) == getattr(b, key) for key in keys)
