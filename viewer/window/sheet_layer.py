"""The sheet's picture in napari's canvas: one layer, shown from the level that suits the screen."""

from __future__ import annotations

from typing import Any

import numpy as np
from qtpy.QtCore import QObject
from qtpy.QtWidgets import QWidget

from glaze.physics.flow import MM_PER_INCH
from glaze.sheet.rect import Rect

from ..core.napari_layers import TAG, placed
from ..core.pyramid import Picture8, Pyramid, at_level
from ..core.sitting import Sitting
from .controls import Once
from .look import Wall
from .sheet_image import SheetImage
from .texture import upload

CRISP = 1.5
"""From so many screen pixels a pixel of the sheet on, pixels are shown as squares."""


def _nothing(layer: Any) -> None:
    """What a key of napari's does while the sheet is in hand."""


class SheetLayer(QObject):
    """The picture of a sitting as a napari layer; nothing napari has may change its colours.

    fitted : whether all of it is on the screen, as it was asked for last
    instead : a picture that is shown in place of the sheet, of its size; None for the sheet
    """

    def __init__(self, viewer: Any, sitting: Sitting, wall: Wall) -> None:
        super().__init__()
        self.viewer, self.sitting, self.wall = viewer, sitting, wall
        self.layer: Any = None
        self.instead: Pyramid | None = None
        self._fitting, self.fitted = False, True
        self._canvas: QWidget | None = None
        self._add_layer()
        viewer.scene.camera.events.connect(self._camera_moved)
        self._back_soon = Once(self._put_back, self)
        viewer.layers.events.removed.connect(self._taken_out)
        sitting.picture_changed.connect(self.show)

    def _add_layer(self) -> None:
        sitting = self.sitting
        layer = self.layer = SheetImage(
            sitting.preview.pyramid.levels[0],
            rgb=True,
            name="sheet",
            interpolation2d="linear",
            blending="translucent_no_depth",
            metadata={TAG: {"what": "sheet of the desk"}},
            **placed(sitting.painting.dpi),
        )
        self.viewer.add_layer(layer)
        layer.mouse_pan = False
        # napari's own keys would turn the sheet, or take it out: they are for layers beside it
        layer.bind_key(..., _nothing)
        for name in ("gamma", "contrast_limits", "blending", "opacity", "colormap"):
            getattr(layer.events, name).connect(self._keep_true)
        self.fit()

    def _keep_true(self, event: Any = None) -> None:
        """The picture's colours are the answer: nothing napari has may change them."""
        layer = self.layer
        if layer.gamma != 1:
            layer.gamma = 1
        if tuple(layer.contrast_limits) != (0, 255):
            layer.contrast_limits = (0, 255)
        if layer.opacity != 1:
            layer.opacity = 1
        if str(layer.blending) != "translucent_no_depth":
            layer.blending = "translucent_no_depth"

    def _taken_out(self, event: Any) -> None:
        if event.value is self.layer:
            self._back_soon()

    def _put_back(self) -> None:
        """The sheet was taken out of napari's list: without it there is no desk."""
        layers = self.viewer.layers
        if self.layer not in layers:
            layers.insert(0, self.layer)
            layers.selection.active = self.layer

    def follow(self, sitting: Sitting) -> None:
        """Show another sitting; the layer stays, only its array is another."""
        self.sitting, self.instead = sitting, None
        sitting.picture_changed.connect(self.show)
        self._show_level(0)
        self.fit()

    def fit(self) -> None:
        """The whole sheet on the screen."""
        self._fitting = True
        self.viewer.reset_view()
        self._fitting = False
        self.fitted = True
        self._camera_moved()

    def true_size(self, screen_dpi: float) -> None:
        """A millimetre of the sheet is a millimetre on the screen."""
        self.viewer.scene.camera.zoom = screen_dpi / MM_PER_INCH
        self._camera_moved()

    @property
    def screen_px_per_px(self) -> float:
        """Screen pixels a pixel of the sheet takes."""
        return float(self.viewer.scene.camera.zoom) / self.sitting.painting.per_mm

    def _camera_moved(self, event: Any = None) -> None:
        if event is not None and not self._fitting:
            self.fitted = False  # the painter has gone nearer or elsewhere
        preview = self.sitting.preview
        # on fine screens a pixel of Qt's is more than one of the screen's
        canvas = self.canvas()
        fine = 1.0 if canvas is None else canvas.devicePixelRatioF()
        level = preview.pyramid.level_for(self.screen_px_per_px * fine)
        preview.visible = self.visible()
        if level != preview.level:
            self._show_level(level)
        wanted = "nearest" if self.screen_px_per_px * 2**level >= CRISP else "linear"
        if str(self.layer.interpolation2d) != wanted:
            self.layer.interpolation2d = wanted

    def show_instead(self, picture: Pyramid | None) -> None:
        """Show another picture of the sheet's size in its place; None shows the sheet again."""
        if picture is not self.instead:
            self.instead = picture
            self._show_level(self.sitting.preview.level)

    def _levels(self) -> list[Picture8]:
        return (self.instead or self.sitting.preview.pyramid).levels

    def _show_level(self, level: int) -> None:
        """Show what is shown from another level of its pyramid."""
        self.sitting.preview.level = level
        place = placed(self.sitting.painting.dpi, 2**level)
        self.layer.data = self._levels()[level]
        self.layer.scale, self.layer.translate = place["scale"], place["translate"]

    def visible(self) -> Rect:
        """The part of the sheet that is on the screen [px]."""
        camera = self.viewer.scene.camera
        shape, per_mm = self.sitting.painting.shape, self.sitting.painting.per_mm
        half = np.array(self.canvas_size()) / 2 / max(camera.zoom, 1e-6)
        middle = np.array(camera.center[-2:])
        start = np.clip((middle - half) * per_mm, 0, shape).astype(int)
        end = np.clip(np.ceil((middle + half) * per_mm), 0, shape).astype(int)
        return Rect(*start.tolist(), *end.tolist())

    def canvas_size(self) -> tuple[float, float]:
        """Height and width of the canvas [screen px]."""
        canvas = self.canvas()
        return (800.0, 1000.0) if canvas is None else (canvas.height(), canvas.width())

    def canvas(self) -> QWidget | None:
        """napari's canvas as a Qt widget; None until it is found in its window."""
        return self._canvas

    def find_canvas(self, window: QWidget) -> None:
        """Find the canvas in this viewer's own window."""
        for widget in window.findChildren(QWidget):
            if type(widget).__name__ == "CanvasBackendDesktop":
                self._canvas = widget
                scene: Any = getattr(widget, "_vispy_canvas")  # noqa: B009, Qt's types don't know it
                # what is pressed on is known by its edges: all would be drawn once more to see it
                scene.visual_at = scene._visual_bounds_at
                self.fit()

    def show(self, rects: list[Rect]) -> None:
        """Bring rectangles of the picture to the screen."""
        level = self.sitting.preview.level
        if self.layer.data is not self._levels()[level]:
            self._show_level(level)
            return
        together: Rect | None = None
        for rect in rects:
            part = at_level(rect, level)
            together = part if together is None else together.union(part)
        if together is not None:
            upload(self.viewer, self.layer, together)

    def close(self) -> None:
        """Take everything back that was hooked in."""
        self.viewer.scene.camera.events.disconnect(self._camera_moved)
        self.viewer.layers.events.removed.disconnect(self._taken_out)
