"""Compiled kernels are kept, and nothing that befalls what is kept can stop or mislead a run."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

HOUSE = Path(__file__).resolve().parents[2]
GLOW = """
import numpy as np
from glaze.sheet.compiled_glow import add_glow
load, bands, rgb = np.full((1, 1), 1.0), np.full((1, 2), 0.5), np.zeros((1, 3))
mol = np.array([2e-4])  # one half load of 2e-4 mol/m2, so half of the glow is left
add_glow(load, load, mol, bands, np.ones(1), np.zeros(1), np.full(2, 0.9), np.zeros(2), 0.0,
         1.0, np.ones(2), np.ones((1, 2, 3)), rgb)
print(repr(float(rgb[0, 0])))
"""


@pytest.fixture(scope="module")
def house(tmp_path_factory):
    """A copy of the sources."""
    return copied(tmp_path_factory.mktemp("house"))


@pytest.fixture(scope="module")
def compiled(house, tmp_path_factory):
    """The folder in which those keep a glow kernel, and what that answers."""
    cache = tmp_path_factory.mktemp("cache")
    before = glow(house, cache)
    assert kept(cache), "nothing was kept, so nothing is tested"
    return cache, before


def copied(place: Path) -> Path:
    """A copy of the sources, to be edited."""
    shutil.copytree(HOUSE / "glaze", place / "glaze", ignore=shutil.ignore_patterns("__pycache__"))
    return place


def glow(house: Path, cache: Path, **settings: str) -> float:
    """What the glow kernel answers in a process of its own."""
    env = os.environ | {"PYTHONPATH": str(house), "XDG_CACHE_HOME": str(cache), **settings}
    done = subprocess.run(
        [sys.executable, "-c", GLOW], capture_output=True, text=True, env=env, cwd=house
    )
    assert done.returncode == 0, done.stderr
    return float(done.stdout)


def kept(cache: Path) -> list[Path]:
    return sorted(cache.rglob("compiled_glow*"))


def test_an_edited_constant_is_never_painted_with_the_old_kernel(compiled, tmp_path):
    """Half is quenched at the half load: left = 1 / (1 + 1) = 1/2; with 1000 times it, all is."""
    cache, before = shutil.copytree(compiled[0], tmp_path / "cache"), compiled[1]
    house = copied(tmp_path)
    source = house / "glaze/physics/fluorescence.py"
    text = source.read_text()
    assert "HALF_LOAD_MOL_PER_M2 = 2e-4" in text
    source.write_text(text.replace("HALF_LOAD_MOL_PER_M2 = 2e-4", "HALF_LOAD_MOL_PER_M2 = 0.2"))
    assert glow(house, cache) / before == pytest.approx(2.0, rel=1e-5)


@pytest.mark.parametrize("damage", ["empty", "short", "one bit", "another kernel's bytes"])
def test_a_damaged_kernel_is_compiled_anew_and_kept_again(damage, house, compiled, tmp_path):
    cache, before = shutil.copytree(compiled[0], tmp_path / "cache"), compiled[1]
    (file,) = kept(cache)
    whole = file.read_bytes()
    middle = len(whole) // 2
    file.write_bytes(
        {
            "empty": b"",
            "short": whole[:middle],
            "one bit": whole[:middle] + bytes([whole[middle] ^ 1]) + whole[middle + 1 :],
            "another kernel's bytes": b"\x80\x04N." + bytes(200),
        }[damage]
    )
    broken = file.read_bytes()
    assert glow(house, cache) == before
    assert file.read_bytes() != broken


@pytest.mark.parametrize("place", ["a file", "nowhere"])
def test_kernels_run_where_nothing_can_be_kept(place, tmp_path):
    """A kiosk, a container, a class's computer: no folder can be written."""
    cache, house = tmp_path / "cache", copied(tmp_path)
    cache.write_text("no folder") if place == "a file" else None
    where = cache if place == "a file" else Path("/proc/none")
    # numba's own folder beside the sources is out of reach too
    for folder in house.rglob("sheet"):
        (folder / "__pycache__").write_text("no folder")
    assert glow(house, where, PYTHONDONTWRITEBYTECODE="1") > 0


def test_nothing_is_kept_beside_the_sources(house, compiled):
    assert compiled
    assert not list(house.rglob("*.nb?"))


def test_everything_compiled_is_kept_in_one_place(house):
    """Numba's own way of keeping writes beside the sources and asks only after one of them."""
    past = [
        file.relative_to(house).as_posix()
        for file in sorted((house / "glaze").rglob("*.py"))
        if "njit" in file.read_text(encoding="utf-8")
    ]
    assert past == ["glaze/sheet/kernel.py"]


def test_a_kept_kernel_is_had_without_the_compilers_modules(house, tmp_path):
    """Numba's modules of arrays and of linear algebra take longer to load than all kernels."""
    script = """
import sys
import numpy as np
from glaze.sheet.widened import widened
print(widened(np.eye(3, dtype=bool), 1).sum(), "numba.np.arrayobj" in sys.modules)
"""
    env = os.environ | {"PYTHONPATH": str(house), "XDG_CACHE_HOME": str(tmp_path / "cache")}
    asked = [sys.executable, "-c", script]
    first, second = (
        subprocess.run(asked, capture_output=True, text=True, env=env, cwd=house).stdout.split()
        for _ in range(2)
    )
    assert first == ["9", "True"], "nothing was compiled, so nothing is tested"
    assert second == ["9", "False"]
