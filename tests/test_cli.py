"""The command line as a user meets it: pictures, messages, exit codes."""

from __future__ import annotations

import contextlib
import io
import json
import os
import re
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from types import SimpleNamespace

import pytest
from PIL import Image
from small_scenes import LIFTED, SMALL

from glaze import __main__
from glaze.__main__ import _leave, _tell
from glaze.materials.bleach import CAUTION_LINE


def run(*arguments: str | Path, cwd: Path | None = None) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "glaze", *map(str, arguments)],
        capture_output=True,
        text=True,
        cwd=cwd,
        check=False,
        env=os.environ | {"PYTHONWARNINGS": "error"},
    )


Asked = Callable[..., SimpleNamespace]


@pytest.fixture
def ask(monkeypatch: pytest.MonkeyPatch) -> Asked:
    """`run` in this process, to its end: most of a process of its own is its start."""
    for name in ("gc.set_threshold", "signal.signal"):  # what a process does to itself
        monkeypatch.setattr(name, lambda *_: None)
    monkeypatch.setattr(__main__, "_leave", sys.exit)

    def asked(*arguments: str | Path, cwd: Path | None = None) -> SimpleNamespace:
        monkeypatch.setattr(sys, "argv", ["glaze", *map(str, arguments)])
        if cwd is not None:
            monkeypatch.chdir(cwd)
        told, wrong = io.StringIO(), io.StringIO()
        streams = contextlib.redirect_stdout(told), contextlib.redirect_stderr(wrong)
        with streams[0], streams[1], pytest.raises(SystemExit) as ended:
            __main__.main()
        return SimpleNamespace(
            returncode=ended.value.code, stdout=told.getvalue(), stderr=wrong.getvalue()
        )

    return asked


def test_a_command_waits_for_who_is_at_work_and_for_no_helper(monkeypatch):
    """A daemon ends with its program, any other thread is waited for (Python's threading)."""
    ended = []
    main = threading.main_thread()
    monkeypatch.setattr("atexit._run_exitfuncs", lambda: None)
    monkeypatch.setattr("os._exit", lambda code: ended.append(code))
    for daemon, left in ((True, [7]), (False, [])):
        ended.clear()
        other = threading.Thread(daemon=daemon)
        monkeypatch.setattr("threading.enumerate", lambda other=other: [main, other])
        with contextlib.suppress(SystemExit):
            _leave(7)
        assert ended == left


def test_preview_writes_a_picture_of_true_size_with_its_recipe(scene_folder, tmp_path):
    out = tmp_path / "out.png"
    done = run("preview", scene_folder(), "-o", out)
    assert done.returncode == 0, done.stderr
    with Image.open(out) as picture:
        assert picture.size == (236, 190)
        assert picture.info["dpi"] == pytest.approx((150, 150), abs=0.05)
        assert 'mix = "Black 1 + water 3"' in picture.text["glaze:scene"]
        assert "icc_profile" in picture.info


def test_preview_shows_the_caution_where_bleach_is_planned(scene_folder, tmp_path, ask):
    done = ask("preview", scene_folder(LIFTED), "-o", tmp_path / "out.png")
    assert CAUTION_LINE in done.stdout
    plain = ask("preview", scene_folder(SMALL, "plain"), "-o", tmp_path / "out.png")
    assert CAUTION_LINE not in plain.stdout


def test_preview_prints_one_json_object_and_nothing_else(scene_folder, tmp_path, ask):
    done = ask("preview", scene_folder(LIFTED), "-o", tmp_path / "out.tif", "--json")
    told = json.loads(done.stdout)
    assert told["pixels"] == [236, 190]
    assert told["steps"] == ["yellow", "shadow", "light", "over it"]
    assert [colour["step"] for colour in told["colours"]] == told["steps"]
    for colour in told["colours"]:
        assert colour["band"]["low"] <= colour["value"] <= colour["band"]["high"]
        assert colour["band"]["standing"] == "assumed"
        assert "not how far" in colour["promise"]


def test_the_same_command_writes_the_same_bytes(scene_folder, tmp_path):
    scene = scene_folder(LIFTED)
    for name in ("one.png", "other.png"):
        assert run("preview", scene, "-o", tmp_path / name).returncode == 0
    assert (tmp_path / "one.png").read_bytes() == (tmp_path / "other.png").read_bytes()


def test_a_crop_and_a_scale_give_that_part(scene_folder, tmp_path, ask):
    out = tmp_path / "part.png"
    done = ask("preview", scene_folder(), "-o", out, "--crop", "10,10,20,10", "--scale", "0.5")
    assert done.returncode == 0, done.stderr
    with Image.open(out) as picture:
        assert picture.size == pytest.approx((59, 30), abs=1)


