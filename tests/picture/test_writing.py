"""Files of one command are written together or not at all, and nothing of the painter's is lost."""

from __future__ import annotations

import errno
import os
import signal
import stat
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from glaze.errors import InputError
from glaze.picture.writing import make_folder, place_all, together, write_whole
from glaze.sketch.scan import read_scan


def content(folder: Path) -> dict[str, bytes]:
    """All that lies in a folder, hidden files among it."""
    return {file.name: file.read_bytes() for file in folder.rglob("*") if file.is_file()}


def glaze(*arguments: object) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "glaze", *map(str, arguments)]
    return subprocess.run(command, capture_output=True, text=True)


def test_files_written_together_appear_together(tmp_path):
    with together():
        lies = write_whole(tmp_path / "a.txt", b"a")
        write_whole(tmp_path / "b.txt", [b"b", b"b"])
        assert not (tmp_path / "a.txt").exists()
        assert lies.read_bytes() == b"a"
        place_all()
        assert content(tmp_path) == {"a.txt": b"a", "b.txt": b"bb"}


def test_what_was_placed_before_another_failed_is_as_it_was(tmp_path, monkeypatch):
    (tmp_path / "a.txt").write_bytes(b"mine")
    plain = os.replace

    def refuse(part, target):
        if Path(target).name == "c.txt":
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        plain(part, target)

    monkeypatch.setattr(os, "replace", refuse)
    with pytest.raises(OSError, match="No space left"), together():  # noqa: PT012
        for name in "abc":
            write_whole(tmp_path / f"{name}.txt", b"new")
    assert content(tmp_path) == {"a.txt": b"mine"}


def test_links_and_modes_stay(tmp_path):
    real = tmp_path / "real.txt"
    real.write_text("old")
    real.chmod(0o640)
    link = tmp_path / "link.txt"
    link.symlink_to(real)
    write_whole(link, b"new")
    assert link.is_symlink()
    assert real.read_text() == "new"
    assert stat.S_IMODE(real.stat().st_mode) == 0o640


def test_a_protected_file_and_what_is_no_file_stay(tmp_path):
    kept = tmp_path / "kept.txt"
    kept.write_text("mine")
    kept.chmod(0o444)
    with pytest.raises(InputError, match="protected"):
        write_whole(kept, b"new")
    assert kept.read_text() == "mine"
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(InputError, match="no plain file"):
        write_whole(tmp_path / "pipe", b"new")


def test_one_place_is_written_once(tmp_path):
    with pytest.raises(InputError, match="twice"), together():  # noqa: PT012
        write_whole(tmp_path / "a.txt", b"1")
        write_whole(tmp_path / "." / "a.txt", b"2")
    assert content(tmp_path) == {}


def test_what_a_command_has_read_is_never_written_over(tmp_path):
    scan = tmp_path / "scan.png"
    Image.fromarray(np.zeros((9, 9), np.uint8)).save(scan)
    before = content(tmp_path)
    (tmp_path / "same.png").symlink_to(scan)
    for name in ("scan.png", "same.png"):
        with pytest.raises(InputError, match="read by this command"), together(command=True):  # noqa: PT012
            read_scan(scan)
            write_whole(tmp_path / name, b"new")
    (tmp_path / "same.png").unlink()
    assert content(tmp_path) == before


def test_folders_that_were_made_go_again_when_it_fails(tmp_path):
    with pytest.raises(InputError), together():  # noqa: PT012
        make_folder(tmp_path / "a" / "b")
        write_whole(tmp_path / "a" / "b" / "c.txt", b"c")
        raise InputError("no")
    assert not list(tmp_path.iterdir())


DYING = """
import os, signal, sys
from pathlib import Path
from glaze.picture.writing import together, write_whole
with together():
    write_whole(Path(sys.argv[1]) / "a.txt", b"whole")
    write_whole(Path(sys.argv[1]) / "b.txt", iter([b"half", b"rest"]).__iter__())
    print("ready", flush=True)
    import time; time.sleep(3600)
"""


@pytest.mark.parametrize("stop", [signal.SIGKILL, signal.SIGTERM])
def test_a_killed_run_leaves_no_output_and_the_next_clears_its_litter(stop, tmp_path):
    run = subprocess.Popen([sys.executable, "-c", DYING, tmp_path], stdout=subprocess.PIPE)
    assert run.stdout is not None
    assert run.stdout.readline() == b"ready\n"
    write_whole(tmp_path / "other.txt", b"other")
    assert len(content(tmp_path)) == 3, "what a living run has staged was taken away"
    run.send_signal(stop)
    run.wait()
    run.stdout.close()
    write_whole(tmp_path / "other.txt", b"other")
    assert content(tmp_path) == {"other.txt": b"other"}


