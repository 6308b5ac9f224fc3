#!/usr/bin/env python3
"""Reads the program's ISO 11783-10 task data with other software, and by place.

    check_iso.py PROGRAM FOLDER [NODE_FOLDER]

Both sample fields are written in all three forms, one of them with ground kept out and a rate
outside the field. The XML is validated against the schema V4.3 (in the PyPI package
isoxml-writer), read with the PyPI package isoxml, and, where NODE_FOLDER holds it, with the npm
package isoxml. Every cell of the grids is held against the rate map at its centre (shapely), and
the product against the summary by areas of the WGS 84 ellipsoid (pyproj). Then faults are planted:
each must be noticed by the program's own reader, and by the schema where it is one of form.

The npm package leaves out cells of nothing; the PyPI package wants TASKDATA.XML beside the grids.
"""

import json
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import one_thread  # noqa: F401, before numpy
import isoxml_writer
import numpy as np
from isoxml.converter.np_grid import to_numpy_array
from isoxml.util.isoxml_io import isoxml_from_path
from lxml import etree
from pyproj import Geod
from shapely import Polygon, STRtree, intersects, points, prepare, union_all
from shapely.geometry import shape as shape_of

from report import Report

ROOT = Path(__file__).parents[2]
GEOD = Geod(ellps="WGS84")
# Milligrams on a square metre, by the exact pound and acre.
MG_M2 = {
    "ton_ac": 907.18474e6 / 4046.8564224,
    "t_ha": 1e5,
}
KG = {"ton": 907.18474, "t": 1000.0}
FORMS = {"iso-xml polygons": "iso-polygons", "iso-xml grid 1": "iso-grid-1", "iso-xml grid 2": "iso-grid-2"}
OUT_OF_FIELD = 3.0
# A centre nearer to an edge than rounded corners (1e-7 degree) are may be on either side of it.
NEAR_DEG = 2e-7


def schema():
    folder = Path(isoxml_writer.__file__).parent / "ISOXML_schema"
    return etree.XMLSchema(etree.parse(folder / "ISO11783_TaskFile_V4-3.xsd"))


def run(program, job, out, sets):
    command = [program, "prescribe", job, "--out", out]
    for form in FORMS:
        command += ["--export", form]
    for one in sets:
        command += ["--set", one]
    subprocess.run([str(part) for part in command], check=True, capture_output=True, text=True)
    return json.loads((out / "summary.json").read_text(encoding="utf-8"))


class Meant:
    """The rate map: its cells, and their rates in whole mg/m2."""

    def __init__(self, out):
        features = json.loads((out / "rate_map.geojson").read_text(encoding="utf-8"))["features"]
        unit = next(unit for unit in MG_M2 if f"rate_{unit}" in features[0]["properties"])
        self.shapes = [shape_of(feature["geometry"]) for feature in features]
        self.rates = np.array([round(f["properties"][f"rate_{unit}"] * MG_M2[unit]) for f in features])
        self.tree = STRtree(self.shapes)
        self.edges = STRtree([shape.boundary for shape in self.shapes])

    def at(self, lon, lat):
        """The rate at each place, -1 outside all cells; and whether an edge is near."""
        places = points(lon.ravel(), lat.ravel())
        place, cell = self.tree.query(places, predicate="intersects")
        rates = np.full(places.size, -1, dtype=np.int64)
        rates[place] = self.rates[cell]
        near = np.zeros(places.size, dtype=bool)
        near[self.edges.query(places, predicate="dwithin", distance=NEAR_DEG)[0]] = True
        return rates.reshape(lon.shape), near.reshape(lon.shape)


def row_areas(grid):
    """The area of a cell of each row, on the ellipsoid."""
    areas = []
    for row in range(grid.maximum_row):
        south = float(grid.minimum_north_position) + row * float(grid.cell_north_size)
        north, west, east = south + float(grid.cell_north_size), 0.0, float(grid.cell_east_size)
        areas.append(GEOD.polygon_area_perimeter([west, east, east, west], [south, south, north, north])[0])
    return np.abs(np.array(areas))


