"""Writes one set of fields in every format with GDAL, has the program read each, and compares.

    read_with_ogr.py PROGRAM FOLDER

Each file is read back with GDAL too, so that what is compared is what stands in the file: the count
of features that the program can choose from, the geodesic area (pyproj) of each, and that each
attribute value chooses the feature that GDAL finds under it. Then the torture files: what GDAL
reads as areas and the program does not refuse must have GDAL's area.
"""

import json
import subprocess
import sys
import warnings
import zipfile
from pathlib import Path

import geopandas
import pyogrio
import pyproj
import shapely
import shapely.affinity

M2_PER_ACRE = 4046.8564224
TOLERANCE = 2e-6
GEOD = pyproj.Geod(ellps="WGS84")

JOB = """units = "us"
[field]
name = "read"
boundary = "{file}"
{choice}
[samples]
file = "samples.csv"
sampled_depth = "0-6 in"
ph_measured_in = "water 1:1"
buffer = "smp"
[target]
ph = 6.5
[need]
method = "smp-iowa"
limed_depth = "6 in"
placement = "tilled"
[material]
kind = "calcitic limestone"
effective = "60 % as received"
[spreader]
min_rate = "1 ton/ac"
max_rate = "6 ton/ac"
step = "0.25 ton/ac"
pass_spacing = "40 ft"
payload = "16 ton"
"""


def fields():
    """A square, a square with a hole, and a field of two parts, near each other."""
    square = shapely.box(400000, 4430000, 400400, 4430400)
    holed = shapely.affinity.translate(square, 600, 0).difference(
        shapely.box(400700, 4430100, 400800, 4430200)
    )
    part = shapely.box(400000, 4430600, 400200, 4430800)
    parts = shapely.MultiPolygon([part, shapely.affinity.translate(part, 300, 50)])
    columns = {
        "name": ["north, west", "south", "Größe"],
        "number": [7, 12, 130],
        "share": [0.25, 1.5, 3.125],
    }
    return geopandas.GeoDataFrame(columns, geometry=[square, holed, parts], crs=32616)


def densified(geometry):
    return shapely.segmentize(geometry, 5e-4)


def area_m2(geometry):
    return abs(GEOD.geometry_area_perimeter(shapely.geometry.polygon.orient(geometry))[0]) if (
        geometry.geom_type == "Polygon"
    ) else sum(area_m2(part) for part in geometry.geoms)


def write_all(folder):
    """Every file with the layer that is meant in it, and what the job has to say of it."""
    metres = fields()
    degrees = metres.to_crs(4326)
    degrees.to_file(folder / "fields.geojson", driver="GeoJSON", RFC7946="NO", COORDINATE_PRECISION=15)
    metres.to_file(folder / "utm.shp", encoding="UTF-8")
    with zipfile.ZipFile(folder / "packed.zip", "w", zipfile.ZIP_DEFLATED) as archive:
        for part in folder.glob("utm.*"):
            archive.write(part, f"inside/{part.name}")
    degrees.rename(columns={"name": "Name"}).to_file(folder / "fields.kml", driver="KML")
    degrees.to_file(folder / "two.gpkg", layer="degrees", driver="GPKG")
    metres.to_file(folder / "two.gpkg", layer="in utm", driver="GPKG")
    degrees.to_parquet(folder / "degrees.parquet")
    metres.to_parquet(folder / "utm.parquet", compression="zstd", write_covering_bbox=True)
    for compression in ["gzip", "brotli", None]:
        degrees.to_parquet(folder / f"{compression}.parquet", compression=compression)
    with zipfile.ZipFile(folder / "packed.kmz", "w", zipfile.ZIP_DEFLATED) as archive:
        archive.write(folder / "fields.kml", "doc.kml")
    return [
        ("fields.geojson", "fields.geojson", None),
        ("utm.shp", "utm.shp", None),
        ("packed.zip", "utm.shp", None),
        ("fields.kml", "fields.kml", None),
        ("two.gpkg", "two.gpkg", "degrees"),
        ("two.gpkg", "two.gpkg", "in utm"),
        ("degrees.parquet", "degrees.parquet", None),
        ("utm.parquet", "utm.parquet", None),
        ("gzip.parquet", "gzip.parquet", None),
        ("brotli.parquet", "brotli.parquet", None),
        ("None.parquet", "None.parquet", None),
        ("packed.kmz", "fields.kml", None),
    ]


