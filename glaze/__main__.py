"""Entry of the `glaze` command: exit code 0 done, 2 it can't be done as asked, 130 stopped."""

from __future__ import annotations

import atexit
import codecs
import contextlib
import gc
import io
import os
import sys
import threading
from typing import Any, NoReturn

MOST_TOLD = 40
"""Lines of what is wrong; more are counted."""


def main() -> None:
    """Run the command line; whatever goes wrong is said in words, without a traceback.

    All files of a command are put in their places when it ends well, or none of them.
    """
    # small matrices only: a second thread of the algebra library waits more than it works
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    # what is loaded stays: looking through it for what could go takes as long as a small picture
    gc.set_threshold(100_000, 20, 20)
    _write_any_letter()
    try:
        code = _run()
    except KeyboardInterrupt:
        _tell([_stopped()])
        code = 130
    except BrokenPipeError:  # what read the answer has seen enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        code = 0
    except Exception as error:
        _tell(_told(error))
        code = 2
    _leave(code)


def _write_any_letter() -> None:
    """A letter that the terminal's encoding lacks gives way to a plain one: cm² to cm2."""

    def plainer(error: UnicodeError) -> tuple[str, int]:
        assert isinstance(error, UnicodeEncodeError)
        lacking = error.object[error.start : error.end]
        return "".join(_PLAINER.get(letter, "?") for letter in lacking), error.end

    codecs.register_error("plainer", plainer)
    for stream in (sys.stdout, sys.stderr):
        # None where it was closed from the start; odd bytes of file names go as they are
        if isinstance(stream, io.TextIOWrapper) and stream.errors != "surrogateescape":
            stream.reconfigure(errors="plainer")


_PLAINER = {"²": "2", "³": "3", "±": "+-", "×": "x", "·": ".", "–": "-", "’": "'", "\u2009": " "}


def _leave(code: int) -> NoReturn:
    """End at once: to take all down that was loaded takes as long as a small picture."""
    if any(not one.daemon for one in threading.enumerate() if one is not threading.main_thread()):
        sys.exit(code)  # somebody is still at work
    atexit._run_exitfuncs()
    for stream in (sys.stdout, sys.stderr):
        with contextlib.suppress(OSError, ValueError):  # what read the answer has gone
            if stream is not None:  # closed from the start
                stream.flush()
    os._exit(code)


def _run() -> int:
    """The command's exit code."""
    import signal

    signal.signal(signal.SIGTERM, signal.default_int_handler)  # stopped in order, as by Ctrl-C

    import click

    from glaze.cli.main import glaze
    from glaze.picture.writing import together

    try:
        with together(command=True):
            code: Any = glaze.main(standalone_mode=False, prog_name="glaze")
    except click.Abort:
        raise KeyboardInterrupt from None
    return code if isinstance(code, int) else 0


def _stopped() -> str:
    """What a stop leaves behind."""
    from glaze.picture.unfinished import left, size_bytes
    from glaze.picture.writing import placed

    if left:
        return (
            f"Stopped. What is painted so far ({size_bytes(left[-1]) / 1e9:.1f} GB) is kept in "
            f'"{left[-1]}": the same command goes on from there; to start afresh, delete it.'
        )
    files = ", ".join(map(str, placed))
    return f"Stopped. {files} had been written." if files else "Stopped. Nothing was written."


def _told(error: Exception) -> list[str]:
    """What went wrong, in lines for a painter."""
    import click

    from glaze.errors import InputError

    if isinstance(error, InputError):
        return error.problems
    if isinstance(error, click.UsageError) and error.ctx is not None:
        return [error.ctx.get_usage(), f"Error: {error.format_message()}"]
    if isinstance(error, click.ClickException):
        return [f"Error: {error.format_message()}"]
    if isinstance(error, OSError) and error.filename is not None:
        return [f'"{error.filename}" can\'t be used ({error.strerror}).']
    if isinstance(error, OSError) and error.errno is not None:
        return [f"The computer can't do that now ({error.strerror}). Nothing was written."]
    if isinstance(error, MemoryError):
        return ["This needs more memory than there is: try a lower dpi, --scale or --crop."]
    return [_logged(error)]


def _logged(error: Exception) -> str:
    """A fault of ours: its traceback goes to a file to be reported, a sentence to the painter."""
    import traceback

    told = "".join(traceback.format_exception(error))
    asked = f"Something went wrong inside glaze ({type(error).__name__}), which is a fault of ours"
    try:
        from platformdirs import user_log_path

        log = user_log_path("glaze", ensure_exists=True) / "fault.txt"
        log.write_text(
            f"glaze {' '.join(sys.argv[1:])}\n{told}", encoding="utf-8", errors="replace"
        )
    except (OSError, RuntimeError):
        return f"{asked}. Please report it, with the command. At: {told.splitlines()[-1]}"
    return f'{asked}. Please report it with the file "{log}", which says where.'


def _tell(problems: list[str]) -> None:
    """Lines on the error stream, at most a screen of them."""
    from glaze.cli.screen import fitted, width
    from glaze.errors import plain, shortened

    lines = [line for problem in problems for line in problem.splitlines()]
    more = [f"and {len(lines) - MOST_TOLD} more."] if len(lines) > MOST_TOLD else []
    for line in lines[:MOST_TOLD] + more:
        told = plain(shortened(line)).encode("utf-8", "replace").decode()
        print(*fitted(told, width(sys.stderr)), sep="\n", file=sys.stderr)


if __name__ == "__main__":
    main()
