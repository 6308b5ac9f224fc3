#!/usr/bin/env python3
"""Checks what is kept out, overridden and sampled by zones, by place, on a sample field.

    check_regions.py PROGRAM FOLDER

A well, a stream and a yard with a courtyard are kept out with a setback of 50 ft; one area is
halved, and in another nothing is spread. The areas are buffered, cut and joined by shapely, and
every cell of the map is held against them. A second job on the same field has three sample zones
that overlap a little and leave a gap. All areas and readings are invented.
"""

import json
import shutil
import subprocess
import sys
from pathlib import Path

import one_thread  # noqa: F401, before numpy
import numpy as np
from pyproj import Transformer
from shapely import LineString, Point, Polygon, STRtree, box, is_valid, transform, union_all
from shapely.geometry import mapping
from shapely.geometry import shape as shape_of

from job import read_job
from place import CORNER_M, Frame
from report import Report

FIELD = Path(__file__).parents[2] / "sample_fields" / "heron_flat"
SETBACK_M = 50 * 0.3048
# Round borders of the program are right to 3 mm, and corners are rounded to seven decimals.
BORDER_M = 0.003 + 2 * CORNER_M
M2_PER_ACRE = 4046.8564224

JOB = """
[[override]]
area = "halved.geojson"
factor = 0.5
reason = "ash was spread here"

[[override]]
area = "spared.geojson"
no_product = true
reason = "acid-loving shrubs"
"""


def draw(frame_middle):
    """The areas in metres about the middle of the field."""
    x, y = frame_middle
    yard = Polygon(
        [(x - 300, y - 60), (x - 180, y - 75), (x - 170, y + 55), (x - 290, y + 40)],
        [[(x - 260, y - 30), (x - 200, y - 35), (x - 205, y + 20)]],
    )
    stream = LineString([(x - 500, y + 210), (x - 90, y + 180), (x + 120, y + 230), (x + 520, y + 190)])
    return {
        "well": Point(x + 61, y - 130),
        "stream": stream,
        "yard": yard,
        "halved": box(x - 250, y - 250, x + 33, y - 7),
        "spared": Polygon([(x, y - 40), (x + 200, y - 20), (x + 160, y + 150)]),
    }


def write(path, shapes):
    features = [{"type": "Feature", "properties": {}, "geometry": mapping(shape)} for shape in shapes]
    path.write_text(json.dumps({"type": "FeatureCollection", "features": features}), encoding="utf-8")


ZONES = {"Hill": (5.6, 6.3), "slope": (6.0, 6.6), "Bottom ": (6.3, 6.8)}
# Metres that the second zone reaches into the first, and that the third stays away from the second.
OVERLAP_M, GAP_M = 3.0, 2.5


