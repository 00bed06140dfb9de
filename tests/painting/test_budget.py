"""What a sheet needs of the machine is told before the work."""

from __future__ import annotations

import pytest

from glaze.errors import InputError
from glaze.painting import budget
from glaze.painting.settle import resolve
from glaze.scene.file import read_text, scene_of

STEP = '[[step]]\nwash = "a{}"\nmix = "Blue 1 + water 4"\nregion = "sheet"\n'
HEAD = """format = 1
palette = "lifting"
paper = "white cartridge"
size_mm = [25.4, 25.4]
dpi = 100
"""


def scene(steps: int):
    return scene_of(read_text(HEAD + "".join(STEP.format(n) for n in range(steps))), ".")


def test_memory_grows_with_pixels_and_steps():
    """A0 at 300 dpi is 9933 x 14043 px = 139.5 million; by hand for 60 washes over all of it:
    139.5e6 x (8 + 60 x 3.3) = 28.7 GB (27 were measured)."""
    assert budget.needed_bytes(scene(60), 9933 * 14043) == pytest.approx(28.7e9, rel=0.01)


def test_too_large_a_sheet_is_refused_with_a_dpi_that_fits(monkeypatch):
    """100 x 100 px with one wash: 1e4 x 11.3 = 113,000 bytes. Of 31,400 there, nine tenths may be
    taken: a quarter, so half the dpi fits."""
    resolve(scene(1))
    monkeypatch.setattr(budget, "machine_bytes", lambda: 113_000 / 4 / 0.9)
    with pytest.raises(InputError, match=r"needs about .* GB .*At 50 dpi"):
        resolve(scene(1))
