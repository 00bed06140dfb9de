"""The glow in pictures: off unless asked for, the same compiled and plain, bounded and told."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
from click.testing import CliRunner

from glaze.cli.main import glaze as command
from glaze.materials.dye import load_dyes
from glaze.painting.lay import sheet_at
from glaze.painting.settle import Painting, resolve
from glaze.patch.patches import (
    bare_patches,
    bleach_patches,
    glaze,
    glow_xyz,
    reflectance,
    xyz,
)
from glaze.patch.patches import linear_rgb as patch_rgb
from glaze.patch.table import _glow_of, table_of
from glaze.picture.light import band_nm, load_glow
from glaze.pipeline import linear_rgb, render
from glaze.scene.file import load_scene
from glaze.sheet.lift import Touches
from glaze.sheet.rect import Rect, whole

SCENE = """format = 1
palette = "lifting"
paper = "white cartridge"
size_mm = [24, 12]
dpi = 100
[region.left]
polygon_mm = [[0, 0], [12, 0], [12, 12], [0, 12]]
[[step]]
wash = "pink"
mix = "Neon Pink 1 ml + water 2 ml"
region = "left"
[[step]]
wash = "grey"
mix = "Black 1 ml + water 16 ml"
region = { polygon_mm = [[6, 0], [24, 0], [24, 12], [6, 12]] }
[[step]]
lift = "spot"
region = { ellipse_mm = { centre = [6, 6], radii = [2, 2] } }
parts_water = 9
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    made = tmp_path_factory.mktemp("neon")
    (made / "scene.toml").write_text(SCENE)
    return made


@pytest.fixture(scope="module")
def painting(folder: Path) -> Painting:
    return resolve(load_scene(folder))


@pytest.fixture(scope="module")
def tables():
    return [table_of("lifting", "white cartridge", neon=neon) for neon in (False, True)]


def pink(table, water: float = 2.0):
    return glaze(table, bare_patches(table), table.mix(f"Neon Pink 1 ml + water {water:g} ml"))


def test_off_is_off_bit_for_bit(painting: Painting) -> None:
    assert painting.table.neon is False
    assert painting.table.glow is None
    on = painting.glowing()
    off_again = replace(on, table=replace(on.table, neon=False))
    assert (render(painting).rgb == render(off_again).rgb).all()


def test_without_a_fluorescent_ink_the_switch_changes_nothing(tmp_path: Path) -> None:
    (tmp_path / "scene.toml").write_text(SCENE.replace("Neon Pink 1 ml", "Blue 1 ml"))
    plain = resolve(load_scene(tmp_path))
    assert plain.glowing().table.glow is None
    assert (render(plain).rgb == render(plain.glowing()).rgb).all()


def test_zero_yield_is_off(tables) -> None:
    off, on = tables
    dark = tuple(
        replace(d, fluorescence=d.fluorescence and replace(d.fluorescence, quantum_yield=0.0))
        for d in on.dyes
    )
    dull = replace(on, dyes=dark)
    assert (xyz(dull, pink(on)) == xyz(off, pink(off))).all()


@pytest.mark.parametrize("paper", ["white cartridge", "white hot-pressed", "coated.toml"])
def test_compiled_and_plain_glow_agree(tmp_path: Path, paper: str) -> None:
    # one paper of each surface: the kernel has a short cut for the matte ones
    (tmp_path / "coated.toml").write_text('surface = "coated"\n')
    (tmp_path / "scene.toml").write_text(SCENE.replace("white cartridge", paper))
    painting = resolve(load_scene(tmp_path))
    on = painting.glowing()
    sheet = sheet_at(on, whole(on.shape))
    plain = patch_rgb(on.table, sheet)
    np.testing.assert_allclose(linear_rgb(on), plain, atol=2e-5)
    assert np.abs(linear_rgb(on) - linear_rgb(painting)).max() > 0.1


def test_flat_washes_alone_glow_as_their_patch_does(tmp_path: Path, tables) -> None:
    # no lift and no glow take a way of their own through the tiles: nothing of that may be left
    flat = SCENE.partition("[[step]]\nlift")[0].replace("mix =", 'edge = "none"\nmix =')
    (tmp_path / "scene.toml").write_text(flat)
    on = resolve(load_scene(tmp_path), even=True).glowing()
    lit = patch_rgb(tables[True], pink(tables[True]))[0, 0]
    assert np.abs(lit - patch_rgb(tables[False], pink(tables[False]))[0, 0]).max() > 0.1
    np.testing.assert_allclose(linear_rgb(on)[24, 12], lit, atol=1e-3)


def test_a_rectangle_glows_bit_for_bit_like_the_sheet(painting: Painting) -> None:
    on, part = painting.glowing(), Rect(7, 11, 40, 60)
    assert (linear_rgb(on, part) == linear_rgb(on)[part.slices]).all()


def test_bare_paper_and_other_inks_dont_glow(painting: Painting) -> None:
    on, off = linear_rgb(painting.glowing()), linear_rgb(painting)
    right = np.s_[:, 60:]
    np.testing.assert_allclose(on[right], off[right], atol=2e-6)


