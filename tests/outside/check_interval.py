#!/usr/bin/env python3
"""Draws the totals of a finished field again, with numpy's random numbers and MetPy's weights.

    check_interval.py JOB.toml RESULT

Every sample gets an error of the laboratory, its own for each reading, and one of the map, the same
for pH and buffer pH; the weights carry both to the cells, all of them, and need and product are
worked out again. Only the size of the errors is taken from the summary, after it is held against
the job and the cross-check.
"""

import sys

import one_thread  # noqa: F401, before numpy
import numpy as np

import lime
from check_by_place import Field
from place import Surface
from report import Report
from totals import quantity

DRAWS = 2000
# With 100 draws of a normal total the 10th percentile is off by 0.17 standard deviations (one
# standard error), which is 0.067 of the width; three of them.
OF_WIDTH = 0.2
# Standard deviations of the laboratory where the job states none.
LABORATORY = {"ph": 0.1, "buffer_ph": 0.075}


def doubts(field, report):
    """Error of the laboratory and of the map of each attribute, by the summary's own rule."""
    shown = {part["reading"]: part for part in field.summary["interval"]["readings"]}
    report.check("readings in doubt", set(shown) == set(field.attributes), f"{sorted(shown)}")
    sizes = []
    for key in field.attributes:
        laboratory = LABORATORY[key]
        rmse = field.summary["interpolation"]["cross_check"][key]["rmse"]
        between = max(rmse**2 - laboratory**2, 0.0) ** 0.5
        report.close(f"error of the laboratory, {key}", shown[key]["laboratory"], laboratory, 1e-12, "pH")
        report.close(f"error of the map, {key}", shown[key]["map"], between, 1e-9, "pH")
        sizes.append((laboratory, between))
    return sizes


def drawn_totals(field, weights, sizes, one_by_one=False):
    """Need and product in kg of each draw; `one_by_one` gives each cell errors of its own."""
    random = np.random.default_rng(20)
    area, job = field.area_m2(), field.job
    left = (area @ (weights**2).sum(axis=1)) / area.sum()
    # A blank buffer was not read: what it stands for is not off.
    read = np.ones(field.readings.shape, dtype=bool)
    if "buffer_ph" in field.attributes:
        at = field.attributes.index("buffer_ph")
        read[:, at] = [reading is not None for reading in job.samples.readings["buffer_ph"]]
    totals = []
    for _ in range(DRAWS):
        of_map = random.standard_normal(len(weights) if one_by_one else len(read))
        soil = {}
        for n, (key, (laboratory, between)) in enumerate(zip(field.attributes, sizes)):
            if one_by_one:
                soil[key] = weights @ field.readings[:, n] + between * of_map
            else:
                error = laboratory * random.standard_normal(len(read)) + between / left**0.5 * of_map
                soil[key] = weights @ (field.readings[:, n] + np.where(read[:, n], error, 0.0))
        need = lime.needs(job, soil)
        totals.append((need @ area, lime.machine_rates(job, need / job.effective)[0] @ area))
    return np.array(totals)


def main():
    if len(sys.argv) != 3:
        sys.exit(__doc__)
    field, report = Field(sys.argv[1], sys.argv[2], {}), Report()
    weights = Surface(field.samples_xy, np.eye(len(field.samples_xy))).at(field.cells.by_shape)
    sizes = doubts(field, report)
    together, alone = (drawn_totals(field, weights, sizes, one_by_one) for one_by_one in (False, True))
    for n, path in enumerate(("need_total", "product_total")):
        low, middle, high = np.quantile(together[:, n], (0.1, 0.5, 0.9))
        width = high - low
        for end, expected in (("low", low), ("middle", middle), ("high", high)):
            shown = quantity(field, f"interval.{path}.{end}", "mass")
            off = (shown - expected) / width
            report.check(f"{path}, {end}", abs(off) < OF_WIDTH, f"off by {off:+.3f} of the width")
        less = np.subtract(*np.quantile(alone[:, n], (0.9, 0.1))) / width
        report.check(f"{path}, cells one by one", less < 0.4, f"would be {less:.2f} as wide")
    print(report.last_line())
    sys.exit(1 if report.failures else 0)


if __name__ == "__main__":
    main()
