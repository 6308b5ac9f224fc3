"""Holds every file of the results, the jobs and the method tables against the JSON Schemas.

    check_schemas.py PROGRAM RESULTS

PROGRAM prints the schemas; RESULTS is searched for rate maps, summaries and effective jobs. Then
copies are spoiled, a key missing, a key too many, a value of the wrong type or outside what is
known, and each must fail. The validator is the Python package jsonschema, which shares no code
with the program.
"""

import concurrent.futures
import copy
import datetime
import json
import pathlib
import subprocess
import sys
import tomllib

import jsonschema

# Keys that must be there, typed here from the description of the files.
REQUIRED = {
    "job": {
        "": ["units", "field", "samples", "target", "need", "material", "spreader"],
        "field": ["boundary"],
        "samples": ["file", "sampled_depth", "ph_measured_in"],
        "target": ["ph"],
        "need": ["method", "limed_depth", "placement"],
        "material": ["kind"],
        "spreader": ["pass_spacing", "payload"],
    },
    "summary": {
        "": [
            "schema", "program", "field", "dates", "units", "area", "keep_out_area",
            "treated_area", "need_total", "supplied_total", "excess_total", "product_total",
            "to_load", "to_order", "unmet_total", "mean_rate", "flat_rate", "rates", "limits",
            "loads", "soil", "interpolation", "table_limit_area", "method", "material",
            "findings", "cautions", "inputs", "ledger",
        ],
        "area": ["value", "unit"],
        "flat_rate": ["same_tons", "composite"],
        "ledger": ["need", "supplied", "product", "cell_area", "field_area"],
    },
    "rate-map-us": {
        "": ["type", "bbox", "features"],
        "features/0": ["type", "properties", "geometry"],
        "features/0/properties": [
            "cell", "area_ac", "ph", "need_ton_ac", "rate_ton_ac", "product_ton",
            "unmet_need_ton_ac", "limit", "samples",
        ],
        "features/0/geometry": ["type", "coordinates"],
    },
    "rate-map-metric": {
        "": ["type", "bbox", "features"],
        "features/0/properties": [
            "cell", "area_ha", "ph", "need_t_ha", "rate_t_ha", "product_t", "unmet_need_t_ha",
            "limit", "samples",
        ],
    },
    "rate-areas-us": {
        "features/0/properties": [
            "rate_area", "area_ac", "ph", "need_ton_ac", "rate_ton_ac", "product_ton", "unmet_need_ton_ac",
        ],
    },
    "rate-areas-metric": {
        "features/0/properties": ["rate_area", "area_ha", "ph", "need_t_ha", "rate_t_ha", "product_t", "unmet_need_t_ha"],
    },
    "material-list": {"": ["material"], "material/0": ["name", "kind", "cce", "fineness"]},
    "material-comparison": {
        "": [
            "schema", "program", "field", "units", "list", "area", "need_total", "horizons", "refused",
            "magnesium_advice", "findings", "cautions", "inputs",
        ],
        "horizons/0": ["materials"],
        "horizons/0/materials/0": [
            "reason", "material", "supply_suffices", "product_total", "to_load", "to_order",
            "treated_area", "mean_rate", "unmet_total", "unmet_share", "loads", "costs", "nutrients",
            "quality",
        ],
    },
    "method-advice": {
        "": [
            "schema", "program", "field", "units", "target", "limed_depth", "sampled_depth", "samples",
            "at_hand", "methods", "findings", "cautions", "inputs",
        ],
        "at_hand/0": ["key"],
        "methods/0": [
            "id", "title", "region", "soils", "reads", "ph_medium", "is_of_job", "from_memory",
            "standing",
        ],
        "methods/0/result": [
            "need_total", "need_mean", "product_total", "to_order", "mean_rate", "treated_area",
            "unmet_total", "table_limit_area", "table_limit_share",
        ],
        "spread": ["methods", "need_total", "to_order"],
    },
    "fields-result": {
        "": ["schema", "program", "units", "fields", "failed", "comparison"],
        "fields/0": ["id", "field", "units", "area", "need_total", "product_total", "to_order", "material"],
        "comparison": ["fields", "totals", "findings"],
        "comparison/fields/0": ["id", "area", "need_total", "to_order", "saving", "material"],
        "comparison/totals": ["all", "by_material", "by_supplier", "by_customer", "by_application"],
        "comparison/totals/all": ["fields", "area", "need_total", "unmet_total", "products", "costs"],
    },
    "method-table": {"": ["id", "source", "locator", "depth", "basis"]},
    "readings": {
        "": ["schema", "exports"],
        "exports/0": ["file", "format", "maps"],
        "exports/0/maps/0": ["name", "area", "area_without_rate"],
    },
}

