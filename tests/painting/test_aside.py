"""What the first run has compiled in a second process, and how the two share the work."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest
from click.testing import CliRunner

from glaze.cli.main import glaze
from glaze.painting import aside
from glaze.painting.settle import resolve
from glaze.scene.file import load_scene
from glaze.sheet.kernel import kernel
from glaze.sheet.shared_work import SharedWork

SCENES = Path(__file__).resolve().parents[2] / "scenes"


def test_what_another_process_is_at_is_waited_for_and_found():
    work, told, found = SharedWork(), threading.Event(), []
    assert not work.begin("dry"), "nobody is at it"

    def lines():
        yield "begun dry\n"
        told.set()
        assert waiting.wait(10)
        yield "ended dry\n"

    waiting = threading.Event()
    other = threading.Thread(target=work.listen, args=(lines(),))
    other.start()
    assert told.wait(10)
    first = threading.Thread(target=lambda: found.append(work.begin("dry")))
    first.start()
    first.join(0.2)
    assert not found, "it didn't wait"
    waiting.set()
    first.join(10)
    other.join(10)
    assert found == [True]
    assert not work.begin("lift")


def test_a_process_that_is_killed_holds_nothing_up():
    work = SharedWork()
    work.listen(["begun dry\n"])
    assert work.begin("dry"), "looked for once more, and compiled here if it isn't there"


@pytest.mark.parametrize("name", ["huts", "ferry"])
def test_each_scene_can_be_painted_small_with_all_that_is_not_charged(name):
    scene = load_scene(SCENES / name)
    wanted = [step.name for step in scene.steps if step.joins is None]
    painting = resolve(aside.small(scene), even=True)
    assert [layer.step.name for layer in painting.steps] == wanted
    assert max(painting.shape) < 40
    # as many columns as in the picture, or its kernels would be others
    assert painting.table.dyes == resolve(scene, scale=0.05).table.dyes


def test_the_second_process_ends_well_and_tells_what_it_compiles(monkeypatch):
    monkeypatch.setattr(aside, "compiled_before", lambda: False)
    monkeypatch.setattr(aside, "cores", lambda: 2)
    heard = []
    monkeypatch.setattr(aside.KERNELS, "listen", lambda lines: heard.extend(lines))
    other = aside.compile_aside(load_scene(SCENES / "lighthouse"))
    assert other is not None
    assert other.wait(240) == 0
    assert all(line.split()[0] in ("begun", "ended") for line in heard)


def test_nothing_is_started_once_kernels_are_kept_or_for_one_core(monkeypatch):
    monkeypatch.setattr(aside.subprocess, "Popen", lambda *asked, **how: pytest.fail("started"))
    scene = load_scene(SCENES / "lighthouse")
    monkeypatch.setattr(aside, "cores", lambda: 1)
    monkeypatch.setattr(aside, "compiled_before", lambda: False)
    assert aside.compile_aside(scene) is None
    monkeypatch.setattr(aside, "cores", lambda: 2)
    monkeypatch.setattr(aside, "compiled_before", lambda: True)
    assert aside.compile_aside(scene) is None


def test_preview_says_that_it_compiles_as_it_reads_the_sketch(monkeypatch, tmp_path):
    """What takes long at the first run is there, before anything is painted."""
    begun = []
    monkeypatch.setattr("glaze.sheet.kernel.compiled_before", lambda: False)
    monkeypatch.setattr(aside, "compile_aside", lambda scene: begun.append(scene.title))
    asked = [
        "preview",
        str(SCENES / "lighthouse"),
        "--scale",
        "0.05",
        "-o",
        str(tmp_path / "p.png"),
    ]
    assert CliRunner().invoke(glaze, asked).exit_code == 0
    assert begun == [load_scene(SCENES / "lighthouse").title]


def test_a_kernel_says_when_it_begins_and_ends(monkeypatch, tmp_path):
    lines = []
    monkeypatch.setattr("glaze.sheet.kernel.kept_in", lambda *of: tmp_path)
    monkeypatch.setattr(SharedWork, "_tell", lambda self, what, name: lines.append(what))

    @kernel()
    def doubled(x):  # type: ignore[no-untyped-def]
        return 2 * x

    assert doubled(21) == 42
    assert lines == ["begun", "ended"]
