"""Disks that fail, memory that runs out, power that goes, kills: files stay whole, words are said.

`python -m tests.reliability disk` tries every call of every command, and 500 kills.
"""

from __future__ import annotations

import pytest

from tests.reliability.disk import COMMANDS, disk_faults, kills, memory_faults, power_losses


@pytest.mark.parametrize("name", ["picture", "pages", "new scene", "example"])
def test_whichever_file_call_fails_all_stays_or_all_is_new(name: str) -> None:
    count, wrong = disk_faults(name)
    assert wrong == []
    assert count > 8


@pytest.mark.parametrize("name", ["picture", "pages"])
def test_whichever_field_does_not_fit_is_told(name: str) -> None:
    count, wrong = memory_faults(name, every=41)
    assert wrong == []
    assert count > 2


@pytest.mark.parametrize("name", COMMANDS)
def test_whenever_the_power_goes_files_are_old_or_new(name: str) -> None:
    count, wrong = power_losses(name)
    assert wrong == []
    assert count > 30


def test_killed_at_any_call_a_command_leaves_whole_files_and_the_next_clears_up() -> None:
    ends, wrong = kills(12)
    assert wrong == []
    assert min(ends["old"], ends["new"]) > 0