# Values of the right type that no file may hold.
WRONG = {
    "job": {
        "units": "imperial",
        "spreader/pass_spacing": "40",
        "spreader/payload": "16 furlong",
        "samples/sampled_depth": "6 in deep",
        "samples/ph_measured_in": "rain",
        "target/ph": 65,
        "material/kind": "gypsum",
        "material/effective": "60 %",
        "dates/sampled": "last autumn",
    },
    "summary": {"schema": "another-1", "units": "imperial", "flat_rate/composite/limit": "lifted"},
    "rate-map-us": {
        "bbox/0": 190,
        "features/0/properties/cell": "7",
        "features/0/properties/rate_ton_ac": -1,
        "features/0/properties/limit": "lifted",
        "features/0/properties/samples": "beside",
        "features/0/geometry/type": "Point",
        "features/0/geometry/coordinates": [],
    },
    "rate-map-metric": {"features/0/properties/table_limit": "beside"},
    "rate-areas-us": {"features/0/properties/rate_area": 0, "features/0/properties/rate_ton_ac": -1},
    "rate-areas-metric": {"features/0/properties/ph": 15},
    "material-list": {
        "material/0/kind": "chocolate",
        "material/0/price": "14",
        "material/0/price_at": "somewhere",
        "material/0/magnesium": "1.5 %",
        "material/1/supply_limit": "40",
        "material/1/nutrients/Ca/content": "440",
    },
    "material-comparison": {
        "schema": "another-1",
        "units": "imperial",
        "horizons/0/compared_by": "somewhere",
        "horizons/0/materials/0/quality/0/verdict": "perhaps",
        "magnesium_advice/0/advice": "perhaps",
    },
    "method-advice": {
        "schema": "another-1",
        "units": "imperial",
        "methods/0/standing": "perhaps",
        "samples": -1,
    },
    "fields-result": {"schema": "another-1", "units": "imperial", "fields/0/units": "imperial"},
    "method-table": {"depth": 6},
    "readings": {"schema": "another-1", "exports/0/maps/0/area/value": "12"},
}


