#!/usr/bin/env python3
"""Checks the comparison of many fields against their rate maps, with geopandas.

    check_fields.py PROGRAM FOLDER

Both sample fields and variants of them (in metric and in US units, with another material, with ground
kept out, in two applications, in areas of one rate, for several customers) are prescribed into one
folder and compared there, in US and in metric units. Area, treated area, need, unmet need and product
of each field are added up again from the polygons and rates of its map, on an equal-area projection of
PROJ; from these the totals of all fields, of each material, customer and application. Then faults are
planted, and each must be caught.
"""

import copy
import csv
import json
import subprocess
import sys
from pathlib import Path

import one_thread  # noqa: F401, before numpy
import geopandas
from pyproj import Geod
from shapely.geometry import Point, mapping

from report import Report

SAMPLES = Path(__file__).parents[2] / "sample_fields"
HERON, LINDEN = SAMPLES / "heron_flat" / "job.toml", SAMPLES / "linden_bank" / "job.toml"
M2 = {"ac": 4046.8564224, "ha": 10_000.0}
KG = {"ton": 907.18474, "t": 1_000.0}
# Corners are rounded to seven decimals of a degree, half a step of 0.0112 m to either side. Along all
# borders of a map of 160 acres in cells of 40 ft that is far below this share, and cells of one rate
# share their borders.
BY_PLACE = 2e-5
# Sums of the same numbers in another order.
SUMMED = 1e-9
# Boundary edges are geodesics.
GEODESIC = 1e-6


def run(*arguments, status=0):
    done = subprocess.run(arguments, capture_output=True, text=True, check=False)
    if done.returncode != status:
        raise SystemExit(f"{arguments}: {done.returncode}\n{done.stderr}")
    return done.stdout


def variants(folder):
    """Names, jobs and what is set over them."""
    pond = folder / "pond.geojson"
    lon, lat = first_corner(HERON)
    feature = {"type": "Feature", "properties": {}, "geometry": mapping(Point(lon, lat).buffer(0.0012))}
    pond.write_text(json.dumps({"type": "FeatureCollection", "features": [feature]}), encoding="utf-8")
    other = {"material.name": '"Another pit"', "material.effective": '"80 % as received"'}
    return {
        "heron": (HERON, {"field.customer": '"Fen"'}),
        "heron_metric": (HERON, {"units": '"metric"', "field.customer": '"Moor"'}),
        "heron_other": (HERON, {**other, "field.customer": '"Moor"'}),
        "heron_pond": (HERON, {"field.keep_out": f'"{pond}"', "field.setback": '"50 ft"'}),
        "heron_twice": (HERON, {"spreader.applications": "2", "spreader.max_rate": '"3 ton/ac"', "field.customer": '"Fen"'}),
        "heron_areas": (HERON, {"rate_areas.tolerance": '"0.5 ton/ac"', "rate_areas.least_area": '"1 ac"', "rate_areas.least_width": '"80 ft"'}),
        "linden": (LINDEN, {}),
        "linden_us": (LINDEN, {"units": '"us"', "field.customer": '"Fen"'}),
    }


def first_corner(job):
    """A place well inside the field: the middle of its box."""
    frame = geopandas.read_file(job.parent / "boundary.geojson")
    west, south, east, north = frame.total_bounds
    return (west + east) / 2, (south + north) / 2


def by_place(folder):
    """One field from its map alone, in SI units."""
    summary = json.loads((folder / "summary.json").read_text(encoding="utf-8"))
    rate_unit, area_unit, mass_unit = ("ton_ac", "ac", "ton") if summary["units"] == "us" else ("t_ha", "ha", "t")
    cells = geopandas.read_file(folder / "rate_map.geojson")
    west, south, east, north = cells.total_bounds
    middle = f"+lat_0={(south + north) / 2} +lon_0={(west + east) / 2}"
    area = cells.to_crs(f"+proj=laea {middle} +datum=WGS84 +units=m").area
    kg_m2 = KG[mass_unit] / M2[area_unit]
    rate = cells[f"rate_{rate_unit}"] * kg_m2
    return {
        "summary": summary,
        "mapped": float(area.sum()),
        "treated": float(area[rate > 0].sum()),
        "need": float((cells[f"need_{rate_unit}"] * kg_m2 * area).sum()),
        "unmet": float((cells[f"unmet_need_{rate_unit}"] * kg_m2 * area).sum()),
        "product": float((rate * area).sum()),
        "rates": sorted(set(rate[rate > 0])),
    }


