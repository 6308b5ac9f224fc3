#!/usr/bin/env python3
"""Checks areas of one rate on a sample field with geopandas and shapely.

    check_areas.py PROGRAM JOB FOLDER

The job is run as it is and with areas of one rate, chosen by number and by tolerance, with end rows,
with a cap on polygons. The polygons must be valid and meet without overlap, cover what the cells
cover, keep the least area and width, and take the product that the ledger holds. The choice of rates
is made again here by trying every set of the machine's rates on the cells' own.
"""

import itertools
import json
import subprocess
import sys
from pathlib import Path

import one_thread  # noqa: F401, before numpy
import geopandas
import numpy as np
from shapely import union_all

from report import Report

# Corners have seven decimals of a degree; a vertex that is left out may lie one step off the edge.
STEP_M = 0.0112
UNITS = {"us": ("ac", "ton_ac", "ton", 4046.8564224), "metric": ("ha", "t_ha", "t", 10_000.0)}


def run(program, job, out, sets):
    arguments = [program, "prescribe", job, "--out", out]
    for key, value in sets.items():
        arguments += ["--set", f"rate_areas.{key}={value}"]
    subprocess.run(arguments, check=True, capture_output=True)
    summary = json.loads((out / "summary.json").read_text(encoding="utf-8"))
    return summary, geopandas.read_file(out / "rate_map.geojson")


def on_the_ground(frame):
    """In metres, equal in area."""
    bounds = frame.total_bounds
    lon, lat = (bounds[0] + bounds[2]) / 2, (bounds[1] + bounds[3]) / 2
    return frame.to_crs(f"+proj=laea +lat_0={lat} +lon_0={lon} +datum=WGS84 +units=m")


def best_sets(rates, areas, ladder, count):
    """The least cost of as many of the machine's rates, and whether more than one set has it."""
    spread = rates > 0
    costs = []
    for chosen in itertools.combinations(ladder, count):
        off = np.abs(rates[spread, None] - np.array(chosen)[None, :]).min(axis=1)
        costs.append((float((areas[spread] * off**2).sum()), chosen))
    return min(costs)


def check_tiling(name, areas, cells, report):
    shapes = areas.geometry
    report.check(f"{name}: every polygon is valid", bool(shapes.is_valid.all()), f"{len(areas)}")
    ground = on_the_ground(areas)
    whole = union_all(on_the_ground(cells).geometry.values)
    # Shared borders have shared vertices, so overlaps have no area but rounding of the projection.
    pairs = ground.sindex.query(ground.geometry, predicate="intersects").T
    overlaps = [ground.geometry.iloc[a].intersection(ground.geometry.iloc[b]).area for a, b in pairs if a < b]
    report.check(f"{name}: no overlaps", sum(overlaps) < 1e-3, f"{sum(overlaps):.2e} m2 of {len(overlaps)} pairs")
    union = union_all(ground.geometry.values)
    gap = whole.symmetric_difference(union)
    report.check(f"{name}: no gaps", gap.area < whole.length * STEP_M, f"{gap.area:.4f} m2 along {whole.length:.0f} m")
    report.check(f"{name}: nothing further off than a step", gap.buffer(-STEP_M).is_empty, "")
    # A long edge moves by half a step with its corners.
    off = abs(ground.area.sum() - whole.area)
    report.check(f"{name}: area of all", off < whole.length * STEP_M / 2, f"{off:.3f} m2 of {whole.area:.1f}")
    return ground


