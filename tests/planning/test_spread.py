"""Work spread over threads and over a cluster of two processes on this computer's own loopback."""

from __future__ import annotations

import json
import os
import signal
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from click.testing import CliRunner
from small_scenes import LIFTED, SMALL

from glaze.cli.main import glaze as command
from glaze.errors import InputError
from glaze.picture.cores import at_most, cores
from glaze.planning.many import spread
from glaze.planning.many.spread import Job, done
from glaze.planning.many.variants import vary
from glaze.scene.changed import ASIDE, Change
from glaze.scene.parcel import parcel_of

GO_ON = "go on"


def noted(
    scene: str, memory: Any, number: int, notes: str, seconds: float, held: bool = False
) -> tuple[int, int]:
    """Work that says where it is done, and takes its time, or waits until it may go on."""
    (Path(notes) / f"{number} {os.getpid()} {time.time_ns()}").touch()
    while held and not Path(notes, GO_ON).exists():
        time.sleep(0.02)
    time.sleep(seconds)
    if number < 0:
        raise InputError(f"{scene} can't be.")
    return number, cores()


# ---- threads of this computer


def test_jobs_come_back_in_their_order_and_one_that_cant_be_stops_no_other(tmp_path) -> None:
    jobs = [Job("a", (n, str(tmp_path), 0.05 * (n % 3))) for n in (5, 4, -1, 3)]
    shares: list[float] = []
    found = done(noted, jobs, progress=shares.append)
    assert [one if isinstance(one, InputError) else one[0] for one in found][:2] == [5, 4]
    assert isinstance(found[2], InputError)
    assert found[3][0] == 3
    assert sorted(shares) == pytest.approx([0.25, 0.5, 0.75, 1.0])


def test_a_job_takes_one_core_and_a_lone_one_all(tmp_path, monkeypatch) -> None:
    monkeypatch.setattr(spread, "cores", lambda: 4)
    many = done(noted, [Job(f"{n}", (n, str(tmp_path), 0.0)) for n in range(9)])
    assert {count for _, count in many} == {1}
    assert done(noted, [Job("a", (1, str(tmp_path), 0.0))]) == [(1, 4)]
    two = done(noted, [Job(f"{n}", (n, str(tmp_path), 0.0)) for n in range(2)])
    assert {count for _, count in two} == {2}


def test_the_rest_of_what_a_thread_starts_keeps_its_cores() -> None:
    with at_most(3):
        with at_most(1):
            assert cores() == 1
        assert cores() == 3
    assert cores() == len(os.sched_getaffinity(0))


def test_a_fault_of_ours_is_no_mistake_of_the_painters(tmp_path) -> None:
    with pytest.raises(TypeError):
        done(noted, [Job("a", (1,))])


def test_without_dask_a_cluster_says_what_to_install(monkeypatch) -> None:
    monkeypatch.setitem(sys.modules, "distributed", None)
    assert done(abs_of, [Job("a", (-3,))]) == [3]
    with pytest.raises(InputError, match=r"glaze-lift\[many\]"):
        done(abs_of, [Job("a", (-3,))], "tcp://127.0.0.1:8786")


def abs_of(_scene: str, _memory: Any, number: int) -> int:
    return abs(number)


def test_a_parcel_unpacks_to_the_same_scene(scene_folder, tmp_path) -> None:
    folder = scene_folder(LIFTED)
    packed = parcel_of(folder)
    assert [name for name, _ in packed.files] == ["scene.toml", "sketch.png"]
    there = packed.unpack(tmp_path)
    assert there.read_bytes() == (folder / "scene.toml").read_bytes()
    assert (tmp_path / "sketch.png").read_bytes() == (folder / "sketch.png").read_bytes()
    assert parcel_of(tmp_path).mark == packed.mark
    assert parcel_of(scene_folder(SMALL, "other")).mark != packed.mark


# ---- a cluster


