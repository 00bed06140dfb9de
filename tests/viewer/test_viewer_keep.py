"""Saving, opening elsewhere, and what a killed sitting leaves behind."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import textwrap
import time
import zipfile
from dataclasses import replace

import numpy as np
import pytest
from PIL import Image
from small_scenes import LIFTED, SMALL, write_sketch

from glaze.errors import InputError
from glaze.sketch.scan import grey, read_scan
from viewer.core import drafting
from viewer.core.brush import Brush
from viewer.core.keep import mask_png, open_any, open_bare, save, unpack
from viewer.core.laying import Laying
from viewer.core.recovery import KEPT, NOTE, Recovery, left_behind, recover


def _painted(folder):
    sitting = open_any(folder)
    sitting.hold(replace(sitting.hand, brush=Brush(size_mm=5, hardness=0.1)))
    laying = Laying(sitting)
    laying.press((8, 8))
    laying.move([((28, 22), 1.0)])
    laying.up()
    sitting.finish()
    return sitting


@pytest.mark.parametrize("name", ["saved", "saved.zip"])
def test_a_saved_scene_opens_alike_in_another_place(scene_folder, tmp_path, name):
    sitting = _painted(scene_folder(LIFTED))
    sitting.do("aside", drafting.with_step_laid(sitting.draft, 1, False))
    sitting.finish()
    save(sitting, tmp_path / name)
    assert not sitting.changed
    moved = (tmp_path / name).rename(tmp_path / f"moved {name}")
    other = open_any(moved)
    other.finish()
    assert other.draft.aside == {1}
    assert [s.name for s in other.scene.steps] == [s.name for s in sitting.scene.steps]
    here, there = (s.preview.pyramid.levels[0] for s in (sitting, other))
    assert np.array_equal(here, there)
    for one in (sitting, other):
        one.close()


def test_a_painted_region_is_saved_with_all_16_bits(scene_folder, tmp_path):
    sitting = _painted(scene_folder(SMALL))
    save(sitting, tmp_path / "saved")
    region = sitting.scene.regions[sitting.scene.steps[-1].region]
    found = grey(read_scan(tmp_path / "saved" / region.mask))
    assert np.array_equal(found, sitting.masks[sitting.scene.steps[-1].region])
    assert len(np.unique(found)) > 300
    sitting.close()


def test_a_mask_picture_holds_every_16_bit_number(tmp_path):
    mask = np.arange(65536, dtype=np.uint16).reshape(256, 256)
    (tmp_path / "mask.png").write_bytes(mask_png(mask))
    with Image.open(tmp_path / "mask.png") as image:
        assert image.mode == "I;16"
    assert np.array_equal(grey(read_scan(tmp_path / "mask.png")), mask)


def test_painting_goes_on_where_it_was_left_when_a_scene_is_opened_again(scene_folder, tmp_path):
    sitting = _painted(scene_folder(SMALL))
    save(sitting, tmp_path / "saved")
    sitting.close()
    again = open_any(tmp_path / "saved")
    again.choose(2)
    regions = dict(again.scene.regions)
    laying = Laying(again)
    laying.press((30, 8))
    laying.up()
    assert again.scene.regions == regions
    assert again.changed
    again.close()


def test_a_sketch_that_is_another_picture_is_not_written_over(scene_folder, tmp_path):
    sitting = _painted(scene_folder(SMALL))
    other = tmp_path / "other"
    other.mkdir()
    (other / "sketch.png").write_bytes(b"a drawing of somebody else")
    with pytest.raises(InputError, match="never written"):
        save(sitting, other)
    assert (other / "sketch.png").read_bytes() == b"a drawing of somebody else"
    sitting.close()


def test_a_sketch_alone_opens_as_a_new_sheet_and_nothing_is_written(tmp_path):
    write_sketch(tmp_path / "drawing.png")
    before = sorted(os.listdir(tmp_path))
    sitting = open_any(tmp_path / "drawing.png")
    assert sitting.size_mm == pytest.approx((40, 32.2), abs=0.1)
    assert not sitting.scene.steps
    assert sorted(os.listdir(tmp_path)) == before
    sitting.close()


def test_a_sketch_without_a_size_asks_for_it(tmp_path):
    Image.fromarray(np.full((200, 300), 255, np.uint8)).save(tmp_path / "drawing.png")
    with pytest.raises(InputError, match="size_mm"):
        open_any(tmp_path / "drawing.png")
    sitting = open_any(tmp_path / "drawing.png", size_mm=(150, 100))
    assert sitting.size_mm == pytest.approx((150, 100), abs=0.1)
    sitting.close()


@pytest.mark.parametrize("name", ["../outside.txt", "/etc/outside.txt", "a/../../outside.txt"])
def test_a_zip_that_would_write_elsewhere_is_refused(tmp_path, name):
    with zipfile.ZipFile(tmp_path / "bad.zip", "w") as packed:
        packed.writestr(name, "no")
    folder = tmp_path / "in"
    folder.mkdir()
    with pytest.raises(InputError, match="elsewhere"):
        unpack(tmp_path / "bad.zip", folder)
    assert not list(folder.iterdir())


def test_a_damaged_zip_is_told_in_words(tmp_path):
    (tmp_path / "bad.zip").write_bytes(b"no zip")
    with pytest.raises(InputError, match="damaged"):
        open_any(tmp_path / "bad.zip")


def test_a_sitting_closed_in_peace_leaves_nothing_behind(scene_folder, tmp_path):
    sitting = _painted(scene_folder(SMALL))
    recovery = Recovery(sitting, tmp_path / "kept")
    assert recovery.due
    recovery.keep()
    assert not recovery.due
    assert recovery.folder.is_dir()
    assert left_behind(tmp_path / "kept") == []  # its program still runs
    recovery.close()
    assert not recovery.folder.exists()
    sitting.close()


def test_keeping_again_drops_masks_that_no_longer_belong(scene_folder, tmp_path):
    sitting = _painted(scene_folder(SMALL))
    recovery = Recovery(sitting, tmp_path / "kept")
    recovery.keep()
    laying = Laying(sitting)
    laying.press((30, 8))
    laying.up()
    recovery.keep()
    assert len(list((recovery.folder / KEPT).iterdir())) == 1
    sitting.close()


def test_masks_that_are_no_painted_regions_are_kept_as_well(scene_folder, tmp_path):
    text = SMALL + (
        '[region.drawn]\nmask = "masks/drawn.png"\nsoft_mm = 1\n'
        '[[step]]\nwash = "soft"\nmix = "Red 1 + water 2"\nregion = "drawn"\n'
    )
    folder = scene_folder(SMALL)
    (folder / "masks").mkdir()
    grey_picture = np.zeros((190, 236), np.uint16)
    grey_picture[60:120, 40:150] = 65535
    (folder / "masks" / "drawn.png").write_bytes(mask_png(grey_picture))
    (folder / "scene.toml").write_text(text)
    sitting = _painted(folder)
    recovery = Recovery(sitting, tmp_path / "kept")
    recovery.keep()
    again = open_any(recovery.folder)
    again.finish()
    assert np.array_equal(again.preview.pyramid.levels[0], sitting.preview.pyramid.levels[0])
    for one in (sitting, again):
        one.close()


def test_a_zip_may_hold_its_scene_in_a_folder_and_other_things_beside(scene_folder, tmp_path):
    folder = scene_folder(SMALL)
    with zipfile.ZipFile(tmp_path / "packed.zip", "w") as packed:
        packed.writestr("by the way/readme.txt", "hello")
        for file in folder.iterdir():
            packed.write(file, f"my scene/{file.name}")
    sitting = open_any(tmp_path / "packed.zip")
    assert sitting.scene.title == "Two squares"
    sitting.close()


def test_a_bare_sheet_can_be_kept_and_recovered(tmp_path):
    sitting = open_bare((40, 30), 150)
    laying = Laying(sitting)
    laying.press((8, 8))
    laying.up()
    sitting.finish()
    recovery = Recovery(sitting, tmp_path)
    recovery.keep()
    note = json.loads((recovery.folder / NOTE).read_text())
    (recovery.folder / NOTE).write_text(json.dumps({**note, "pid": 2**22 + 1}))
    found = recover(left_behind(tmp_path)[0])
    found.finish()
    assert np.array_equal(found.preview.pyramid.levels[0], sitting.preview.pyramid.levels[0])
    assert found.changed
    for one in (sitting, found):
        one.close()


PAINTER = """
import os, sys, time
from pathlib import Path
from viewer.core.keep import open_any
from viewer.core.laying import Laying
from viewer.core.recovery import Recovery

