"""Order sheets and suppliers of made fields, worked out again from the rows alone.

    python tests/outside/check_orders.py FOLDER

FOLDER holds the cases that `cargo test --profile checked --test job orders` writes (target/tmp/order_cases):
the rows and the list of each, and what the program made of them. Trucks, balances and days are
counted here in plain Python; suppliers are chosen by scipy's milp (HiGHS). Then faults are planted,
and each must be caught.
"""

import copy
import datetime
import json
import math
import pathlib
import sys
import tomllib

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp

from report import Report

MILE_M = 1609.344
RADIUS_M = 6371008.8
PAYLOAD = 25.0


def number(text):
    return float(text.split()[0])


def haversine_mi(a, b):
    lon_a, lat_a, lon_b, lat_b = map(math.radians, (*a, *b))
    h = math.sin((lat_b - lat_a) / 2) ** 2 + math.cos(lat_a) * math.cos(lat_b) * math.sin((lon_b - lon_a) / 2) ** 2
    return 2 * RADIUS_M * math.asin(math.sqrt(h)) / MILE_M


def trucks_for(tons, payload):
    loads = tons / payload
    return round(loads) if abs(loads - round(loads)) <= 1e-9 else math.ceil(loads)


class Case:
    def __init__(self, folder):
        self.name = folder.name
        self.rows = json.loads((folder / "rows.json").read_text())
        self.list = tomllib.loads((folder / "fields.toml").read_text())
        self.order = json.loads((folder / "order.json").read_text())
        self.plan = json.loads((folder / "suppliers.json").read_text())

    def parcels(self):
        """Every application that needs material: by (field, application)."""
        found = {}
        for row in self.rows:
            truck = row.get("truck_loads", {}).get("full", {}).get("value")
            parts = row.get("applications") or [
                {
                    "number": 1,
                    "to_load": row["to_load"],
                    "to_order": row["to_order"],
                    "order": {"truck_fill": row["truck_fill"]},
                    "date": row["dates"].get("spread"),
                    "truck_loads": row.get("truck_loads", {}).get("count"),
                }
            ]
            for part, work in zip(parts, row["work"]["applications"]):
                alone = part["to_order"]["value"]
                found[row["id"], part["number"]] = {
                    "row": row,
                    "needed": alone - part["order"]["truck_fill"]["value"],
                    "load": part["to_load"]["value"],
                    "alone": alone,
                    "alone_trucks": part.get("truck_loads"),
                    "truck": truck,
                    "day": part.get("date"),
                    "hours": work["hours"]["value"],
                }
        return found


def drop_key(key, parcel):
    delivery = parcel["row"].get("delivery", {})
    site = delivery.get("drop_site")
    pile = delivery.get("pile_deg")
    place = ("site", site.lower()) if site else ("pile", *pile) if pile else ("field", key[0])
    material = parcel["row"]["material"]
    return (material["supplier"], material["name"], key[1], place, parcel["day"] or "", parcel["truck"] or 0)


