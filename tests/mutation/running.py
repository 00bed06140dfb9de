"""Runs the tests on one changed line at a time, in a copy of the tree that is thrown away."""

from __future__ import annotations

import contextlib
import multiprocessing
import os
import py_compile
import resource
import shutil
import signal
import sys
import tempfile
import time
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest

from tests.mutation.watching import Seen, Watch

ROOT = Path(__file__).resolve().parents[2]
LISTS = Path(__file__).with_name("lists")
LONGEST_S = 120
"""Processor time of one run of tests: a change that never ends is caught."""
NOTHING_RUN = (4, 5)
"""How pytest ends when it finds no test of the names given, or none at all."""
MODEL = ("glaze/physics/", "glaze/materials/", "glaze/record/", "glaze/sheet/")
"""Where a change means other compiled kernels: those are kept apart and thrown away."""


@dataclass(frozen=True)
class Mutation:
    """One change: in `file`, `old` becomes `new`; `tests` should see it, else `wider` ones."""

    package: str
    file: str
    old: str
    new: str
    tests: tuple[str, ...]
    wider: tuple[str, ...]

    def __str__(self) -> str:
        return f"{self.file}: {self.old!r} -> {self.new!r}"

    def place(self, root: Path = ROOT) -> Path | None:
        """The file in which its snippet stands exactly once, also where that has moved."""
        if _holds_once(root / self.file, self.old):
            return root / self.file
        kind = Path(self.file).suffix
        rooms = (root / "glaze", root / "viewer")
        found = [f for room in rooms for f in room.rglob(f"*{kind}") if _holds_once(f, self.old)]
        return found[0] if len(found) == 1 else None

    def tests_there(self, root: Path = ROOT) -> bool:
        """Whether the tests it names are where it says."""
        named = [test.partition("::") for test in self.tests + self.wider]
        return all(
            (root / file).exists()
            and f"def {name.partition('[')[0]}" in (root / file).read_text(encoding="utf-8")
            for file, _, name in named
        )


def _holds_once(file: Path, snippet: str) -> bool:
    return file.is_file() and file.read_text(encoding="utf-8").count(snippet) == 1


@cache
def mutations_of(package: str) -> list[Mutation]:
    """The changes listed for a package, in their order."""
    listed = tomllib.loads((LISTS / f"{package}.toml").read_text(encoding="utf-8"))
    return [
        Mutation(package, file, old, new, tuple(of["tests"]), tuple(listed.get("wider", ())))
        for file, of in listed["files"].items()
        for old, new in of["changes"]
    ]


def packages() -> list[str]:
    """All that are listed."""
    return sorted(file.stem for file in LISTS.glob("*.toml"))


@contextlib.contextmanager
def copied() -> Iterator[Path]:
    """A copy of the tree to change, with bytecode that goes by the content of its source."""
    home = Path(tempfile.mkdtemp(prefix="changed-"))
    try:
        left_out = shutil.ignore_patterns(".*", "__pycache__", "node_modules")
        tree = Path(shutil.copytree(ROOT, home / "tree", ignore=left_out))
        for file in [*tree.glob("glaze/**/*.py"), *tree.glob("viewer/**/*.py")]:
            mode = py_compile.PycInvalidationMode.CHECKED_HASH
            py_compile.compile(str(file), invalidation_mode=mode)
        yield tree
    finally:
        shutil.rmtree(home, ignore_errors=True)


@contextlib.contextmanager
def changed(tree: Path, mutation: Mutation, file: Path) -> Iterator[Path]:
    """The tree with one change in a file; yields where kernels of that model are kept."""
    text = file.read_text(encoding="utf-8")
    other = file.relative_to(tree).as_posix().startswith(MODEL)
    kernels = tree.parent / ("other" if other else "kernels")
    file.write_text(text.replace(mutation.old, mutation.new), encoding="utf-8")
    try:
        yield kernels
    finally:
        file.write_text(text, encoding="utf-8")
        shutil.rmtree(tree.parent / "other", ignore_errors=True)


