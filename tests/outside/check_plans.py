#!/usr/bin/env python3
"""Checks plans where there is not enough against scipy's solver of mixed integer programs.

    check_plans.py PROGRAM FOLDER

Fields are invented, 50 to 300 at a time, and written as the program writes many fields; the program plans them under
limits of tons and of money, in one year and over several, whole and by rate areas. Each plan is
solved again, step by step by its rule: the most ground with aluminium risk, then the most pH gained
of all choices that lime as much, then the most need met. A plan that is called proven must come to the
same; one that is not must lie within its gap. Ledgers, limits and sums are worked out again from the
fields. Then faults are planted in the plans, and each must be noticed.
"""

import copy
import json
import random
import subprocess
import sys
from pathlib import Path

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

from report import Report

M2_PER_HA = 10_000
# In milligrams, as the program counts.
MG_PER_T = 1_000_000_000


def quantity(value, unit):
    return {"value": value, "unit": unit}


def benefit(area):
    return {
        "aluminium_possible_area": quantity(area["risk_ha"], "ha"),
        "aluminium_likely_area": quantity(0.0, "ha"),
        "aluminium_product": quantity(0.0, "t"),
        "manganese_area": quantity(0.0, "ha"),
        "acid_area": quantity(area["ha"], "ha"),
        "ph_gain": quantity(area["gain_ph_ha"], "pH ha"),
    }


def invent(rng, number):
    """A field in one to four areas of one rate; masses in hundredths of a ton, ground in m2."""
    areas = []
    for at in range(rng.randint(1, 4)):
        ha = rng.randint(20_000, 200_000) / M2_PER_HA
        rate = rng.choice([2.0, 2.5, 3.0, 4.0, 5.0, 6.5])
        product = round(ha * rate, 2)
        risk = round(ha * rng.choice([0, 0, 0, rng.random()]), 4)
        gain = round(ha * rng.uniform(0.1, 1.4), 4)
        supplied = round(product * 0.6, 4)
        unmet = round(supplied * rng.choice([0, 0, 0.1]), 4)
        areas.append(dict(number=at + 1, ha=ha, rate=rate, product=product, risk_ha=risk, gain_ph_ha=gain,
                          supplied=supplied, unmet=unmet, need=supplied + unmet))
    whole = {key: sum(area[key] for area in areas)
             for key in ("ha", "product", "risk_ha", "gain_ph_ha", "supplied", "unmet", "need")}
    cost = round(whole["product"] * rng.uniform(14, 40), 2)
    return dict(id=f"field-{number:03}", areas=areas, cost=cost, **whole)


def row(field):
    t = lambda key: quantity(field[key], "t")
    nothing = quantity(0.0, "t")
    each = [{
        "number": area["number"], "rate": quantity(area["rate"], "t/ha"), "area": quantity(area["ha"], "ha"),
        "product": quantity(area["product"], "t"), "need": quantity(area["need"], "t"),
        "supplied": quantity(area["supplied"], "t"), "unmet": quantity(area["unmet"], "t"),
        "benefit": benefit(area),
    } for area in field["areas"]]
    return {
        "id": field["id"], "field": {"name": field["id"]}, "units": "metric", "dates": {},
        "place_deg": [9.0, 52.0], "area": quantity(field["ha"], "ha"), "keep_out_area": quantity(0.0, "ha"),
        "treated_area": quantity(field["ha"], "ha"), "need_total": t("need"), "supplied_total": t("supplied"),
        "excess_total": nothing, "unmet_total": t("unmet"), "product_total": t("product"), "to_load": t("product"),
        "pile_loss": nothing, "truck_fill": nothing, "to_order": t("product"), "mean_rate": quantity(3.0, "t/ha"),
        "spreader_loads": {"count": 1, "full": quantity(16.0, "t")},
        "haul": {"product_cost": quantity(field["cost"], "EUR"), "cost_total": quantity(field["cost"], "EUR"),
                 "cost_covers": ["product"]},
        "benefit": benefit(field), "rate_areas": each,
        "composite": {"rate": quantity(3.0, "t/ha"), "product": nothing, "to_order": nothing},
        "leading_reading": "ph", "method": "ph-uk-arable", "target": "pH 6.5", "target_medium": "water",
        "material": {"name": "Pit 4", "kind": "calcitic limestone", "effective_as_spread": 0.6},
        "machine": {"pass_spacing": quantity(12.0, "m"), "passes": 10, "turns": 9},
        "findings": 0, "job_effective_sha256": "0" * 64,
    }


