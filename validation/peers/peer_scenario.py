"""Reads a scenario file for the peer model: quantities to SI, names to plain objects. Only what the peer supports."""

import csv
import math
import pathlib
import re
import tomllib
from dataclasses import dataclass, field

G0 = 9.80665
UNITS = {
    "m": 1.0, "mm": 1e-3, "cm": 1e-2, "km": 1e3, "in": 0.0254, "inch": 0.0254, "ft": 0.3048, '"': 0.0254, "'": 0.3048,
    "s": 1.0, "min": 60.0, "h": 3600.0, "d": 86400.0,
    "Pa": 1.0, "kPa": 1e3, "MPa": 1e6, "bar": 1e5, "mbar": 100.0, "psi": 6894.757293168361, "psia": 6894.757293168361, "atm": 101325.0,
    "inHg": 3386.389, "L": 1e-3, "l": 1e-3, "gal": 231 * 0.0254**3, "cfm": 0.3048**3 / 60, "cfh": 0.3048**3 / 3600,
    "mol": 1.0, "W": 1.0, "kW": 1e3, "kg": 1.0, "g": 1e-3, "%": 0.01, "K": 1.0,
}  # fmt: skip


def unit_factor(text):
    factor = 1.0
    for index, part in enumerate(text.replace(" ", "").split("/")):
        match = re.fullmatch(r"([^\d^]+)\^?(\d*)", part)
        factor *= (UNITS[match[1]] ** int(match[2] or 1)) ** (1 if index == 0 else -1)
    return factor


def quantity(text, site_pressure=None):
    """A quantity in SI units; a gauge pressure needs the site's air pressure."""
    number, unit = re.fullmatch(r"\s*([-+.\deE]+)\s*(.*?)\s*", text).groups()
    value = float(number)
    if unit == "degC":
        return value + 273.15
    if unit == "degF":
        return (value + 459.67) / 1.8
    if unit.endswith("g") and unit[:-1] in ("psi", "bar", "kPa", "Pa", "mbar", "MPa"):
        return value * UNITS[unit[:-1]] + site_pressure
    return value * unit_factor(unit)


@dataclass
class Hole:
    area: float  # effective [m2]
    cell: int = -1


@dataclass
class Vent(Hole):
    name: str = ""
    policy: str = "always"  # always | until | target | timed | between
    values: tuple = ()


@dataclass
class Cell:
    pipe: int
    volume: float
    length: float = 0.0  # zero: no geometry
    bore: float = 0.0
    exchange: float | None = None


@dataclass
class Riser:
    name: str
    set_pressure: float
    fill_limit: float
    rest: float
    initial_gas: str
    initial_pressure: float
    fill_area: float
    supply_kind: str
    supply_area: float
    low: float = 0.0
    high: float = 0.0
    pipes: list = field(default_factory=list)  # names
    cells: list = field(default_factory=list)
    links: list = field(default_factory=list)  # (cell, cell, fixed exchange or None)
    vents: list = field(default_factory=list)
    leaks: list = field(default_factory=list)

    @property
    def volume(self):
        return sum(cell.volume for cell in self.cells)


@dataclass
class Scenario:
    title: str
    duration: float
    target: float
    pressure: float
    temperature: float
    reference: tuple
    source: dict
    risers: list
    molecular: bool


def air_pressure(altitude):
    """U.S. Standard Atmosphere 1976, lowest layer."""
    geopotential = 6356766.0 * altitude / (6356766.0 + altitude)
    return 101325.0 * (1 - 0.0065 * geopotential / 288.15) ** (G0 * 0.0289644 / (8.31432 * 0.0065))


def hole_area(table):
    return table.get("coefficient", 0.8) * math.pi / 4 * quantity(table["diameter"]) ** 2


def pipe_bore(table):
    """Bore as given, or from the rows of the standard that this folder's neighbour holds."""
    if "bore" in table:
        return quantity(table["bore"])
    standard = pathlib.Path(__file__).resolve().parent.parent / "asme_b36_10m_2004" / "data.csv"
    with standard.open(newline="") as file:
        rows = {row["id"]: float(row["published"]) for row in csv.DictReader(file)}
    size = table["nominal"].replace("in", "").strip().replace(" ", "-") + "-" + table["schedule"]
    return 0.0254 * (rows["D-" + size] - 2 * rows["W-" + size])


