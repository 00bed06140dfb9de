"""Light: from reflectance in 40 bands to XYZ and to the linear sRGB of a screen.

Bands and weights are fitted: on spectra of ink on paper they stay within 0.1 CIEDE2000 of sums at
1 nm under D65, D50 and A (all but 3 of 18 000 stacks of measured dyes), within 0.3 under any other
illuminant; docs/decisions/005-bands.md has the figures.
Weights for D65, D50 and A are read from a table; colour-science makes other lights on demand.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib import resources

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError, unknown
from glaze.physics.colour import D65_XYZ, RGB_FROM_XYZ, adaptation
from glaze.physics.spectrum import REFERENCE_NM

Array = NDArray[np.float64]

STORED_LIGHTS = ("D65", "D50", "A")

LIGHT_NAMES = (
    *("D65", "D50", "A", "B", "C", "D55", "D60", "D75", "E", "ID65", "ID50"),
    *(f"FL{n}" for n in range(1, 13)),
    *(f"FL3.{n}" for n in range(1, 16)),
    *(f"HP{n}" for n in range(1, 6)),
    *(f"LED-B{n}" for n in range(1, 6)),
    *("LED-BH1", "LED-RGB1", "LED-V1", "LED-V2"),
)
"""CIE illuminants; daylight D, lamp A, fluorescent FL, high-pressure HP, LED."""


@dataclass(frozen=True, eq=False)
class Light:
    """A light the picture is seen under.

    Parameters
    ----------
    name : of the CIE illuminant, such as "D65"
    xyz_weights : shape (40, 3), `XYZ = R @ xyz_weights`; Y = 1 for the perfect diffuser
    display_weights : shape (40, 3), linear sRGB as `R @ display_weights`: the XYZ carried to D65
        by CAT16 and to sRGB; (1, 1, 1) for the perfect diffuser, not limited to 0 to 1
    """

    name: str
    xyz_weights: Array
    display_weights: Array

    @property
    def white_xyz(self) -> Array:
        """XYZ of the perfect diffuser, Y = 1. Shape (3,), [-]."""
        return self.xyz_weights.sum(axis=0)

    @property
    def display_matrix(self) -> Array:
        """XYZ under this light to linear sRGB on a D65 screen, `rgb = XYZ @ display_matrix`.

        Shape (3, 3), [-].
        """
        return _display_matrix(self.xyz_weights)


@dataclass(frozen=True, eq=False)
class Glow:
    """What a light and an observer do with light that dyes send out again, band by band.

    Sums over straight lines between the bands, so that every photon counts once and none less than
    nothing.

    Parameters
    ----------
    width_nm : of each band, shape (40,)
    photon_weights : photons of the light, power times wavelength over its luminance [nm],
        shape (40,): of a share `a` that is taken up, `a @ photon_weights`
    observer_weights : XYZ of one unit of power per nm in each band, shape (40, 3)
    """

    width_nm: Array
    photon_weights: Array
    observer_weights: Array

    def photon_xyz(self, photons_per_nm: Array) -> Array:
        """XYZ of one photon sent out, split over the bands; shape (..., 40, 3).

        Parameters
        ----------
        photons_per_nm : how it is spread [1/nm], shape (..., 40); brought to a sum of 1
        """
        spread = photons_per_nm / (photons_per_nm @ self.width_nm)[..., None]
        power = spread / band_nm()
        return np.asarray(power[..., None] * self.observer_weights, np.float64)


@cache
def load_glow(name: str) -> Glow:
    """Photons of a named light, and the observer, at the bands."""
    known = load_light(name).name
    table = _read("bands_glow.csv")
    if known in STORED_LIGHTS:
        photons = table[:, 5 + STORED_LIGHTS.index(known)].copy()
    else:
        photons = hats(band_nm()) @ photons_at_reference(known)
    width, observer = table[:, 1].copy(), table[:, 2:5].copy()
    return Glow(_locked(width), _locked(photons), _locked(observer))


def hats(at_nm: Array) -> Array:
    """Straight lines between bands at 380 to 780 nm, 1 nm, shape (bands, 401); sum 1 everywhere.

    [-].
    """
    if not (np.diff(at_nm) > 0).all():
        raise InputError("The wavelengths of the bands have to rise; sort them first.")
    return np.array([np.interp(REFERENCE_NM, at_nm, row) for row in np.eye(len(at_nm))])


STRENGTHS: Array = np.exp(np.linspace(np.log(0.05), np.log(40.0), 14))
"""Peak paths [-] at which a curve's colour is held: from a trace to several neat coats."""
_SPREAD, _SURFACE, _PAPER, _ROUNDS, _STIFFNESS = 1.5, 0.02, 0.86, 4, 4e-3


def in_bands(curve: Array) -> Array:
    """A measured curve's values in the bands: those that give its colour at every strength.

    A measured curve has more shape between two bands than its values *at* the bands tell: sampled,
    stacks of measured dyes are up to 0.13 CIEDE2000 off sums at 1 nm, so 0.09
    (docs/decisions/005-bands.md). Gauss and Newton, held near the samples.

    Parameters
    ----------
    curve : absorptivity at 380 to 780 nm, 1 nm [L/(g cm)], shape (401,)

    Returns
    -------
    [L/(g cm)], shape (40,)
    """
    sample = np.interp(band_nm(), REFERENCE_NM, curve)
    if curve.max() <= 0.0:
        return sample
    fine, coarse = _seen_weights()
    true = np.cbrt(_washes(curve / curve.max()) @ fine)
    log_change = np.zeros(sample.size)
    for _ in range(_ROUNDS):
        a = sample / curve.max() * np.exp(log_change)
        seen = np.maximum(_washes(a) @ coarse, 1e-6)
        # of R = s + (Rp - s)(1 + A/k)^-k by the logarithm of a band's value
        A = STRENGTHS[:, None] * a
        slope = -(_PAPER - _SURFACE) * A * (1.0 + A / _SPREAD) ** (-_SPREAD - 1.0)
        J = slope[:, None, :] * coarse.T / (3.0 * np.cbrt(seen)[..., None] ** 2)
        J, off = J.reshape(-1, sample.size), (true - np.cbrt(seen)).ravel()
        held = np.vstack([J, _STIFFNESS * np.eye(sample.size)])
        aim = np.concatenate([off, -_STIFFNESS * log_change])
        log_change += np.clip(np.linalg.lstsq(held, aim, rcond=None)[0], -0.5, 0.5)
    return np.asarray(sample * np.exp(log_change))


