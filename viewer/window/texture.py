"""Bringing a rectangle of the picture to the screen.

napari's public way sends the whole picture again. A rectangle alone can be sent through a private
door of napari 0.9; it is tried when everything is as expected, and left alone otherwise. The
picture on the screen is the same either way. No reference to anything behind the door is kept: a
kept one would crash napari when its layer is removed.

GLAZE_PUBLIC_UPLOAD=1 keeps the door shut.
"""

from __future__ import annotations

import os
import warnings
from typing import Any

from glaze.sheet.rect import Rect

LARGEST_TEXTURE = 16384


def upload(viewer: Any, layer: Any, rect: Rect) -> bool:
    """Show a rectangle of an image layer whose array was changed in place.

    Returns whether the private door was used.
    """
    if rect.empty:
        return False
    if os.environ.get("GLAZE_PUBLIC_UPLOAD") != "1" and _through_the_door(viewer, layer, rect):
        return True
    layer.refresh(thumbnail=False, highlight=False, extent=False)
    return False


def _through_the_door(viewer: Any, layer: Any, rect: Rect) -> bool:
    try:
        with warnings.catch_warnings():
            # napari tells plugins that its private parts may go; that is what the fallback is for
            warnings.simplefilter("ignore")
            window = viewer.window._qt_viewer
            node = window.canvas.layer_to_visual[layer].node
        texture = node._texture
        shape = layer.data.shape
        fits = (
            layer.visible
            and layer.loaded
            and max(shape[:2]) <= LARGEST_TEXTURE
            and type(node).__name__ == "Image"
            and tuple(texture.shape[:2]) == tuple(shape[:2])
        )
        if not fits:
            return False
        block = layer.data[rect.slices].copy()  # the command waits until the next frame
        texture.scale_and_set_data(block, offset=(rect.top, rect.left))
        node.update()
    except (AttributeError, KeyError, TypeError, ValueError, RuntimeError):
        return False
    return True
