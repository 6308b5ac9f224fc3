"""Lime need and rate from soil readings, in numpy, from the printed tables.

The tables are typed here a second time on purpose: a slip in the program's data files must not
repeat itself in the check.
"""

import numpy as np

from job import KG_PER_POUND, M2_PER_ACRE

LB_AC = KG_PER_POUND / M2_PER_ACRE  # kg/m2
T_HA = 0.1  # kg/m2

# Iowa State University Extension, PM-1688, 2002, table of lime for SMP buffer pH, as reproduced
# in University of Wisconsin teaching slides on liming terminology: lb CaCO3/ac, 6-inch depth.
IOWA_BUFFER_PH = [5.8, 6.0, 6.2, 6.4, 6.6, 6.8, 7.0]
IOWA_LB_AC = {
    6.5: [7900, 6400, 5000, 3500, 2100, 600, 0],
    6.9: [10600, 9300, 7700, 6000, 4400, 2700, 1100],
}

# United Kingdom, lime by pH in water, t/ha: table of a farm buying group, "Lime Time" (undated).
# The depths (20 cm arable, 15 cm grass): Agricultural Lime Association, "pH value and lime
# requirements".
UK_PH = [5.4, 5.5, 5.6, 5.7, 5.8, 5.9, 6.0, 6.1, 6.2, 6.3, 6.4]
UK_ARABLE_T_HA = [7.8, 7.2, 6.6, 6.0, 5.4, 4.8, 4.2, 3.6, 3.0, 2.4, 1.8]
UK_GRASS_T_HA = [6.6, 6.0, 5.4, 4.8, 4.2, 3.6, 3.0, 2.4, 1.8, 1.2, 0.5]
# Derived: the line that the rows follow, 6 x (target - pH), carried from the last row to zero.
UK_T_HA_PER_PH = 6.0

METHODS = {
    # id: (what is read, lowest and highest row, table depth in metres, targets)
    "smp-iowa": ("buffer_ph", 5.8, 7.0, 6 * 0.0254, [6.5, 6.9]),
    "ph-uk-arable": ("ph", 5.4, 6.7, 0.20, [6.7]),
    "ph-uk-grass": ("ph", 5.4, 6.5, 0.15, [6.5]),
}
# The reading at which a buffer table asks for nothing, by method and target.
ZERO_NEED_READING = {("smp-iowa", 6.5): 7.0}


def water_ph(ph, medium):
    """pH in water from pH as measured.

    In 0.01 M CaCl2: pHCa = 1.05 pHw - 0.9 (1:2.5), Soil Science 145 (1988), p. 29.
    """
    if medium.startswith("water"):
        return ph
    if medium == "CaCl2 0.01 M":
        return (ph + 0.9) / 1.05
    raise ValueError(f"no conversion from {medium}")


def uk_need(ph, rows_t_ha, zero_at):
    table = np.interp(ph, UK_PH, rows_t_ha)  # below the lowest row: its value
    derived = UK_T_HA_PER_PH * (zero_at - ph)
    return np.where(ph > UK_PH[-1], np.maximum(derived, 0.0), table) * T_HA


def table_need(job, soil):
    """Need over the table's own depth in kg CaCO3/m2, before the trigger, at the job's target."""
    if job.method == "smp-iowa":
        columns = np.array([np.interp(soil["buffer_ph"], IOWA_BUFFER_PH, IOWA_LB_AC[t]) for t in (6.5, 6.9)])
        part = (job.target_ph - 6.5) / 0.4
        if not 0 <= part <= 1:
            raise ValueError(f"smp-iowa has no column for {job.target_ph}")
        return (columns[0] * (1 - part) + columns[1] * part) * LB_AC
    rows, target = (UK_ARABLE_T_HA, 6.7) if job.method == "ph-uk-arable" else (UK_GRASS_T_HA, 6.5)
    if job.target_ph != target:
        raise ValueError(f"{job.method} has no column for {job.target_ph}")
    return uk_need(water_ph(soil["ph"], job.ph_medium), rows, target)


def trigger(job):
    """The pH, in the method's medium, at and above which nothing is needed."""
    return job.target_ph if job.treat_below is None else job.treat_below


def needs(job, soil):
    """Lime need of each soil in kg CaCO3/m2; `soil` maps column keys to arrays."""
    depth = METHODS[job.method][3]
    need = table_need(job, soil) * (job.limed_depth_m / depth)
    return np.where(water_ph(soil["ph"], job.ph_medium) >= trigger(job), 0.0, need)


def beyond_table(job, soil):
    """Where the reading lies below the lowest row, above the highest, and too near to tell."""
    reads, lowest, highest, _, _ = METHODS[job.method]
    water = water_ph(soil["ph"], job.ph_medium)
    reading = soil["buffer_ph"] if reads == "buffer_ph" else water
    treated = water < trigger(job)
    near = (np.abs(reading - lowest) < 1e-5) | (np.abs(reading - highest) < 1e-5)
    near |= np.abs(water - trigger(job)) < 1e-5
    return treated & (reading < lowest), treated & (reading > highest), near


def machine_rates(job, wanted):
    """Rates in kg/m2 that the machine spreads for the wanted ones, and what its limits did."""
    snapped = wanted.copy()
    if job.step:
        near = np.round(wanted / job.step * 2) / 2 * job.step  # steps and halves between them
        snapped = np.where(np.abs(wanted - near) < 1e-9 * job.step, near, wanted)
        rate = np.floor(snapped / job.step + 0.5) * job.step
    else:
        ladder = np.array(job.rates)
        middles = (ladder[1:] + ladder[:-1]) / 2
        rate = ladder[np.searchsorted(middles, snapped + 1e-12, side="right")]
    limit = np.full(len(wanted), "none", dtype=object)
    above = wanted > job.max_rate * (1 + 1e-12)
    rate[above], limit[above] = job.max_rate, "capped"
    below = (wanted > 0) & (wanted < job.min_rate * (1 - 1e-12))
    up = below & {
        "nearest": wanted * (1 + 1e-12) >= job.min_rate / 2,
        "raise": wanted > 0,
        "drop": wanted < 0,
    }[job.below_min]
    rate[below], limit[below] = 0.0, "dropped"
    rate[up], limit[up] = job.min_rate, "raised"
    return rate, limit


def thresholds(job):
    """Wanted rates in kg/m2 at which the machine's answer jumps."""
    if job.step:
        first, last = round(job.min_rate / job.step), round(job.max_rate / job.step)
        edges = [(n + 0.5) * job.step for n in range(first, last)]
    else:
        ladder = job.rates[1:]
        edges = [(a + b) / 2 for a, b in zip(ladder, ladder[1:])]
    return np.array([job.min_rate / 2, job.min_rate, *edges, job.max_rate])
