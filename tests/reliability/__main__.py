# ruff: noqa: E501
"""`python -m tests.reliability CASES [FIRST]`, `deep CASES [FIRST]`, `disk [KILLS]`, `window [KILLS]`,
`soak [DEEDS]`, `monkey [SEED [DEEDS [SEEDS]]]`.

Each writes its part of the page; `window`, `soak` and `monkey` want a display.
"""

from __future__ import annotations

import sys
import time
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping
from pathlib import Path

from tests.reliability.cases import KINDS, Kinds
from tests.reliability.deep_cases import DEEP
from tests.reliability.disk import COMMANDS, disk_faults, kills, memory_faults, power_losses
from tests.reliability.running import LONGEST_S, MOST_MB, run_cases

AT_ONCE = 1000
"""Cases after which the page is written, so that a long run may be cut off."""
PAGE = Path(__file__).resolve().parents[2] / "docs" / "reliability.md"

HEAD = """# What was tried to break it

Made by `python -m tests.reliability CASES`; 2,000 of these cases run with every check.
Each case is a command with files made for it by number: scenes at the ends of every range through
check, preview, plan and reach; scene files, inks, papers, pictures and zips that are cut, doubled or
damaged; words and numbers nobody means. It has to end well or in words: a traceback, a warning of a
library or more than {longest} s of the processor's time is a fault.
"""

DEEP_HEAD = """
## Good files of odd kinds

Made by `python -m tests.reliability deep CASES`; 40 of these cases run with every check. They get past the
door and are worked on for long: swatch sheets painted by numbers, scanned or photographed from the side, dark,
blurred, half painted, of every mode; measured strips; paintings over their scenes; colour roughs; many values
of a scene; light got back against wanted values and pictures; charts of every palette, paper, light and page;
questions about any colour; folders of several scenes. They are held to the same, and to {most:,} MB of memory.
"""

CASES = """
{total:,} cases, numbers {first:,} to {last:,}: **{bad} faults**.

| given | ended well | told in words | faults |
|---|---|---|---|
"""

DISK_HEAD = """
## Disks, memory, power and kills

Made by `python -m tests.reliability disk`. {commands} commands that write (a picture of 8 and of 16 bits,
a plan with its card, pages of a chart, a new scene, an example) run on a disk and a memory that fail:

| what fails | tried | left half, lost or untold |
|---|---|---|
"""

WINDOW = """
## Kills while painting

Made by `python -m tests.reliability window`: the real window, worked in by mouse and keys without a pause
(strokes of ink, bleach and water, fills, bands, dilutions dragged, order, steps set aside and taken out, deeds
taken back and done again, versions, saving), its process killed by chance after up to
{deeds} deeds and {longest:g} s and gone on
from what was found, {row} times in a row. Beside it sittings without a window, their journal cut at any byte.
What is found is held bit for bit against what was done:

| left behind | times | found whole | but for the deed in hand | anything else lost |
|---|---|---|---|---|
"""

STRANGERS = """
## Strangers at the window

Made by `python -m tests.reliability monkey`: the real window, given to {seeds} strangers who do {deeds} deeds each, by
chance: what a painter does, and any control, key, button of the mouse, menu and small window besides; sense and
nonsense typed where something can be; every question answered with anything, or not at all; deeds taken back and
done again by the dozen; another size, wall and language; files that are damaged or of another kind; the scene
changed outside; the window closed after all, or not.

After each deed nothing may have been written to the errors, whatever asks has a way out, bar, table and order stand
in the window, the order shows the steps there are, and the sheet lies square on and ready for the brush. After each {every} all
words have room, all can be taken back to the beginning and done again to the same, deed by deed, and what is saved
opens as it was. In the end the picture on the screen is the one exported, and `glaze preview` writes the same bytes.

{total:,} deeds ({told}): **{bad} faults**.
"""

