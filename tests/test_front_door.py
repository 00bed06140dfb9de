"""`import glaze`: a small surface, loaded when asked for, with the same answers as everywhere."""

from __future__ import annotations

import ast
import io
import subprocess
import sys
from html.parser import HTMLParser
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

import glaze

ROOT = Path(__file__).resolve().parents[1]
SCRIPTS = sorted((ROOT / "docs" / "scripts").glob("*.py"))
DOOR = Path(glaze.__file__)


@pytest.fixture(scope="module")
def table():
    return glaze.table_of("lifting", "white cartridge")


def test_every_name_of_the_door_leads_somewhere_and_says_what_it_is():
    for name in glaze.__all__:
        found = getattr(glaze, name)
        assert isinstance(found, str) or found.__doc__, name
    assert set(glaze.__all__) <= set(dir(glaze))


def test_editors_see_the_same_names_in_the_same_rooms():
    tree = ast.parse(DOOR.read_text(encoding="utf-8"))
    block = next(node for node in tree.body if isinstance(node, ast.If))
    typed = {node.module: tuple(a.name for a in node.names) for node in block.body}
    assert typed == {f"glaze.{room}": names for room, names in glaze._ROOMS.items()}
    assert {n for names in typed.values() for n in names} | {"__version__"} == set(glaze.__all__)


def test_the_door_stays_small():
    assert len(DOOR.read_text(encoding="utf-8").splitlines()) <= 100
    assert len(glaze.__all__) <= 30


def test_a_name_that_is_not_there_is_told_with_those_that_are():
    with pytest.raises(AttributeError, match="table_of"):
        _ = glaze.tabel_of


def test_importing_loads_little_more_than_the_door():
    """A tenth of a second would be hundreds of modules; it takes those that a typed door needs."""
    code = "import sys; before = set(sys.modules); import glaze; print(*set(sys.modules) - before)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    loaded = done.stdout.split()
    assert [name for name in loaded if name.startswith("glaze")] == ["glaze"]
    assert len(loaded) < 60


def _names_used(tree: ast.AST) -> set[str]:
    """Names taken from the door, and modules that are imported."""
    used = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Attribute) and getattr(node.value, "id", "") == "glaze":
            used.add(node.attr)
        if isinstance(node, ast.Import):
            used |= {f"import {alias.name}" for alias in node.names}
        if isinstance(node, ast.ImportFrom):
            used.add(f"import {node.module}")
    return used