def cases():
    """Each case: its fields, the table that is asked, and what the solver needs to know of it."""
    for seed, count, share, money, take, years in [
        (1, 50, 0.1, False, "fields", 1), (2, 50, 0.5, False, "fields", 1), (3, 120, 0.3, False, "fields", 1),
        (4, 300, 0.2, False, "fields", 1), (5, 300, 0.7, False, "fields", 1), (6, 80, 0.4, True, "fields", 1),
        (7, 300, 0.5, True, "fields", 1), (8, 50, 0.3, False, "rate areas", 1), (9, 100, 0.6, False, "rate areas", 1),
        (10, 50, 0.5, False, "fields", 2), (11, 80, 0.6, False, "fields", 3), (12, 60, 0.7, True, "fields", 4),
    ]:
        rng = random.Random(seed)
        fields = [invent(rng, number) for number in range(count)]
        whole = sum(field["cost" if money else "product"] for field in fields)
        unit = "EUR" if money else "t"
        limits = [round(whole * share / years * rng.uniform(0.8, 1.2), 2) for _ in range(years)]
        asked = f'limit = "{limits[0]} {unit}"' if years == 1 else f"years = {json.dumps([f'{x} {unit}' for x in limits])}"
        jobs = json.dumps([f'{field["id"]}.toml' for field in fields])
        table = f'jobs = {jobs}\nunits = "metric"\n[allotment]\n{asked}\ntake = "{take}"\n'
        yield dict(name=f"case_{seed:02}", fields=fields, table=table, limits=limits, money=money, take=take)


def write(case, folder):
    folder.mkdir(parents=True, exist_ok=True)
    result = {"schema": "limewright-fields-1", "program": {"name": "limewright", "version": "0.1.0"},
              "units": "metric", "fields": [row(field) for field in case["fields"]], "failed": []}
    (folder / "made.json").write_text(json.dumps(result), encoding="utf-8")
    (folder / "FIELDS.toml").write_text(case["table"], encoding="utf-8")


def plan_by(program, folder):
    done = subprocess.run([program, "compare", folder / "made.json", "--with", folder / "FIELDS.toml", "--json"],
                          capture_output=True, text=True, check=True)
    return json.loads(done.stdout)["plan"]


def things(case):
    """What may be taken: its weight, and what it is worth in the whole numbers that are counted in."""
    by_areas = case["take"] == "rate areas"
    for field in case["fields"]:
        for part in field["areas"] if by_areas else [field]:
            weight = field["cost"] if case["money"] else part["product"]
            yield dict(field=field["id"], number=part.get("number"), weight=weight,
                       worth=(round(part["risk_ha"] * M2_PER_HA), round(part["gain_ph_ha"] * M2_PER_HA),
                              round((part["need"] - part["unmet"]) * 1000)))


def solve(case):
    """The best that can be had, step by step, each step with the ones before held at their best."""
    parts = list(things(case))
    years = len(case["limits"])
    count = len(parts)
    weights = np.array([part["weight"] for part in parts])
    counts = np.repeat(np.arange(years, 0, -1), count)
    rows = [LinearConstraint(np.concatenate([weights if year == own else np.zeros(count) for own in range(years)]),
                             -np.inf, case["limits"][year] + 1e-7) for year in range(years)]
    once = np.tile(np.eye(count), years)
    rows.append(LinearConstraint(once, -np.inf, 1))
    best = []
    for rank in range(3):
        worth = np.tile([part["worth"][rank] for part in parts], years) * counts
        done = milp(-worth, constraints=rows, integrality=np.ones(count * years), bounds=Bounds(0, 1),
                    options={"mip_rel_gap": 0, "time_limit": 300})
        if done.status != 0:
            return None
        taken = np.round(done.x)
        reached = int(round(float(worth @ taken)))
        best.append(reached)
        # Half of one is less than anything counts.
        rows.append(LinearConstraint(worth, reached - 0.5, np.inf))
    return tuple(best)


def taken_of(case, plan):
    """The things that the plan takes, each with its year from 0."""
    by_id = {field["id"]: field for field in plan["fields"]}
    for part in things(case):
        field = by_id[part["field"]]
        is_taken = field["decision"] == "all" or part["number"] in field.get("only", [])
        if is_taken:
            yield part, field.get("year", 1) - 1


