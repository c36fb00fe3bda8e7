"""The same cut by two libraries that know nothing of each other nor of us."""

import manifold3d
import numpy as np
import trimesh

from meshes import cap

# How far from the plane a library's cap may lie and still be taken for the cap, as a share of the model's diagonal.
# Both compute in 64 bits; this is a thousand times their rounding and far below any feature of a model.
CAP_SHARE = 1e-9


def cut_by_trimesh(mesh: trimesh.Trimesh, normal: np.ndarray, offset: float) -> dict:
    try:
        above = mesh.slice_plane(normal * offset, normal, cap=True)
        below = mesh.slice_plane(normal * offset, -normal, cap=True)
    except ValueError as refusal:
        return {"refused": str(refusal)}
    return measures(above.volume, below.volume, above.triangles, normal, offset, mesh.scale)


def cut_by_manifold3d(mesh: trimesh.Trimesh, normal: np.ndarray, offset: float) -> dict:
    vertices = np.asarray(mesh.vertices, dtype=np.float64)
    solid = manifold3d.Manifold(manifold3d.Mesh64(vertices, np.asarray(mesh.faces, dtype=np.uint64)))
    if solid.status() != manifold3d.Error.NoError:
        return {"refused": str(solid.status())}
    above, below = solid.split_by_plane(normal, offset)
    written = above.to_mesh64()
    triangles = np.asarray(written.vert_properties)[:, :3][np.asarray(written.tri_verts, dtype=np.int64)]
    return measures(above.volume(), below.volume(), triangles, normal, offset, mesh.scale)


def measures(above, below, triangles_above, normal, offset, diagonal) -> dict:
    area = cap(triangles_above, normal, offset, within=CAP_SHARE * diagonal)["signed_mm2"]
    return {"above_mm3": float(above), "below_mm3": float(below), "cap_mm2": area}
