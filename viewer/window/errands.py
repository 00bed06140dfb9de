"""Errands: reading and writing of files in the background; what comes of them is told."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from qtpy.QtCore import QObject, Signal

from glaze.errors import InputError

from ..core.saying import problems
from ..core.worker import Worker


class Errands(QObject):
    """One errand after the other, beside the painting.

    told : a line for the painter
    """

    told = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self.worker = Worker()

    def attempt(self, do: Callable[[], Any]) -> Any:
        """Do something at once; what is wrong with it is told, and None comes back."""
        try:
            return do()
        except InputError as error:
            self.tell_wrong(error)
            return None

    def tell_wrong(self, error: InputError) -> None:
        """Tell what is wrong."""
        self.told.emit(problems(error))

    def run(
        self,
        job: Callable[[], Any],
        take: Callable[[Any], None],
        refused: Callable[[InputError], Any] | None = None,
    ) -> None:
        """Do a job in the background; `take` gets its result, `refused` what is wrong with it."""
        self.worker.do(job, take, refused or self.tell_wrong)
