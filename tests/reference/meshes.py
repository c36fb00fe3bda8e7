"""Reading and measuring, shared by the reference scripts. Millimetres throughout."""

import numpy as np
import trimesh


def read(path: str) -> trimesh.Trimesh:
    """Reads an STL and joins vertices whose coordinates are equal; repairs nothing.

    Triangles with two equal corners enclose nothing and are dropped; their number is in `metadata["collapsed"]`.
    """
    mesh = trimesh.load(path, force="mesh", file_type="stl", process=False)
    mesh.merge_vertices()
    a, b, c = mesh.faces.T
    collapsed = (a == b) | (b == c) | (c == a)
    mesh.update_faces(~collapsed)
    mesh.metadata["collapsed"] = int(collapsed.sum())
    return mesh


def rounding(mesh: trimesh.Trimesh) -> float:
    """The largest distance that storing coordinates as 32-bit numbers moves a point of this mesh."""
    return float(np.abs(mesh.bounds).max()) * 2.0**-24 * 3.0**0.5


def area_in_plane(triangles: np.ndarray, normal: np.ndarray, offset: float, within: float) -> dict:
    """Area of the triangles (n, 3, 3) that lie in the plane `normal · p = offset`, to `within`.

    `signed_mm2` takes triangles that face the other way off, `covered_mm2` adds them all: they differ where a cap is
    folded over itself.
    """
    distance = np.abs(triangles @ normal - offset).max(axis=1)
    along = vector_areas(triangles[distance <= within]) @ normal
    return {"signed_mm2": abs(float(along.sum())), "covered_mm2": float(np.abs(along).sum())}


def vector_areas(triangles: np.ndarray) -> np.ndarray:
    """Area times normal of every triangle (n, 3, 3)."""
    return 0.5 * np.cross(triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0])
