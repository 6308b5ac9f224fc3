#!/usr/bin/env python3
"""Plants faults in copies of a right result and requires that each one is caught.

    plant_faults.py JOB.toml RESULT_FOLDER

A planted fault is carried through to the totals, so that map and summary agree with each other
and nothing but the check that must notice it is left to notice it. The untouched result must
pass. The exit status is 1 where a fault gets through.
"""

import copy
import dataclasses
import json
import re
import shutil
import sys
import tempfile
from pathlib import Path

import one_thread  # noqa: F401, before numpy
import numpy as np

from check_by_place import Field, check, expected_soil
from job import KG_PER_TON
from place import Surface
from tuned_python import rate_field
from tuned_summary import parts_from_cells

MOISTURE = 0.06  # planted: taken off a fraction that is stated as received
DEPTH_FACTOR = 4 / 3  # planted: the job asks for a deeper layer than the result was made for


class Copy:
    """A result to be spoilt."""

    def __init__(self, field, cache):
        self.field = field
        self.map = copy.deepcopy(field.map)
        self.summary = copy.deepcopy(field.summary)
        self.inside = expected_soil(field, cache)[2]

    def put(self, soil=None, cells=None, inside=None):
        """Writes soil and rates into the map and everything that follows into the summary."""
        field, job = self.field, self.field.job
        soil = np.column_stack(list(field.shown_soil().values())) if soil is None else soil
        inside = self.shown_inside() if inside is None else inside
        cells = rate_field(job, field.attributes, soil, field.area_m2()) if cells is None else cells
        for n, feature in enumerate(self.map["features"]):
            properties = feature["properties"]
            for a, key in enumerate(field.attributes):
                properties[key] = float(soil[n, a])
            for key in ("need", "rate", "unmet"):
                properties[field.keys[key]] = float(cells[key][n] / job.rate_unit)
            properties[field.keys["product"]] = float(cells["product"][n] / job.mass_unit_kg)
            properties["limit"] = cells["limit"][n]
            properties["samples"] = "inside" if inside[n] else "outside"
        parts = parts_from_cells(job, field.attributes, field.readings, soil, inside, cells)
        cross_check = self.summary["interpolation"]["cross_check"]
        self.summary |= parts
        self.summary["interpolation"]["cross_check"] = cross_check

    def shown_inside(self):
        return self.field.column("samples") == "inside"

    def write(self, folder):
        (folder / "rate_map.geojson").write_text(json.dumps(self.map), encoding="utf-8")
        (folder / "summary.json").write_text(json.dumps(self.summary), encoding="utf-8")


def mirrored(axis):
    """Each feature gets the soil of the place across the field's middle."""

    def plant(result):
        at = result.field.cells.by_shape.copy()
        across = at.copy()
        across[:, axis] = at[:, axis].min() + at[:, axis].max() - at[:, axis]
        nearest = np.array([np.argmin(((at - point) ** 2).sum(axis=1)) for point in across])
        soil = np.column_stack(list(result.field.shown_soil().values()))
        result.put(soil=soil[nearest], inside=result.shown_inside()[nearest])

    return plant


def shuffled(result):
    """The rates are dealt out to the cells in another order."""
    field = result.field
    soil = np.column_stack(list(field.shown_soil().values()))
    cells = rate_field(field.job, field.attributes, soil, field.area_m2())
    order = np.random.default_rng(20260918).permutation(len(soil))
    cells["rate"], cells["limit"] = cells["rate"][order], cells["limit"][order]
    cells["product"] = cells["rate"] * cells["area"]
    cells["unmet"] = np.maximum(cells["need"] - cells["rate"] * field.job.effective, 0)
    result.put(cells=cells)


def shifted_join(result):
    """Each sample has the readings of the row before."""
    field = result.field
    surface = Surface(field.samples_xy, np.roll(field.readings, 1, axis=0))
    result.put(soil=surface.at(field.cells.by_shape))


def moisture_twice(result):
    """Rates for a material that is taken to be wetter than it was sold as."""
    field = result.field
    wetter = dataclasses.replace(field.job, effective=field.job.effective * (1 - MOISTURE))
    soil = np.column_stack(list(field.shown_soil().values()))
    cells = rate_field(wetter, field.attributes, soil, field.area_m2())
    cells["unmet"] = np.maximum(cells["need"] - cells["rate"] * field.job.effective, 0)
    result.put(cells=cells)


def ton_for_tonne(result):
    """Every mass in the summary is counted in the other ton, under the same word."""
    us = result.field.job.units == "us"
    factor = KG_PER_TON / 1000 if us else 1000 / KG_PER_TON
    word = "ton" if us else "t"

    def change(part):
        if isinstance(part, dict):
            if part.get("unit") == word:
                part["value"] *= factor
            for inner in part.values():
                change(inner)
        elif isinstance(part, list):
            for inner in part:
                change(inner)

    change(result.summary)



# Each fault, and the check that has to be among those that fail.
FAULTS = {
    "mirrored east-west": (mirrored(0), "soil by place"),
    "mirrored north-south": (mirrored(1), "soil by place"),
    "rates shuffled among cells": (shuffled, "rate"),
    "sample join shifted by one": (shifted_join, "soil by place"),
    "moisture taken twice": (moisture_twice, "rate"),
    "short ton for tonne in the totals": (ton_for_tonne, "product_total"),
}


def deeper_job(job_path, folder):
    """A copy of the job's folder whose job asks for a deeper layer."""
    shutil.copytree(Path(job_path).parent, folder, dirs_exist_ok=True)
    path = folder / Path(job_path).name
    text = path.read_text(encoding="utf-8")
    found = re.search(r'limed_depth = "([0-9.]+) (\w+)"', text)
    deeper = f'limed_depth = "{float(found.group(1)) * DEPTH_FACTOR:.10g} {found.group(2)}"'
    path.write_text(text.replace(found.group(0), deeper), encoding="utf-8")
    return path


def main():
    if len(sys.argv) != 3:
        sys.exit(__doc__)
    job_path, folder = Path(sys.argv[1]), Path(sys.argv[2])
    cache, failed = {}, []

    def tell(name, failures, needed):
        """A planted fault must fail the check made for it; the untouched result must fail none."""
        caught = needed in failures if needed else not failures
        if not caught:
            failed.append(name)
        seen = f"caught by {len(failures)} checks, {needed!r} among them" if needed else "passes"
        print(f"{'ok  ' if caught else 'FAIL'} {name}: {seen if caught else failures or 'not noticed'}")

    untouched_failures = check(job_path, folder, cache, quiet=True).failures
    tell("untouched", untouched_failures, None)
    field = Field(job_path, folder, cache)
    with tempfile.TemporaryDirectory() as scratch:
        scratch = Path(scratch)
        rewritten = Copy(field, cache)
        rewritten.put()
        rewritten.write(scratch)
        tell("written again without a fault", check(job_path, scratch, cache, quiet=True).failures, None)
        for name, (plant, needed) in FAULTS.items():
            spoilt = Copy(field, cache)
            plant(spoilt)
            spoilt.write(scratch)
            tell(name, check(job_path, scratch, cache, quiet=True).failures, needed)
        deeper = deeper_job(job_path, scratch / "deeper")
        failures = check(deeper, folder, cache, quiet=True).failures
        tell("depth ignored", failures, "need from the shown soil")
    print(f"{len(FAULTS) + 1} faults planted, {len(failed)} lines wrong")
    sys.exit(1 if failed else 0)


if __name__ == "__main__":
    main()
