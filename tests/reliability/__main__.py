# ruff: noqa: E501
"""`python -m tests.reliability CASES [FIRST]`: run cases by number and write docs/reliability.md."""

from __future__ import annotations

import sys
import time
from pathlib import Path

from tests.reliability.running import LONGEST_S, run_cases

PAGE = Path(__file__).resolve().parents[2] / "docs" / "reliability.md"

HEAD = """# What was tried to break it

Made by `python -m tests.reliability CASES`; 2,000 of these cases run with every check.
Each case is a command with files made for it by number: scenes at the ends of every range through
check, preview, plan and reach; scene files, inks, papers, pictures and zips that are cut, doubled or
damaged; words and numbers nobody means. It has to end well or in words: a traceback, a warning of a
library or more than {longest} s of the processor's time is a fault.

{total:,} cases, numbers {first:,} to {last:,}: **{bad} faults**.

| given | ended well | told in words | faults |
|---|---|---|---|
"""

TAIL = """
Beside these, with every check (`tests/picture/test_writing.py`, `tests/sheet/test_kernel_cache.py`):

- every call that writes fails once, the Nth for every N (opening, writing, flushing, linking,
  moving, changing the mode): all files of a command are new, or all are as they were, with nothing left beside;
- a file that is moved to its place was flushed to the disk in full before: a loss of power leaves the
  old one or the new one;
- a run that is killed or stopped leaves no output, and the next clears what it left;
- a compiled kernel that is empty, short, of other bytes or with one bit turned is compiled anew; an
  edited constant is never painted with the old kernel; nothing needs to be written anywhere.
"""


def main() -> None:
    """Run them and write the page."""
    count, first = int(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 0
    began = time.monotonic()
    counts, faults = run_cases(range(first, first + count))
    bad = sum(len(numbers) for numbers in faults.values())
    page = HEAD.format(longest=LONGEST_S, total=count, first=first, last=first + count - 1, bad=bad)
    for kind in sorted(counts):
        ends = counts[kind]
        page += f"| {kind} | {ends['done']:,} | {ends['told']:,} | {ends['fault']:,} |\n"
    if faults:
        page += "\nFaults and the cases they came in:\n\n"
        page += "".join(f"- {told}: {numbers[:5]}\n" for told, numbers in sorted(faults.items()))
    PAGE.write_text(page + TAIL, encoding="utf-8")
    print(f"{count} cases, {bad} faults, {time.monotonic() - began:.0f} s")
    sys.exit(bool(faults))


if __name__ == "__main__":
    main()
