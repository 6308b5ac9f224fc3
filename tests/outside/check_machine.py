#!/usr/bin/env python3
"""Checks what is told of the spreader on a field against shapely and the published identities.

    check_machine.py PROGRAM FOLDER

A stream and a yard are kept out of the sample field, which is driven at 0 and at 33 degrees. Flows
and speeds come from lb/min = lb/ac x mph x ft / 495; the ground that the throw reaches from the
cells that get product, buffered; the patches along the travel from the cells of each column, joined;
the passes from lines laid through the outline. The areas are invented.
"""

import json
import shutil
import subprocess
import sys
from pathlib import Path

import numpy as np
from pyproj import Transformer
from shapely import LineString, Polygon, transform, union_all
from shapely.affinity import rotate
from shapely.geometry import mapping
from shapely.geometry import shape as shape_of

from job import read_job
from place import CORNER_M, Frame
from report import Report

FIELD = Path(__file__).parents[2] / "sample_fields" / "heron_flat"
M_PER_FT = 0.3048
M2_PER_ACRE = 4046.8564224
# Round borders of the program are right to 3 mm, and corners are rounded to seven decimals.
BORDER_M = 0.003 + 2 * CORNER_M
SPEED_MPH, TOP_MPH = 14.0, 16.0
LEAST_LB_MIN, MOST_LB_MIN = 4000.0, 8500.0
SPACING_FT, THROW_FT, SETBACK_FT = 40.0, 66.0, 30.0
# Published for spinner spreaders: University of Georgia Extension, precision agriculture pages, 2024.
CHANGE_S = (3.0, 5.0)
SPREADER = f"""speed = "{SPEED_MPH} mph"
top_speed = "{TOP_MPH} mph"
min_flow = "{LEAST_LB_MIN} lb/min"
max_flow = "{MOST_LB_MIN} lb/min"
throw_width = "{THROW_FT} ft"
"""


def write_keep_out(path, frame, outline):
    x, y = outline.centroid.x, outline.centroid.y
    yard = Polygon([(x - 300, y - 60), (x - 180, y - 75), (x - 170, y + 55), (x - 290, y + 40)])
    stream = LineString([(x - 600, y + 210), (x - 90, y + 180), (x + 120, y + 230), (x + 600, y + 190)])
    back = Transformer.from_crs(frame.door.target_crs, "OGC:CRS84", always_xy=True)
    shapes = [transform(area, lambda c: np.column_stack(back.transform(c[:, 0], c[:, 1]))) for area in (yard, stream)]
    features = [{"type": "Feature", "properties": {}, "geometry": mapping(shape)} for shape in shapes]
    path.write_text(json.dumps({"type": "FeatureCollection", "features": features}), encoding="utf-8")
    kept = union_all([area.buffer(SETBACK_FT * M_PER_FT, quad_segs=400) for area in (yard, stream)])
    return kept.intersection(outline)


def check_flows(machine, report):
    for told in machine["rates"]:
        rate = told["rate"]["value"]
        flow = rate * 2000 * SPEED_MPH * SPACING_FT / 495
        name = f"{rate} ton/ac"
        report.close(f"{name}: flow", told["flow"]["value"], flow, 1e-9, "lb/min")
        speeds = [limit * 495 / (rate * 2000 * SPACING_FT) for limit in (LEAST_LB_MIN, MOST_LB_MIN)]
        report.close(f"{name}: slowest", told["slowest_speed"]["value"], speeds[0], 1e-9, "mph")
        report.close(f"{name}: fastest", told["fastest_speed"]["value"], min(speeds[1], TOP_MPH), 1e-9, "mph")
        held = "too little" if flow < LEAST_LB_MIN else "too much" if flow > MOST_LB_MIN else "held"
        report.check(f"{name}: at the speed", told["at_speed"] == held, held)
    held = {told["at_speed"] for told in machine["rates"]}
    report.check("rates of all three kinds", held == {"held", "too little", "too much"}, str(held))


def runs_of(cells, shown, heading_deg):
    """Lengths in metres and areas in m2 of the patches with another rate beside them along the travel."""
    # Turned so that the travel goes to the north.
    turned = [rotate(cell, heading_deg, origin=(0, 0)) for cell in cells]
    columns = {}
    for cell, of_cell in zip(turned, shown, strict=True):
        column = of_cell["cell"].split("-")[1].rstrip("bcdefghijklmnopqrstuvwxyz")
        columns.setdefault(column, []).append((cell, of_cell["rate_ton_ac"]))

    def stretches(shapes):
        parts = sorted((part.bounds[1], part.bounds[3], part.area) for shape in shapes for part in getattr(shape, "geoms", [shape]))
        joined = []
        for low, high, area in parts:
            # Corners are rounded, so pieces that meet may miss each other by a centimetre.
            if joined and low < joined[-1][1] + 0.05:
                joined[-1] = [joined[-1][0], max(joined[-1][1], high), joined[-1][2] + area]
            else:
                joined.append([low, high, area])
        return joined

    runs = []
    for column in columns.values():
        ground = stretches([cell for cell, _ in column])
        for rate in {rate for _, rate in column}:
            for low, high, area in stretches([cell for cell, of in column if of == rate]):
                whole = any(abs(low - from_m) < 0.05 and abs(high - to_m) < 0.05 for from_m, to_m, _ in ground)
                if not whole:
                    runs.append((high - low, area))
    return np.array(runs)


