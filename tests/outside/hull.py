"""The hull rule: beyond the samples, the value at the nearest point of their convex hull."""

import numpy as np

# Samples this near to a side of the hull lie on it and bound its pieces: rows of a grid are
# straight only up to the rounding of their coordinates.
ON_EDGE_M = 1e-3


def nearest_on_hull(points, values, edges, queries):
    """Values (m, attributes) at the hull's nearest points, and the distances to these.

    `edges` are pairs of samples that bound the hull; along an edge the value runs linearly from
    one to the other.
    """
    found = np.zeros((len(queries), values.shape[1]))
    best = np.full(len(queries), np.inf)
    for a, b in edges:
        start, along = points[a], points[b] - points[a]
        t = np.clip(((queries - start) @ along) / (along @ along), 0, 1)
        distance = np.hypot(*(queries - start - t[:, None] * along).T)
        nearer = distance < best
        best[nearer] = distance[nearer]
        found[nearer] = ((1 - t)[:, None] * values[a] + t[:, None] * values[b])[nearer]
    return found, best


def hull_edges(points, corners):
    """Pairs of samples along the hull; `corners` are its corners in counter-clockwise order."""
    edges = []
    for a, b in zip(corners, np.roll(corners, -1)):
        side = points[b] - points[a]
        length = np.hypot(*side)
        east, north = side / length
        along = (points - points[a]) @ (east, north)
        depth = (points - points[a]) @ (-north, east)
        on = np.flatnonzero((np.abs(depth) <= ON_EDGE_M) & (along > 1e-6) & (along < length - 1e-6))
        chain = [a, *on[np.argsort(along[on])], b]
        edges += zip(chain, chain[1:])
    return edges
