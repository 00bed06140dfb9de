"""The model made ready in the background as the window opens, and said if it takes long."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from qtpy.QtCore import QObject, QTimer, Signal

from glaze.scene.records import Scene

from ..core.saying import say
from ..core.warming import warm_up
from ..core.worker import Worker

Warm = Callable[[Scene, Callable[[], bool]], None]
AFTER_MS = 1000
"""The first picture comes before it: both want all of the processor."""


class Readiness(QObject):
    """Warms the model up once for each scene that is opened.

    told : a line for the painter
    """

    told = Signal(str)

    def __init__(self, warm: Warm = warm_up, wait_ms: int = 1500, after_ms: int = AFTER_MS) -> None:
        super().__init__()
        self._warm = warm
        self.worker = Worker()
        self._closed = False
        self._said = False
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(wait_ms)
        self._timer.timeout.connect(self._say)
        self._after_ms = after_ms

    def start(self, scene: Scene) -> None:
        """Warm up for the bottles and the paper of a scene, once its picture had time to come."""
        QTimer.singleShot(self._after_ms, partial(self._begin, scene))

    def _begin(self, scene: Scene) -> None:
        if self._closed:
            return
        self.worker.do(lambda: self._warm(scene, lambda: self._closed), self._ready)
        self._timer.start()

    def _say(self) -> None:
        self._said = True
        self.told.emit(say("desk.warming"))

    def _ready(self, _: None) -> None:
        if self.worker.busy:
            return
        self._timer.stop()
        if self._said:
            self._said = False
            self.told.emit(say("desk.ready"))

    def close(self) -> None:
        """Nobody waits for it any more: end after the stroke it is at."""
        self._closed = True
        self._timer.stop()
