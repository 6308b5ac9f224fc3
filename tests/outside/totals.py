"""Totals of a summary against the sums over its rate map, and what follows from them."""

import math

import numpy as np

import lime

# Sums of some thousand printed values with 6 significant digits or more.
SUMMED = 2e-6
# A quantity in the summary is written exactly; what is left is the order of summing.
EXACT = 1e-9


def units_of(job):
    """Unit words and their size in SI, by kind."""
    us = job.units == "us"
    return {
        "area": ("ac" if us else "ha", job.area_unit_m2),
        "mass": ("ton" if us else "t", job.mass_unit_kg),
        "rate": ("ton/ac" if us else "t/ha", job.rate_unit),
        "haul": ("ton-mile" if us else "t-km", job.mass_unit_kg * (1609.344 if us else 1000.0)),
        "length": ("ft" if us else "m", 0.3048 if us else 1.0),
    }


def quantity(field, path, kind):
    """A quantity of the summary in SI units; its unit must be the one of the job's system."""
    part = field.summary
    for key in path.split("."):
        part = part[key]
    unit, size = units_of(field.job)[kind]
    if part["unit"] != unit:
        raise ValueError(f"{path} is in {part['unit']}, not in {unit}")
    return part["value"] * size


def check_quantity(report, field, path, expected, relative, kind="area"):
    """One quantity of the summary, `expected` in SI units."""
    try:
        shown = quantity(field, path, kind)
    except (KeyError, TypeError, ValueError) as error:
        report.check(path, False, f"not readable: {error!r}")
        return
    size = units_of(field.job)[kind][1]
    # What should be nothing may be left as a rounding error of what was summed.
    floor = 1e-6 if expected == 0 else 0.0
    ok = abs(shown - expected) <= relative * abs(expected) + floor * size
    report.check(path, ok, f"{shown / size:.9g} for {expected / size:.9g} {units_of(field.job)[kind][0]}")


def check_totals(field, report):
    """Everything in the summary that follows from the map and the job."""
    area, need, rate = field.area_m2(), field.rates("need"), field.rates("rate")
    product = rate * area
    supplied = product * field.job.effective
    balance = need * area - supplied
    mapped = area.sum()
    for path, expected, kind in (
        ("area", mapped, "area"),
        ("keep_out_area", 0.0, "area"),
        ("treated_area", area[rate > 0].sum(), "area"),
        ("need_total", (need * area).sum(), "mass"),
        ("supplied_total", supplied.sum(), "mass"),
        ("excess_total", np.maximum(-balance, 0).sum(), "mass"),
        ("unmet_total", np.maximum(balance, 0).sum(), "mass"),
        ("product_total", product.sum(), "mass"),
        ("mean_rate", product.sum() / mapped, "rate"),
    ):
        check_quantity(report, field, path, expected, SUMMED, kind)
    shown = field.column(field.keys["product"]).sum() * field.job.mass_unit_kg
    report.close("products of the features add up", shown, product.sum(), SUMMED, "kg")
    check_ledger(field, report)
    check_rates(field, report, area, rate)
    check_limits(field, report, area, need, rate)
    check_flat_rates(field, report, area, need)
    check_orders(field, report)
    check_soil(field, report, area)


def check_ledger(field, report):
    """The identities, on the summary's own numbers, exactly."""
    names = ("need_total", "supplied_total", "unmet_total", "excess_total", "product_total")
    need, supplied, unmet, excess, product = (quantity(field, name, "mass") for name in names)
    report.close("need = supplied + unmet - excess", supplied + unmet - excess, need, EXACT, "kg")
    report.close("product = supplied / effective", supplied / field.job.effective, product, EXACT, "kg")
    ledger = {key: quantity(field, f"ledger.{key}", "mass") for key in
              ("raised", "rounded_up", "dropped", "capped", "rounded_down")}
    report.close("excess = raised + rounded up", ledger["raised"] + ledger["rounded_up"], excess, EXACT, "kg")
    left_out = ledger["dropped"] + ledger["capped"] + ledger["rounded_down"]
    report.close("unmet = dropped + capped + rounded down", left_out, unmet, EXACT, "kg")
    cells, whole = quantity(field, "ledger.cell_area", "area"), quantity(field, "area", "area")
    report.close("cells = field", cells, whole, EXACT, "m2")


def check_rates(field, report, area, rate):
    """The list of rates: each rate that occurs, once, with its area and product."""
    _, size = units_of(field.job)["rate"]
    listed = {round(part["rate"]["value"], 6): n for n, part in enumerate(field.summary["rates"])}
    on_map = np.round(rate / size, 6)
    missing = sorted(set(on_map) ^ {r for r, n in listed.items() if field.summary["rates"][n]["area"]["value"] > 0})
    report.check("rates listed are those on the map", not missing, f"{len(listed)} listed {missing or ''}")
    wrong = []
    for value, n in listed.items():
        here = on_map == value
        part = field.summary["rates"][n]
        expected = area[here].sum() / field.job.area_unit_m2
        if abs(part["area"]["value"] - expected) > SUMMED * expected + 1e-9:
            wrong.append(n)
        if abs(part["product"]["value"] - expected * value) > SUMMED * expected * value + 1e-9:
            wrong.append(n)
    report.none("area and product of each rate", wrong, len(listed))


