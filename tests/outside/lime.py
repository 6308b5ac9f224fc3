"""Lime need and rate from soil readings, in numpy, from the printed tables.

The tables are typed here a second time on purpose: a slip in the program's data files must not
repeat itself in the check.
"""

import numpy as np

from job import KG_PER_POUND, M2_PER_ACRE

LB_AC = KG_PER_POUND / M2_PER_ACRE  # kg/m2
T_HA = 0.1  # kg/m2
TON_AC = 2000 * LB_AC

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

# Oregon State University Extension, EM 9585, October 2025, Table 1: short tons of 100-score lime an
# acre by Sikora buffer pH, 6-inch depth, for the targets 5.6, 6.0, 6.4, 6.8, 7.2.
OREGON_TARGETS = [5.6, 6.0, 6.4, 6.8, 7.2]
OREGON_TON_AC = {
    4.8: [6.1, 8.9, 12.2, 16.3, 23.2],
    4.9: [5.7, 8.4, 11.5, 15.0, 21.7],
    5.0: [5.3, 7.8, 10.7, 14.0, 20.2],
    5.1: [5.0, 7.3, 10.0, 13.0, 18.7],
    5.2: [4.6, 6.7, 9.2, 12.3, 17.3],
    5.3: [4.2, 6.2, 8.5, 11.3, 15.8],
    5.4: [3.8, 5.6, 7.7, 10.3, 14.3],
    5.5: [3.5, 5.1, 7.0, 9.3, 12.9],
    5.6: [3.1, 4.5, 6.2, 8.3, 11.4],
    5.7: [2.7, 4.0, 5.5, 7.2, 9.9],
    5.8: [2.2, 3.1, 4.1, 5.4, 7.1],
    5.9: [1.9, 2.8, 3.8, 5.0, 6.6],
    6.0: [1.7, 2.5, 3.5, 4.6, 6.0],
    6.1: [1.5, 2.3, 3.1, 4.2, 5.5],
    6.2: [1.3, 2.0, 2.8, 3.7, 4.9],
    6.3: [1.1, 1.7, 2.5, 3.3, 4.4],
    6.4: [0.9, 1.5, 2.1, 2.9, 3.8],
    6.5: [0.7, 1.2, 1.8, 2.5, 3.3],
    6.6: [0.4, 0.9, 1.5, 2.1, 2.7],
    6.7: [0.2, 0.7, 1.1, 1.6, 2.2],
    6.8: [0.0, 0.4, 0.8, 1.2, 1.6],
    6.9: [0.0, 0.0, 0.5, 0.8, 1.0],
}

# Penn State Agronomy Guide, part 1, section 2: lb CCE/ac over about 7 inches by exchangeable
# acidity (meq/100 g). To 7.0: 1,000 x acidity. To 6.5: 840 x acidity above 4.0; up to 4.0, and
# below pH 6.5, 2,000; else nothing.
PENNSYLVANIA_JUMP = 4.0

# North Carolina Department of Agriculture and Consumer Services, Agronomic Division (undated web
# pages): acidity = (6.6 - buffer pH) x 4; ton/ac = acidity x (target - pH)/(6.6 - pH) - credit; a
# need below 0.3 ton/ac is none. Earlier lime loses 8 % a month on mineral soil, 16 % on others.
CAROLINA_LEAST_TON_AC = 0.3
CAROLINA_LOSS = {"mineral": 0.08, "mineral-organic": 0.16, "organic": 0.16}

# University of Vermont, lime application table as reproduced: ton/ac to 6.5 by pH to one decimal
# (rows up to 5.5, up to 6.1, up to 6.7, above) and reactive aluminium in whole ppm.
VERMONT_ALUMINIUM_UP_TO = [40, 70, 100, 150, 200, 250, 300]
PPM_PER_CMOL_KG = 10 * 26.982 / 3  # of aluminium; its atomic weight by the IUPAC of 2021
VERMONT_PH_UP_TO = [5.5, 6.1, 6.7]
VERMONT_TON_AC = [
    [2.25, 2.75, 3.0, 3.5, 4, 4.5, 5, 6],
    [1.5, 2.0, 2.25, 2.75, 3.25, 4, 4, 4],
    [0.5, 1, 1, 1, 1, 1, 1, 1],
    [0, 0, 0, 0, 0, 0, 0, 0],
]

