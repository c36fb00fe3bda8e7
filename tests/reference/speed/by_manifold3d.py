"""manifold3d. It works when a result is first asked for: the number of triangles is, within the time.

It reads no files: NumPy reads the STL, manifold3d merges the corners and makes its solid.
"""

import math

import manifold3d
import numpy as np

STL_FACET = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])


def prepare(vertices: np.ndarray, triangles: np.ndarray) -> manifold3d.Manifold:
    # Coordinates come from STL: 32 bits hold them. The library itself computes in 64.
    return solid_of(manifold3d.Mesh(vertices.astype(np.float32), triangles))


def read(path: str) -> manifold3d.Manifold:
    facets = np.fromfile(path, dtype=STL_FACET, offset=84)
    corners = np.ascontiguousarray(facets["corners"].reshape(-1, 3))
    mesh = manifold3d.Mesh(corners, np.arange(len(corners), dtype=np.uint32).reshape(-1, 3))
    mesh.merge()
    return solid_of(mesh)


def prepare_loose(corners: np.ndarray) -> manifold3d.Mesh:
    return manifold3d.Mesh(corners, np.arange(len(corners), dtype=np.uint32).reshape(-1, 3))


def merge(loose: manifold3d.Mesh) -> manifold3d.Manifold:
    loose.merge()
    return solid_of(loose)


def vertices(solid: manifold3d.Manifold) -> int:
    return solid.num_vert()


def cut(solid, normal: np.ndarray, offset: float) -> tuple:
    above, below = solid.split_by_plane(normal, offset)
    return done(below), done(above)


def section(solid, normal: np.ndarray, offset: float):
    """It slices along z only: turning the solid is part of the work."""
    x, y, z = normal
    heading, tilt = math.degrees(math.atan2(y, x)), math.degrees(math.acos(z))
    return solid.rotate([0, 0, -heading]).rotate([0, -tilt, 0]).slice(offset)


def length(section) -> float:
    return sum(float(np.linalg.norm(np.roll(p, -1, axis=0) - p, axis=1).sum()) for p in section.to_polygons())


def shells(solid) -> list:
    return [done(shell) for shell in solid.decompose()]


def bore(solid, normal: np.ndarray, low: np.ndarray, high: np.ndarray):
    """A rod through the middle, square to the normal: `crates/xtask/src/bench/rod.rs` makes the same."""
    return done(solid - rod(normal, low, high))


def rod(normal: np.ndarray, low: np.ndarray, high: np.ndarray, diameter=8.4, sides=64) -> manifold3d.Manifold:
    middle, half = (low + high) / 2, np.linalg.norm(high - low)
    along = np.cross(normal, [1.0, 0.0, 0.0])
    along /= np.linalg.norm(along)
    up = np.eye(3)[np.argmin(np.abs(along))]
    up -= along * up.dot(along)
    up /= np.linalg.norm(up)
    turns = (np.arange(sides) + 0.5) * 2 * np.pi / sides
    radius = diameter / 2 / np.cos(np.pi / sides)
    ring = radius * (np.outer(np.cos(turns), np.cross(up, along)) + np.outer(np.sin(turns), up)) + middle
    i = np.arange(sides)
    j = (i + 1) % sides
    walls = np.concatenate([np.stack([i, j, j + sides], 1), np.stack([i, j + sides, i + sides], 1)])
    ends = np.concatenate([np.stack([0 * i, j, i], 1)[1:-1], np.stack([0 * i, i, j], 1)[1:-1] + sides])
    corners = np.concatenate([ring - along * half, ring + along * half])
    return solid_of(manifold3d.Mesh64(corners, np.concatenate([walls, ends]).astype(np.uint64)))


def arrays(solid) -> tuple[np.ndarray, np.ndarray]:
    mesh = solid.to_mesh64()
    return np.asarray(mesh.vert_properties)[:, :3], np.asarray(mesh.tri_verts, dtype=np.int64)


def solid_of(mesh: manifold3d.Mesh) -> manifold3d.Manifold:
    solid = done(manifold3d.Manifold(mesh))
    if solid.status() != manifold3d.Error.NoError:
        raise ValueError(f"refused: {solid.status()}")
    return solid


def done(solid):
    solid.num_tri()
    return solid