def check_runs(change, cells, shown, heading_deg, report):
    runs = runs_of(cells, shown, heading_deg)
    acres = []
    for seconds, key in zip(CHANGE_S, ("least", "most"), strict=True):
        distance_ft = SPEED_MPH * 5280 / 3600 * seconds
        report.close(f"{key} distance", change[f"{key}_distance"]["value"], distance_ft, 1e-9, "ft")
        # A patch as long as the distance but for the rounding of corners may count or not.
        lengths = runs[:, 0] / M_PER_FT
        low, high = (runs[lengths < distance_ft + slack, 1].sum() / M2_PER_ACRE for slack in (-0.1, 0.1))
        told = change[f"short_of_{key}_area"]["value"]
        within = low * (1 - 1e-3) <= told <= high * (1 + 1e-3)
        report.check(f"ground short of the {key}", within, f"{told:.3f} ac for {low:.3f} to {high:.3f}")
        acres.append(told)
    report.check("some patches are short", 0 < acres[0] < acres[1], str(acres))
    report.check("shortest patch", abs(change["shortest_run"]["value"] * M_PER_FT - runs[:, 0].min()) < 0.05, f"{runs[:, 0].min():.3f} m")


def check_throw(throw, cells, shown, outline, kept, report):
    beyond_m = (THROW_FT - SPACING_FT) / 2 * M_PER_FT
    report.close("beyond the edge", throw["beyond_edge"]["value"] * M_PER_FT, beyond_m, 1e-9, "m")
    limed = union_all([cell.buffer(0.01) for cell, of in zip(cells, shown, strict=True) if of["rate_ton_ac"] > 0])
    reached = limed.buffer(-0.01).buffer(beyond_m, quad_segs=100)
    for key, area in (("off_field_area", reached.difference(outline)), ("kept_out_area", reached.intersection(kept))):
        told = throw[key]["value"] * M2_PER_ACRE
        # Both borders of the band may be off.
        allowed = area.length * (BORDER_M + 0.01)
        report.check(key, abs(told - area.area) < allowed and area.area > 100, f"{told:.1f} for {area.area:.1f} m2, {allowed:.1f} allowed")


def passes(outline, heading_deg):
    turned = rotate(outline, heading_deg, origin=(0, 0))
    west, south, east, north = turned.bounds
    count, x = 0, west + SPACING_FT * M_PER_FT / 2
    while x < east:
        cut = turned.intersection(LineString([(x, south - 1), (x, north + 1)]))
        count += len([part for part in getattr(cut, "geoms", [cut]) if part.length > 0])
        x += SPACING_FT * M_PER_FT
    return count


def check_heading(told, outline, heading_deg, report):
    expected = passes(outline, heading_deg)
    report.check("passes", abs(told["passes"] - expected) <= 1, f"{told['passes']} for {expected}")
    report.check("turns", told["turns"] == told["passes"] - 1)
    fewest = told.get("fewest")
    if fewest:
        expected = passes(outline, fewest["heading"]["value"])
        report.check("fewest passes", abs(fewest["passes"] - expected) <= 1 and fewest["passes"] < told["passes"], f"{fewest['passes']} for {expected}")


def main():
    if len(sys.argv) != 3:
        sys.exit(__doc__)
    program, folder = Path(sys.argv[1]).resolve(), Path(sys.argv[2])
    shutil.copytree(FIELD, folder)
    job = read_job(FIELD / "job.toml")
    frame = Frame(job.boundary)
    outline = frame.outline(job.boundary)
    kept = write_keep_out(folder / "keep_out.geojson", frame, outline)
    path = folder / "job.toml"
    text = path.read_text(encoding="utf-8")
    text = text.replace("[dates]", f'keep_out = "keep_out.geojson"\nsetback = "{SETBACK_FT} ft"\n\n[dates]', 1)
    text = text.replace("[spreader]\n", f"[spreader]\n{SPREADER}", 1)
    path.write_text(text, encoding="utf-8")
    report = Report()
    for heading_deg in (0, 33):
        out = folder / f"out_{heading_deg}"
        arguments = ["--set", f"grid.heading={heading_deg} deg", "--out", out]
        subprocess.run([program, "prescribe", path, *arguments], check=True, capture_output=True)
        features = json.loads((out / "rate_map.geojson").read_text(encoding="utf-8"))["features"]
        summary = json.loads((out / "summary.json").read_text(encoding="utf-8"))
        machine = summary["machine"]
        cells = frame.shapes(np.array([shape_of(feature["geometry"]) for feature in features], dtype=object))
        shown = [feature["properties"] for feature in features]
        check_flows(machine, report)
        check_runs(machine["rate_change"], cells, shown, heading_deg, report)
        check_throw(machine["throw"], cells, shown, outline, kept, report)
        check_heading(machine["heading"], outline, heading_deg, report)
    print(report.last_line())
    sys.exit(1 if report.failures else 0)


if __name__ == "__main__":
    main()
