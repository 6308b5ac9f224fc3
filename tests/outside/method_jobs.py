#!/usr/bin/env python3
"""Writes a small invented job for each method that no sample field uses.

    method_jobs.py FOLDER

The field is the US sample field; its readings are made from its pH, and mean nothing.
"""

import csv
import shutil
import sys
from pathlib import Path

FIELD = Path(__file__).parents[2] / "sample_fields" / "heron_flat"
BUFFER = 'buffer = "smp"'
JOBS = {
    "sikora-oregon": [(BUFFER, 'buffer = "sikora"'), ("ph = 6.5 ", "ph = 6.6 ")],
    "exchangeable-acidity-pennsylvania": [
        (BUFFER, 'units.acidity = "meq/100 g"'),
        ("ph = 6.5 ", "ph = 6.6 "),
    ],
    "mehlich-north-carolina": [
        (BUFFER, 'buffer = "mehlich"'),
        ("ph = 6.5 ", "ph = 6.4 "),
        ("[material]", 'soil_class = "mineral"\n[[history]]\napplied = 2026-02-20\nrate = "0.6 ton/ac"\n\n[material]'),
    ],
    "ph-aluminium-vermont": [
        (BUFFER, 'al_extract = "modified Morgan"\nunits.aluminium = "cmol/kg"'),
    ],
    "ph-texture": [(BUFFER, "")],
    "texture-victoria": [
        (BUFFER, 'units.organic_carbon = "%"'),
        ('ph_measured_in = "water 1:1"', 'ph_measured_in = "CaCl2 0.01 M"'),
        ("ph = 6.5 ", "ph = 6.2 "),
    ],
    "weakly-buffered": [(BUFFER, 'units.cec = "cmol/kg"')],
    "titration": [
        (BUFFER, 'units.buffer_capacity = "mg/kg per pH"\nbuffer_capacity_read = "30 min"'),
        ('ph_measured_in = "water 1:1"', 'ph_measured_in = "CaCl2 0.01 M"'),
        ("ph = 6.5 ", "ph = 6.2 "),
        # The source limes below 5.4, where little of this field lies.
        ("[need]", "treat_below = 6.0\n[need]"),
    ],
    "base-saturation-brazil-paraiba": [
        (
            BUFFER,
            'buffer = "smp"\n'
            'units = { calcium = "cmol/dm3", magnesium = "cmol/dm3", potassium = "cmol/dm3" }',
        ),
        ("ph = 6.5 ", 'base_saturation = "50 %" '),
    ],
    "aluminium-saturation": [
        (
            BUFFER,
            'al_extract = "KCl 1 M"\nbulk_density = "1.2 t/m3"\n'
            'units = { aluminium = "cmol/kg", calcium = "cmol/kg", magnesium = "cmol/kg" }',
        ),
        ("ph = 6.5 ", 'aluminium_saturation = "15 %" '),
    ],
}
# The columns of a job beside the pH, each made from it; Mehlich and Sikora read alike here.
MADE = {
    "exchangeable-acidity-pennsylvania": {"acidity": lambda ph: f"{max(12 - 1.6 * ph, 0):.2f}"},
    "ph-aluminium-vermont": {"aluminium": lambda ph: f"{max(7.2 - ph, 0.05):.3f}"},
    "ph-texture": {"texture": lambda ph: "clay loam"},
    "texture-victoria": {
        "texture": lambda ph: "sandy loam",
        "organic_carbon": lambda ph: f"{2.4 - 0.2 * ph:.2f}",
    },
    "weakly-buffered": {"CEC": lambda ph: f"{2 + 0.5 * ph:.2f}"},
    # One for all: a number in the hundreds is too steep for the tolerance of a value by place.
    "titration": {"buffer_capacity": lambda ph: "210"},
    # From far below its target to above it.
    "base-saturation-brazil-paraiba": {
        "BpH": lambda ph: f"{3.5 + 0.45 * ph:.2f}",
        "calcium": lambda ph: f"{0.9 * ph - 3.5:.2f}",
        "magnesium": lambda ph: f"{0.2 * ph - 0.6:.2f}",
        "potassium": lambda ph: f"{0.5 - 0.05 * ph:.2f}",
    },
    # On both sides of the step of the equation, and at its target.
    "aluminium-saturation": {
        "aluminium": lambda ph: f"{max(6.9 - ph, 0.02):.2f}",
        "calcium": lambda ph: f"{0.9 * ph - 4:.2f}",
        "magnesium": lambda ph: f"{0.2 * ph - 0.6:.2f}",
    },
}
BUFFER_COLUMN = {"BpH": lambda ph: f"{3.5 + 0.45 * ph:.2f}"}


def main():
    folder = Path(sys.argv[1])
    text = (FIELD / "job.toml").read_text(encoding="utf-8")
    with open(FIELD / "samples.csv", encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    for method, changes in JOBS.items():
        job = text.replace("smp-iowa", method)
        for line, replaced_by in changes:
            if line not in job:
                raise ValueError(f"{line} is not in the job")
            job = job.replace(line, replaced_by, 1)
        # No sample is blank here.
        job = "\n".join(line for line in job.split("\n") if not line.startswith("buffer_blank_above"))
        place = folder / method
        place.mkdir(parents=True)
        (place / "job.toml").write_text(job, encoding="utf-8")
        shutil.copy(FIELD / "boundary.geojson", place)
        with open(place / "samples.csv", "w", encoding="utf-8", newline="") as file:
            table = csv.writer(file)
            made = MADE.get(method, BUFFER_COLUMN)
            table.writerow(["sample_id", "lon", "lat", "pH", *made])
            for row in rows:
                values = [make(float(row["pH"])) for make in made.values()]
                table.writerow([row["sample_id"], row["lon"], row["lat"], row["pH"], *values])


if __name__ == "__main__":
    main()