def check_grid(name, data, binary, meant, product_kg, out_of_field, inside, report):
    task = data.tasks[0]
    grid = task.grids[0]
    values = to_numpy_array(binary[grid.filename], grid)
    if name.endswith("1"):
        codes = {zone.code: zone.process_data_variables[0].process_data_value for zone in task.treatment_zones}
        report.check(f"{name}: every code has a zone", set(np.unique(values)) <= set(codes))
        outside = values == task.out_of_field_treatment_zone_code
        rates = np.vectorize(codes.get)(values)
    else:
        rates, outside = values.astype(np.int64), None
    report.check(f"{name}: length of the file", grid.filelength == len(binary[grid.filename]), f"{grid.filelength}")
    column = np.arange(grid.maximum_column) + 0.5
    row = np.arange(grid.maximum_row) + 0.5
    lon, lat = np.meshgrid(
        float(grid.minimum_east_position) + column * float(grid.cell_east_size),
        float(grid.minimum_north_position) + row * float(grid.cell_north_size),
    )
    expected, near = meant.at(lon, lat)
    in_field = inside(lon, lat)
    # Ground of the field in no cell is kept out and gets nothing; ground outside gets its own rate.
    wanted = np.where(expected >= 0, expected, np.where(in_field, 0, out_of_field))
    wrong = np.flatnonzero((rates != wanted) & ~near)
    report.none(f"{name}: rates by place, rows from the south", wrong, int((~near).sum()))
    report.enough(name, int((~near).sum()), near.size, 0.02)
    upside_down = np.flatnonzero((rates[::-1] != wanted) & ~near)
    report.check(f"{name}: upside down it would not fit", upside_down.size > 0, f"{upside_down.size} cells differ")
    if outside is not None:
        wrong = np.flatnonzero((outside != ((expected < 0) & ~in_field)) & ~near)
        report.none(f"{name}: outside the field is not nothing to spread", wrong, int((~near).sum()))
    spread = np.where(expected >= 0, rates, 0).sum(axis=1) * row_areas(grid) / 1e6
    report.close(f"{name}: product", spread.sum(), product_kg, 0.01, "kg")


def ring(line):
    return [(float(point.east), float(point.north)) for point in line.points]


def outline_of(data):
    """Whether places lie in the field that the task is for."""
    polygons = []
    for polygon in data.partfields[0].polygons:
        if polygon.type.value == "1":
            outer = [ring(line) for line in polygon.line_strings if line.type.value == "1"]
            holes = [ring(line) for line in polygon.line_strings if line.type.value == "2"]
            polygons.append(Polygon(outer[0], holes))
    field = union_all(polygons)
    prepare(field)

    def inside(lon, lat):
        return intersects(points(lon.ravel(), lat.ravel()), field).reshape(lon.shape)

    return inside


def check_polygons(name, data, meant, product_kg, report):
    product, count = 0.0, 0
    for zone in data.tasks[0].treatment_zones:
        for polygon in zone.polygons:
            count += 1
            for line in polygon.line_strings:
                lons, lats = zip(*ring(line))
                area = abs(GEOD.polygon_area_perimeter(lons, lats)[0])
                sign = 1 if line.type.value == "1" else -1
                product += sign * area * zone.process_data_variables[0].process_data_value / 1e6
    parts = sum(len(getattr(shape, "geoms", [shape])) for shape in meant.shapes)
    report.check(f"{name}: polygons", count == parts, f"{count} for {parts}")
    report.close(f"{name}: product", product, product_kg, 0.001, "kg")


def read_with_node(modules, folder, work):
    """What the npm package says of a folder TASKDATA."""
    packed = work / "taskdata.zip"
    with zipfile.ZipFile(packed, "w") as archive:
        for file in sorted(folder.iterdir()):
            archive.write(file, f"TASKDATA/{file.name}")
    # A module is looked for beside the script that imports it.
    script = modules / "read.mjs"
    shutil.copy(ROOT / "tests" / "outside" / "iso" / "read.mjs", script)
    done = subprocess.run(["node", str(script), str(packed)], check=True, capture_output=True, text=True)
    return json.loads(done.stdout)