sitting = open_any(sys.argv[1])
recovery = Recovery(sitting, Path(sys.argv[2]))
laying = Laying(sitting)
for group in range(1, 4):
    for x in (6, 14, 22):
        laying.press((x, 4 + 5 * group))
        laying.move([((x + 6, 6 + 5 * group), 1.0)])
        laying.up()
    if group < 3:
        recovery.keep()
        print("kept", group, flush=True)
laying.press((10, 10))
print("painting", flush=True)
n = 0
while True:
    n += 1
    laying.move([((10 + n % 20, 10 + n % 12), 1.0)])
    recovery.keep() if n % 5 == 0 else None
"""


def test_kill_9_while_painting_loses_at_most_the_last_group_of_strokes(scene_folder, tmp_path):
    folder = scene_folder(SMALL)
    script = tmp_path / "painter.py"
    script.write_text(textwrap.dedent(PAINTER))
    kept = tmp_path / "kept"
    run = [sys.executable, str(script), str(folder), str(kept)]
    env = {**os.environ, "PYTHONPATH": os.getcwd()}
    with subprocess.Popen(run, stdout=subprocess.PIPE, text=True, env=env) as painter:
        for line in painter.stdout:
            if line.startswith("painting"):
                break
        time.sleep(0.3)  # it is now somewhere in a stroke, or in writing a picture
        painter.send_signal(signal.SIGKILL)
        painter.wait(20)
    (left,) = left_behind(kept)
    assert left.title == "Two squares"
    assert left.home == folder.resolve()
    found = recover(left)
    found.finish()
    mask = found.masks[found.scene.steps[-1].region]
    per_mm = found.painting.dpi / 25.4
    # the strokes of the first two groups are there, at both their ends
    for group in (1, 2):
        for x in (6, 14, 22):
            for at in ((x, 4 + 5 * group), (x + 6, 6 + 5 * group)):
                assert mask[round(at[1] * per_mm), round(at[0] * per_mm)] > 60_000
    found.close()
    left.discard()
    assert left_behind(kept) == []


def test_a_photo_that_invents_its_size_is_asked_for_it(tmp_path):
    write_sketch(tmp_path / "photo.png", dpi=72)
    with pytest.raises(InputError, match="size_mm"):
        open_any(tmp_path / "photo.png")
    sitting = open_any(tmp_path / "photo.png", (40.0, 32.2))
    assert sitting.painting.dpi == pytest.approx(150, abs=1)
