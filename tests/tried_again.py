"""What a real window or browser says once is said again before it counts.

Other programs take the screen, the keys' focus or all of the processor, and a test of a window can
fail by it. One that fails is tried once more, from its start; its second verdict counts, and the
end of the run tells what the first one was.
"""

from __future__ import annotations

import functools
import traceback
from collections.abc import Callable
from typing import Any

import pytest

REAL = "window", "browser"
"""Marks of the tests that are tried again."""
FIRST = "what it said the first time"


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if isinstance(item, pytest.Function) and any(map(item.get_closest_marker, REAL)):
            item.obj = _twice(item, item.obj)


def _twice(item: pytest.Item, test: Callable[..., Any]) -> Callable[..., Any]:
    @functools.wraps(test)
    def tried(**given: Any) -> None:
        try:
            test(**given)
        except Exception:
            item.user_properties.append((FIRST, traceback.format_exc()))
            test(**given)

    return tried


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Tell which were tried again: a check that is often among them wants to be mended."""
    told = {
        report.nodeid: said
        for reports in terminalreporter.stats.values()
        for report in reports
        for name, said in getattr(report, "user_properties", ())
        if name == FIRST
    }
    if told:
        terminalreporter.section("tried again, as it failed the first time")
    for test, said in told.items():
        terminalreporter.write_line(f"{test}\n{said}")
