"""The units that napari's layers may have, worked out once for a computer.

napari asks for millimetres and pixels; the library it asks reads and works out all units there are
for that, at each start, unless it is given a folder to keep what it made.
"""

from __future__ import annotations

import shutil

import pint
from platformdirs import user_cache_path


def load_units() -> None:
    """Have all units at hand, in a tenth of the time from the second start on."""
    folder = user_cache_path("glaze") / "units"
    try:
        registry: pint.UnitRegistry = pint.UnitRegistry(cache_folder=folder)
        registry.Unit("mm")
    except Exception:  # whatever is wrong with what was kept: it is worked out again
        shutil.rmtree(folder, ignore_errors=True)
        return
    pint.set_application_registry(registry)
