"""The whole chain a second time, written out from the cited equations; no code shared with glaze.

One pixel at a time, float64, spectra at 1 nm, the lift followed in seconds by scipy's stiff solver,
colour by colour-science. It reads the raw figures of the material tables and docs/model.md,
docs/lift.md, docs/decisions/002-crowding.md, and nothing else. Slow on purpose.

Left out: drying lines, unevenness, what stirs, the sketch's line.
"""

from __future__ import annotations

import itertools
import math
import warnings
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from tests.second_way import raw_figures as raw

NM = [float(nm) for nm in range(380, 781)]
GAS, ZERO_C = 8.314462618, 273.15
CROWDING = 0.4  # b, docs/model.md
WATER_DROPS_PER_ML = 20.0
COATED = {"path_spread": 2.0, "surface_reflectance": 0.0}  # docs/model.md


@dataclass
class Pixel:
    """What lies at one place; amounts by name of colourant [g/m2]."""

    load: dict[str, float]
    optical: dict[str, float]
    coats: float = 0.0
    fresh: float = 1.0  # share of the paper's own tint that is left
    residue: float = 0.0  # [mol/m2]


@dataclass
class Bench:
    """Dyes, paper and room; steps are plain dictionaries, as a scene file has them."""

    palette: str
    paper: dict[str, Any]
    room: dict[str, float]
    bottle: dict[str, float]
    dyes: dict[str, dict[str, Any]] = field(default_factory=dict)

    def use(self, inks: list[str]) -> None:
        """Put inks on the table: their dyes and all that bleach makes of these."""
        waiting = [d for name in inks for d in raw.ink(self.palette, name)["dyes_g_per_l"]]
        for name in waiting:
            if name not in self.dyes:
                facts = raw.dye(name)
                self.dyes[name] = facts | {"spectrum": [absorptivity(facts, nm) for nm in NM]}
                waiting += [facts["product"]] if facts.get("product") else []

    def bare(self) -> Pixel:
        """Bare paper."""
        return Pixel(dict.fromkeys(self.dyes, 0.0), dict.fromkeys(self.dyes, 0.0))


def absorptivity(facts: dict[str, Any], nm: float) -> float:
    """Gaussians in wavenumber, times the peak [L/(g cm)]."""
    nu, total = 1e7 / nm, 0.0
    for centre_nm, width_per_cm, height in facts["bands"]:
        total += height * math.exp(-0.5 * ((nu - 1e7 / centre_nm) / width_per_cm) ** 2)
    return float(facts["peak_absorptivity"]) * total


def mean_absorptivity(facts: dict[str, Any]) -> float:
    """Mean over 400 to 700 nm."""
    seen = [e for nm, e in zip(NM, facts["spectrum"], strict=True) if 400 <= nm <= 700]
    return math.fsum(seen) / len(seen)


def at(rows: list[list[float]], nm: float) -> float:
    """Straight lines between the rows of a table."""
    for (a, low), (b, high) in itertools.pairwise(rows):
        if a <= nm <= b:
            return low + (high - low) * (nm - a) / (b - a)
    raise AssertionError(nm)


# --- washes: docs/model.md -------------------------------------------------------------------


def volumes_ml(bench: Bench, recipe: dict[str, float], unit: str) -> dict[str, float]:
    """Drops become volumes, each liquid by its own size of drop; parts are volumes."""
    out = {}
    for name, amount in recipe.items():
        per_ml = 1.0
        if unit == "drops":
            water = name == "water"
            per_ml = WATER_DROPS_PER_ML if water else raw.ink(bench.palette, name)["drops_per_ml"]
        out[name] = amount / per_ml
    return out


def neat_coat(bench: Bench, ml: dict[str, float], film_ml_per_m2: float) -> dict[str, float]:
    """Dye of one film of the inks without their water [g/m2]."""
    inks = {name: v for name, v in ml.items() if name != "water"}
    load = dict.fromkeys(bench.dyes, 0.0)
    for name, volume in inks.items():
        for dye, g_per_l in raw.ink(bench.palette, name)["dyes_g_per_l"].items():
            load[dye] += g_per_l * volume / sum(inks.values()) * film_ml_per_m2 / 1000
    return load


def path_of(bench: Bench, amounts: dict[str, float], i: int) -> float:
    """A = path gain ln 10 0.1 sum load epsilon, at NM[i]."""
    total = math.fsum(g * bench.dyes[dye]["spectrum"][i] for dye, g in amounts.items() if g)
    return float(bench.paper["path_gain"]) * math.log(10) * 0.1 * total


