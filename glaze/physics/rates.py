"""How fast hypochlorite takes colour: acidity, temperature, dilution and the age of the bottle.

Everything here is an equation on plain numbers; the rates of named dyes stand in the dye table.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

GAS_CONSTANT_J_PER_MOL_K = 8.314462618
ZERO_CELSIUS_K = 273.15
REFERENCE_C = 25.0
"""Temperature at which rate constants are tabulated."""

NAOCL_G_PER_MOL = 74.44
SPECIFIC_GRAVITY_PER_PERCENT = 0.01473
"""Straight line through water and 1.160 for 120 g/L available chlorine (Powell Fabrication)."""

WATER_PRODUCT = 1.0e-14

WHOLE_BLEACH_PH = 10.0
"""Where the rates of azo dyes in whole bleach were measured: household bleach of pH 11.5 to 12.5
let down to 0.001 to 0.004 mol/L has 9.3 to 10.3 (`diluted_ph`; the reports give none)."""
SECONDS_PER_MONTH = 365.25 / 12 * 86400.0


def hocl_pka(temperature_c: ArrayLike) -> NDArray[np.float64]:
    """pKa [-] of hypochlorous acid: 3000/T - 10.0686 + 0.0253 T.

    Morris, J. Phys. Chem. 70 (1966) 3798; measured 5 to 35 C, 7.54 at 25 C.

    Same shape as the temperature [deg C].
    """
    T = np.asarray(temperature_c, dtype=float) + ZERO_CELSIUS_K
    return 3000.0 / T - 10.0686 + 0.0253 * T


def hocl_share(ph: ArrayLike, temperature_c: ArrayLike = REFERENCE_C) -> NDArray[np.float64]:
    """Share [-] of the hypochlorite that is HOCl, the rest being OCl-: 1/(1 + 10^(pH - pKa)).

    pH [-] and temperature [deg C], broadcast to one shape.
    """
    return 1.0 / (1.0 + 10.0 ** (np.asarray(ph, dtype=float) - hocl_pka(temperature_c)))


def arrhenius_factor(
    activation_kj_per_mol: ArrayLike, temperature_c: ArrayLike
) -> NDArray[np.float64]:
    """How many times faster [-] than at 25 C a reaction goes at `temperature_c`.

    exp(Ea/R (1/298.15 - 1/T)); 35 kJ/mol is 1.6 times for 10 C.

    Activation [kJ/mol] and temperature [deg C], broadcast to one shape.
    """
    T = np.asarray(temperature_c, dtype=float) + ZERO_CELSIUS_K
    inverse = 1.0 / (REFERENCE_C + ZERO_CELSIUS_K) - 1.0 / T
    activation = 1000.0 * np.asarray(activation_kj_per_mol, dtype=float)
    return np.exp(activation / GAS_CONSTANT_J_PER_MOL_K * inverse)


def naphthol_factor(ph: ArrayLike, dye_pka: float) -> NDArray[np.float64]:
    """How fast [-] an azo dye with an ionising -OH goes at `ph` against where it was measured.

    f_HOCl f_ionised at the one over the same at the other, f_ionised = 1/(1 + 10^(pKa - pH)): its
    anion is what HOCl attacks (Oakes and Gratton, J. Chem. Soc. Perkin Trans. 2 (1998) 2201). Even
    from 9 to 10.5 and falling beyond the dye's pKa, ten times for each unit of pH; 1.2 to 12.5 was
    worked out from their abstract, no rate was read. All at 25 C: warmth is in the activation.

    Same shape as the pH [-].
    """

    def attacked(ph: ArrayLike) -> NDArray[np.float64]:
        ionised = 1.0 / (1.0 + 10.0 ** (dye_pka - np.asarray(ph, dtype=float)))
        return hocl_share(ph) * ionised

    return attacked(ph) / attacked(WHOLE_BLEACH_PH)


def observed_rate(
    k_ocl_l_per_mol_s: float,
    k_hocl_l_per_mol_s: float | None,
    ea_ocl_kj_per_mol: float,
    ea_hocl_kj_per_mol: float,
    temperature_c: ArrayLike,
    ph: ArrayLike,
    dye_pka: float | None = None,
) -> NDArray[np.float64]:
    """Rate constant [L/(mol s)] against all hypochlorite: k_OCl f_OCl + k_HOCl f_HOCl.

    The form of Nadupalli et al., J. Phys. Chem. A (2011) for amaranth. Where no rate with HOCl
    is known (None) its small share at the pH of bleach is counted as if it were OCl-. What stands
    as k_OCl of an azo dye is its rate in whole bleach at about pH 10; where the pKa of its -OH
    group is given it falls from there by `naphthol_factor`.

    Temperature [deg C] and pH [-], broadcast to one shape.
    """
    ocl = k_ocl_l_per_mol_s * arrhenius_factor(ea_ocl_kj_per_mol, temperature_c)
    if dye_pka is not None:
        ocl = ocl * naphthol_factor(ph, dye_pka)
    if k_hocl_l_per_mol_s is None:
        return ocl * np.ones_like(np.asarray(ph, dtype=float))
    hocl = k_hocl_l_per_mol_s * arrhenius_factor(ea_hocl_kj_per_mol, temperature_c)
    share = hocl_share(ph, temperature_c)
    return ocl * (1.0 - share) + hocl * share


def specific_gravity(percent: ArrayLike) -> NDArray[np.float64]:
    """Density [kg/L] of bleach of `percent` NaOCl by mass, +/- 0.01. Same shape."""
    return 1.0 + SPECIFIC_GRAVITY_PER_PERCENT * np.asarray(percent, dtype=float)


def mol_per_l(percent: ArrayLike) -> NDArray[np.float64]:
    """Hypochlorite [mol/L] in bleach of `percent` NaOCl by mass (5 % is 0.721 mol/L).

    Same shape.
    """
    return np.asarray(percent, dtype=float) * 10.0 * specific_gravity(percent) / NAOCL_G_PER_MOL


def diluted(amount: ArrayLike, parts_water: ArrayLike) -> NDArray[np.float64]:
    """What is left of a strength after "1 part + n parts water" (by volume): amount/(1 + n).

    In the unit of `amount`, broadcast to one shape with the parts [-].
    """
    return np.asarray(amount, dtype=float) / (1.0 + np.asarray(parts_water, dtype=float))


def diluted_ph(ph: ArrayLike, mol_per_l: float, parts_water: float) -> NDArray[np.float64]:
    """pH of bleach let down with `parts_water` of water.

    The free alkali is diluted; hypochlorite's own hydrolysis, OCl- + H2O = HOCl + OH-, keeps it
    alkaline: x = [OH-] solves x^2 - b x - c Kw/Ka = 0. Carbon dioxide of the air is left out.
    `mol_per_l` is the strength of the bottle. Same shape as its pH [-].
    """
    alkali = diluted(10.0 ** (np.asarray(ph, dtype=float) - 14.0), parts_water)
    hydrolysis = (
        float(diluted(mol_per_l, parts_water))
        * WATER_PRODUCT
        * 10.0 ** float(hocl_pka(REFERENCE_C))
    )
    hydroxide = 0.5 * (alkali + np.sqrt(alkali**2 + 4.0 * hydrolysis))
    return np.asarray(14.0 + np.log10(hydroxide))


def keeping_rate(mol_per_l: float, temperature_c: float) -> float:
    """Rate constant [L/(mol s)] at which stored bleach decays, second order in OCl-.

    log k = 0.149 I + log(2.083e10 T exp(-101.8e3/RT) exp(-56.5/R)): the form of Lister,
    Can. J. Chem. 34 (1956) 465, with the constants of Adam, Gordon and co-workers (from memory);
    I = ionic strength [mol/L], taken as twice the hypochlorite (bleach holds as much salt).
    Four times faster for 10 C, where the trade's rule says 3.5. Metals, light and acid,
    which shorten a bottle's life, are left out.
    """
    T = temperature_c + ZERO_CELSIUS_K
    R = GAS_CONSTANT_J_PER_MOL_K
    ionic_strength = 2.0 * mol_per_l
    eyring = 2.083e10 * T * np.exp(-101.8e3 / (R * T)) * np.exp(-56.5 / R)
    return float(eyring * 10.0 ** (0.149 * ionic_strength))


def kept_mol_per_l(fresh_mol_per_l: float, age_months: float, storage_c: float) -> float:
    """Hypochlorite [mol/L] left in a bottle: c0/(1 + k c0 t).

    Salt replaces what decays, so the ionic strength and with it k stay as they were.
    """
    k = keeping_rate(fresh_mol_per_l, storage_c)
    return fresh_mol_per_l / (1.0 + k * fresh_mol_per_l * age_months * SECONDS_PER_MONTH)
