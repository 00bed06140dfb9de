"""A painted and scanned swatch sheet, made up: python paint_swatches.py scan.png.

Bottles of other strengths, a hand that measures 12 % wrongly, patchy washes, a scanner's noise.
"""

from __future__ import annotations

import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE.parent.parent / "tests" / "calibrate"), str(HERE.parent / "pictures")]

from of_calibration import painted_scan  # noqa: E402

if __name__ == "__main__":
    painted_scan(Path(sys.argv[1]))
