"""One thread for work that takes long, its results taken in where the window ticks."""

from __future__ import annotations

import time
from collections import deque
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from typing import Any

from glaze.errors import InputError


class Worker:
    """Does jobs one after the other; `poll` hands each result to its taker."""

    def __init__(self) -> None:
        self._pool = ThreadPoolExecutor(1, thread_name_prefix="glaze-settle")
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

    def finish(self, seconds: float = 60.0) -> None:
        """Wait for all jobs, and for those they lead to."""
        until = time.perf_counter() + seconds
        while self.busy:
            self.poll()
            if time.perf_counter() > until:
                raise TimeoutError("the work isn't done")
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
