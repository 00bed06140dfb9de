"""A scene as napari layers, and layers as a scene again; plain functions, no window.

A scene gives its sketch, its picture, and one mask layer a step: hidden, as wide as the sheet,
65535 where the whole film lies. The masks can be painted on with napari's own means and read
back. Any Labels or Shapes layer can become a region, too.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise
from pathlib import Path
from typing import Any
from zlib import crc32

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError
from glaze.physics.flow import MM_PER_INCH
from glaze.region.outline import band, ellipse, fill
from glaze.scene.file import read_text, scene_of, scene_text
from glaze.sheet.units import FULL
from glaze.sketch.scan import read_scan
from glaze.sketch.scan_values import grey

from . import drafting
from .history import MaskChange
from .saying import say
from .sitting import Sitting
from .squares import Mask, squares_of

LayerData = tuple[Any, dict[str, Any], str]
TAG = "glaze"
"""Key in a layer's metadata under which glaze keeps what the layer is."""


def placed(dpi: float, step: int = 1) -> dict[str, tuple[float, float]]:
    """Scale and shift of a layer [mm], so that the sheet's corner is at 0, 0.

    step : how many pixels of the sheet a pixel of the layer stands for
    """
    mm = MM_PER_INCH / dpi * step
    return {"scale": (mm, mm), "translate": (mm / 2, mm / 2)}


def layers_of(sitting: Sitting) -> list[LayerData]:
    """The sketch, the picture, and one hidden mask for each step."""
    # the sketch, and the picture that holds the scene
    place = placed(sitting.painting.dpi)
    text = scene_text(sitting.draft.laid)
    sheet = {"what": "picture", "scene": text, "folder": str(sitting.scene.folder)}
    sketch = np.rint(sitting.sketch.line * 255).astype(np.uint8)
    found: list[LayerData] = [
        (
            sketch,
            {
                "name": "sketch",
                "visible": False,
                "contrast_limits": (0, 255),
                "metadata": {TAG: {"what": "sketch"}},
                **place,
            },
            "image",
        ),
        (
            sitting.preview.pyramid.levels[0],
            {"name": "sheet", "rgb": True, "metadata": {TAG: sheet}, **place},
            "image",
        ),
    ]
    # a mask for each step, which tells whether it was painted on
    for painted, step in sitting.settling.pairs():
        number = sitting.scene.steps.index(step)
        mask = np.array(painted.coverage)
        tag = {"what": "mask", "step": number, "name": step.name, "as_it_was": crc32(mask.data)}
        found.append(
            (
                mask,
                {
                    "name": f"{number + 1} {step.name}",
                    "visible": False,
                    "metadata": {TAG: tag},
                    **place,
                },
                "labels",
            )
        )
    return found


def tag_of(layer: Any) -> Mapping[str, Any]:
    """What glaze knows about a layer; empty for a layer of somebody else's."""
    found = layer.metadata.get(TAG, {})
    return found if isinstance(found, dict) else {}


def take_masks(sitting: Sitting, layers: Iterable[Any]) -> list[str]:
    """Read masks that were changed in napari back into the sitting; gives the steps' names."""
    done = []
    for layer in layers:
        tag = tag_of(layer)
        if tag.get("what") != "mask":
            continue
        mask = np.ascontiguousarray(layer.data)
        if crc32(mask.data) == tag["as_it_was"]:
            continue
        number = _number_of(sitting, tag)
        if number is None:
            continue
        painted = sitting.settling.painted_step(number)
        before = None if painted is None else painted.coverage
        put_mask(sitting, number, mask_from_labels(mask, sitting.painting.shape, before))
        layer.metadata[TAG] = {**tag, "as_it_was": crc32(mask.data)}
        done.append(sitting.scene.steps[number].name)
    return done


def _number_of(sitting: Sitting, tag: Mapping[str, Any]) -> int | None:
    """Number of the step a mask layer belongs to, wherever it stands now."""
    names = [step.name for step in sitting.scene.steps]
    number = tag["step"]
    if number < len(names) and names[number] == tag["name"]:
        return int(number)
    return names.index(tag["name"]) if tag["name"] in names else None


def put_mask(sitting: Sitting, number: int, mask: Mask) -> None:
    """Give a step another mask."""
    before = sitting.draft, sitting.chosen
    name, draft = sitting.paintable(number)
    sitting.begin(draft, number)
    old = squares_of(sitting.masks[name])
    sitting.masks[name][...] = mask
    sitting.mask_numbers[name] += 1
    change = MaskChange.of(name, old, squares_of(sitting.masks[name]))
    step = sitting.scene.steps[number].name
    sitting.record(say("deed.mask", name=step), *before, (change,))
    sitting.settling.settle_again(name, sitting.preview.pyramid.bounds)


