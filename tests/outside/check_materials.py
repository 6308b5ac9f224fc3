#!/usr/bin/env python3
"""Holds what a material is worth against molar masses of another package and schemes typed again.

    check_materials.py PROGRAM FOLDER

Runs the US sample field with invented materials: each compound pure, mixtures of them, and random
sieve analyses by every fineness scheme, written in each of the three ways. Molar masses are those of
the Python package molmass; the factors of the schemes are typed here a second time.
"""

import json
import random
import shutil
import subprocess
import sys
from pathlib import Path

from molmass import Formula

FIELD = Path(__file__).parents[2] / "sample_fields" / "heron_flat"
STATED = 'effective = "60 % as received"'

# The program's standard atomic weights are abridged to five figures.
MOLAR_TOLERANCE = 2e-4
# Sieve figures are written with two decimals of a percent, exactly.
SUM_TOLERANCE = 1e-9

# Moles of CaCO3 that one mole neutralises as much as, and a kind that may hold the compound.
COMPOUNDS = {
    "CaCO3": (1, "calcitic limestone"),
    "MgCO3": (1, "slag"),  # magnesite; more than any limestone
    "CaMg(CO3)2": (2, "dolomitic limestone"),
    "CaO": (1, "burnt lime"),
    "MgO": (1, "burnt lime"),
    "Ca(OH)2": (1, "hydrated lime"),
    "Mg(OH)2": (1, "hydrated lime"),
    "CaSiO3": (1, "slag"),
    "MgSiO3": (1, "slag"),
}
INERT = ["CaSO4·2H2O", "CaSO4", "CaCl2", "Ca(NO3)2", "SiO2", "insoluble"]
ACIDIFYING = ["S", "Al2(SO4)3"]

# Class factors from the coarsest class to the finest, by the publications that README and tables
# name; `iowa` weighs what passes 4, 8 and 60 mesh by 0.1, 0.3 and 0.6.
SCHEMES = {
    ("iowa", None): (["4", "8", "60"], [0, 0.1, 0.4, 1]),
    ("new-york", "1 year"): (["20", "60", "100"], [0, 0.4, 0.8, 1]),
    ("rnv-10-50", None): (["10", "50"], [0, 0.5, 1]),
    ("michigan", None): (["8", "60"], [0, 0.5, 1]),
    ("nebraska", "3 years"): (["8", "50"], [0.1, 0.4, 1]),
    ("missouri", None): (["8", "40", "60"], [0, 0.25, 0.6, 1]),
    ("ohio-minnesota", None): (["8", "20", "60"], [0, 0.2, 0.6, 1]),
    ("illinois", "1 year"): (["8", "30", "60"], [0.05, 0.2, 0.5, 1]),
    ("illinois", "4 years"): (["8", "30", "60"], [0.15, 0.45, 1, 1]),
    ("brazil", None): (["2 mm", "0.84 mm", "0.3 mm"], [0, 0.2, 0.6, 1]),
    ("western-australia", None): (
        ["1 mm", "0.5 mm", "0.25 mm", "0.125 mm"],
        [0.2, 0.5, 1, 1, 1],
    ),
}


class Runs:
    """Runs of the program on one field with another material each."""

    def __init__(self, program, folder):
        self.program = program
        self.folder = Path(folder)
        self.folder.mkdir(parents=True, exist_ok=True)
        for name in ["boundary.geojson", "samples.csv", "keep_out.geojson"]:
            if (FIELD / name).exists():
                shutil.copy(FIELD / name, self.folder)
        self.text = (FIELD / "job.toml").read_text(encoding="utf-8")
        if STATED not in self.text:
            raise ValueError(f"{STATED} is not in the job")
        self.count = 0

    def run(self, kind, material):
        self.count += 1
        job = self.text.replace('kind = "calcitic limestone"', f'kind = "{kind}"', 1)
        lines = [line for line in job.split("\n") if not line.startswith("moisture")]
        job = "\n".join(material if line.startswith(STATED) else line for line in lines)
        (self.folder / "job.toml").write_text(job, encoding="utf-8")
        return subprocess.run(
            [self.program, "prescribe", "job.toml", "--json", "--allow-unverified"],
            cwd=self.folder,
            capture_output=True,
            text=True,
            check=False,
        )

    def material(self, kind, material):
        done = self.run(kind, material)
        if done.returncode != 0:
            raise AssertionError(f"{material}\n{done.stderr}")
        return json.loads(done.stdout)["material"]

    def refused(self, kind, material, words):
        done = self.run(kind, material)
        if done.returncode != 1 or words not in " ".join(done.stderr.split()):
            raise AssertionError(f"not refused with `{words}`: {material}\n{done.stderr}")


