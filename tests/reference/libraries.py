"""The same cut by three libraries that know nothing of each other nor of us."""

import sys
from pathlib import Path

import manifold3d
import numpy as np
import trimesh

from meshes import cap, unbalanced, volume

sys.path.append(str(Path(__file__).parent / "speed"))
import by_vtk

# How far from the plane a library's cap may lie and still be taken for the cap, as a share of the model's diagonal.
# Both compute in 64 bits; this is a thousand times their rounding and far below any feature of a model.
CAP_SHARE = 1e-9


def cut_by_trimesh(mesh: trimesh.Trimesh, normal: np.ndarray, offset: float) -> dict:
    try:
        above = mesh.slice_plane(normal * offset, normal, cap=True).triangles
        below = mesh.slice_plane(normal * offset, -normal, cap=True).triangles
    except ValueError as refusal:
        return {"refused": str(refusal)}
    return measures(above, below, normal, offset, mesh.scale)


def cut_by_manifold3d(mesh: trimesh.Trimesh, normal: np.ndarray, offset: float) -> dict:
    vertices = np.asarray(mesh.vertices, dtype=np.float64)
    solid = manifold3d.Manifold(manifold3d.Mesh64(vertices, np.asarray(mesh.faces, dtype=np.uint64)))
    if solid.status() != manifold3d.Error.NoError:
        return {"refused": str(solid.status())}
    above, below = (written.to_mesh64() for written in solid.split_by_plane(normal, offset))
    above, below = (
        np.asarray(side.vert_properties)[:, :3][np.asarray(side.tri_verts, dtype=np.int64)] for side in (above, below)
    )
    return measures(above, below, normal, offset, mesh.scale)


def cut_by_vtk(mesh: trimesh.Trimesh, normal: np.ndarray, offset: float) -> dict:
    solid = by_vtk.prepare(np.asarray(mesh.vertices, dtype=np.float64), np.asarray(mesh.faces, dtype=np.int64))
    below, above = (by_vtk.arrays(side) for side in by_vtk.cut(solid, normal, offset))
    below, above = (np.asarray(vertices, dtype=np.float64)[corners] for vertices, corners in (below, above))
    return measures(above, below, normal, offset, mesh.scale)


def measures(above: np.ndarray, below: np.ndarray, normal: np.ndarray, offset: float, diagonal: float) -> dict:
    """Measures of the two sides, triangles (n, 3, 3) each."""
    measured = cap(above, normal, offset, within=CAP_SHARE * diagonal)
    return {
        "above_mm3": volume(above),
        "below_mm3": volume(below),
        "cap_mm2": measured["signed_mm2"],
        "outline_mm": measured["outline_mm"],
        "unbalanced": unbalanced(above) + unbalanced(below),
    }