def check_with_node(name, modules, folder, work, data, binary, report):
    found = read_with_node(modules, folder, work)
    report.check(f"{name}: npm isoxml has no warnings", found["warnings"] == [], f"{found['warnings'][:3]}")
    task = found["tasks"][0]
    report.check(f"{name}: npm isoxml finds the field", bool(task["field"]), task["field"])
    values = [value for zone in task["zones"] for value in zone["values"]]
    whole = all(value[0] == "0006" and value[2] and value[3] for value in values) and values
    report.check(f"{name}: npm isoxml resolves product and unit of every zone", whole, f"{len(values)} values")
    if not task["grids"]:
        polygons = sum(zone["polygons"] for zone in task["zones"])
        mine = sum(len(zone.polygons) for zone in data.tasks[0].treatment_zones)
        report.check(f"{name}: npm isoxml counts the polygons", polygons == mine, f"{polygons} for {mine}")
        return
    grid, element = task["grids"][0], data.tasks[0].grids[0]
    array = to_numpy_array(binary[element.filename], element)
    report.check(f"{name}: npm isoxml has the shape", (grid["rows"], grid["columns"]) == array.shape, f"{array.shape}")
    if grid["type"] == "1":
        report.check(f"{name}: npm isoxml finds the codes", sorted(grid["codes"]) == sorted(np.unique(array).tolist()))
        return
    # Its polygons, put back into an array; those of nothing are not there.
    back = np.zeros_like(array)
    for west, south, rate in grid["cells"]:
        row = round((south - float(element.minimum_north_position)) / float(element.cell_north_size))
        column = round((west - float(element.minimum_east_position)) / float(element.cell_east_size))
        back[row, column] = rate
    report.none(f"{name}: npm isoxml has the values in their places", np.flatnonzero(back != array), array.size)
    some = int((array != 0).sum())
    report.check(f"{name}: npm isoxml counts the cells of something", len(grid["cells"]) == some, f"{some}")


def faults_of(program, folder):
    done = subprocess.run([program, "read", str(folder), "--json"], capture_output=True, text=True)
    if done.returncode != 0:
        return "refused: " + done.stderr
    found = json.loads(done.stdout)
    return json.dumps([export.get("faults", []) for export in found["exports"]])