@pytest.mark.parametrize("script", SCRIPTS, ids=lambda script: script.stem)
def test_a_script_is_short_goes_through_the_door_only_and_runs(script, tmp_path):
    text = script.read_text(encoding="utf-8")
    assert len(text.splitlines()) <= 15
    allowed = set(glaze.__all__) | {"import glaze", "import numpy", "import PIL"}
    assert _names_used(ast.parse(text)) <= allowed
    (tmp_path / "scenes").symlink_to(ROOT / "scenes")
    run = [sys.executable, "-W", "error", str(script)]
    done = subprocess.run(run, cwd=tmp_path, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    made = list(tmp_path.glob("*.png"))
    assert made or done.stdout
    for picture in made:
        with Image.open(picture) as image:
            assert len(image.convert("RGB").getcolors(1 << 20)) > 5


def test_there_are_five_scripts():
    assert len(SCRIPTS) == 5


def test_a_scrap_looks_as_the_same_steps_in_a_scene_do(tmp_path, table):
    text = """
format = 1
palette = "lifting"
paper = "white cartridge"
size_mm = [12, 12]
dpi = 60
[[step]]
wash = "a"
mix = "Red 1 + water 2"
region = "sheet"
[[step]]
lift = "b"
region = "sheet"
parts_water = 9
[[step]]
wash = "c"
mix = "Blue 1 + water 4"
region = "sheet"
coats = 2
"""
    (tmp_path / "scene.toml").write_text(text, encoding="utf-8")
    painting = glaze.resolve(glaze.load_scene(tmp_path), even=True)
    whole = glaze.render(painting, bits=16).rgb
    scrap = glaze.Scrap(table).wash("Red 1 + water 2").lift(parts_water=9)
    scrap.wash("Blue 1 + water 4", coats=2)
    seen = scrap.picture().rgb[0, 0].astype(int)
    middle = whole[whole.shape[0] // 2, whole.shape[1] // 2].astype(int) / 257
    assert np.abs(seen - middle).max() <= 1


def test_paint_gives_what_load_resolve_and_render_give(scene_folder):
    folder = scene_folder()
    whole = glaze.render(glaze.resolve(glaze.load_scene(folder)))
    assert np.array_equal(glaze.paint(folder).rgb, whole.rgb)


@pytest.mark.parametrize("kind", [bool, np.float32, float, np.uint8, np.uint16])
def test_a_mask_of_any_kind_paints_the_same_place(table, kind):
    inside = np.zeros((3, 4), bool)
    inside[1, 1:3] = True
    full = {np.uint8: 255, np.uint16: 65535}.get(kind, 1)
    scrap = glaze.Scrap(table, (3, 4)).wash("Black 1", inside.astype(kind) * kind(full))
    neat = glaze.Scrap(table).wash("Black 1").value[0, 0]
    bare = glaze.Scrap(table).value[0, 0]
    assert scrap.value == pytest.approx(np.where(inside, neat, bare), abs=1e-5)


def test_columns_of_several_mixes_look_as_each_does_alone(table):
    both = glaze.Scrap(table, (2, 2)).wash("Yellow 1").wash(["Black 1", "Red 1 + water 2"])
    for column, mix in enumerate(["Black 1", "Red 1 + water 2"]):
        alone = glaze.Scrap(table).wash("Yellow 1").wash(mix).lab[0, 0]
        assert both.lab[0, column] == pytest.approx(alone, abs=1e-9)
        assert both.lab[1, column] == pytest.approx(alone, abs=1e-9)


def test_bleach_on_a_scrap_is_neat_unless_it_is_let_down(table):
    neat, said, thin = (
        glaze.Scrap(table).wash("Black 1").lift(**how)
        for how in ({}, {"parts_water": 0.0}, {"parts_water": 4.0})
    )
    assert neat.value[0, 0] == said.value[0, 0] > thin.value[0, 0] + 0.3


def test_a_scrap_is_read_as_its_band_says(table):
    scrap = glaze.Scrap(table).wash("Red 1").lift(0.5, parts_water=4).wash("Blue 1 + water 4")
    assert scrap.trusted.band.best == pytest.approx(scrap.value[0, 0], abs=0.01)


def test_half_a_film_lies_between_none_and_a_whole_one(table):
    strip = glaze.Scrap(table, 3).wash("Black 1 + water 4", [[0.0, 0.5, 1.0]])
    light, half, dark = strip.value[0]
    assert light > half > dark


NM = np.arange(400.0, 701.0, 10.0)
SWATCH = 0.68 - 0.55 * np.exp(-(((NM - 610) / 55) ** 2))  # invented


@pytest.mark.parametrize("parts_water", [0.0, 3.0])
def test_an_own_spectrum_comes_back_as_it_was_measured(table, parts_water):
    own = table.with_ink("Own", NM, SWATCH, parts_water=parts_water)
    mix = glaze.diluted(own.mix("Own"), parts_water)
    seen = glaze.Scrap(own).wash(mix).reflectance(NM)[0, 0]
    assert seen == pytest.approx(SWATCH, abs=1e-6)


def test_an_own_spectrum_is_read_against_its_own_sheet(table):
    """Swatch and sheet measured 5 % too light together: the ink stays within a tenth."""
    bare = table.paper.reflectance(NM)
    plain = table.with_ink("Own", NM, SWATCH, bare=bare).palette.dyes["Own, as measured"]
    light = table.with_ink("Own", NM, SWATCH * 1.05, bare=bare * 1.05)
    moved = light.palette.dyes["Own, as measured"]
    peaks = [dye.peak_absorptivity_l_per_g_cm for dye in (plain, moved)]
    assert peaks[1] == pytest.approx(peaks[0], rel=0.1)


def test_an_own_ink_is_measured_and_says_so(table):
    own = table.with_ink("Own", NM, SWATCH)
    assert own.palette.ink("own").how == "measured"
    assert glaze.Scrap(own).wash("Own").trusted.band.standing != "assumed"
    assert "Own" not in table.palette.inks


def test_spectra_out_make_the_colour_that_is_told(table):
    """Summed at 5 nm by the tables of colour-science (CIE 15, 7.1) against the 40 bands."""
    import colour

    scrap = glaze.Scrap(table).wash("Blue 1 + Yellow 1 + water 2")
    at_nm = np.arange(380.0, 781.0, 5.0)
    power = colour.SDS_ILLUMINANTS["D65"]
    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    S = np.array([power[nm] for nm in at_nm])
    weights = S[:, None] * np.array([observer[nm] for nm in at_nm])
    weights /= weights[:, 1].sum()
    XYZ, white = scrap.reflectance(at_nm)[0, 0] @ weights, weights.sum(axis=0)
    lab = colour.XYZ_to_Lab(XYZ, colour.XYZ_to_xy(white))
    assert float(colour.delta_E(lab, scrap.lab[0, 0], method="CIE 2000")) < 0.15


def test_a_picture_shows_itself_in_a_notebook(table):
    picture = glaze.Scrap(table, 2).wash(["Red 1", "Blue 1"]).picture(px=3)
    with Image.open(io.BytesIO(picture._repr_png_())) as shown:
        assert np.array_equal(np.asarray(shown), picture.rgb)
    strip = glaze.Scrap(table, 2).wash(["Red 1", "Blue 1"])
    with Image.open(io.BytesIO(strip._repr_png_())) as shown:
        assert shown.size == (48, 24)


class _Cells(HTMLParser):
    def __init__(self, text):
        super().__init__()
        self.cells, self.tags = [], []
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)

    def handle_data(self, data):
        self.cells.append(data)


def test_mixes_and_palettes_show_themselves_in_a_notebook(table):
    cells = _Cells(table.palette._repr_html_()).cells
    assert {"Blue", "Red", "Yellow", "Black", "invented"} <= set(cells)
    cells = _Cells(table.mix("Blue 1 ml + water 3 ml")._repr_html_()).cells
    assert cells[-4:] == ["Blue", "1 ml", "water", "3 ml"]


def test_an_own_ink_is_counted_with_the_dropper_of_the_table():
    table = glaze.table_of("lifting", "white cartridge", dropper=glaze.Dropper(25, 25))
    assert table.with_ink("Own", NM, SWATCH).mix("Own 1 + water 1").strength == pytest.approx(0.5)


def test_a_name_with_signs_in_it_is_no_html(table):
    own = table.with_ink("<b>Own</b>", NM, SWATCH)
    shown = _Cells(own.palette._repr_html_())
    assert "b" not in shown.tags
    assert "<b>Own</b>" in shown.cells


def test_a_lift_shows_its_caution(table):
    from glaze.materials.bleach import CAUTION_LINE

    lifted = glaze.Scrap(table).wash("Red 1").lift()
    assert lifted.picture().notes == (CAUTION_LINE,)
    assert not glaze.Scrap(table).wash("Red 1").picture().notes


def test_colours_and_hues_are_read_in_words(table):
    assert glaze.match_colour("5R 4/10", table).wanted.text == "5R 4/10"
    found = glaze.shadow(table, "Yellow 1", darker=2)
    assert found.value == pytest.approx(found.value_before - 2, abs=0.1)


def test_the_page_names_all_of_the_door():
    page = (ROOT / "docs" / "python.md").read_text(encoding="utf-8")
    missing = [name for name in glaze.__all__ if name not in page and name != "__version__"]
    assert not missing
