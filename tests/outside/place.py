"""Places: geometry in metres, value points, and soil surfaces by natural neighbours."""

import numpy as np
from metpy.interpolate.points import natural_neighbor_to_points
from pyproj import Geod, Transformer
from scipy.spatial import ConvexHull, Delaunay
from shapely import Polygon, get_num_coordinates, transform, union_all
from shapely.geometry import shape as shape_of

import sibson
from hull import hull_edges, nearest_on_hull

GEOD = Geod(ellps="WGS84")
# Half of the seventh decimal, on the ground: at most 5.6 mm north and as much east.
CORNER_M = 0.5e-7 * 111_700 * 2**0.5
# Hull samples' lines are kept out of the inside: a query nearer than this is on the hull.
ON_HULL_M = 1e-6
FLAT = 10  # circles this much wider than the median one belong to flat triangles


class Frame:
    """An equal-area azimuthal plane centred on the field, by PROJ."""

    def __init__(self, polygons):
        lons = [x for rings in polygons for x, _ in rings[0]]
        lats = [y for rings in polygons for _, y in rings[0]]
        lon, lat = (min(lons) + max(lons)) / 2, (min(lats) + max(lats)) / 2
        plane = f"+proj=laea +lon_0={lon:.7f} +lat_0={lat:.7f} +ellps=WGS84 +units=m"
        self.door = Transformer.from_crs("OGC:CRS84", plane, always_xy=True)

    def points(self, lons, lats):
        return np.column_stack(self.door.transform(np.asarray(lons), np.asarray(lats)))

    def shapes(self, shapes):
        return transform(shapes, lambda c: self.points(c[:, 0], c[:, 1]))

    def outline(self, polygons):
        """The field less its holes, with points every 50 m or so along the geodesic edges."""

        def ring(points):
            dense = []
            for (ax, ay), (bx, by) in zip(points, points[1:]):
                dense.append((ax, ay))
                parts = int(GEOD.inv(ax, ay, bx, by)[2] // 50)
                dense += GEOD.npts(ax, ay, bx, by, parts) if parts else []
            return self.points(*zip(*dense, points[-1]))

        return union_all([Polygon(ring(rings[0]), [ring(hole) for hole in rings[1:]]) for rings in polygons])


def geodesic_area(shape):
    """Area on the ellipsoid in m2, holes taken off."""
    parts = getattr(shape, "geoms", [shape])
    return sum(abs(GEOD.geometry_area_perimeter(part)[0]) for part in parts)


class Surface:
    """Natural-neighbour surfaces inside the samples' hull, the hull rule on and beyond it."""

    def __init__(self, points, values):
        """`points` (n, 2) in metres, `values` (n, attributes)."""
        self.points, self.values = points, values
        self.hull = ConvexHull(points)
        self.edges = hull_edges(points, self.hull.vertices)

    def inside(self, queries):
        normals, offsets = self.hull.equations[:, :2], self.hull.equations[:, 2]
        return (queries @ normals.T + offsets).max(axis=1) < -ON_HULL_M

    def distance_beyond(self, queries):
        """Distance to the nearest point of the hull line."""
        return nearest_on_hull(self.points, self.values, self.edges, queries)[1]

    def at(self, queries):
        """Values at the queries, (m, attributes)."""
        values, _ = nearest_on_hull(self.points, self.values, self.edges, queries)
        inside = np.flatnonzero(self.inside(queries))
        if not len(inside):
            return values
        by_areas = self.beside_flat_triangles(queries[inside])
        at = inside[~by_areas]
        if len(at):
            # MetPy multiplies a sample's values by an area, so positions go through beside them:
            # natural-neighbour weights must give a query's own position back.
            columns = np.column_stack([self.values, self.points])
            answers = natural_neighbor_to_points(self.points, columns, queries[at])
            values[at] = answers[:, :-2]
            by_areas[~by_areas] = ~(np.abs(answers[:, -2:] - queries[at]).max(axis=1) < 1e-6)
        for n in inside[by_areas]:
            values[n] = sibson.weights(self.points, queries[n]) @ self.values
        return values

    def beside_flat_triangles(self, queries):
        """Queries in the circles of triangles too flat for MetPy 1.7.1, most of them at the hull.

        MetPy finds neighbours by the distance to the circles' centres; a flat triangle's centre
        is far away and inexact, and a neighbour may be lost without a sign.
        """
        a, b, c = (self.points[corner] for corner in Delaunay(self.points).simplices.T)
        ab, ac = b - a, c - a
        twice = 2 * (ab[:, 0] * ac[:, 1] - ab[:, 1] * ac[:, 0])
        squares = (ab**2).sum(axis=1), (ac**2).sum(axis=1)
        with np.errstate(divide="ignore", invalid="ignore"):
            east = (ac[:, 1] * squares[0] - ab[:, 1] * squares[1]) / twice
            north = (ab[:, 0] * squares[1] - ac[:, 0] * squares[0]) / twice
        radius = np.hypot(east, north)
        flat = ~(radius < FLAT * np.median(radius))
        beside = np.zeros(len(queries), dtype=bool)
        for n in np.flatnonzero(flat):
            distance = np.hypot(*(queries - a[n] - (east[n], north[n])).T)
            beside |= ~(distance > radius[n] * (1 + 1e-6) + 0.01)
        return beside


def leave_one_out(points, values):
    """Errors of predicting each sample from the others by the map, (n, attributes)."""
    errors = np.empty_like(values)
    for n in range(len(points)):
        others = np.arange(len(points)) != n
        errors[n] = Surface(points[others], values[others]).at(points[n : n + 1])[0] - values[n]
    return errors


class Cells:
    """The features of a rate map as shapes, and where each one's value is taken."""

    def __init__(self, features, frame, job):
        self.degrees = np.array([shape_of(f["geometry"]) for f in features])
        self.metres = frame.shapes(self.degrees)
        self.areas_m2 = np.array([geodesic_area(shape) for shape in self.degrees])
        self.whole = self.find_whole(job)
        own = self.own_parts(job)
        self.merged = np.array(
            [part.area < shape.area - 0.05 for part, shape in zip(own, self.metres)]
        ) & ~self.whole
        self.by_shape, self.unsure = self.value_points(self.metres)
        self.by_own, unsure_own = self.value_points(own)
        self.unsure |= unsure_own

    def find_whole(self, job):
        """Cells that the outline does not cut: four corners and the full area."""
        full = np.abs(np.array([s.area for s in self.metres]) - job.cell_m**2)
        corners = np.array([get_num_coordinates(s) for s in self.degrees])
        return (full < 4 * job.cell_m * CORNER_M) & (corners == 5)

    def own_parts(self, job):
        """Each shape less what it took over from a small neighbour.

        The grid is found from the middles of whole cells; a shape's own square is the one that
        most of it lies in.
        """
        turn = np.radians(job.heading_deg)
        east, north = np.array([np.cos(turn), -np.sin(turn)]), np.array([np.sin(turn), np.cos(turn)])
        axes = np.column_stack([east, north])
        middles = np.array([s.centroid.coords[0] for s in self.metres])
        at = middles @ axes / job.cell_m
        if not self.whole.any():
            return self.metres
        reference = at[self.whole][0]
        offset = reference + np.median((at[self.whole] - reference + 0.5) % 1 - 0.5, axis=0)
        own = []
        for shape, whole, middle in zip(self.metres, self.whole, at):
            if whole:
                own.append(shape)
                continue
            base = np.floor(middle - offset + 0.5)
            best = None
            for dx in (-1, 0, 1):
                for dy in (-1, 0, 1):
                    low = offset + base + (dx, dy) - 0.5
                    corners = [low + step for step in ((0, 0), (1, 0), (1, 1), (0, 1))]
                    square = Polygon([axes @ corner * job.cell_m for corner in corners])
                    part = shape.intersection(square)
                    if best is None or part.area > best.area:
                        best = part
            # Slivers a few millimetres wide come from rounding the corners.
            outside = shape.area - best.area
            own.append(best if outside > 2 * job.cell_m * CORNER_M else shape)
        return np.array(own)

    @staticmethod
    def value_points(shapes):
        """Centroids where these lie inside, else a point inside; and which ones are unsure.

        Where the centroid is outside, or so near to the edge that rounding may decide, the
        program's own point inside cannot be told from the shape.
        """
        points, unsure = [], []
        for shape in shapes:
            centroid = shape.centroid
            safe = shape.contains(centroid) and shape.boundary.distance(centroid) > 2 * CORNER_M
            points.append((centroid if safe else shape.representative_point()).coords[0])
            unsure.append(not safe)
        return np.array(points), np.array(unsure)

