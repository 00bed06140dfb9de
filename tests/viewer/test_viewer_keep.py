"""Saving, opening elsewhere, and what a killed sitting leaves behind."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
import zipfile
from dataclasses import replace

import numpy as np
import pytest
from PIL import Image, ImageDraw
from small_scenes import LIFTED, SMALL, write_sketch

from glaze.errors import InputError
from glaze.sketch.scan import read_scan
from glaze.sketch.scan_values import grey
from viewer.core import drafting
from viewer.core.brush import Brush
from viewer.core.journal import Journal
from viewer.core.keep import (
    ChangedElsewhereError,
    changed_elsewhere,
    open_any,
    open_bare,
    save,
    unpack,
)
from viewer.core.laying import Laying
from viewer.core.packed import mask_png
from viewer.core.recovery import NOTE, left_behind, recover, replayed


def _painted(folder):
    sitting = open_any(folder)
    sitting.hold(replace(sitting.hand, brush=Brush(size_mm=5, hardness=0.1)))
    laying = Laying(sitting)
    laying.press((8, 8))
    laying.move([((28, 22), 1.0)])
    laying.up()
    sitting.finish()
    return sitting


def test_numbers_of_areas_go_along_to_another_place(tmp_path):
    from glaze.scene.starter import start_scene

    rings = Image.new("L", (240, 200), 255)
    ImageDraw.Draw(rings).ellipse((40, 40, 150, 150), outline=0, width=3)
    rings.save(tmp_path / "rings.png", dpi=(100, 100))
    start_scene(tmp_path / "rings.png", tmp_path / "rings")
    sitting = open_any(tmp_path / "rings")
    assert sitting.scene.areas.numbered == "areas.json"
    save(sitting, tmp_path / "saved")
    sitting.finish()
    kept = [tmp_path / place / "areas.json" for place in ("rings", "saved")]
    assert kept[0].read_bytes() == kept[1].read_bytes()
    open_any(tmp_path / "saved").finish()


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


def test_a_closed_sitting_leaves_nothing_behind(scene_folder, tmp_path):
    sitting = open_any(scene_folder(SMALL))
    journal = Journal(sitting, tmp_path / "kept")
    assert not journal.folder.exists()  # nothing done, nothing written
    _stroke(sitting, 8)
    assert journal.folder.is_dir()
    assert left_behind(tmp_path / "kept") == []  # its program still runs
    journal.close()
    assert not journal.folder.exists()
    sitting.close()


def test_a_saved_sitting_is_not_offered_until_it_changes_again(scene_folder, tmp_path):
    sitting = open_any(scene_folder(SMALL))
    journal = Journal(sitting, tmp_path / "kept")
    _stroke(sitting, 8)
    save(sitting, tmp_path / "saved")
    journal.saved()
    _forget_the_program(journal)
    assert left_behind(tmp_path / "kept") == []
    _stroke(sitting, 12)
    assert len(left_behind(tmp_path / "kept")) == 1
    sitting.close()


def _stroke(sitting, y):
    laying = Laying(sitting)
    laying.press((8, y))
    laying.move([((28, y + 2), 1.0)])
    laying.up()


def _forget_the_program(journal):
    note = journal.folder / NOTE
    note.write_text(json.dumps({**json.loads(note.read_text()), "pid": 2**22 + 1}))


def _work(sitting):
    """Deeds of every kind, one after the other; gives what stands after each."""
    laying = Laying(sitting)
    sitting.hold(replace(sitting.hand, brush=Brush(size_mm=4, hardness=0.3)))

    def on_another_step():
        sitting.choose(1)  # on a region that has to become a painted one first
        _stroke(sitting, 14)

    deeds = (
        lambda: _stroke(sitting, 8),
        lambda: _stroke(sitting, 12),
        lambda: sitting.do("mix", drafting.with_changed_step(sitting.draft, 0, mix="Red 1")),
        lambda: sitting.do("aside", drafting.with_step_laid(sitting.draft, 1, False)),
        on_another_step,
        sitting.take_back,
        sitting.take_back,
        sitting.do_again,
        lambda: sitting.do("order", drafting.with_step_moved(sitting.draft, 0, 1)),
        lambda: (sitting.choose(None), laying.fill((6, 6))),
        lambda: sitting.do("out", drafting.without_step(sitting.draft, 0)),
        lambda: _stroke(sitting, 20),
    )
    for deed in deeds:
        deed()
        sitting.finish()
        yield sitting.lean.laid, {name: mask.copy() for name, mask in sitting.masks.items()}


def test_a_journal_cut_off_anywhere_holds_every_deed_before(scene_folder, tmp_path):
    sitting = open_any(scene_folder(SMALL))
    journal = Journal(sitting, tmp_path / "kept")
    stands = []
    for scene, masks in _work(sitting):
        (log,) = journal.folder.glob("*.log")
        stands.append((log.stat().st_size, scene, masks))
    whole = log.read_bytes()
    rng = np.random.default_rng(8)
    for cut in (*rng.integers(stands[0][0], len(whole) + 1, 200), len(whole)):
        log.write_bytes(whole[:cut])
        _, scene, masks = [stand for stand in stands if stand[0] <= cut][-1]
        draft, found = replayed(journal.folder)
        bare = {name for name, mask in found.items() if not mask.any()}
        assert drafting.without_regions(draft, bare).laid.steps == scene.steps
        for name in {s.region for s in scene.steps} & masks.keys():
            assert np.array_equal(found[name], masks[name])
    sitting.close()


def test_a_recovered_sitting_looks_as_it_did_and_is_written_down_on(scene_folder, tmp_path):
    sitting = open_any(scene_folder(SMALL))
    journal = Journal(sitting, tmp_path / "kept")
    for _ in _work(sitting):
        pass
    _forget_the_program(journal)
    (left,) = left_behind(tmp_path / "kept")
    found = recover(left)
    found.finish()
    assert np.array_equal(found.preview.pyramid.levels[0], sitting.preview.pyramid.levels[0])
    assert found.changed
    again = Journal(found, folder=left.folder)
    again.write({})
    assert left_behind(tmp_path / "kept") == []
    _stroke(found, 24)
    found.finish()
    _forget_the_program(again)
    (left,) = left_behind(tmp_path / "kept")
    third = recover(left)
    third.finish()
    assert np.array_equal(third.preview.pyramid.levels[0], found.preview.pyramid.levels[0])
    for one in (sitting, found, third):
        one.close()


def test_a_long_journal_is_begun_anew(scene_folder, tmp_path, monkeypatch):
    monkeypatch.setattr("viewer.core.journal.LONGEST", 20_000)
    sitting = open_any(scene_folder(SMALL))
    journal = Journal(sitting, tmp_path / "kept")
    for y in range(8, 28):
        _stroke(sitting, y)
    sitting.finish()
    (log,) = journal.folder.glob("*.log")
    assert int(log.stem) > 1
    assert log.stat().st_size < 40_000
    _, masks = replayed(journal.folder)
    region = sitting.scene.steps[-1].region
    assert np.array_equal(masks[region], sitting.masks[region])
    sitting.close()


def test_a_full_disk_is_told_once_and_written_when_there_is_room(
    scene_folder, tmp_path, monkeypatch
):
    sitting = open_any(scene_folder(SMALL))
    journal, heard = Journal(sitting, tmp_path / "kept"), []
    sitting.told.connect(heard.append)

    def full(*_):
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as on_a_full_disk:
        on_a_full_disk.setattr(Journal, "_entry", full)
        _stroke(sitting, 8)
        _stroke(sitting, 12)
    assert len(heard) == 1
    assert "No space left" in heard[0]
    _stroke(sitting, 16)
    _, masks = replayed(journal.folder)
    region = sitting.scene.steps[-1].region
    assert np.array_equal(masks[region], sitting.masks[region])
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
    sitting = open_any(folder)
    journal = Journal(sitting, tmp_path / "kept")
    _stroke(sitting, 8)
    sitting.finish()
    _forget_the_program(journal)
    again = recover(left_behind(tmp_path / "kept")[0])
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
    journal = Journal(sitting, tmp_path)
    _stroke(sitting, 8)
    sitting.finish()
    _forget_the_program(journal)
    found = recover(left_behind(tmp_path)[0])
    found.finish()
    assert np.array_equal(found.preview.pyramid.levels[0], sitting.preview.pyramid.levels[0])
    assert found.changed
    for one in (sitting, found):
        one.close()


PAINTER = """
import sys
from pathlib import Path
from viewer.core.journal import Journal
from viewer.core.keep import open_any
from viewer.core.laying import Laying

