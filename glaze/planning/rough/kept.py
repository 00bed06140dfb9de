"""A proposal kept as a scene of its own: its folder, its masks, the numbers of its areas."""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np

from glaze.errors import InputError
from glaze.picture.writing import make_folder, together, write_whole
from glaze.planning.rough.propose import Proposal
from glaze.record.incoming import read_bytes
from glaze.region.numbered import kept_text
from glaze.scene.file import FILE, scene_text
from glaze.scene.parcel import files_named
from glaze.scene.starter import KEPT
from glaze.sheet.units import Mask
from glaze.sketch.scan import LARGEST_BYTES

BEFORE = "scene_before_rough.toml"
"""What a scene's own file is called once a rough's steps stand in its place."""
ROUGH_KEPT = "areas_of_rough.json"


def keep(found: Proposal, folder: Path | None) -> Path:
    """Write a proposal as a scene, all its files together.

    folder : to make for it; None writes it into the scene's own, whose file is kept as BEFORE

    Returns
    -------
    the scene file
    """
    home = folder or found.scene.folder
    numbers = KEPT if folder else ROUGH_KEPT
    gaps = found.scene.areas.model_copy(update={"numbered": numbers})
    text = scene_text(found.scene.model_copy(update={"areas": gaps})).encode()
    for name in [numbers, *found.made.masks, FILE if folder else BEFORE]:
        if (home / name).exists():
            raise InputError(
                f'"{home / name}" is there already and is left as it is; name another folder with '
                "--folder."
            )
    with together():
        make_folder(home)
        if folder is None:
            write_whole(home / BEFORE, read_bytes(home / FILE))
        else:
            for name in files_named(found.scene):
                if name not in (*found.made.masks, found.scene.areas.numbered):
                    write_whole(home / name, read_bytes(found.scene.file(name), LARGEST_BYTES))
        for name, mask in found.made.masks.items():
            write_whole(home / name, _png(mask))
        write_whole(home / numbers, kept_text(found.areas).encode())
        # asked for by --here, and what was there is kept beside it
        write_whole(home / FILE, text, changed=folder is None)
    return home / FILE


def _png(mask: Mask) -> bytes:
    """A mask as a grey PNG of 8 bits: its edges are soft over a few pixels only."""
    from PIL import Image

    file = io.BytesIO()
    grey = np.rint(mask / np.float32(257)).astype(np.uint8)
    Image.fromarray(grey).save(file, "PNG", optimize=False, compress_level=6)
    return file.getvalue()