# Web page "Raising pH with limestone": lb ground limestone on 100 ft2 to 6.5. Above pH 6.0 a
# straight line from the last row to nothing at 6.5 (derived).
TEXTURE_PH = [4.0, 4.5, 5.0, 5.5, 6.0]
TEXTURE_LB_100FT2 = {
    "sandy loam": [11.5, 9.5, 8, 6, 3],
    "loam": [16, 13.5, 10.5, 8, 4],
    "clay loam": [23, 19.5, 15, 10.5, 5.5],
}
LB_100FT2 = KG_PER_POUND / (100 * 0.3048**2)  # kg/m2

# Southern Farming Systems, Victoria: rise of the pH for 1 t/ha in 10 cm; 0.4 t/ha more above 1.2 %
# organic carbon.
VICTORIA_RISE = {"clay": 0.26, "clay loam": 0.37, "sandy loam": 0.57, "sand": 0.67}

# A&L Great Lakes Laboratories: 1 ton/ac for 0.3 to 0.4 pH, taken at 0.35; at most 2 ton/ac.
WEAKLY_PH_PER_TON, WEAKLY_MOST_TON_AC = 0.35, 2.0

# Soil Science Society of America Journal 74(2), 2010: capacity at equilibrium over that after 30
# minutes = 1.4742 + 0.0023 x the latter. Soil over 6 in: 2,000,000 lb/ac by convention. Limed below
# pH 5.4 in CaCl2 (SERA-6).
TITRATION_SOIL_LB_AC = 2_000_000
TITRATION_TRIGGER = 5.4

# Base saturation, Brazil (two web pages, 2010): t/ha of PRNT 100 over 20 cm = (V2 - V1) T / 100, with
# T = Ca + Mg + K + (H + Al) in cmol/dm3; H + Al by the SMP buffer, powers of the reading rising:
# abstracts in Revista Brasileira de Ciencia do Solo (Paraiba; Pernambuco; 27(2), 2003, Caiua).
SMP_ACIDITY = {
    "base-saturation-brazil-paraiba": [57.108, -13.338, 0.7637],
    "base-saturation-brazil-pernambuco": [38.448, -8.4855, 0.4837],
    "base-saturation-brazil-caiua": [20.1925, -2.6484],
}

# Tropical Agriculture, 1980 (abstract): meq Ca/100 g = 1.5 [Al - RAS (Al + Ca + Mg) / 100], with 2.0
# for 1.5 where that is more than Al; x apparent specific gravity = t/ha.
ALUMINIUM_FACTOR, ALUMINIUM_FACTOR_BEYOND = 1.5, 2.0

# Methods whose target is a share of the charge; no pH decides their need.
TO_A_SATURATION = {*SMP_ACIDITY, "aluminium-saturation"}

# Tables in CaCl2; the others are in water.
IN_CALCIUM_CHLORIDE = {"texture-victoria", "titration"}

