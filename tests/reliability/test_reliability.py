"""Nothing a painter gives ends in a traceback, a hang or an endless memory.

The cases are made by number (`cases.py`): the same every time. `python -m tests.reliability 200000`
runs as many as one likes and writes docs/reliability.md.
"""

from __future__ import annotations

import json
import os
import random
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from glaze.errors import InputError
from glaze.region import outline
from tests.reliability.running import outcome, run_cases

HEAD = 'format = 1\npalette = "lifting"\npaper = "white cartridge"\nsize_mm = [20, 20]\ndpi = 100\n'
WASH = '[[step]]\nwash = "a"\nmix = "{}"\nregion = "{}"\n'
CASES = 2000


def test_two_thousand_cases_end_well_or_in_words():
    counts, faults = run_cases(range(CASES))
    assert not faults, json.dumps(faults, indent=1)
    assert sum(sum(kind.values()) for kind in counts.values()) == CASES
    # cases that are all refused at the door would hold nothing
    assert counts["scenes at the ends of their ranges"]["done"] > 50
    assert counts["own inks and papers"]["done"] > 20


@pytest.fixture
def scene(tmp_path):
    def made(text: str) -> str:
        (tmp_path / "scene.toml").write_text(HEAD + text)
        return str(tmp_path)

    return made


CHAIN = "[region.r0]\npolygon_mm = [[0, 0], [20, 0], [20, 20]]\n" + "".join(
    f'[region.r{n}]\nunion = ["r{n - 1}"]\n' for n in range(1, 400)
)
WELLS = '[well]\nw0 = "Blue 1 + water 1"\n' + "".join(
    f'w{n} = "w{n - 1} 1 + water 1"\n' for n in range(1, 800)
)
WATER = WASH.format("Blue 1 + water 4", "sheet")
ODD_SCENES = {
    "regions of regions of regions": (CHAIN + WASH.format("Blue 1 + water 4", "r399"), "told"),
    "eight hundred wells": (WELLS + WASH.format("w799", "sheet"), "told"),
    "an ink of nothing": (WASH.format("Blue 0 + Red 1 + water 4", "sheet"), "done"),
    "a wash that is all water": (WASH.format("Blue 0 + water 4", "sheet"), "done"),
    "a well that is all water, thinned": (
        '[well]\ndew = "Blue 0 + water 4"\n' + WASH.format("dew 1 + water 2", "sheet"),
        "done",
    ),
    "a mix of nothing": (WASH.format("Red 0 ml", "sheet"), "told"),
    "a gap of nothing": (
        'line = "Blue"\n[region.a]\nenclosed_at_mm = [9, 9]\ngap_mm = 0\n'
        + WASH.format("Blue 1 + water 4", "a"),
        "done",
    ),
    "a lift finer than the plan's grid": (
        WATER + '[[step]]\nlift = "b"\nregion = { pen_line_mm = { points = [[4, 4], [9, 4]], '
        'width = 0.1 } }\ntool = "dip pen"\n',
        "done",
    ),
    "a glow softer than it is large": (
        WATER + '[[step]]\nlift = "b"\nregion = { ellipse_mm = { centre = [9, 9], radii = '
        "[0.5, 0.5] }, soft_mm = 9 }\n",
        "done",
    ),
}


@pytest.mark.parametrize("name", ODD_SCENES)
def test_an_odd_scene_is_planned_or_told(name, scene):
    text, end = ODD_SCENES[name]
    assert outcome(["plan", scene(text)]) == end


@pytest.mark.parametrize("crop", ["0,0,1e308,5", "-1e308,0,1e308,1e308", "0,0,inf,5", "0,0,nan,1"])
def test_a_part_beyond_any_sheet_ends_with_the_sheet(crop, scene, tmp_path):
    out = str(tmp_path / "out.png")
    assert outcome(["preview", scene(WATER), "-o", out, f"--crop={crop}"]) in ("done", "told")


@pytest.mark.parametrize("what", ["/dev/zero", "a pipe", "x" * 5000, "a folder"])
def test_only_plain_files_are_read_as_tables(what, tmp_path):
    place = {"a pipe": tmp_path / "pipe.toml", "a folder": tmp_path}.get(what, what)
    if what == "a pipe":
        os.mkfifo(place)
    for option in ("--palette", "--paper"):
        assert outcome(["wet", "Blue 1 + water 4", option, str(place)]) == "told"


def test_outlines_joined_group_by_group_cover_as_all_at_once(monkeypatch):
    """A union doesn't depend on the order in which its parts are joined."""
    rng = random.Random(1)
    places = [(rng.uniform(0, 79), rng.uniform(0, 79)) for _ in range(60)]
    discs = [outline.ellipse(place, (3, 5), 20.0, 1.0) for place in places]
    whole = outline.fill(discs, (79, 79))
    monkeypatch.setattr(outline, "MOST_CROSSINGS", 3000)
    assert np.array_equal(outline.fill(discs, (79, 79)), whole)
    assert 0 < whole.mean() < 65535


def test_the_window_starts_without_code_of_the_current_folder(tmp_path):
    """A viewer.py that lies in the folder somebody works in is never run."""
    (tmp_path / "viewer.py").write_text("raise SystemExit('run')")
    (tmp_path / "numpy.py").write_text("raise SystemExit('run')")
    asked = "import glaze.cli.view_command as v, sys\n"
    asked += "v.missing = lambda: False\nv.view.callback('nothing.txt', None)"
    (tmp_path / "nothing.txt").write_text("no scene")
    env = os.environ | {"PYTHONPATH": str(Path(__file__).resolve().parents[2])}
    done = subprocess.run(
        [sys.executable, "-P", "-c", asked], cwd=tmp_path, env=env, capture_output=True, text=True
    )
    assert done.returncode == 2, done
    assert "run" not in done.stderr.split()


def test_an_attack_by_packing_is_refused(tmp_path):
    """Half a gigabyte of zeros packs a thousand times smaller; a scene never does."""
    import zipfile

    from viewer.core.keep import unpack

    with (
        zipfile.ZipFile(tmp_path / "s.zip", "w", zipfile.ZIP_DEFLATED, compresslevel=1) as packed,
        packed.open("scene.toml", "w") as file,
    ):
        for _ in range(50):
            file.write(bytes(10_000_000))
    (tmp_path / "to").mkdir()
    with pytest.raises(InputError, match="unpacks to over 300 MB"):
        unpack(tmp_path / "s.zip", tmp_path / "to")
    assert not list((tmp_path / "to").iterdir())


def test_without_a_screen_the_window_says_so_or_what_is_wrong_with_the_scene(tmp_path):
    """Qt ends a program that finds no screen (it aborted, with a list of its own plug-ins)."""
    (tmp_path / "nothing.txt").write_text("no scene")
    env = {k: v for k, v in os.environ.items() if k not in ("DISPLAY", "WAYLAND_DISPLAY")}
    env |= {"QT_QPA_PLATFORM": "", "PYTHONPATH": str(Path(__file__).resolve().parents[2])}
    told = []
    for asked in ("nothing.txt", str(Path("scenes/lighthouse").resolve())):
        done = subprocess.run(
            [sys.executable, "-P", "-m", "viewer", asked, "--language=en"],
            cwd=tmp_path, env=env, capture_output=True, text=True,
        )  # fmt: skip
        assert done.returncode == 2, done
        told.append(done.stderr)
    assert "nothing.txt" in told[0]
    assert told[1].startswith("There is no screen")
