"""A command of the guide: run when the site is built, shown with what it said and what it drew."""

from __future__ import annotations

import html
import os
import shlex
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any, ClassVar

from docutils import nodes
from docutils.parsers.rst import directives
from PIL import Image
from sphinx.util.docutils import SphinxDirective

DOCS = Path(__file__).resolve().parent.parent
MADE = DOCS / "made"
MOST_LINES = 18
WIDE_PX = 1100
LIMIT_S = 300


class Run(SphinxDirective):
    """Commands, a line each, run one after the other in the page's own folder.

    show : pictures that they made, to stand below. alt : what is on each, parted by " | "
    lines : of the output, at most. exit : the code it has to end with
    quiet : not told, only its pictures shown; for what a reader has on the desk already
    """

    has_content = True
    option_spec: ClassVar[dict[str, Any]] = {
        "show": directives.unchanged,
        "alt": directives.unchanged,
        "lines": directives.nonnegative_int,
        "exit": directives.nonnegative_int,
        "quiet": directives.flag,
        "width": directives.unchanged,
    }

    def run(self) -> list[nodes.Node]:
        """Run them, and lay out what there is to see."""
        folder = MADE / self.env.docname.replace("/", "-")
        folder.mkdir(parents=True, exist_ok=True)
        told = [self._told(line, folder) for line in self.content if line.strip()]
        box = nodes.container(classes=["glaze-run"])
        box += self._pictures(folder)
        if "quiet" in self.options:
            return [box]
        box[:0] = [node for line, answer in told for node in _shown(line, answer)]
        return [box]

    def _told(self, line: str, folder: Path) -> tuple[str, list[str]]:
        """A command and its answer; an answer of another exit code stops the build."""
        done = subprocess.run(
            _argv(line),
            cwd=folder,
            env=_environment(),
            capture_output=True,
            text=True,
            timeout=LIMIT_S,
            check=False,
        )
        if done.returncode != self.options.get("exit", 0):
            raise self.error(f"{line}\nended with {done.returncode}:\n{done.stdout}{done.stderr}")
        answer = (done.stdout or done.stderr).rstrip().splitlines()
        most = self.options.get("lines", MOST_LINES)
        left = len(answer) - most
        kept = answer[:most] + ([f"... {left} more lines"] if left > 0 else [])
        return line, kept

    def _pictures(self, folder: Path) -> list[nodes.Node]:
        names = self.options.get("show", "").split()
        alts = [part.strip() for part in self.options.get("alt", "").split("|")]
        if len(names) != len([alt for alt in alts if alt]):
            raise self.error(f"{len(names)} pictures, {len(alts)} alt texts")
        found: list[nodes.Node] = []
        for name, alt in zip(names, alts, strict=False):
            shown = small_copy(folder / name)
            uri = "/" + shown.relative_to(DOCS).as_posix()
            width = self.options.get("width", "100%")
            found.append(nodes.image(uri=uri, alt=alt, width=width))
        return found


def _shown(line: str, answer: list[str]) -> list[nodes.Node]:
    """A command to copy, and what it says: lines that hang in where the screen is narrow."""
    command = nodes.literal_block(f"$ {line}", f"$ {line}", language="console")
    if not answer:
        return [command]
    told = "".join(f"<span>{html.escape(text) or ' '}</span>" for text in answer)
    return [command, nodes.raw("", f'<pre class="answer">{told}</pre>', format="html")]


def _argv(line: str) -> list[str]:
    """What is run: glaze is this very one, all else as a shell has it."""
    words = shlex.split(line)
    return [sys.executable, "-m", "glaze", *words[1:]] if words[0] == "glaze" else words


def _environment() -> dict[str, str]:
    root = str(DOCS.parent)
    path = os.pathsep.join([root, *filter(None, [os.environ.get("PYTHONPATH")])])
    # no width: rows and sentences stay whole, and the browser parts them
    kept = {key: value for key, value in os.environ.items() if key != "COLUMNS"}
    return {**kept, "PYTHONPATH": path, "NO_COLOR": "1"}


def small_copy(path: Path) -> Path:
    """A picture no wider than a page shows, as WebP beside it; sharp ones stay as they are."""
    with Image.open(path) as image:
        if image.width <= WIDE_PX:
            return path
        size = WIDE_PX, round(image.height * WIDE_PX / image.width)
        target = path.with_suffix(".small.webp")
        image.convert("RGB").resize(size, Image.Resampling.LANCZOS).save(target, quality=86)
    return target


def fresh(name: str) -> Path:
    """An empty folder for pictures that a page is made of."""
    folder = MADE / name
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    return folder
