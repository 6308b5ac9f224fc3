"""The hull rule: beyond the samples, the value at the nearest point of their convex hull."""

import numpy as np


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
