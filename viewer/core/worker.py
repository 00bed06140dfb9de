"""Threads for work that takes long, its results taken in where the window ticks.

They stand back: the window's own thread, which the painter waits for, goes before them.
"""

from __future__ import annotations

import os
import sys
import threading
import time
from collections import deque
from collections.abc import Callable, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from typing import Any, TypeVar

from glaze.errors import InputError

Part = TypeVar("Part")

NICE = 5
"""How far they stand back: under Linux a third of what the window's thread gets of a core."""


def helpers(count: int, name: str) -> ThreadPoolExecutor:
    """So many threads that stand back."""
    return ThreadPoolExecutor(count, thread_name_prefix=name, initializer=_stand_back)


def _stand_back() -> None:
    if sys.platform == "linux":  # elsewhere that number isn't a thread's
        own = os.getpriority(os.PRIO_PROCESS, os.getpid())
        os.setpriority(os.PRIO_PROCESS, threading.get_native_id(), own + NICE)


def shared(pool: ThreadPoolExecutor, work: Callable[[Part], object], parts: Sequence[Part]) -> None:
    """Work on parts here and in a pool: what none of its threads has begun is done here.

    So it never waits for whatever else the pool has to do.
    """
    jobs = [(pool.submit(work, part), part) for part in parts[:-1]]
    for part in parts[-1:]:
        work(part)
    for job, part in reversed(jobs):
        if job.cancel():
            work(part)
    for job, _ in jobs:
        if not job.cancelled():
            job.result()


class Worker:
    """Does jobs one after the other; `poll` hands each result to its taker."""

    def __init__(self) -> None:
        self._pool = helpers(1, "glaze-settle")
        self._jobs: deque[tuple[Future[Any], Callable[[Any], None], Callable[[InputError], Any]]]
        self._jobs = deque()

    def do(
        self,
        job: Callable[[], Any],
        take: Callable[[Any], None] = lambda result: None,
        refused: Callable[[InputError], Any] | None = None,
    ) -> None:
        """Do a job; `take` gets its result in `poll`, or `refused` what is wrong with it."""
        self._jobs.append((self._pool.submit(job), take, refused or _raise))

    def poll(self) -> bool:
        """Take in what is ready, in order; whether anything was."""
        taken = False
        while self._jobs and self._jobs[0][0].done():
            job, take, refused = self._jobs.popleft()
            taken = True
            try:
                result = job.result()
            except InputError as error:
                refused(error)
            else:
                take(result)
        return taken

    @property
    def busy(self) -> bool:
        """Whether anything is still to come."""
        return bool(self._jobs)

    def finish(self) -> None:
        """Wait for all jobs, and for those they lead to."""
        while self.busy:
            self.poll()
            time.sleep(0.001)

    def close(self) -> None:
        """Let the thread go."""
        self._pool.shutdown(wait=True, cancel_futures=True)


class Workers:
    """Several, each with a thread of its own, whose jobs may lead to one another's."""

    def __init__(self, *workers: Worker) -> None:
        self._workers = workers

    def poll(self) -> None:
        """Take in what is ready."""
        for worker in self._workers:
            worker.poll()

    @property
    def busy(self) -> bool:
        """Whether anything is still to come."""
        return any(worker.busy for worker in self._workers)

    def finish(self) -> None:
        """Wait for all jobs, and for those they lead to."""
        while self.busy:
            for worker in self._workers:
                worker.finish()

    def close(self) -> None:
        """Let the threads go."""
        for worker in self._workers:
            worker.close()


def _raise(error: InputError) -> None:
    raise error