METHODS = {
    # id: (what is read, lowest and highest row, table depth in metres, targets)
    "smp-iowa": ("buffer_ph", 5.8, 7.0, 6 * 0.0254, [6.5, 6.9]),
    "ph-uk-arable": ("ph", 5.4, 6.7, 0.20, [6.7]),
    "ph-uk-grass": ("ph", 5.4, 6.5, 0.15, [6.5]),
    "sikora-oregon": ("buffer_ph", 4.8, 6.9, 6 * 0.0254, OREGON_TARGETS),
    "exchangeable-acidity-pennsylvania": ("acidity", -np.inf, np.inf, 7 * 0.0254, [6.5, 7.0]),
    # The source states no depth: nothing is scaled.
    "mehlich-north-carolina": ("buffer_ph", -np.inf, np.inf, None, []),
    "ph-aluminium-vermont": ("ph", -np.inf, np.inf, None, [6.5]),
    "ph-texture": ("ph", 4.0, 6.5, None, [6.5]),
    "texture-victoria": ("ph", -np.inf, np.inf, 0.10, []),
    "weakly-buffered": ("ph", -np.inf, np.inf, None, []),
    "titration": ("ph", -np.inf, np.inf, 6 * 0.0254, []),
    **{method: ("buffer_ph", -np.inf, np.inf, 0.20, []) for method in SMP_ACIDITY},
    "aluminium-saturation": ("aluminium", -np.inf, np.inf, 0.20, []),
}
# What is read beside pH and the reading that leads.
ALSO_READ = {
    "exchangeable-acidity-pennsylvania": ["acidity"],
    "ph-aluminium-vermont": ["aluminium"],
    "texture-victoria": ["organic_carbon"],
    "weakly-buffered": ["cec"],
    "titration": ["buffer_capacity"],
    **{method: ["calcium", "magnesium", "potassium"] for method in SMP_ACIDITY},
    "aluminium-saturation": ["aluminium", "calcium", "magnesium"],
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


def method_ph(job, soil):
    """The soils' pH in the medium of the method."""
    if job.method in IN_CALCIUM_CHLORIDE:
        if job.ph_medium != "CaCl2 0.01 M":
            raise ValueError(f"no conversion from {job.ph_medium} to CaCl2 here")
        return soil["ph"]
    if job.method in TO_A_SATURATION:
        return soil["ph"]
    return water_ph(soil["ph"], job.ph_medium)


def one_texture(job):
    """The texture class of the field; these checks know fields of one class only."""
    (texture,) = set(job.samples.textures)
    return texture


def rounded(values, decimals):
    """Half up; what lies a rounding error below a half is a half."""
    return np.floor((values + 1e-9) * 10**decimals + 0.5) / 10**decimals


def soil_need(job, soil):
    """The needs that go by what a soil is made of, in kg CaCO3/m2 over the table's own depth."""
    ph = method_ph(job, soil)
    to_rise = np.maximum(job.target_ph - ph, 0)
    if job.method == "ph-aluminium-vermont":
        row = np.searchsorted(VERMONT_PH_UP_TO, rounded(ph, 1) - 1e-6)
        ppm = soil["aluminium"] * PPM_PER_CMOL_KG
        column = np.searchsorted(VERMONT_ALUMINIUM_UP_TO, rounded(ppm, 0) - 1e-6)
        return np.array(VERMONT_TON_AC)[row, column] * TON_AC
    if job.method == "ph-texture":
        column = TEXTURE_LB_100FT2[one_texture(job)]
        return np.interp(ph, [*TEXTURE_PH, 6.5], [*column, 0]) * LB_100FT2
    if job.method == "texture-victoria":
        more = np.where(soil["organic_carbon"] > 1.2, 0.4, 0.0)
        return (to_rise / VICTORIA_RISE[one_texture(job)] + more) * T_HA
    if job.method == "weakly-buffered":
        return np.minimum(to_rise / WEAKLY_PH_PER_TON, WEAKLY_MOST_TON_AC) * TON_AC
    capacity = soil["buffer_capacity"]
    if job.capacity_read == "30 min":
        capacity = capacity * (1.4742 + 0.0023 * capacity)
    soil_kg_m2 = TITRATION_SOIL_LB_AC * LB_AC
    if job.soil_kg_m3 is not None:
        soil_kg_m2 = job.soil_kg_m3 * 6 * 0.0254
    return capacity * 1e-6 * to_rise * soil_kg_m2


def by_volume(job, soil, key):
    """A charge in cmol/dm3; what is by mass is multiplied by the bulk density of the soil."""
    unit = job.value_units[key]
    if unit not in ("cmol/dm3", "cmol/kg"):
        raise ValueError(f"no conversion from {unit}")
    return soil[key] * (job.soil_kg_m3 / 1000 if unit == "cmol/kg" else 1)


def saturation_need(job, soil):
    """The needs to a share of the charge, in kg CaCO3/m2 over the table's own depth."""
    if job.method == "aluminium-saturation":
        aluminium, excess = beyond_target(job, soil)
        beyond = ALUMINIUM_FACTOR * excess > aluminium
        return np.where(beyond, ALUMINIUM_FACTOR_BEYOND, ALUMINIUM_FACTOR) * np.maximum(excess, 0) * T_HA
    curve = np.polynomial.Polynomial(SMP_ACIDITY[job.method])
    reading = soil["buffer_ph"]
    if curve.degree() > 1:
        # Beyond where the curve turns its value there is taken.
        reading = np.minimum(reading, curve.deriv().roots()[0])
    bases = sum(by_volume(job, soil, key) for key in ALSO_READ[job.method])
    capacity = bases + np.maximum(curve(reading), 0)
    return np.maximum(job.target_share - bases / capacity, 0) * capacity * T_HA


def beyond_target(job, soil):
    """Aluminium, and what of it lies beyond the target, in cmol/dm3."""
    aluminium, calcium, magnesium = (by_volume(job, soil, key) for key in ALSO_READ[job.method])
    return aluminium, aluminium - job.target_share * (aluminium + calcium + magnesium)


def jumps_near(job, soil, slack):
    """Soils whose readings lie within `slack` of a printed jump."""
    near = np.zeros(len(soil["ph"]), dtype=bool)
    if job.method == "ph-aluminium-vermont":
        ph = method_ph(job, soil)
        for edge in VERMONT_PH_UP_TO:
            near |= np.abs(ph - edge - 0.05) < slack
        for edge in VERMONT_ALUMINIUM_UP_TO:
            near |= np.abs(soil["aluminium"] - (edge + 0.5) / PPM_PER_CMOL_KG) < slack
    if job.method == "texture-victoria":
        near |= np.abs(soil["organic_carbon"] - 1.2) < slack
    if job.method == "aluminium-saturation":
        aluminium, excess = beyond_target(job, soil)
        near |= np.abs(ALUMINIUM_FACTOR * excess - aluminium) < 3 * slack
    return near


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
    if job.method == "sikora-oregon":
        at = list(OREGON_TON_AC)
        by_target = [np.interp(soil["buffer_ph"], at, column) for column in zip(*OREGON_TON_AC.values())]
        return between(job, OREGON_TARGETS, by_target) * TON_AC
    if job.method == "exchangeable-acidity-pennsylvania":
        acidity = soil["acidity"]
        ph = water_ph(soil["ph"], job.ph_medium)
        low = np.where(acidity > PENNSYLVANIA_JUMP, 840 * acidity, np.where(ph < 6.5, 2000.0, 0.0))
        return between(job, [6.5, 7.0], [low, 1000 * acidity]) * LB_AC
    if job.method == "mehlich-north-carolina":
        return carolina_need(job, soil)
    if job.method in TO_A_SATURATION:
        return saturation_need(job, soil)
    if not job.method.startswith("ph-uk"):
        return soil_need(job, soil)
    rows, target = (UK_ARABLE_T_HA, 6.7) if job.method == "ph-uk-arable" else (UK_GRASS_T_HA, 6.5)
    if job.target_ph != target:
        raise ValueError(f"{job.method} has no column for {job.target_ph}")
    return uk_need(water_ph(soil["ph"], job.ph_medium), rows, target)


def between(job, targets, by_target):
    """The need at the job's target, on the straight line between the two printed beside it."""
    if not targets[0] <= job.target_ph <= targets[-1]:
        raise ValueError(f"{job.method} has no column for {job.target_ph}")
    high = next(n for n, target in enumerate(targets) if target >= job.target_ph)
    if targets[high] == job.target_ph:
        return by_target[high]
    part = (job.target_ph - targets[high - 1]) / (targets[high] - targets[high - 1])
    return by_target[high - 1] * (1 - part) + by_target[high] * part


def carolina_need(job, soil):
    ph = water_ph(soil["ph"], job.ph_medium)
    acidity = np.maximum(6.6 - soil["buffer_ph"], 0) * 4
    credit = 0.0
    for rate, months in job.history:
        credit += max(rate * (1 - CAROLINA_LOSS[job.soil_class] * months), 0.0)
    # Soils at and above the target are left to the trigger; their share must not divide by nothing.
    share = np.where(ph < job.target_ph, (job.target_ph - ph) / np.where(ph < job.target_ph, 6.6 - ph, 1), 0)
    need = acidity * share * TON_AC - credit
    return np.where(need < CAROLINA_LEAST_TON_AC * TON_AC, 0.0, need)


def trigger(job):
    """The pH, in the method's medium, at and above which nothing is needed."""
    if job.treat_below is not None:
        return job.treat_below
    if job.method in TO_A_SATURATION:
        return np.inf
    own = TITRATION_TRIGGER if job.method == "titration" else job.target_ph
    return min(own, job.target_ph)


def needs(job, soil):
    """Lime need of each soil in kg CaCO3/m2; `soil` maps column keys to arrays."""
    depth = METHODS[job.method][3]
    need = table_need(job, soil) * (1 if depth is None else job.limed_depth_m / depth)
    return np.where(method_ph(job, soil) >= trigger(job), 0.0, need)


def beyond_table(job, soil):
    """Where the reading lies below the lowest row, above the highest, and too near to tell."""
    reads, lowest, highest, _, _ = METHODS[job.method]
    water = method_ph(job, soil)
    reading = water if reads == "ph" else soil[reads]
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
