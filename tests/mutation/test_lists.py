"""The listed changes can be made: their snippets stand in the code, and their tests are there."""

from __future__ import annotations

from tests.mutation.running import ROOT, mutations_of, packages


def test_the_lists_are_long_even_and_nearly_all_up_to_date() -> None:
    # code moves on: a few stale ones don't hold up other work, the command itself refuses them
    listed = {package: mutations_of(package) for package in packages()}
    changes = [change for of in listed.values() for change in of]
    assert len(changes) >= 250
    assert min(map(len, listed.values())) >= 6
    stale = [str(change) for change in changes if not change.fits()]
    assert len(stale) <= 0.1 * len(changes), stale
    assert [change for change in changes if change.old == change.new or not change.tests] == []


def test_the_tests_they_name_are_there() -> None:
    named = {t for package in packages() for c in mutations_of(package) for t in c.tests + c.wider}
    missing = []
    for test in named:
        file, _, name = test.partition("::")
        path = ROOT / file
        if not path.exists() or (name and f"def {name}(" not in path.read_text(encoding="utf-8")):
            missing.append(test)
    assert missing == []