def check_sheet(case, report):
    """Trucks, tons, balances of the order sheet."""
    parcels, order = case.parcels(), case.order
    calendar = case.list["calendar"]
    visits = order["visits"]
    keys = [(visit["id"], visit["application"]) for visit in visits]
    report.check(f"{case.name}: each application once", sorted(keys) == sorted(parcels), f"{len(keys)} visits")
    limits = {}
    for supplier in case.list.get("supplier", []):
        if "limit" in supplier:
            limits[supplier["name"].lower()] = number(supplier["limit"])
    drops = {}
    for key, parcel in parcels.items():
        drops.setdefault(drop_key(key, parcel), []).append(key)
    members = sorted(tuple(sorted(drop["fields"])) for drop in order["drops"])
    expected = sorted(tuple(sorted(key[0] for key in drop)) for drop in drops.values())
    report.check(f"{case.name}: who shares a drop", members == expected)
    here, free, balance, seen = {}, {}, {}, {}
    ordered, trucks, short, left = {}, {}, {}, {}
    wrong, compared = [], 0
    for at, (key, visit) in enumerate(zip(keys, visits)):
        parcel = parcels.get(key)
        if parcel is None:
            wrong.append(at)
            continue
        drop = drop_key(key, parcel)
        line = drop[:2]
        arrives = 0.0
        if drop not in seen:
            needed = sum(parcels[other]["needed"] for other in drops[drop])
            carried = free.get(line, 0.0) if calendar.get("carry_over") else 0.0
            free[line] = free.get(line, 0.0) - carried
            want = max(needed - carried, 0.0)
            truck = parcel["truck"]
            count = trucks_for(want, truck) if truck else None
            arrives = count * truck if truck else want
            limit = limits.get(line[0].lower())
            if limit is not None:
                if arrives > limit:
                    count = math.floor(limit / truck + 1e-9) if truck else None
                    arrives = count * truck if truck else limit
                limits[line[0].lower()] = limit - arrives
            here[drop], seen[drop] = carried + arrives, 0
            ordered[line] = ordered.get(line, 0.0) + arrives
            if count is not None:
                trucks[line] = trucks.get(line, 0) + count
            if (visit.get("trucks") or 0) != (count or 0):
                wrong.append(at)
            balance[line] = balance.get(line, 0.0) + arrives
        used = min(parcel["needed"], here[drop])
        here[drop] -= used
        balance[line] -= used
        seen[drop] += 1
        if seen[drop] == len(drops[drop]):
            free[line] = free.get(line, 0.0) + here[drop]
        short[line] = short.get(line, 0.0) + parcel["needed"] - used
        spread = parcel["load"] * used / parcel["needed"]
        left[line] = balance[line]
        pairs = [
            (visit["arrives"]["value"], arrives),
            (visit["spread"]["value"], spread),
            (visit["lost"]["value"], used - spread),
            (visit["left_here"]["value"], here[drop]),
            (visit["balance"]["value"], balance[line]),
            (visit.get("short", {"value": 0.0})["value"], parcel["needed"] - used),
        ]
        compared += len(pairs)
        if any(abs(shown - own) > 1e-6 for shown, own in pairs):
            wrong.append(at)
    report.none(f"{case.name}: the running balance", wrong, compared)
    for line in order["lines"]:
        key = (line["supplier"], line["material"])
        own = [parcel for drop, parcel in ((drop_key(k, p), p) for k, p in parcels.items()) if drop[:2] == key]
        name = f"{case.name}: {key[1]}"
        report.close(f"{name}, to order", line["to_order"]["value"], ordered[key], 1e-9, "ton")
        report.close(f"{name}, alone", line["ordered_alone"]["value"], sum(p["alone"] for p in own), 1e-9, "ton")
        report.close(f"{name}, needed", line["needed"]["value"], sum(p["needed"] for p in own), 1e-9, "ton")
        report.check(f"{name}, left", abs(line["left"]["value"] - left[key]) < 1e-6)
        report.check(f"{name}, short", abs(line["short"]["value"] - short[key]) < 1e-6)
        report.close(f"{name}, dry", line["dry_matter"]["value"], ordered[key] * 0.95, 1e-9, "ton")
        price = 14.0 + int(line["material"].split()[1])
        report.close(f"{name}, product cost", line["product_cost"]["value"], ordered[key] * price, 1e-9, "$")
        if all(parcel["truck"] for parcel in own):
            report.check(f"{name}, trucks", line.get("trucks") == trucks[key], f"{trucks[key]}")
            alone = sum(parcel["alone_trucks"] for parcel in own)
            report.check(f"{name}, trucks alone", line.get("trucks_alone") == alone, f"{alone}")
            report.close(f"{name}, haul", line["haul_cost"]["value"], ordered[key] * 6.0, 1e-9, "$")
        else:
            report.check(f"{name}, trucks not known", "trucks" not in line)


