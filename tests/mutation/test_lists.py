"""The listed changes can be made: their snippets stand in the code, and their tests are there."""

from __future__ import annotations

import ast
from collections import Counter

from tests.mutation import __main__ as again
from tests.mutation.drawing import drawn, sites
from tests.mutation.running import ROOT, Mutation, first_failed, mutations_of, packages
from tests.mutation.watching import Seen, Watch


def test_the_lists_are_long_and_even_and_can_be_made() -> None:
    listed = {package: mutations_of(package) for package in packages()}
    changes = [change for of in listed.values() for change in of]
    assert min(map(len, listed.values())) >= 6
    assert [change for change in changes if change.old == change.new or not change.tests] == []
    # code and tests move on: a few may be stale for a while, and hold up no other work here
    stale = [str(c) for c in changes if c.place() is None or not c.tests_there()]
    assert len(stale) <= 0.05 * len(changes), stale
    assert len(changes) >= 500


def test_the_tests_that_run_a_line_are_tried_first_and_the_quickest_of_them(tmp_path) -> None:
    """By hand: a and b run the changed line 3, c is of a file beside, d's file runs none of it."""
    file = tmp_path / "mixed.py"
    file.write_text("PARTS = 4\ndef strength(parts):\n    return 1 / (1 + parts)\n")
    watch = Watch({str(file)})
    line = [(str(file), 3)]
    watch.found = {
        "one.py::a": (9.0, line),
        "one.py::b": (2.0, line),
        "one.py::c": (1.0, []),
        "two.py::d": (0.1, []),
        "two.py::e": (0.1, line),
    }
    watch.blind = {"two.py::e"}  # fails as it is
    watch.write(tmp_path / "seen.json")
    seen = Seen(tmp_path / "seen.json")
    tests = ("one.py", "two.py")
    assert seen.able(tests, file, "1 + parts") == ["one.py::b", "one.py::a", "one.py::c"]
    # what stands in no function may be seen by any test
    every = ["two.py::d", "one.py::c", "one.py::b", "one.py::a"]
    assert seen.able(tests, file, "PARTS = 4") == every
    assert seen.able(("one.py::c",), file, "PARTS = 4") == ["one.py::c"]


def test_what_was_missed_is_tried_again_and_all_of_a_list_that_is_another(monkeypatch) -> None:
    listed = [Mutation("one", "a.py", old, "x", (), ()) for old in ("a", "b", "c")]
    monkeypatch.setattr(again, "mutations_of", lambda _: listed)
    monkeypatch.setattr(again, "_possible", lambda *_: listed)
    tried = lambda rows: again._tried("one", ROOT, rows)  # noqa: E731
    assert tried({}) == listed
    assert tried({"one": (3, 2, str(listed[1]))}) == [listed[1]]
    assert tried({"one": (3, 3, "")}) == []
    # one more than then; or what was missed then is no longer in the list
    assert tried({"one": (2, 1, str(listed[1]))}) == listed
    assert tried({"one": (3, 2, "a.py: 'z' -> 'x'")}) == listed


def test_the_page_is_read_as_it_was_written(tmp_path, monkeypatch) -> None:
    rows = {"charts": (27, 26, "a.py: 'a << 4 | b' -> 'a << 4'"), "lift": (25, 25, "")}
    chances = {1: (90, 3, ["a.py: if a | b: -> if a: b"]), 7: (9, 0, [])}
    monkeypatch.setattr(again, "PAGE", tmp_path / "page.md")
    again._write(rows, chances)
    assert again._rows_before() == rows
    assert again._chances_before() == chances
    again._write(rows, {})
    assert (again._rows_before(), again._chances_before()) == (rows, {})


CODE = '''"""Two < three."""
PARTS = 4

def strength(parts: int = 2, far=[1, 2]) -> float:
    """Half + half."""
    if not parts > PARTS and far:
        raise ValueError(f"{parts + 1} < 2")
    return len(far[0] * 1.5)
'''


def test_one_token_of_code_is_changed_and_no_word_type_or_error() -> None:
    """By hand: every change that the seven lines of code allow."""
    made = [CODE[: s.start] + s.new + CODE[s.end :] for s in sites(CODE)]
    lines = [
        next(new.strip() for old, new in zip(CODE.splitlines(), one.splitlines(), strict=True)
             if old != new)
        for one in made
    ]  # fmt: skip
    assert sorted(lines) == sorted(
        [
            "PARTS = 5",
            "def strength(parts: int = 3, far=[1, 2]) -> float:",
            "def strength(parts: int = 2, far=[2, 2]) -> float:",
            "def strength(parts: int = 2, far=[1, 3]) -> float:",
            "if not parts < PARTS and far:",
            "if not parts > PARTS or far:",
            "if parts > PARTS and far:",
            "return parts",
            "return len(far[1] * 1.5)",
            "return len(far[0] / 1.5)",
            "return len(far[0] * 1.6500000000000001)",
        ]
    )


def test_changes_by_chance_are_even_and_the_same_for_the_same_seed() -> None:
    some = drawn(3, 48)
    assert some == drawn(3, 48) != drawn(4, 48)
    counts = Counter(change.package for change in some)
    assert len(counts) >= 16
    assert max(counts.values()) - min(counts.values()) <= 1
    for change in some:
        text = (ROOT / change.file).read_text(encoding="utf-8")
        assert text.count(change.old) == 1
        ast.parse(text.replace(change.old, change.new))


def test_a_run_that_found_no_test_has_seen_no_change() -> None:
    """What pytest writes and ends with: 1 failed, 2 could not be read, 4 and 5 nothing to run."""
    assert first_failed(1, [".F.", "FAILED one.py::a - assert 1 == 2"]) == "FAILED one.py::a"
    assert first_failed(2, ["ERROR one.py - NameError: mix"]) == "ERROR one.py"
    # a test named by what the change has renamed
    assert first_failed(4, ["ERROR: not found: one.py::a[five values]", ""]) == ""
    assert first_failed(5, ["no tests ran in 0.01s"]) == ""
    assert first_failed(-11, ["Segmentation fault"]) == "ended with -11: ['Segmentation fault']"


def test_a_watch_notes_lines_of_functions_only(tmp_path) -> None:
    file = tmp_path / "mixed.py"
    file.write_text("PARTS = 4\ndef strength(parts):\n    return 1 / (1 + parts)\n")
    watch = Watch({str(file)})
    space: dict = {}
    item = type("Item", (), {"nodeid": "one.py::a"})()
    running = watch.pytest_runtest_protocol(item)
    next(running)
    exec(compile(file.read_text(), str(file), "exec"), space)
    space["strength"](4)
    assert list(running) == []
    seconds, lines = watch.found["one.py::a"]
    assert seconds >= 0
    assert lines == [(str(file), 2), (str(file), 3)]
