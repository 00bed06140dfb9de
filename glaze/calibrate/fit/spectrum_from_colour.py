"""From the colours of an ink's strip to its absorption spectrum.

A reading fixes three numbers, a spectrum has dozens: many inks look like the swatch. The answer is
the most probable among mixtures of real dyes, and tells how far spectra of the same colour may
differ. Compared with smoother ones on measured overprints in docs/accuracy.md.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glaze.calibrate.fit.dye_prior import DyePrior
from glaze.physics.absorption import stack_reflectance

Array = NDArray[np.float64]

ROUNDS = 160
"""Most steps of the search; 10 to 30 are used, more only for very vivid pinks."""

LEAST_PATH = 1e-3
"""Smallest path kept in a logarithm: darkens paper by 0.1 %, below what can be read."""

FREE_SPREAD = 0.8
"""Standard deviation of the log path [-] that is left free beyond the mixtures, and
FREE_LENGTH_NM, how smooth that freedom is [nm]. Chosen on built-in dyes left out of the prior one
at a time; not on overprints."""

FREE_LENGTH_NM = 80.0

OVERCONFIDENCE = 2.0
"""What the normal law's spread is multiplied by, so that one standard deviation holds 68 % of the
bands of five dyes at two depths, each left out of its prior; two then hold 89 %."""

EXACT_DE = 1e-4
"""Standard deviation of a colour that is taken as it was read [CIE94-like units]."""

FAR_SDS = 2.0
"""Beyond so many standard deviations a rung pulls like its distance (Huber's rule with 2)."""

LAB_OF_ROOTS = np.array([[0.0, 116.0, 0.0], [500.0, -500.0, 0.0], [0.0, 200.0, -200.0]])
"""CIELAB of cube roots of XYZ over white, without the straight part near black."""


@dataclass(frozen=True, eq=False)
class RecoveredPath:
    """Path of one neat coat of an ink as its strip tells it.

    path : A [-], shape (bands,)
    log_sd : standard deviation of its natural log [-], shape (bands,)
    off : CIE94-like distance of each rung, shape (rungs,)
    """

    path: Array
    log_sd: Array
    off: Array


def most_probable(
    xyz: Array,
    weight: Array,
    Rp: Array,
    W: Array,
    prior: DyePrior,
    sheet: tuple[float, float],
    reading_de: float,
    slip: float,
) -> RecoveredPath:
    """The most probable path of an ink made of dyes, from all rungs of its strip at once.

    Mixtures of the prior are scaled to the rungs' lightness; mean and covariance of the log path
    over those near them in colour make a normal law, which the rungs' colours then move
    (Gauss-Newton, in CIELAB with the chroma weight of CIE94). A rung much farther off than it may
    be counts like its distance. What is near black or near paper tells little, and the prior
    carries it.

    Parameters
    ----------
    xyz : of each rung [-], shape (rungs, 3); weight : its path over that of a neat coat [-]
    Rp, W : paper [-], shape (bands,), and weights to XYZ, shape (bands, 3)
    sheet : path_spread k and surface s of the paper [-]
    reading_de : standard deviation of a reading [CIE94-like units]
    slip : standard deviation of the log strength of a rung [-]
    """
    (k, s), white, logs_of_rungs = sheet, W.sum(axis=0), np.log(weight)[:, None]

    def roots(path: Array) -> Array:
        R = stack_reflectance(path, Rp, s, k)
        return np.cbrt(np.maximum(R @ W, 1e-6) / white)

    def lightness(path: Array) -> tuple[Array, Array]:
        R = stack_reflectance(path, Rp, s, k)
        Y = np.maximum(R @ W[:, 1], 1e-6)
        light = np.cbrt(Y / white[1])
        return light, ((s - R) * path / (1.0 + path / k)) @ W[:, 1] * light / (3.0 * Y)

    seen = np.cbrt(np.maximum(xyz, 1e-6) / white)
    scaled = _scaled_to(np.exp(prior.log_path), weight, lightness, seen)
    paths = np.maximum(scaled, LEAST_PATH)
    near = np.stack([roots(paths * one) for one in weight], axis=1)
    mean, cov = _near(np.log(paths), near, seen)
    cov += _freedom(prior.wavelength_nm)
    lab = seen @ LAB_OF_ROOTS.T
    chroma = 1.0 + 0.045 * np.hypot(lab[:, 1], lab[:, 2])
    to_units = LAB_OF_ROOTS / np.stack([np.ones_like(chroma), chroma, chroma], axis=1)[:, :, None]

    x, gain, J = mean.copy(), np.zeros((mean.size, 3 * len(seen))), np.zeros((1, 1))
    for turn in range(ROUNDS):
        here = x + logs_of_rungs
        J3 = to_units @ _slopes(here, Rp, s, k, W, white)
        gap = np.einsum("rij,rj->ri", to_units, seen - roots(np.exp(here)))
        J = J3.reshape(-1, mean.size)
        noise = _noise(J3.sum(axis=-1), gap, reading_de, slip)
        gain = np.linalg.solve(J @ cov @ J.T + noise, J @ cov).T
        move = mean + gain @ (gap.ravel() + J @ (x - mean)) - x
        x = x + move * _share_of_step(turn, float(np.abs(move).max()), 0.7)
        if np.abs(move).max() < 1e-9:
            break
    left = np.sqrt(np.maximum(np.diag(cov - gain @ J @ cov), 0.0))
    off = np.einsum("rij,rj->ri", to_units, seen - roots(np.exp(x + logs_of_rungs)))
    return RecoveredPath(np.exp(x), OVERCONFIDENCE * left, np.linalg.norm(off, axis=1))


def _noise(along: Array, gap: Array, reading_de: float, slip: float) -> Array:
    """Covariance of the rungs' errors, shape (3 rungs, 3 rungs), in blocks of three.

    along : how a rung's colour moves with the log of its path, shape (rungs, 3)
    """
    blocks = reading_de**2 * np.eye(3) + slip**2 * along[:, :, None] * along[:, None, :]
    far = np.sqrt(np.einsum("ri,rij,rj->r", gap, np.linalg.inv(blocks), gap))
    if reading_de > EXACT_DE:
        blocks = blocks * np.maximum(far / FAR_SDS, 1.0)[:, None, None]
    out = np.zeros((along.size, along.size))
    for r, block in enumerate(blocks):
        out[3 * r : 3 * r + 3, 3 * r : 3 * r + 3] = block
    return out


def _slopes(log_path: Array, Rp: Array, s: float, k: float, W: Array, white: Array) -> Array:
    """Slope of the cube roots of XYZ/white on the log path, shape (rungs, 3, bands)."""
    A = np.exp(log_path)
    dR = -(Rp - s) * A * (1.0 + A / k) ** -(k + 1.0)
    XYZ = np.maximum(stack_reflectance(A, Rp, s, k) @ W, 1e-6)
    per_xyz = np.cbrt(XYZ / white) / (3.0 * XYZ)
    return np.asarray(per_xyz[:, :, None] * (W.T * dR[:, None, :]))


def _share_of_step(turn: int, move: float, longest: float) -> float:
    """Share of a Gauss-Newton step to take: none longer than that, shorter if it circles."""
    return min(1.0, longest / max(move, 1e-9)) * 0.5 ** min(turn // 20, 4)


def _scaled_to(
    paths: Array, weight: Array, lightness: Callable[[Array], tuple[Array, Array]], seen: Array
) -> Array:
    """Each mixture scaled, to a thousandth, so that it is as light as the rungs.

    Newton's steps in the log of the scale, halving where one would leave what is still open.

    lightness : of paths, and its slope on the log of their scale
    """
    low, high, x = np.full(len(paths), -8.0), np.full(len(paths), 8.0), np.zeros(len(paths))
    target, still = float(seen[:, 1].mean()), np.arange(len(paths))
    for _ in range(14):
        scaled = paths[still] * np.exp(x[still])[:, None]
        light, slope = np.mean([lightness(scaled * one) for one in weight], axis=0)
        low[still] = np.where(light > target, x[still], low[still])
        high[still] = np.where(light > target, high[still], x[still])
        to = x[still] + (target - light) / np.minimum(slope, -1e-9)
        within = (low[still] <= to) & (to <= high[still])
        before, x[still] = x[still], np.where(within, to, (low[still] + high[still]) / 2.0)
        still = still[np.abs(x[still] - before) > 1e-3]
        if not still.size:
            break
    return np.asarray(paths * np.exp(x)[:, None])


def _near(logs: Array, colours: Array, colour: Array) -> tuple[Array, Array]:
    """Mean and covariance of log paths, weighted by nearness in cube roots of XYZ.

    The width is that of the hundredth nearest mixture, so that there are always enough.
    """
    off = (colours - colour).reshape(len(logs), -1)
    distance = np.linalg.norm(off, axis=1) / np.sqrt(len(colour))
    width = max(float(np.partition(distance, 100)[100]), 0.02)
    # those that would weigh 1e-13 of the nearest are left out: numbers that small are slow
    logs, distance = logs[distance < 7.7 * width], distance[distance < 7.7 * width]
    weight = np.exp(-0.5 * (distance / width) ** 2)
    weight /= weight.sum()
    mean = weight @ logs
    away = logs - mean
    return mean, (away * weight[:, None]).T @ away


def _freedom(nm: Array) -> Array:
    """Covariance of what the built-in dyes don't show, smooth along the spectrum."""
    apart = (nm[:, None] - nm) / FREE_LENGTH_NM
    return FREE_SPREAD**2 * np.exp(-0.5 * apart**2) + 1e-3 * np.eye(nm.size)
