"""What others see in a model that was mended: is it closed, and is it where it was?

    mended.py < job

The job is a JSON list of `{"before": STL, "after": STL, "measure": bool}`, in millimetres; the answer a list in the same order.
How far new faces are off is measured where asked for: over a filled hole there is nothing to be near to.
"""

import json
import sys

import manifold3d
import numpy as np
import trimesh

from meshes import is_balanced, read, rounding, unbalanced


def main() -> None:
    print(json.dumps([judged(**one) for one in json.load(sys.stdin)]))


def judged(before: str, after: str, measure: bool) -> dict:
    original, mended = read(before), read(after)
    vertices, faces = np.asarray(mended.vertices, dtype=np.float64), np.asarray(mended.faces, dtype=np.uint64)
    solid = manifold3d.Manifold(manifold3d.Mesh64(vertices, faces)) if len(faces) else None
    return {
        "triangles": len(mended.faces),
        "balanced": is_balanced(mended),
        "unbalanced": unbalanced(mended.triangles),
        "unbalanced_before": unbalanced(original.triangles),
        "watertight": bool(mended.is_watertight),
        "winding_consistent": bool(mended.is_winding_consistent),
        "volume_mm3": float(mended.volume),
        "manifold3d": "nothing" if solid is None else str(solid.status()).rsplit(".", 1)[-1],
        "new_vertices": int((~known(mended.vertices, original.vertices)).sum()),
        "off_mm": farthest_off(mended, original) if measure else None,
        "rounding_mm": rounding(original),
    }


def known(places: np.ndarray, among: np.ndarray) -> np.ndarray:
    """Which of the places are among the others, to the last bit."""
    seen = {tuple(place) for place in among.tolist()}
    return np.array([tuple(place) in seen for place in places.tolist()], dtype=bool)


def farthest_off(mended: trimesh.Trimesh, original: trimesh.Trimesh) -> float:
    """The greatest distance of corners and middles of faces from the original. Faces that the original has, turned either
    way, are on it; only the others are measured."""
    corners = np.concatenate([mended.triangles.reshape(-1, 3), original.triangles.reshape(-1, 3)])
    _, number = np.unique(corners, axis=0, return_inverse=True)
    faces = np.sort(number.reshape(-1, 3), axis=1)
    theirs = {tuple(face) for face in faces[len(mended.triangles) :].tolist()}
    new = np.array([tuple(face) not in theirs for face in faces[: len(mended.triangles)].tolist()], dtype=bool)
    if not new.any():
        return 0.0
    triangles = mended.triangles[new]
    places = np.concatenate([triangles.reshape(-1, 3), triangles.mean(axis=1)])
    places = np.unique(places, axis=0)
    # The library compares with tolerances in units of the file, and is wrong by far more than rounding on small models
    # with fine faces. A power of two alters no digit.
    scale = 2.0 ** np.ceil(np.log2(LARGE / np.abs(original.vertices).max()))
    enlarged = trimesh.Trimesh(original.vertices * scale, original.faces, process=False)
    _, distance, _ = trimesh.proximity.closest_point(enlarged, places * scale)
    return float(distance.max()) / scale


# Largest coordinate, in units, that distances are measured at: about that of a helmet in millimetres.
LARGE = 256.0


if __name__ == "__main__":
    main()
