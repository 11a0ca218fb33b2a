"""Headline results of the example plants and of variants of them: our own numbers, so that none moves unseen."""

import json
import pathlib
import subprocess

FOLDER = pathlib.Path(__file__).parent
SCENARIOS = FOLDER.parents[1] / "apps" / "scenarios"
#: Two systems with a fixed number of cells: what moves here is not the cutting.
STORE = FOLDER.parent / "support" / "store.toml"
TABLE = FOLDER / "headlines.csv"
HEADER = "case,quantity,value"

#: A case: the file, and what is changed in it.
CASES = {
    "cold store": ("cold_store.toml",),
    "cold store, mountain winter": ("cold_store.toml", "site.altitude=2400 m", "site.temperature=-20 degC"),
    "cold store, no mixing": ("cold_store.toml", "mixing.molecular=false", "mixing.buoyant=false", "mixing.shear=false"),
    "cold store, vent shut at target": ("cold_store.toml", "riser.Store.vent.'end vent'.open={ until = \"target\" }"),
    "cold store, timed vent": ("cold_store.toml", 'riser.Dock.vent.0.open={ every = "2 h", for = "30 min" }'),
    "cold store, large leak": ("cold_store.toml", "riser.Dock.leak.0.loss=8 psi"),
    "cold store, a year": ("cold_store.toml", "duration=365 d"),
    "freezer": ("freezer.toml",),
    "preaction": ("preaction_cylinders.toml",),
    "preaction, until empty": ("preaction_cylinders.toml", "duration=6 d"),
    "training rig": ("training_rig.toml",),
    "warehouse": ("warehouse_large_vents.toml",),
    "warehouse, smaller vents": (
        "warehouse_large_vents.toml", "riser.Hall A.vent.end vent.diameter=0.03 in",
        "riser.Hall B.vent.end vent.diameter=0.03 in", "duration=30 d",
    ),
    "fixed cells": (STORE,),
    "fixed cells, no mixing": (STORE, "mixing.molecular=false", "mixing.buoyant=false", "mixing.shear=false"),
}


def headlines_of(program, file, *settings):
    command = [program, "predict", SCENARIOS / file, "--json", "-", "--quiet", "--skip-extras"]
    for setting in settings:
        command += ["--set", setting]
    done = subprocess.run(command, capture_output=True, text=True, timeout=120)
    assert done.returncode in (0, 1), done.stderr
    run = json.loads(done.stdout)
    for riser in run["risers"]:
        yield f"{riser['name']}: fill time [s]", riser["fill_time_s"]
        yield f"{riser['name']}: time to target [s]", riser["time_to_target_s"]
        yield f"{riser['name']}: worst oxygen at the end", max(max(p["oxygen"]) for p in riser["final"]["pipes"])
        yield f"{riser['name']}: pressure at the end [Pa]", riser["final"]["pressure_pa"]
    for key in ("running_s", "air_s", "starts", "nitrogen_std_m3"):
        yield f"source: {key}", run["source"][key]


def rows(program):
    """(case, quantity, value as text) of all cases; six digits are kept."""
    for case, arguments in CASES.items():
        for quantity, value in headlines_of(program, *arguments):
            yield case, quantity, "none" if value is None else f"{value:.6g}"