BAD = {
    "no scene": (["preview", "nowhere", "-o", "out.png"], "nowhere"),
    "no such ending": (["preview", "scene", "-o", "out.xyz"], ".png"),
    "no such folder": (["preview", "scene", "-o", "there/out.png"], "there"),
    "no such light": (["preview", "scene", "-o", "out.png", "--light", "D66"], "D65"),
    "no such view": (["preview", "scene", "-o", "out.png", "--view", "negative"], "before-after"),
    "scale of nothing": (["preview", "scene", "-o", "out.png", "--scale", "0"], "scale"),
    "next to nothing": (["preview", "scene", "-o", "out.png", "--scale", "1e-320"], "0.001 to 100"),
    "crop beside the sheet": (["preview", "scene", "-o", "out.png", "--crop", "500,0,9,9"], "40 x"),
    "crop of three": (["preview", "scene", "-o", "out.png", "--crop", "1,2,3"], "four numbers"),
    "over the sketch": (["preview", "scene", "-o", "scene/sketch.png"], "never overwritten"),
    "no such command": (["paint", "scene"], "preview"),
    "no such example": (["example", "windmill"], "windmill"),
}


@pytest.mark.parametrize(("arguments", "told"), BAD.values(), ids=BAD.keys())
def test_a_mistake_is_told_in_words_and_nothing_is_written(
    scene_folder, tmp_path, arguments, told, ask
):
    scene_folder()
    before = {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}
    done = ask(*arguments, cwd=tmp_path)
    assert done.returncode == 2
    assert told in done.stderr
    assert "Traceback" not in done.stderr
    assert len(done.stderr.strip().splitlines()) <= 5
    assert {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()} == before


def test_all_mistakes_of_a_scene_are_told_at_once(scene_folder, tmp_path, ask):
    wrong = (
        SMALL.replace("Yellow 3", "Yelow 3").replace(
            '"right"\ngraded', '"rihgt"\ncoats = 0\ngraded'
        )
        + "\n[bleach]\npercent = 12\n"
    )
    done = ask("check", scene_folder(wrong))
    assert done.returncode == 2
    for told in ("Yellow", "rihgt", "coats", "percent"):
        assert told in done.stderr
    assert done.stderr.count("scene.toml") >= 4


def test_check_says_that_a_scene_can_be_painted(scene_folder, ask):
    done = ask("check", scene_folder())
    assert done.returncode == 0
    assert "40 x 32 mm" in done.stdout
    assert json.loads(ask("check", scene_folder(name="b"), "--json").stdout)["good"] is True


def test_new_starts_a_scene_that_can_be_painted(scene_folder, tmp_path, ask):
    sketch = scene_folder() / "sketch.png"
    kept = sketch.read_bytes()
    done = ask("new", sketch, "-o", tmp_path / "mine")
    assert done.returncode == 0, done.stderr
    assert ask("preview", tmp_path / "mine", "-o", tmp_path / "mine.png").returncode == 0
    assert sketch.read_bytes() == kept
    again = ask("new", sketch, "-o", tmp_path / "mine")
    assert again.returncode == 2


@pytest.mark.parametrize("command", ["inks", "papers"])
def test_lists_are_for_people_and_for_programs(command, tmp_path, ask):
    done = ask(command)
    assert done.returncode == 0, done.stderr
    assert json.loads(ask(command, "--json").stdout)[command]
    picture = tmp_path / "swatches.png"
    assert ask(command, "-o", picture).returncode == 0
    with Image.open(picture) as image:
        assert image.width > 1000


def test_what_could_command_a_terminal_is_shown_and_not_obeyed(capsys):
    # ECMA-48: ESC ] opens a command to the terminal, BEL ends it; RFC 8259 writes both with \u
    _tell(['No ink is called "a\x1b]0;mine\x07b\u202e".'])
    told = capsys.readouterr().err
    assert told == 'No ink is called "a\\u001b]0;mine\\u0007b\\u202e".\n'


def test_of_many_mistakes_forty_are_told_and_the_rest_counted(capsys):
    _tell([f"mistake {n}" for n in range(1, 46)])
    told = capsys.readouterr().err.splitlines()
    assert told == [*(f"mistake {n}" for n in range(1, 41)), "and 5 more."]


def test_our_own_fault_is_one_sentence_and_its_traceback_lies_in_a_file(tmp_path):
    code = "from glaze import __main__, cli\nimport glaze.cli.main as m\n"
    code += "m.glaze.main = lambda **kw: 1 / 0\n__main__.main()"
    env = os.environ | {"XDG_STATE_HOME": str(tmp_path)}
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, env=env)
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
    assert len(done.stderr.splitlines()) == 1
    assert "fault of ours" in done.stderr
    assert "report" in done.stderr
    (log,) = (file for file in tmp_path.rglob("*") if file.is_file())
    assert str(log) in done.stderr
    assert "ZeroDivisionError: division by zero" in log.read_text()


def test_a_picture_never_replaces_the_sketch_or_mask_of_any_scene(scene_folder, tmp_path, ask):
    other = tmp_path / "other"
    other.mkdir()
    (other / "scene.toml").write_text('sketch = "mine.png"', encoding="utf-8")
    (other / "mine.png").write_bytes(b"mine")
    done = ask("preview", scene_folder(), "-o", other / "mine.png")
    assert done.returncode == 2
    assert "belongs to the scene" in done.stderr
    assert (other / "mine.png").read_bytes() == b"mine"


