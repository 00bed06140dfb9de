"""Run every benchmark and write docs/benchmarks.md: `python -m tests.bench`.

Takes some minutes. Times are the processor's, best of the rounds: a busy machine disturbs them
least.
"""

from __future__ import annotations

import datetime
import json
import os
import platform
import subprocess
import sys
import tempfile
from pathlib import Path

HERE = Path(__file__).resolve().parent
ROOT = HERE.parent.parent
PAGE = ROOT / "docs" / "benchmarks.md"


def measured() -> dict[str, dict]:
    """Best time [s] and extra facts of each benchmark, by name."""
    with tempfile.TemporaryDirectory() as folder:
        results = Path(folder) / "results.json"
        files = sorted(str(path) for path in HERE.glob("bench_*.py"))
        command = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "-p"]
        command += ["no:pytest-qt", "-o", "addopts=", "--benchmark-only"]
        command += ["--benchmark-timer=time.process_time"]  # others may use the machine too
        subprocess.run([*command, f"--benchmark-json={results}", *files], cwd=ROOT, check=True)
        runs = json.loads(results.read_text())["benchmarks"]
    return {run["name"]: {"best": run["stats"]["min"], **run["extra_info"]} for run in runs}


def ns_per_pixel(run: dict) -> float:
    return run["best"] / run["pixels"] * 1e9


def command_line(*arguments: str) -> tuple[float, float]:
    """Processor time [s] of all threads and peak memory [MB] of one call of Python."""
    code = "import resource, subprocess, sys; subprocess.run([sys.executable, "
    code += "*sys.argv[1:]], check=True, stdout=subprocess.DEVNULL); "
    code += "u = resource.getrusage(resource.RUSAGE_CHILDREN); "
    code += "print(u.ru_utime + u.ru_stime, u.ru_maxrss / 1024)"
    run = subprocess.run(
        [sys.executable, "-c", code, *arguments], cwd=ROOT, capture_output=True, check=True
    )
    processor_s, megabytes = map(float, run.stdout.split())
    return processor_s, megabytes


def best_of(rounds: int, *arguments: str) -> tuple[float, float]:
    """The round that took the processor least."""
    return min(command_line(*arguments) for _ in range(rounds))


def processor() -> str:
    try:
        lines = Path("/proc/cpuinfo").read_text().splitlines()
        return next(line.split(":")[1].strip() for line in lines if line.startswith("model name"))
    except (OSError, StopIteration):
        return platform.processor() or "unknown processor"


WINDOW, LARGE = "## The window", "## Large pictures"
APART = (WINDOW, LARGE)
"""Parts of the page that are measured by a command each: `tests.bench.window`, `.large`."""

CHAIN = ("test_chain", "test_one_thread", "test_pillow", "test_plain", "test_multiply_adds")


def floor(count: int, runs: dict[str, dict]) -> float:
    """Time of the multiply-adds that the model can't do without [ns a pixel].

    In each of 40 bands one for the path of every wash, two for what the paper sends back, three
    for the channels; three for every pair of washes, eight for the series of each wash's load.
    """
    pairs = count * (count - 1) / 2
    return (40 * (count + 2 + 3) + 3 * pairs + 8 * count) * ns_per_pixel(runs["test_multiply_adds"])


def chain_table(runs: dict[str, dict]) -> list[str]:
    rows = ["| washes | floor | glaze | Pillow | plain numpy | glaze / Pillow |"]
    rows += ["|---|---|---|---|---|---|"]
    for count in (4, 6, 8, 10):
        glaze, pillow, plain = (
            ns_per_pixel(runs[f"test_{k}[{count}]"]) for k in ("one_thread", "pillow", "plain")
        )
        rows.append(
            f"| {count} | {floor(count, runs):.1f} | {glaze:.1f} | {pillow:.1f} | {plain:.0f} "
            f"| {glaze / pillow:.2f} |"
        )
    return rows


def other_table(runs: dict[str, dict]) -> list[str]:
    shown = [name for name in runs if not name.startswith(CHAIN)]
    rows = ["| benchmark | best | per pixel |", "|---|---|---|"]
    for name in sorted(shown):
        run = runs[name]
        pixels = f"{ns_per_pixel(run):.0f} ns" if "pixels" in run else ""
        rows.append(f"| {name.removeprefix('test_')} | {run['best'] * 1e3:.2f} ms | {pixels} |")
    return rows