def watched(tree: Path, changes: list[Mutation]) -> Seen:
    """What every test of some changes does without any of them."""
    tests = tuple(dict.fromkeys(test for change in changes for test in change.tests + change.wider))
    watch, kept = Watch({str(change.place(tree)) for change in changes}), tree.parent / "seen.json"
    failing(tree, tests, tree.parent / "kernels", (watch, kept), 120 * LONGEST_S)
    return Seen(kept)


def caught_by(tree: Path, mutation: Mutation, seen: Seen) -> str:
    """The test that saw a change, "" if none did; first the chosen tests, then the wider."""
    file = mutation.place(tree)
    assert file is not None, f"{mutation}: gone"
    for tests in (mutation.tests, mutation.wider):
        able = tuple(seen.able(tests, file, mutation.old))
        with changed(tree, mutation, file) as kernels:
            if able and (told := failing(tree, able, kernels)):
                return told
    return ""


def failing(
    tree: Path,
    tests: tuple[str, ...],
    kernels: Path,
    watch: tuple[Watch, Path] | None = None,
    longest_s: int = LONGEST_S,
) -> str:
    """What fails first when these tests run on a tree: its name, "too long", or "".

    watch : notes what all of them do, and where that is to be written
    """
    told = tree.parent / "told.txt"
    run = multiprocessing.get_context("fork").Process(
        target=_tested, args=(tree, tests, kernels, told, longest_s, watch)
    )
    run.start()
    run.join()
    if run.exitcode == 0:
        return ""
    if run.exitcode == -signal.SIGXCPU:
        return f"took over {longest_s} s"
    lines = told.read_text(encoding="utf-8", errors="replace").splitlines()
    return first_failed(run.exitcode or 0, lines)


def first_failed(ended: int, lines: list[str]) -> str:
    """What failed first, from how pytest ended and what it told; "" if it found nothing to run."""
    named = [line for line in lines if line.startswith(("FAILED ", "ERROR "))]
    if named:
        return named[0].split(" - ")[0]
    return "" if ended in NOTHING_RUN else f"ended with {ended}: {lines[-1:]}"


class Enough:
    """A plugin of pytest that tries no more tests after some time of the processor [s].

    all_passed : whether it came to that, and none had failed
    """

    def __init__(self, enough_s: float) -> None:
        self.enough_s, self.all_passed = enough_s, False

    def pytest_runtest_teardown(self, item: pytest.Item) -> None:
        """Look at the clock."""
        if time.process_time() > self.enough_s and not item.session.testsfailed:
            self.all_passed = True
            item.session.shouldstop = "the time is over"


def _tested(
    tree: Path,
    tests: tuple[str, ...],
    kernels: Path,
    told: Path,
    longest_s: int,
    watch: tuple[Watch, Path] | None,
) -> None:
    """In a process of its own: pytest on a tree, told to a file."""
    resource.setrlimit(resource.RLIMIT_CPU, (longest_s, longest_s + 5))
    os.chdir(tree)
    os.environ |= {"PYTHONPATH": str(tree), "XDG_CACHE_HOME": str(kernels), "CI": "1"}
    sys.dont_write_bytecode = True
    sys.path[:] = [str(tree), *(path for path in sys.path if path not in ("", str(ROOT)))]
    for name in [name for name in sys.modules if name.partition(".")[0] == "tests"]:
        del sys.modules[name]
    with told.open("w") as out:
        os.dup2(out.fileno(), 1)
        os.dup2(out.fileno(), 2)
        quiet = ("-q", "--tb=line", "-W", "ignore::pytest.PytestAssertRewriteWarning")
        enough = Enough(longest_s / 2)
        plugins, first = ([enough], ("-x",)) if watch is None else ([watch[0]], ())
        ended = pytest.main(["-p", "no:cacheprovider", *first, *quiet, *tests], plugins)
        ended = 0 if enough.all_passed else ended
        if watch is not None:
            watch[0].write(watch[1])
        if "glaze" in sys.modules and tree not in Path(sys.modules["glaze"].__file__ or "").parents:
            ended = 99
        sys.stdout.flush()
    os._exit(int(ended))
