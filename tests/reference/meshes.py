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


def is_balanced(mesh: trimesh.Trimesh) -> bool:
    """Whether every edge is run through as often one way as the other: closed, though sheets may lie on one another."""
    low_to_high = mesh.edges[:, 0] < mesh.edges[:, 1]
    _, edge = np.unique(mesh.edges_sorted, axis=0, return_inverse=True)
    return bool((np.bincount(edge.ravel(), weights=np.where(low_to_high, 1, -1)) == 0).all())


def cap(triangles: np.ndarray, normal: np.ndarray, offset: float, within: float) -> dict:
    """The triangles (n, 3, 3) that lie in the plane `normal · p = offset`, to `within`.

    `signed_mm2` takes triangles that face the other way off, `covered_mm2` adds them all: they differ where a cap is
    folded over itself. `outline_mm` is the length of the edges that have a triangle of the cap on one side only.
    """
    distance = np.abs(triangles @ normal - offset).max(axis=1)
    flat = triangles[distance <= within]
    along = vector_areas(flat) @ normal
    return {
        "signed_mm2": abs(float(along.sum())),
        "covered_mm2": float(np.abs(along).sum()),
        "outline_mm": outline_length(flat),
    }


def outline_length(triangles: np.ndarray) -> float:
    """Length of the edges that have one of the triangles (n, 3, 3) on one side only."""
    if len(triangles) == 0:
        return 0.0
    points, corner = np.unique(triangles.reshape(-1, 3), axis=0, return_inverse=True)
    corner = corner.reshape(-1, 3)
    edges = np.sort(np.concatenate([corner[:, [i, (i + 1) % 3]] for i in range(3)]), axis=1)
    distinct, count = np.unique(edges, axis=0, return_counts=True)
    ends = points[distinct[count == 1]]
    return float(np.linalg.norm(ends[:, 1] - ends[:, 0], axis=1).sum())


def vector_areas(triangles: np.ndarray) -> np.ndarray:
    """Area times normal of every triangle (n, 3, 3)."""
    return 0.5 * np.cross(triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0])


def volume(triangles: np.ndarray) -> float:
    """Signed volume between the middle of the corners and the triangles (n, 3, 3): enclosed where they are closed."""
    a, b, c = np.moveaxis(triangles - triangles.reshape(-1, 3).mean(axis=0), 1, 0)
    return float(np.einsum("ij,ij->", a, np.cross(b, c)) / 6.0)


def unbalanced(triangles: np.ndarray) -> int:
    """Edges of the triangles (n, 3, 3), corners of equal places joined, that are not run through as often one way as the
    other: with any, they bound no volume."""
    _, corner = np.unique(triangles.reshape(-1, 3), axis=0, return_inverse=True)
    corner = corner.reshape(-1, 3)
    edges = np.concatenate([corner[:, [i, (i + 1) % 3]] for i in range(3)])
    edges = edges[edges[:, 0] != edges[:, 1]]
    _, edge = np.unique(np.sort(edges, axis=1), axis=0, return_inverse=True)
    return int((np.bincount(edge.ravel(), weights=np.where(edges[:, 0] < edges[:, 1], 1, -1)) != 0).sum())