def made_of(parts):
    compounds = ", ".join(f'"{formula}" = "{part} %"' for formula, part in parts.items())
    oxides = 'oxides = "free"\n' if "CaO" in parts or "MgO" in parts else ""
    return (
        f"composition = {{ {compounds} }}\n{oxides}"
        'composition_basis = "as received"\nfineness = { scheme = "cce-only" }'
    )


def cce(parts):
    """Percent of CaCO3, from molar masses."""
    calcite = Formula("CaCO3").mass
    return sum(
        part * COMPOUNDS[formula][0] * calcite / Formula(formula).mass
        for formula, part in parts.items()
        if formula in COMPOUNDS
    )


def near(found, expected, tolerance, what):
    if not abs(found - expected) <= tolerance * max(abs(expected), 1e-12):
        raise AssertionError(f"{what}: {found} is not {expected}")


def check_compositions(runs):
    for formula, (_, kind) in COMPOUNDS.items():
        found = runs.material(kind, made_of({formula: 100}))["analysis"]["cce"]
        near(100 * found, cce({formula: 100}), MOLAR_TOLERANCE, formula)
    mixed = random.Random(20261129)
    for _ in range(6):
        parts = {"CaO": mixed.randint(1, 30), "MgCO3": mixed.randint(1, 20)}
        parts["CaMg(CO3)2"] = mixed.randint(1, 20)
        parts[mixed.choice(INERT)] = mixed.randint(1, 20)
        material = runs.material("cement kiln dust", made_of(parts))
        near(100 * material["analysis"]["cce"], cce(parts), MOLAR_TOLERANCE, str(parts))
    for formula in INERT:
        runs.refused("calcitic limestone", made_of({formula: 100}), "is not a liming material")
    for formula in ACIDIFYING:
        runs.refused("calcitic limestone", made_of({"CaCO3": 90, formula: 5}), "in a liming material")


def fineness_words(way, scheme, horizon, sieves, parts):
    """The analysis with hundredths of a percent in each class, written in one of three ways."""
    if way == "passing":
        figures = {sieve: sum(parts[at + 1 :]) for at, sieve in enumerate(sieves)}
    elif way == "between":
        names = [f"over {sieves[0]}"]
        names += [f"{coarse}-{fine}" for coarse, fine in zip(sieves, sieves[1:])]
        names.append(f"through {sieves[-1]}")
        figures = dict(zip(names, parts))
    else:
        figures = dict(zip([*sieves, "pan"], parts))
    table = ", ".join(f'"{name}" = "{part / 100:.2f} %"' for name, part in figures.items())
    over = f'horizon = "{horizon}", ' if horizon else ""
    return (
        'cce = "90 % as received"\n'
        f'fineness = {{ scheme = "{scheme}", {over}{way} = {{ {table} }} }}'
    )


def check_schemes(runs):
    invented = random.Random(20261130)
    for (scheme, horizon), (sieves, factors) in SCHEMES.items():
        cuts = sorted(invented.randint(0, 10_000) for _ in sieves)
        parts = [high - low for low, high in zip([0, *cuts], [*cuts, 10_000])]
        expected = 0.9 * sum(f * part for f, part in zip(factors, parts)) / 10_000
        for way in ["passing", "between", "retained"]:
            words = fineness_words(way, scheme, horizon, sieves, parts)
            found = runs.material("calcitic limestone", words)
            near(found["effective_as_spread"], expected, SUM_TOLERANCE, words)
            near(found["analysis"]["fineness"], expected / 0.9, SUM_TOLERANCE, words)


def main():
    runs = Runs(Path(sys.argv[1]).resolve(), sys.argv[2])
    check_compositions(runs)
    check_schemes(runs)
    print(f"{runs.count} materials, {len(COMPOUNDS)} compounds, {len(SCHEMES)} sets of factors")


if __name__ == "__main__":
    main()
