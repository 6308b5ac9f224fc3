"""Reads a job file, its boundary and its samples into plain numbers in SI units.

Written from the description of the job file alone and shares nothing with the program.
Only what these checks need is read; a key or a unit that is not known here is an error.
"""

import csv
import json
import re
import tomllib
from dataclasses import dataclass
from pathlib import Path

KG_PER_POUND = 0.45359237  # exact; NIST Special Publication 811 (2008), appendix B
M2_PER_ACRE = 4046.8564224  # international acre: 43,560 square feet of 0.3048 m
KG_PER_TON = 2000 * KG_PER_POUND
FT3 = 0.3048**3

LENGTH = {"m": 1.0, "cm": 0.01, "km": 1000.0, "ft": 0.3048, "in": 0.0254, "mi": 1609.344}
MASS = {"kg": 1.0, "t": 1000.0, "lb": KG_PER_POUND, "ton": KG_PER_TON}
VOLUME = {"m3": 1.0, "ft3": FT3, "yd3": 27 * FT3}
DENSITY = {"kg/m3": 1.0, "t/m3": 1000.0, "lb/ft3": KG_PER_POUND / FT3}
RATE = {
    "kg/ha": 1e-4,
    "t/ha": 0.1,
    "lb/ac": KG_PER_POUND / M2_PER_ACRE,
    "ton/ac": KG_PER_TON / M2_PER_ACRE,
}
# Headers under which a column is found where the job does not name it.
HEADERS = {
    "ph": ["pH", "ph"],
    "buffer_ph": ["BpH", "buffer_ph"],
    "acidity": ["acidity"],
    "aluminium": ["aluminium"],
    "organic_carbon": ["organic_carbon"],
    "buffer_capacity": ["buffer_capacity"],
    "cec": ["CEC"],
    "calcium": ["calcium"],
    "magnesium": ["magnesium"],
    "potassium": ["potassium"],
    "lon": ["lon"],
    "lat": ["lat"],
}


def quantity(text, units):
    """A text such as `40 ft` in SI units."""
    match = re.fullmatch(r"\s*([-+]?[0-9.]+)\s*(\S.*?)\s*", text)
    if not match or match.group(2) not in units:
        raise ValueError(f"`{text}` is not a number with one of the units {sorted(units)}")
    return float(match.group(1)) * units[match.group(2)]


def share(text):
    return quantity(text, {"%": 0.01})


@dataclass
class Samples:
    """Readings as measured, one entry a sample; a blank reading is None."""

    ids: list
    lons: list
    lats: list
    readings: dict  # column key -> list
    textures: list | None  # the class of each sample, where the table has them


@dataclass
class Job:
    """What the checks need of a job, in SI units."""

    units: str
    boundary: dict  # GeoJSON geometries, as one list of polygons' rings
    samples: Samples
    ph_medium: str
    buffer_blank_above: float | None
    target_ph: float | None
    target_share: float | None  # of the charge, where the target is a saturation
    treat_below: float | None
    method: str
    history: list  # (kg/m2 of effective lime, whole months to sampling)
    soil_class: str | None
    capacity_read: str | None  # after what time a lime buffer capacity was read
    soil_kg_m3: float | None
    value_units: dict  # column key -> unit, where the job states it
    limed_depth_m: float
    effective: float
    rates: list | None  # kg/m2, ascending, where the machine has a list
    min_rate: float  # kg/m2
    max_rate: float
    step: float | None
    below_min: str
    cell_m: float
    heading_deg: float
    payload_kg: float
    box_kg: float | None
    price: float | None  # money a kilogram
    price_at: str | None
    distance_m: float | None
    truck_kg: float | None
    haul_cost: float | None  # money a kilogram and metre
    overlap: float
    pile_loss: float
    whole_trucks: bool

    @property
    def area_unit_m2(self):
        return M2_PER_ACRE if self.units == "us" else 10_000.0

    @property
    def mass_unit_kg(self):
        return KG_PER_TON if self.units == "us" else 1000.0

    @property
    def rate_unit(self):
        return self.mass_unit_kg / self.area_unit_m2

    @property
    def load_kg(self):
        """A spreader load: the smaller of weight and volume."""
        return self.payload_kg if self.box_kg is None else min(self.payload_kg, self.box_kg)


def read_polygons(path):
    """The polygons of a GeoJSON file, each a list of rings of (lon, lat)."""
    data = json.loads(Path(path).read_text(encoding="utf-8"))
    if data["type"] == "FeatureCollection":
        geometries = [feature["geometry"] for feature in data["features"]]
    else:
        geometries = [data["geometry"] if data["type"] == "Feature" else data]
    polygons = []
    for geometry in geometries:
        polygons += geometry["coordinates"] if geometry["type"] == "MultiPolygon" else [geometry["coordinates"]]
    return [[[(x, y) for x, y, *_ in ring] for ring in rings] for rings in polygons]