def check_days(case, report):
    """The sequence and the days."""
    parcels, visits = case.parcels(), case.order["visits"]
    calendar = case.list["calendar"]
    keys = [(visit["id"], visit["application"]) for visit in visits]
    stated = calendar.get("sequence")
    if stated:
        expected = sorted(parcels, key=lambda key: (key[1], stated.index(key[0])))
        report.check(f"{case.name}: the stated sequence", keys == expected)
    else:
        days = [parcels[key]["day"] for key in keys if parcels[key]["day"]]
        report.check(f"{case.name}: by stated days", days == sorted(days))
    hours, spreaders = number(calendar["hours_a_day"]), calendar["spreaders"]
    first = calendar["first_day"]
    working = [
        day
        for day in (first + datetime.timedelta(days=n) for n in range(400))
        if day.strftime("%A").lower() not in calendar["days_off"]
    ]
    clock, before, wrong = 0.0, None, []

    def index(at, is_end):
        days = at / hours
        days = round(days) if abs(days - round(days)) <= 1e-9 else days
        return max(math.ceil(days) - 1, 0) if is_end else math.floor(days)

    for at, (key, visit) in enumerate(zip(keys, visits)):
        parcel = parcels[key]
        place = parcel["row"]["place_deg"]
        if before is not None:
            way = haversine_mi(before, place) * 1.3
            if abs(visit["move_distance"]["value"] - way) > 1e-6 * max(way, 1.0):
                wrong.append(at)
            clock += way / 20.0
        if parcel["day"]:
            day = datetime.date.fromisoformat(parcel["day"])
            clock = max(clock, next(n for n, other in enumerate(working) if other >= day) * hours)
        begins = working[index(clock, False)]
        clock += parcel["hours"] / spreaders
        ends = working[index(clock, True)]
        if (visit["begins"], visit["ends"]) != (begins.isoformat(), ends.isoformat()):
            wrong.append(at)
        before = place
    report.none(f"{case.name}: days", wrong, len(visits))
    total = sum(parcel["hours"] for parcel in parcels.values())
    report.close(f"{case.name}: hours", case.order["calendar"]["spreading"]["value"], total, 1e-9, "h")


def offers(case):
    """Tons, trucks and cost of each field with each supplier."""
    parcels = case.parcels()
    table = {}
    for row in case.rows:
        needs = [parcel["needed"] for key, parcel in parcels.items() if key[0] == row["id"]]
        for at, supplier in enumerate(case.list["supplier"]):
            effective = number(supplier["material"]["effective"]) / 100
            trucks = sum(trucks_for(need * 0.6 / effective, PAYLOAD) for need in needs)
            tons = trucks * PAYLOAD
            if "distance" in supplier:
                way = number(supplier["distance"][row["id"]])
            else:
                way = haversine_mi(supplier["place"], row["place_deg"]) * 1.3
            amount, per = supplier["haul"]["cost"].split(" ", 1)
            haul = float(amount) * {"$/ton-mile": tons * way, "$/ton": tons, "$/loaded mile": trucks * way}[per]
            cost = number(supplier["material"]["price"]) * tons + haul
            table[row["id"], at] = (tons, trucks, cost)
    return table


def solve(case, table, over=False):
    """The least cost, or with `over` the least sum by which limits are passed; None where nothing fits."""
    ids = [row["id"] for row in case.rows]
    suppliers = case.list["supplier"]
    split = case.list["supply"]["split"]
    keys = [(field, at) for field in ids for at in range(len(suppliers))]
    spare = len(suppliers) if over else 0
    size = len(keys) + spare
    cost = np.zeros(size)
    rows, least, most = [], [], []
    for at, key in enumerate(keys):
        tons, trucks, money = table[key]
        cost[at] = 0.0 if over else money / trucks if split else money
    if over:
        cost[len(keys):] = PAYLOAD if split else 1.0
    for field in ids:
        row = np.zeros(size)
        for at, key in enumerate(keys):
            if key[0] == field:
                row[at] = 1.0
        need = table[field, 0][1] if split else 1
        rows.append(row), least.append(need), most.append(need)
    for number_of, supplier in enumerate(suppliers):
        if "limit" not in supplier:
            continue
        row = np.zeros(size)
        for at, key in enumerate(keys):
            if key[1] == number_of:
                row[at] = 1.0 if split else table[key][0]
        if over:
            row[len(keys) + number_of] = -1.0
        limit = number(supplier["limit"])
        rows.append(row), least.append(-np.inf), most.append(math.floor(limit / PAYLOAD + 1e-9) if split else limit)
    upper = np.array([table[key][1] if split else 1 for key in keys] + [np.inf] * spare, dtype=float)
    whole = np.array([1] * len(keys) + [0] * spare)
    found = milp(
        cost,
        constraints=LinearConstraint(np.array(rows), least, most),
        bounds=Bounds(0, upper),
        integrality=whole,
        options={"mip_rel_gap": 0},
    )
    return found.fun if found.status == 0 else None


