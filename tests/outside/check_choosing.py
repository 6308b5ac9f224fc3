#!/usr/bin/env python3
"""Checks a comparison of materials on a sample field.

    check_choosing.py PROGRAM FOLDER

A list of invented materials stands beside the sample field's job: an analysis with moisture, a
figure as received, a price at the plant, delivered and spread, a haul of its own, a supply that falls
short, and gypsum. The need of each cell is read from the rate map, whose own check is
`check_by_place.py`; everything from there on is computed again: what is effective, the rates, tons,
trucks, costs, magnesium, nutrients and the order of the materials. Then the answer is spoiled in
four ways, each of which must be noticed.
"""

import copy
import json
import math
import shutil
import subprocess
import sys
from pathlib import Path

import one_thread  # noqa: F401, before numpy
import numpy as np

import lime
from job import KG_PER_POUND, KG_PER_TON, M2_PER_ACRE, read_job
from report import Report

FIELD = Path(__file__).parents[2] / "sample_fields" / "heron_flat"
KG_M = KG_PER_TON * 1609.344
# The needs of the map have ten significant digits.
SUMMED = 2e-8

LIST = """
[[material]]
name = "Pit"
kind = "calcitic limestone"
cce = "92 % dry"
moisture = "6 %"
fineness = { scheme = "iowa", passing = { "4" = "100 %", "8" = "90 %", "60" = "55 %" } }
price = "14 $/ton"
price_at = "plant"
magnesium = "1.5 % dry"

[[material]]
name = "Mill"
kind = "dolomitic limestone"
effective = "88 % as received"
price = "31 $/ton"
price_at = "delivered"
supply_limit = "40 ton"
magnesium = "11 % as received"
nutrients = { Ca = { content = "440 lb/ton" } }

[[material]]
name = "Factory"
kind = "beet lime"
effective = "48 % as received"
price = "2 $/ton"
price_at = "plant"
nutrients = { P2O5 = { content = "20 lb/ton", price = "0.5 $/lb" } }
haul = { one_way_distance = "18 mi", cost = "3 $/loaded mile", truck_payload = "22 ton" }

[[material]]
name = "Spread"
kind = "aglime"
effective = "60 % as received"
price = "44 $/ton"
price_at = "spread"

[[material]]
name = "Board"
kind = "gypsum"
"""
SPREADING = 7.5  # $/ac, of the job

# What is effective of each as spread, by hand: the Iowa scheme is 0.1, 0.3 and 0.6 of what passes.
EFFECTIVE = {
    "Pit": 0.92 * (0.1 * 1.00 + 0.3 * 0.90 + 0.6 * 0.55) * (1 - 0.06),
    "Mill": 0.88,
    "Factory": 0.48,
    "Spread": 0.60,
}
PRICE = {"Pit": 14.0, "Mill": 31.0, "Factory": 2.0, "Spread": 44.0}
AT = {"Pit": "plant", "Mill": "delivered", "Factory": "plant", "Spread": "spread"}
MAGNESIUM = {"Pit": 0.015 * (1 - 0.06), "Mill": 0.11}
# (truck in kg, cost of an order of so many kg in so many trucks), where the haul is paid for.
HAUL = {
    "Pit": (25 * KG_PER_TON, lambda mass, _: mass * 42 * 1609.344 * 0.25 / KG_M),
    "Mill": (25 * KG_PER_TON, None),
    "Factory": (22 * KG_PER_TON, lambda _, trucks: trucks * 18 * 3.0),
    "Spread": (25 * KG_PER_TON, None),
}


def run(program, folder, *arguments):
    return subprocess.run([program, *arguments], cwd=folder, check=True, capture_output=True, text=True).stdout


def expected(job, needs, area):
    """What each material comes to, by its name."""
    found = {}
    for name, effective in EFFECTIVE.items():
        rate, _ = lime.machine_rates(job, needs / effective)
        product = (rate * area).sum()
        truck, cost_of_haul = HAUL[name]
        trucks = math.ceil(product / truck - 1e-9)
        order = trucks * truck
        treated = area[rate > 0].sum()
        price = PRICE[name] / KG_PER_TON * order
        haul = cost_of_haul(order, trucks) if cost_of_haul else 0.0
        spreading = 0.0 if AT[name] == "spread" else SPREADING * treated / M2_PER_ACRE
        tons = order * effective / KG_PER_TON
        at = {"plant": 0, "delivered": 1, "spread": 2}[AT[name]]
        found[name] = {
            "product": product,
            "order": order,
            "trucks": trucks,
            "unmet": np.maximum(needs - rate * effective, 0) @ area,
            "total": price + haul + spreading,
            "plant": price / tons if at == 0 else None,
            "delivered": (price + haul) / tons if at <= 1 else None,
            "spread": (price + haul + spreading) / tons,
            "magnesium": product * MAGNESIUM[name] / treated if name in MAGNESIUM else None,
            "short": name == "Mill" and order > 40 * KG_PER_TON,
        }
    return found


