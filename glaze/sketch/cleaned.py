"""The paper that a sketch was scanned or photographed with, taken out of its light."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from glaze.physics.blur import smoothed
from glaze.physics.flow import MM_PER_INCH
from glaze.sketch.scan_values import strips

# guesses, tried on made vignettes, shadows and noise (tests/sketch/test_sketch.py):
BLOCK_MM = 2.0  # one reading of the paper
SMOOTH_MM = 10.0  # its light is even at this scale once the broad fall-off is out
PAPER_SHARE = 0.88  # of a block's finer means, the one that is taken for paper
LIKE_PAPER = 0.15  # natural log; darker than the broad light by more than this is drawing
NOISE_SIGMAS = 4.0
LEAST_DARKNESS = 0.006  # less than two steps of an 8-bit white


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
    for rows in strips(bright.shape[0]):
        bright[rows] /= _spread(grid, step, rows, bright.shape[1])
    middle, noise = _paper_noise(bright)
    least = max(NOISE_SIGMAS * noise, LEAST_DARKNESS)
    for rows in strips(bright.shape[0]):
        bright[rows] = _without_noise(bright[rows] / middle, least)
    return bright


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
    fine = max(1, round(BLOCK_MM / 6 * dpi / MM_PER_INCH))
    light = np.log(np.maximum(_block_paper(bright, fine), 1e-4))
    broad = _broad_light(light)
    # what the broad fall-off leaves: smoothed where it is paper, nothing where it is drawing
    rest = light - broad
    paper = (np.abs(rest) < LIKE_PAPER).astype(float)
    sigma = SMOOTH_MM * dpi / MM_PER_INCH / (6 * fine)
    near = smoothed(paper, sigma)
    local = smoothed(rest * paper, sigma) / (near + 0.02)
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