@pytest.fixture(scope="module")
def cluster() -> Iterator[Any]:
    """Two processes with a thread each; what is in this file can be imported there."""
    distributed = pytest.importorskip("distributed", reason="wants the extra `many`")
    paths = [str(Path(__file__).parent), *filter(None, [os.environ.get("PYTHONPATH")])]
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("PYTHONPATH", os.pathsep.join(paths))
        with distributed.LocalCluster(
            n_workers=2, threads_per_worker=1, host="127.0.0.1", dashboard_address=None
        ) as made:
            yield made


def test_a_cluster_paints_the_same_numbers(cluster, scene_folder) -> None:
    folder = str(scene_folder(LIFTED))
    axes = [
        [Change("coats", n, "yellow") for n in (1, 2)],
        [Change(ASIDE, out, "light") for out in (False, True)],
    ]
    here = vary(folder, axes)
    there = vary(folder, axes, cluster.scheduler_address)
    for one, other in zip(here.each, there.each, strict=True):
        assert np.array_equal(one.seen.linear_rgb, other.seen.linear_rgb)
        assert one.as_dict == other.as_dict


def test_a_class_is_the_same_bytes_by_threads_and_by_a_cluster(cluster, scene_folder, tmp_path):
    (tmp_path / "class").mkdir()
    for name, text in (("class/one", LIFTED), ("class/two", SMALL), ("class/wrong", "format = 2")):
        scene_folder(text, name)
    found = {}
    for out, more in (("here", ()), ("there", ("--scheduler", cluster.scheduler_address))):
        words = ["preview", str(tmp_path / "class"), "-o", str(tmp_path / out), "--json", *more]
        run = CliRunner().invoke(command, words, catch_exceptions=False)
        assert run.exit_code == 2
        found[out] = json.loads(run.stdout.replace(f"/{out}/", "/out/"))
    assert found["here"] == found["there"]
    files = sorted(file.name for file in (tmp_path / "here").iterdir())
    assert files == ["contact sheet.pdf", "one.png", "two.png"]
    for name in files:
        both = [(tmp_path / out / name).read_bytes() for out in ("here", "there")]
        assert both[0] == both[1], name


def test_what_a_lost_worker_was_doing_is_done_again(cluster, scene_folder, tmp_path) -> None:
    """One of two processes is killed in the midst of its work."""
    folder, notes = str(scene_folder(SMALL)), tmp_path / "notes"
    notes.mkdir()
    killed: list[str] = []

    def kill_the_first() -> None:
        while not (begun := sorted(notes.iterdir(), key=lambda file: file.name.split()[2])):
            time.sleep(0.02)
        killed.append(begun[0].name)
        os.kill(int(begun[0].name.split()[1]), signal.SIGKILL)
        (notes / GO_ON).touch()

    killer = threading.Thread(target=kill_the_first)
    killer.start()
    jobs = [Job(folder, (n, str(notes), 0.0, True)) for n in range(8)]
    found = done(noted, jobs, cluster.scheduler_address)
    killer.join()
    assert [number for number, _ in found] == list(range(8))
    lost, pid, _ = killed[0].split()
    by = [file.name.split()[1] for file in notes.glob(f"{lost} *")]
    assert pid in by
    assert len(set(by)) == 2


def test_a_worker_with_another_model_is_told(cluster, scene_folder, monkeypatch) -> None:
    monkeypatch.setattr(spread, "model_hash", lambda: "another")
    with pytest.raises(InputError, match="another model"):
        done(abs_of, [Job(str(scene_folder(SMALL)), (-3,))], cluster.scheduler_address)


def test_mistakes_from_afar_name_the_painters_own_folder(cluster, scene_folder, tmp_path) -> None:
    folder = str(scene_folder(SMALL))
    (wrong,) = done(noted, [Job(folder, (-1, str(tmp_path), 0.0))], cluster.scheduler_address)
    assert wrong.problems == [f"{folder}/scene.toml can't be."]
