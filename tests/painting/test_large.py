"""Pictures painted on disk: the numbers of the picture in memory, gone on with after a kill."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from contextlib import suppress
from pathlib import Path

import numpy as np
import pytest
import tifffile
from click.testing import CliRunner
from PIL import Image
from scipy.ndimage import zoom

from glaze.__main__ import _stopped
from glaze.cli.scene_commands import preview
from glaze.errors import InputError
from glaze.painting import budget
from glaze.painting.large import paint_large
from glaze.painting.settle import resolve
from glaze.picture import unfinished
from glaze.picture.on_disk import fields_on_disk, filled_field
from glaze.picture.resized import enlarged
from glaze.picture.tiles import KeptTiles, packed
from glaze.pipeline import render
from glaze.scene.examples import copy_example
from glaze.scene.file import load_scene
from glaze.sheet.field import zero_field
from glaze.sheet.rect import Rect
from glaze.sketch.scan import too_large
from tests.bench.large import made

RUN = """
import os, signal, sys
from pathlib import Path
from glaze.painting.large import paint_large
from glaze.scene.file import load_scene
def stop(share):
    if share >= float(sys.argv[3]):
        os.kill(os.getpid(), signal.SIGKILL)
paint_large(load_scene(sys.argv[1]), Path(sys.argv[2]), progress=stop, least_bytes=0)
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """A6 at 120 dpi, invented: washes over all, areas and soft shapes, graded; a lift, water."""
    return made(tmp_path_factory.mktemp("large") / "scene", (105, 148), 120, 8)


@pytest.fixture(scope="module")
def whole_picture(folder):
    return render(resolve(load_scene(folder)), bits=16).rgb


def killed_at(share: float, folder: Path, out: Path) -> None:
    """A run that is killed once so much is done."""
    command = [sys.executable, "-c", RUN, str(folder), str(out), str(share)]
    assert subprocess.run(command).returncode == -signal.SIGKILL


def test_an_a6_painted_on_disk_is_the_picture_in_memory(folder, whole_picture, tmp_path):
    out = tmp_path / "large.tif"
    painting, written = paint_large(load_scene(folder), out, lambda _: "told", least_bytes=0)
    assert all(step.film.flags.owndata is False for step in painting.steps)
    with tifffile.TiffFile(out) as file:
        page = file.pages.first
        assert file.is_bigtiff
        assert page.is_tiled
        assert (page.tilelength, page.tilewidth) == (256, 256)
        assert page.description == "told"
        np.testing.assert_array_equal(page.asarray(), whole_picture)
    assert written.shape == whole_picture.shape[:2]
    with Image.open(out) as opened:  # another reader
        assert opened.size == whole_picture.shape[1::-1]
        assert opened.info["dpi"] == pytest.approx((120, 120))
        assert opened.info["icc_profile"]
    assert [file.name for file in tmp_path.iterdir()] == ["large.tif"]


def test_what_is_charged_wet_is_the_same_on_disk(tmp_path):
    storm = load_scene(copy_example("storm", tmp_path / "storm"))
    out = tmp_path / "large.tif"
    paint_large(storm, out, bits=8, scale=0.2, least_bytes=0)
    # settled on the picture's own pixels, as a picture of a tenth is on a fifth
    same = render(resolve(storm, scale=0.1), scale=0.2)
    np.testing.assert_array_equal(tifffile.imread(out), same.rgb)


def test_a_part_is_that_part_of_the_whole(folder, whole_picture, tmp_path):
    out, part = tmp_path / "part.tif", Rect(37, 101, 500, 420)
    paint_large(load_scene(folder), out, part=lambda _: part, least_bytes=0)
    np.testing.assert_array_equal(tifffile.imread(out), whole_picture[part.slices])


@pytest.mark.parametrize("share", [0.3, 0.8])
def test_a_killed_run_is_gone_on_with(folder, whole_picture, tmp_path, share):
    out = tmp_path / "large.tif"
    killed_at(share, folder, out)
    assert not out.exists()
    (kept,) = tmp_path.glob(".large.tif.*.unfinished")
    fields = {file.name: file.stat().st_ino for file in kept.glob("*.field")}
    assert list(kept.glob("*.kept"))
    seen: dict[str, int] = {}

    def look(done: float) -> None:
        for file in kept.glob("*.field"):
            with suppress(FileNotFoundError):  # a field that is done with goes at any moment
                seen[file.name] = file.stat().st_ino

    _, written = paint_large(load_scene(folder), out, progress=look, least_bytes=0)
    assert set(fields.items()) & set(seen.items())  # films that were settled before the kill
    assert (written.gone_on_with > 0) == (share > 0.5)
    np.testing.assert_array_equal(tifffile.imread(out), whole_picture)
    assert [file.name for file in tmp_path.iterdir()] == ["large.tif"]


