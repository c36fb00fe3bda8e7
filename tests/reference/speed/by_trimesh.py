"""trimesh. It cuts one side at a time: both sides are two calls."""

import numpy as np
import trimesh


def prepare(vertices: np.ndarray, triangles: np.ndarray) -> trimesh.Trimesh:
    return trimesh.Trimesh(vertices, triangles.astype(np.int64), process=False)


def read(path: str) -> trimesh.Trimesh:
    return trimesh.load(path, force="mesh")


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
