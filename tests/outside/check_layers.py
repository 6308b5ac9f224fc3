#!/usr/bin/env python3
"""Checks a job with several depths at each point, by place and layer, on a sample field.

    check_layers.py PROGRAM FOLDER

The field is the US sample field with two more layers below its own. They were taken at some of the
points only, so each layer has a surface of its own, and their readings are made from those of the
top and mean nothing. Each layer's soil is drawn again by MetPy and the hull rule, its need is looked
up by its own reading, and the sum over the layers is held against the map; then the layers are mixed
up in three ways, and each must be noticed.
"""

import csv
import json
import shutil
import subprocess
import sys
from pathlib import Path

import one_thread  # noqa: F401, before numpy
import numpy as np

import lime
from check_by_place import END_TO_END, MOST_SKIPPED, SOIL_TOLERANCE, Field, check_rate, near_jump, steepness
from job import quantity, read_job
from place import Surface
from report import Report
from totals import SUMMED, check_ledger, check_quantity

FIELD = Path(__file__).parents[2] / "sample_fields" / "heron_flat"
INCH = 0.0254
# Top and bottom in inches, and every how manieth point has the layer.
LAYERS = [(0, 6, 1), (6, 10, 2), (10, 16, 3)]
# Limed to 12 inches, the last layer counts with its upper third; the table is made for 6 inches.
PARTS = [6, 4, 2]
LIMED = 12
TABLE_DEPTH = 6


def write_job(folder):
    """The job and its table; returns the rows of each layer as (lon, lat, pH, buffer pH or None)."""
    folder.mkdir(parents=True)
    text = (FIELD / "job.toml").read_text(encoding="utf-8")
    depths = ", ".join(f'"{top}-{bottom} in"' for top, bottom, _ in LAYERS)
    for line, replaced_by in (
        ('sampled_depth = "0-6 in" ', f'layers = [{depths}]\ndepth_unit = "in"\nlayer_missing = "leave out" '),
        ('limed_depth = "6 in" ', f'limed_depth = "{LIMED} in" '),
        ('max_rate = "4 ton/ac" ', 'max_rate = "12 ton/ac" '),
    ):
        if line not in text:
            raise ValueError(f"{line} is not in the job")
        text = text.replace(line, replaced_by, 1)
    (folder / "job.toml").write_text(text, encoding="utf-8")
    shutil.copy(FIELD / "boundary.geojson", folder)
    with open(FIELD / "samples.csv", encoding="utf-8", newline="") as file:
        points = list(csv.DictReader(file))
    layers = []
    with open(folder / "samples.csv", "w", encoding="utf-8", newline="") as file:
        table = csv.writer(file)
        table.writerow(["sample_id", "lon", "lat", "depth", "pH", "BpH"])
        for number, (top, bottom, every) in enumerate(LAYERS):
            rows = []
            for n, point in enumerate(points[::every]):
                ph, buffer_ph = point["pH"], point["BpH"]
                if number:
                    # The lower layers vary against the top, each in its own way.
                    ph = f"{6.0 + 0.45 * np.sin(n * 1.7 + number) - 0.2 * (float(ph) - 6):.2f}"
                    buffer_ph = f"{0.45 * float(ph) + 3.75:.2f}"
                table.writerow([point["sample_id"], point["lon"], point["lat"], f"{top}-{bottom}", ph, buffer_ph])
                values = float(ph), float(buffer_ph) if buffer_ph else None
                rows.append((float(point["lon"]), float(point["lat"]), *values))
            layers.append(rows)
    return layers


class Layer:
    """One layer as it should be: its samples in metres, its readings and its part."""

    def __init__(self, field, rows, depth, inches):
        zero = lime.ZERO_NEED_READING[field.job.method, field.job.target_ph]
        lons, lats, ph, buffer_ph = zip(*rows)
        self.points = field.frame.points(lons, lats)
        buffers = [zero if reading is None else reading for reading in buffer_ph]
        self.readings = np.array([ph, buffers]).T
        self.key, self.factor = f"{depth[0]}_{depth[1]}_in", inches / TABLE_DEPTH

    def shown(self, field):
        return {key: field.column(f"{key}_{self.key}") for key in ("ph", "buffer_ph")}

    def needs(self, field, soil):
        """In kg/m2; `lime.needs` is asked for the table's own depth."""
        return lime.needs(field.at_table_depth, soil) * self.factor


def check_soil(field, layer, report):
    """The layer's soil by place."""
    surface = Surface(layer.points, layer.readings)
    cells = field.cells
    expected = surface.at(cells.by_shape)
    shown = np.column_stack(list(layer.shown(field).values()))
    # Where a cell took over a small neighbour, or its middle is in doubt, another check has the
    # value points; here the plain cells are enough.
    sure = ~cells.unsure & ~cells.merged
    off = np.abs(shown - expected).max(axis=1)
    allowed = np.full(len(off), SOIL_TOLERANCE)
    steep = np.flatnonzero((off > allowed) & sure)
    allowed[steep] += steepness(layer.points, layer.readings, cells.by_shape[steep])
    report.none(f"soil of {layer.key}", np.flatnonzero((off > allowed) & sure), np.count_nonzero(sure))
    report.enough(f"soil of {layer.key}", np.count_nonzero(sure) - len(steep), len(off), MOST_SKIPPED)
    return {"ph": expected[:, 0], "buffer_ph": expected[:, 1]}, sure


