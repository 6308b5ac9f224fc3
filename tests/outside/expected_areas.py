"""Computes the areas in tests/data/expected_areas.csv again, with GDAL, shapely and pyproj.

    expected_areas.py [--write]

The table lists every map file among the test data with the geodesic area of the ground in it, or
with words of the sentence that the program refuses it with. Areas are of the rings as they stand in
the file, closed where it leaves them open: in degrees an edge is the geodesic, in a projected system
it is straight there. In shapefiles how many rings lie around one decides whether it is a hole
(even-odd). Polygons count once where they overlap. With --write the table is written anew; what is refused keeps its words.
"""

import csv
import shutil
import sys
import tempfile
import warnings
import zipfile
from pathlib import Path

import geopandas
import pyogrio
import pyproj
import shapely

ROOT = Path("tests/data")
TABLE = ROOT / "expected_areas.csv"
FOLDERS = ["map_files/shapefiles", "map_files/geojson_bad", "map_files/pain",
           "map_files/databases", "boundaries", "outline_faults"]
KINDS = {".shp", ".zip", ".geojson", ".gpkg", ".parquet"}
TOLERANCE = 1e-7
GEOD = pyproj.Geod(ellps="WGS84")


def map_files():
    for folder in FOLDERS:
        for path in sorted((ROOT / folder).iterdir()):
            if path.suffix in KINDS:
                yield path


def read(path, folder):
    """The table of a map file, read from a copy: GDAL may add an index to a shapefile."""
    if path.suffix == ".parquet":
        return geopandas.read_parquet(path)
    source = path
    if path.suffix == ".zip":
        zipfile.ZipFile(path).extractall(folder)
        found = [p for p in folder.rglob("*") if p.suffix.lower() == ".shp" and p.name[0] != "."]
        source = found[0]
    elif path.suffix == ".shp":
        for part in path.parent.glob(f"{path.stem}.*"):
            shutil.copy(part, folder / part.name)
        source = folder / path.name
    return pyogrio.read_dataframe(source, on_invalid="fix")


def even_odd(geometry):
    """The ground in an odd number of the rings of a geometry."""
    ground = shapely.Polygon()
    for part in getattr(geometry, "geoms", [geometry]):
        for ring in [part.exterior, *part.interiors]:
            ring = shapely.make_valid(shapely.Polygon(ring), method="linework")
            ground = ground.symmetric_difference(ring)
    return ground


def as_it_stands(geometry):
    """The ground in any of the polygons of a geometry."""
    parts = getattr(geometry, "geoms", [geometry])
    return shapely.union_all([shapely.make_valid(part, method="structure") for part in parts])


def area_m2(path, folder):
    table = read(path, folder)
    table = table[table.geometry.notna() & ~table.geometry.is_empty]
    if table.crs is None:
        table = table.set_crs(4326)
    rings = even_odd if path.suffix in {".shp", ".zip"} else as_it_stands
    ground = shapely.union_all([rings(g) for g in table.geometry])
    if not table.crs.is_geographic:
        ground = shapely.segmentize(ground, 10)
    [ground] = geopandas.GeoSeries([ground], crs=table.crs).to_crs(4326)
    parts = getattr(ground, "geoms", [ground])
    return sum(GEOD.geometry_area_perimeter(shapely.orient_polygons(p))[0] for p in parts)


def main():
    warnings.simplefilter("ignore")  # GDAL warns of what many of the files are there for.
    pyogrio.set_gdal_config_options({"SHAPE_RESTORE_SHX": "YES"})
    known = {}
    if TABLE.exists():
        known = {row["file"]: row for row in csv.DictReader(TABLE.open())}
    rows, wrong, compared = [], [], 0
    for path in map_files():
        name = path.relative_to(ROOT).as_posix()
        row = known.get(name, {"file": name, "area_m2": "?", "refused": ""})
        if row["area_m2"]:
            try:
                with tempfile.TemporaryDirectory() as folder:
                    area = f"{area_m2(path, Path(folder)):.4f}"
            except Exception as error:  # What GDAL refuses is no area.
                area = f"{type(error).__name__}: {str(error)[:60]}"
            if "--write" in sys.argv:
                row["area_m2"] = area
            elif abs(float(area) - float(row["area_m2"])) > TOLERANCE * float(area):
                wrong.append(f"{name}: {row['area_m2']}, computed {area}")
            compared += 1
        rows.append(row)
    if "--write" in sys.argv:
        with TABLE.open("w", newline="") as out:
            writer = csv.DictWriter(out, ["file", "area_m2", "refused"], lineterminator="\n")
            writer.writeheader()
            writer.writerows(rows)
    if wrong:
        print("\n".join(wrong))
        sys.exit(1)
    print(f"{compared} areas of {len(rows)} map files are what GDAL, shapely and pyproj make of them")


if __name__ == "__main__":
    main()
