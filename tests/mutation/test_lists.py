"""The listed changes can be made: their snippets stand in the code, and their tests are there."""

from __future__ import annotations

from tests.mutation.running import mutations_of, packages


def test_the_lists_are_long_and_even_and_can_be_made() -> None:
    # code and tests move on: what is stale is told by the command, and holds up no other work here
    listed = {package: mutations_of(package) for package in packages()}
    changes = [change for of in listed.values() for change in of]
    assert min(map(len, listed.values())) >= 6
    assert [change for change in changes if change.old == change.new or not change.tests] == []
    assert sum(change.place() is not None and change.tests_there() for change in changes) >= 250