def check_zones(program, folder, outline, frame, degrees_of, report):
    """One value a zone: names, values, borders, the gap and the overlap."""
    shutil.copytree(FIELD, folder)
    west, south, east, north = outline.bounds
    a, b = west + 0.37 * (east - west), west + 0.71 * (east - west)
    tilt = 60.0

    def band(left, right):
        return Polygon([(left, south - 9), (right, south - 9), (right + tilt, north + 9), (left + tilt, north + 9)])

    drawn = dict(zip(ZONES, (band(west - 99, a), band(a - OVERLAP_M, b), band(b + GAP_M, east + 99)), strict=True))
    features = [
        {"type": "Feature", "properties": {"zone_name": f" {name.upper()}"}, "geometry": mapping(degrees_of(shape))}
        for name, shape in drawn.items()
    ]
    text = json.dumps({"type": "FeatureCollection", "features": features})
    (folder / "zones.geojson").write_text(text, encoding="utf-8")
    rows = [f"{name},{ph},{buffer_ph}" for name, (ph, buffer_ph) in ZONES.items()]
    (folder / "composites.csv").write_text("\n".join(["zone,pH,BpH", *rows, ""]), encoding="utf-8")
    path = folder / "job.toml"
    sets = ["samples.file=composites.csv", "samples.key=zone", "samples.zones=zones.geojson", "samples.zone_key=zone_name"]
    more = [part for text in sets for part in ("--set", text)]
    subprocess.run([program, "prescribe", path, "--out", folder / "out", *more], check=True, capture_output=True)

    features = json.loads((folder / "out" / "rate_map.geojson").read_text(encoding="utf-8"))["features"]
    summary = json.loads((folder / "out" / "summary.json").read_text(encoding="utf-8"))
    shown = [feature["properties"] for feature in features]
    cells = frame.shapes(np.array([shape_of(feature["geometry"]) for feature in features], dtype=object))
    areas, left = {}, outline
    for name, shape in drawn.items():
        areas[name.strip().upper()] = left.intersection(shape)
        left = left.difference(shape)
    areas[None] = left
    values = {name.strip().upper(): reading for name, reading in ZONES.items()}
    for name, area in areas.items():
        own = [n for n, cell in enumerate(shown) if cell["sample_zone"] == name]
        off = union_all(cells[own]).symmetric_difference(area).area
        report.check(f"ground of {name or 'no zone'}", off < area.length * BORDER_M, f"{off:.2f} m2, {len(own)} cells")
        if name is not None:
            wrong = [n for n in own if (shown[n]["ph"], shown[n]["buffer_ph"]) != values[name]]
            report.none(f"readings of {name}", wrong, len(own))
    gap = [n for n, cell in enumerate(shown) if cell["sample_zone"] is None]
    # In the middle of the gap either may be nearer to where the cell is read.
    beside = (values["SLOPE"], values["BOTTOM"])
    wrong = [n for n in gap if (shown[n]["ph"], shown[n]["buffer_ph"]) not in beside]
    report.none("the gap has a neighbour's readings", wrong, len(gap))
    report.check("the gap is marked", {shown[n]["samples"] for n in gap} == {"outside"})
    found = {finding["key"]: finding["text"] for finding in summary["findings"]}
    for key, area in (("zone_gaps", left.area), ("zone_overlaps", OVERLAP_M * (north - south))):
        acres = float(found[key].split()[0])
        report.check(f"told: {key}", abs(acres - area / M2_PER_ACRE) < 0.02, f"{acres} for {area / M2_PER_ACRE:.3f} ac")


