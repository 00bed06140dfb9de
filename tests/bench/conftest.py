"""Two threads for every benchmark, so that figures compare between machines."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

import pytest


@pytest.fixture(scope="session")
def pool():
    with ThreadPoolExecutor(2) as threads:
        yield threads
