#!/usr/bin/env python3
"""Natural-neighbour values and leave-one-out errors, computed without this project's code.

Needs numpy, scipy and MetPy 1.7.1, in a Python environment of their own:

    python3 -m venv ENV && ENV/bin/pip install numpy scipy MetPy==1.7.1

    metpy_surface.py values SITES.csv QUERIES.csv   writes x,y,value to standard output
    metpy_surface.py check SITES.csv [--x NAME --y NAME --value NAME]   prints the errors
    metpy_surface.py invent FOLDER                  writes the reference files of the unit tests

Inside the convex hull a value is MetPy's `natural_neighbor_to_points`. On the hull and beyond it,
it is the value of the hull's nearest point, linear between the two samples on the hull that
it lies between.
The files that `invent` writes are invented: no field, no measurement.
"""

import argparse
import csv
import sys
from pathlib import Path

import numpy as np
from metpy.interpolate import natural_neighbor_to_points
from scipy.spatial import ConvexHull

ON_HULL_M = 1e-6


def read(path, names):
    with open(path, newline="") as file:
        rows = list(csv.DictReader(file))
    return np.array([[float(row[name]) for name in names] for row in rows])


def outline(points, hull):
    """The hull's corners with every other sample that lies on its edges, in order."""
    chain = []
    corners = hull.vertices
    for a, b in zip(corners, np.roll(corners, -1)):
        edge = points[b] - points[a]
        length = np.linalg.norm(edge)
        along = (points - points[a]) @ edge / length
        off = np.abs((points - points[a]) @ np.array([-edge[1], edge[0]]) / length)
        on = np.flatnonzero((off <= ON_HULL_M) & (along > ON_HULL_M) & (along < length - ON_HULL_M))
        chain += [a, *on[np.argsort(along[on])]]
    return np.array(chain)


def hull_value(points, values, chain, at):
    """The value at the hull's nearest point."""
    best = (np.inf, np.nan)
    for a, b in zip(chain, np.roll(chain, -1)):
        edge = points[b] - points[a]
        share = np.clip(np.dot(at - points[a], edge) / np.dot(edge, edge), 0.0, 1.0)
        distance = np.linalg.norm(at - points[a] - share * edge)
        if distance < best[0]:
            best = (distance, (1.0 - share) * values[a] + share * values[b])
    return best[1]


def surface(points, values, queries):
    # Eastings and northings of millions of metres leave too few digits for MetPy's circles.
    middle = points.mean(axis=0)
    points, queries = points - middle, queries - middle
    hull = ConvexHull(points)
    depth = (hull.equations[:, :2] @ queries.T + hull.equations[:, 2:]).max(axis=0)
    inside = depth < -ON_HULL_M
    found = np.empty(len(queries))
    if inside.any():
        found[inside] = natural_neighbor_to_points(points, values, queries[inside])
    chain = outline(points, hull)
    for i in np.flatnonzero(~inside):
        found[i] = hull_value(points, values, chain, queries[i])
    return found


def leave_one_out(points, values):
    found = np.empty(len(points))
    for i in range(len(points)):
        others = np.arange(len(points)) != i
        found[i] = surface(points[others], values[others], points[i : i + 1])[0]
    means = (values.sum() - values) / (len(values) - 1)
    rms = lambda error: float(np.sqrt(np.mean(error**2)))
    return rms(found - values), rms(means - values)


def write(path, rows):
    with open(path, "w", newline="") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(["x", "y", "value"])
        out.writerows([[repr(float(number)) for number in row] for row in rows])


def invent(folder):
    random = np.random.default_rng(2)
    wave = lambda p: 6.0 + 0.8 * np.sin(p[:, 0] / 90.0) + 0.5 * np.cos(p[:, 1] / 60.0)
    scattered = random.uniform(-250.0, 250.0, (40, 2)).round(2)
    grid = np.array([[x, y] for y in range(6) for x in range(7)]) * 60.0 - [180.0, 150.0]
    wobbly = (grid[:40] + random.normal(0.0, 6.0, (40, 2))).round(2)
    for name, points in [("scattered", scattered), ("wobbly_grid", wobbly)]:
        values = wave(points).round(3)
        queries = random.uniform(-240.0, 240.0, (200, 2)).round(2)
        found = surface(points, values, queries)
        write(folder / f"{name}_sites.csv", np.column_stack([points, values]))
        write(folder / f"{name}_metpy.csv", np.column_stack([queries, found]))
        rmse, mean_rmse = leave_one_out(points, values)
        print(f"{name}: rmse {rmse!r}, mean_rmse {mean_rmse!r}")


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    commands = parser.add_subparsers(dest="command", required=True)
    for command in ["values", "check"]:
        sub = commands.add_parser(command)
        sub.add_argument("sites", type=Path)
        if command == "values":
            sub.add_argument("queries", type=Path)
        sub.add_argument("--x", default="x")
        sub.add_argument("--y", default="y")
        sub.add_argument("--value", default="value")
    commands.add_parser("invent").add_argument("folder", type=Path)
    asked = parser.parse_args()
    if asked.command == "invent":
        invent(asked.folder)
        return
    table = read(asked.sites, [asked.x, asked.y, asked.value])
    points, values = table[:, :2], table[:, 2]
    if asked.command == "check":
        rmse, mean_rmse = leave_one_out(points, values)
        print(f"samples {len(points)} rmse {rmse!r} mean_rmse {mean_rmse!r}")
        return
    queries = read(asked.queries, [asked.x, asked.y])
    out = csv.writer(sys.stdout, lineterminator="\n")
    out.writerow(["x", "y", "value"])
    for at, value in zip(queries, surface(points, values, queries)):
        out.writerow([repr(float(number)) for number in [*at, value]])


if __name__ == "__main__":
    main()
