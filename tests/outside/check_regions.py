#!/usr/bin/env python3
"""Checks what is kept out, overridden and sampled by zones, by place, on a sample field.

    check_regions.py PROGRAM FOLDER

A well, a stream and a yard with a courtyard are kept out with a setback of 50 ft; one area is
halved, and in another nothing is spread. The areas are buffered, cut and joined by shapely, and
every cell of the map is held against them. The same is kept out by three files with a setback
each. Three more jobs on the same field have sample zones that overlap a little and leave a gap: by
composites, by results among the zones' attributes, and by points that name their zone. In two more
the field's own samples give the pH and such zones the buffer pH, or the reverse; there the pH is
drawn again by MetPy. All areas and readings are invented.
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

import lime
from check_by_place import MOST_SKIPPED, SOIL_TOLERANCE, steepness
from job import read_job
from place import CORNER_M, Cells, Frame, Surface
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


def check_files(program, folder, path, areas, degrees, outline, report):
    """Three files with a setback each: what each keeps out, and what two of them do."""
    setbacks = {"well": 100.0, "stream": 120.0, "yard": 60.0}
    for name in setbacks:
        write(folder / f"{name}.geojson", [degrees[name]])
    tables = [f'{{ file = "{name}.geojson", setback = "{setback} m" }}' for name, setback in setbacks.items()]
    text = path.read_text(encoding="utf-8")
    text = text.replace('keep_out = "keep_out.geojson"\nsetback = "50 ft"', f"keep_out = [{', '.join(tables)}]", 1)
    (folder / "files.toml").write_text(text, encoding="utf-8")
    subprocess.run([program, "prescribe", folder / "files.toml", "--out", folder / "out_files"], check=True, capture_output=True)
    summary = json.loads((folder / "out_files" / "summary.json").read_text(encoding="utf-8"))
    kept = {name: areas[name].buffer(setback, quad_segs=400).intersection(outline) for name, setback in setbacks.items()}
    names = list(kept)
    pairs = [kept[a].intersection(kept[b]) for n, a in enumerate(names) for b in names[n + 1 :]]
    expected = {f"kept out by the {name}": kept[name] for name in names}
    expected |= {"kept out in all": union_all(list(kept.values())), "kept out twice": union_all(pairs)}
    told = [part["area"]["value"] for part in summary["keep_out"]]
    told += [summary["keep_out_area"]["value"], summary["keep_out_overlap"]["value"]]
    for (name, shape), acres in zip(expected.items(), told, strict=True):
        report.check(name, abs(acres * M2_PER_ACRE - shape.area) < shape.length * BORDER_M, f"{acres:.4f} ac")
    report.check("something is kept out twice", expected["kept out twice"].area > 100, "m2")


def zone_jobs(drawn, outline, degrees_of, folder):
    """Writes the three forms of a job with zones; yields for each its name, what is set, and the readings."""
    values = {name.strip().upper(): reading for name, reading in ZONES.items()}

    def write_zones(file, attributes):
        features = [
            {"type": "Feature", "properties": {"zone_name": f" {name.upper()}", **attributes(name)}, "geometry": mapping(degrees_of(shape))}
            for name, shape in drawn.items()
        ]
        text = json.dumps({"type": "FeatureCollection", "features": features})
        (folder / file).write_text(text, encoding="utf-8")

    write_zones("zones.geojson", lambda name: {})
    rows = [f"{name},{ph},{buffer_ph}" for name, (ph, buffer_ph) in ZONES.items()]
    (folder / "composites.csv").write_text("\n".join(["zone,pH,BpH", *rows, ""]), encoding="utf-8")
    zones = ["samples.zones=zones.geojson", "samples.zone_key=zone_name"]
    yield "composites", ["samples.file=composites.csv", "samples.key=zone", *zones], values

    write_zones("zones_with_results.geojson", lambda name: {"pH": ZONES[name][0], "BpH": str(ZONES[name][1])})
    own = ["samples.file=zones_with_results.geojson", "samples.zones=zones_with_results.geojson", zones[1]]
    yield "attributes", own, values

    # Points drawn at random, each under the name of the area that shapely finds it in.
    random = np.random.default_rng(7)
    west, south, east, north = outline.bounds
    rows, read = ["name,part,lon,lat,pH,BpH"], {name: [] for name in drawn}
    while min(len(found) for found in read.values()) < 5:
        point = Point(random.uniform(west, east), random.uniform(south, north))
        inside = [name for name, shape in drawn.items() if outline.contains(point) and shape.contains(point)]
        if not inside:
            continue
        # Where zones overlap the first has the ground.
        name, at = inside[0], degrees_of(point)
        reading = (round(random.uniform(5.2, 6.4), 2), round(random.uniform(6.1, 6.9), 2))
        rows.append(f"P{len(rows)},{name.lower()},{at.x:.8f},{at.y:.8f},{reading[0]},{reading[1]}")
        read[name].append(reading)
    (folder / "points.csv").write_text("\n".join([*rows, ""]), encoding="utf-8")
    means = {name.strip().upper(): tuple(np.mean(found, axis=0)) for name, found in read.items()}
    points = ["samples.file=points.csv", "samples.key=name", "samples.columns.zone=part", "samples.repeats=mean", *zones]
    yield "points", points, means


def check_zones(program, folder, outline, frame, degrees_of, report):
    """One value a zone: names, values, borders, the gap and the overlap."""
    shutil.copytree(FIELD, folder)
    west, south, east, north = outline.bounds
    a, b = west + 0.37 * (east - west), west + 0.71 * (east - west)
    tilt = 60.0

    def band(left, right):
        return Polygon([(left, south - 9), (right, south - 9), (right + tilt, north + 9), (left + tilt, north + 9)])

    drawn = dict(zip(ZONES, (band(west - 99, a), band(a - OVERLAP_M, b), band(b + GAP_M, east + 99)), strict=True))
    areas, left = {}, outline
    for name, shape in drawn.items():
        areas[name.strip().upper()] = left.intersection(shape)
        left = left.difference(shape)
    areas[None] = left
    for form, sets, values in zone_jobs(drawn, outline, degrees_of, folder):
        out = folder / f"out_{form}"
        more = [part for text in sets for part in ("--set", text)]
        subprocess.run([program, "prescribe", folder / "job.toml", "--out", out, *more], check=True, capture_output=True)
        features = json.loads((out / "rate_map.geojson").read_text(encoding="utf-8"))["features"]
        summary = json.loads((out / "summary.json").read_text(encoding="utf-8"))
        shown = [feature["properties"] for feature in features]
        cells = frame.shapes(np.array([shape_of(feature["geometry"]) for feature in features], dtype=object))

        def reads(cell, *zones):
            return any(np.allclose((cell["ph"], cell["buffer_ph"]), values[name], rtol=0, atol=5e-5) for name in zones)

        for name, area in areas.items():
            own = [n for n, cell in enumerate(shown) if cell["sample_zone"] == name]
            off = union_all(cells[own]).symmetric_difference(area).area
            report.check(f"{form}: ground of {name or 'no zone'}", off < area.length * BORDER_M, f"{off:.2f} m2, {len(own)} cells")
            if name is not None:
                report.none(f"{form}: readings of {name}", [n for n in own if not reads(shown[n], name)], len(own))
        gap = [n for n, cell in enumerate(shown) if cell["sample_zone"] is None]
        # In the middle of the gap either may be nearer to where the cell is read.
        report.none(f"{form}: the gap has a neighbour's readings", [n for n in gap if not reads(shown[n], "SLOPE", "BOTTOM")], len(gap))
        report.check(f"{form}: the gap is marked", {shown[n]["samples"] for n in gap} == {"outside"})
        found = {finding["key"]: finding["text"] for finding in summary["findings"]}
        for key, area in (("zone_gaps", left.area), ("zone_overlaps", OVERLAP_M * (north - south))):
            acres = float(found[key].split()[0])
            report.check(f"{form}: told: {key}", abs(acres - area / M2_PER_ACRE) < 0.02, f"{acres} for {area / M2_PER_ACRE:.3f} ac")
    check_by_zone(program, folder, areas, frame, report)


def check_by_zone(program, folder, areas, frame, report):
    """One attribute of the samples at points and the other of the zones, in the folder of `check_zones`."""
    job = read_job(folder / "job.toml")
    samples, points = job.samples, frame.points(job.samples.lons, job.samples.lats)
    zero = lime.ZERO_NEED_READING[job.method, job.target_ph]
    buffers = [zero if reading is None else reading for reading in samples.readings["buffer_ph"]]
    zones = ["samples.zones=zones.geojson", "samples.zone_key=zone_name", "samples.zone_results=results.csv", "samples.zone_results_key=part"]
    for own, by_zone, column, readings in (
        ("ph", "buffer_ph", 1, samples.readings["ph"]),
        ("buffer_ph", "ph", 0, buffers),
    ):
        head = {"ph": "pH", "buffer_ph": "BpH"}[by_zone]
        rows = [f"{name.lower()},{values[column]}" for name, values in ZONES.items()]
        (folder / "results.csv").write_text("\n".join([f"part,{head}", *rows, ""]), encoding="utf-8")
        out = folder / f"out_{by_zone}_by_zone"
        # A blank of a sample in a zone of pH 5.6 is no answer, unless the job takes it for one.
        sets = [*zones, f'samples.by_zone=["{by_zone}"]', "samples.buffer_blank_above=5.5"]
        more = [part for text in sets for part in ("--set", text)]
        subprocess.run([program, "prescribe", folder / "job.toml", "--out", out, *more], check=True, capture_output=True)
        features = json.loads((out / "rate_map.geojson").read_text(encoding="utf-8"))["features"]
        summary = json.loads((out / "summary.json").read_text(encoding="utf-8"))
        cells, shown = Cells(features, frame, job), [feature["properties"] for feature in features]
        name = f"{by_zone} by zone"
        # The samples' attribute, drawn again at each cell's value point.
        surface = Surface(points, np.array(readings, dtype=float)[:, None])
        values = {key: np.array([cell[key] for cell in shown]) for key in (own, by_zone)}
        sure = ~cells.unsure & ~cells.merged
        off = np.abs(surface.at(cells.by_shape)[:, 0] - values[own])
        allowed = np.full(len(off), SOIL_TOLERANCE)
        steep = np.flatnonzero((off > allowed) & sure)
        allowed[steep] += steepness(points, surface.values, cells.by_shape[steep])
        report.none(f"{name}: {own} of the samples", np.flatnonzero((off > allowed) & sure), np.count_nonzero(sure))
        report.enough(f"{name}: {own} of the samples", np.count_nonzero(sure), len(sure), MOST_SKIPPED)
        # The zones' attribute: that of the ground under a point well inside the cell.
        inside = np.array([cell.representative_point() for cell in cells.metres], dtype=object)
        for zone, area in areas.items():
            here = [n for n in range(len(shown)) if area.contains(inside[n])]
            near = [zone] if zone else ["SLOPE", "BOTTOM"]
            right = [ZONES[key][column] for key in ZONES if key.strip().upper() in near]
            wrong = [n for n in here if min(abs(values[by_zone][n] - value) for value in right) > 5e-7]
            report.none(f"{name}: {by_zone} of {zone or 'the gap'}", wrong, len(here))
            wrong = [n for n in here if shown[n]["sample_zone"] != zone]
            report.none(f"{name}: cells of {zone or 'the gap'}", wrong, len(here))
        # Need, and the sum of all cells, from both.
        need = np.array([cell["need_ton_ac"] for cell in shown]) * job.rate_unit
        expected = lime.needs(job, values)
        clear = np.abs(values["ph"] - lime.trigger(job)) > 1e-5
        wrong = np.flatnonzero((np.abs(need - expected) > 1e-4 * lime.T_HA) & clear)
        report.none(f"{name}: need", wrong, np.count_nonzero(clear), f"{np.count_nonzero(need > 0)} limed")
        total = summary["need_total"]["value"] * job.mass_unit_kg
        report.close(f"{name}: total need", total, float((need * cells.areas_m2).sum()), 1e-4, "kg")
        soil = summary["soil"]
        told = (soil[own].get("by_zone", False), soil[by_zone].get("by_zone", False), soil[by_zone]["samples"])
        report.check(f"{name}: told of each attribute", told == (False, True, len(ZONES)), f"{told}")
        mean = soil[by_zone]["mean"]
        report.close(f"{name}: mean of the zones", mean, float(np.mean([values[column] for values in ZONES.values()])), 1e-9)


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
    check_files(program, folder, path, areas, degrees, outline, report)
    check_zones(program, folder.with_name(folder.name + "_zones"), outline, frame, degrees_of, report)
    print(report.last_line())
    sys.exit(1 if report.failures else 0)


if __name__ == "__main__":
    main()