def plain(value):
    """TOML's days as the texts that a schema sees."""
    if isinstance(value, dict):
        return {key: plain(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [plain(inner) for inner in value]
    return value.isoformat() if isinstance(value, datetime.date) else value


def read(path):
    text = path.read_text(encoding="utf-8")
    return plain(tomllib.loads(text)) if path.suffix == ".toml" else json.loads(text)


def files_of(results):
    """Every file and the name of its schema."""
    for summary in sorted(results.rglob("summary.json")):
        yield "summary", summary
        units = read(summary)["units"]
        rate_map = summary.with_name("rate_map.geojson")
        in_areas = "rate_area" in read(rate_map)["features"][0]["properties"]
        yield f"rate-{'areas' if in_areas else 'map'}-{units}", rate_map
        yield "job", summary.with_name("job.effective.toml")
    for job in sorted(pathlib.Path("sample_fields").glob("*/job.toml")):
        yield "job", job
    for job in sorted(pathlib.Path("tests/data").rglob("job.toml")):
        yield "job", job
    for materials in sorted(results.rglob("materials.toml")):
        yield "material-list", materials
    for comparison in sorted(results.rglob("comparison.json")):
        yield "material-comparison", comparison
    for readings in sorted(results.rglob("readings.json")):
        yield "readings", readings
    for many in sorted(results.rglob("fields.json")):
        yield "fields-result", many
    for advice in sorted(results.rglob("advice.json")):
        yield "method-advice", advice
    for table in sorted(pathlib.Path("src/agronomy/tables").glob("*.json")):
        yield "method-table", table


def at(document, path):
    for step in filter(None, path.split("/")):
        document = document[int(step) if isinstance(document, list) else step]
    return document


def inner_paths(value, path=""):
    """The path of every value inside, but of corners one by one."""
    steps = value.items() if isinstance(value, dict) else enumerate(value)
    for step, inner in steps:
        below = f"{path}/{step}".lstrip("/")
        yield below
        if isinstance(inner, (dict, list)) and step != "coordinates":
            yield from inner_paths(inner, below)


def put(document, path, value):
    spoiled = copy.deepcopy(document)
    parent, _, last = path.rpartition("/")
    holder = at(spoiled, parent)
    holder[int(last) if isinstance(holder, list) else last] = value
    return spoiled


def of_another_type(value):
    if isinstance(value, str):
        return ["a list"]
    return {"an": "object"} if not isinstance(value, dict) else "a text"


def instead(name, parent, key, document):
    """Whether something else stands in place of the key of a job: layers, or a target that is no pH."""
    if name != "job":
        return False
    if (parent, key) == ("samples", "sampled_depth"):
        return "layers" in at(document, parent)
    return (parent, key) == ("target", "ph") and "ph" not in at(document, parent)


def spoiled_copies(name, document):
    for parent, keys in REQUIRED[name].items():
        for key in keys:
            spoiled = copy.deepcopy(document)
            if instead(name, parent, key, spoiled):
                continue
            del at(spoiled, parent)[key]
            yield f"without {parent}/{key}", spoiled
    for path in ["", *inner_paths(document)]:
        if isinstance(at(document, path), dict):
            yield f"one key more in /{path}", put(document, f"{path}/surplus".lstrip("/"), 1)
        if path:
            wrong = of_another_type(at(document, path))
            yield f"another type at /{path}", put(document, path, wrong)
    for path, value in WRONG[name].items():
        if instead(name, *path.rpartition("/")[::2], document):
            continue
        at(document, path)
        yield f"{value!r} at /{path}", put(document, path, value)


def small(name, document):
    """A rate map cut to a few features, many fields to one, so that spoiled copies are cheap."""
    if name == "fields-result":
        comparison = document["comparison"]
        totals = {key: part[:1] if isinstance(part, list) else part for key, part in comparison["totals"].items()}
        one = {**comparison, "fields": comparison["fields"][:1], "totals": totals}
        return {**document, "fields": document["fields"][:1], "comparison": one}
    if not name.startswith(("rate-map", "rate-areas")):
        return document
    return {**document, "features": document["features"][:2]}


SCHEMAS = {}

# Features, spread over it, of a map that is not the first of its kind: the validator takes seconds
# for all of one.
FEATURES = 400


def faults_of(file):
    """What is wrong with a file by its schema; `whole` or with some of its features."""
    (name, path), whole = file
    document = read(path)
    if not whole:
        step = max(1, len(document["features"]) // FEATURES)
        document["features"] = document["features"][::step]
    faults = list(SCHEMAS[name].iter_errors(document))[:5]
    return [f"{path} against {name}: {fault.json_path}: {fault.message[:200]}" for fault in faults]


def not_caught(name_and_path):
    """How many spoiled copies of a file there are, and those that pass."""
    name, path = name_and_path
    copies = list(spoiled_copies(name, small(name, read(path))))
    passing = [f"{name}: not caught: {what}" for what, spoiled in copies if SCHEMAS[name].is_valid(spoiled)]
    return len(copies), passing


def main():
    program, results = sys.argv[1], pathlib.Path(sys.argv[2])
    for name in REQUIRED:
        # A map of areas has the schema of a map.
        of = name.replace("rate-areas", "rate-map")
        printed = subprocess.run([program, "schema", of], check=True, capture_output=True)
        stored = pathlib.Path("schemas", of.replace("-", "_") + ".schema.json")
        if stored.read_bytes() != printed.stdout:
            sys.exit(f"{stored} is not what `schema {name}` prints")
        schema = json.loads(printed.stdout)
        jsonschema.Draft202012Validator.check_schema(schema)
        SCHEMAS[name] = jsonschema.Draft202012Validator(
            schema, format_checker=jsonschema.FormatChecker()
        )
    files = list(files_of(results))
    counted, firsts, held = dict.fromkeys(REQUIRED, 0), {}, []
    for name, path in files:
        counted[name] += 1
        is_first = (name, "layers" in path.parts) not in firsts
        held.append(((name, path), is_first or path.suffix != ".geojson"))
        # A result in layers has more to spoil than the others.
        firsts.setdefault((name, "layers" in path.parts), path)
    # The largest first, so that no processor waits long for the last one.
    held.sort(key=lambda file: file[0][1].stat().st_size, reverse=True)
    with concurrent.futures.ProcessPoolExecutor() as pool:
        failures = [fault for faults in pool.map(faults_of, held) for fault in faults]
        failures += [f"no file was held against {name}" for name, count in counted.items() if not count]
        if failures:
            sys.exit("\n".join(failures))
        copies = list(pool.map(not_caught, [(name, path) for (name, _), path in firsts.items()]))
    caught = sum(count for count, _ in copies)
    failures = [passing for _, all_passing in copies for passing in all_passing]
    for name, other in [("rate-map-us", "rate-map-metric"), ("rate-map-metric", "rate-map-us")]:
        if (name, False) in firsts and SCHEMAS[other].is_valid(read(firsts[name, False])):
            failures.append(f"{name} passes as {other}")
        caught += 1
    if failures:
        sys.exit("\n".join(failures))
    kinds = ", ".join(f"{count} {name}" for name, count in counted.items())
    print(f"{kinds} valid; {caught} spoiled copies caught")


if __name__ == "__main__":
    main()
