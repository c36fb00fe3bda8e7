"""Turns a mesh file into a binary STL in millimetres, with nothing repaired.

    prepare.py SOURCE TARGET SCALE

Every library then reads the same numbers: STL holds 32-bit coordinates, so rounding happens here, once.
"""

import sys

import trimesh


def main() -> None:
    source, target, scale = sys.argv[1], sys.argv[2], float(sys.argv[3])
    mesh = trimesh.load(source, force="mesh", process=False)
    mesh.apply_scale(scale)
    mesh.export(target, file_type="stl")


if __name__ == "__main__":
    main()