def check_result(name, sets, ladder, result, plain, report):
    (summary, areas), (plain_summary, cells) = result, plain
    area_unit, rate_unit, mass_unit, m2 = UNITS[summary["units"]]
    part = summary["rate_areas"]
    ground = check_tiling(name, areas, cells, report)
    rate = areas[f"rate_{rate_unit}"].to_numpy()
    own_area = areas[f"area_{area_unit}"].to_numpy()
    product = areas[f"product_{mass_unit}"].to_numpy()
    report.none(f"{name}: rates of the machine", np.flatnonzero([min(abs(r - l) for l in [0, *ladder]) > 1e-9 for r in rate]), len(rate))
    # A step along the whole border of an area is what rounding may be worth.
    slack = ground.length.to_numpy() * STEP_M / m2
    report.none(f"{name}: areas are those of the polygons", np.flatnonzero(np.abs(ground.area.to_numpy() / m2 - own_area) > slack), len(rate))
    report.none(f"{name}: product is rate times area", np.flatnonzero(np.abs(rate * own_area - product) > 1e-6 * (1 + product)), len(rate))
    report.close(f"{name}: product of all", product.sum(), summary["ledger"]["product"]["value"], 1e-6, mass_unit)
    change = part["over"]["product"]["value"] - part["under"]["product"]["value"]
    report.close(f"{name}: before", part["product_before"]["value"], plain_summary["product_total"]["value"], 1e-9, mass_unit)
    report.close(f"{name}: after", part["product_after"]["value"], part["product_before"]["value"] + change, 1e-9, mass_unit)
    ledger = summary["ledger"]
    excess = sum(ledger[key]["value"] for key in ("raised", "rounded_up", "areas_up"))
    unmet = sum(ledger[key]["value"] for key in ("dropped", "capped", "rounded_down", "areas_down"))
    report.close(f"{name}: the ledger balances", ledger["need"]["value"], ledger["supplied"]["value"] + unmet - excess, 1e-9, mass_unit)
    # The cells lie each in one area: what the areas hold against what the cells had.
    points = cells.copy()
    points["geometry"] = on_the_ground(cells).geometry.representative_point()
    points = points.set_crs(ground.crs, allow_override=True)
    held = geopandas.sjoin(points, ground[["geometry", "rate_area"]].assign(area_rate=rate), predicate="within")
    report.enough(f"{name}: cells in areas", len(held), len(cells), 0.0)
    off = held["area_rate"] - held[f"rate_{rate_unit}"]
    weight = held[f"area_{area_unit}"]
    report.close(f"{name}: over, by place", (off.clip(lower=0) * weight).sum(), part["over"]["product"]["value"], 1e-6, mass_unit)
    report.close(f"{name}: under, by place", (-off.clip(upper=0) * weight).sum(), part["under"]["product"]["value"], 1e-6, mass_unit)
    mean = (held["ph"] * weight).groupby(held["rate_area"]).sum() / weight.groupby(held["rate_area"]).sum()
    report.none(f"{name}: mean pH", np.flatnonzero(np.abs(mean.reindex(areas["rate_area"]).to_numpy() - areas["ph"].to_numpy()) > 1e-6), len(areas))
    polygons = sum(len(getattr(shape, "geoms", [shape])) for shape in areas.geometry)
    report.check(f"{name}: polygons are counted", polygons == part["polygons"], f"{polygons}")
    rings = [ring for shape in areas.geometry for p in getattr(shape, "geoms", [shape]) for ring in (p.exterior, *p.interiors)]
    report.check(f"{name}: vertices are counted", sum(len(ring.coords) - 1 for ring in rings) == part["vertices"], f"{part['vertices']}")
    # Small and narrow ones are those that were told.
    least, width_m = part["least_area"]["value"], part["least_width"]["value"] * (0.3048 if summary["units"] == "us" else 1)
    is_row = areas["end_row"].notna().to_numpy() if "end_row" in areas else np.zeros(len(areas), bool)
    narrow = [not row and shape.buffer(-0.989 * width_m / 2).is_empty for row, shape in zip(is_row, ground.geometry)]
    small = int(((own_area < least) | np.array(narrow)).sum())
    report.check(f"{name}: the least is kept", small <= part["small_areas"], f"{small} smaller or narrower, {part['small_areas']} told")
    return held