def six_steps(folder: Path) -> str:
    """Four washes and two lifts of the beach huts with the regions they need: A4 at 300 dpi."""
    from glaze.scene.examples import copy_example
    from glaze.scene.file import load_scene, write_scene
    from glaze.step.lift_step import Lift
    from glaze.step.wash_step import Wash

    scene = load_scene(copy_example("huts", folder / "six"))
    washes = [step for step in scene.steps if isinstance(step, Wash)][:4]
    lifts = [step for step in scene.steps if isinstance(step, Lift)][:2]
    needed = {step.region for step in (*washes, *lifts) if isinstance(step.region, str)}
    known = scene.regions
    while more := {n for name in needed & known.keys() for n in known[name].needs} - needed:
        needed |= more
    regions = {name: region for name, region in known.items() if name in needed}
    few = scene.model_copy(update={"steps": (*washes, *lifts), "regions": regions})
    write_scene(few.in_folder(folder / "six"))
    return str(folder / "six")


PILLOW = """
import sys
from PIL import Image, ImageFilter
sketch = Image.open(sys.argv[1]).convert("RGB")
sketch.filter(ImageFilter.GaussianBlur(8)).save(sys.argv[2], compress_level=4)
"""
"""Something public to measure a command by: read a sketch, blur it, write it as a picture."""


SIX = "(six steps over A4)"
PREVIEWS = (
    SIX,
    f"{SIX} --view stacked-stirred",
    "scenes/lighthouse",
    "scenes/huts",
    "scenes/huts --scale 0.25",
    "scenes/huts --view stacked-stirred",
    "scenes/ferry",
    "scenes/storm",  # three charges over a sky of A5
    "scenes/storm --scale 0.25",
)


def command_table() -> list[str]:
    rows = [
        "| command | processor | in times of Pillow's | peak memory |",
        "|---|---|---|---|",
    ]
    with tempfile.TemporaryDirectory() as folder:
        out = str(Path(folder) / "out.png")
        six = six_steps(Path(folder))
        # a name of its own: a command doesn't write over what glaze hasn't written
        sketch = ["-c", PILLOW, "scenes/huts/sketch.png", str(Path(folder) / "pillow.png")]
        pillow = best_of(3, *sketch)
        commands = [
            (
                f"`glaze preview {shown}`",
                ["-m", "glaze", "preview", *shown.replace(SIX, six).split(), "-o", out],
            )
            for shown in PREVIEWS
        ]
        for told, arguments in (
            ("Pillow: an A4 sketch read, blurred, written", sketch),
            ("`glaze --help`", ["-m", "glaze", "--help"]),
            *commands,
        ):
            processor_s, megabytes = best_of(3, *arguments)
            rows.append(
                f"| {told} | {processor_s:.2f} s | {processor_s / pillow[0]:.1f} "
                f"| {megabytes:.0f} MB |"
            )
    return rows


def kept(part: str) -> list[str]:
    """What the page says in a part that is measured apart."""
    said = PAGE.read_text(encoding="utf-8").partition(part)[2]
    return said.partition("\n## ")[0].strip().splitlines()


def with_part(part: str, lines: list[str]) -> str:
    """The page with other lines in a part of it."""
    before, _, after = PAGE.read_text(encoding="utf-8").partition(part)
    rest = after.partition("\n## ")
    return "\n".join([before + part, *lines, "", ""]) + (rest[1] + rest[2]).lstrip("\n")


def main() -> None:
    runs = measured()
    page = [
        "# Benchmarks",
        "",
        "Made by `python -m tests.bench`; every ratio is of one run on one machine."
        " Times are those of the processor, all threads together, which other work on the machine"
        " disturbs least.",
        f"Machine: {processor()}, {os.cpu_count()} cores, {platform.system()}, "
        f"Python {platform.python_version()}, {datetime.date.today()}.",
        "",
        "## Masks to picture",
        "From 16-bit masks to the finished 8-bit picture, 40 bands, in ns per pixel, on one thread"
        " each; tiles run on all cores, so two threads take half as long by the clock.",
        "Pillow: `Image.composite` of each wash through its 8-bit mask, then"
        " `ImageChops.multiply`.",
        "Floor: the multiply-adds that the model can't do without, at the pace this processor does"
        " nothing else; divisions, masks in, picture out come on top.",
        "",
        *chain_table(runs),
        "",
        "`kept_sheet` below is the way of scenes with lifts: six washes laid dye by dye on a kept"
        " sheet of 4 or 8 dyes, then seen; the lift itself comes on top.",
        "",
        "## The rest",
        *other_table(runs),
        "",
        "## Commands",
        "Best of three, with everything compiled; A4 at 300 dpi, the lighthouse A5."
        " On two free cores settling and painting take about half as long by the clock.",
        *command_table(),
        "",
        *(line for part in APART for line in (part, *kept(part), "")),
    ]
    PAGE.write_text("\n".join(page), encoding="utf-8")
    print(f"{PAGE.name} written")


if __name__ == "__main__":
    main()