def coats_of_the_wash_below(bench: Bench, neat: dict[str, float], pixel: Pixel) -> float:
    """Q = min(coats below, min over thirds of sum_j load_j o_tj), decisions/002-crowding.md."""
    k = float(bench.paper["path_spread"])
    own, below = {}, {}
    for third, (low, high) in enumerate(((400, 500), (500, 580), (580, 700))):
        own[third] = below[third] = 0.0
        for i, nm in enumerate(NM):
            if low <= nm <= high:
                end = 0.5 if nm in (low, high) else 1.0  # trapezoids
                a = path_of(bench, neat, i)
                g = (1 + a / k) ** -(k + 1)
                own[third] += end * g * a
                below[third] += end * g * path_of(bench, pixel.load, i)
    busy = [t for t in own if own[t] >= 0.05 * max(own.values())]
    return min([pixel.coats, *(below[t] / own[t] for t in busy)])


def E(Q: float) -> float:
    """The load law."""
    return math.log(1 + CROWDING * Q) / CROWDING


def wash(bench: Bench, pixel: Pixel, step: dict[str, Any], share: float, residue: bool) -> None:
    """A wash where its film is `share` of its full one."""
    ml = volumes_ml(bench, step["recipe"], step["unit"])
    film, neat_film = step["film"], float(bench.paper["film_ml_per_m2"])
    ink = sum(v for name, v in ml.items() if name != "water") / sum(ml.values())
    q = ink * step["coats"] * share * film / neat_film
    if q > 0:
        Q = coats_of_the_wash_below(bench, neat_coat(bench, ml, neat_film), pixel)
        weight = (E(Q + q) - E(Q)) / (q * E(1))
        for dye, grams in neat_coat(bench, ml, film).items():
            pixel.load[dye] += grams * ink * step["coats"] * share
            pixel.optical[dye] += grams * ink * step["coats"] * share * weight
        pixel.coats += q
    if residue and pixel.residue > 0 and share > 0:
        film_l, least = share * film / 1000, bench.paper["residual_ml_per_m2"] / 1000
        woken, asleep = woken_residue(bench, pixel, film_l)
        bleached(bench, pixel, 0.0, woken, film_l, least, 0.0, 12 * 3600.0, 1.0)
        pixel.residue += asleep


# --- bleach: docs/lift.md --------------------------------------------------------------------


def hocl_pka(celsius: float) -> float:
    """Morris 1966."""
    T = celsius + ZERO_C
    return 3000 / T - 10.0686 + 0.0253 * T


def warmer(activation_kj: float, celsius: float) -> float:
    """Arrhenius, from 25 C."""
    return math.exp(1000 * activation_kj / GAS * (1 / (25 + ZERO_C) - 1 / (celsius + ZERO_C)))


def bottle_mol_per_l(bottle: dict[str, float]) -> float:
    """% by mass to mol/L, then the second-order decay of Lister 1956 on the shelf."""
    c = bottle["percent"] * 10 * (1 + 0.01473 * bottle["percent"]) / 74.44
    T = bottle["storage_c"] + ZERO_C
    k = 2.083e10 * T * math.exp(-101.8e3 / (GAS * T)) * math.exp(-56.5 / GAS)
    k *= 10 ** (0.149 * 2 * c)
    seconds = bottle["age_months"] * 365.25 / 12 * 86400
    return c / (1 + k * c * seconds)


def ph_of(bottle: dict[str, float], parts_water: float) -> float:
    """Alkali let down, and the hydrolysis OCl- + H2O = HOCl + OH- at 25 C, by bisection."""
    alkali = 10 ** (bottle["ph"] - 14) / (1 + parts_water)
    c = bottle_mol_per_l(bottle) / (1 + parts_water)
    constant = 1e-14 / 10 ** -hocl_pka(25)  # Kw/Ka = x (x - alkali)/c for x = [OH-]
    low, high = alkali, alkali + 1.0
    for _ in range(200):
        x = (low + high) / 2
        low, high = (x, high) if x * (x - alkali) < constant * c else (low, x)
    return 14 + math.log10(low)


def rate_of(facts: dict[str, Any], celsius: float, ph: float) -> float:
    """k = k_OCl f_OCl + k_HOCl f_HOCl (Nadupalli 2011); an azo dye as HOCl + anion from pH 10.

    With an -OH group of known pKa the first is k_OCl times f_HOCl f_anion over the same at pH 10,
    25 C (Oakes and Gratton 1998; docs/lift.md).
    """
    hocl = 1 / (1 + 10 ** (ph - hocl_pka(celsius)))
    ocl_rate = facts["k_ocl"] * warmer(facts["ea_ocl"], celsius)
    if "pka" in facts:
        acid, anion = 10 ** (hocl_pka(25) - ph), 10 ** (ph - facts["pka"])
        acid_10, anion_10 = 10 ** (hocl_pka(25) - 10), 10 ** (10 - facts["pka"])
        ocl_rate *= acid / (1 + acid) * anion / (1 + anion)
        ocl_rate /= acid_10 / (1 + acid_10) * anion_10 / (1 + anion_10)
    return float(ocl_rate * (1 - hocl) + facts["k_hocl"] * warmer(facts["ea_hocl"], celsius) * hocl)


