"""Has the program write its files for controllers, and reads each with GDAL.

    check_exports.py PROGRAM FOLDER

Shapefiles are read by pyogrio (GDAL), grids by rasterio (GDAL), tables by Python's csv. What they
hold is compared with the rate map of the same run, which check_by_place.py checks by place: names,
order and numbers of columns, coordinate system, geometry, rates, areas by geodesics (pyproj), the
total against the summary, no data against zero, and for every cell of a grid the polygon that its
centre lies in. Then maps that GDAL writes are read by the program, and wrong ones must be told.
"""

import csv
import json
import subprocess
import sys
import warnings
from pathlib import Path

import geopandas
import numpy as np
import pyogrio
import pyproj
import rasterio
import rasterio.warp
import shapely

from report import Report

GEOD = pyproj.Geod(ellps="WGS84")
M2 = {"ac": 4046.8564224, "ha": 10000.0}
KG = {"ton": 907.18474, "t": 1000.0, "lb": 0.45359237, "kg": 1.0}
# Name in the shapefile, name in full, decimals.
UNITS = {
    "lb/ac": ("rate_lb_ac", "rate_lb_ac", 2),
    "ton/ac": ("rate_tonac", "rate_ton_ac", 5),
    "kg/ha": ("rate_kg_ha", "rate_kg_ha", 2),
    "t/ha": ("rate_t_ha", "rate_t_ha", 5),
}
FIELDS = {"heron_flat": "ton/ac", "linden_bank": "t/ha"}


def kg_per_m2(unit):
    mass, area = unit.split("/")
    return KG[mass] / M2[area]


def geodesic_m2(shape):
    return abs(GEOD.geometry_area_perimeter(shape)[0])


class Result:
    """One run: its summary, its map and its files."""

    def __init__(self, program, field, unit, folder):
        self.folder, self.unit = folder, unit
        job = f"sample_fields/{field}/job.toml"
        words = ["--export", "shapefile", "--export", "geotiff", "--export", "csv"]
        run = [program, "prescribe", job, "--out", folder, "--set", f"export.unit={unit}", *words]
        subprocess.run(run, check=True, capture_output=True)
        self.summary = json.loads((folder / "summary.json").read_text(encoding="utf-8"))
        self.map = geopandas.read_file(folder / "rate_map.geojson")
        self.own = FIELDS[field]
        self.rates = self.map[UNITS[self.own][1]].to_numpy() * kg_per_m2(self.own) / kg_per_m2(unit)
        self.exports = {export["format"]: export for export in self.summary["exports"]}
        total = self.summary["product_total"]
        self.product_kg = total["value"] * KG[total["unit"]]
        self.area_m2 = self.summary["area"]["value"] * M2[self.summary["area"]["unit"]]

    def path(self, export, at=0):
        return self.folder / self.exports[export]["files"][at]["path"]


def check_shapefile(report, name, result):
    short, _, decimals = UNITS[result.unit]
    path = result.path("shapefile")
    info = pyogrio.read_info(path)
    report.check(f"{name}: rate first", info["fields"][0] == short, str(list(info["fields"])))
    ascii_names = all(field.isascii() and len(field) <= 10 for field in info["fields"])
    report.check(f"{name}: names", ascii_names and len(set(info["fields"])) == len(info["fields"]))
    report.check(f"{name}: code page", info["encoding"] == "UTF-8", str(info["encoding"]))
    frame = pyogrio.read_dataframe(path)
    report.check(f"{name}: system", frame.crs == pyproj.CRS.from_epsg(4326), str(frame.crs.name))
    report.check(f"{name}: polygons", len(frame) == len(result.map), f"{len(frame)}")
    off = np.abs(frame[short].to_numpy(dtype=float) - result.rates)
    report.none(f"{name}: rates", np.flatnonzero(off > 0.5001 * 10**-decimals), len(off))
    same = shapely.equals(shapely.normalize(frame.geometry.values), shapely.normalize(result.map.geometry.values))
    report.none(f"{name}: geometry", np.flatnonzero(~same), len(same))
    report.none(f"{name}: valid", np.flatnonzero(~shapely.is_valid(frame.geometry.values)), len(frame))
    m2 = np.array([geodesic_m2(shape) for shape in frame.geometry])
    # Corners have seven decimals: a centimetre on a field of hundreds of metres.
    report.close(f"{name}: area", m2.sum(), result.area_m2, 1e-4, "m2")
    kg = (m2 * frame[short].to_numpy(dtype=float) * kg_per_m2(result.unit)).sum()
    report.close(f"{name}: product", kg, result.product_kg, 1e-3, "kg")