def read_samples(path, key, columns):
    """The samples of a CSV file; `columns` maps column keys to headers."""
    with open(path, encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    names = {}
    for column, headers in HEADERS.items():
        found = [columns[column]] if column in columns else [h for h in headers if h in rows[0]]
        if found:
            names[column] = found[0]

    def number(row, column):
        text = row[names[column]].strip()
        return float(text) if text else None

    places = ("lon", "lat")
    readings = {c: [number(row, c) for row in rows] for c in names if c not in places}
    return Samples(
        ids=[row[key] for row in rows],
        lons=[number(row, "lon") for row in rows],
        lats=[number(row, "lat") for row in rows],
        readings=readings,
        textures=[row["texture"] for row in rows] if "texture" in rows[0] else None,
    )


def whole_months(first, last):
    """Months that are over between two days."""
    return 12 * (last.year - first.year) + last.month - first.month - (last.day < first.day)


def read_price(text, units):
    number, per = text.split()
    return float(number) / units[per.partition("/")[2]]


def target_share(target):
    """The base or aluminium saturation that is limed to, where the target is one."""
    found = [target[key] for key in ("base_saturation", "aluminium_saturation") if key in target]
    return share(found[0]) if found else None


def read_job(path):
    """Reads the job file and what it points at."""
    path = Path(path)
    job = tomllib.loads(path.read_text(encoding="utf-8"))
    samples, spreader, material = job["samples"], job["spreader"], job["material"]
    haul, order = job.get("haul", {}), job.get("order", {})

    effective, basis = re.fullmatch(r"(.*%)\s*(dry|as received)", material["effective"]).groups()
    effective = share(effective)
    if basis == "dry":
        effective *= 1 - share(material["moisture"])
    rates = step = None
    if "rates" in spreader:
        rates = sorted(quantity(rate, RATE) for rate in spreader["rates"])
        rates = rates if rates[0] == 0 else [0.0, *rates]
        min_rate, max_rate = rates[1], rates[-1]
    else:
        min_rate, max_rate = quantity(spreader["min_rate"], RATE), quantity(spreader["max_rate"], RATE)
        step = quantity(spreader["step"], RATE)
    box = None
    if "box_volume" in spreader and "bulk_density" in material:
        box = quantity(spreader["box_volume"], VOLUME) * quantity(material["bulk_density"], DENSITY)
    grid = job.get("grid", {})
    return Job(
        units=job["units"],
        boundary=read_polygons(path.parent / job["field"]["boundary"]),
        samples=read_samples(path.parent / samples["file"], samples["key"], samples.get("columns", {})),
        ph_medium=samples["ph_measured_in"],
        buffer_blank_above=samples.get("buffer_blank_above"),
        target_ph=job["target"].get("ph"),
        target_share=target_share(job["target"]),
        treat_below=job["target"].get("treat_below"),
        method=job["need"]["method"],
        history=[
            (quantity(past["rate"], RATE), whole_months(past["applied"], job["dates"]["sampled"]))
            for past in job.get("history", [])
        ],
        soil_class=job["need"].get("soil_class"),
        capacity_read=samples.get("buffer_capacity_read"),
        soil_kg_m3=quantity(samples["bulk_density"], DENSITY) if "bulk_density" in samples else None,
        value_units=samples.get("units", {}),
        limed_depth_m=quantity(job["need"]["limed_depth"], LENGTH),
        effective=effective,
        rates=rates,
        min_rate=min_rate,
        max_rate=max_rate,
        step=step,
        below_min=spreader.get("below_min", "nearest"),
        cell_m=quantity(grid.get("cell", spreader["pass_spacing"]), LENGTH),
        heading_deg=quantity(grid.get("heading", "0 deg"), {"deg": 1.0}),
        payload_kg=quantity(spreader["payload"], MASS),
        box_kg=box,
        price=read_price(material["price"], MASS) if "price" in material else None,
        price_at=material.get("price_at"),
        distance_m=quantity(haul["one_way_distance"], LENGTH) if haul else None,
        truck_kg=quantity(haul["truck_payload"], MASS) if "truck_payload" in haul else None,
        haul_cost=read_price(haul["cost"], {"ton-mile": KG_PER_TON * 1609.344, "t-km": 1e6})
        if "cost" in haul
        else None,
        overlap=share(order.get("overlap_allowance", "0 %")),
        pile_loss=share(order.get("pile_loss", "0 %")),
        whole_trucks=order.get("whole_trucks", True),
    )
