#!/usr/bin/env python3
"""Makes the boundaries and samples of the two invented sample fields.

Run it without arguments: it writes `boundary.geojson` and `samples.csv` into the folder of
each field, the same bytes each time. It needs Python 3.9 or newer and nothing else. The job
files beside them are written by hand.

Everything here is invented: outlines, soil, laboratory readings. A field is drawn in metres
about a centre, and its soil is a smooth pattern plus noise; both are then put on the ground
at the centre's longitude and latitude.
"""

import csv
import json
import math
import random
from pathlib import Path

M2_PER_ACRE = 4046.8564224  # international acre
FOLDER = Path(__file__).resolve().parent

# WGS 84 ellipsoid (NIMA TR8350.2, 3rd edition, 2000, table 3.1).
SEMI_MAJOR_M = 6378137.0
FLATTENING = 1 / 298.257223563


def metres_per_degree(lat_deg):
    """Length of a degree of longitude and of latitude at a latitude, in metres."""
    e2 = FLATTENING * (2 - FLATTENING)
    s = 1 - e2 * math.sin(math.radians(lat_deg)) ** 2
    prime_vertical = SEMI_MAJOR_M / math.sqrt(s)
    meridian = SEMI_MAJOR_M * (1 - e2) / s**1.5
    east = math.radians(1) * prime_vertical * math.cos(math.radians(lat_deg))
    return east, math.radians(1) * meridian


def ring_area(ring):
    """Signed area of an open ring, positive where it runs counter-clockwise."""
    pairs = zip(ring, ring[1:] + ring[:1])
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs) / 2


def is_inside(point, ring):
    """Whether a point lies inside an open ring, by the even-odd rule."""
    x, y = point
    inside = False
    for (ax, ay), (bx, by) in zip(ring, ring[1:] + ring[:1]):
        if (ay > y) != (by > y) and x < ax + (y - ay) * (bx - ax) / (by - ay):
            inside = not inside
    return inside


def distance_to_ring(point, ring):
    """Distance from a point to the line of an open ring."""
    best = math.inf
    for (ax, ay), (bx, by) in zip(ring, ring[1:] + ring[:1]):
        dx, dy = bx - ax, by - ay
        t = ((point[0] - ax) * dx + (point[1] - ay) * dy) / (dx * dx + dy * dy)
        t = min(1.0, max(0.0, t))
        best = min(best, math.hypot(point[0] - ax - t * dx, point[1] - ay - t * dy))
    return best


def scaled(rings, wanted_m2):
    """The outline and its holes, drawn larger or smaller to have the wanted net area."""
    net = abs(ring_area(rings[0])) - sum(abs(ring_area(hole)) for hole in rings[1:])
    factor = math.sqrt(wanted_m2 / net)
    return [[(x * factor, y * factor) for x, y in ring] for ring in rings]


