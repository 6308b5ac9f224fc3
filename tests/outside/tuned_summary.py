"""The summary of a job from its cells, for `tuned_python.py` and for planted faults."""

import math

import numpy as np

import lime
from totals import units_of


def leave_one_out(surface, sites, readings):
    """Root mean square error of the map and of the mean of the others, by attribute."""
    count = len(sites)
    errors = np.empty_like(readings)
    for n in range(count):
        others = np.arange(count) != n
        errors[n] = surface(sites[others], readings[others], sites[n : n + 1])[0][0] - readings[n]
    means = (readings.sum(axis=0) - readings) / (count - 1)
    return np.sqrt((errors**2).mean(axis=0)), np.sqrt(((means - readings) ** 2).mean(axis=0))


def loads_of(job, mass, load, binds, write):
    count = math.ceil(mass / load - 1e-9)
    part = {"count": count, "full": write("mass", load), "last": write("mass", mass - (count - 1) * load if count else 0.0)}
    return part | ({"binds": binds} if binds else {})


def flat_rate(job, rate, cells, write):
    area, gap = cells["area"], rate * job.effective - cells["need"]
    slack = 1e-9 * rate * job.effective
    part = {
        "rate": write("rate", rate),
        "product": write("mass", rate * area.sum()),
        "over_limed_area": write("area", area[gap > slack].sum()),
        "under_limed_area": write("area", area[gap < -slack].sum()),
    }
    if job.price is not None:
        to_order = rate * area.sum() * (1 + job.overlap) / (1 - job.pile_loss)
        if job.whole_trucks and job.truck_kg:
            to_order = math.ceil(to_order / job.truck_kg - 1e-9) * job.truck_kg
        hauled = job.haul_cost is not None and job.distance_m is not None and job.price_at == "plant"
        each = job.price + (job.haul_cost * job.distance_m if hauled else 0)
        part["cost"] = {"value": to_order * each, "unit": "money"}
    return part


def order_and_haul(job, product, area, write):
    """To load, to order, loads and haul."""
    to_load = product * (1 + job.overlap)
    to_order = to_load / (1 - job.pile_loss)
    if job.whole_trucks and job.truck_kg:
        to_order = math.ceil(to_order / job.truck_kg - 1e-9) * job.truck_kg
    binds = None if job.box_kg is None else "volume" if job.box_kg < job.payload_kg else "weight"
    loads = {"spreader": loads_of(job, to_load, job.load_kg, binds, write)}
    if job.truck_kg:
        loads["truck"] = loads_of(job, to_order, job.truck_kg, None, write)
    parts = {"to_load": write("mass", to_load), "to_order": write("mass", to_order), "loads": loads}
    if job.distance_m is not None:
        haul = {"ton_miles": write("haul", to_order * job.distance_m)}
        if job.haul_cost is not None and job.price is not None:
            cost, price = job.haul_cost * to_order * job.distance_m, job.price * to_order
            both = price + (cost if job.price_at == "plant" else 0)
            haul["cost"] = {"value": cost, "unit": "money"}
            haul["product_cost"] = {"value": price, "unit": "money"}
            haul["cost_per_area"] = {"value": both / (area / job.area_unit_m2), "unit": "money"}
        parts["haul"] = haul
    return parts


def totals_and_ledger(job, cells, write):
    """Everything that is a sum over the cells."""
    area, rate, limit = cells["area"], cells["rate"], cells["limit"]
    need, supplied = cells["need"] * area, rate * area * job.effective
    over, under = np.maximum(supplied - need, 0), np.maximum(need - supplied, 0)
    none = limit == "none"
    rounded = none & (np.abs(supplied - need) > 1e-9 * supplied)
    moved = np.abs(rate - cells["need"] / job.effective) * area
    off_limits = {
        word: {"area": write("area", area[limit == word].sum()), "product": write("mass", moved[limit == word].sum())}
        for word in ("raised", "dropped", "capped")
    }
    off_limits["rounded"] = {"area": write("area", area[rounded].sum()), "product": write("mass", moved[rounded].sum())}
    return {
        "area": write("area", area.sum()),
        "keep_out_area": write("area", 0.0),
        "treated_area": write("area", area[rate > 0].sum()),
        "need_total": write("mass", need.sum()),
        "supplied_total": write("mass", supplied.sum()),
        "excess_total": write("mass", over.sum()),
        "unmet_total": write("mass", under.sum()),
        "product_total": write("mass", (rate * area).sum()),
        "mean_rate": write("rate", (rate * area).sum() / area.sum()),
        "limits": off_limits,
        "rates": [
            {
                "rate": write("rate", value),
                "area": write("area", area[rate == value].sum()),
                "product": write("mass", value * area[rate == value].sum()),
            }
            for value in np.unique(rate)
        ],
        "ledger": {
            "raised": write("mass", over[limit == "raised"].sum()),
            "rounded_up": write("mass", over[none].sum()),
            "dropped": write("mass", under[limit == "dropped"].sum()),
            "capped": write("mass", under[limit == "capped"].sum()),
            "rounded_down": write("mass", under[none].sum()),
            "cell_area": write("area", area.sum()),
            "field_area": write("area", area.sum()),
        },
    }


def parts_from_cells(job, attributes, readings, soil, inside, cells):
    """What of the summary follows from the cells, and the composite, as plain data."""

    def write(kind, value):
        unit, size = units_of(job)[kind]
        return {"value": float(value) / size, "unit": unit}

    area = cells["area"]
    parts = {"units": job.units} | totals_and_ledger(job, cells, write)
    mean_soil = {key: np.array([column.mean()]) for key, column in zip(attributes, readings.T)}
    composite = lime.machine_rates(job, lime.needs(job, mean_soil) / job.effective)[0][0]
    product = float(cells["product"].sum())
    parts["flat_rate"] = {
        "same_tons": flat_rate(job, product / area.sum(), cells, write),
        "composite": flat_rate(job, composite, cells, write),
    }
    parts |= order_and_haul(job, product, area.sum(), write)
    parts["interpolation"] = {"beyond_share": float(area[~inside].sum() / area.sum())}
    below, above, _ = lime.beyond_table(job, dict(zip(attributes, soil.T)))
    parts["table_limit_area"] = {
        "below": write("area", area[below].sum()),
        "above": write("area", area[above].sum()),
    }
    return parts


def summarise(job, attributes, readings, sites, soil, inside, cells, surface):
    """The summary as plain data; `surface` is called once for each sample left out."""
    summary = parts_from_cells(job, attributes, readings, soil, inside, cells)
    summary["soil"] = {}
    for key in attributes:
        read = [reading for reading in job.samples.readings[key] if reading is not None]
        spread = {"samples": len(read), "min": min(read), "max": max(read), "mean": sum(read) / len(read)}
        summary["soil"][key] = spread
    rmse, mean_rmse = leave_one_out(surface, sites, readings)
    summary["interpolation"]["cross_check"] = {
        key: {"samples": len(sites), "rmse": float(rmse[n]), "mean_rmse": float(mean_rmse[n])}
        for n, key in enumerate(attributes)
    }
    return summary
