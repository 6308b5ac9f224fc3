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
}


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
            column = "acidity" if "acidity" in method else "BpH"
            table.writerow(["sample_id", "lon", "lat", "pH", column])
            for row in rows:
                ph = float(row["pH"])
                made = max(12 - 1.6 * ph, 0) if column == "acidity" else 3.5 + 0.45 * ph
                table.writerow([row["sample_id"], row["lon"], row["lat"], row["pH"], f"{made:.2f}"])


if __name__ == "__main__":
    main()