def boundary_m2(job):
    """The area inside the boundary on the ellipsoid."""
    frame = geopandas.read_file(job.parent / "boundary.geojson")
    return sum(abs(Geod(ellps="WGS84").geometry_area_perimeter(shape)[0]) for shape in frame.geometry)


def si(quantity):
    return quantity["value"] * {**M2, **KG}[quantity["unit"]]


def material_of(field):
    material = field["summary"]["material"]
    return material["name"], round(material["effective_as_spread"], 9)


def check_totals(name, total, fields, report):
    """A group against the maps of its fields."""
    report.check(f"{name}: fields", total["fields"] == len(fields), f"{total['fields']}")
    for key, part in (("mapped_area", "mapped"), ("treated_area", "treated"), ("need_total", "need")):
        report.close(f"{name}: {key}", si(total[key]), sum(f[part] for f in fields), BY_PLACE)
    # Little of what is needed is unmet, so it is held against the need.
    off = abs(si(total["unmet_total"]) - sum(f["unmet"] for f in fields))
    report.check(f"{name}: unmet_total", off <= BY_PLACE * sum(f["need"] for f in fields), f"{off:.3g} kg off")
    products = {}
    for field in fields:
        products.setdefault(material_of(field), []).append(field)
    report.check(f"{name}: a product for each material", len(total["products"]) == len(products), f"{len(products)}")
    for (material, effective), some in products.items():
        words = f"{material} ("
        found = [p for p in total["products"] if p["material"].startswith(words) and f" {100 * effective:.1f} %" in p["material"]]
        if len(found) != 1:
            report.check(f"{name}: {material}", False, f"{len(found)} of it")
            continue
        report.close(f"{name}: {material}, product", si(found[0]["product_total"]), sum(f["product"] for f in some), BY_PLACE)
        for key in ("to_load", "to_order"):
            report.close(f"{name}: {material}, {key}", si(found[0][key]), sum(si(f["summary"][key]) for f in some), SUMMED)


def check(result, table, fields, report):
    """The whole comparison and its table."""
    comparison = result["comparison"]
    us = result["units"] == "us"
    area_unit, mass_unit, rate_unit = ("ac", "ton", "ton_ac") if us else ("ha", "t", "t_ha")
    totals = comparison["totals"]
    everyone = list(fields.values())
    check_totals("all", totals["all"], everyone, report)
    groups = {"by_customer": {}, "by_material": {}}
    for field in everyone:
        groups["by_customer"].setdefault(field["summary"]["field"].get("customer"), []).append(field)
        groups["by_material"].setdefault(material_of(field), []).append(field)
    for total in totals["by_customer"]:
        check_totals(f"customer {total.get('name')}", total, groups["by_customer"].get(total.get("name"), []), report)
    report.check("customers", len(totals["by_customer"]) == len(groups["by_customer"]), "")
    report.check("materials", len(totals["by_material"]) == len(groups["by_material"]), "")
    for total in totals["by_material"]:
        some = [f for (name, share), list_ in groups["by_material"].items() for f in list_ if total["name"].startswith(f"{name} (") and f" {100 * share:.1f} %" in total["name"]]
        check_totals(total["name"], total, some, report)
    spread = sum(si(p["product_total"]) for part in totals["by_application"] for p in part["products"])
    report.close("all applications", spread, sum(f["product"] for f in everyone), BY_PLACE)
    report.check("second applications", [part["fields"] for part in totals["by_application"]] == [len(fields), 1], "")
    # The table: each row by its map, and its columns against the totals.
    report.check("table: a row a field", sorted(row["id"] for row in table) == sorted(fields), f"{len(table)} rows")
    for row in table:
        field = fields.get(row["id"])
        if field is None:
            continue
        name = f"table, {row['id']}"
        for column, part, size in (
            (f"mapped_area_{area_unit}", "mapped", M2[area_unit]),
            (f"treated_area_{area_unit}", "treated", M2[area_unit]),
            (f"need_{mass_unit}", "need", KG[mass_unit]),
            (f"prescribed_{mass_unit}", "product", KG[mass_unit]),
        ):
            report.close(f"{name}: {column}", float(row[column]) * size, field[part], BY_PLACE)
        size = KG[mass_unit] / M2[area_unit]
        for column, at in ((f"least_rate_{rate_unit}", 0), (f"greatest_rate_{rate_unit}", -1)):
            report.close(f"{name}: {column}", float(row[column]) * size, field["rates"][at], SUMMED)
        if "boundary" in field:
            report.close(f"{name}: area", float(row[f"area_{area_unit}"]) * M2[area_unit], field["boundary"], GEODESIC)
    for column, key in ((f"need_{mass_unit}", "need_total"), (f"unmet_{mass_unit}", "unmet_total"), (f"area_{area_unit}", "area")):
        report.close(f"table: {column} adds up", sum(float(row[column]) for row in table), totals["all"][key]["value"], SUMMED)
    orders = sum(p["to_order"]["value"] for p in totals["all"]["products"])
    report.close("table: orders add up", sum(float(row[f"to_order_{mass_unit}"]) for row in table), orders, SUMMED)


