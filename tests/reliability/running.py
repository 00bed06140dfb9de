"""Runs a case in this process: done, told in words, or a fault with its place."""

from __future__ import annotations

import contextlib
import io
import shutil
import signal
import tempfile
import traceback
import warnings
from collections import Counter
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import click

from glaze.cli.main import glaze
from glaze.errors import InputError
from glaze.picture.writing import together
from tests.reliability.cases import KINDS, Case, Kinds, case_of

LONGEST_S = 20
MOST_MB = 2000
PROCESS = Path("/proc/self")


class TooLong(BaseException):
    """A case has taken longer than a painter waits."""


def outcome(case: Case) -> str:
    """How a command ends: "done", "told", or what went wrong and where."""
    _ready()
    before = _peak_mb(anew=True)
    end = _ended(case)
    more = _peak_mb() - before
    return end if more <= MOST_MB else f"{more:.0f} MB more: {case[0]}"


def _ended(case: Case) -> str:
    with warnings.catch_warnings(), _no_longer():
        warnings.simplefilter("error")
        warnings.filterwarnings("ignore", category=DeprecationWarning, module="pydantic")
        try:
            with (
                contextlib.redirect_stdout(io.StringIO()),
                contextlib.redirect_stderr(io.StringIO()),
            ):
                _run(case)
        except (InputError, click.ClickException, click.exceptions.Exit):
            return "told"
        except (Exception, TooLong) as error:
            frames = [f for f in traceback.extract_tb(error.__traceback__) if "glaze" in f.filename
                      or "viewer" in f.filename]  # fmt: skip
            at = f"{Path(frames[-1].filename).name}:{frames[-1].name}" if frames else "?"
            return f"{type(error).__name__} in {at}: {str(error)[:80]}"
    return "done"


@cache
def _ready() -> None:
    """Compile the kernels before the time is taken; that happens once on a computer."""
    scene = """
format = 1\npalette = "lifting"\npaper = "white cartridge"\nsize_mm = [5, 5]\ndpi = 20
[[step]]\nwash = "a"\nmix = "Blue 1 + water 4"\nregion = "sheet"
[[step]]\nlift = "b"\nregion = "sheet"
"""
    with tempfile.TemporaryDirectory() as folder, contextlib.redirect_stdout(io.StringIO()):
        (Path(folder) / "scene.toml").write_text(scene)
        for asked in (["plan"], ["preview", "-o", f"{folder}/a.png", "--neon"]):
            glaze.main([*asked, folder], standalone_mode=False, prog_name="glaze")


def _run(case: Case) -> None:
    if case[0] == "unpack":
        from viewer.core.keep import open_any

        folder = Path(case[1]).parent / "unpacked"
        folder.mkdir()
        open_any(case[1], unpack_to=folder).close()
        return
    with together(command=True):
        glaze.main(case, standalone_mode=False, prog_name="glaze")


def _peak_mb(anew: bool = False) -> float:
    """The most memory this process has held since it was asked anew [MB]; 0 where none can tell."""
    if not PROCESS.is_dir():
        return 0.0
    if anew:
        (PROCESS / "clear_refs").write_text("5")
    told = (PROCESS / "status").read_text().partition("VmHWM:")[2].split()
    return int(told[0]) / 1000


@contextlib.contextmanager
def _no_longer() -> Iterator[None]:
    def ring(*_: object) -> None:
        raise TooLong(f"over {LONGEST_S} s")

    # of the processor's time: a machine that others use too must not fail it
    before = signal.signal(signal.SIGPROF, ring)
    signal.setitimer(signal.ITIMER_PROF, LONGEST_S)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)


def run_cases(
    seeds: range, kinds: Kinds = KINDS
) -> tuple[dict[str, Counter[str]], dict[str, list[int]]]:
    """Run cases by number: ends counted by kind, and the numbers of each fault."""
    counts: dict[str, Counter[str]] = {}
    faults: dict[str, list[int]] = {}
    home = Path(tempfile.mkdtemp(prefix="cases-"))
    try:
        for seed in seeds:
            folder = home / str(seed)
            folder.mkdir()
            kind, case = case_of(seed, folder, kinds)
            end = outcome(case)
            counts.setdefault(kind, Counter())[end if end in ("done", "told") else "fault"] += 1
            if end not in ("done", "told"):
                faults.setdefault(end, []).append(seed)
            shutil.rmtree(folder, ignore_errors=True)
    finally:
        shutil.rmtree(home, ignore_errors=True)
    return counts, faults