def _washes(curve: Array) -> Array:
    """Reflectance of a curve at every strength on an ordinary paper [-]."""
    A = STRENGTHS[:, None] * np.maximum(curve, 0.0)
    return _SURFACE + (_PAPER - _SURFACE) * (1.0 + A / _SPREAD) ** -_SPREAD


@cache
def _seen_weights() -> tuple[Array, Array]:
    """X/Xn, Y/Yn, Z/Zn under the stored lights: from 1 nm, (401, 9), and from bands, (40, 9)."""
    fine = _read("reference_weights.csv")[:, 1:]
    coarse = np.concatenate([load_light(name).xyz_weights for name in STORED_LIGHTS], axis=1)
    return _locked(fine / fine.sum(axis=0)), _locked(coarse / coarse.sum(axis=0))


@cache
def _bands() -> Array:
    """Table of the bands: wavelength [nm], then XYZ weights of the stored lights."""
    return _read("bands.csv")


def _read(name: str) -> Array:
    table = resources.files("glaze.materials").joinpath("tables", name)
    with table.open(encoding="utf-8") as file:
        return np.loadtxt(file, delimiter=",")


@cache
def band_nm() -> Array:
    """Wavelengths of the 40 bands [nm], rising. Shape (40,)."""
    return _locked(_bands()[:, 0].copy())


def __getattr__(name: str) -> Array:
    """`BAND_NM` is read when it is first asked for, so that importing opens no file."""
    if name == "BAND_NM":
        return band_nm()
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


@cache
def load_light(name: str) -> Light:
    """The light of that name; capitals don't matter.

    Raises
    ------
    InputError : if it isn't a known CIE illuminant
    """
    by_name = {known.upper(): known for known in LIGHT_NAMES}
    if str(name).strip().upper() not in by_name:
        raise InputError(unknown("light", str(name), LIGHT_NAMES))
    known = by_name[name.strip().upper()]
    if known in STORED_LIGHTS:
        first = 1 + 3 * STORED_LIGHTS.index(known)
        return light_from_weights(known, _bands()[:, first : first + 3])
    return light_from_weights(known, _read("bands_estimator.csv").T @ weights_at_reference(known))


def light_from_weights(name: str, xyz_weights: Array) -> Light:
    """A light from XYZ weights of the bands, in any scale. Shape (40, 3), [-]."""
    if xyz_weights.shape != (band_nm().size, 3):
        raise InputError(
            f"Weights of a light of shape {xyz_weights.shape}; give {(band_nm().size, 3)}: X, Y "
            "and Z of each band."
        )
    xyz = xyz_weights / xyz_weights[:, 1].sum()
    display = xyz @ (RGB_FROM_XYZ @ adaptation(xyz.sum(axis=0), D65_XYZ)).T
    display = display / display.sum(axis=0)  # only rounding: the diffuser is (1, 1, 1)
    return Light(name, _locked(xyz), _locked(display))


def _display_matrix(xyz: Array) -> Array:
    """XYZ to linear sRGB, the diffuser's to (1, 1, 1)."""
    matrix = (RGB_FROM_XYZ @ adaptation(xyz.sum(axis=0), D65_XYZ)).T
    return np.asarray(matrix / (xyz.sum(axis=0) @ matrix), np.float64)


def weights_at_reference(name: str) -> Array:
    """XYZ weights at 380 to 780 nm, 1 nm, shape (401, 3), from the tables of colour-science.

    Illuminants are tabled at 5 nm and interpolated linearly, as CIE 15:2018 does for its
    standard illuminants. This is the reference the bands are measured against.

    All [-].
    """
    S, observer = _power_and_observer(name)
    weighted = S[:, None] * observer
    return weighted / weighted[:, 1].sum()


def photons_at_reference(name: str) -> Array:
    """Photons of a light at 380 to 780 nm, 1 nm: power times wavelength over its luminance [nm].

    Shape (401,).
    """
    S, observer = _power_and_observer(name)
    return np.asarray(S * REFERENCE_NM / (S @ observer[:, 1]), np.float64)


def observer_at_reference() -> Array:
    """CIE 1931 2 degree observer at 380 to 780 nm, 1 nm, shape (401, 3). [-]."""
    return _power_and_observer("E")[1]


def _power_and_observer(name: str) -> tuple[Array, Array]:
    """Power of an illuminant and the observer at the reference wavelengths."""
    import warnings

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # colour-science tells of optional parts that are missing
        import colour

    power = colour.SDS_ILLUMINANTS[name]
    S = np.interp(REFERENCE_NM, power.wavelengths, power.values, left=0.0, right=0.0)
    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    first = int(np.searchsorted(observer.wavelengths, REFERENCE_NM[0]))
    return S, np.asarray(observer.values[first : first + REFERENCE_NM.size], np.float64)


def _locked(array: Array) -> Array:
    """The array, guarded against change: lights are shared."""
    array.flags.writeable = False
    return array