def read(folder):
    with (folder / "fields.csv").open(newline="", encoding="utf-8") as file:
        table = list(csv.DictReader(file))
    return json.loads((folder / "fields.json").read_text(encoding="utf-8")), table


def row_doubled(result, table):
    """One field is counted twice."""
    row = result["comparison"]["fields"][0]
    result["comparison"]["totals"]["all"]["need_total"]["value"] += row["need_total"]["value"]
    table.append(dict(table[0]))


def tons_as_tonnes(result, table):
    """What a metric field has in tonnes is added as if it were short tons."""
    for field in result["comparison"]["fields"]:
        if field.get("converted_from") == "metric":
            row = next(row for row in result["fields"] if row["id"] == field["id"])
            off = row["product_total"]["value"] - field["product_total"]["value"]
            for product in result["comparison"]["totals"]["all"]["products"]:
                if product["material"] == field["material"]:
                    product["product_total"]["value"] += off


def materials_added(result, table):
    """Two materials make one line."""
    products = result["comparison"]["totals"]["all"]["products"]
    products[0]["product_total"]["value"] += products.pop()["product_total"]["value"]


def column_converted_twice(result, table):
    for row in table:
        row["prescribed_ton"] = str(float(row["prescribed_ton"]) * 0.90718474)


def field_lost(result, table):
    table.pop()


FAULTS = (row_doubled, tons_as_tonnes, materials_added, column_converted_twice, field_lost)


def main():
    program, folder = sys.argv[1], Path(sys.argv[2])
    folder.mkdir(parents=True, exist_ok=True)
    maps = folder / "maps"
    report = Report()
    fields = {}
    for name, (job, sets) in variants(folder).items():
        arguments = [f"{key}={value}" for key, value in sets.items()]
        run(program, "prescribe", job, "--out", maps / name, *[part for set_ in arguments for part in ("--set", set_)])
        fields[name] = by_place(maps / name)
        fields[name]["boundary"] = boundary_m2(job)
    for units in ("us", "metric"):
        run(program, "compare", maps, "--units", units, "--out", maps)
        check(*read(maps), fields, report)
    # The same from the files of two parts, in the other order.
    names = sorted(fields)
    for part, some in (("first", names[::2]), ("second", names[1::2])):
        run(program, "compare", *(maps / name for name in some), "--out", folder / part)
    both = run(program, "compare", folder / "second" / "fields.json", folder / "first", "--units", "metric", "--json")
    whole = (maps / "fields.json").read_text(encoding="utf-8")
    report.check("put together from two parts: the same bytes", both == whole, f"{len(whole)} bytes")
    run(program, "compare", maps, "--units", "us", "--out", maps)
    for fault in FAULTS:
        spoiled = copy.deepcopy(read(maps))
        fault(*spoiled)
        caught = Report(quiet=True)
        check(*spoiled, fields, caught)
        report.check(f"planted: {fault.__name__}", bool(caught.failures), f"{len(caught.failures)} checks failed")
    print(report.last_line())
    return 1 if report.failures else 0


if __name__ == "__main__":
    sys.exit(main())