def check_plan(case, plan, solved, report):
    name = case["name"]
    years = len(case["limits"])
    pool = plan["pools"][0]
    taken = list(taken_of(case, plan))
    worth = tuple(sum(part["worth"][rank] * (years - year) for part, year in taken) for rank in range(3))
    for year, limit in enumerate(case["limits"]):
        used = sum(part["weight"] for part, own in taken if own == year)
        report.check(f"{name}: year {year + 1} stays within its limit", used <= limit + 1e-6, f"{used:.3f} of {limit}")
        told = pool["years"][year]
        report.close(f"{name}: year {year + 1}, what is used", told["used"]["value"], used, 1e-8)
        report.close(f"{name}: year {year + 1}, ground at risk", told["aluminium_area"]["value"] * M2_PER_HA,
                     sum(part["worth"][0] for part, own in taken if own == year), 1e-6)
    report.check(f"{name}: the solver came to an end", solved is not None)
    if solved is None:
        return
    if pool["proven"]:
        report.check(f"{name}: as much ground at risk", worth[0] == solved[0], f"{worth[0]} of {solved[0]} m2")
        report.check(f"{name}: as much gained", worth[1] == solved[1], f"{worth[1]} of {solved[1]} pH m2")
        report.check(f"{name}: as much need met", worth[2] == solved[2], f"{worth[2]} of {solved[2]} kg")
    else:
        most = pool["gap"]["aluminium_area"]["value"] * M2_PER_HA
        report.check(f"{name}: the gap holds", worth[0] <= solved[0] <= most + 1, f"{worth[0]} {solved[0]} {most:.0f}")
    check_ledgers(case, plan, report)


def check_ledgers(case, plan, report):
    name = case["name"]
    by_id = {field["id"]: field for field in plan["fields"]}
    off = []
    sums = dict(need=0.0, supplied=0.0, unmet=0.0, held_back=0.0, excess=0.0)
    for at, field in enumerate(case["fields"]):
        planned = by_id[field["id"]]
        only = planned.get("only", [])
        all_of_it = planned["decision"] == "all"
        areas = [area for area in field["areas"] if all_of_it or area["number"] in only]
        left = [area for area in field["areas"] if area not in areas]
        expected = dict(need=field["need"], supplied=sum(area["supplied"] for area in areas), unmet=field["unmet"],
                        held_back=sum(area["need"] - area["unmet"] for area in left), excess=0.0)
        for key, value in expected.items():
            sums[key] += value
            if abs(planned["ledger"][key]["value"] - value) > 1e-9 * max(1.0, field["need"]):
                off.append(at)
        if only and planned["set"] != f"rate_areas.only = {only}":
            off.append(at)
    report.none(f"{name}: ledgers of fields", off, len(case["fields"]) * 5)
    for key, value in sums.items():
        report.close(f"{name}: all fields, {key}", plan["ledger"][key]["value"], value, 1e-9, "t")
    total = plan["ledger"]
    right = total["supplied"]["value"] + total["unmet"]["value"] + total["held_back"]["value"] - total["excess"]["value"]
    report.close(f"{name}: need = supplied + unmet + held back - excess", total["need"]["value"], right, 1e-9, "t")


def faults(plan):
    """Plans that are wrong, each in one way."""
    chosen = [at for at, field in enumerate(plan["fields"]) if field["decision"] == "all"]
    waiting = [at for at, field in enumerate(plan["fields"]) if field["decision"] == "held back"]
    wrong = copy.deepcopy(plan)
    wrong["fields"][waiting[0]].update(decision="all", year=1)
    yield "one field more than fits", wrong
    wrong = copy.deepcopy(plan)
    wrong["fields"][chosen[0]]["decision"] = "held back"
    yield "one field less than fits", wrong
    wrong = copy.deepcopy(plan)
    wrong["fields"][chosen[0]]["ledger"]["held_back"]["value"] += 0.001
    yield "a kilogram held back twice", wrong
    wrong = copy.deepcopy(plan)
    wrong["ledger"]["held_back"]["value"] *= 0.9
    yield "a total that leaves some out", wrong
    wrong = copy.deepcopy(plan)
    wrong["pools"][0]["years"][0]["used"]["value"] *= 1.001
    yield "a wrong use of the limit", wrong


def main():
    program, folder = Path(sys.argv[1]).resolve(), Path(sys.argv[2])
    report = Report()
    first = None
    for case in cases():
        write(case, folder / case["name"])
        plan = plan_by(program, folder / case["name"])
        solved = solve(case)
        check_plan(case, plan, solved, report)
        first = first or (case, plan, solved)
    case, plan, solved = first
    for words, wrong in faults(plan):
        quiet = Report(quiet=True)
        check_plan(case, wrong, solved, quiet)
        report.check(f"a planted fault is noticed: {words}", len(quiet.failures) > 0)
    print(report.last_line())
    return 1 if report.failures else 0


if __name__ == "__main__":
    sys.exit(main())
