"""Worked examples as scenario files run by the program: one function a law of the neighbouring data.csv files."""

import csv
import functools
import json
import math
import pathlib
import subprocess
import tempfile

HERE = pathlib.Path(__file__).resolve().parent
R, ATMOSPHERE, FOOT, POUND = 8.314462618, 101325.0, 0.3048, 0.45359237
AIR_OXYGEN, AIR_MASS, NITROGEN_MASS = 0.209476, 28.965114e-3, 28.0134e-3
CHOKED = math.sqrt(1.4) * (2 / 2.4) ** 3  # of the nozzle function at 1.4
STANDARD = ATMOSPHERE / (R * 293.15)  # [mol/m3], at the program's reference


class Runner:
    """Runs `oxfade predict`; the same run is not done twice."""

    def __init__(self, program):
        self.program = program
        self.run = functools.lru_cache(maxsize=None)(self._run)

    def _run(self, scenario, changes):
        """Result of a scenario of this folder with some keys set, and its time series."""
        sets = [argument for key, value in changes for argument in ("--set", f"{key}={value}")]
        with tempfile.TemporaryDirectory() as folder:
            table = pathlib.Path(folder) / "series.csv"
            command = [self.program, "predict", HERE / scenario, "--quiet", "--skip-extras", "--json", "-", "--csv", table, *sets]
            done = subprocess.run(command, capture_output=True, text=True)
            if done.returncode not in (0, 1):
                raise RuntimeError(f"{scenario} {changes}: {done.stderr}")
            with table.open(newline="") as file:
                series = list(csv.DictReader(file))
        return json.loads(done.stdout), series

    def riser(self, scenario, **changes):
        return self.run(scenario, tuple((key.replace("__", "."), value) for key, value in changes.items()))[0]["risers"][0]

    def series(self, scenario, **changes):
        return self.run(scenario, tuple((key.replace("__", "."), value) for key, value in changes.items()))[1]


def moles(pressure, volume, temperature):
    return pressure * volume / (R * temperature)


def diameter(area):
    return f"{math.sqrt(4 * area / math.pi)!r} m"


def exchanges(runner, scenario, volume, changes):
    """Volumes of gas that leave until all of it is down to the wanted oxygen fraction."""
    time = runner.riser(scenario, **changes)["time_to_target_s"]
    vented = runner.riser(scenario, **changes, duration=f"{time!r} s")["vented_std_m3"]
    return vented * STANDARD / moles(3e5, volume, 293.15)


def target(oxygen):
    return f"{100 * (1 - oxygen)!r} %"


def vessel_exchanges(runner, purity, oxygen):
    return exchanges(runner, "sweep.toml", 0.1, {"source__purity": f"{100 * purity!r} %", "target": target(oxygen)})


def sweep(runner, row):
    if "remaining" in row:
        return vessel_exchanges(runner, 1.0, float(row["remaining"]) * AIR_OXYGEN) / float(row["air_changes_per_s"]) / 60
    found = vessel_exchanges(runner, float(row["purity"]), float(row["oxygen"]))
    if not row.get("volume_m3"):
        return found
    return found * float(row["volume_m3"]) / (FOOT**3 if row["unit"] == "ft3" else 1.0)


def cells_in_series(runner, row):
    changes = {"target": target(float(row["remaining"]) * AIR_OXYGEN), "riser__R__pipe__pipe__cells": row["cells"]}
    return exchanges(runner, "tanks_in_series.toml", math.pi / 4 * 0.1**2 * 12.5, changes)


def cycle_changes(row, filled_first):
    low, high = float(row["low_pa"]), float(row["high_pa"])
    begin = low if filled_first else high
    return {"site__pressure": f"{0.1 * low!r} Pa", "site__temperature": f"{row['temperature_k']} K",
            "source__delivery_pressure": f"{20 * high!r} Pa",
            "riser__R__set_pressure": f"{high!r} Pa", "riser__R__initial_pressure": f"{begin!r} Pa",
            "riser__R__supply__low": f"{low!r} Pa", "riser__R__supply__high": f"{high!r} Pa",
            "riser__R__vent__vent__open__low": f"{low!r} Pa", "riser__R__vent__vent__open__high": f"{high!r} Pa"}  # fmt: skip


def supplied(runner, row, filled_first):
    """Nitrogen [mol] for the fillings until the oxygen fraction is reached, the last one completed."""
    given = cycle_changes(row, filled_first) | {"target": target(float(row["oxygen"]))}
    time = runner.riser("cycles.toml", **given)["time_to_target_s"]
    # A filling takes a second, the letting down after it far more than ten.
    return STANDARD * runner.riser("cycles.toml", **given, duration=f"{time + 10!r} s")["supplied_std_m3"]


