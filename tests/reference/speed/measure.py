"""Times one piece of work as another library does it: `measure.py LIBRARY`.

Reads a job from standard input and prints the answer, both as `crates/xtask/src/bench/job.rs` has them. The library's
own form of the mesh is made anew before every run and not counted, so that nothing can be kept from one run to the next.
"""

import importlib
import importlib.metadata
import json
import sys
import time

import numpy as np

import memory


FILES = {"read": ".stl", "readobj": ".obj", "readply": ".ply", "readthreemf": ".3mf"}


def main() -> None:
    library = importlib.import_module("by_" + sys.argv[1])
    job = json.load(sys.stdin)
    try:
        answer = measure(library, job) | {"version": importlib.metadata.version(sys.argv[1])}
    except Exception as failure:  # Whatever it is, the table shall say it.
        answer = {"error": f"{type(failure).__name__}: {failure}"[:200]}
    json.dump(answer, sys.stdout)


def measure(library, job: dict) -> dict:
    normal, offsets = np.array(job["normal"]), job["offsets_mm"]
    if job["work"] in FILES:
        prepare = lambda: job["model"] + FILES[job["work"]]
    elif job["work"] == "merge":
        vertices, triangles = read_arrays(job["model"])
        prepare = lambda: library.prepare_loose(vertices[triangles.ravel()].astype(np.float32))
    elif job["work"] == "crossings":
        halves = two_shells(*read_arrays(job["model"]))
        prepare = lambda: [library.prepare(*half) for half in halves]
    else:
        mesh = read_arrays(job["model"])
        bounds = mesh[0].min(axis=0), mesh[0].max(axis=0)
        prepare = lambda: library.prepare(*mesh)
    work = {
        **{work: library.read for work in FILES},
        "merge": lambda loose: library.merge(loose),
        "edges": lambda solid: library.edges(solid),
        "crossings": lambda halves: library.crossings(*halves),
        "turn": lambda solid: library.turn(solid),
        "fill": lambda solid: library.fill(solid),
        "cuts": lambda solid: cut_all(library, solid, normal, offsets),
        "section": lambda solid: library.section(solid, normal, offsets[0]),
        "shells": library.shells,
        "bore": lambda solid: library.bore(solid, normal, *bounds),
    }[job["work"]]
    answer, made = repeat(job, prepare, work)
    return answer | {"figures": figures(library, job["work"], made)}


def repeat(job: dict, prepare, work) -> tuple[dict, object]:
    seconds, before, peak = [], None, None
    while not enough(job, seconds):
        prepared, made = prepare(), None
        if not seconds:
            before = memory.begin()
        begun = time.perf_counter()
        made = work(prepared)
        seconds.append(time.perf_counter() - begun)
        peak = peak or memory.peak()
    return {"seconds": seconds, "before_mib": before, "peak_mib": peak}, made


def enough(job: dict, seconds: list) -> bool:
    runs = len(seconds)
    return runs >= job["most_runs"] or (runs >= job["least_runs"] and sum(seconds) >= job["enough_s"])


def cut_all(library, solid, normal: np.ndarray, offsets: list) -> list:
    """The pieces, lowest first. The middle cut comes first, so that each cut has less to go through."""
    if not offsets:
        return [solid]
    middle = len(offsets) // 2
    below, above = library.cut(solid, normal, offsets[middle])
    return cut_all(library, below, normal, offsets[:middle]) + cut_all(library, above, normal, offsets[middle + 1 :])


def figures(library, work: str, made) -> list:
    """What was made, in numbers that do not depend on who made it."""
    if work == "section":
        return [library.length(made)]
    if work in FILES or work in ("turn", "bore"):
        return [volume(*library.arrays(made))]
    if work == "merge":
        return [library.vertices(made)]
    if work in ("edges", "crossings"):
        return [made]
    if work == "fill":
        return [len(library.arrays(made)[1])]
    volumes = [volume(*library.arrays(solid)) for solid in made]
    return sorted(volumes) if work == "shells" else volumes


def volume(vertices: np.ndarray, triangles: np.ndarray) -> float:
    """By the divergence theorem, about the middle of the mesh."""
    places = np.asarray(vertices, dtype=np.float64)
    a, b, c = np.moveaxis((places - places.mean(axis=0))[triangles], 1, 0)
    return float(np.einsum("ij,ij->", a, np.cross(b, c)) / 6.0)


def two_shells(vertices: np.ndarray, triangles: np.ndarray) -> list:
    """The two halves of a mesh whose faces and vertices come half after half, parted nearest to the middle."""
    numbers = np.maximum.accumulate(triangles.max(axis=1))
    lowest = np.minimum.accumulate(triangles.min(axis=1)[::-1])[::-1]
    borders = np.flatnonzero(lowest[1:] > numbers[:-1]) + 1
    second = int(borders[np.abs(borders - len(triangles) / 2).argmin()])
    first_vertex = int(lowest[second])
    return [
        (vertices[:first_vertex], triangles[:second]),
        (vertices[first_vertex:], triangles[second:] - np.uint32(first_vertex)),
    ]


def read_arrays(model: str) -> tuple[np.ndarray, np.ndarray]:
    vertices = np.fromfile(model + ".vertices", dtype="<f8").reshape(-1, 3)
    return vertices, np.fromfile(model + ".triangles", dtype="<u4").reshape(-1, 3)


if __name__ == "__main__":
    main()