def test_a_command_that_is_stopped_says_so_and_leaves_nothing(scene_folder, tmp_path):
    out = tmp_path / "out"
    out.mkdir()
    command = [sys.executable, "-m", "glaze", "chart", "all", "-o", str(out / "pack.png")]
    run = subprocess.Popen(command, stderr=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
    while not content(out) and run.poll() is None:
        time.sleep(0.05)
    run.send_signal(signal.SIGTERM)
    told = run.communicate()
    assert run.returncode == 130, told
    assert "Stopped. Nothing was written." in told[1]
    assert content(out) == {}


def test_pages_that_nobody_named_are_not_written_over(tmp_path):
    mine = tmp_path / "w-2.svg"
    mine.write_bytes(b"my own drawing")
    done = glaze("chart", "wheel", "-o", tmp_path / "w.svg", "--segments", 6)
    assert done.returncode == 2
    assert "w-2.svg" in done.stderr
    assert content(tmp_path) == {"w-2.svg": b"my own drawing"}
    mine.unlink()
    for _ in range(2):  # a page of ours may be drawn again
        done = glaze("chart", "wheel", "-o", tmp_path / "w.svg", "--segments", 6)
        assert done.returncode == 0, done.stderr
    assert content(tmp_path).keys() == {"w.svg", "w-2.svg"}


def test_figures_beside_a_chart_do_not_replace_the_painters_own(tmp_path):
    (tmp_path / "painting.csv").write_text("my,own\n")
    done = glaze("chart", "lift", "-o", tmp_path / "painting.pdf")
    assert done.returncode == 2
    assert "painting.csv" in done.stderr
    assert content(tmp_path) == {"painting.csv": b"my,own\n"}


def test_a_mask_in_a_folder_of_the_scene_is_not_painted_over(scene_folder, tmp_path):
    scene = scene_folder()
    (scene / "masks").mkdir()
    Image.fromarray(np.full((190, 236), 255, np.uint8)).save(scene / "masks" / "m.png")
    text = (scene / "scene.toml").read_text()
    (scene / "scene.toml").write_text(text + '\n[region.m]\nmask = "masks/m.png"\n')
    before = content(scene)
    done = glaze("preview", scene, "-o", scene / "masks" / "m.png", "--scale", 0.2)
    assert done.returncode == 2, done.stderr
    assert content(scene) == before


def test_a_stop_while_a_file_is_placed_leaves_nothing_to_place_again(tmp_path, monkeypatch):
    out, moved = tmp_path / "live.png", os.replace

    def stopped(*places):
        moved(*places)
        signal.raise_signal(signal.SIGINT)

    monkeypatch.setattr(os, "replace", stopped)
    with together(command=True):  # as a watched scene is stopped, and told how often it was painted
        write_whole(out, b"painted")
        with pytest.raises(KeyboardInterrupt):
            place_all()
    assert out.read_bytes() == b"painted"
    assert os.listdir(tmp_path) == ["live.png"]


OUTPUTS = {
    "swatches": ["papers", "-o", "mine.png"],
    "swatches as a TIFF": ["papers", "-o", "mine.tif"],
    "a sheet": ["chart", "ladder", "--of", "Blue", "-o", "mine.svg"],
    "pages": ["chart", "ladder", "--of", "Blue", "-o", "mine.pdf"],
    "a page of pixels": ["chart", "ladder", "--of", "Blue", "--dpi", "20", "-o", "mine.png"],
    "figures": ["chart", "lift", "-o", "chart.svg", "--csv", "mine.csv"],
    "a scene painted": ["preview", "SCENE", "-o", "mine.png"],
    "a scene painted as a TIFF": ["preview", "SCENE", "-o", "mine.tif"],
    "a page for a screen": ["plan", "SCENE", "--page", "mine.html"],
    "a card": ["plan", "SCENE", "--card", "mine.pdf"],
    "areas": ["areas", "SCENE", "-o", "mine.png"],
}


@pytest.mark.parametrize("line", OUTPUTS.values(), ids=OUTPUTS)
def test_what_glaze_did_not_write_is_not_replaced_and_what_it_did_is(
    line, scene_folder, tmp_path, monkeypatch
):
    """Also where the painter has named it: a scan of that name may be the only one."""
    from glaze.cli.main import glaze as commands

    monkeypatch.chdir(tmp_path)
    line = [str(scene_folder()) if word == "SCENE" else word for word in line]
    (mine,) = (tmp_path / word for word in line if word.startswith("mine."))

    def run() -> None:
        with together(command=True):
            commands.main(line, standalone_mode=False)

    mine.write_bytes(b"a scan, a letter, a table")
    with pytest.raises(InputError, match="stays as it is"):
        run()
    assert mine.read_bytes() == b"a scan, a letter, a table"
    mine.write_bytes(b"")  # as `mktemp` leaves it: nothing is lost
    run()
    first = mine.read_bytes()
    assert len(first) > 100
    mine.write_bytes(first + b"\n")
    run()
    assert mine.read_bytes() == first


def test_a_command_leaves_another_programs_picture_and_a_script_replaces_what_it_names(tmp_path):
    """Also where nothing looked at the place before the work."""
    picture = tmp_path / "mine.png"
    Image.fromarray(np.zeros((9, 9), np.uint8)).save(picture)
    before = content(tmp_path)
    with pytest.raises(InputError, match="only what glaze itself wrote"), together(command=True):
        write_whole(picture, b"new")
    assert content(tmp_path) == before
    write_whole(picture, b"new")
    assert picture.read_bytes() == b"new"


def test_a_link_to_itself_stays_and_one_to_nothing_is_followed(tmp_path):
    (tmp_path / "loop.txt").symlink_to("loop.txt")
    with pytest.raises(InputError, match="leads back to itself"), together(command=True):
        write_whole(tmp_path / "loop.txt", b"new")
    assert (tmp_path / "loop.txt").is_symlink()
    (tmp_path / "link.txt").symlink_to("there.txt")
    write_whole(tmp_path / "link.txt", b"new")
    assert (tmp_path / "link.txt").is_symlink()
    assert (tmp_path / "there.txt").read_bytes() == b"new"
