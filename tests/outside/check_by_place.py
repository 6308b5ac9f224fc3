#!/usr/bin/env python3
"""Checks a rate map and its summary by place, from the job file alone.

    check_by_place.py JOB.toml RESULT_FOLDER

Everything is computed again with other means than the program's: areas on the ellipsoid
(pyproj), tiling and value points (shapely), soil values (MetPy's natural neighbours, and the
hull rule), need and rate (tables and rules typed in `lime.py`), totals, loads and haul. One line
a check is printed; the exit status is 1 where any of them fails.

The chain is compared link by link, each on the numbers that the map shows for the link before,
and soil and need once more from end to end. So tolerances stay small, and a difference says
where it arose.
"""

import json
import sys
from pathlib import Path

import one_thread  # noqa: F401, before numpy
import numpy as np
from shapely import STRtree, is_valid, union_all

import lime
import totals
from job import read_job
from place import CORNER_M, GEOD, Cells, Frame, Surface, leave_one_out
from report import Report

# Coordinates have 7 decimals, so a value point found from the map may be 8 mm off the program's;
# pH changes by less than 0.03 a metre in these fields (one unit over a 50 m grid, and steeper
# next to a sample).
SOIL_TOLERANCE = 2.5e-4
# A cell that took over a small neighbour (at most 5 % of a cell, 5 % of its width away at most).
UNSURE_TOLERANCE = 0.02
# Printed values carry at least 6 significant digits; pH 6.12345 is known to 5e-6, and need
# changes by at most 7,500 lb/ac a unit of pH.
NEED_TOLERANCE_T_HA = 1e-4
PRINTED = 1e-5  # relative, for the product of two printed values
# Need from end to end: 2.5e-4 of pH is at most 2 lb/ac in 600, the least printed step.
END_TO_END = 0.01
MOST_SKIPPED = 0.02  # of the features, by any comparison


# Properties of the map that are not called as their column is.
PROPERTIES = {
    "acidity": "acidity_meq_100g",
    "aluminium": "aluminium_cmol_kg",
    "organic_carbon": "organic_carbon_pct",
    "cec": "cec_cmol_kg",
    "buffer_capacity": "buffer_capacity_mg_kg_per_ph",
}


def property_of(job, key):
    """The name of a soil value in the map, which ends in its unit."""
    if key in ("calcium", "magnesium", "potassium"):
        return f"{key}_{job.value_units[key].replace('/', '_')}"
    return PROPERTIES.get(key, key)


class Field:
    """A job and its result, with what the checks share."""

    def __init__(self, job_path, folder, cache):
        self.job = read_job(job_path)
        self.map = json.loads((Path(folder) / "rate_map.geojson").read_text(encoding="utf-8"))
        self.summary = json.loads((Path(folder) / "summary.json").read_text(encoding="utf-8"))
        self.frame = Frame(self.job.boundary)
        self.outline = self.frame.outline(self.job.boundary)
        if "cells" not in cache:
            cache["cells"] = Cells(self.map["features"], self.frame, self.job)
        self.cells = cache["cells"]
        self.properties = [feature["properties"] for feature in self.map["features"]]
        area, rate = ("ac", "ton_ac") if self.job.units == "us" else ("ha", "t_ha")
        self.keys = {
            "area": f"area_{area}",
            "need": f"need_{rate}",
            "rate": f"rate_{rate}",
            "product": "product_" + rate.split("_")[0],
            "unmet": f"unmet_need_{rate}",
        }
        self.attributes, self.samples_xy, self.readings = soil_samples(self.job, self.frame)

    def column(self, key):
        """A property of all features; a missing one is an error, not a nought."""
        return np.array([properties[key] for properties in self.properties])

    def area_m2(self):
        return self.column(self.keys["area"]) * self.job.area_unit_m2

    def rates(self, key):
        """Need, rate or unmet need of all features in kg/m2."""
        return self.column(self.keys[key]) * self.job.rate_unit

    def shown_soil(self):
        return {key: self.column(property_of(self.job, key)) for key in self.attributes}


