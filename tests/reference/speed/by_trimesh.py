"""trimesh. It cuts one side at a time: both sides are two calls."""

import numpy as np
import trimesh


def prepare(vertices: np.ndarray, triangles: np.ndarray) -> trimesh.Trimesh:
    return trimesh.Trimesh(vertices, triangles.astype(np.int64), process=False)


def read(path: str) -> trimesh.Trimesh:
    return trimesh.load(path, force="mesh")


def prepare_loose(corners: np.ndarray) -> trimesh.Trimesh:
    return trimesh.Trimesh(corners, np.arange(len(corners)).reshape(-1, 3), process=False)


def merge(loose: trimesh.Trimesh) -> trimesh.Trimesh:
    loose.merge_vertices()
    return loose


def vertices(solid: trimesh.Trimesh) -> int:
    return len(solid.vertices)


def edges(solid: trimesh.Trimesh) -> int:
    """Open ones and those with more than two faces."""
    _, counts = np.unique(trimesh.grouping.hashable_rows(solid.edges_sorted), return_counts=True)
    return int((counts != 2).sum())


def turn(solid: trimesh.Trimesh) -> trimesh.Trimesh:
    trimesh.repair.fix_normals(solid, multibody=False)
    return solid


def fill(solid: trimesh.Trimesh) -> trimesh.Trimesh:
    trimesh.repair.fill_holes(solid)
    return solid


def cut(solid: trimesh.Trimesh, normal: np.ndarray, offset: float) -> tuple:
    origin = normal * offset
    return solid.slice_plane(origin, -normal, cap=True), solid.slice_plane(origin, normal, cap=True)


def section(solid: trimesh.Trimesh, normal: np.ndarray, offset: float):
    return solid.section(plane_origin=normal * offset, plane_normal=normal)


def length(section) -> float:
    return float(section.length)


def shells(solid: trimesh.Trimesh) -> list:
    return list(solid.split(only_watertight=False))


def arrays(solid: trimesh.Trimesh) -> tuple[np.ndarray, np.ndarray]:
    return np.asarray(solid.vertices), np.asarray(solid.faces)