def test_another_scene_goes_on_with_nothing_and_clears_it(folder, tmp_path):
    out, scene = tmp_path / "large.tif", load_scene(folder)
    killed_at(0.8, folder, out)
    other = scene.model_copy(update={"seed": 5})
    _, written = paint_large(other, out, least_bytes=0)
    assert written.gone_on_with == 0
    np.testing.assert_array_equal(tifffile.imread(out), render(resolve(other), bits=16).rgb)
    assert [file.name for file in tmp_path.iterdir()] == ["large.tif"]


def test_a_sketch_that_changed_goes_on_with_nothing(tmp_path):
    home, out = made(tmp_path / "scene", (60, 60), 100, 3), tmp_path / "large.tif"
    killed_at(0.9, home, out)
    with Image.open(home / "sketch.png") as image:
        image.transpose(Image.Transpose.ROTATE_90).save(home / "sketch.png", dpi=(100, 100))
    _, written = paint_large(load_scene(home), out, least_bytes=0)
    assert written.gone_on_with == 0


def test_ctrl_c_keeps_what_is_painted_and_a_fault_keeps_nothing(folder, tmp_path, monkeypatch):
    out, scene = tmp_path / "large.tif", load_scene(folder)
    monkeypatch.setattr(unfinished, "left", [])

    def stop(error: BaseException):
        def at(share: float) -> None:
            if share > 0.9:
                raise error

        return at

    with pytest.raises(KeyboardInterrupt):
        paint_large(scene, out, progress=stop(KeyboardInterrupt()), least_bytes=0)
    assert unfinished.left == list(tmp_path.iterdir())
    with pytest.raises(OSError, match="no room"):
        paint_large(scene, out, progress=stop(OSError("no room")), least_bytes=0)
    assert list(tmp_path.iterdir()) == []


def test_two_runs_at_one_picture_don_t_mix(folder, tmp_path):
    out, scene = tmp_path / "large.tif", load_scene(folder)

    def again(share: float) -> None:
        paint_large(scene, out, least_bytes=0)

    with pytest.raises(InputError, match="being painted by another run"):
        paint_large(scene, out, progress=again, least_bytes=0)


def test_a_tile_that_isn_t_whole_is_painted_again(tmp_path):
    tiles = KeptTiles(tmp_path / "a.tiles")
    for n in range(3):
        tiles.add(packed(np.full((7, 9, 3), n, np.uint16)), n)
    tiles.close()
    content = (tmp_path / "a.tiles").read_bytes()
    (tmp_path / "a.tiles").write_bytes(content[:-1])
    again = KeptTiles(tmp_path / "a.tiles")
    assert (again.count, again.mapped, len(list(again))) == (2, 1, 2)
    again.add(packed(np.full((7, 9, 3), 2, np.uint16)), 2)
    again.close()
    assert (tmp_path / "a.tiles").read_bytes() == content


def test_a_disk_or_memory_without_room_is_told_before_the_work(folder, tmp_path, monkeypatch):
    scene = load_scene(folder)

    class Full:
        free = 1000

    monkeypatch.setattr(budget.shutil, "disk_usage", lambda _: Full)
    with pytest.raises(InputError, match=r"on the disk; there are 0\.0.*lower dpi: \d+ fits"):
        paint_large(scene, tmp_path / "large.tif")
    monkeypatch.undo()
    monkeypatch.setattr(budget, "machine_bytes", lambda: 1e9)
    with pytest.raises(InputError, match=r"GB of memory; there are 0\.9"):
        paint_large(scene, tmp_path / "large.tif")
    assert list(tmp_path.iterdir()) == []


def test_fields_lie_in_files_that_go_with_them(tmp_path):
    with fields_on_disk(tmp_path, least_bytes=1000):
        small, large = zero_field((10, 10)), filled_field((40, 50, 2), np.float32)
        assert not large.any()
        large[3] = 2.5
        assert len(list(tmp_path.glob("*.field"))) == 1
        assert small.size == 100
        del large
        assert not list(tmp_path.iterdir())
    assert zero_field((40, 50)).size == 2000
    assert not list(tmp_path.iterdir())


def test_what_is_kept_is_what_a_later_run_finds(tmp_path):
    with fields_on_disk(tmp_path, least_bytes=0) as disk:
        film, rim = zero_field((30, 40)), zero_field((30, 40), np.int16)
        film[:], rim[:] = 7, -7
        disk.keep("a wash", (film, rim))
        disk.keep("a dose", film[:])
        disk.keep("something in memory", np.zeros(9))
        unkept = zero_field((30, 40))
        unkept[:] = 1
    del film, rim
    with fields_on_disk(tmp_path, least_bytes=0) as disk:
        assert disk.kept("something in memory") is None
        film, rim = disk.kept("a wash")
        assert (film == 7).all()
        assert (rim == -7).all()
        assert rim.dtype == np.int16


def test_a_field_that_stayed_in_memory_isn_t_kept(tmp_path):
    with fields_on_disk(tmp_path, least_bytes=5000) as disk:
        large, small = zero_field((60, 60)), zero_field((30, 40))
        disk.keep("both", (large, small))
        disk.keep("small", small)
        disk.keep("no field at all", "words")
        assert disk.kept("both") is disk.kept("small") is disk.kept("no field at all") is None


