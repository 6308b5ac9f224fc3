#!/usr/bin/env python3
"""The whole job in tuned Python: what a careful user would write instead, for a fair race.

    tuned_python.py JOB.toml RESULT_FOLDER

Reads the job, projects, interpolates, clips, rates and writes `rate_map.geojson` and
`summary.json`. Loops over cells are numpy's and shapely's; a corner is formatted once; JSON is
joined by hand. It interpolates linearly over the samples' triangles (scipy), which is many times
faster than natural neighbours in Python and gives somewhat different soil values, so its map is
for racing, not for comparing. Time it as a whole process, as one times the program.
"""

import json
import math
import sys
from pathlib import Path

import one_thread  # noqa: F401, before numpy
import numpy as np
import shapely
from pyproj import Transformer
from scipy.spatial import ConvexHull, Delaunay

import lime
from hull import hull_edges, nearest_on_hull
from job import read_job
from tuned_summary import summarise

SMALL_PART = 0.05  # pieces below this part of a cell join a neighbour


def linear(points, values, queries):
    """Values (m, attributes) linear over the triangles, and whether each query lies inside."""
    triangles = Delaunay(points)
    found = triangles.find_simplex(queries)
    inside = found >= 0
    to_plane = triangles.transform[found[inside]]
    parts = np.einsum("nij,nj->ni", to_plane[:, :2], queries[inside] - to_plane[:, 2])
    weights = np.column_stack([parts, 1 - parts.sum(axis=1)])
    result = np.empty((len(queries), values.shape[1]))
    corners = values[triangles.simplices[found[inside]]]
    result[inside] = np.einsum("ni,nia->na", weights, corners)
    edges = hull_edges(points, ConvexHull(points).vertices)
    result[~inside], _ = nearest_on_hull(points, values, edges, queries[~inside])
    return result, inside


def surface_readings(job):
    """Attributes and readings (n, attributes); a blank buffer reads as a need of nothing."""
    attributes, columns = ["ph"], [job.samples.readings["ph"]]
    if lime.METHODS[job.method][0] == "buffer_ph":
        zero = lime.ZERO_NEED_READING[job.method, job.target_ph]
        attributes.append("buffer_ph")
        columns.append([zero if b is None else b for b in job.samples.readings["buffer_ph"]])
    return attributes, np.array(columns, dtype=float).T


class Grid:
    """Cells of a turned square grid, clipped to the outline."""

    def __init__(self, job, door):
        turn = math.radians(job.heading_deg)
        # Columns: across travel and along it, as unit vectors east and north.
        self.axes = np.array([[math.cos(turn), math.sin(turn)], [-math.sin(turn), math.cos(turn)]])
        self.cell = job.cell_m
        polygons = []
        for rings in job.boundary:
            turned = [np.column_stack(door.transform(*np.array(ring).T)) @ self.axes for ring in rings]
            polygons.append(shapely.Polygon(turned[0], turned[1:]))
        self.outline = shapely.union_all(polygons)
        self.cut()
        self.merge_small()

    def cut(self):
        west, south, east, north = self.outline.bounds
        nx, ny = math.ceil((east - west) / self.cell), math.ceil((north - south) / self.cell)
        self.nodes_x = west + np.arange(nx + 1) * self.cell
        self.nodes_y = south + np.arange(ny + 1) * self.cell
        column, row = [a.ravel() for a in np.meshgrid(np.arange(nx), np.arange(ny))]
        low_x, low_y = self.nodes_x[column], self.nodes_y[row]
        boxes = shapely.box(low_x, low_y, self.nodes_x[column + 1], self.nodes_y[row + 1])
        shapely.prepare(self.outline)
        whole = shapely.contains_properly(self.outline, boxes)
        edge = ~whole & shapely.intersects(self.outline, boxes)
        boxes[edge] = shapely.intersection(boxes[edge], self.outline)
        keep = whole | (edge & (shapely.area(boxes) > 1e-6))
        self.shapes, self.whole = boxes[keep], whole[keep]
        self.row, self.column = row[keep], column[keep]

    def merge_small(self):
        """Small pieces join the neighbour that they share the longest edge with."""
        at = {(r, c): n for n, (r, c) in enumerate(zip(self.row, self.column))}
        gone = np.zeros(len(self.shapes), dtype=bool)
        small = np.flatnonzero(shapely.area(self.shapes) < SMALL_PART * self.cell**2)
        for n in small:
            r, c = self.row[n], self.column[n]
            around = [at.get(key) for key in ((r - 1, c), (r + 1, c), (r, c - 1), (r, c + 1))]
            around = [m for m in around if m is not None and not gone[m]]
            shared = [shapely.length(shapely.intersection(self.shapes[n], self.shapes[m])) for m in around]
            if not shared or max(shared) == 0:
                continue
            m = around[int(np.argmax(shared))]
            joined = shapely.union(self.shapes[n], self.shapes[m])
            if joined.geom_type in ("Polygon", "MultiPolygon"):
                self.shapes[m], self.whole[m], gone[n] = joined, False, True
        for name in ("shapes", "whole", "row", "column"):
            setattr(self, name, getattr(self, name)[~gone])

    def value_points(self):
        """Centroids, or points inside where the centroid is not, in metres east and north."""
        points = shapely.centroid(self.shapes)
        cut = np.flatnonzero(~self.whole)
        out = cut[~shapely.contains(self.shapes[cut], points[cut])]
        points[out] = shapely.point_on_surface(self.shapes[out])
        return shapely.get_coordinates(points) @ self.axes.T

    def geometries(self, door):
        """The geometry of each cell as GeoJSON text; each corner of the grid formatted once."""

        def text(points):
            lon, lat = door.transform(*(points @ self.axes.T).T, direction="INVERSE")
            return [f"[{x:.7f},{y:.7f}]" for x, y in zip(lon.tolist(), lat.tolist())], lon, lat

        nx = len(self.nodes_x)
        mesh = np.meshgrid(self.nodes_x, self.nodes_y)
        corner, _, _ = text(np.column_stack([a.ravel() for a in mesh]))
        geometries = [""] * len(self.shapes)
        for n in np.flatnonzero(self.whole):
            first = self.row[n] * nx + self.column[n]
            a, b, c, d = corner[first], corner[first + 1], corner[first + nx + 1], corner[first + nx]
            geometries[n] = f'{{"type":"Polygon","coordinates":[[{a},{b},{c},{d},{a}]]}}'
        cut = np.flatnonzero(~self.whole)
        cut_shapes = shapely.orient_polygons(self.shapes[cut])
        points = shapely.get_coordinates(cut_shapes)
        texts, lon, lat = text(points)
        start = 0
        for n, shape in zip(cut, cut_shapes):
            polygons = []
            for polygon in getattr(shape, "geoms", [shape]):
                rings = []
                for ring in (polygon.exterior, *polygon.interiors):
                    end = start + len(ring.coords)
                    # A corner twice at 7 decimals would make a segment of no length.
                    line = texts[start:end]
                    line = [a for a, b in zip(line, [None, *line]) if a != b]
                    rings.append(f"[{','.join(line)}]")
                    start = end
                polygons.append(f"[{','.join(rings)}]")
            if len(polygons) == 1:
                geometries[n] = f'{{"type":"Polygon","coordinates":{polygons[0]}}}'
            else:
                geometries[n] = f'{{"type":"MultiPolygon","coordinates":[{",".join(polygons)}]}}'
        box = [round(v, 7) for v in (lon.min(), lat.min(), lon.max(), lat.max())]
        return geometries, box


