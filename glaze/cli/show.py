"""How commands talk: progress on the error stream, their answer on the output, in words or JSON."""

from __future__ import annotations

import json
import sys
import threading
import time
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from functools import wraps
from typing import TYPE_CHECKING, Any

import click

from glaze.cli.screen import fitted, obeys, shows_colours, width
from glaze.errors import InputError, percent, plain

if TYPE_CHECKING:
    from glaze.scene.records import Scene

VALUE_NOTE = "Value: 0 black to 10 white, higher is lighter."
"""Said once under every answer in values."""

TOLD_EVERY_S = 5.0
"""How often work that goes on tells its share where there is no terminal to draw a bar on."""

Found = Mapping[str, Any] | Callable[[], Mapping[str, Any]]
Answer = tuple[Found, Iterable[str]] | tuple[Found, Iterable[str], int]
"""What a command found: as one JSON object (or what makes it), and as lines for a person; then its
exit code, where that isn't 0."""


def answers(command: Callable[..., Answer]) -> Callable[..., None]:
    """Let a command give its answer and print it: its lines, or with --json its object alone."""

    @wraps(command)
    def told(*given: Any, as_json: bool, **options: Any) -> None:
        found, lines, *code = command(*given, **options)
        if not as_json:
            for line in lines:
                say(line)
        else:
            content = found() if callable(found) else found
            say(json.dumps(content, ensure_ascii=False, indent=2))
        if any(code):
            click.get_current_context().exit(code[0])

    return click.option("--json", "as_json", is_flag=True, help="Print one JSON object only.")(told)


def quiet() -> bool:
    """Whether the command that runs was asked for JSON alone."""
    context = click.get_current_context(silent=True)
    return context is not None and bool(context.params.get("as_json"))


def say(text: str) -> None:
    """A piece of the answer on the output, once all files it speaks of are in their places."""
    from glaze.picture.writing import place_all

    place_all()
    for line in fitted(plain(text), None if quiet() else width()):
        click.echo(line, color=None if shows_colours() else False)


@contextmanager
def progress(label: str) -> Iterator[Callable[[float], None]]:
    """Tell how far the work is; gives the function to call with the share done.

    A bar with the time left on a terminal, and elsewhere a line every few seconds.
    """
    if quiet():
        yield lambda share: None
    elif not obeys(sys.stderr):
        yield _in_lines(label)
    else:
        steps = 1000
        bar = click.progressbar(length=steps, label=label, file=sys.stderr, show_eta=True)
        with bar:
            yield lambda share: bar.update(max(0, round(share * steps) - bar.pos))


def _in_lines(label: str) -> Callable[[float], None]:
    """Tells the share in a line of its own, now and then; nothing of work that is done at once."""
    told_at = time.monotonic()

    def tell_share(share: float) -> None:
        nonlocal told_at
        if time.monotonic() - told_at >= TOLD_EVERY_S and share < 1.0:
            told_at = time.monotonic()
            click.echo(f"{label}: {percent(share)}", err=True)

    return tell_share


@contextmanager
def working(label: str, scene: Scene | None = None) -> Iterator[Callable[[float], None]]:
    """As `progress`, for work with the model: says if that is being compiled for the first time.

    scene : what is worked on, if that is about to be read: a second process helps to compile
    """
    with _first_run(scene), progress(label) as share:
        yield share


@contextmanager
def _first_run(scene: Scene | None) -> Iterator[None]:
    """Say that the model is being compiled, where it never was and the work takes its time."""
    from glaze.sheet.kernel import compiled_before

    note = "Getting the model ready for this computer; the first run takes some seconds longer."
    timer = threading.Timer(1.5, lambda: click.echo(note, err=True))
    first = not compiled_before()
    if first and not quiet():
        timer.start()
    if first and scene is not None:
        from glaze.painting.aside import compile_aside

        compile_aside(scene)
    try:
        yield
    finally:
        timer.cancel()


def caution_lines(bleach: object) -> list[str]:
    """The line that goes with bleach, where there is any."""
    from glaze.materials.bleach import CAUTION_LINE

    return [CAUTION_LINE] if bleach else []


def refuse_idle(options: str, what: str) -> None:
    """Refuse options (by their names in a row) that were given and would do nothing here."""
    context = click.get_current_context()
    for option in context.command.params:
        name = option.name or ""
        given = context.get_parameter_source(name) is click.core.ParameterSource.COMMANDLINE
        if name in options.split() and given:
            raise InputError(f"{option.opts[-1]} {what}; leave it out.")


def names(text: str | None) -> list[str] | None:
    """Names from a list such as "Blue, Red, Yellow"; None where there is no list."""
    return None if text is None else [part.strip() for part in text.split(",") if part.strip()]
