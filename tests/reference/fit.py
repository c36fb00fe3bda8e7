"""Looks for poses of a mesh in beds by brute force, and checks those that we found.

Reads a job from standard input:

    {"mesh": STL, "beds": [{"size_mm": [w, d, h], "round": bool, "bed_from_model": [[..] * 4] * 4 or null}, ...]}

and prints for every bed the greatest slack that a search over rotations found (room minus size at the tightest, mm;
negative where the mesh sticks out), and how far our pose sticks out, if we gave one.
"""

import json
import sys

import numpy as np
from scipy.optimize import minimize
from scipy.spatial import ConvexHull
from scipy.spatial.transform import Rotation

from meshes import read

# Rotations looked at first, and how many of the best are descended from. The seed keeps runs alike.
LOOKED_AT = 400
DESCENTS = 4
SEED = 20261130


def main() -> None:
    job = json.load(sys.stdin)
    vertices = np.asarray(read(job["mesh"]).vertices, dtype=np.float64)
    corners = vertices[ConvexHull(vertices).vertices]
    corners = corners - corners.mean(axis=0)
    answers = [
        {"slack_mm": search(corners, bed), "sticks_out_mm": sticks_out(vertices, bed)} for bed in job["beds"]
    ]
    json.dump(answers, sys.stdout)


def search(corners: np.ndarray, bed: dict) -> float:
    # The upright poses are tried too: four turns of each of the mesh's own axes.
    upright = Rotation.create_group("O")
    rotations = Rotation.concatenate([upright, Rotation.random(LOOKED_AT, rng=np.random.default_rng(SEED))])
    slacks = np.array([slack(corners, rotation, bed) for rotation in rotations])
    best = float(slacks.max())
    for start in np.argsort(-slacks)[:DESCENTS]:
        def loss(turn: np.ndarray, start=rotations[int(start)]) -> float:
            return -slack(corners, Rotation.from_rotvec(turn) * start, bed)

        simplex = np.vstack([np.zeros(3), 0.1 * np.eye(3)])
        found = minimize(loss, np.zeros(3), method="Nelder-Mead",
                         options={"initial_simplex": simplex, "xatol": 1e-7, "fatol": 1e-6, "maxfev": 150})
        best = max(best, -float(found.fun))
    return best


def slack(corners: np.ndarray, rotation: Rotation, bed: dict) -> float:
    placed = corners @ rotation.as_matrix().T
    sizes = np.ptp(placed, axis=0)
    width, depth, height = bed["size_mm"]
    if bed["round"]:
        return float(min(width - 2.0 * radius(placed[:, :2]), height - sizes[2]))
    return float(min(width - sizes[0], depth - sizes[1], height - sizes[2]))


def radius(points: np.ndarray) -> float:
    """Of a circle around all points: the middle steps to the farthest, by less each time (Badoiu and Clarkson)."""
    middle = (points.min(axis=0) + points.max(axis=0)) / 2.0
    best = np.inf
    for step in range(2, 42):
        away = np.linalg.norm(points - middle, axis=1)
        best = min(best, away.max())
        middle = middle + (points[away.argmax()] - middle) / step / 2.0
    return float(best)


def sticks_out(vertices: np.ndarray, bed: dict) -> float | None:
    if bed["bed_from_model"] is None:
        return None
    motion = np.array(bed["bed_from_model"])
    if not np.allclose(motion[:3, :3] @ motion[:3, :3].T, np.eye(3), atol=1e-12) or np.linalg.det(motion[:3, :3]) < 0:
        raise ValueError("the pose is no motion")
    placed = vertices @ motion[:3, :3].T + motion[:3, 3]
    width, depth, height = bed["size_mm"]
    out = max(-placed[:, 2].min(), placed[:, 2].max() - height)
    if bed["round"]:
        out = max(out, np.linalg.norm(placed[:, :2] - width / 2.0, axis=1).max() - width / 2.0)
    else:
        out = max(out, -placed[:, :2].min(), placed[:, 0].max() - width, placed[:, 1].max() - depth)
    return float(out)


if __name__ == "__main__":
    main()
