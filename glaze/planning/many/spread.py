"""Work on scenes, done side by side: in threads here, or by a cluster of computers.

A job takes one core. What one scene's jobs have in common (the sketch read, regions settled) is
worked out once where they are done. To a cluster (dask.distributed) a scene goes as a parcel of its
files, once; a worker that is lost has its jobs done again by another, and every worker must have
the same model, so that what comes back is the same bytes.
"""

from __future__ import annotations

import shutil
import tempfile
import weakref
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import Future, ThreadPoolExecutor, as_completed
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from glaze.errors import InputError
from glaze.painting.budget import machine_bytes
from glaze.picture.cores import at_most, cores
from glaze.scene.parcel import Parcel, parcel_of
from glaze.scene.records import Scene
from glaze.sheet.kernel import model_hash
from glaze.sheet.memory import Memory

Progress = Callable[[float], None]
Work = Callable[..., Any]
"""Called with a scene's path, a memory for what its jobs have in common (None for a scene with a
single job), and what the job says besides. A module's own function, so that it is found
elsewhere."""

A_JOB_BYTES = 1.5e9
"""Memory of a job, at a guess from an A4 at 300 dpi with 23 steps (0.65 GB); of as many at once
as this machine has room for."""
CONNECT_S = 10


@dataclass(frozen=True)
class Job:
    """A scene's path, and what is to be done with it: arguments of the work after the memory."""

    scene: str
    wanted: tuple[Any, ...] = ()


def done(
    work: Work,
    jobs: Sequence[Job],
    scheduler: str | None = None,
    progress: Progress = lambda share: None,
    others: Iterable[Scene] = (),
) -> list[Any]:
    """What the work gives for each job, in their order; an InputError for one that can't be.

    Parameters
    ----------
    scheduler : address of a running dask.distributed cluster, as tcp://127.0.0.1:8786; None for
        threads of this computer
    others : further scenes of the same folder whose files a cluster needs too

    Raises
    ------
    InputError : there is no such cluster, or it lost a job for good
    """
    spread = _here if scheduler is None else _elsewhere(scheduler, others)
    return spread(work, jobs, progress)


def _here(work: Work, jobs: Sequence[Job], progress: Progress) -> list[Any]:
    """In threads; the first job of a scene before its others, which find the scene settled."""
    often = Counter(job.scene for job in jobs)
    memories = {scene: Memory() for scene, times in often.items() if times > 1}
    firsts = {job.scene: number for number, job in reversed(list(enumerate(jobs)))}
    at_once = min(cores(), max(1, int(min(machine_bytes(), 1e15) / A_JOB_BYTES)))
    found: dict[int, Any] = {}

    def one(number: int, share: int) -> None:
        job = jobs[number]
        with at_most(share):
            found[number] = _tried(work, job.scene, memories.get(job.scene), job.wanted)
        progress(len(found) / len(jobs))

    later = [number for number in range(len(jobs)) if number not in firsts.values()]
    for numbers in (list(firsts.values()), later):
        share = max(1, cores() // min(at_once, max(1, len(numbers))))
        with ThreadPoolExecutor(at_once) as pool:
            futures = [pool.submit(one, number, share) for number in numbers]
            _all(futures, lambda: pool.shutdown(cancel_futures=True))
    return [found[number] for number in range(len(jobs))]


def _all(futures: Iterable[Future[None]], stop: Callable[[], None]) -> None:
    try:
        for future in as_completed(futures):
            future.result()
    except BaseException:
        stop()
        raise


def _tried(work: Work, scene: str, memory: Memory | None, wanted: tuple[Any, ...]) -> Any:
    try:
        return work(scene, memory, *wanted)
    except InputError as error:
        return error
    except (OSError, MemoryError) as error:
        return InputError(f"{scene}: the computer can't do that now ({error or 'no memory'}).")


def _elsewhere(scheduler: str, others: Iterable[Scene]) -> Callable[..., list[Any]]:
    """By the workers of a cluster."""
    try:
        import distributed
    except ImportError:
        raise InputError(
            "--scheduler needs dask, which isn't installed: "
            'python3 -m pip install "glaze-lift[many]".'
        ) from None

    def spread(work: Work, jobs: Sequence[Job], progress: Progress) -> list[Any]:
        often, model = Counter(job.scene for job in jobs), model_hash()
        with _client(distributed, scheduler) as client:
            # parcels are jobs too: a cluster makes one again where a worker took it with it
            sent = {
                scene: packed
                if isinstance(packed := _tried(_packed, scene, None, (others,)), InputError)
                else client.submit(_as_sent, packed, pure=False)
                for scene in often
            }
            asked = [
                client.submit(
                    *(_job, work, job, sent[job.scene], often[job.scene] > 1, model),
                    pure=False,
                )
                for job in jobs
            ]
            try:
                for number, _ in enumerate(distributed.as_completed(asked, loop=client.loop), 1):
                    progress(number / len(asked))
                return [future.result() for future in asked]
            except distributed.KilledWorker:
                raise InputError(
                    "Several workers were lost over one job of work, most likely for want of "
                    "memory: give each more, or ask for a smaller picture."
                ) from None

    return spread


def _packed(scene: str, _memory: None, others: Iterable[Scene]) -> Parcel:
    return parcel_of(scene, others)


def _client(distributed: Any, scheduler: str) -> Any:
    """A cluster that has workers."""
    import dask

    # a scene of many megabytes is sent once, and meant
    dask.config.set({"distributed.admin.large-graph-warning-threshold": "10GB"})
    try:
        client = distributed.Client(scheduler, timeout=CONNECT_S, set_as_default=False)
    except (OSError, ValueError, TypeError):
        raise InputError(
            f'No cluster answers at "{scheduler}": start one with `dask scheduler` and '
            "`dask worker ADDRESS`, and give its address, as tcp://127.0.0.1:8786."
        ) from None
    if not client.scheduler_info()["workers"]:
        client.close()
        raise InputError(
            f'The cluster at "{scheduler}" has no workers yet: `dask worker {scheduler}` starts '
            "one."
        )
    return client


def _as_sent(parcel: Parcel) -> Parcel:
    return parcel


@cache
def _model() -> str:
    return model_hash()


def _job(work: Work, job: Job, packed: Parcel | InputError, again: bool, model: str) -> Any:
    """A job of work where it was sent to: on one core, told as if it had been done at home.

    again : whether there are more of its scene
    """
    if isinstance(packed, InputError):
        return packed
    if _model() != model:
        raise InputError(
            "A worker has another model than this computer: install the same version of glaze and "
            "of its libraries on both, and start the worker anew."
        )
    home = _homes.get(packed.mark) or _Home(packed)
    if again:
        _homes[packed.mark] = home
    while len(_homes) > MOST_HOMES:
        _homes.pop(next(iter(_homes)), None)
    with at_most(1):
        found = _tried(work, str(home.file), home.memory if again else None, job.wanted)
    if isinstance(found, InputError):
        there = str(home.file.parent)
        return InputError([told.replace(there, job.scene) for told in found.problems])
    return found


class _Home:
    """A parcel unpacked, and what has been settled of it; gone once nothing uses it."""

    def __init__(self, parcel: Parcel) -> None:
        folder = tempfile.mkdtemp(prefix="glaze-")
        weakref.finalize(self, shutil.rmtree, folder, ignore_errors=True)
        self.file, self.memory = parcel.unpack(Path(folder)), Memory()


_homes: dict[str, _Home] = {}
MOST_HOMES = 2
"""Scenes that a worker keeps unpacked and settled."""