def rate_field(job, attributes, soil, area):
    """Need, rate, limit and what follows from them, in SI units."""
    need = lime.needs(job, dict(zip(attributes, soil.T)))
    rate, limit = lime.machine_rates(job, need / job.effective)
    return {
        "area": area,
        "need": need,
        "rate": rate,
        "limit": limit,
        "product": rate * area,
        "unmet": np.maximum(need - rate * job.effective, 0),
    }


def write_map(path, job, attributes, grid, geometries, box, soil, inside, cells):
    """Writes the rate map; numbers are joined as text."""
    area, rate = ("ac", "ton_ac") if job.units == "us" else ("ha", "t_ha")
    mass = rate.split("_")[0]
    columns = [(f"area_{area}", cells["area"] / job.area_unit_m2)]
    columns += [(key, soil[:, n]) for n, key in enumerate(attributes)]
    columns += [
        (f"need_{rate}", cells["need"] / job.rate_unit),
        (f"rate_{rate}", cells["rate"] / job.rate_unit),
        (f"product_{mass}", cells["product"] / job.mass_unit_kg),
        (f"unmet_need_{rate}", cells["unmet"] / job.rate_unit),
    ]
    template = ",".join(f'"{name}":%.9g' for name, _ in columns)
    numbers = [template % row for row in zip(*(values.tolist() for _, values in columns))]
    lines = [
        f'{{"type":"Feature","properties":{{"cell":"{r}-{c}",{n},"limit":"{limit}",'
        f'"samples":"{"inside" if i else "outside"}"}},"geometry":{g}}}'
        for r, c, n, limit, i, g in zip(
            grid.row.tolist(), grid.column.tolist(), numbers, cells["limit"], inside.tolist(), geometries
        )
    ]
    head = f'{{"type":"FeatureCollection","bbox":{json.dumps(box)},"features":[\n'
    path.write_text(head + ",\n".join(lines) + "\n]}\n", encoding="utf-8")


def prescribe(job_path, folder, surface=linear):
    """Runs the job and writes its two results into `folder`."""
    job = read_job(job_path)
    lons = [x for rings in job.boundary for x, _ in rings[0]]
    lats = [y for rings in job.boundary for _, y in rings[0]]
    middle = (min(lons) + max(lons)) / 2, (min(lats) + max(lats)) / 2
    plane = f"+proj=laea +lon_0={middle[0]} +lat_0={middle[1]} +ellps=WGS84 +units=m"
    door = Transformer.from_crs("+proj=longlat +ellps=WGS84", plane, always_xy=True)
    grid = Grid(job, door)
    attributes, readings = surface_readings(job)
    sites = np.column_stack(door.transform(job.samples.lons, job.samples.lats))
    soil, inside = surface(sites, readings, grid.value_points())
    cells = rate_field(job, attributes, soil, shapely.area(grid.shapes))
    geometries, box = grid.geometries(door)
    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    write_map(folder / "rate_map.geojson", job, attributes, grid, geometries, box, soil, inside, cells)
    summary = summarise(job, attributes, readings, sites, soil, inside, cells, surface)
    (folder / "summary.json").write_text(json.dumps(summary, indent=1), encoding="utf-8")


def main():
    if len(sys.argv) != 3:
        sys.exit(__doc__)
    prescribe(sys.argv[1], sys.argv[2])


if __name__ == "__main__":
    main()