def check(report, comparison, found):
    (horizon,) = comparison["horizons"]
    shown = {part["material"]["name"]: part for part in horizon["materials"]}
    report.check("materials", set(shown) == set(found), f"{sorted(shown)}")
    report.check("compared by", horizon["compared_by"] == "spread", horizon["compared_by"])
    for name, one in found.items():
        part, costs = shown[name], shown[name]["costs"]
        report.close(f"{name}: effective", part["material"]["effective_as_spread"], EFFECTIVE[name], 1e-12)
        for key, mass in (("product_total", one["product"]), ("to_order", one["order"]), ("unmet_total", one["unmet"])):
            report.check(f"{name}: {key} unit", part[key]["unit"] == "ton")
            report.close(f"{name}: {key}", part[key]["value"] * KG_PER_TON, mass, SUMMED, "kg")
        report.check(f"{name}: trucks", part["loads"]["truck"]["count"] == one["trucks"], f"{one['trucks']}")
        report.close(f"{name}: cost", costs["total"]["value"], one["total"], SUMMED, "$")
        for place in ("plant", "delivered", "spread"):
            cost = costs.get(f"per_effective_{place}")
            if one[place] is None:
                report.check(f"{name}: no cost at {place}", cost is None)
            else:
                report.check(f"{name}: unit", cost["unit"] == "$/ton CaCO3", cost["unit"])
                report.close(f"{name}: {place}", cost["value"], one[place], SUMMED, "$/ton CaCO3")
        report.check(f"{name}: supply", part["supply_suffices"] != one["short"])
        magnesium = part.get("magnesium")
        if one["magnesium"] is None:
            report.check(f"{name}: no magnesium", magnesium is None)
        else:
            pounds = one["magnesium"] / KG_PER_POUND * M2_PER_ACRE
            report.close(f"{name}: magnesium", magnesium["per_treated_area"]["value"], pounds, SUMMED, "lb/ac")
    order = sorted(found, key=lambda name: (found[name]["short"], found[name]["spread"]))
    ranked = [part["material"]["name"] for part in horizon["materials"]]
    report.check("order", ranked == order, " < ".join(ranked))
    report.check("ranks", [part["rank"] for part in horizon["materials"]] == [1, 2, 3, 4])
    report.check("one falls short", sum(one["short"] for one in found.values()) == 1)
    phosphate = shown["Factory"]["nutrients"][0]
    pounds = found["Factory"]["product"] / KG_PER_TON * 20
    report.close("phosphate", phosphate["total"]["value"], pounds, SUMMED, "lb")
    report.close("its worth", phosphate["credit"]["value"], pounds * 0.5, SUMMED, "$")
    report.check("no worth without a price", "credit" not in shown["Mill"]["nutrients"][0])
    refused = [(part["name"], part["kind"]) for part in comparison["refused"]]
    report.check("refused", refused == [("Board", "gypsum")], f"{refused}")


def spoil(comparison):
    """Copies with one thing wrong in each."""
    first = ("horizons", 0, "materials", 0)

    def at(copied, *path):
        for key in (*first, *path):
            copied = copied[key]
        return copied

    changes = [
        lambda c: at(c, "costs", "per_effective_spread").update(value=at(c, "costs", "per_effective_spread")["value"] * 1.001),
        lambda c: at(c, "product_total").update(value=at(c, "product_total")["value"] * 1.0001),
        lambda c: c["horizons"][0]["materials"].reverse(),
        lambda c: c["refused"].clear(),
    ]
    for change in changes:
        copied = copy.deepcopy(comparison)
        change(copied)
        yield copied


def main():
    program, folder = Path(sys.argv[1]).resolve(), Path(sys.argv[2])
    shutil.copytree(FIELD, folder)
    (folder / "materials.toml").write_text(LIST, encoding="utf-8")
    text = (folder / "job.toml").read_text(encoding="utf-8") + f'spreading_cost = "{SPREADING} $/ac"\n'
    (folder / "job.toml").write_text(text, encoding="utf-8")
    job = read_job(folder / "job.toml")
    run(program, folder, "prescribe", "job.toml", "--out", "out")
    rate_map = json.loads((folder / "out" / "rate_map.geojson").read_text(encoding="utf-8"))
    cells = [feature["properties"] for feature in rate_map["features"]]
    area = np.array([cell["area_ac"] for cell in cells]) * M2_PER_ACRE
    needs = np.array([cell["need_ton_ac"] for cell in cells]) * job.rate_unit
    found = expected(job, needs, area)
    answer = json.loads(run(program, folder, "materials", "job.toml", "--list", "materials.toml", "--json"))
    (folder / "comparison.json").write_text(json.dumps(answer), encoding="utf-8")
    report = Report(quiet=True)
    check(report, answer, found)
    for number, spoiled in enumerate(spoil(answer)):
        other = Report(quiet=True)
        check(other, spoiled, found)
        report.check(f"fault {number + 1} is noticed", bool(other.failures))
    print(report.last_line())
    sys.exit(bool(report.failures))


if __name__ == "__main__":
    main()
