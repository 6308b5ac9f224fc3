#!/usr/bin/env python3
"""Opens the driver's page in headless Chromium, prints it, and holds what stands on paper against the summary.

    check_driver_page.py PROGRAM FOLDER [CHROMIUM]

Each page must print as one sheet of A4 and of US letter, with its rates, its product and its cautions
on it and no price; the picture of it must hold the map, also in grey. Chromium is Debian's; without it
only what needs no browser is checked, and that is said.
"""

import json
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

import numpy as np
from PIL import Image
from pypdf import PdfReader

from report import Report

ROOT = Path(__file__).parents[2]
# Name, job, what is set; the last has two units, every rate of the spreader and as many hazards as there may be.
PAGES = [
    ("heron_flat", "heron_flat", ["spreader.speed=10 mph", "spreader.bucket_volume=3 yd3"]),
    ("linden_bank", "linden_bank", ["spreader.speed=12 km/h", "material.moisture=9 %"]),
    (
        "full",
        "heron_flat",
        [
            "spreader.speed=10 mph",
            "spreader.bucket_volume=3 yd3",
            "spreader.applications=2",
            "field.pile=[-93.2168,42.0893]",
            'field.hazards=["power line along the north side","soft ground in the low corner","well by the yard"]',
        ],
    ),
    (
        "two_units",
        "heron_flat",
        [
            "export.unit=lb/ac",
            "spreader.speed=10 mph",
            "spreader.bucket_volume=3 yd3",
            "spreader.max_rate=4.5 ton/ac",
            "material.effective=60 % dry",
            "material.moisture=9 %",
            "material.bulk_density=90 lb/ft3",
            "field.pile=[-93.2168,42.0893]",
            'field.hazards=["power line along the north side","soft ground in the low corner","well by the yard",'
            '"gas pipe at the east end","school bus at 7:40 and 15:20","organic neighbour to the west"]',
        ],
    ),
]
QUIET = [
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-sync",
    "--disable-background-networking", "--disable-component-update", "--no-pdf-header-footer",
]
# Most of the 12 mm beside the page.
MARGIN_POINTS = 30.0
POINTS = {"letter": (612, 792), "A4": (595, 842)}


def browse(chromium, page, *what):
    with tempfile.TemporaryDirectory() as profile:
        command = [chromium, *QUIET, f"--user-data-dir={profile}", *what, page.resolve().as_uri()]
        subprocess.run(command, check=True, capture_output=True, timeout=120)


def check_paper(chromium, page, sheet, report, name):
    """One sheet of each size, with the numbers on it."""
    for paper, size in POINTS.items():
        sized = page.with_name(f"{page.stem}_{paper}.html")
        text = page.read_text(encoding="utf-8").replace("@page { size: auto;", f"@page {{ size: {paper};", 1)
        sized.write_text(text, encoding="utf-8")
        pdf = sized.with_suffix(".pdf")
        browse(chromium, sized, f"--print-to-pdf={pdf}")
        read = PdfReader(pdf)
        report.check(f"{name}: sheets of {paper}", len(read.pages) == 1)
        box = read.pages[0].mediabox
        report.check(f"{name}: size of {paper}", (round(float(box.width)), round(float(box.height))) == size)
        clipped = beyond_margin(read.pages[0])
        report.check(f"{name}: nothing runs off {paper}: {clipped[:3]}", not clipped)
        words = " ".join(read.pages[0].extract_text().split())
        for rate in sheet["rates"]:
            number = f"{rate['rate']['value']:g}"
            report.check(f"{name}: {number} stands on {paper}", number in words)
        product = f"{sheet['product_total']['value']:.1f}"
        report.check(f"{name}: {product} stands on {paper}", product in words)
        for caution in ("power lines", "dust mask", "do not lime again before a new soil test"):
            report.check(f"{name}: {caution!r} stands on {paper}", caution in words)
        for price in ("$", "price", "cost"):
            report.check(f"{name}: {price!r} is not on {paper}", price not in words.lower())


def beyond_margin(page):
    """Numbers and single words that end in or beyond the right margin; a letter is taken as half as wide as it is high."""
    limit = float(page.mediabox.width) - MARGIN_POINTS
    found = []

    def visit(text, matrix, text_matrix, _font, size):
        words = text.strip()
        start = text_matrix[4] * matrix[0] + text_matrix[5] * matrix[2] + matrix[4]
        height = size * text_matrix[0] * matrix[0]
        if words and " " not in words and start + 0.5 * height * len(words) > limit:
            found.append(words)

    page.extract_text(visitor_text=visit)
    return found


def check_picture(chromium, page, report, name):
    """The map is seen: much that is not white, and as many greys as shades of rates, nearly."""
    png = page.with_suffix(".png")
    browse(chromium, page, "--window-size=900,1250", f"--screenshot={png}")
    grey = np.asarray(Image.open(png).convert("L"))
    dark = (grey < 250).mean()
    report.check(f"{name}: {dark:.2f} of the picture is not white", 0.08 < dark < 0.7)
    counts = np.bincount(grey.ravel(), minlength=256)
    report.check(f"{name}: several greys are seen", (counts > grey.size * 5e-4).sum() >= 4)


def main():
    program, folder = Path(sys.argv[1]), Path(sys.argv[2])
    chromium = sys.argv[3] if len(sys.argv) > 3 else shutil.which("chromium")
    report = Report()
    for name, field, sets in PAGES:
        out = folder / name
        out.parent.mkdir(parents=True, exist_ok=True)
        command = [str(program), "prescribe", str(ROOT / "sample_fields" / field / "job.toml"), "--out", str(out)]
        for value in sets:
            command += ["--set", value]
        subprocess.run(command, check=True, capture_output=True)
        summary = json.loads((out / "summary.json").read_text(encoding="utf-8"))
        sheets = summary.get("applications") or [summary]
        pages = sorted(out.glob("driver*.html"))
        report.check(f"{name}: a page for each application", len(pages) == len(sheets))
        for page, sheet in zip(pages, sheets):
            copy = folder / f"{name}_{page.name}"
            shutil.copy(page, copy)
            if chromium:
                check_paper(chromium, copy, sheet, report, copy.stem)
                check_picture(chromium, copy, report, copy.stem)
    if not chromium:
        print("!!!! chromium is not installed: the page is NOT printed or looked at")
    print(report.last_line())
    sys.exit(bool(report.failures))


if __name__ == "__main__":
    main()
