"""From one colour reading of a swatch to the ink's absorption spectrum.

A reading fixes three numbers, a spectrum has dozens: many inks look like the swatch. Two
answers, both with exactly the colour that was read: the *smoothest* non-negative density over
the paper, and a *dye-shaped* one, the most probable among mixtures of real dyes, which also
tells how far spectra of the same colour may differ. Compared on measured overprints in
docs/accuracy.md.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from glaze.errors import InputError
from glaze.materials.dye import load_dyes
from glaze.physics.absorption import stack_reflectance

Array = NDArray[np.float64]

ROUNDS = 160
"""Most steps of either search; 10 to 30 are used, more only for very vivid pinks."""

LEAST_PATH = 1e-3
"""Smallest path kept in a logarithm: darkens paper by 0.1 %, below what can be read."""

EVEN_SHARE = 0.15
"""Weight of slope against curvature, in units of a 10 nm step: the curvature alone lets the ends
of the spectrum run away, the slope alone makes plateaus of bands. Chosen among 0, 0.15 and slope
alone after seeing the overprints (docs/decisions/002-crowding.md tells all three)."""

FREE_SPREAD = 0.6
"""Standard deviation of the log path [-] that is left free beyond the mixtures, and
FREE_LENGTH_NM, how smooth that freedom is [nm]. Chosen on built-in dyes left out of the prior one
at a time; not on overprints."""

FREE_LENGTH_NM = 80.0

OVERCONFIDENCE = 1.5
"""What the normal law's spread is multiplied by, so that one standard deviation holds 68 % of the
bands of 24 dyes at three depths, each left out of its prior; two then hold 91 %."""


@dataclass(frozen=True)
class RecoveredSpectrum:
    """Reflectance of a swatch with exactly the colour read, and how sure it is.

    reflectance : [-], shape (bands,)
    spread : one standard deviation of it [-], shape (bands,), over inks of that same colour;
        zeros for the smoothest form, which knows of no others
    """

    reflectance: Array
    spread: Array


@dataclass(frozen=True)
class DyePrior:
    """Shapes that mixtures of real dyes take: log of the path, shape (mixtures, bands)."""

    wavelength_nm: Array
    log_path: Array


def smoothest_paper(xyz: ArrayLike, xyz_weights: ArrayLike) -> Array:
    """Smoothest reflectance [-] of a bare paper with exactly that XYZ.

    Parameters
    ----------
    xyz : of the paper, in the scale of the weights
    xyz_weights : `XYZ = R @ xyz_weights`, shape (bands, 3), evenly spaced bands
    """
    W = np.asarray(xyz_weights, dtype=float)
    n = len(W)
    bend = np.diff(np.eye(n), 2, axis=0)
    # minimum of |bend R|^2 under W^T R = xyz: one linear system (Lagrange)
    system = np.block([[bend.T @ bend, W], [W.T, np.zeros((3, 3))]])
    return np.linalg.solve(system, np.concatenate([np.zeros(n), np.asarray(xyz, float)]))[:n]


def smoothest_density(
    xyz: ArrayLike,
    paper: ArrayLike,
    xyz_weights: ArrayLike,
    step_nm: float = 10.0,
    surface: float = 0.0,
) -> RecoveredSpectrum:
    """Smoothest non-negative density over the paper that gives exactly the XYZ of a swatch.

    Minimises curvature (and a little slope) of ln((Rp - s)/(R - s)) by Gauss-Newton with bounds.
    Light that never enters the ink is no part of its density: counting it as such makes a dense
    band look flat, and uncoated overprints come out worse
    (docs/decisions/008-recovered-density.md).

    Parameters
    ----------
    xyz : of the swatch, in the scale of the weights
    paper : Rp, reflectance of the bare paper [-], shape (bands,)
    xyz_weights : shape (bands, 3), evenly spaced bands `step_nm` [nm] apart
    surface : s, light from the surface of the sheet [-]; lowered where the swatch is nearly as dark
    """
    from scipy.optimize import lsq_linear

    Rp, W, target = (np.asarray(v, dtype=float) for v in (paper, xyz_weights, xyz))
    s = _surface_below(surface, target, W)
    bend = np.diff(np.eye(len(W)), 2, axis=0) * (10.0 / step_nm) ** 1.5
    slope = np.diff(np.eye(len(W)), 1, axis=0) * EVEN_SHARE * (10.0 / step_nm) ** 0.5
    smooth = 0.02 * np.vstack([bend, slope])
    density = np.full(len(W), 0.5)
    for turn in range(ROUNDS):
        inked = (Rp - s) * np.exp(-density)
        scale = 300.0 / np.maximum(target, 1e-4)
        J = -(W * inked[:, None]).T * scale[:, None]
        wanted = J @ density + (target - (s + inked) @ W) * scale
        rows = np.vstack([smooth, J])
        new = lsq_linear(rows, np.r_[np.zeros(len(smooth)), wanted], bounds=(0.0, 9.0)).x
        move = float(np.abs(new - density).max())
        density = density + _share_of_step(turn, move, 1.0) * (new - density)
        if move < 1e-7:
            break
    R = s + (Rp - s) * np.exp(-density)
    _check(R @ W, target)
    return RecoveredSpectrum(R, np.zeros_like(R))


def _surface_below(surface: float, target: Array, W: Array) -> float:
    """The sheet's surface light, or half the swatch's least XYZ where that is lower."""
    return min(surface, 0.5 * float((target / W.sum(axis=0)).min()))


def dye_prior(
    wavelength_nm: ArrayLike, seed: int = 1, mixtures: int = 3000, leave_out: Sequence[str] = ()
) -> DyePrior:
    """Random mixtures of one to three built-in dyes on a small grey base.

    Each dye is broadened by 3 to 30 nm (dye on fibres absorbs in wider bands than in water) and
    moved by up to 12 nm. These ranges are assumed; they are not fitted to any swatch.

    Wavelengths [nm] have shape (wavelengths,).

    Parameters
    ----------
    leave_out : names of dyes not to be used, for tests
    """
    nm = np.asarray(wavelength_nm, dtype=float)
    rng = np.random.default_rng(seed)
    dyes = [d for d in load_dyes().values() if d.kind == "dye" and d.name not in leave_out]
    fine = np.arange(nm[0] - 60.0, nm[-1] + 61.0, 2.0)
    curves = np.array([d.absorptivity_l_per_g_cm(fine) for d in dyes])
    curves /= curves.max(axis=1, keepdims=True)
    paths = np.empty((mixtures, nm.size))
    for i in range(mixtures):
        shape = rng.uniform(0.01, 0.06) * np.ones(nm.size)
        for j in rng.choice(len(dyes), rng.integers(1, 4), replace=False):
            wide = _broadened(fine, curves[j], rng.uniform(3.0, 30.0))
            shape += rng.exponential() * np.interp(nm + rng.uniform(-12.0, 12.0), fine, wide)
        paths[i] = shape / shape.max()
    return DyePrior(nm, np.log(paths))


def dye_shaped(
    xyz: ArrayLike,
    paper: ArrayLike,
    xyz_weights: ArrayLike,
    prior: DyePrior,
    sheet: tuple[float, float] = (1.0, 0.03),
) -> RecoveredSpectrum:
    """Most probable spectrum, for an ink made of dyes, with exactly the XYZ of a swatch.

    Mixtures of the prior are scaled to the swatch's luminance; mean and covariance of the log
    path over those near it in colour make a normal law, whose nearest point on the colour is
    found by Gauss-Newton. `spread` is what the normal law leaves open at that colour.

    XYZ [-] has shape (3,), the paper [-] (wavelengths,), the weights (wavelengths, 3).

    Parameters
    ----------
    sheet : path_spread k and surface s of the paper [-]
    """
    Rp, W, target = (np.asarray(v, dtype=float) for v in (paper, xyz_weights, xyz))
    k, s = sheet[0], _surface_below(sheet[1], target, W)

    def reflect(log_path: Array) -> Array:
        return np.asarray(stack_reflectance(np.exp(log_path), Rp, s, k))

    logs = _scaled_to_luminance(prior.log_path, reflect, W[:, 1], float(target[1]))
    logs = np.maximum(logs, np.log(LEAST_PATH))
    mean, cov = _near(logs, np.cbrt(reflect(logs) @ W), np.cbrt(target))
    cov += _freedom(prior.wavelength_nm)
    x = mean.copy()
    for turn in range(ROUNDS):
        J = _slope(x, Rp, s, k, W)
        gap = target - reflect(x) @ W
        x_new = mean + cov @ J.T @ np.linalg.solve(J @ cov @ J.T, gap + J @ (x - mean))
        move = x_new - x
        x = x + move * _share_of_step(turn, float(np.abs(move).max()), 0.7)
        if np.abs(move).max() < 1e-9:
            break
    R = reflect(x)
    _check(R @ W, target)
    J = _slope(x, Rp, s, k, W)
    left = cov - cov @ J.T @ np.linalg.solve(J @ cov @ J.T, J @ cov)
    dR = (Rp - s) * np.exp(x) * (1.0 + np.exp(x) / k) ** -(k + 1.0)
    open_sd = np.sqrt(np.maximum(np.diag(left), 0.0))
    return RecoveredSpectrum(R, OVERCONFIDENCE * dR * open_sd)


def _share_of_step(turn: int, move: float, longest: float) -> float:
    """Share of a Gauss-Newton step to take: none longer than that, shorter if it circles."""
    return min(1.0, longest / max(move, 1e-9)) * 0.5 ** min(turn // 20, 4)


def _slope(x: Array, Rp: Array, s: float, k: float, W: Array) -> Array:
    """dXYZ/d(log path), shape (3, bands)."""
    A = np.exp(x)
    return -(W * ((Rp - s) * A * (1.0 + A / k) ** -(k + 1.0))[:, None]).T


def _scaled_to_luminance(
    logs: Array, reflect: Callable[[Array], Array], wy: Array, luminance: float
) -> Array:
    """Each mixture scaled by bisection so that it is as light as the swatch."""
    low, high = np.full(len(logs), -8.0), np.full(len(logs), 8.0)
    for _ in range(40):
        middle = (low + high) / 2.0
        light = reflect(logs + middle[:, None]) @ wy > luminance
        low, high = np.where(light, middle, low), np.where(light, high, middle)
    return logs + ((low + high) / 2.0)[:, None]


def _near(logs: Array, colours: Array, colour: Array) -> tuple[Array, Array]:
    """Mean and covariance of log paths, weighted by nearness in cube-root XYZ.

    The width is that of the hundredth nearest mixture, so that there are always enough.
    """
    distance = np.linalg.norm(colours - colour, axis=1)
    width = max(float(np.partition(distance, 100)[100]), 0.02)
    weight = np.exp(-0.5 * (distance / width) ** 2)
    weight /= weight.sum()
    mean = weight @ logs
    off = logs - mean
    return mean, (off * weight[:, None]).T @ off


def _freedom(nm: Array) -> Array:
    """Covariance of what the built-in dyes don't show, smooth along the spectrum."""
    apart = (nm[:, None] - nm) / FREE_LENGTH_NM
    return FREE_SPREAD**2 * np.exp(-0.5 * apart**2) + 1e-3 * np.eye(nm.size)


def _broadened(nm: Array, curve: Array, sigma_nm: float) -> Array:
    """A curve blurred by a Gaussian [nm]."""
    reach = np.arange(-90.0, 91.0, nm[1] - nm[0])
    taps = np.exp(-0.5 * (reach / sigma_nm) ** 2)
    return np.convolve(np.pad(curve, reach.size // 2, mode="edge"), taps / taps.sum(), "valid")


def _check(xyz: Array, target: Array) -> None:
    if np.abs(xyz - target).max() > 1e-4:
        raise InputError(
            "No ink on this paper has the colour of the swatch: it is lighter or more vivid than "
            f"dye on it can be (XYZ read {np.round(target, 4)}, nearest {np.round(xyz, 4)}). "
            "Check that the paper and the swatch were read under the same light."
        )
