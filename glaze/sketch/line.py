"""A sketch: line art on bare paper, cleaned of the paper it was scanned or photographed with.

The line is a transmittance, 1 where the paper is clean: it multiplies what lies under it, so the
picture's own shade, tint and uneven light have to go first.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError
from glaze.physics.flow import MM_PER_INCH
from glaze.picture.file import reduced
from glaze.sketch.scan import luminance, read_scan

MOST_DPI = 2400  # as in a scene file
LARGEST_SHEET_MM = 1200.0  # A0 is 841 x 1189 mm
# guesses, tried on made vignettes, shadows and noise (tests/sketch/test_sketch.py):
NO_REAL_DPI = (72, 96)  # what cameras and programs write when they don't know
BLOCK_MM = 2.0  # one reading of the paper
SMOOTH_MM = 10.0  # its light is even at this scale once the broad fall-off is out
PAPER_SHARE = 0.88  # of a block's finer means, the one that is taken for paper
LIKE_PAPER = 0.15  # natural log; darker than the broad light by more than this is drawing
NOISE_SIGMAS = 4.0
LEAST_DARKNESS = 0.006  # less than two steps of an 8-bit white


@dataclass(frozen=True, eq=False)
class Sketch:
    """Line art over a sheet.

    Parameters
    ----------
    line : transmittance [-], float32, shape (rows, columns), 0 to 1, clean paper exactly 1
    dpi : dots per inch, alike both ways
    path : the picture, never written; None for a bare sheet
    notes : what a painter should know about how it was read
    """

    line: NDArray[np.float32]
    dpi: float
    path: Path | None = None
    notes: tuple[str, ...] = ()

    @property
    def shape(self) -> tuple[int, int]:
        """Rows and columns."""
        rows, columns = self.line.shape
        return rows, columns

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height of the sheet [mm]."""
        rows, columns = self.line.shape
        return columns * MM_PER_INCH / self.dpi, rows * MM_PER_INCH / self.dpi

    def coarser(self, shape: tuple[int, int], scale: float) -> Sketch:
        """The same on fewer rows and columns, each pixel the mean of what it covers.

        scale : of its dpi
        """
        line = np.ones(shape, np.float32) if self.path is None else reduced(self.line, shape)
        return replace(self, line=line, dpi=self.dpi * scale)


def blank_sketch(size_mm: tuple[float, float], dpi: float) -> Sketch:
    """A bare sheet of a given size."""
    columns, rows = (max(1, round(side * dpi / MM_PER_INCH)) for side in size_mm)
    if rows * columns > 150_000_000 or max(rows, columns) > 30_000:
        raise InputError(
            f"A sheet of {size_mm[0]:g} x {size_mm[1]:g} mm at {dpi:g} dpi has {columns} x {rows} "
            "pixels; allowed: 30000 a side and 150 million in all. Give a lower dpi."
        )
    return Sketch(np.ones((rows, columns), np.float32), dpi)


def read_sketch(
    path: str | Path, dpi: float | None = None, size_mm: tuple[float, float] | None = None
) -> Sketch:
    """A scanned or photographed drawing as a line on clean paper.

    Parameters
    ----------
    path : PNG, JPEG or TIFF
    dpi : overrides what the picture says
    size_mm : width and height of the sheet [mm], another way to give the dpi
    """
    path = Path(path)
    scan = read_scan(path)
    rows, columns = scan.values.shape[:2]
    sheet_dpi, notes = _dpi_of(path.name, (columns, rows), scan.dpi, dpi, size_mm)
    bright, read_notes = luminance(scan)
    line = clean_line(bright, sheet_dpi)
    return Sketch(line, sheet_dpi, path, (*read_notes, *notes))


