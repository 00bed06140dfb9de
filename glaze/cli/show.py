"""How commands talk: progress on the error stream, results on the output, JSON alone if asked."""

from __future__ import annotations

import json
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

import click

VALUE_NOTE = "Value: 0 black to 10 white, higher is lighter."
"""Said once under every answer in values."""

json_option = click.option("--json", "as_json", is_flag=True, help="Print one JSON object only.")


def tell(text: str, as_json: bool = False) -> None:
    """A line for a person; left out where the output is JSON."""
    if not as_json:
        click.echo(text)


def tell_json(content: dict[str, Any]) -> None:
    """One JSON object, and nothing else, on the output."""
    click.echo(json.dumps(content, ensure_ascii=False, indent=2))


@contextmanager
def progress(label: str, quiet: bool = False) -> Iterator[Callable[[float], None]]:
    """A bar with the time left, on a terminal only; gives the function to call with the share."""
    if quiet or not sys.stderr.isatty():
        yield lambda share: None
        return
    steps = 1000
    bar = click.progressbar(length=steps, label=label, file=sys.stderr, show_eta=True)
    with bar:
        yield lambda share: bar.update(max(0, round(share * steps) - bar.pos))


@contextmanager
def first_run_note(quiet: bool = False) -> Iterator[None]:
    """Say that the model is being compiled, where it never was and the work takes its time."""
    note = "Getting the model ready for this computer; the first run takes some seconds longer."
    from glaze.sheet.kernel import compiled_before

    timer = threading.Timer(1.5, lambda: click.echo(note, err=True))
    if not quiet and not compiled_before():
        timer.start()
    try:
        yield
    finally:
        timer.cancel()