def plant(program, folder, work, xsd, modules, report):
    """Spoils copies of a grid of rates; each fault must be told."""
    grid = "GRD00001.bin"

    def shorten(copy):
        (copy / grid).write_bytes((copy / grid).read_bytes()[:-4])

    def drop(copy):
        (copy / grid).unlink()

    def rename(copy):
        (copy / grid).rename(copy / "grd00001.bin")

    def stray(copy):
        (copy / f"._{grid}").write_bytes(b"\0\5\x16\7")

    def change(old, new):
        def change(copy):
            text = (copy / "TASKDATA.XML").read_text(encoding="utf-8")
            assert old in text, old
            (copy / "TASKDATA.XML").write_text(text.replace(old, new), encoding="utf-8")

        return change

    def cut(copy):
        text = (copy / "TASKDATA.XML").read_text(encoding="utf-8")
        (copy / "TASKDATA.XML").write_text(text[: len(text) // 2], encoding="utf-8")

    cases = [
        ("a short grid", shorten, "iso_grid_file_size", True, True),
        ("no grid", drop, "iso_grid_file_missing", True, True),
        ("another letter case", rename, "iso_letter_case", True, True),
        ("a stray file", stray, "stray_files", True, False),
        ("a product that is not there", change('C="PDT1"', 'C="PDT7"'), "iso_dangling_reference", True, False),
        ("a zone that is not there", change('J="3"/>', 'J="9"/>'), "iso_dangling_reference", True, False),
        ("a short DDI", change('A="0006"', 'A="6"'), "iso_ddi", False, False),
        ("no rows", change(' F="', ' Z="'), "iso_attribute", False, False),
        ("cut in the middle", cut, "refused", None, False),
    ]
    report.check("untouched: no faults", faults_of(program, folder.parent) == "[[]]", faults_of(program, folder.parent))
    for name, spoil, key, valid, warned in cases:
        copy = work / name.replace(" ", "_") / "TASKDATA"
        shutil.copytree(folder, copy)
        spoil(copy)
        said = faults_of(program, copy.parent)
        report.check(f"{name}: told", key in said, said[:200])
        if valid is not None:
            # References to what is not there are no faults of form: lxml does not hold them together.
            is_valid = xsd.validate(etree.parse(copy / "TASKDATA.XML"))
            report.check(f"{name}: the schema {'takes' if valid else 'refuses'} it", is_valid == valid)
        if warned and modules:
            warnings = read_with_node(modules, copy, work)["warnings"]
            report.check(f"{name}: npm isoxml warns", warnings != [], f"{warnings}")


def keep_out(folder, job):
    """A copy of a job with a yard kept out, in the middle of its field."""
    source = job.parent
    folder.mkdir(parents=True)
    for file in source.iterdir():
        shutil.copy(file, folder)
    outline = shape_of(json.loads((source / "boundary.geojson").read_text(encoding="utf-8"))["features"][0]["geometry"])
    middle = outline.representative_point()
    yard = middle.buffer(0.0006, quad_segs=2)
    (folder / "yard.geojson").write_text(
        json.dumps({"type": "Feature", "properties": {}, "geometry": yard.__geo_interface__}), encoding="utf-8"
    )
    return folder / "job.toml"


def main():
    program, folder = sys.argv[1], Path(sys.argv[2])
    modules = Path(sys.argv[3]) if len(sys.argv) > 3 else None
    folder.mkdir(parents=True)
    xsd = schema()
    report = Report()
    dates = ["dates.spread=2026-10-20", "dates.revision=2"]
    plain = {name: ROOT / "sample_fields" / name / "job.toml" for name in ("heron_flat", "linden_bank")}
    yard = keep_out(folder / "yard_job", plain["heron_flat"])
    elsewhere = [
        "field.keep_out=yard.geojson",
        "field.customer=O'Hara & <Sons> of a name that is long",
        "field.farm=Home",
        f"export.out_of_field_rate={OUT_OF_FIELD} ton/ac",
        "export.signal_lost_rate=1 ton/ac",
    ]
    jobs = [(name, job, dates, 0) for name, job in plain.items()]
    jobs.append(("yard", yard, dates + elsewhere, round(OUT_OF_FIELD * MG_M2["ton_ac"])))
    for name, job, sets, out_of_field in jobs:
        out = folder / name
        summary = run(program, job, out, sets)
        product = summary["product_total"]
        product_kg = product["value"] * KG[product["unit"]]
        meant = Meant(out)
        for form, key in FORMS.items():
            label = f"{name}, {form}"
            [found] = (out / "exports").glob(f"*{key}/TASKDATA")
            main_file = etree.parse(found / "TASKDATA.XML")
            report.check(f"{label}: valid by the schema", xsd.validate(main_file), str(xsd.error_log)[:300])
            data, binary = isoxml_from_path(found)
            if key == "iso-polygons":
                check_polygons(label, data, meant, product_kg, report)
            else:
                field = outline_of(data)
                check_grid(label, data, binary, meant, product_kg, out_of_field, field, report)
            if modules:
                check_with_node(label, modules, found, folder, data, binary, report)
        lost = {zone.code: zone for zone in data.tasks[0].treatment_zones}[data.tasks[0].position_lost_treatment_zone_code]
        value = lost.process_data_variables[0].process_data_value
        wanted = round(MG_M2["ton_ac"]) if name == "yard" else 0
        report.check(f"{name}: the rate where the position is lost", value == wanted, f"{value}")
    [grid] = (folder / "heron_flat" / "exports").glob("*iso-grid-2/TASKDATA")
    plant(program, grid, folder / "planted", xsd, modules, report)
    if not modules:
        print("npm is not here: the npm package isoxml was NOT tried")
    print(report.last_line() + ("" if modules else " (WITHOUT the npm package isoxml)"))
    sys.exit(1 if report.failures else 0)


if __name__ == "__main__":
    main()