def soil_samples(job, frame):
    """Attributes, sites in metres and readings (n, attributes) as the surface sees them."""
    samples = job.samples
    attributes = ["ph"]
    columns = [samples.readings["ph"]]
    for key in lime.ALSO_READ.get(job.method, []):
        attributes.append(key)
        columns.append(samples.readings[key])
    if lime.METHODS[job.method][0] == "buffer_ph":
        zero = lime.ZERO_NEED_READING.get((job.method, job.target_ph))
        buffers = []
        for ph, buffer_ph in zip(samples.readings["ph"], samples.readings["buffer_ph"]):
            if buffer_ph is None and ph < job.buffer_blank_above:
                raise ValueError("a blank buffer where the laboratory should have run one")
            buffers.append(zero if buffer_ph is None else buffer_ph)
        attributes.append("buffer_ph")
        columns.append(buffers)
    return attributes, frame.points(samples.lons, samples.lats), np.array(columns, dtype=float).T


def check_shape_of_file(field, report):
    """RFC 7946 and the names of the properties."""
    features = field.map["features"]
    report.check("features", len(features) > 0 and field.map["type"] == "FeatureCollection", f"{len(features)}")
    wanted = {"cell", "limit", "samples", *field.keys.values()}
    wanted |= {property_of(field.job, key) for key in field.attributes}
    optional = {"sample_zone", "table_limit", "texture", "risk"}
    wrong = [n for n, p in enumerate(field.properties) if set(p) - optional != wanted]
    report.none("property names", wrong, len(features))
    report.check("cell names differ", len({str(p["cell"]) for p in field.properties}) == len(features))
    positions, turned = [], 0
    for feature in features:
        geometry = feature["geometry"]
        polygons = [geometry["coordinates"]] if geometry["type"] == "Polygon" else geometry["coordinates"]
        for rings in polygons:
            for number, ring in enumerate(rings):
                xy = np.array(ring)
                positions.append(xy)
                x, y = (xy - xy[0]).T
                signed = np.sum(x[:-1] * y[1:] - x[1:] * y[:-1])
                turned += (signed > 0) != (number == 0) or ring[0] != ring[-1] or len(ring) < 4
    xy = np.vstack(positions)
    long = np.count_nonzero(np.abs(xy * 1e7 - np.round(xy * 1e7)) > 1e-3)
    report.check("rings closed and right-handed", turned == 0, f"{len(positions)} rings, {turned} wrong")
    report.check("7 decimals", long == 0, f"{xy.size} numbers, {long} longer")
    box = [*xy.min(axis=0), *xy.max(axis=0)]
    report.check("bbox", np.allclose(field.map["bbox"], box, rtol=0, atol=1e-9), f"{field.map['bbox']}")


def rounding_of_outline(field):
    """What rounding the corners on the outline may do to the field's area, in m2.

    Each corner is off by 0.4 of the most at random (one standard deviation), so the area between
    the two lines grows with the root of their number; four standard deviations.
    """
    corners = field.outline.length / field.job.cell_m
    return 4 * 0.4 * CORNER_M * field.job.cell_m * corners**0.5


def check_tiling(field, report):
    """Valid features that cover the field once."""
    cells, outline = field.cells, field.outline
    bad = np.count_nonzero(~is_valid(cells.degrees))
    report.check("polygons valid", bad == 0, f"{len(cells.degrees)} features, {bad} invalid")
    union = union_all(cells.metres)
    off, slack = abs(union.area - outline.area), 1e-6 * outline.area + rounding_of_outline(field)
    report.check("union has the field's area", off < slack, f"{off:.3f} m2, {slack:.3f} allowed")
    strip = union.symmetric_difference(outline).area
    report.check("union is the field", strip < CORNER_M * outline.length, f"{strip:.2f} m2 differ")
    tree = STRtree(cells.metres)
    a, b = tree.query(cells.metres, predicate="intersects")
    pairs = a < b
    common = [s.intersection(t).area for s, t in zip(cells.metres[a[pairs]], cells.metres[b[pairs]])]
    worst = max(common, default=0.0)
    slack = field.job.cell_m * CORNER_M
    report.check("no overlaps", worst < slack and sum(common) < 1e-6 * outline.area, f"{len(common)} pairs, worst {worst:.4f} m2")