@pytest.mark.parametrize(
    "line",
    [
        ["preview", "SCENE", "-o", "n" * 300 + ".png"],
        ["preview", "SCENE", "-o", "a.png", "--crop", "nan,0,10,10"],
        ["preview", "SCENE", "-o", "a.png", "--crop", "0,0,inf,10"],
        ["name", "Blue", "--drops", "0"],
        ["chart", "ladder", "-o", "a.png", "--dpi", "1e8"],
        ["chart", "ladder", "-o", "a.png", "--dpi", "nan"],
        ["wet", ""],
        ["new", "photo.png", "--size", "210"],
        *(
            ["preview", "SCENE", "-o", "a.png", "--scale", odd]
            for odd in ("1,5", "", "nan", "half")
        ),
        *(["preview", "SCENE", "-o", "a.png", "--hands", odd] for odd in ("12", "2.5", "9" * 5000)),
        ["bottles", "choose", "few"],
    ],
    ids=lambda line: f"{line[0]} {line[-1][:12]}",
)
def test_what_no_one_can_mean_is_told_in_a_line_or_two(line, scene_folder, tmp_path, ask):
    scene = str(scene_folder())
    before = sorted(path.name for path in tmp_path.iterdir())
    done = ask(*(scene if part == "SCENE" else part for part in line), cwd=tmp_path)
    assert done.returncode == 2
    assert 1 <= len(done.stderr.strip().splitlines()) <= 2
    assert not re.search(r"\bfloat|integer|<=|valid", done.stderr), done.stderr
    assert sorted(path.name for path in tmp_path.iterdir()) == before


def test_a_number_with_a_comma_is_told_as_it_is_meant(ask):
    done = ask("preview", "nowhere", "-o", "a.png", "--scale", " 1,5")
    assert done.stderr == '--scale " 1,5": write a number, as 1.5.\n'
    done = ask("shadow", "nowhere", "--region", "a", "--darker", "2", "--take", "4")
    assert done.stderr == '--take "4": write a whole number, 1 to 3.\n'


@pytest.mark.parametrize(("line", "code"), [("wet Blue --palette no.toml", 2), ("wet Blue", 0)])
def test_with_nowhere_to_tell_it_the_code_still_says_how_it_ended(line, code):
    """Both streams are closed, as under a service that keeps no log."""
    closed = "import os, sys; os.close(1); os.close(2); os.execv(sys.executable, sys.argv[1:])"
    words = [sys.executable, "-c", closed, sys.executable, "-m", "glaze", *line.split()]
    assert subprocess.run(words, check=False).returncode == code


@pytest.mark.parametrize("group", [[], ["chart"], ["bottles"]])
def test_a_group_of_commands_alone_is_its_help_once(group):
    done, asked = run(*group), run(*group, "--help")
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout == asked.stdout


def test_a_glaze_for_the_room_left_may_be_left_out(ask):
    done = ask("room", "Yellow 5 + Red 1")
    assert done.returncode == 0, done.stderr
    assert "Black 1 part + water 8 parts" in done.stdout


def test_a_watched_scene_is_painted_again_after_a_save_and_mistakes_dont_end_it(
    scene_folder, tmp_path
):
    home, out, heard = scene_folder(), tmp_path / "live.png", tmp_path / "told.txt"
    glaze = [sys.executable, "-X", "faulthandler", "-m", "glaze"]
    line = [*glaze, "preview", str(home), "-o", str(out), "--watch"]
    # what a shell starts in the background ignores Ctrl-C, and so would all that it starts
    heeds = partial(signal.signal, signal.SIGINT, signal.SIG_DFL)
    with heard.open("w") as told:
        work = subprocess.Popen(line, stdout=told, stderr=subprocess.PIPE, preexec_fn=heeds)

    def wait_until(so):
        while not so():
            assert work.poll() is None, work.stderr.read()
            time.sleep(0.1)

    def saved(text):
        """As an editor does it: never half of it is there."""
        (home / "scene.new").write_text(text, "utf-8")
        (home / "scene.new").replace(home / "scene.toml")

    try:
        wait_until(out.exists)
        first, text = out.read_bytes(), (home / "scene.toml").read_text("utf-8")
        saved(text.replace("Yellow 3", "Yelow 3"))
        wait_until(lambda: 'Did you mean "Yellow"?' in heard.read_text())
        saved(text.replace("Yellow 3", "Blue 3"))
        wait_until(lambda: out.read_bytes() != first)
        work.send_signal(signal.SIGINT)
        try:
            _, wrong = work.communicate(timeout=600)
        except subprocess.TimeoutExpired:
            work.send_signal(signal.SIGABRT)  # where it hangs is told
            _, wrong = work.communicate()
    finally:
        work.kill()
    assert work.returncode == 0, wrong
    assert "Stopped after 3 times." in heard.read_text()