def _dpi_of(
    name: str,
    pixels: tuple[int, int],
    said: tuple[float, float] | None,
    dpi: float | None,
    size_mm: tuple[float, float] | None,
) -> tuple[float, tuple[str, ...]]:
    """The sheet's dpi, from the painter first, else from the picture; and notes."""
    across, down = (dpi, dpi) if dpi else (0.0, 0.0)
    ask = (
        "Give dpi (scans are 300 or 600), or the sheet's width and height in mm: size_mm = "
        "[210, 148] in a scene, --size 210x148 for `glaze new`."
    )
    if dpi is not None and not 20 <= dpi <= MOST_DPI:  # as in a scene file; not: nan
        raise InputError(f"{dpi:g} dpi: allowed are 20 to {MOST_DPI} dots per inch.")
    if size_mm and not all(5 <= side <= 2000 for side in size_mm):
        wide, high = size_mm
        raise InputError(f"A sheet of {wide:g} x {high:g} mm: allowed are sides of 5 to 2000 mm.")
    if size_mm:
        across, down = (p * MM_PER_INCH / mm for p, mm in zip(pixels, size_mm, strict=True))
    if not across and said is None:
        raise InputError(f'"{name}" doesn\'t say how large it is on paper. {ask}')
    given = bool(across)
    if not given and said:
        across, down = said
    if size_mm and abs(across / down - 1) > 0.02:
        raise InputError(_shapes_differ(name, pixels, size_mm))
    if abs(across / down - 1) > 0.02:
        raise InputError(
            f'"{name}" has {across:.4g} dpi across but {down:.4g} dpi down; allowed: the same both '
            f"ways. {ask}"
        )
    value = float(np.sqrt(across * down))
    # a PNG counts whole dots per metre: 300 dpi comes back as 299.9994
    value = float(round(value)) if abs(value - round(value)) < 0.02 else value
    wide, high = (p * MM_PER_INCH / value for p in pixels)
    if value > MOST_DPI:
        raise InputError(f'"{name}" says {value:.4g} dpi; allowed: up to {MOST_DPI}. {ask}')
    if max(wide, high) > LARGEST_SHEET_MM:
        raise InputError(
            f'"{name}" at {value:.4g} dpi would be a sheet of {wide:.0f} x {high:.0f} mm; allowed: '
            f"{LARGEST_SHEET_MM:.0f} mm a side (A0). The dpi is wrong. {ask}"
        )
    note = (
        f'"{name}" says {value:.4g} dpi, which cameras and programs write when they don\'t know: '
        f"the sheet is taken as {wide:.0f} x {high:.0f} mm. If it isn't, give size_mm."
    )
    return value, (note,) if not given and round(value) in NO_REAL_DPI else ()


def _shapes_differ(name: str, pixels: tuple[int, int], size_mm: tuple[float, float]) -> str:
    """A sheet's size that isn't of its picture's shape, and the ways to go on."""
    (wide, high), (across, down) = size_mm, pixels
    return (
        f'"{name}" and its sheet differ in shape: the picture is {across} x {down} px '
        f"(1 : {down / across:.3g}), the sheet {wide:g} x {high:g} mm (1 : {high / wide:.3g}). "
        f"--shape crop takes {_cut(pixels, size_mm)} off; --shape fit shows all of it at "
        f"{_fitted(pixels, size_mm)} with a margin; the width alone, --size {wide:g}, makes the "
        f"sheet {wide:g} x {wide * down / across:.0f} mm; and of a photo that shows the whole "
        "sheet the corners can be found: --corners find."
    )


def _cut(pixels: tuple[int, int], size_mm: tuple[float, float]) -> str:
    """What a crop to the sheet's shape takes off, as "6 % of the height"."""
    tall = pixels[1] / pixels[0] * size_mm[0] / size_mm[1]
    share, side = (1 - 1 / tall, "height") if tall > 1 else (1 - tall, "width")
    return f"{share:.0%} of the {side}"


def _fitted(pixels: tuple[int, int], size_mm: tuple[float, float]) -> str:
    """How large the whole picture is on its sheet, as "148 x 197 mm"."""
    scale = min(mm / px for px, mm in zip(pixels, size_mm, strict=True))
    return f"{pixels[0] * scale:.0f} x {pixels[1] * scale:.0f} mm"


def clean_line(bright: NDArray[np.float32], dpi: float) -> NDArray[np.float32]:
    """Transmittance of the line once the scan's own paper and noise are out.

    Parameters
    ----------
    bright : linear luminance [-], shape (rows, columns); it is overwritten
    dpi : dots per inch; sets the scale of what counts as paper

    Returns
    -------
    line : float32, same shape, 0 to 1. Areas within 15 % of the broad light are taken for paper
        at the 10 mm scale, so a pale even tone drawn over centimetres is lost; darker ones stay.
    """
    grid, step = _paper_grid(bright, dpi)
    for rows in _strips(bright.shape[0]):
        bright[rows] /= _spread(grid, step, rows, bright.shape[1])
    middle, noise = _paper_noise(bright)
    least = max(NOISE_SIGMAS * noise, LEAST_DARKNESS)
    for rows in _strips(bright.shape[0]):
        bright[rows] = _without_noise(bright[rows] / middle, least)
    return bright


def _strips(rows: int) -> list[slice]:
    """Rows in groups, so that working copies stay small."""
    return [slice(start, min(start + 256, rows)) for start in range(0, rows, 256)]


def _without_noise(line: NDArray[np.float32], least: float) -> NDArray[np.float32]:
    """The line with darkness below `least` taken out (non-negative garrote, Breiman 1995).

    Darkness d becomes d - least^2/d: nothing below `least`, and unlike a plain soft threshold it
    leaves a black line black (off by 0.4 % of its darkness at 0.06).
    """
    dark = np.float32(1) - line
    small = dark <= least
    dark[small] = 1
    kept = np.float32(1) - dark + np.float32(least * least) / dark
    kept[small] = 1
    return np.clip(kept, 0, 1, out=kept)


