"""What wheel and sources hold: python .ci/contents.py FOLDER (ends with 1 if something is wrong).

Run by `.ci/wheel` on what it built.
"""

from __future__ import annotations

import sys
import tarfile
import zipfile
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
LARGEST_WHEEL_MB, LARGEST_SOURCES_MB = 4, 20


def sources() -> set[str]:
    """Files of the two packages and the scenes that an installed glaze needs, as in the tree."""
    return {
        str(path.relative_to(ROOT))
        for room in ("glaze", "viewer", "scenes")
        for path in (ROOT / room).rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }


def in_the_wheel(name: str) -> str:
    """Where a file of the tree lies in a wheel: the window and the scenes inside glaze."""
    return name if name.startswith("glaze/") else f"glaze/{name}"


def wrong_in_wheel(path: Path) -> Iterator[str]:
    """What is missing from a wheel or doesn't belong into it."""
    with zipfile.ZipFile(path) as wheel:
        names = set(wheel.namelist())
        entries = next((name for name in names if name.endswith("/entry_points.txt")), None)
        told = wheel.read(entries).decode() if entries else ""
    for name in sorted(sources()):
        if in_the_wheel(name) not in names:
            yield f"{name} is missing"
    top = {name.split("/")[0] for name in names}
    if extra := {name for name in top if name != "glaze" and not name.endswith(".dist-info")}:
        yield f"beside glaze lie {sorted(extra)}"
    if not any(name.endswith("/licenses/docs/LICENSE.txt") for name in names):
        yield "no licence"
    if "glaze = glaze.__main__:main" not in told or "glaze-lift = glaze:napari.yaml" not in told:
        yield "the command or napari's manifest isn't an entry point"
    yield from too_large(path, LARGEST_WHEEL_MB)


def wrong_in_sources(path: Path) -> Iterator[str]:
    """What is missing from an archive of the sources."""
    with tarfile.open(path) as archive:
        names = {name.partition("/")[2] for name in archive.getnames()}
    wanted = sources() | {"README.md", "DEVELOPERS.md", "pyproject.toml", "docs/LICENSE.txt"}
    wanted |= {"docs/changelog.md", "docs/sources.bib", "tests/conftest.py"}
    for name in sorted(wanted - names):
        yield f"{name} is missing"
    yield from too_large(path, LARGEST_SOURCES_MB)


def too_large(path: Path, most_mb: float) -> Iterator[str]:
    """A word if a file is larger than it ought to be."""
    if (size_mb := path.stat().st_size / 1e6) > most_mb:
        yield f"{size_mb:.1f} MB, more than {most_mb}"


def main() -> int:
    """Check all that was built; 1 if something is wrong."""
    built = Path(sys.argv[1])
    wheels, archives = sorted(built.glob("*.whl")), sorted(built.glob("*.tar.gz"))
    told = [f"{path.name}: {what}" for path in wheels for what in wrong_in_wheel(path)]
    told += [f"{path.name}: {what}" for path in archives for what in wrong_in_sources(path)]
    told += [] if wheels and archives else [f"{built.name}: a wheel or an archive is missing"]
    print("\n".join(told) or "\n".join(f"{p.name}: as it should be" for p in (*wheels, *archives)))
    return bool(told)


if __name__ == "__main__":
    sys.exit(main())
