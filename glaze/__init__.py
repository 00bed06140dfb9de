"""glaze: layered glazing and bleach lift, computed before the brush touches the sheet.

Read `glaze.pipeline` first: it is the whole flow on one page.
"""

from __future__ import annotations

__version__ = "0.1.0"
__all__ = ["__version__"]