def mask_from_labels(
    labels: NDArray[Any], shape: tuple[int, int], before: Mask | None = None
) -> Mask:
    """Labels as film: 16-bit numbers are the film itself; of few labels each is whole film.

    before : the mask that was painted on; a small label put there since is whole film, too, or
        label 1 would lay a 65535th of it
    """
    found = np.asarray(labels)
    if found.shape != shape:
        high, wide = (1, 1, *found.shape)[-2:]
        there = {"wide": wide, "high": high, "columns": shape[1], "rows": shape[0]}
        raise InputError(say("layer.shape", **there))
    if before is not None:
        small = (found > 0) & (found <= 255) & (found != before)
        return np.where(small, FULL, found).astype(np.uint16)
    if found.dtype == np.uint16 and int(found.max(initial=0)) > 255:
        return found.astype(np.uint16)
    return np.where(found > 0, FULL, 0).astype(np.uint16)


def mask_from_shapes(layer: Any, dpi: float, shape: tuple[int, int]) -> Mask:
    """Shapes as film, edges smooth: polygons, rectangles, ellipses, lines as wide as drawn.

    Rasterised here; corners are in the layer's own place, in mm.
    """
    scale = dpi / MM_PER_INCH
    outlines = []
    widths = np.broadcast_to(np.asarray(layer.edge_width, float), (len(layer.data),))
    for points, kind, width in zip(layer.data, layer.shape_type, widths, strict=True):
        world = np.array([layer.data_to_world(point) for point in points])[:, ::-1]
        if kind == "ellipse":
            centre, half = world.mean(axis=0), np.ptp(world, axis=0) / 2
            outlines.append(ellipse(tuple(centre), tuple(half), 0.0, scale))
        elif kind in ("line", "path"):
            wide = max(float(width) * float(layer.scale[-1]), 1 / scale)
            outlines += [band(a, b, wide, scale) for a, b in pairwise(world)]
        else:
            outlines.append(world * scale)
    mask = fill(outlines, shape)
    if not mask.any():
        raise InputError(say("layer.off_sheet"))
    return mask


def region_from_layer(sitting: Sitting, layer: Any) -> str:
    """Make a Labels or Shapes layer a region of the scene; gives the region's name."""
    kind = type(layer).__name__
    if kind == "Labels":
        mask = mask_from_labels(layer.data, sitting.painting.shape)
    elif kind == "Shapes":
        mask = mask_from_shapes(layer, sitting.painting.dpi, sitting.painting.shape)
    else:
        raise InputError(say("layer.kind", name=getattr(layer, "name", "")))
    if not mask.any():
        raise InputError(say("layer.empty", name=layer.name))
    name = sitting.free_region(layer.name)
    return _new_region(sitting, name, mask)


def _new_region(sitting: Sitting, name: str, mask: Mask) -> str:
    """Add a region that somebody made: it is saved whether a step lies on it or not."""
    sitting.settling.new_mask(name, mask)
    sitting.kept_regions |= {name}
    sitting.do(say("deed.region", name=name), drafting.with_mask(sitting.draft, name))
    return name


def region_from_picture(sitting: Sitting, path: Path) -> str:
    """Make a grey picture of the sheet's size a region, white = the whole film; gives its name."""
    mask = grey(read_scan(path))
    if mask.shape != sitting.painting.shape:
        rows, columns = sitting.painting.shape
        there = {"wide": mask.shape[1], "high": mask.shape[0], "columns": columns, "rows": rows}
        raise InputError(say("layer.mask_shape", name=path.name, **there))
    if not mask.any():
        raise InputError(say("layer.mask_black", name=path.name))
    name = sitting.free_region(path.stem or "mask")
    return _new_region(sitting, name, mask)


def lay_region(sitting: Sitting, region: str) -> None:
    """Lay what is in the hand on a region, as a new step."""
    name = sitting.next_name()
    draft = drafting.with_step(sitting.draft, sitting.hand.step(name, region))
    sitting.do(say("deed.lay", name=name), draft, chosen=len(draft.scene.steps) - 1)


def sitting_from_layers(layers: Sequence[Any]) -> Sitting:
    """The scene that a set of layers was made from, with what was painted on their masks.

    Raises
    ------
    InputError : when none of the layers holds a scene
    """
    for layer in layers:
        tag = tag_of(layer)
        if tag.get("what") == "picture":
            scene = scene_of(read_text(tag["scene"]), tag["folder"])
            sitting = Sitting(scene)
            take_masks(sitting, layers)
            return sitting
    raise InputError(say("layer.no_scene"))


def as_objects(data: Sequence[LayerData]) -> list[Any]:
    """Layer data, as napari hands it to a writer, as objects with data, metadata and name."""
    return [_Given(values, given) for values, given, _ in data]


class _Given:
    """A layer as far as a writer knows it."""

    def __init__(self, data: Any, given: Mapping[str, Any]) -> None:
        self.data = data
        self.metadata = dict(given.get("metadata", {}))
        self.name = given.get("name", "")
