"""What spreading work over a cluster costs and gains: `python -m tests.bench.many`.

A class of eight (the beach huts, seen as eight scenes) is painted at a quarter of its size, by one
process with one thread and by two, on this computer's own loopback; then empty jobs, to see what a
job costs by itself. Prints a table and what that comes to on a hundred workers. Three numbers after
it: scenes, rounds and empty jobs.

Wall times are worth what the computer is idle. The processor's own times don't mind others: by
them the gain is what one worker took, over what the busier of two took.
"""

from __future__ import annotations

import json
import math
import shutil
import sys
import time
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from glaze.cli.each_scene import one_of_many
from glaze.planning.many.spread import Job, done
from glaze.planning.many.variants import painted_small
from glaze.scene.changed import Change
from glaze.scene.parcel import parcel_of

SCENE = Path(__file__).resolve().parents[2] / "scenes" / "huts"
PUPILS, RUNS, EMPTY = 8, 3, 400
NETWORK_MB_PER_S = 110.0
"""What a cable of 1 Gbit/s carries of data at most, 1518 of 1538 bytes a frame, less headers."""
PREVIEW = {
    "output": "out", "view": "picture", "light": None, "scale": 0.25, "crop": None, "bits": None,
    "neon": False, "hands": None, "watch": False,
}  # fmt: skip


def nothing(_scene: str, _memory: Any, number: int) -> int:
    """A job that is none."""
    return number


def busy(client: Any) -> list[float]:
    """Time each worker's processor has spent [s]."""
    spent = client.run(lambda: sum(__import__("psutil").Process().cpu_times()[:2]))
    return list(spent.values())


def painted(scenes: list[Path], address: str, client: Any) -> dict[str, Any]:
    """A class previewed: wall time, and the processor's of the busiest worker and of this side."""
    wanted = "glaze.cli.scene_commands:preview", PREVIEW, {"output": ".png"}, []
    jobs = [Job(str(scene), (str(scene), *wanted)) for scene in scenes]
    before, here, start = busy(client), time.process_time(), time.perf_counter()
    found = done(one_of_many, jobs, address)
    wall, own = time.perf_counter() - start, time.process_time() - here
    spent = [after - then for after, then in zip(busy(client), before, strict=True)]
    back = sum(len(content) for one in found for content in one.files.values())
    return {"wall_s": wall, "busiest_s": max(spent), "all_s": sum(spent), "here_s": own,
            "back_bytes": back / len(jobs)}  # fmt: skip


def main() -> None:
    """Measure and print."""
    import distributed

    told: dict[str, Any] = {}
    with TemporaryDirectory() as folder:
        scenes = [Path(folder) / f"pupil {n}" for n in range(PUPILS)]
        for scene in scenes:
            shutil.copytree(SCENE, scene)
        for workers in (1, 2):
            with (
                distributed.LocalCluster(
                    n_workers=workers,
                    threads_per_worker=1,
                    host="127.0.0.1",
                    dashboard_address=None,
                ) as cluster,
                distributed.Client(cluster) as client,
            ):
                address = cluster.scheduler_address
                # each worker has the model compiled and read, and its pages in memory
                painted(scenes[: 2 * workers], address, client)
                runs = [painted(scenes, address, client) for _ in range(RUNS)]
                told[f"{workers} workers"] = {key: min(run[key] for run in runs) for key in runs[0]}
                start = time.perf_counter()
                done(nothing, [Job(str(scenes[0]), (n,)) for n in range(EMPTY)], address)
                told[f"{workers} workers"]["empty_job_ms"] = (
                    (time.perf_counter() - start) / EMPTY * 1e3
                )
        told["parcel_bytes"] = sum(len(content) for _, content in parcel_of(SCENE).files)
        told["variant_s"] = variant_seconds()
    one, two = told["1 workers"], told["2 workers"]
    told["gain by wall"] = one["wall_s"] / two["wall_s"]
    told["gain by processor"] = one["busiest_s"] / two["busiest_s"]
    json.dump(told, sys.stdout, indent=1)
    print()
    for jobs in (30, 1000):
        for workers in (1, 2, 10, 100):
            seconds = expected(jobs, workers, one["all_s"] / PUPILS, one, told["parcel_bytes"])
            print(f"{jobs} scenes on {workers} workers: {seconds:.0f} s")


def variant_seconds() -> float:
    """A further way of a scene that is settled [s of the processor]."""
    from glaze.sheet.memory import Memory

    memory, best = Memory(), math.inf
    for parts in (2.0, 3.0, 4.0, 5.0):
        start = time.process_time()
        painted_small(str(SCENE), memory, [Change("parts", parts, "one shadow over all six")])
        best = min(best, time.process_time() - start)
    return best


def expected(
    jobs: int, workers: int, job_s: float, measured: dict[str, Any], parcel_bytes: float
) -> float:
    """Seconds that so many scenes take on so many workers.

    The sending side serves all of them one after the other: what a job costs by itself, and the
    parcels and pictures through one cable. Workers take equal jobs side by side.
    """
    cable = jobs * (parcel_bytes + measured["back_bytes"]) / (NETWORK_MB_PER_S * 1e6)
    served = jobs * measured["empty_job_ms"] / 1e3 + cable
    return max(math.ceil(jobs / workers) * job_s, served) + job_s


if __name__ == "__main__":
    if sys.argv[1:]:
        PUPILS, RUNS, EMPTY = map(int, sys.argv[1:])
    main()