def evaporation_l_per_m2_s(room: dict[str, float]) -> float:
    """ASHRAE's rule for open water, vapour pressure by Magnus."""
    t = room["temperature_c"]
    pressure = 0.61094 * math.exp(17.625 * t / (t + 243.04))
    latent = 2501 - 2.361 * t
    deficit = pressure * (1 - room["humidity_percent"] / 100)
    return deficit * (0.089 + 0.0782 * room["air_m_per_s"]) / latent


def lift(bench: Bench, pixel: Pixel, step: dict[str, Any], dose: float) -> None:
    """Touches of bleach where `dose` of a full one arrives."""
    if dose == 0:
        return
    habits = {key: raw.figure("bleach", "touch", key) for key in raw.table("bleach")["touch"]}
    film = raw.figure("bleach", step["tool"], "film") if step["film"] is None else step["film"]
    full = bottle_mol_per_l(bench.bottle) / (1 + step["parts_water"]) * film / 1000
    kept = habits["kept_when_blotted"] * (habits["kept_when_rinsed"] if step["rinse"] else 1)
    lag = (habits["inked_depth"] * 1e-3) ** 2 / (6 * 1.2e-9 / 3)
    film_l = dose * film / 1000
    least = max(bench.paper["residual_ml_per_m2"] / 1000, dose * full / habits["cap"])
    for _ in range(step["touches"]):
        woken, asleep = woken_residue(bench, pixel, film_l)
        h0 = dose * full + woken
        seconds = step["minutes"] * 60
        bleached(bench, pixel, step["parts_water"], h0, film_l, least, lag, seconds, kept)
        pixel.residue += asleep


def woken_residue(bench: Bench, pixel: Pixel, film_l: float) -> tuple[float, float]:
    """Residue that a film dissolves again, all where it holds the dry paper's water; the rest."""
    share = min(1.0, film_l / (bench.paper["residual_ml_per_m2"] / 1000))
    return share * pixel.residue, (1 - share) * pixel.residue


def bleached(
    bench: Bench,
    pixel: Pixel,
    parts_water: float,
    h0: float,
    film_l: float,
    least_l: float,
    lag: float,
    seconds: float,
    kept: float,
) -> None:
    """One film of bleach, followed in seconds: every dye, its products, the fibres, the paper."""
    from scipy.integrate import solve_ivp

    if seconds <= lag:
        pixel.residue = kept * h0
        return
    celsius, ph = bench.room["temperature_c"], ph_of(bench.bottle, parts_water)
    names, dyes = list(bench.dyes), bench.dyes
    n = len(names)
    mass = [float(dyes[name]["molar_mass"]) for name in names]
    k = [rate_of(dyes[name], celsius, ph) for name in names]
    uses = [float(dyes[name]["oxidant"]) for name in names]
    heir = [names.index(p) if (p := dyes[name].get("product")) else -1 for name in names]
    gives = [float(dyes[name].get("product_yield", 1.0)) for name in names]
    paper_warmer = warmer(50.0, celsius)
    k_fibre = bench.paper["fibre_rate_l_per_mol_s"] * paper_warmer
    k_tint = bench.paper["tint_rate_l_per_mol_s"] * paper_warmer
    e, V0 = evaporation_l_per_m2_s(bench.room), max(film_l, least_l)

    def change(t: float, y: Any) -> list[float]:
        c = y[-1] / max(V0 - e * t, least_l)
        out = [0.0] * (2 * n + 3)
        used = k_fibre * y[2 * n] * c
        out[2 * n] = -used
        for j in range(n):
            reacting, seen = k[j] * y[j] * c, k[j] * y[n + j] * c
            out[j] -= reacting
            out[n + j] -= seen
            used += uses[j] * reacting
            if heir[j] >= 0:
                out[heir[j]] += gives[j] * reacting
                out[n + heir[j]] += gives[j] * seen
        out[2 * n + 1] = -k_tint * c * y[2 * n + 1]
        out[2 * n + 2] = -used
        return out

    y = [pixel.load[name] / m for name, m in zip(names, mass, strict=True)]
    y += [pixel.optical[name] / m for name, m in zip(names, mass, strict=True)]
    y += [float(bench.paper["fibre_mol_per_m2"]), pixel.fresh, h0]
    before = strength(bench, pixel.load)
    dry = (V0 - least_l) / e
    for start, end in ((lag, min(dry, seconds)), (max(dry, lag), seconds)):
        if start < end:
            solved = solve_ivp(change, (start, end), y, method="LSODA", rtol=1e-7, atol=1e-12)
            assert solved.success
            y = list(solved.y[:, -1])
    for j, name in enumerate(names):
        pixel.load[name] = max(y[j], 0.0) * mass[j]
        pixel.optical[name] = max(y[n + j], 0.0) * mass[j]
    pixel.fresh, pixel.residue = y[2 * n + 1], kept * max(y[2 * n + 2], 0.0)
    if before > 0:
        pixel.coats *= strength(bench, pixel.load) / before


