"""A wet passage against closed forms of thin films, uptake, drying rims and chromatography.

Each law is named with its source; those marked *from memory* weren't at hand to be read again.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import brentq

from glaze.physics.wet_film import (
    DENSITY_KG_PER_M3,
    GRAVITY_M_PER_S2,
    VISCOSITY_PA_S,
    shine_seconds,
    sorptivity_m_per_root_s,
)
from glaze.sheet.flowing import Ways, after, bare_passage, laid_into

NU = VISCOSITY_PA_S / DENSITY_KG_PER_M3
G = GRAVITY_M_PER_S2
DAMP_M = 1e-9
"""So little water in the paper lets a film run over it and weighs nothing."""


def passage(film_m, g_per_l=(1.0,), part=None):
    """A film on damp paper that drinks no more."""
    film_m = np.asarray(film_m, dtype=float)
    part = np.ones_like(film_m) if part is None else part
    laid = laid_into(bare_passage(film_m.shape, len(g_per_l)), part, film_m, np.array(g_per_l))
    return replace(laid, taken=DAMP_M * part, peak=DAMP_M * part)


def ways(cell_m, dyes=1, **others):
    """Paper that neither drinks nor dries, unless said otherwise."""
    usual = {
        "evaporation_m_per_s": 0.0,
        "sorptivity_m_per_root_s": 0.0,
        "pores_m": 1.0,
        "retardation": np.ones(dyes),
    }
    return Ways(cell_m, **(usual | others))


def round_heap(cell_m, volume_m3, seconds):
    """Huppert, J. Fluid Mech. 121 (1982) 43, eq. 2.18 (from memory), which is Barenblatt's
    solution of the porous-medium equation: r = 0.894 (g V^3 t/(3 nu))^(1/8)."""
    edge = 0.894 * (G * volume_m3**3 * seconds / (3 * NU)) ** 0.125
    along = (np.arange(round(0.12 / cell_m)) - round(0.12 / cell_m) / 2 + 0.5) * cell_m
    r2 = (along[:, None] ** 2 + along**2) / edge**2
    # the cube root's integral over the disc is 3/4 of its area
    return volume_m3 * 4 / (3 * np.pi * edge**2) * np.maximum(1 - r2, 0) ** (1 / 3)


def heap_error(cell_m):
    start, end = round_heap(cell_m, 2e-6, 2.0), round_heap(cell_m, 2e-6, 22.0)
    found = after(passage(start), 20.0, ways(cell_m)).film
    return np.abs(found * end.sum() / found.sum() - end).sum() / end.sum()


def test_a_heap_levels_as_the_similarity_solution_does_and_the_error_falls_with_the_cell():
    coarse, fine = heap_error(2e-3), heap_error(1e-3)
    assert fine < 0.03
    assert fine < 0.6 * coarse


def test_a_film_runs_down_a_slope_as_the_kinematic_wave_does():
    """Huppert, Nature 300 (1982) 427, from memory: h = (nu x/(g sin a t))^(1/2) behind a front at
    (9 A^2 g sin a t/(4 nu))^(1/3)."""
    cell, width_mm, tilt = 1e-3, 20, 20.0
    film = np.zeros((300, 3))
    film[:width_mm] = 1e-4
    seconds = 20.0
    found = after(passage(film), seconds, ways(cell, tilt_degrees=tilt)).film[:, 1]
    pull = G * np.sin(np.radians(tilt))
    area = 1e-4 * width_mm * 1e-3
    front = (9 * area**2 * pull * seconds / (4 * NU)) ** (1 / 3)
    reached = np.flatnonzero(found > 0.3 * found.max()).max() * cell
    assert reached == pytest.approx(front, rel=0.08)
    x = (np.arange(300) + 0.5) * cell
    middle = (x > 0.3 * front) & (x < 0.8 * front)
    expected = np.sqrt(NU * x[middle] / (pull * seconds))
    assert found[middle] == pytest.approx(expected, rel=0.06)


def test_paper_drinks_with_the_root_of_time():
    """Washburn, Phys. Rev. 17 (1921) 273; Cobb 60 is what is taken up in 60 s (ISO 535)."""
    S = sorptivity_m_per_root_s(25.0)
    assert DENSITY_KG_PER_M3 * 1000 * S * np.sqrt(60.0) == pytest.approx(25.0)
    deep = passage(np.full((3, 3), 1e-3))
    for minutes in (1, 4, 9):
        found = after(deep, 60.0 * minutes, ways(5e-4, sorptivity_m_per_root_s=S)).taken[1, 1]
        assert found == pytest.approx(25e-6 / 0.998 * np.sqrt(minutes), rel=1e-3)


def test_the_shine_is_gone_when_air_and_paper_have_had_the_film():
    """h = e t + S sqrt(t), solved a second way; and what the film on the grid does."""
    film, e, S = 1e-4, 4e-8, 3e-6
    seconds = float(shine_seconds(film, e, S))
    assert brentq(lambda t: e * t + S * np.sqrt(t) - film, 1, 1e5) == pytest.approx(seconds)
    how = ways(5e-4, evaporation_m_per_s=e, sorptivity_m_per_root_s=S)
    laid = laid_into(bare_passage((3, 3), 1), np.ones((3, 3)), film, np.ones(1))
    assert after(laid, np.inf, how).seconds == pytest.approx(seconds, rel=0.03)


def rim_share(dried_share, cell_m=2.5e-4, deep=4e-4):
    """Share of the dye near the edge of a level round film that dries there, and how much of the
    film that strip is."""
    radius, fine = 5e-3, 32
    n = round(2.2 * radius / cell_m)
    along = ((np.arange(n * fine) + 0.5) * cell_m / fine - 1.1 * radius) / radius
    r2 = along[:, None] ** 2 + along**2
    inside, flux = r2 < 1.0, np.zeros_like(r2)
    flux[inside] = (1 - r2[inside]) ** -0.5
    part, air, r = (f.reshape(n, fine, n, fine).mean(axis=(1, 3)) for f in (inside, flux, r2**0.5))
    part[part < 0.2] = 0.0
    air = np.divide(air, part, out=np.zeros_like(air), where=part > 0)
    air *= deep / 200.0 * part.sum() / (air * part).sum()
    still = passage(deep * np.ones_like(part), part=part)
    found = after(still, 200.0 * dried_share, ways(cell_m, evaporation_m_per_s=air))
    rim = r > 1 - 2 * cell_m / radius
    return found.all_dye[0][rim].sum() / found.all_dye.sum(), part[rim].sum() / part.sum()


def test_a_film_that_dries_at_its_edge_carries_its_dye_there():
    """Deegan et al., Nature 389 (1997) 827: evaporation ~ (1 - r^2)^(-1/2) at a pinned edge.

    For the level film of a wash in place of their cap: with u = 1 - r^2 the water moves by
    dw/dt = -(1 - w)/(2 (T - t)), w = u^(1/2), so that [1 - (1 - t/T)^(1/2)]^2 of the dye has come
    to the edge; derived here in the way of the reference. What lies in the rim to begin with
    stays, and of what has come the rim has all.
    """
    for dried in (0.5, 0.75):
        found, began = rim_share(dried)
        came = (1 - np.sqrt(1 - dried)) ** 2
        w = 1 - (1 - np.sqrt(began)) * np.sqrt(1 - dried)  # w = began^(1/2) where the rim begins
        assert found == pytest.approx(w**2, abs=0.05)
        assert found > began + 0.5 * came


def test_film_and_fibres_share_a_dye_by_its_rf():
    """In the pores the share Rf is dissolved, the rest sits on the fibres: h/(h + w/Rf) swims.

    The same Rf makes its band run at Rf times the speed of the water in paper chromatography
    (Consden, Gordon & Martin, Biochem. J. 38 (1944) 224, from memory).
    """
    still = replace(passage(np.full((3, 3), 1e-4), (1.0, 1.0)), taken=np.full((3, 3), 5e-5))
    Rf = np.array([0.2, 0.9])
    found = after(still, 3600.0, ways(5e-4, 2, retardation=Rf))
    share = found.dyes[:, 1, 1] / found.all_dye[:, 1, 1]
    # concentrations in film and pores are equal; of the dye in the paper Rf is in the pores
    in_pores = found.settled[:, 1, 1] * Rf / 5e-5
    assert in_pores == pytest.approx(found.dyes[:, 1, 1] / found.film[1, 1], rel=0.02)
    h = found.film[1, 1]
    assert share == pytest.approx(h / (h + 5e-5 / Rf), rel=0.02)


def laid_wash(cell_m=5e-4, size_m=0.02, turned=lambda field: field, **others):
    """A wash with a wetter stroke charged into it after two minutes, left to dry."""
    n = round(size_m / cell_m)
    x = (np.arange(n) + 0.5) / n
    drop = turned(((np.abs(x[:, None] - 0.4) < 0.15) & (np.abs(x - 0.5) < 0.2)).astype(float))
    dry = {"evaporation_m_per_s": 5e-8, "sorptivity_m_per_root_s": 3e-6, "pores_m": 2e-4}
    how = ways(cell_m, 2, retardation=np.array([0.3, 0.9]), **(dry | others))
    first = laid_into(bare_passage((n, n), 2), np.ones((n, n)), 1e-4, np.array([2.0, 1.0]))
    both = laid_into(after(first, 120.0, how), drop, 1.5e-4, np.array([0.0, 4.0]))
    return both, after(both, np.inf, how)


@pytest.mark.parametrize("tilt", [0.0, 15.0])
def test_water_and_every_dye_are_accounted_for(tilt):
    before, dry = laid_wash(tilt_degrees=tilt, bead_m=3e-4)
    dye = dry.all_dye.sum(axis=(1, 2)) + dry.mopped[1:]
    assert dye == pytest.approx(before.all_dye.sum(axis=(1, 2)) + before.mopped[1:], rel=1e-9)
    water = [p.film.sum() + p.taken.sum() + p.dried + p.mopped[0] for p in (before, dry)]
    assert water[1] == pytest.approx(water[0], rel=1e-9)
    assert dry.all_dye.min() >= 0.0
    assert not dry.film.any()
    assert (dry.mopped[0] > 0.0) == (tilt > 0.0)


@pytest.mark.parametrize(
    "turned", [lambda f: f[::-1], lambda f: f[:, ::-1], lambda f: np.swapaxes(f, -1, -2)]
)
def test_a_turned_or_mirrored_passage_dries_turned_or_mirrored(turned):
    _, straight = laid_wash()
    _, other = laid_wash(turned=turned)
    for found, expected in zip(other.all_dye, straight.all_dye, strict=True):
        assert found == pytest.approx(turned(expected), rel=1e-9, abs=1e-12)


def test_the_picture_converges_with_the_cell():
    finest = laid_wash(1.25e-4)[1].all_dye[1]

    def error(cell_m):
        found = laid_wash(cell_m)[1].all_dye[1]
        by = round(cell_m / 1.25e-4)
        n = found.shape[0]
        mean = finest.reshape(n, by, n, by).mean(axis=(1, 3))
        return np.abs(found - mean).sum() / mean.sum()

    coarse, half = error(5e-4), error(2.5e-4)
    assert half < 0.02
    assert half < 0.5 * coarse


def test_two_runs_give_the_same_bytes():
    assert laid_wash()[1].all_dye.tobytes() == laid_wash()[1].all_dye.tobytes()


def test_dyes_part_in_the_order_of_their_rf():
    """What holds to the fibres stays where it was laid, what doesn't runs on with the water: the
    rule of paper chromatography (Consden, Gordon & Martin 1944, from memory)."""
    n = 60
    film, g = np.zeros((1, n)), np.array([1.0, 1.0])
    film[0, :20] = 3e-4
    how = ways(5e-4, 2, retardation=np.array([0.2, 0.9]), sorptivity_m_per_root_s=3e-6)
    # the pool stands behind a dam until its dye has come to terms with the fibres
    pool = laid_into(bare_passage((1, n), 2), (film > 0).astype(float), 3e-4, g)
    stood = after(pool, 240.0, how)
    part = np.ones((1, n))
    damp = np.where(stood.taken > 0, stood.taken, 2e-5)
    run = after(replace(stood, part=part, taken=damp, peak=damp), 240.0, how)
    far = run.all_dye[:, 0, 20:].sum(axis=1) / run.all_dye[:, 0].sum(axis=1)
    assert far[1] > far[0] + 0.05