def check_areas(field, report):
    """The area of each feature on the ellipsoid, and the field's."""
    shown, true = field.area_m2(), field.cells.areas_m2
    lengths = np.array([shape.length for shape in field.cells.metres])
    wrong = np.flatnonzero(np.abs(shown - true) > lengths * CORNER_M + PRINTED * true)
    report.none("area of each feature", wrong, len(shown))
    slack = 1e-6 * true.sum() + rounding_of_outline(field)
    off = abs(shown.sum() - true.sum())
    report.check("areas add up", off < slack, f"{off:.3f} m2 of {true.sum():.0f}, {slack:.3f} allowed")
    boundary = sum(geodesic_boundary(rings) for rings in field.job.boundary)
    report.close("areas add up to the boundary's", shown.sum(), boundary, 1e-6, "m2")
    totals.check_quantity(report, field, "area", boundary, 1e-6)


def geodesic_boundary(rings):
    areas = [abs(GEOD.polygon_area_perimeter(*zip(*ring))[0]) for ring in rings]
    return areas[0] - sum(areas[1:])


def expected_soil(field, cache):
    """Soil values at the features' value points, by each of the two ways to take a merged cell."""
    if "soil" not in cache:
        surface = Surface(field.samples_xy, field.readings)
        cells = field.cells
        by_shape = surface.at(cells.by_shape)
        by_own = by_shape.copy()
        by_own[cells.merged] = surface.at(cells.by_own[cells.merged])
        inside = surface.inside(cells.by_shape)
        near = surface.distance_beyond(cells.by_shape) < 2 * CORNER_M
        cache["soil"] = by_shape, by_own, inside, near
    return cache["soil"]


def steepness(points, readings, at):
    """What the surface may change by between the value points `at` and the program's.

    Along the hull flat triangles make it steep: half a unit of pH within a metre is possible.
    """
    if not len(at):
        return 0.0
    surface = Surface(points, readings)
    around = [surface.at(at + CORNER_M * np.array(step)) for step in ((1, 0), (-1, 0), (0, 1), (0, -1))]
    return np.abs(np.array(around) - surface.at(at)).max(axis=(0, 2)) * 2


def check_soil(field, report, cache):
    """Soil values by place; returns the expected ones."""
    by_shape, by_own, inside, near = expected_soil(field, cache)
    shown = np.column_stack(list(field.shown_soil().values()))
    sure = ~field.cells.unsure
    # A cell that took over a small neighbour keeps its own point or takes its new middle; which,
    # is a choice, but one for all.
    fits = []
    for expected in (by_shape, by_own):
        fits.append(np.count_nonzero(np.abs(shown - expected).max(axis=1)[sure] > SOIL_TOLERANCE))
    expected = by_shape if fits[0] <= fits[1] else by_own
    off = np.abs(shown - expected).max(axis=1)
    allowed = np.where(sure, SOIL_TOLERANCE, UNSURE_TOLERANCE)
    steep = np.flatnonzero(off > allowed)
    allowed[steep] += steepness(field.samples_xy, field.readings, field.cells.by_shape[steep])
    wrong = np.flatnonzero(off > allowed)
    count = np.count_nonzero(sure)
    report.none("soil by place", wrong, len(off), f"worst {off[sure].max():.1e}, {len(off) - count} unsure, {len(steep)} steep")
    count -= np.count_nonzero(sure[steep])
    report.enough("soil by place", count, len(off), MOST_SKIPPED)
    decided = sure & ~near & ~field.cells.merged
    words = np.where(inside, "inside", "outside")
    wrong = np.flatnonzero((field.column("samples") != words) & decided)
    report.none("inside or outside the samples", wrong, np.count_nonzero(decided))
    report.enough("inside or outside", np.count_nonzero(decided | field.cells.merged), len(off), MOST_SKIPPED)
    return {key: expected[:, n] for n, key in enumerate(field.attributes)}


def near_jump(field, soil, slack):
    """Features whose pH is so near the trigger (or a printed jump) that need may go either way."""
    ph = lime.method_ph(field.job, soil)
    near = np.abs(ph - lime.trigger(field.job)) < slack
    near |= lime.jumps_near(field.job, soil, slack)
    if field.job.method == "exchangeable-acidity-pennsylvania":
        near |= (np.abs(soil["acidity"] - lime.PENNSYLVANIA_JUMP) < slack) | (np.abs(ph - 6.5) < slack)
    if field.job.method == "mehlich-north-carolina":
        # Where a small change of the buffer pH brings the need across the least one.
        changed = [lime.needs(field.job, soil | {"buffer_ph": soil["buffer_ph"] + by}) for by in (-slack, slack)]
        near |= (changed[0] == 0) != (changed[1] == 0)
    return near | (np.abs(ph - 6.4) < slack) if field.job.method == "ph-uk-grass" else near