def main():
    if len(sys.argv) != 3:
        sys.exit(__doc__)
    program, folder = Path(sys.argv[1]).resolve(), Path(sys.argv[2])
    shutil.copytree(FIELD, folder)
    job = read_job(FIELD / "job.toml")
    frame = Frame(job.boundary)
    outline = frame.outline(job.boundary)
    areas = draw((outline.centroid.x, outline.centroid.y))
    back = Transformer.from_crs(frame.door.target_crs, "OGC:CRS84", always_xy=True)

    def degrees_of(shape):
        return transform(shape, lambda c: np.column_stack(back.transform(c[:, 0], c[:, 1])))

    degrees = {name: degrees_of(shape) for name, shape in areas.items()}
    write(folder / "keep_out.geojson", [degrees["well"], degrees["stream"], degrees["yard"]])
    for name in ("halved", "spared"):
        write(folder / f"{name}.geojson", [degrees[name]])
    path = folder / "job.toml"
    text = path.read_text(encoding="utf-8")
    text = text.replace("[dates]", 'keep_out = "keep_out.geojson"\nsetback = "50 ft"\n\n[dates]', 1)
    path.write_text(text + JOB, encoding="utf-8")
    subprocess.run([program, "prescribe", path, "--out", folder / "out"], check=True, capture_output=True)

    features = json.loads((folder / "out" / "rate_map.geojson").read_text(encoding="utf-8"))["features"]
    summary = json.loads((folder / "out" / "summary.json").read_text(encoding="utf-8"))
    report = Report()
    raw = [shape_of(feature["geometry"]) for feature in features]
    cells = frame.shapes(np.array(raw, dtype=object))
    shown = [feature["properties"] for feature in features]
    kept = union_all([areas[name].buffer(SETBACK_M, quad_segs=400) for name in ("well", "stream", "yard")])
    kept = kept.intersection(outline)
    net = outline.difference(kept)
    border = net.length * BORDER_M

    def area(name):
        return summary[name]["value"] * M2_PER_ACRE

    report.check("kept out", abs(area("keep_out_area") - kept.area) < kept.length * BORDER_M, f"{area('keep_out_area'):.2f} for {kept.area:.2f} m2")
    report.check("names are unique", len({cell["cell"] for cell in shown}) == len(shown))
    report.none("cells are valid", [n for n, cell in enumerate(raw) if not is_valid(cell)], len(raw))
    whole = union_all(raw)
    report.close("cells do not overlap", whole.area, sum(cell.area for cell in raw), 1e-9)
    off = union_all(cells).symmetric_difference(net).area
    report.check("cells cover all but what is kept out", off < border, f"{off:.3f} of {border:.3f} m2")
    ledger = summary["ledger"]
    report.close("areas of the ledger", ledger["cell_area"]["value"], area("area") / M2_PER_ACRE - area("keep_out_area") / M2_PER_ACRE, 1e-9)

    # What a cell is under is told by a point well inside it.
    points = np.array([cell.representative_point() for cell in cells], dtype=object)
    under = {name: np.isin(np.arange(len(cells)), STRtree(points).query(areas[name], "contains")) for name in ("halved", "spared")}
    straddling = []
    for name in ("halved", "spared"):
        inside = np.array([cell.intersection(areas[name]).area for cell in cells])
        whole = np.array([cell.area for cell in cells])
        lengths = np.array([cell.length for cell in cells])
        wrong = np.where(under[name], whole - inside, inside) > lengths * BORDER_M
        straddling += list(np.flatnonzero(wrong))
    report.none("cells are cut where overrides end", straddling, len(cells))

    rate = np.array([cell["rate_ton_ac"] for cell in shown])
    wanted = np.array([cell["need_ton_ac"] for cell in shown]) / job.effective
    limit = np.array([cell["limit"] for cell in shown])
    report.none("nothing on spared ground", np.flatnonzero(under["spared"] & (rate != 0)), under["spared"].sum())
    half = under["halved"] & ~under["spared"]
    # Half of a rate of the machine, in steps of 0.25 with ties upward; below half the least nothing.
    least, most, step = 1.0, 4.0, 0.25

    def fit(values):
        snapped = np.floor(values / step + 0.5 + 1e-9) * step
        low = np.where(values >= least / 2 - 1e-9, least, 0.0)
        return np.where(values <= 0, 0.0, np.where(values > most, most, np.where(values < least, low, snapped)))

    fitted = fit(wanted)
    gap = np.abs(wanted[:, None] - np.concatenate([[least / 2], np.arange(least, most, step) + step / 2])).min(axis=1)
    sure = gap > 1e-5 * np.maximum(wanted, 1)
    expected = np.where(under["halved"], fit(fitted / 2), fitted)
    expected = np.where(under["spared"], 0.0, expected)
    report.none("rates", np.flatnonzero((np.abs(rate - expected) > 1e-9) & sure), sure.sum(), f"{half.sum()} halved")
    report.none("marked as overridden", np.flatnonzero(((limit == "override") != (expected != fitted)) & sure), sure.sum())
    acres = np.array([cell["area_ac"] for cell in shown])
    halving = np.where(under["halved"], fit(fitted / 2) - fitted, 0.0)
    sparing = np.where(under["spared"], -(fitted + halving), 0.0)
    for number, change in enumerate((halving, sparing)):
        total = summary["overrides"][number]["product_change"]["value"]
        report.close(f"product of override {number + 1}", total, float((change * acres).sum()), 1e-4)
    short = np.maximum(wanted - rate, 0) * job.effective * acres
    report.close("left out by overrides", ledger["overridden_down"]["value"], float(short[limit == "override"].sum()), 1e-4)
    check_zones(program, folder.with_name(folder.name + "_zones"), outline, frame, degrees_of, report)
    print(report.last_line())
    sys.exit(1 if report.failures else 0)


if __name__ == "__main__":
    main()