def _paper_noise(line: NDArray[np.float32]) -> tuple[float, float]:
    """Middle and standard deviation of clean paper, from what is nearly white."""
    sample = line[::3, ::3]
    sample = sample[sample > 0.8]
    if sample.size < 100:
        return 1.0, 0.0
    middle = float(np.median(sample))
    # 1.4826: from the median deviation to the standard deviation of a normal distribution
    noise = 1.4826 * float(np.median(np.abs(sample - middle)))
    return middle, min(noise, 0.05)


def _paper_grid(bright: NDArray[np.float32], dpi: float) -> tuple[NDArray[np.float64], int]:
    """The paper's own light, one reading a block, and the block's side [px]."""
    from scipy.ndimage import gaussian_filter

    fine = max(1, round(BLOCK_MM / 6 * dpi / MM_PER_INCH))
    light = np.log(np.maximum(_block_paper(bright, fine), 1e-4))
    broad = _broad_light(light)
    # what the broad fall-off leaves: smoothed where it is paper, nothing where it is drawing
    rest = light - broad
    paper = (np.abs(rest) < LIKE_PAPER).astype(float)
    sigma = SMOOTH_MM * dpi / MM_PER_INCH / (6 * fine)
    near = gaussian_filter(paper, sigma, mode="nearest")
    local = gaussian_filter(rest * paper, sigma, mode="nearest") / (near + 0.02)
    return np.exp(broad + local), 6 * fine


def _block_paper(bright: NDArray[np.float32], fine: int) -> NDArray[np.float32]:
    """The light end of the means within each block: paper between the lines, without its noise."""
    side = 6 * fine
    rows, columns = bright.shape
    blocks = -(-rows // side), -(-columns // side)
    pads = [(0, blocks[0] * side - rows), (0, blocks[1] * side - columns)]
    light = []
    for row in range(blocks[0]):
        strip = bright[row * side : (row + 1) * side]
        strip = np.pad(strip, [(0, side - len(strip)), pads[1]], mode="edge")
        means = strip.reshape(6, fine, blocks[1] * 6, fine).mean(axis=(1, 3))
        means = means.reshape(6, blocks[1], 6).swapaxes(0, 1).reshape(blocks[1], 36)
        rank = round(PAPER_SHARE * 35)
        light.append(np.partition(means, rank, axis=1)[:, rank])
    return np.stack(light)


def _broad_light(light: NDArray[np.float64]) -> NDArray[np.float64]:
    """A smooth surface through the paper, blind to large dark areas.

    A surface of fourth degree in the logarithm follows a lens's cos^4 fall-off. It is first drawn
    to the light side (asymmetric least squares, 0.98 to 0.02), then fitted to what lies near it.
    """
    rows, columns = light.shape
    degree = min(4, (min(rows, columns) - 1) // 2)
    powers = [(i, j) for i in range(degree + 1) for j in range(degree + 1 - i)]
    i, j = np.array(powers).T
    # sums over blocks go down the rows and along the columns by turns: far fewer products
    y, x = (np.vander(np.linspace(-1, 1, n), 2 * degree + 1, increasing=True) for n in light.shape)
    values = light.astype(float)
    surface = np.full(values.shape, np.quantile(values, 0.9))
    for turn in range(20):
        above = values - surface
        weight = np.where(above > 0, 0.98, 0.02) if turn < 12 else np.abs(above) < LIKE_PAPER
        if weight.sum() < 4 * len(powers) * weight.max():
            break
        both, right = y.T @ weight @ x, y.T @ (weight * values) @ x
        terms = np.zeros((degree + 1, degree + 1))
        terms[i, j] = np.linalg.lstsq(
            both[i[:, None] + i, j[:, None] + j], right[i, j], rcond=None
        )[0]
        surface = y[:, : degree + 1] @ terms @ x[:, : degree + 1].T
    return np.asarray(surface)


def _spread(grid: NDArray[np.float64], step: int, rows: slice, columns: int) -> NDArray[np.float32]:
    """Values between the middles of blocks, for some rows and all columns (linear both ways)."""
    down = _between(np.arange(rows.start, rows.stop), step, grid.shape[0])
    across = _between(np.arange(columns), step, grid.shape[1])
    low, share = down
    lines = (
        grid[low] * (1 - share[:, None]) + grid[np.minimum(low + 1, len(grid) - 1)] * share[:, None]
    )
    lines = lines.astype(np.float32)
    low, share = across
    high = np.minimum(low + 1, grid.shape[1] - 1)
    start = lines[:, low]
    return np.asarray(start + (lines[:, high] - start) * share.astype(np.float32), np.float32)


def _between(
    pixels: NDArray[np.int64], step: int, blocks: int
) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
    """The block before each pixel's middle and how far towards the next one it lies.

    Beyond the middles of the first and last block the share goes on below 0 and above 1, so that
    light falls off to the very edge.
    """
    place = (pixels + 0.5) / step - 0.5
    low = np.clip(np.floor(place), 0, max(blocks - 2, 0)).astype(np.int64)
    return low, place - low if blocks > 1 else np.zeros(len(pixels))