def read_riser(table, site):
    def q(text):
        return quantity(text, site)

    supply = table["supply"]
    riser = Riser(
        name=table["name"], set_pressure=q(table["set_pressure"]), fill_limit=q(table.get("fill_limit", "30 min")),
        rest=q(table.get("rest", "0 s")), initial_gas=table.get("initial_gas", "air"),
        initial_pressure=q(table.get("initial_pressure", "0 psig")), fill_area=hole_area(table["fill"]),
        supply_kind=supply["kind"], supply_area=hole_area(supply),
        low=q(supply["low"]) if "low" in supply else 0.0, high=q(supply["high"]) if "high" in supply else 0.0,
    )  # fmt: skip
    last = {}
    for index, pipe in enumerate(table["pipe"]):
        count, exchange = pipe.get("cells", 1), pipe.get("exchange")
        exchange = None if exchange is None else q(exchange)
        if "volume" in pipe:
            shape = (q(pipe["volume"]) / count, 0.0, 0.0)
        else:
            bore, length = pipe_bore(pipe), q(pipe["length"]) / count
            shape = (math.pi / 4 * bore**2 * length, length, bore)
        first = len(riser.cells)
        riser.cells += [Cell(index, *shape, exchange) for _ in range(count)]
        riser.pipes.append(pipe["name"])
        if index > 0:
            parent = last[pipe.get("from", riser.pipes[index - 1])]
            riser.links.append((parent, first, exchange))
        riser.links += [(cell, cell + 1, exchange) for cell in range(first, first + count - 1)]
        last[pipe["name"]] = first + count - 1
    for link in table.get("link", []):
        riser.links.append((last[link["between"][0]], last[link["between"][1]], None))
    for vent in table.get("vent", []):
        policy, values = vent.get("open", "always"), ()
        if isinstance(policy, dict):
            if "until" in policy:
                target = policy["until"] == "target"
                policy, values = ("target", ()) if target else ("until", (q(policy["until"]),))
            elif "every" in policy:
                policy, values = "timed", (q(policy["every"]), q(policy["for"]))
            else:
                policy, values = "between", (q(policy["high"]), q(policy["low"]))
        riser.vents.append(Vent(hole_area(vent), last[vent["at"]], vent["name"], policy, values))
    return riser, last


def read_scenario(path):
    with open(path, "rb") as file:
        table = tomllib.load(file)
    unsupported = [key for key in ("action",) if key in table]
    unsupported += [key for riser in table["riser"] for key in ("low_point",) if key in riser]
    if unsupported or isinstance(table["site"].get("temperature"), dict):
        raise NotImplementedError(f"the peer model has no {unsupported or 'changing temperature'}")
    site = table.get("site", {})
    pressure = air_pressure(quantity(site["altitude"])) if "altitude" in site else quantity(site.get("pressure", "101.325 kPa"))
    reference = site.get("reference", {})
    source = dict(table["source"])
    for key in ("nitrogen_flow", "air_flow", "content", "purity", "delivery_pressure"):
        if key in source:
            source[key] = quantity(source[key], pressure)
    receiver = dict(source.get("receiver", {}))
    for key in ("volume", "start", "stop", "air_below", "initial_pressure"):
        if key in receiver:
            receiver[key] = quantity(receiver[key], pressure)
    receiver.setdefault("initial_pressure", receiver.get("stop"))
    source["receiver"] = receiver
    scenario = Scenario(
        title=table.get("title", ""), duration=quantity(table["duration"]), target=quantity(table["target"]),
        pressure=pressure, temperature=quantity(site.get("temperature", "20 degC")),
        reference=(quantity(reference.get("pressure", "101.325 kPa")), quantity(reference.get("temperature", "20 degC"))),
        source=source, risers=[], molecular=table.get("mixing", {}).get("molecular", True),
    )  # fmt: skip
    from peer_laws import leak_areas

    for entry in table["riser"]:
        riser, last = read_riser(entry, pressure)
        for leak in entry.get("leak", []):
            area = leak_areas(leak, riser, scenario)
            if "at" in leak:
                riser.leaks.append(Hole(area, last[leak["at"]]))
            else:
                riser.leaks += [Hole(area * cell.volume / riser.volume, i) for i, cell in enumerate(riser.cells)]
        scenario.risers.append(riser)
    return scenario