SOAK = """
## Memory over many deeds

Made by `python -m tests.reliability soak`: deeds of all kinds on one sheet of 40 x 32 mm, written down as they are
done, without the window and then, fewer, in the real one by mouse and keys. So that what has a bound reaches it
early, deeds to take back are kept to {kept:g} MB and the journal to {log:g} (256 each in use). The line below a
table is laid through its latter half.
"""
SOAKED = """
| {where} | memory [MB] | objects | painted regions | settled things | to take back [MB] | journal [MB] | parts of the window |
|---|---|---|---|---|---|---|---|
"""

TAIL = """
Beside these, with every check (`tests/picture/test_writing.py`, `tests/sheet/test_kernel_cache.py`):

- what a command has read, a scene's sketch and masks, and pictures, sheets, pages and figures that
  glaze itself didn't write are never written over, named or not;
- a run that is stopped says that nothing was written, and leaves nothing;
- a compiled kernel that is empty, short, of other bytes or with one bit turned is compiled anew; an
  edited constant is never painted with the old kernel; nothing needs to be written anywhere;
- areas of a sketch that are kept (`tests/region/test_kept_areas.py`) are found again only under the
  same walls, dpi and gaps, and looked for anew where the file is damaged.
"""


def main() -> None:
    """Run cases by number, or the disk's, and write their part of the page."""
    parts = _parts_before()
    began = time.monotonic()
    if sys.argv[1] == "disk":
        parts["Disks"], bad = _disk_part(int(sys.argv[2]) if len(sys.argv) > 2 else 500)
    elif sys.argv[1] == "window":
        parts["Kills"], bad = _window_part(int(sys.argv[2]) if len(sys.argv) > 2 else 200)
    elif sys.argv[1] == "monkey":
        parts["Strangers"], bad = _strangers_part(*map(int, sys.argv[2:5]))
    elif sys.argv[1] == "soak":
        parts["Memory"], bad = _soak_part(int(sys.argv[2]) if len(sys.argv) > 2 else 10_000), 0
    else:
        deep = sys.argv[1] == "deep"
        count, first = [*map(int, sys.argv[1 + deep : 3 + deep]), 0][:2]
        part, kinds = ("Good", DEEP) if deep else ("", KINDS)
        for parts[part], bad in _cases_parts(count, first, kinds):  # noqa: B007 - the last counts
            PAGE.write_text("".join(parts.values()) + TAIL, encoding="utf-8")
    PAGE.write_text("".join(parts.values()) + TAIL, encoding="utf-8")
    print(f"{bad} faults, {time.monotonic() - began:.0f} s")
    sys.exit(bool(bad))


def _parts_before() -> dict[str, str]:
    """The parts of the page as they stand, by the first word of their title; the cases first."""
    text = PAGE.read_text(encoding="utf-8") if PAGE.is_file() else ""
    cases, *others = text.partition("\nBeside these, with every check")[0].split("\n## ")
    found = {part.split()[0].rstrip(","): f"\n## {part}" for part in others}
    return {"": cases} | {
        word: found.get(word, "") for word in ("Good", "Disks", "Kills", "Strangers", "Memory")
    }


def _cases_parts(count: int, first: int, kinds: Kinds) -> Iterator[tuple[str, int]]:
    """Cases by number: after some of them and at the end, what the page says, and their faults."""
    counts: dict[str, Counter[str]] = defaultdict(Counter)
    faults: dict[str, list[int]] = defaultdict(list)
    for begin in range(first, first + count, AT_ONCE):
        stop = min(begin + AT_ONCE, first + count)
        some, wrong = run_cases(range(begin, stop), kinds)
        for kind, ends in some.items():
            counts[kind] += ends
        for told, numbers in wrong.items():
            faults[told] += numbers
        yield _cases_part(counts, faults, first, stop)


def _cases_part(
    counts: Mapping[str, Counter[str]], faults: Mapping[str, list[int]], first: int, stop: int
) -> tuple[str, int]:
    """What the page says of the cases that were run, and how many were faults."""
    bad = sum(len(numbers) for numbers in faults.values())
    deep = set(counts) <= set(DEEP)
    page = (DEEP_HEAD if deep else HEAD).format(longest=LONGEST_S, most=MOST_MB)
    page += CASES.format(total=stop - first, first=first, last=stop - 1, bad=bad)
    for kind in sorted(counts):
        ends = counts[kind]
        page += f"| {kind} | {ends['done']:,} | {ends['told']:,} | {ends['fault']:,} |\n"
    if faults:
        page += "\nFaults and the cases they came in:\n\n"
        page += "".join(f"- {told}: {numbers[:5]}\n" for told, numbers in sorted(faults.items()))
    return page, bad


