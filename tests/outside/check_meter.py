#!/usr/bin/env python3
"""Checks how a field meter is held against a laboratory, and what its readings become.

    check_meter.py PROGRAM FOLDER

Pairs are drawn by a fixed seed for the US sample field. The offset with its errors is computed anew
with NumPy, the line with SciPy, and both are held against what the program tells and against the
pH of the soil in its summary.
"""

import csv
import json
import re
import shutil
import subprocess
import sys
from pathlib import Path

import one_thread  # noqa: F401, before numpy
import numpy as np
from scipy.stats import linregress

from report import Report

FIELD = Path(__file__).parents[2] / "sample_fields" / "heron_flat"
PAIRS = 14
# Half of the last of the three decimals that are told.
TOLD = 0.0005 + 1e-9
NUMBER = r"([-+]?[0-9.]+)"


def run(program, folder, apply):
    """The told sentence and the soil's pH, with the correction that is asked for."""
    out = folder / apply
    sets = ["samples.lab_check.file=pairs.csv", f"samples.lab_check.apply={apply}"]
    command = [program, "prescribe", str(folder / "job.toml"), "--out", str(out)]
    for one in sets:
        command += ["--set", one]
    subprocess.run(command, check=True, capture_output=True, text=True)
    summary = json.loads((out / "summary.json").read_text(encoding="utf-8"))
    told = [found["text"] for found in summary["findings"] if found["key"] == "meter_against_lab"]
    return told[0], summary["soil"]["ph"]


def main():
    program, folder = sys.argv[1], Path(sys.argv[2])
    folder.mkdir(parents=True)
    for name in ("job.toml", "boundary.geojson", "samples.csv"):
        shutil.copy(FIELD / name, folder)
    with open(FIELD / "samples.csv", encoding="utf-8", newline="") as file:
        field = np.array([float(row["pH"]) for row in csv.DictReader(file)])
    random = np.random.default_rng(20260929)
    meter = np.round(np.linspace(5.0, 7.2, PAIRS), 2)
    # The laboratory reads higher throughout, so that no blank buffer comes to be wanted.
    lab = np.round(0.55 + 0.95 * meter + random.normal(0, 0.06, PAIRS), 2)
    with open(folder / "pairs.csv", "w", encoding="utf-8", newline="") as file:
        table = csv.writer(file)
        table.writerow(["meter_ph", "lab_ph"])
        table.writerows(zip(meter, lab))
    report = Report()
    apart = lab - meter
    line = linregress(meter, lab)
    left = lab - line.intercept - line.slope * meter
    expected = {
        "offset": apart.mean(),
        "its standard error": apart.std(ddof=1) / np.sqrt(PAIRS),
        "deviation of one pair": apart.std(ddof=1),
        "slope": line.slope,
        "intercept": line.intercept,
        "standard error of the slope": line.stderr,
        "standard error of the intercept": line.intercept_stderr,
        "residual standard error": np.sqrt((left**2).sum() / (PAIRS - 2)),
    }
    pattern = (
        rf"is {NUMBER} on average \(standard error {NUMBER}, standard deviation of one pair {NUMBER}\)\. "
        rf"The line is laboratory = {NUMBER} x meter ([-+] [0-9.]+) \(standard errors {NUMBER} and {NUMBER}, "
        rf"residual standard error {NUMBER}\)"
    )
    for apply, corrected in (
        ("offset", field + apart.mean()),
        ("line", line.intercept + line.slope * field),
    ):
        text, soil = run(program, folder, apply)
        found = re.search(pattern, text)
        report.check(f"{apply}: told in full", found, text)
        if found:
            for (name, value), shown in zip(expected.items(), found.groups(), strict=True):
                off = abs(float(shown.replace(" ", "")) - value)
                report.check(f"{apply}: {name}", off <= TOLD, f"{shown} for {value:.6f}")
        for name, value in (("min", corrected.min()), ("mean", corrected.mean()), ("max", corrected.max())):
            report.close(f"{apply}: corrected pH, {name}", soil[name], value, 1e-9)
    print(report.last_line())
    sys.exit(1 if report.failures else 0)


if __name__ == "__main__":
    main()