sitting = open_any(sys.argv[1])
journal = Journal(sitting, Path(sys.argv[2]))
laying = Laying(sitting)
for n in range(10_000):
    sitting.choose(None)
    laying.press((6, 6 + n % 20))
    laying.move([((20 + n % 9, 8 + n % 20), 1.0)])
    laying.up()
    sitting.tick()
    print(n + 1, flush=True)
"""


@pytest.mark.parametrize("seconds", [0.05, 0.31, 0.73])
def test_kill_9_while_painting_loses_the_stroke_in_hand_at_most(scene_folder, tmp_path, seconds):
    folder, kept = scene_folder(SMALL), tmp_path / "kept"
    run = [sys.executable, "-c", PAINTER, str(folder), str(kept)]
    env = {**os.environ, "PYTHONPATH": os.getcwd()}
    with subprocess.Popen(run, stdout=subprocess.PIPE, text=True, env=env) as painter:
        painter.stdout.readline()
        time.sleep(seconds)  # it is now somewhere in a stroke, or in writing one down
        painter.send_signal(signal.SIGKILL)
        strokes = [int(line) for line in painter.stdout]
        painter.wait()
    (left,) = left_behind(kept)
    assert left.title == "Two squares"
    assert left.home == folder.resolve()
    draft, _ = replayed(left.folder)
    assert len(draft.scene.steps) - 2 - max(strokes, default=1) in (0, 1)
    left.discard()
    assert left_behind(kept) == []


def test_a_scene_whose_sketch_is_gone_is_saved_with_it(scene_folder, tmp_path):
    folder = scene_folder(SMALL)
    content = (folder / "sketch.png").read_bytes()
    sitting = _painted(folder)
    (folder / "sketch.png").unlink()
    for target in (tmp_path / "elsewhere", folder):
        save(sitting, target)
        assert (target / "sketch.png").read_bytes() == content
    sitting.close()


def test_a_scene_that_somebody_else_saved_meanwhile_is_not_written_over(scene_folder):
    folder = scene_folder(SMALL)
    mine, theirs = open_any(folder), open_any(folder)
    _stroke(theirs, 8)
    save(theirs, folder)
    text = (folder / "scene.toml").read_text()
    _stroke(mine, 16)
    assert changed_elsewhere(mine)
    with pytest.raises(ChangedElsewhereError, match="outside this window"):
        save(mine, folder)
    assert (folder / "scene.toml").read_text() == text
    save(mine, folder, over=True)
    assert not changed_elsewhere(mine)
    save(mine, folder)
    for one in (mine, theirs):
        one.close()


def test_a_photo_that_invents_its_size_is_asked_for_it(tmp_path):
    write_sketch(tmp_path / "photo.png", dpi=72)
    with pytest.raises(InputError, match="size_mm"):
        open_any(tmp_path / "photo.png")
    sitting = open_any(tmp_path / "photo.png", (40.0, 32.2))
    assert sitting.painting.dpi == pytest.approx(150, abs=1)


def test_regions_that_no_step_needs_any_more_are_not_saved(scene_folder, tmp_path):
    sitting = open_any(scene_folder(SMALL))
    first = set(sitting.scene.regions)
    Laying(sitting).fill((6, 6))
    made = sitting.scene.steps[-1].region
    sitting.do("out", drafting.without_step(sitting.draft, 2))
    sitting.take_back()
    assert made in sitting.scene.regions
    sitting.do_again()
    sitting.do("out", drafting.without_step(sitting.draft, 1))
    save(sitting, tmp_path / "saved")
    again = open_any(tmp_path / "saved")
    assert set(again.scene.regions) == first  # what the painter wrote stays
    for one in (sitting, again):
        one.close()