def centres(grid):
    rows, columns = np.mgrid[0 : grid.height, 0 : grid.width]
    xs = grid.transform.c + grid.transform.a * (columns + 0.5)
    ys = grid.transform.f + grid.transform.e * (rows + 0.5)
    return shapely.points(xs.ravel(), ys.ravel())


def check_grid(report, name, path, result, values, product):
    with rasterio.open(path) as grid:
        numbers = grid.read(1).ravel()
        report.check(f"{name}: one band of floats", grid.count == 1 and grid.dtypes[0] == "float32")
        report.check(f"{name}: system", grid.crs is not None and grid.crs.to_epsg() == 4326)
        report.check(f"{name}: north up", grid.transform.a > 0 > grid.transform.e)
        report.check(f"{name}: no data", grid.nodata == -9999.0, str(grid.nodata))
        points = centres(grid)
        inside = numbers != np.float32(grid.nodata)
        tree = shapely.STRtree(result.map.geometry.values)
        point, polygon = tree.query(points, predicate="intersects")
        held = np.bincount(point, minlength=len(points))
        # A centre on an edge meets two polygons; either may have it.
        alone = held[point] == 1
        expected = np.full(len(points), np.nan)
        expected[point[alone]] = values[polygon[alone]]
        clear = held <= 1
        report.enough(name, clear.sum(), len(points), 0.001)
        wrong = clear & (inside != (held > 0))
        report.none(f"{name}: cells by their centres", np.flatnonzero(wrong), int(clear.sum()))
        look = inside & ~np.isnan(expected)
        off = np.abs(numbers[look] - expected[look]) > 1e-6 * np.maximum(1, np.abs(expected[look]))
        report.none(f"{name}: values", np.flatnonzero(off), int(look.sum()))
        if product:
            zeros = (numbers == 0).sum()
            report.check(f"{name}: zero is a rate", (result.rates == 0).any() == (zeros > 0), f"{zeros}")
            per_row = np.nansum(np.where(inside, numbers, 0).reshape(grid.shape), axis=1)
            ends = [grid.transform.f + grid.transform.e * row for row in range(grid.height + 1)]
            left, right = grid.transform.c, grid.transform.c + grid.transform.a
            m2 = [geodesic_m2(shapely.box(left, low, right, high)) for high, low in zip(ends, ends[1:])]
            kg = (per_row * np.array(m2)).sum() * kg_per_m2(result.unit)
            report.close(f"{name}: product", kg, result.product_kg, 1e-2, "kg")
            told = result.exports["geotiff"]["difference"]
            report.check(f"{name}: told difference", abs(kg / result.product_kg - 1 - told) < 1e-4, f"{told:+.4%}")


def check_table(report, name, result):
    path = result.path("csv")
    text = path.read_bytes()
    report.check(f"{name}: line ends", text.count(b"\n") == text.count(b"\r\n") > 0)
    rows = list(csv.DictReader(text.decode("utf-8").splitlines()))
    column = UNITS[result.unit][1]
    report.check(f"{name}: rows", len(rows) == len(result.map), f"{len(rows)}")
    cells = np.array([row["name"] for row in rows])
    report.none(f"{name}: names", np.flatnonzero(cells != result.map["cell"].to_numpy()), len(rows))
    rates = np.array([float(row[column]) for row in rows])
    off = np.abs(rates - result.rates) > 1e-8 * np.maximum(1, result.rates)
    report.none(f"{name}: rates", np.flatnonzero(off), len(rows))
    at = shapely.points([[float(row["centre_lon_deg"]), float(row["centre_lat_deg"])] for row in rows])
    # Rounded to seven decimals a centroid may be a centimetre off; a degree is 111 km.
    apart = shapely.distance(at, shapely.centroid(result.map.geometry.values))
    report.none(f"{name}: centres", np.flatnonzero(apart > 2e-7), len(rows))
    mass, area = ("product_ton", "area_ac") if result.unit.endswith("ac") else ("product_t", "area_ha")
    kg = sum(float(row[mass]) for row in rows) * KG[mass.removeprefix("product_")]
    report.close(f"{name}: product", kg, result.product_kg, 1e-6, "kg")
    m2 = sum(float(row[area]) for row in rows) * M2[area.removeprefix("area_")]
    report.close(f"{name}: area", m2, result.area_m2, 1e-6, "m2")


def read(program, *arguments):
    run = subprocess.run([program, "read", "--json", *arguments], capture_output=True, text=True)
    return (json.loads(run.stdout) if run.stdout else None), run.returncode, run.stderr