def strength(bench: Bench, load: dict[str, float]) -> float:
    """Load times mean absorptivity: what the running load falls with."""
    return math.fsum(g * mean_absorptivity(bench.dyes[name]) for name, g in load.items())


def water(bench: Bench, pixel: Pixel, share: float, minutes: float | None) -> None:
    """A water lift of some minutes, or a rinse (None)."""
    habits = {key: raw.figure("bleach", "water", key) for key in raw.table("bleach")["water"]}
    taken = habits["rinsed"]
    if minutes is not None:
        taken = habits["blotted"] * (1 - math.exp(-minutes / habits["loosening"]))
    else:
        pixel.residue *= 1 - share * (1 - raw.figure("bleach", "touch", "kept_when_rinsed"))
    before = strength(bench, pixel.load)
    for name, facts in bench.dyes.items():
        for amounts in (pixel.load, pixel.optical):
            amounts[name] *= 1 - share * taken * facts["loose_fraction"]
    if before > 0:
        pixel.coats *= strength(bench, pixel.load) / before


def crept(mark: Any, creep_mm: float, dpi: float) -> Any:
    """A Gaussian of a third of the reach, cut off there; at the sheet's edge it turns back."""
    reach = math.ceil(creep_mm * dpi / 25.4)
    weight = {
        d: math.exp(-4.5 * (d * 25.4 / dpi / creep_mm) ** 2) for d in range(-reach, reach + 1)
    }
    rows, columns = mark.shape
    out = np.zeros(mark.shape)

    def turned(i: int, n: int) -> int:
        return -i - 1 if i < 0 else 2 * n - 1 - i if i >= n else i

    for r in range(rows):
        for c in range(columns):
            for dr, a in weight.items():
                for dc, b in weight.items():
                    out[r, c] += a * b * mark[turned(r + dr, rows), turned(c + dc, columns)]
    return out / sum(weight.values()) ** 2


# --- light -----------------------------------------------------------------------------------


def reflectance(bench: Bench, pixel: Pixel) -> list[float]:
    """R = s + (Rp - s)(1 + A/k)^-k at each nm."""
    k, s = float(bench.paper["path_spread"]), float(bench.paper["surface_reflectance"])
    out = []
    for i, nm in enumerate(NM):
        tint = at(bench.paper["reflectance"], nm)
        Rp = tint + (1 - pixel.fresh) * (at(bench.paper["bleached_reflectance"], nm) - tint)
        out.append(s + (Rp - s) * (1 + path_of(bench, pixel.optical, i) / k) ** -k)
    return out


def linear_srgb(spectra: list[list[float]], light: str) -> Any:
    """Reflectances under a light to linear sRGB, by colour-science: 1 nm, CAT16, D65."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour

        shape = colour.SpectralShape(380, 780, 1)
        observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy().align(shape)
        power = colour.SDS_ILLUMINANTS[light]
        # CIE 15:2018: tables at 5 nm are read along straight lines
        S = colour.SpectralDistribution(np.interp(NM, power.wavelengths, power.values), NM)
        both = np.vstack([spectra, np.ones(len(NM))])
        XYZ = colour.msds_to_XYZ(both, observer, S, method="Integration", shape=shape) / 100
        D65 = colour.xy_to_XYZ(colour.RGB_COLOURSPACES["sRGB"].whitepoint)
        seen = colour.adaptation.chromatic_adaptation_VonKries(
            XYZ[:-1], XYZ[-1], D65, transform="CAT16"
        )
        to_rgb = np.linalg.inv(colour.RGB_COLOURSPACES["sRGB"].matrix_RGB_to_XYZ)
        return seen @ to_rgb.T


def differences(one: Any, other: Any) -> Any:
    """CIEDE2000 of linear sRGB colours, by colour-science."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour

        space = colour.RGB_COLOURSPACES["sRGB"]
        labs = [
            colour.XYZ_to_Lab(np.asarray(rgb) @ space.matrix_RGB_to_XYZ.T, space.whitepoint)
            for rgb in (one, other)
        ]
        return colour.delta_E(*labs, method="CIE 2000")