def test_two_threads_may_keep_the_same_at_once(tmp_path, monkeypatch):
    with fields_on_disk(tmp_path, least_bytes=0) as disk:
        one, other = zero_field((30, 40)), zero_field((30, 40))
        one[:], other[:] = 3, 3
        plain = os.replace

        def meanwhile(new, record):
            monkeypatch.setattr(os, "replace", plain)
            disk.keep("tooth", other)
            plain(new, record)

        monkeypatch.setattr(os, "replace", meanwhile)
        disk.keep("tooth", one)
    with fields_on_disk(tmp_path, least_bytes=0) as disk:
        assert (disk.kept("tooth") == 3).all()


def test_a_full_disk_is_an_error_and_not_the_end_of_the_program(tmp_path, monkeypatch):
    if not hasattr(os, "posix_fallocate"):
        pytest.skip("this system can't set room aside")

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "posix_fallocate", full)
    with fields_on_disk(tmp_path, least_bytes=0), pytest.raises(OSError, match="No space"):
        zero_field((30, 40))


def test_more_pixels_are_read_between_those_there_are():
    """Keys (1981), cubic convolution, p. 1155: with a = -1/2 it
    gives back any parabola, away from the edges."""
    x = (np.arange(20) + 0.5) / 20
    parabola = 0.2 + 0.5 * x * x
    fine = (np.arange(70) + 0.5) / 70
    found = enlarged(np.broadcast_to(parabola, (9, 20)), (30, 70))
    assert found.shape == (30, 70)
    np.testing.assert_allclose(found[15, 8:-8], (0.2 + 0.5 * fine * fine)[8:-8], atol=1e-6)
    # a step: no share below 0 or above 1, and its middle stays where it was (scipy's cubic spline)
    step = np.repeat([[0.0, 1.0]], 10, axis=1).repeat(6, axis=0)
    found = enlarged(step, (6, 80))
    assert 0.0 <= found.min() <= found.max() <= 1.0
    spline = zoom(step, (1, 4), order=3, mode="nearest", grid_mode=True)
    assert abs(int((found[3] > 0.5).sum()) - int((spline[3] > 0.5).sum())) <= 1


def test_a_larger_picture_of_a_sketch_keeps_its_size_and_its_areas(folder, tmp_path):
    scene, out = load_scene(folder), tmp_path / "large.tif"
    painting, written = paint_large(scene, out, bits=8, scale=2.5, least_bytes=0)
    plain = resolve(scene)
    assert written.dpi == 300
    assert painting.size_mm == pytest.approx(plain.size_mm, abs=0.05)  # half a pixel
    assert painting.notes == plain.notes
    for fine, coarse in zip(painting.steps, plain.steps, strict=True):
        share = np.mean(fine.coverage / 65535)
        assert share == pytest.approx(np.mean(coarse.coverage / 65535), abs=0.003)


def test_preview_paints_what_is_large_on_disk_and_says_so(folder, tmp_path, monkeypatch):
    monkeypatch.setattr(budget, "LARGE_FROM", 1e4)
    out = tmp_path / "large.tif"
    told = CliRunner().invoke(preview, [str(folder), "-o", str(out), "--dpi", "60", "--json"])
    assert told.exit_code == 0, told.output
    assert json.loads(told.stdout)["pixels"] == [248, 350]
    with tifffile.TiffFile(out) as file:
        assert file.is_bigtiff
        assert "Many steps on a large sheet" in file.pages.first.description
    usual = tmp_path / "usual.png"  # a PNG isn't
    told = CliRunner().invoke(preview, [str(folder), "-o", str(usual), "--dpi", "60"])
    assert told.exit_code == 0, told.output
    assert f"{usual}: 248 x 350 px at 60 dpi" in told.output


@pytest.mark.parametrize(
    ("options", "words"),
    [(["--dpi", "9000"], "1 to 2400"), (["--dpi", "60", "--scale", "2"], "leave one out")],
)
def test_dots_that_no_picture_has_are_told(folder, tmp_path, options, words):
    told = CliRunner().invoke(preview, [str(folder), "-o", str(tmp_path / "a.tif"), *options])
    assert words in str(told.exception)
    assert list(tmp_path.iterdir()) == []


def test_a_stop_says_where_the_work_is_kept(folder, tmp_path, monkeypatch):
    monkeypatch.setattr(unfinished, "left", [tmp_path])
    assert f'kept in "{tmp_path}": the same command goes on from there' in _stopped()


def test_limits_of_pixels_are_the_disk_s_where_it_is_painted_on(tmp_path):
    assert too_large((30_001, 10))
    assert too_large((14_000, 14_000))
    with fields_on_disk(tmp_path):
        assert not too_large((14_043, 19_866))  # A1 at 600 dpi
        assert too_large((50_000, 50_000))
