"""What a painter may get wrong about a lift: a message in words, or a stated answer; never NaN."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from glaze.cli.main import glaze
from glaze.errors import InputError
from glaze.painting.lay import sheet_at
from glaze.painting.settle import resolve
from glaze.pipeline import linear_rgb
from glaze.scene.file import load_scene
from glaze.sheet.rect import whole

WASH = '[[step]]\nwash = "w"\nmix = "Black 1"\nregion = "left"\n'


def scene(folder: Path, lift: str = "", bleach: str = "", room: str = "", wash: str = WASH) -> Path:
    parts = [
        'format = 1\npalette = "lifting"\npaper = "white cartridge"\n',
        "size_mm = [12, 8]\ndpi = 100\n",
        f"[bleach]\n{bleach}\n" if bleach else "",
        f"[room]\n{room}\n" if room else "",
        "[region.left]\npolygon_mm = [[0, 0], [6, 0], [6, 8], [0, 8]]\n",
        "[region.dot]\nellipse_mm = { centre = [3, 4], radii = [0.1, 0.1] }\n",
        wash,
        f'[[step]]\nlift = "l"\n{lift}\n' if lift else "",
    ]
    (folder / "scene.toml").write_text("".join(parts))
    return folder


@pytest.mark.parametrize(
    ("given", "told"),
    [
        ({"bleach": "percent = 0"}, "more than 0, up to 9 % sodium hypochlorite"),
        ({"bleach": "percent = 40"}, "above household strength"),
        ({"bleach": "ph = 3"}, "9 to 14 pH"),
        ({"bleach": "age_months = -1"}, "0 to 60 months"),
        ({"lift": 'region = "left"\nminutes = -1'}, "more than 0, up to 1440 minutes"),
        ({"lift": 'region = "left"\nminutes = nan'}, "minutes"),
        ({"lift": 'region = "left"\ntool = "mop"'}, '"brush", "dip pen", "swab"'),
        ({"lift": 'region = "left"\nfilm_ml_per_m2 = 0'}, "ml/m2"),
        ({"lift": 'region = "left"\ntouches = 0'}, "1 to 20 touches"),
        ({"lift": 'region = "left"\nparts_water = -2'}, "parts of water"),
        ({"lift": 'region = "lft"'}, 'Did you mean "left"'),
        ({"room": "temperature_c = -20"}, "5 to 40 degrees Celsius"),
    ],
)
def test_what_cant_be_is_said_with_what_may_be_and_nothing_is_written(
    tmp_path: Path, given, told: str
) -> None:
    folder = scene(tmp_path, **{"lift": 'region = "left"', **given})
    output = tmp_path / "out.png"
    with pytest.raises(InputError) as problem:
        CliRunner().invoke(
            glaze,
            ["preview", str(folder), "-o", str(output)],
            catch_exceptions=False,
            standalone_mode=False,
        )
    assert told in str(problem.value)
    assert not output.exists()


def painted(folder: Path):
    painting = resolve(load_scene(folder))
    rgb = linear_rgb(painting)
    sheet = sheet_at(painting, whole(painting.shape))
    assert np.isfinite(rgb).all()
    for name, field in vars(sheet).items():
        assert np.isfinite(field).all(), name
        assert (field >= 0).all(), name
    return painting, rgb, sheet


def test_a_lift_with_no_ink_under_it_bleaches_the_paper_and_leaves_residue(tmp_path: Path) -> None:
    _, rgb, sheet = painted(scene(tmp_path, 'region = "sheet"', wash=""))
    assert sheet.load_g_per_m2.size == 0
    assert sheet.bleached.min() > 0.3
    assert sheet.residue_mol_per_m2.min() > 0.0
    assert rgb.min() > 0.6


def test_a_lift_of_one_pixel_lifts_about_that_pixel(tmp_path: Path) -> None:
    before, _, plain = painted(scene(tmp_path))
    _, _, sheet = painted(scene(tmp_path, 'region = "dot"'))
    changed = (sheet.load_g_per_m2 != plain.load_g_per_m2).any(axis=-1)
    assert changed.any()
    rows, columns = np.nonzero(changed)
    assert abs(rows.mean() - 4 / 25.4 * 100) < 2
    assert abs(columns.mean() - 3 / 25.4 * 100) < 2
    assert changed.mean() < 0.2
    assert before.shape == changed.shape


@pytest.mark.parametrize(
    "lift",
    [
        'region = "left"\nminutes = 1440\ntouches = 20',
        'region = "left"\nparts_water = 1000',
        'region = "left"\nfilm_ml_per_m2 = 0.001',
        'region = "left"\nfilm_ml_per_m2 = 1000\ntouches = 3',
        'region = "left"\nminutes = 0.0001',
    ],
)
@pytest.mark.parametrize(
    "room", ["", "temperature_c = 5\nhumidity_percent = 98", "air_m_per_s = 5"]
)
def test_the_ends_of_what_may_be_stay_finite(tmp_path: Path, lift: str, room: str) -> None:
    painted(scene(tmp_path, lift, room=room, bleach="percent = 9\nph = 9"))


def test_each_tool_lays_its_own_film_unless_the_scene_gives_one(tmp_path: Path) -> None:
    doses = []
    for tool in ("dip pen", "brush", "swab"):
        painting, *_ = painted(scene(tmp_path, f'region = "left"\ntool = "{tool}"'))
        doses.append(painting.steps[-1].touch.film_l_per_m2)
    # assumed: 50, 60 and 80 ml/m2 (materials/tables/bleach.toml)
    assert doses == pytest.approx([0.05, 0.06, 0.08])
    painting, *_ = painted(scene(tmp_path, 'region = "left"\ntool = "swab"\nfilm_ml_per_m2 = 30'))
    assert painting.steps[-1].touch.film_l_per_m2 == pytest.approx(0.03)