def sample_sites(rings, spacing_m, jitter_m, margin_m, wanted, rng):
    """Sites on a jittered square grid, south to north and west to east, `wanted` of them.

    The grid is shifted until the wanted number of sites falls inside the field, `margin_m`
    away from its edges and holes.
    """
    xs = [x for x, _ in rings[0]]
    ys = [y for _, y in rings[0]]
    columns = math.ceil((max(xs) - min(xs)) / spacing_m) + 1
    rows = math.ceil((max(ys) - min(ys)) / spacing_m) + 1
    for shift in range(400):
        across, up = (shift % 20) / 20, (shift // 20) / 20
        sites = []
        for row in range(rows):
            for column in range(columns):
                site = (
                    min(xs) + (column + across) * spacing_m + jitter_m * (2 * rng.random() - 1),
                    min(ys) + (row + up) * spacing_m + jitter_m * (2 * rng.random() - 1),
                )
                in_field = is_inside(site, rings[0]) and not any(
                    is_inside(site, hole) for hole in rings[1:]
                )
                if in_field and min(distance_to_ring(site, ring) for ring in rings) >= margin_m:
                    sites.append(site)
        if len(sites) == wanted:
            return sites
    raise SystemExit(f"no shift of the grid gives {wanted} sites")


def bell(distance, width):
    """1 at no distance, falling off smoothly over `width`."""
    return math.exp(-((distance / width) ** 2))


def rise(value, width):
    """0 well below zero, 1 well above it, smooth over `width`."""
    return 0.5 * (1 + math.tanh(value / width))


def noise(rng, spread):
    """A bell-shaped deviation with standard deviation `spread`."""
    return spread * (sum(rng.random() for _ in range(12)) - 6)


def within(value, least, most):
    return min(most, max(least, value))


def write_field(folder, name, centre, rings, header, rows):
    """Writes the boundary and the samples of a field, in longitude and latitude."""
    lon, lat = centre
    east, north = metres_per_degree(lat)

    def place(point):
        return [round(lon + point[0] / east, 7), round(lat + point[1] / north, 7)]

    coordinates = []
    for number, ring in enumerate(rings):
        # RFC 7946: the outline runs counter-clockwise, a hole clockwise.
        wanted_sign = 1 if number == 0 else -1
        ordered = ring if ring_area(ring) * wanted_sign > 0 else ring[::-1]
        coordinates.append([place(point) for point in ordered + ordered[:1]])
    feature = {
        "type": "Feature",
        "properties": {"name": name, "note": "invented"},
        "geometry": {"type": "Polygon", "coordinates": coordinates},
    }
    collection = json.dumps({"type": "FeatureCollection", "features": [feature]}, indent=1)
    (FOLDER / folder / "boundary.geojson").write_text(collection + "\n", encoding="utf-8")
    with open(FOLDER / folder / "samples.csv", "w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(header)
        for sample_id, site, readings in rows:
            spot = place(site)
            writer.writerow([sample_id, f"{spot[0]:.7f}", f"{spot[1]:.7f}", *readings])


def heron_flat():
    """About 160 acres with a creek on the east, a cut-off corner and a pond; water pH and SMP buffer pH."""
    rng = random.Random(20260918)
    outline = [
        (-400, -395), (-120, -402), (140, -398), (330, -405), (352, -330), (398, -262),
        (412, -170), (385, -88), (392, 10), (440, 95), (452, 190), (428, 262), (380, 305),
        (352, 372), (290, 418), (110, 412), (-60, 408), (-205, 402), (-262, 330), (-338, 318),
        (-405, 312), (-402, 120), (-398, -60), (-404, -230),
    ]
    pond = [
        (118, -128), (150, -108), (192, -116), (214, -146), (204, -184), (170, -204),
        (132, -196), (108, -164),
    ]
    rings = scaled([outline, pond], 160 * M2_PER_ACRE)
    rows = []
    sites = sample_sites(rings, math.sqrt(2.5 * M2_PER_ACRE), 16, 12, 64, rng)
    for number, (x, y) in enumerate(sites, start=1):
        across_ridge = (y - 60 - 0.55 * x) / math.hypot(1, 0.55)
        old_corner = rise(-120 - x, 40) * rise(-70 - y, 40)
        ph = 6.16 + 0.40 * x / 400 - 1.52 * bell(across_ridge, 110) + 1.25 * old_corner
        ph = round(within(ph + noise(rng, 0.13), 4.7, 7.1), 1)
        # The reserve acidity behind a reading of pH: 0.54 of buffer pH for each unit of pH is
        # a believable invention, not a published relation.
        buffer_ph = within(6.88 - 0.54 * (6.5 - ph) + noise(rng, 0.05), 5.9, 6.9)
        # The laboratory ran no buffer above pH 6.5.
        rows.append((f"HF-{number:02}", (x, y), [f"{ph:.1f}", "" if ph > 6.5 else f"{buffer_ph:.2f}"]))
    header = ["sample_id", "lon", "lat", "pH", "BpH"]
    write_field("heron_flat", "Heron Flat 3", (-93.2174, 42.0891), rings, header, rows)


def linden_bank():
    """About 16 hectares of sloping arable land; pH in water only."""
    rng = random.Random(20260904)
    outline = [
        (-250, -150), (-130, -182), (10, -176), (95, -148), (190, -160), (262, -120),
        (246, -20), (268, 75), (225, 158), (118, 176), (20, 150), (-70, 188), (-168, 172),
        (-232, 120), (-222, 40), (-265, -50),
    ]
    rings = scaled([outline], 160_000)
    rows = []
    sites = sample_sites(rings, 66, 9, 10, 36, rng)
    for number, (x, y) in enumerate(sites, start=1):
        hollow = math.hypot(x - 110, (y - 40) * 1.3)
        ph = 6.15 - 0.35 * y / 170 - 1.2 * bell(hollow, 105) + 0.6 * rise(-90 - x, 45)
        ph = within(ph + noise(rng, 0.12), 4.9, 7.0)
        rows.append((f"LB{number:03}", (x, y), [f"{ph:.1f}"]))
    header = ["sample_id", "lon", "lat", "pH"]
    write_field("linden_bank", "Linden Bank", (-0.3127, 53.2138), rings, header, rows)


if __name__ == "__main__":
    heron_flat()
    linden_bank()