def check_need(field, report, expected):
    """Need from the shown soil values, tightly; from the expected ones, end to end."""
    shown = field.rates("need")
    for name, soil, slack, share in (
        ("need from the shown soil", field.shown_soil(), 1e-5, 0.0),
        ("need from end to end", expected, 2 * SOIL_TOLERANCE, END_TO_END),
    ):
        need = lime.needs(field.job, soil)
        sure = ~near_jump(field, soil, slack)
        if share:
            sure &= ~field.cells.unsure
        # 2.5e-4 of pH is 2 lb/ac: the absolute part end to end.
        allowed = lime.T_HA * (NEED_TOLERANCE_T_HA if not share else 0.005) + share * need
        wrong = np.flatnonzero((np.abs(shown - need) > allowed) & sure)
        report.none(name, wrong, np.count_nonzero(sure))
        report.enough(name, np.count_nonzero(sure), len(need), MOST_SKIPPED)


def check_rate(field, report):
    """Rate, limit, product and unmet need from the shown need."""
    job, need = field.job, field.rates("need")
    wanted = need / job.effective
    rate, limit = lime.machine_rates(job, wanted)
    gap = np.abs(wanted[:, None] - lime.thresholds(job)).min(axis=1)
    sure = (gap > PRINTED * wanted) | (wanted == 0)
    shown = field.rates("rate")
    off = np.abs(shown - rate) > PRINTED * job.max_rate
    report.none("rate", np.flatnonzero(off & sure), np.count_nonzero(sure))
    report.none("limit", np.flatnonzero((field.column("limit") != limit) & sure), np.count_nonzero(sure))
    report.enough("rate", np.count_nonzero(sure), len(rate), MOST_SKIPPED)
    out_of_range = (shown > job.max_rate * (1 + 1e-9)) | ((shown > 0) & (shown < job.min_rate * (1 - 1e-9)))
    report.none("rate within the machine's range", np.flatnonzero(out_of_range), len(shown))
    product = shown * field.area_m2() / job.mass_unit_kg
    off = np.abs(field.column(field.keys["product"]) - product) > PRINTED * product + 1e-9
    report.none("product", np.flatnonzero(off), len(product))
    unmet = np.maximum(need - shown * job.effective, 0)
    off = np.abs(field.rates("unmet") - unmet) > PRINTED * np.maximum(need, shown) + 1e-9
    report.none("unmet need", np.flatnonzero(off), len(unmet))


def check_cross_check(field, report, cache):
    """Leaving one sample out, by MetPy and the hull rule."""
    if "left_out" not in cache:
        cache["left_out"] = leave_one_out(field.samples_xy, field.readings)
    count = len(field.readings)
    shown = field.summary["interpolation"]["cross_check"]
    for n, key in enumerate(field.attributes):
        column = field.readings[:, n]
        mean_of_others = (column.sum() - column) / (count - 1)
        rmse = np.sqrt(np.mean(cache["left_out"][:, n] ** 2))
        mean_rmse = np.sqrt(np.mean((mean_of_others - column) ** 2))
        ok = abs(shown[key]["rmse"] - rmse) < 0.002 and abs(shown[key]["mean_rmse"] - mean_rmse) < 1e-6
        ok = ok and shown[key]["samples"] == count
        report.check(f"cross-check of {key}", ok, f"{shown[key]['rmse']:.4f} for {rmse:.4f}, mean {mean_rmse:.4f}")


def check(job_path, folder, cache=None, quiet=False):
    """Runs every check; returns the report.

    `cache` keeps what depends on samples and shapes alone, for results that share these.
    """
    cache = {} if cache is None else cache
    report = Report(quiet)
    field = Field(job_path, folder, cache)
    check_shape_of_file(field, report)
    if "tiled" not in cache:
        check_tiling(field, report)
        cache["tiled"] = True
    check_areas(field, report)
    check_need(field, report, check_soil(field, report, cache))
    check_rate(field, report)
    check_cross_check(field, report, cache)
    totals.check_totals(field, report)
    return report


def main():
    if len(sys.argv) != 3:
        sys.exit(__doc__)
    report = check(sys.argv[1], sys.argv[2])
    print(report.last_line())
    sys.exit(1 if report.failures else 0)


if __name__ == "__main__":
    main()