def faults(readings):
    return {fault["key"] for export in readings["exports"] for fault in export.get("faults", [])}


def check_reading(report, program, result, folder):
    """Maps that GDAL writes come to the same total, and wrong ones are told."""
    folder.mkdir()
    short, _, _ = UNITS[result.unit]
    frame = pyogrio.read_dataframe(result.path("shapefile"))
    against = ["--against", result.folder / "summary.json", "--strict"]
    utm = frame.to_crs(frame.estimate_utm_crs())
    written = {}
    for kind, of, driver in [
        ("map.gpkg", frame, "GPKG"), ("map.geojson", frame, "GeoJSON"),
        ("map.shp", frame, "ESRI Shapefile"), ("utm.shp", utm, "ESRI Shapefile"),
    ]:
        pyogrio.write_dataframe(of, folder / kind, driver=driver)
        readings, status, said = read(program, folder / kind, *against)
        own = readings["exports"][0]["maps"][0] if readings else {}
        written[kind] = readings
        report.check(f"{kind} by GDAL: total", own.get("against", {}).get("within"), said[:200])
        report.check(f"{kind}: polygons", own.get("polygons") == len(frame))
        # A system other than WGS 84 is a fault, and nothing else is one here.
        told = {"not_wgs84"} if kind == "utm.shp" else set()
        report.check(f"{kind}: faults", readings and faults(readings) == told and status == (3 if told else 0))
    with rasterio.open(result.path("geotiff")) as grid:
        crs = utm.crs.to_wkt()
        transform, width, height = rasterio.warp.calculate_default_transform(
            grid.crs, crs, grid.width, grid.height, *grid.bounds
        )
        moved = np.full((height, width), -9999.0, dtype="float32")
        rasterio.warp.reproject(
            grid.read(1), moved, src_transform=grid.transform, src_crs=grid.crs, dst_transform=transform,
            dst_crs=crs, src_nodata=-9999.0, dst_nodata=-9999.0, resampling=rasterio.warp.Resampling.nearest,
        )
        how = dict(driver="GTiff", width=width, height=height, count=1, dtype="float32", nodata=-9999.0)
        with rasterio.open(folder / "utm_rate.tif", "w", crs=utm.crs, transform=transform, compress="lzw", tiled=True, **how) as out:
            out.write(moved, 1)
    readings, _, said = read(program, folder / "utm_rate.tif", "--unit", result.unit, *against)
    within = readings and readings["exports"][0]["maps"][0]["against"]["within"]
    report.check("utm_rate.tif by GDAL: total", within, said[:200])

    wrong = frame.assign(**{short: frame[short] * 2000})
    pyogrio.write_dataframe(wrong, folder / "wrong.shp", driver="ESRI Shapefile")
    readings, status, _ = read(program, folder / "wrong.shp", *against)
    report.check("planted: 2,000 times the rate", status == 3 and "total_off" in faults(readings))
    readings, status, _ = read(program, folder / "wrong.shp", "--strict")
    report.check("planted: the same with nothing beside it", status == 3 and "unusual_rates" in faults(readings))
    (folder / "map.prj").unlink()
    readings, status, _ = read(program, folder / "map.shp", *against)
    report.check("planted: no .prj", status == 3 and "missing_parts" in faults(readings))
    frame.iloc[: len(frame) // 2].to_file(folder / "half.geojson", driver="GeoJSON")
    readings, status, _ = read(program, folder / "half.geojson", *against)
    report.check("planted: half of the map", status == 3 and "total_off" in faults(readings))
    (folder / "readings.json").write_text(json.dumps(written["map.gpkg"]), encoding="utf-8")


def main():
    program, folder = sys.argv[1], Path(sys.argv[2])
    warnings.filterwarnings("ignore")
    report = Report()
    for field, own in FIELDS.items():
        for unit in UNITS:
            name = f"{field}, {unit}"
            result = Result(program, field, unit, folder / field / unit.replace("/", "_"))
            check_shapefile(report, f"{name}: shapefile", result)
            check_table(report, f"{name}: table", result)
            check_grid(report, f"{name}: rate grid", result.path("geotiff"), result, result.rates, True)
            if unit == own:
                need = "need_ton_ac" if own == "ton/ac" else "need_t_ha"
                for at, column in [(1, "ph"), (2, need)]:
                    values = result.map[column].to_numpy()
                    check_grid(report, f"{name}: {column} grid", result.path("geotiff", at), result, values, False)
                check_reading(report, program, result, folder / field / "read")
    print(report.last_line())
    sys.exit(bool(report.failures))


if __name__ == "__main__":
    main()