def cycles(runner, row, filled_first):
    span = float(row["high_pa"]) - float(row["low_pa"])
    return round(supplied(runner, row, filled_first) / moles(span, 1.0, float(row["temperature_k"])))


def nitrogen(runner, row, filled_first):
    used = supplied(runner, row, filled_first)
    if row["unit"] == "lb":
        return used * float(row["volume_m3"]) * NITROGEN_MASS / POUND
    return used / moles(ATMOSPHERE, 1.0, float(row["temperature_k"]))


def oxygen_after_cycles(runner, row):
    """The level that oxygen stands at after the given number of fillings."""
    levels = []
    for line in runner.series("cycles.toml", **cycle_changes(row, True)):
        oxygen = float(line["oxygen"])
        if not levels or abs(oxygen / levels[-1] - 1) > 1e-6:
            levels.append(oxygen)
    return 100 * levels[int(row["cycles"])]


def let_down(runner, volume, area, start, end, outside, temperature):
    """Time [s] until the tank has come down, from the time series."""
    longest = 1.1 * volume / (area * CHOKED) / math.sqrt(R * temperature / AIR_MASS) * math.log(start / end)
    series = runner.series(
        "let_down.toml", duration=f"{longest!r} s", site__pressure=f"{outside!r} Pa", site__temperature=f"{temperature!r} K",
        riser__R__set_pressure=f"{start!r} Pa", riser__R__initial_pressure=f"{start!r} Pa",
        riser__R__supply__low=f"{(end + outside) / 2!r} Pa", riser__R__supply__high=f"{start!r} Pa",
        riser__R__pipe__tank__volume=f"{volume!r} m3", riser__R__vent__hole__diameter=diameter(area),
    )  # fmt: skip
    points = [(float(line["time_s"]), float(line["pressure_pa"])) for line in series]
    for (t, p), (u, q) in zip(points, points[1:]):
        if q <= end:
            return t + (u - t) * math.log(p / end) / math.log(p / q)
    raise RuntimeError("the tank does not come down")


def blow_down(runner, row):
    return let_down(runner, *(float(row[key]) for key in ("volume_m3", "area_m2", "upstream_pa", "end_pa")),
                    ATMOSPHERE, float(row["temperature_k"]))  # fmt: skip


def pump_down(runner, row):
    temperature = float(row["temperature_k"])
    area = float(row["flow_m3_s"]) / (CHOKED * math.sqrt(R * temperature / AIR_MASS))
    return let_down(runner, float(row["volume_m3"]), area, float(row["start_pa"]), float(row["end_pa"]), 1.0, temperature) / 60


def dead_end(runner, row):
    """Per cent of the oxygen of the branch that has left."""
    diffusivity = 1.13e-5 * 293.15**1.724 * 1e-4 * ATMOSPHERE / 3e5
    riser = runner.riser("dead_end.toml", duration=f"{float(row['fourier']) / diffusivity!r} s")
    oxygen = riser["final"]["pipes"][1]["oxygen"]
    return 100 * (1 - sum(oxygen) / len(oxygen) / AIR_OXYGEN)


def fill(runner, row):
    riser = runner.riser("fill.toml", source__air_flow=f"{row['flow_m3_s']} m3/s",
                         riser__R__pipe__all__volume=f"{row['volume_m3']} m3")  # fmt: skip
    return riser["fill_time_s"] / 60


LAWS = {
    "engine::predict, sweep": ("sweep.toml", sweep),
    "engine::predict, cells in series": ("tanks_in_series.toml", cells_in_series),
    "engine::predict, oxygen after cycles": ("cycles.toml", oxygen_after_cycles),
    "engine::predict, pressure cycles": ("cycles.toml", lambda runner, row: cycles(runner, row, True)),
    "engine::predict, vacuum cycles": ("cycles.toml", lambda runner, row: cycles(runner, row, False)),
    "engine::predict, nitrogen by pressure cycles": ("cycles.toml", lambda runner, row: nitrogen(runner, row, True)),
    "engine::predict, nitrogen by vacuum cycles": ("cycles.toml", lambda runner, row: nitrogen(runner, row, False)),
    "engine::predict, blow-down": ("let_down.toml", blow_down),
    "engine::predict, pump-down": ("let_down.toml", pump_down),
    "engine::predict, dead end": ("dead_end.toml", dead_end),
    "engine::predict, fill": ("fill.toml", fill),
}


def rows():
    """(source, row) of every published number that one of these laws gives."""
    for path in sorted(HERE.parent.glob("*/data.csv")):
        with path.open(newline="") as file:
            for row in csv.DictReader(line for line in file if not line.startswith("#")):
                if row["law"] in LAWS:
                    yield path.parent.name, row
