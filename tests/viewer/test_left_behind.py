"""What a sitting that was left behind is found to be: each fault that a kill could meet."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from dataclasses import replace

import numpy as np
import pytest

from glaze.region.records import Region
from tests.reliability.sitting_kills import NOBODY, make_scene, sitting_kills
from tests.small_scenes import BENCH, LIFTED, write_sketch
from viewer.core import drafting
from viewer.core.brush import Brush
from viewer.core.journal import Journal
from viewer.core.keep import open_any, save
from viewer.core.laying import Laying
from viewer.core.packed import folder_till_the_end, mask_png
from viewer.core.recovery import NOTE, clear_away, left_behind, recover
from viewer.core.versions import keep_version


@pytest.fixture
def painted(tmp_path):
    """A sitting that is written down."""
    sitting = open_any(make_scene(tmp_path, LIFTED))
    yield sitting, Journal(sitting, tmp_path / "kept")
    sitting.close()


def stroke(sitting, *places, kind="wash") -> str:
    """A stroke that begins a step; gives its region."""
    sitting.choose(None)
    sitting.hold(replace(sitting.hand, kind=kind, brush=Brush(size_mm=4)))
    laying = Laying(sitting)
    laying.press(places[0])
    laying.move([(place, 1.0) for place in places[1:]])
    laying.up()
    return sitting.scene.steps[-1].region


def found(journal):
    """What the next start finds after a kill now."""
    note = journal.folder / NOTE
    note.write_text(json.dumps({**json.loads(note.read_text()), "pid": NOBODY}))
    (left,) = left_behind(journal.folder.parent)
    return recover(left)


@pytest.mark.parametrize("kind", ["wash", "lift", "water lift"])
def test_what_the_brush_laid_is_not_changed_by_how_it_dries(painted, kind):
    sitting, _ = painted
    region = stroke(sitting, (8, 8), (30, 20), kind=kind)
    laid = sitting.masks[region].copy()
    sitting.finish()
    stroke(sitting, (8, 20), (30, 8), kind=kind)
    sitting.finish()
    assert np.array_equal(sitting.masks[region], laid)


def test_a_deed_that_would_have_been_refused_is_all_that_is_lost(tmp_path):
    sitting = open_any(make_scene(tmp_path, BENCH))
    journal = Journal(sitting, tmp_path / "kept")
    region = stroke(sitting, (8, 8), (30, 20))
    sitting.finish()
    laid, steps = sitting.masks[region].copy(), sitting.scene.steps
    # a wash where no line of the sketch encloses anything: found out in the background
    nowhere = Region(enclosed_at_mm=((200.0, 200.0),))
    draft = drafting.with_region(sitting.draft, "nowhere", nowhere)
    sitting.settling.draft = drafting.with_step(draft, sitting.hand.step("a wash", "nowhere"))
    journal.write({})
    again = found(journal)
    assert again.scene.steps == steps
    assert np.array_equal(again.masks[region], laid)
    again.close()
    sitting.close()


def test_an_order_in_which_a_charge_cannot_be_laid_is_saved_so_that_it_opens(tmp_path):
    sitting = open_any(make_scene(tmp_path, BENCH))
    stroke(sitting, (24, 8), (31, 24))
    sitting.finish()
    before, last = sitting.draft, len(sitting.scene.steps) - 1
    # between a wash and what is charged into it while it is wet
    sitting.do("order", drafting.with_step_moved(before, last, 2))
    sitting.finish()
    save(sitting, tmp_path / "saved")
    again = open_any(tmp_path / "saved")
    assert [again.scene.steps[n].name for n in again.draft.aside] == ["bloom"]
    assert again.settling.left_out == ""
    sitting.take_back()
    sitting.finish()
    assert sitting.draft == before
    for one in (sitting, again):
        one.close()


def test_a_region_begun_anew_holds_nothing_of_an_older_one_of_its_name(tmp_path):
    home = make_scene(tmp_path, LIFTED)
    write_sketch(home / "sketch.png", (472, 380), 300)  # more than one square of the journal
    sitting = open_any(home)
    journal = Journal(sitting, tmp_path / "kept")
    region = stroke(sitting, (8, 8), (14, 8))
    file = journal.folder / sitting.scene.regions[region].mask
    file.parent.mkdir()
    file.write_bytes(mask_png(np.full(sitting.painting.shape, 65535, np.uint16)))
    again = found(journal)
    assert np.array_equal(again.masks[region], sitting.masks[region])
    again.close()
    sitting.close()


def test_versions_that_the_scene_came_with_are_found_with_it(tmp_path):
    first = open_any(make_scene(tmp_path, LIFTED))
    keep_version(first, "as it came")
    save(first, tmp_path / "scene")
    first.close()
    sitting = open_any(tmp_path / "scene")
    journal = Journal(sitting, tmp_path / "kept")
    stroke(sitting, (8, 8), (30, 20))
    again = found(journal)
    assert [version.name for version in again.versions] == ["as it came"]
    again.close()
    sitting.close()


def test_what_is_found_again_is_saved_where_it_was_without_being_asked(painted, tmp_path):
    sitting, journal = painted
    stroke(sitting, (8, 8), (30, 20))
    save(sitting, tmp_path / "scene")
    journal.saved()
    stroke(sitting, (8, 20), (30, 8))
    again = found(journal)
    assert again.home == tmp_path / "scene"
    save(again, again.home)  # nobody else has saved there
    again.close()


def test_a_sitting_left_at_any_byte_of_its_journal_holds_every_deed_but_the_last(tmp_path):
    ends, wrong = sitting_kills(12)
    assert wrong == []
    assert min(ends.values()) > 3


OPENED = """
import sys, time
from pathlib import Path
from viewer.core import drafting
from viewer.core.journal import Journal
from viewer.core.keep import open_any, save
home, kept, how = Path(sys.argv[1]), Path(sys.argv[2]), sys.argv[3]
sitting = open_any(home)
journal = Journal(sitting, kept)
if how != "nothing":
    sitting.do("aside", drafting.with_step_laid(sitting.draft, 0, False))
if how == "saved":
    save(sitting, home)
    journal.saved()
print("open", flush=True)
time.sleep(3600)
"""


@pytest.mark.parametrize(("how", "stays"), [("nothing", 0), ("saved", 0), ("painted", 1)])
def test_what_nobody_needs_of_a_killed_window_goes_at_the_next_start(
    how, stays, tmp_path, monkeypatch
):
    home, kept, temp = make_scene(tmp_path), tmp_path / "kept", tmp_path / "temp"
    temp.mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(temp))
    path = os.pathsep.join(filter(None, sys.path))
    run = subprocess.Popen(
        [sys.executable, "-c", OPENED, str(home), str(kept), how],
        env={**os.environ, "TMPDIR": str(temp), "PYTHONPATH": path},
        stdout=subprocess.PIPE,
        text=True,
    )
    assert run.stdout is not None
    assert run.stdout.readline() == "open\n"
    mine, other = folder_till_the_end(), temp / "glaze-of-somebody-else"
    other.mkdir()
    before = set(temp.iterdir())
    clear_away(kept)
    assert set(temp.iterdir()) == before  # its program still runs
    run.kill()
    run.communicate()
    clear_away(kept)
    assert set(temp.iterdir()) == {mine, other}
    assert len(list(kept.glob("*"))) == stays
    for left in left_behind(kept):
        recover(left).close()
        left.discard()
    assert not list(kept.glob("*"))
