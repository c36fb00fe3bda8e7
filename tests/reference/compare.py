"""Cuts a mesh as other libraries do it, and measures the pieces that we wrote.

Reads a job from standard input:

    {"mesh": STL, "cuts": [{"normal": [x, y, z], "offset_mm": d, "pieces": [STL, ...]}, ...]}

and prints, for the mesh and every cut, the measures by formula and by the libraries, and those of our pieces.
`normal` has length 1; `above` is where `normal · p > d`.
"""

import json
import sys

import numpy as np
import trimesh

import formula
from libraries import cut_by_manifold3d, cut_by_trimesh, cut_by_vtk
from meshes import cap, is_balanced, read, rounding


# How far off the plane a point of a cap that we wrote may lie, in units of the rounding to 32 bits: the program counts
# vertices within 2^-22 of the largest coordinate as on the plane, which is 2.3 of these units, and then rounds them.
OFF_PLANE = 4.0


def main() -> None:
    job = json.load(sys.stdin)
    mesh = read(job["mesh"])
    json.dump({"mesh": describe(mesh), "cuts": [answer(mesh, cut) for cut in job["cuts"]]}, sys.stdout)


def answer(mesh: trimesh.Trimesh, cut: dict) -> dict:
    normal, offset = np.array(cut["normal"]), cut["offset_mm"]
    return {
        "formula": formula.cut(mesh.triangles, normal, offset),
        "trimesh": cut_by_trimesh(mesh, normal, offset),
        "manifold3d": cut_by_manifold3d(mesh, normal, offset),
        "vtk": cut_by_vtk(mesh, normal, offset),
        "pieces": [piece(read(path), normal, offset) for path in cut["pieces"]],
    }


def piece(mesh: trimesh.Trimesh, normal: np.ndarray, offset: float) -> dict:
    """A piece that we wrote: how it holds together, and how it lies to the plane."""
    heights = mesh.vertices @ normal - offset
    is_above = bool(heights.max() > -heights.min())
    beyond = -heights.min() if is_above else heights.max()
    return describe(mesh) | {
        "above": is_above,
        "beyond_plane_mm": max(float(beyond), 0.0),
        "cap": cap(mesh.triangles, normal, offset, within=OFF_PLANE * rounding(mesh)),
    }


def describe(mesh: trimesh.Trimesh) -> dict:
    return {
        "triangles": len(mesh.faces),
        "shells": int(mesh.body_count),
        "collapsed": mesh.metadata["collapsed"],
        "balanced": is_balanced(mesh),
        "watertight": bool(mesh.is_watertight and mesh.is_winding_consistent),
        "volume_mm3": float(mesh.volume),
        "area_mm2": float(mesh.area),
        "min_mm": mesh.bounds[0].tolist(),
        "max_mm": mesh.bounds[1].tolist(),
        "rounding_mm": rounding(mesh),
    }


if __name__ == "__main__":
    main()
