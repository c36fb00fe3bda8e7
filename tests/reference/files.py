"""Reads mesh files with trimesh and measures them; holds 3MF files against the rules of the core specification.

    files.py FILE...

prints one JSON object a line, in the order of the files: what trimesh finds, or its refusal. Nothing is repaired: all
instances are placed and joined, vertices with equal coordinates are made one, triangles that lose a corner that way are
counted and dropped.
"""

import json
import sys

import numpy as np
import scipy.sparse.csgraph
import trimesh

from threemf import faults


def main() -> None:
    for path in sys.argv[1:]:
        told = measured(path)
        if path.lower().endswith(".3mf"):
            told["faults"] = faults(path)
        print(json.dumps(told))


def measured(path: str) -> dict:
    try:
        mesh = trimesh.load(path, process=False, maintain_order=True, skip_materials=True)
        if isinstance(mesh, trimesh.Scene):
            mesh = mesh.to_geometry() if mesh.geometry else trimesh.Trimesh()
        if len(mesh.faces) == 0:
            return {"refused": "no faces"}
    except Exception as refusal:  # whatever it is, it is the answer
        return {"refused": f"{type(refusal).__name__}: {refusal}"}
    vertices, number = np.unique(np.asarray(mesh.vertices) + 0.0, axis=0, return_inverse=True)
    triangles = number.reshape(-1)[np.asarray(mesh.faces)]
    a, b, c = triangles.T
    collapsed = (a == b) | (b == c) | (c == a)
    mesh = trimesh.Trimesh(vertices, triangles[~collapsed], process=False)
    mesh.remove_unreferenced_vertices()
    return {
        "triangles": len(mesh.faces),
        "collapsed": int(collapsed.sum()),
        "vertices": len(mesh.vertices),
        "shells": shells(mesh.faces),
        "watertight": bool(mesh.is_watertight),
        "volume": float(mesh.volume),
        "area": float(mesh.area),
        "min": mesh.bounds[0].tolist(),
        "max": mesh.bounds[1].tolist(),
    }


def shells(triangles: np.ndarray) -> int:
    """Groups of faces that hang together over edges. (trimesh's own count lets a shared vertex hold them together.)"""
    edges = np.sort(np.concatenate([triangles[:, [i, (i + 1) % 3]] for i in range(3)]), axis=1)
    _, edge = np.unique(edges, axis=0, return_inverse=True)
    edge, face = edge.reshape(-1), np.tile(np.arange(len(triangles)), 3)
    size = len(triangles) + int(edge.max()) + 1
    joined = scipy.sparse.coo_matrix((np.ones(len(edge)), (face, edge + len(triangles))), shape=(size, size))
    return int(scipy.sparse.csgraph.connected_components(joined, directed=False)[0])


if __name__ == "__main__":
    main()