def read_by_gdal(path, layer):
    if path.suffix == ".parquet":
        return geopandas.read_parquet(path)
    return pyogrio.read_dataframe(path, layer=layer)


def run(program, folder, file, choice, inside):
    """The summary of a job on the file with samples in it, or none, and what the program said."""
    rows = [f"S{n},{x!r},{y!r},6.0,6.6" for n, (x, y) in enumerate(inside)]
    (folder / "samples.csv").write_text("\n".join(["sample_id,lon,lat,pH,BpH", *rows]) + "\n")
    (folder / "job.toml").write_text(JOB.format(file=file, choice=choice))
    command = [program, "prescribe", folder / "job.toml", "--json"]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    return (json.loads(done.stdout) if done.returncode == 0 else None), done.stderr


def samples_in(geometry):
    spots = [part.representative_point() for part in getattr(geometry, "geoms", [geometry])]
    spots += [shapely.affinity.translate(spot, 2e-5, 1e-5) for spot in spots]
    return [(spot.x, spot.y) for spot in spots]


def main():
    warnings.simplefilter("ignore")  # GDAL warns of what the torture files are there for.
    program, folder = sys.argv[1], Path(sys.argv[2])
    folder.mkdir(parents=True, exist_ok=True)
    wrong, compared = [], 0
    layers = write_all(folder)
    for file, read_as, layer in layers:
        table = read_by_gdal(folder / read_as, layer)
        in_degrees = [densified(g) for g in table.to_crs(4326).geometry]
        names = table["Name" if "Name" in table else "name"]
        head = f'layer = "{layer}"\n' if layer else ""
        choices = [("Name" if "Name" in table else "name", list(names))]
        choices += [(c, list(table[c])) for c in ("number", "share") if c in table]
        for column, values in choices:
            for value, geometry in zip(values, in_degrees, strict=True):
                if read_as.endswith(".shp") and column == "share":
                    # A shapefile stores numbers as text, and the text is what is chosen by.
                    value = f"{value:.15f}"
                choice = f'{head}select = {{ "{column}" = "{value}" }}'
                result, said = run(program, folder, file, choice, samples_in(geometry))
                compared += 1
                what = f"{file} {layer or ''} {column} = {value}"
                if result is None:
                    wrong.append(f"{what}: refused: {said}")
                    continue
                area, theirs = result["area"]["value"] * M2_PER_ACRE, area_m2(geometry)
                if abs(area - theirs) > TOLERANCE * theirs:
                    wrong.append(f"{what}: {area} m2, by GDAL and pyproj {theirs} m2")
        # One value too many, and the program lists every choice that there is.
        _, said = run(program, folder, file, f'{head}select = {{ "{choices[0][0]}" = "no such value" }}', [(0, 0)])
        if f"none of the {len(table)} features" not in " ".join(said.split()):
            wrong.append(f"{file}: not {len(table)} features: {said}")
    torture, same = torture_files(program, folder, wrong)
    if wrong:
        print("\n".join(wrong))
        sys.exit(1)
    print(f"{compared} choices in {len(layers)} layers have GDAL's areas; of {torture} torture files that GDAL "
          f"reads as areas the program reads {same} and refuses the others")


def torture_files(program, folder, wrong):
    """Areas of the torture files against GDAL's; a refusal is no fault, another area is."""
    root = Path("tests/data/map_files")
    seen = same = 0
    for path in sorted([*root.glob("*/*.shp"), *root.glob("*/*.geojson")]):
        try:
            table = pyogrio.read_dataframe(path)
            table = table[~table.geometry.is_empty & table.geometry.notna()]
            if table.crs is None or not set(table.geom_type) <= {"Polygon", "MultiPolygon"}:
                continue
            table = table.to_crs(4326)
            if table.empty or not table.is_valid.all():
                continue
        except (ValueError, AttributeError, TypeError, pyogrio.errors.DataSourceError,
                pyogrio.errors.DataLayerError, shapely.errors.GEOSException,
                pyproj.exceptions.CRSError, pyproj.exceptions.ProjError):
            continue
        seen += 1
        whole = shapely.union_all(table.geometry)
        samples = samples_in(whole)
        result, _ = run(program, folder, path.resolve(), "", samples)
        if result is None:
            continue
        area, theirs = result["area"]["value"] * M2_PER_ACRE, area_m2(densified(whole))
        if abs(area - theirs) > 1e-5 * theirs:
            wrong.append(f"{path}: {area} m2, by GDAL and pyproj {theirs} m2")
        same += 1
    return seen, same


if __name__ == "__main__":
    main()