def check_suppliers(case, report):
    table, plan = offers(case), case.plan
    least = solve(case, table)
    if least is None:
        report.check(f"{case.name}: nothing fits", not plan["fields"] and bool(plan.get("lacks")))
        lacks = sum(lack["more"]["value"] for lack in plan.get("lacks", []))
        report.close(f"{case.name}: what lacks", lacks, solve(case, table, over=True), 1e-6, "ton")
        return
    report.check(f"{case.name}: proven", plan["proven"])
    report.close(f"{case.name}: least cost", plan.get("cost_total", {"value": 0.0})["value"], least, 1e-7, "$")
    used, cost, wrong = {}, 0.0, []
    names = [supplier["name"] for supplier in case.list["supplier"]]
    for at, field in enumerate(plan["fields"]):
        part = 0.0
        for share in field["from"]:
            tons, trucks, money = table[field["id"], names.index(share["supplier"])]
            part += share["trucks"] / trucks
            used[share["supplier"]] = used.get(share["supplier"], 0.0) + share["to_order"]["value"]
            cost += share["cost"]["value"]
            if abs(share["cost"]["value"] - money * share["trucks"] / trucks) > 1e-6 * money:
                wrong.append(at)
        if abs(part - 1.0) > 1e-9:
            wrong.append(at)
    report.none(f"{case.name}: each field served", wrong, len(plan["fields"]))
    report.check(f"{case.name}: all fields", len(plan["fields"]) == len(case.rows))
    report.close(f"{case.name}: shares add up", cost, least, 1e-7, "$")
    for supplier, use in zip(case.list["supplier"], plan["suppliers"]):
        tons = used.get(supplier["name"], 0.0)
        report.check(f"{case.name}: use of {supplier['name']}", abs(use["used"]["value"] - tons) < 1e-6)
        limit = number(supplier.get("limit", "inf ton"))
        report.check(f"{case.name}: limit of {supplier['name']}", tons <= limit + 1e-6, f"{tons:g} of {limit:g}")
        if "one_more_saves" in use and use["one_more_saves"]["value"] > 0:
            raised = copy.copy(case)
            raised.list = copy.deepcopy(case.list)
            own = next(it for it in raised.list["supplier"] if it["name"] == supplier["name"])
            own["limit"] = f"{limit + use['one_more']['value']} ton"
            saves = least - solve(raised, table)
            report.close(f"{case.name}: one more of {supplier['name']}", use["one_more_saves"]["value"], saves, 1e-5, "$")


def plant(case):
    """The same case with one fault each, as a name and a changed copy."""
    faults = {
        "a truck too many": lambda it: it.order["drops"] and it.order["visits"][0].update(
            trucks=(it.order["visits"][0].get("trucks") or 0) + 1
        ),
        "a ton less to order": lambda it: it.order["lines"][0]["to_order"].update(
            value=it.order["lines"][0]["to_order"]["value"] - 1
        ),
        "a balance that is off": lambda it: it.order["visits"][-1]["balance"].update(
            value=it.order["visits"][-1]["balance"]["value"] + 0.01
        ),
        "a day that is off": lambda it: it.order["visits"][-1].update(ends="2026-10-18"),
        "a field left out": lambda it: it.order["visits"].pop(),
        "a dearer choice": lambda it: it.plan["cost_total"].update(value=it.plan["cost_total"]["value"] * 1.0001),
        "a share too small": lambda it: it.plan["fields"][0]["from"][0].update(
            trucks=it.plan["fields"][0]["from"][0]["trucks"] - 1
        ),
    }
    for name, fault in faults.items():
        changed = copy.deepcopy(case)
        fault(changed)
        yield name, changed


def check(case, report):
    check_sheet(case, report)
    if len(case.order["visits"]) == len(case.parcels()):
        check_days(case, report)
    check_suppliers(case, report)


def main():
    folders = sorted(path for path in pathlib.Path(sys.argv[1]).iterdir() if path.is_dir())
    cases = [Case(folder) for folder in folders]
    report = Report()
    report.check("there are cases", len(cases) >= 50, f"{len(cases)}")
    for case in cases:
        check(case, report)
    sound = next(case for case in cases if case.plan["proven"] and case.plan["fields"])
    for name, changed in plant(sound):
        caught = Report(quiet=True)
        check(changed, caught)
        report.check(f"planted: {name} is caught", bool(caught.failures), ", ".join(caught.failures[:2]))
    print(report.last_line())
    sys.exit(bool(report.failures))


main()