def check_limits(field, report, area, need, rate):
    """Area and product by what the machine's limits did."""
    limit = field.column("limit")
    for word in ("raised", "dropped", "capped"):
        here = limit == word
        check_quantity(report, field, f"limits.{word}.area", area[here].sum(), SUMMED)
        # The product is what the limit added or took away: the rate against the wanted one.
        moved = np.abs(rate - need / field.job.effective)[here] * area[here]
        check_quantity(report, field, f"limits.{word}.product", moved.sum(), 2e-5, "mass")
    off = np.abs(rate - need / field.job.effective)
    here = (limit == "none") & (off > 1e-5 * rate)
    check_quantity(report, field, "limits.rounded.area", area[here].sum(), 1e-3)


def check_flat_rates(field, report, area, need):
    """The two flat rates, and where they give too much and too little."""
    job, mapped = field.job, area.sum()
    readings = {key: np.array([column.mean()]) for key, column in zip(field.attributes, field.readings.T)}
    composite = lime.machine_rates(job, lime.needs(job, readings) / job.effective)[0][0]
    same = quantity(field, "product_total", "mass") / mapped
    for name, rate in (("same_tons", same), ("composite", composite)):
        path = f"flat_rate.{name}"
        check_quantity(report, field, f"{path}.rate", rate, SUMMED, "rate")
        check_quantity(report, field, f"{path}.product", rate * mapped, SUMMED, "mass")
        part = field.summary["flat_rate"][name]
        if job.price is not None:
            report.close(f"{path}.cost", part["cost"]["value"], cost_of_order(job, rate * mapped), SUMMED)
        band = 1e-5 * np.maximum(need, rate * job.effective)
        gap = rate * job.effective - need
        for word, sign in (("over", 1), ("under", -1)):
            shown = quantity(field, f"{path}.{word}_limed_area", "area")
            least, most = area[sign * gap > band].sum(), area[sign * gap > -band].sum()
            slack = SUMMED * mapped
            ok = least - slack <= shown <= most + slack
            report.check(f"{path}.{word}_limed_area", ok, f"{shown:.1f} in {least:.1f} to {most:.1f} m2")


def ordered(job, product):
    """What is ordered for so much product on the ground."""
    to_order = product * (1 + job.overlap) / (1 - job.pile_loss)
    if job.whole_trucks and job.truck_kg:
        to_order = math.ceil(to_order / job.truck_kg - 1e-9) * job.truck_kg
    return to_order


def cost_of_order(job, product):
    """What the order for so much product costs, with its haul where the price does not hold it."""
    to_order = ordered(job, product)
    hauled = job.haul_cost is not None and job.distance_m is not None and job.price_at == "plant"
    return to_order * (job.price + (job.haul_cost * job.distance_m if hauled else 0))


def check_orders(field, report):
    """To load, to order, loads and haul."""
    job = field.job
    product = quantity(field, "product_total", "mass")
    to_load = product * (1 + job.overlap)
    to_order = ordered(job, product)
    check_quantity(report, field, "to_load", to_load, EXACT, "mass")
    check_quantity(report, field, "to_order", to_order, EXACT, "mass")
    check_loads(field, report, "spreader", to_load, job.load_kg)
    binds = None if job.box_kg is None else "volume" if job.box_kg < job.payload_kg else "weight"
    shown = field.summary["loads"]["spreader"].get("binds")
    report.check("what binds a spreader load", shown == binds, f"{shown}")
    if job.truck_kg:
        check_loads(field, report, "truck", to_order, job.truck_kg)
    if job.distance_m is None:
        return
    haul = field.summary["haul"]
    unit, size = units_of(job)["haul"]
    check_quantity(report, field, "haul.ton_miles", to_order * job.distance_m, EXACT, "haul")
    if job.haul_cost is not None and job.price is not None:
        cost, price = job.haul_cost * to_order * job.distance_m, job.price * to_order
        report.close("haul.cost", haul["cost"]["value"], cost, EXACT)
        report.close("haul.product_cost", haul["product_cost"]["value"], price, EXACT)
        both = price + (cost if job.price_at == "plant" else 0)
        areas = quantity(field, "area", "area") / job.area_unit_m2
        report.close("haul.cost_per_area", haul["cost_per_area"]["value"], both / areas, EXACT)


def check_loads(field, report, name, mass, load):
    """Loads add up to the mass; all are full but the last."""
    part = field.summary["loads"][name]
    count = math.ceil(mass / load - 1e-9)
    check_quantity(report, field, f"loads.{name}.full", load, EXACT, "mass")
    report.check(f"loads.{name}.count", part["count"] == count, f"{part['count']} for {count}")
    check_quantity(report, field, f"loads.{name}.last", mass - (count - 1) * load if count else 0.0, 1e-7, "mass")


def check_soil(field, report, area):
    """What the samples read, and how much of the map lies beyond them or beyond the table."""
    for key in field.attributes:
        read = [reading for reading in field.job.samples.readings[key] if reading is not None]
        part = field.summary["soil"][key]
        ok = part["min"] == min(read) and part["max"] == max(read) and part["samples"] == len(read)
        ok = ok and abs(part["mean"] - sum(read) / len(read)) < 1e-9
        report.check(f"soil.{key}", ok, f"{part['samples']} from {part['min']} to {part['max']}")
    outside = area[field.column("samples") == "outside"].sum() / area.sum()
    report.close("beyond_share", field.summary["interpolation"]["beyond_share"], outside, SUMMED)
    below, above, band = lime.beyond_table(field.job, field.shown_soil())
    for word, here in (("below", below), ("above", above)):
        shown = quantity(field, f"table_limit_area.{word}", "area")
        off = abs(shown - area[here].sum())
        report.check(f"table_limit_area.{word}", off <= area[band].sum() + SUMMED * area.sum(), f"{shown:.1f} m2")
