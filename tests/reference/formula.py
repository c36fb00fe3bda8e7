"""Volume on each side of a plane and area of the section, by the divergence theorem alone.

No cap is built, so nothing can go wrong with building one. Clip every triangle at the plane. With the origin moved onto
the plane, the volume of a side is the sum of tetrahedra from that origin to the clipped triangles: the cap would lie in
the plane of the origin and add nothing. The vector areas of a closed surface sum to zero: the cap's is what the clipped
triangles lack. Where shells overlap, both count overlaps as often as they are covered.
"""

import numpy as np

from meshes import vector_areas


def cut(triangles: np.ndarray, normal: np.ndarray, offset: float) -> dict:
    """Measures of `triangles` (n, 3, 3) cut at `normal · p = offset`; `above` is where `normal · p` is larger."""
    local = triangles - normal * offset
    above, below = clip(local, normal), clip(local, -normal)
    return {
        "above_mm3": tetrahedra(above),
        "below_mm3": tetrahedra(below),
        "cap_mm2": abs(float(vector_areas(above).sum(axis=0) @ normal)),
        "outline_mm": outline(local, normal),
        "unbalanced": 0,
    }


def outline(triangles: np.ndarray, normal: np.ndarray) -> float:
    """Length of the lines in which `triangles` meet the plane through the origin: one from each that crosses it."""
    height = triangles @ normal
    above = height >= 0.0
    chosen = np.flatnonzero(above.any(axis=1) & ~above.all(axis=1))
    odd = np.argmax(above[chosen] == (above[chosen].sum(axis=1) == 1)[:, None], axis=1)
    order = (odd[:, None] + np.arange(3)) % 3
    a, b, c = np.moveaxis(triangles[chosen[:, None], order], 1, 0)
    ha, hb, hc = np.moveaxis(height[chosen[:, None], order], 1, 0)
    return float(np.linalg.norm(crossing(a, b, ha, hb) - crossing(a, c, ha, hc), axis=1).sum())


def clip(triangles: np.ndarray, normal: np.ndarray) -> np.ndarray:
    """The parts of `triangles` where `normal · p >= 0`, as triangles."""
    height = triangles @ normal
    kept = height >= 0.0
    count = kept.sum(axis=1)
    parts = [triangles[count == 3]]
    for corners_kept in (1, 2):
        # Turn each triangle so that its odd corner, the only one on its side, comes first.
        chosen = np.flatnonzero(count == corners_kept)
        odd = np.argmax(kept[chosen] == (corners_kept == 1), axis=1)
        order = (odd[:, None] + np.arange(3)) % 3
        a, b, c = np.moveaxis(triangles[chosen[:, None], order], 1, 0)
        ha, hb, hc = np.moveaxis(height[chosen[:, None], order], 1, 0)
        ab = crossing(a, b, ha, hb)
        ac = crossing(a, c, ha, hc)
        if corners_kept == 1:
            parts.append(np.stack([a, ab, ac], axis=1))
        else:
            parts.append(np.stack([ab, b, c], axis=1))
            parts.append(np.stack([ab, c, ac], axis=1))
    return np.concatenate(parts)


def crossing(p: np.ndarray, q: np.ndarray, height_p: np.ndarray, height_q: np.ndarray) -> np.ndarray:
    """Where the edges from `p` to `q` meet the plane; one end of each is above it, the other below."""
    return p + (q - p) * (height_p / (height_p - height_q))[:, None]


def tetrahedra(triangles: np.ndarray) -> float:
    """Signed volume between the origin and the triangles."""
    a, b, c = np.moveaxis(triangles, 1, 0)
    return float(np.einsum("ij,ij->", a, np.cross(b, c)) / 6.0)