def _disk_part(most_kills: int) -> tuple[str, int]:
    """Every fault of a disk and of memory: what the page says of them, and how many went wrong."""
    rows, wrong = [], []
    for words, tried in (
        (
            "a call on a file, the Nth for every N (opening, writing, flushing, moving, modes)",
            disk_faults,
        ),
        ("a field that doesn't fit into memory, the Nth for every N", memory_faults),
        ("power, after every call; names and bytes that weren't flushed are lost", power_losses),
    ):
        counts, found = zip(*[tried(name) for name in COMMANDS], strict=True)
        wrong += [line for lines in found for line in lines]
        rows.append((words, sum(counts), sum(map(len, found))))
        print(rows[-1], flush=True)
    ends, found = kills(most_kills)
    told = ", ".join(f"{count} {end}" for end, count in sorted(ends.items()))
    rows.append(
        (f"the run, killed at a call by chance (files then: {told})", most_kills, len(found))
    )
    page = DISK_HEAD.format(commands=len(COMMANDS))
    page += "".join(f"| {words} | {count:,} | {bad} |\n" for words, count, bad in rows)
    wrong += found
    if wrong:
        page += "\n" + "".join(f"- {line}\n" for line in wrong[:20])
    return page, len(wrong)


def _window_part(kills_wanted: int) -> tuple[str, int]:
    """The window and sittings left behind: what the page says of them, and what was lost."""
    from tests.reliability.sitting_kills import ENDS, sitting_kills
    from tests.reliability.window_kills import IN_A_ROW, LONGEST_S, MOST_DEEDS, window_kills

    page, bad = WINDOW.format(deeds=MOST_DEEDS, longest=LONGEST_S, row=IN_A_ROW), []
    for what, tried, count in (
        ("the window, killed", window_kills, kills_wanted),
        ("a sitting, its journal cut", sitting_kills, 10 * kills_wanted),
    ):
        ends, wrong = tried(count)
        whole, but = (ends[end] for end in ENDS)
        page += f"| {what} | {count:,} | {whole:,} | {but:,} | {len(wrong)} |\n"
        bad += wrong
        print(page.splitlines()[-1], *wrong, sep="\n", flush=True)
    return page, len(bad)


def _strangers_part(first: int = 0, deeds: int = 200, seeds: int = 10) -> tuple[str, int]:
    """Strangers at the window: what the page says of them, and how much was wrong."""
    from tests.reliability.monkey import EVERY, monkeys

    names, faults = monkeys(first, deeds, seeds)
    told = ", ".join(f"{name.replace('_', ' ')} {count}" for name, count in names.most_common())
    page = STRANGERS.format(
        seeds=seeds, deeds=deeds, every=EVERY, total=names.total(), told=told, bad=len(faults)
    )
    return page + "".join(f"\n- {fault}" for fault in faults[:20]), len(faults)


def _soak_part(deeds: int) -> str:
    """What is kept while so many deeds are done: what the page says of it."""
    from tests.reliability.soak import KEPT_BYTES, LOG_BYTES, slope, soak, soak_window

    page = SOAK.format(kept=KEPT_BYTES / 1e6, log=LOG_BYTES / 1e6)
    for where, counted in (
        ("deeds", soak(deeds, deeds // 20)),
        ("in the window", soak_window(deeds // 5, deeds // 100)),
    ):
        page += SOAKED.format(where=where)
        for one in counted:
            page += "| {:,} | {:.0f} | {:,} | {} | {} | {:.1f} | {:.1f} | {} |\n".format(*one)
        memory, objects = slope(counted, "memory_mb"), slope(counted, "objects")
        page += (
            f"\nIn a thousand deeds memory grows by {memory:.2f} MB, objects by {objects:.0f}.\n"
        )
    print(page)
    return page


if __name__ == "__main__":
    main()