def test_reflectance_itself_never_passes_1_and_the_light_from_the_sheet_may(tables) -> None:
    _, on = tables
    sheet = pink(on, 4.0)
    assert reflectance(on, sheet).max() <= 1.0
    # radiance factor at the glow's own colour: R + photons sent out over photons falling in
    light, dye = load_glow("D65"), next(d for d in on.dyes if d.name == "Acid Red 87")
    from glaze.physics.fluorescence import emission_photons

    f = dye.fluorescence
    spread = emission_photons(band_nm(), f.emission_peak_nm, f.emission_width_per_cm)
    peak = int(np.argmin(np.abs(band_nm() - f.emission_peak_nm)))
    sent = glow_xyz(on, sheet)[0, 0, 1] / light.photon_xyz(spread)[:, 1].sum()
    per_nm = sent * (spread / (spread @ light.width_nm))[peak]
    factor = reflectance(on, sheet)[0, 0, peak] + per_nm / (
        light.photon_weights[peak] / light.width_nm[peak]
    )
    assert 1.0 < factor < 2.5  # papers and cards sold as fluorescent reach 1.2 to 2.5 (remembered)


def test_a_thinned_layer_glows_more_for_the_light_it_stops(tables) -> None:
    off, on = tables
    per_dark = []
    for water in (0.0, 2.0, 8.0):
        sheet = pink(on, water) if water else glaze(on, bare_patches(on), on.mix("Neon Pink 1"))
        lost = float((xyz(off, bare_patches(off)) - xyz(off, sheet))[0, 0, 1])
        per_dark.append(float(glow_xyz(on, sheet)[0, 0, 1]) / lost)
    assert per_dark[0] < per_dark[1] < per_dark[2]


def test_thinning_a_neat_wash_makes_it_glow_more_outright(tables) -> None:
    _, on = tables
    neat = glaze(on, bare_patches(on), on.mix("Neon Pink 1"), coats=3)
    assert glow_xyz(on, pink(on, 1.0))[0, 0, 1] > 1.2 * glow_xyz(on, neat)[0, 0, 1]


def test_a_dye_that_glows_little_glows_all_the_same(tables) -> None:
    # the table's figures of PhotochemCAD, written down a second time: 0.08 beside 0.97
    dyes = [dye for dye in load_dyes().values() if dye.fluorescence is not None]
    faint = [dye for dye in dyes if dye.fluorescence.quantum_yield == 0.08]
    glow = _glow_of(SimpleNamespace(light=tables[1].light, dyes=dyes))
    assert len(faint) == 1
    assert glow.quantum_yield[dyes.index(faint[0])] == 0.08
    assert sorted(glow.quantum_yield) == [0.08, 0.67, 0.67, 0.7, 0.7, 0.97]


def test_a_lift_takes_the_glow_with_the_dye_that_goes(tables) -> None:
    _, on = tables
    before = pink(on)
    after = bleach_patches(on, pink(on), Touches())
    # eosin goes (k 0.3, assumed), the rhodamine beside it stays and glows on
    assert 0.0 < glow_xyz(on, after)[0, 0, 1] < 0.7 * glow_xyz(on, before)[0, 0, 1]


def test_a_lamp_makes_fluorescein_glow_less_than_daylight_does() -> None:
    # excited near 490 nm, where CIE A has a third of the photons per luminance that D65 has
    from glaze.materials.dye import colourants, load_dyes

    glows = []
    for name in ("D65", "A"):
        base = table_of("lifting", "white cartridge", name, neon=True)
        table = replace(base, dyes=colourants(["Acid Yellow 73"], load_dyes()))
        sheet = bare_patches(table)
        sheet.load_g_per_m2[..., 0] = sheet.optical_g_per_m2[..., 0] = 0.005
        glows.append(float(glow_xyz(table, sheet)[0, 0, 1]))
    assert 0.3 * glows[0] < glows[1] < 0.8 * glows[0]


def test_black_over_pink_puts_the_glow_out(tables) -> None:
    _, on = tables
    sheet = pink(on)
    alone = float(glow_xyz(on, sheet)[0, 0, 1])
    glaze(on, sheet, on.mix("Black 1"))
    assert float(glow_xyz(on, sheet)[0, 0, 1]) < 0.25 * alone


def test_preview_has_the_switch_and_says_what_the_screen_cant_show(folder, tmp_path) -> None:
    told = {}
    for switch in ((), ("--neon",)):
        output = tmp_path / f"p{len(switch)}.png"
        result = CliRunner().invoke(
            command, ["preview", str(folder), "-o", str(output), *switch], catch_exceptions=False
        )
        told[switch] = result.output
    from PIL import Image

    with Image.open(tmp_path / "p1.png") as picture:
        assert "beyond what a screen shows" in picture.text["glaze:neon"]
    assert "than a screen shows" in told[("--neon",)]
    assert "glows more" in told[("--neon",)]
    assert "glows more" not in told[()]


def test_preview_says_when_nothing_glows(tmp_path: Path) -> None:
    (tmp_path / "scene.toml").write_text(SCENE.replace("Neon Pink 1 ml", "Blue 1 ml"))
    arguments = ["preview", str(tmp_path), "-o", str(tmp_path / "p.png"), "--neon"]
    result = CliRunner().invoke(command, arguments, catch_exceptions=False)
    assert "No ink in this scene is fluorescent" in result.output