def main():
    program, job, folder = sys.argv[1], Path(sys.argv[2]), Path(sys.argv[3])
    folder.mkdir(parents=True, exist_ok=True)
    report = Report()
    plain = run(program, job, folder / "plain", {})
    units = plain[0]["units"]
    us = units == "us"
    ladder = [n * 0.25 for n in range(4, 17)] if us else [2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0]
    least = "1 ac" if us else "0.4 ha"
    area_unit, rate_unit, _, _ = UNITS[units]
    tolerance = ("0.5 ton/ac", 0.5) if us else ("1 t/ha", 1.0)
    cells = plain[1]
    own, weight = cells[f"rate_{rate_unit}"].to_numpy(), cells[f"area_{area_unit}"].to_numpy()
    for count in (1, 2, 3, 4):
        # Nothing merges, so every cell has the rate that was chosen for its own.
        sets = {"rates_at_most": count, "least_area": f"0 {area_unit}", "least_width": "0 m"}
        result = run(program, job, folder / f"choice_{count}", sets)
        held = check_result(f"{count} rates", sets, ladder, result, plain, report)
        moved = held["area_rate"] - held[f"rate_{rate_unit}"]
        cost = float((moved**2 * held[f"area_{area_unit}"]).sum())
        best, chosen = best_sets(own, weight, ladder, count)
        report.close(f"{count} rates: no set of rates is nearer", cost, best, 1e-6)
        report.check(f"{count} rates: nothing stays nothing", bool(((held["area_rate"] > 0) == (held[f"rate_{rate_unit}"] > 0)).all()), f"{chosen}")
    words, most = tolerance
    sets = {"tolerance": words, "least_area": f"0 {area_unit}", "least_width": "0 m"}
    held = check_result("tolerance", sets, ladder, run(program, job, folder / "tolerance", sets), plain, report)
    moved = (held["area_rate"] - held[f"rate_{rate_unit}"]).abs()
    report.check("tolerance: no cell is moved further", moved.max() <= most + 1e-9, f"{moved.max()}")
    fewest = next(
        count
        for count in range(1, 14)
        for chosen in itertools.combinations(ladder, count)
        if np.abs(own[own > 0, None] - np.array(chosen)).min(axis=1).max() <= most + 1e-9
    )
    used = len({rate for rate in held["area_rate"] if rate > 0})
    report.check("tolerance: no fewer rates do", used == fewest, f"{used}")
    for name, sets in {
        "merged": {"rates_at_most": 3, "least_area": least},
        "wide": {"rates_at_most": 4, "least_area": least, "least_width": "36 m"},
        "end rows": {"rates_at_most": 3, "least_area": least, "end_rows": 2},
        "capped": {"tolerance": words, "least_area": f"0 {area_unit}", "polygons_at_most": 12, "vertices_at_most": 400},
    }.items():
        result = run(program, job, folder / name.replace(" ", "_"), sets)
        if name == "end rows":
            # Its cells are cut along the rounds, so they are held against the field alone.
            ground = check_tiling(name, result[1], cells, report)
            rows = ground[ground["end_row"].notna()]
            boundary = union_all(on_the_ground(cells).geometry.values).boundary
            width_m = result[0]["rate_areas"]["least_width"]["value"] * (0.3048 if us else 1)
            for row, of_row in rows.groupby("end_row"):
                band = boundary.buffer(width_m * row, quad_segs=200).difference(boundary.buffer(width_m * (row - 1), quad_segs=200))
                band = band.intersection(union_all(ground.geometry.values))
                union = union_all(of_row.geometry.values)
                off = band.symmetric_difference(union)
                # A bend of a round is right to 5 cm.
                report.check(f"{name}: round {int(row)} by shapely", off.area < band.length * 0.06, f"{off.area:.3f} m2 of {band.area:.0f}")
            continue
        check_result(name, sets, ladder, result, plain, report)
        part = result[0]["rate_areas"]
        if name == "capped":
            report.check("capped: met", part["within_caps"] and part["polygons"] <= 12 and part["vertices"] <= 400, f"{part['polygons']} {part['vertices']}")
    print(report.last_line())
    return 1 if report.failures else 0


if __name__ == "__main__":
    sys.exit(main())