def wrong_needs(field, need, allowed, sure):
    shown = field.rates("need")
    return np.flatnonzero((np.abs(shown - need) > allowed) & sure)


def check_needs(field, layers, report):
    """Each layer's need from the soil that the map shows, their sum, and the sum end to end."""
    job, total = field.job, 0.0
    sure = np.ones(len(field.properties), dtype=bool)
    end_to_end, sure_of_soil, areas = 0.0, sure.copy(), field.area_m2()
    for number, layer in enumerate(layers):
        shown = layer.shown(field)
        need = layer.needs(field, shown)
        here = ~near_jump(field, shown, 1e-5)
        mapped = field.column(f"need_{layer.key}_ton_ac") * job.rate_unit
        wrong = np.flatnonzero((np.abs(mapped - need) > 1e-4 * lime.T_HA) & here)
        report.none(f"need of {layer.key}", wrong, np.count_nonzero(here))
        total, sure = total + need, sure & here
        soil, plain = check_soil(field, layer, report)
        end_to_end = end_to_end + layer.needs(field, soil)
        sure_of_soil &= plain & ~near_jump(field, soil, 2 * SOIL_TOLERANCE)
        part = field.summary["layers"][number]
        mass = part["need_total"]["value"] * job.mass_unit_kg
        report.close(f"total need of {layer.key}", mass, (mapped * areas).sum(), SUMMED, "kg")
        share = mass / (field.summary["need_total"]["value"] * job.mass_unit_kg)
        report.close(f"share of {layer.key}", part["need_share"], share, 1e-12)
        report.close(f"depth factor of {layer.key}", part["depth_factor"], layer.factor, 1e-12)
        column = layer.readings[:, 0]
        read = part["soil"]["ph"]
        ok = read["samples"] == len(column) and abs(read["mean"] - column.mean()) < 1e-9
        report.check(f"readings of {layer.key}", ok, f"{read['samples']} of mean {read['mean']:.3f}")
    allowed = 2e-4 * lime.T_HA
    report.none("need is the sum over the layers", wrong_needs(field, total, allowed, sure), np.count_nonzero(sure))
    report.enough("sum over the layers", np.count_nonzero(sure), len(sure), MOST_SKIPPED)
    allowed = 0.01 * lime.T_HA + END_TO_END * end_to_end
    wrong = wrong_needs(field, end_to_end, allowed, sure_of_soil)
    report.none("need from end to end", wrong, np.count_nonzero(sure_of_soil))
    top = layers[0].shown(field)
    same = all(np.array_equal(field.column(key), top[key]) for key in top)
    report.check("the top layer's readings are also the plain ones", same)
    return sure


def check_mixed_up(field, layers, sure, report):
    """Layers that are mixed up must not fit the map."""
    shown = [layer.shown(field) for layer in layers]
    depth = sum(layer.factor for layer in layers)
    mean = {key: sum(soil[key] * l.factor for soil, l in zip(shown, layers)) / depth for key in shown[0]}
    of_mean = lime.needs(field.at_table_depth, mean) * depth
    plain = [lime.needs(field.at_table_depth, soil) for soil in shown]
    turned = sum(need * layer.factor for need, layer in zip(plain, layers[::-1]))
    equal = sum(plain) * depth / len(layers)
    for name, need in (("the mean of the layers", of_mean), ("thicknesses turned round", turned), ("equal layers", equal)):
        wrong = len(wrong_needs(field, need, 2e-4 * lime.T_HA, sure))
        report.check(f"{name} would be noticed", wrong > 0.2 * len(sure), f"{wrong} of {len(sure)} cells differ")


def check_composite(field, layers, report):
    """One composite sample of each layer."""
    need = sum(
        layer.needs(field, {"ph": np.array([layer.readings[:, 0].mean()]), "buffer_ph": np.array([layer.readings[:, 1].mean()])})
        for layer in layers
    )
    rate = lime.machine_rates(field.job, need / field.job.effective)[0][0]
    check_quantity(report, field, "flat_rate.composite.rate", rate, SUMMED, "rate")


def main():
    if len(sys.argv) != 3:
        sys.exit(__doc__)
    program, folder = sys.argv[1], Path(sys.argv[2])
    rows = write_job(folder)
    out = folder / "out"
    subprocess.run([program, "prescribe", folder / "job.toml", "--out", out], check=True, capture_output=True)
    report = Report()
    field = Field(folder / "job.toml", out, {})
    field.at_table_depth = read_job(folder / "job.toml")
    field.at_table_depth.limed_depth_m = quantity(f"{TABLE_DEPTH} in", {"in": INCH})
    layers = [
        Layer(field, rows, (top, bottom), inches) for rows, (top, bottom, _), inches in zip(rows, LAYERS, PARTS)
    ]
    sure = check_needs(field, layers, report)
    check_mixed_up(field, layers, sure, report)
    check_rate(field, report)
    check_ledger(field, report)
    check_composite(field, layers, report)
    findings = {finding["key"] for finding in field.summary["findings"]}
    told = {"layers_counted", "points_without_a_layer"} <= findings
    report.check("layers and points without one are told", told, json.dumps(sorted(findings)))
    print(report.last_line())
    sys.exit(1 if report.failures else 0)


if __name__ == "__main__":
    main()
