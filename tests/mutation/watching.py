"""Which test runs which line, and how long it takes: what may see a change, the quickest first."""

from __future__ import annotations

import ast
import inspect
import json
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from types import FrameType
from typing import Any

import pytest

Line = tuple[str, int]


class Watch:
    """A plugin of pytest that notes each test's time [s] and the lines of some files it runs.

    Only lines of functions count: what a module does when it is read belongs to no test. A test
    that fails or is left out sees nothing.
    """

    def __init__(self, files: set[str]) -> None:
        self.files, self.lines, self.blind = files, set[Line](), set[str]()
        self.found: dict[str, tuple[float, list[Line]]] = {}

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Note what doesn't pass."""
        if not report.passed:
            self.blind.add(report.nodeid)

    @pytest.hookimpl(hookwrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        """Watch one test with its fixtures."""
        began, self.lines = time.process_time(), set()
        sys.settrace(self._called)
        threading.settrace(self._called)
        yield
        sys.settrace(None)
        threading.settrace(None)  # type: ignore[arg-type]
        self.found[item.nodeid] = time.process_time() - began, sorted(self.lines)

    def _called(self, frame: FrameType, event: str, arg: Any) -> Any:
        code = frame.f_code
        if code.co_filename in self.files and code.co_flags & inspect.CO_OPTIMIZED:
            self.lines.add((code.co_filename, frame.f_lineno))
            return self._stepped
        return None

    def _stepped(self, frame: FrameType, event: str, arg: Any) -> Any:
        self.lines.add((frame.f_code.co_filename, frame.f_lineno))
        return self._stepped

    def write(self, file: Path) -> None:
        """Keep what was seen."""
        file.write_text(json.dumps([self.found, sorted(self.blind)]), encoding="utf-8")


class Seen:
    """What a watched run has seen of every test.

    seconds : of each that passes. blind : those that don't
    """

    def __init__(self, file: Path) -> None:
        found, self.blind = json.loads(file.read_text(encoding="utf-8"))
        found = {name: each for name, each in found.items() if name not in self.blind}
        self.seconds = {name: each[0] for name, each in found.items()}
        self.lines = {name: {tuple(line) for line in each[1]} for name, each in found.items()}

    def able(self, tests: tuple[str, ...], file: Path, snippet: str) -> list[str]:
        """Those of some tests that can see a change of a snippet, the likeliest and quickest first.

        Tests that run it, then others of their files, which may share what it made; all of them
        where none is known to, as for a table, a default or a kernel.
        """
        of = [name for name in self.seconds if any(_is_of(name, test) for test in tests)]
        where = {(str(file), line) for line in _lines_of(file, snippet)}
        own = {name for name in of if self.lines[name] & where}
        homes = {name.partition("::")[0] for name in own}
        rest = [name for name in of if not own or name.partition("::")[0] in homes]
        return sorted(rest, key=lambda name: (name not in own, self.seconds[name]))


def _is_of(name: str, test: str) -> bool:
    return name == test or name.startswith((f"{test}::", f"{test}["))


def _lines_of(file: Path, snippet: str) -> range:
    """Numbers of the lines of the smallest statement that holds a snippet's beginning."""
    text = file.read_text(encoding="utf-8")
    at = text.index(snippet)
    first = text.count("\n", 0, at + len(snippet) - len(snippet.lstrip())) + 1
    if file.suffix != ".py":
        return range(first, first)
    found = range(first, first + 1)
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.stmt) and node.lineno <= first <= (node.end_lineno or 0):
            body = getattr(node, "body", None)
            # of a block only its head, where the snippet is in that
            end = body[0].lineno - 1 if body else node.end_lineno or 0
            if first <= end:
                found = range(node.lineno, end + 1)
    return found
