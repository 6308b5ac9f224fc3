"""Natural-neighbour weights by their definition: the area that a query takes from each sample.

Slow and plain. It answers where MetPy's quicker way through circumcircles is not exact: beside
triangles so flat that the centres of their circles are lost to rounding.
"""

import numpy as np

FAR_M = 1e8  # a frame round everything; a query inside the hull has a cell well within it


def nearer_part(polygon, to, than):
    """The part of a convex polygon (corners in order) nearer to one point than to another."""
    side = (polygon - (to + than) / 2) @ (than - to)
    if (side <= 0).all():
        return polygon
    corners = []
    for n in range(len(polygon)):
        m = (n + 1) % len(polygon)
        if side[n] <= 0:
            corners.append(polygon[n])
        if (side[n] < 0) != (side[m] < 0) and side[n] != side[m]:
            corners.append(polygon[n] + side[n] / (side[n] - side[m]) * (polygon[m] - polygon[n]))
    return np.array(corners).reshape(-1, 2)


def area_of(polygon):
    if len(polygon) < 3:
        return 0.0
    x, y = (polygon - polygon[0]).T
    return abs(np.sum(x * np.roll(y, -1) - y * np.roll(x, -1))) / 2


def weights(points, query):
    """One weight a sample, summing to 1; `query` must lie inside the samples' hull."""
    local = points - query
    order = np.argsort((local**2).sum(axis=1))
    cell = FAR_M * np.array([(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)])
    origin, cutting = np.zeros(2), []
    for n in order:
        # A sample farther away than twice the farthest corner cannot cut the cell.
        if (local[n] ** 2).sum() > 4 * (cell**2).sum(axis=1).max():
            break
        less = nearer_part(cell, origin, local[n])
        if less is not cell:
            cell = less
            cutting.append(n)
    # Only a sample that cuts the cell loses area to it.
    taken = np.zeros(len(points))
    for n in cutting:
        part = cell
        for other in cutting:
            if other != n and len(part):
                part = nearer_part(part, local[n], local[other])
        taken[n] = area_of(part)
    return taken / taken.sum()
