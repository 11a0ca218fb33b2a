"""Plants as scenario files, and Python values as TOML."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Callable, Dict, List, NamedTuple, Tuple

from . import _core
from .errors import input_error


def override_value(value: Any, key: str = "keys") -> str:
    """A Python value as the program's --set takes it: a text stays as it is."""
    return value if isinstance(value, str) else _inline(_plain(value, key))


def _plain(value: Any, key: str) -> Any:
    """A value of kinds that a scenario file knows; anything else is an InputError."""
    if isinstance(value, (bool, int, float, str)):
        return value
    if isinstance(value, (list, tuple)):
        return [_plain(entry, key) for entry in value]
    if isinstance(value, Mapping):
        return {str(name): _plain(entry, key) for name, entry in value.items()}
    if hasattr(value, "tolist"):  # NumPy's numbers and arrays
        return _plain(value.tolist(), key)
    allowed = "expected a text, a number, a flag, a list or a mapping"
    raise input_error(key, repr(value), "is no value of a scenario file", allowed)


def document(plant: _core.Plant) -> str:
    """The plant as a scenario file, in the units of its reports."""
    head = {
        "format": 1,
        "title": plant.title,
        "start": plant.start or None,
        "duration": _with("s", plant.duration_s),
        "target": _share(plant.target),
        "target_at": plant.target_at,
    }
    parts = _table("site", _site(plant.site))
    parts += _temperature_table("site", plant.site.temperature_k)
    parts += _source(plant.source)
    for riser in plant.risers:
        parts += _riser(riser)
    for action in plant.actions:
        parts += _entry("action", _action(plant, action))
    parts += _table("mixing", _mixing(plant.mixing))
    solver = {"relative_tolerance": plant.relative_tolerance, "refinement": plant.refinement}
    if any(value is not None for value in solver.values()):
        parts += _table("solver", solver)
    us = plant.units == "us"
    lines = _keys(head, us)
    for name, values in parts:
        lines += ["", name, *_keys(values, us)]
    return "\n".join(lines) + "\n"


# --- TOML -------------------------------------------------------------------------------------------------


#: A table of the file: its head, and values by key.
Part = Tuple[str, Dict[str, Any]]


class Amount(NamedTuple):
    """A number in SI, and what it is measured in."""

    value: float
    unit: str

    def text(self, us: bool) -> str:
        """The number with its unit, in SI or in US units; no digits more than give the same number again."""
        if us and self.unit == "K":
            return f"{_shortest(self.value, lambda shown: (shown + 459.67) / 1.8, self.value * 1.8 - 459.67)} degF"
        if us and self.unit in US:
            unit, factor = US[self.unit]
            if self.unit == "m" and abs(self.value) < 0.3048:
                unit, factor = "in", 0.0254
            return f"{_shortest(self.value, lambda shown: shown * factor, self.value / factor)} {unit}"
        return f"{self.value!r} {SI_TEXTS.get(self.unit, self.unit)}"


class Rows(List[Any]):
    """What is written a row a line."""


#: US units with their size in SI.
US = {
    "m": ("ft", 0.3048), "m3": ("gal", 3.785411784e-3), "m3/s": ("ft3/h", 0.3048**3 / 3600.0),
    "Pa": ("psia", 6894.757293168), "Pa apart": ("psi", 6894.757293168), "slope": ("ft / 1 ft", 1.0),
}  # fmt: skip
#: What is written in SI for units that are told apart here.
SI_TEXTS = {"Pa apart": "Pa", "K apart": "K", "slope": "m / 1 m"}


def _shortest(value: float, back: Callable[[float], float], shown: float) -> str:
    for digits in range(1, 17):
        text = f"{shown:.{digits}g}"
        if abs(back(float(text)) - value) <= 4e-16 * abs(value):
            return text
    return repr(shown)


def _inline(value: Any, us: bool = False) -> str:
    if isinstance(value, Amount):
        return _quoted(value.text(us))
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return _quoted(value)
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{_quoted(k)} = {_inline(v, us)}" for k, v in value.items() if v is not None) + " }"
    if isinstance(value, Rows):
        return "[\n" + "".join(f"  {_inline(row, us)},\n" for row in value) + "]"
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(_inline(v, us) for v in value) + "]"
    return repr(value)


def _quoted(text: str) -> str:
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + "".join(c if c.isprintable() else f"\\U{ord(c):08X}" for c in escaped) + '"'


def _keys(values: Dict[str, Any], us: bool) -> List[str]:
    return [f"{key} = {_inline(value, us)}" for key, value in values.items() if value is not None]


def _table(name: str, values: Dict[str, Any]) -> List[Part]:
    return [(f"[{name}]", values)]


def _entry(name: str, values: Dict[str, Any]) -> List[Part]:
    return [(f"[[{name}]]", values)]


# --- quantities -------------------------------------------------------------------------------------------


def _share(value: float) -> str:
    return f"{value * 100.0!r} %"


def _slope(value: float) -> Amount:
    return Amount(value, "slope")


def _with(unit: str, value: Any) -> Any:
    return None if value is None else Amount(value, unit)


def _hole(hole: Any) -> Dict[str, Any]:
    return {"diameter": _with("m", hole.diameter_m), "coefficient": hole.coefficient}


# --- parts of a plant -------------------------------------------------------------------------------------


def _temperature_table(name: str, course: Any) -> List[Part]:
    """A table of temperatures under its own heading, a row a line: it may be a year of hours."""
    if not isinstance(course, _core.TemperatureTable):
        return []
    rows = Rows([_with("s", knot.time_s), _with("K", knot.temperature_k)] for knot in course.knots)
    return _table(f"{name}.temperature", {"period": _with("s", course.period_s), "table": rows})


def _temperature(course: Any) -> Any:
    if isinstance(course, _core.DailySwing):
        return {
            "mean": _with("K", course.mean_k),
            "swing": _with("K apart", course.swing_k),
            "period": _with("s", course.period_s),
            "warmest": _with("s", course.warmest_s),
            "season": _with("K apart", course.season_k or None),
            "season_warmest": _with("s", course.season_warmest_s if course.season_k else None),
        }
    if isinstance(course, _core.TemperatureTable):
        return None  # _temperature_table
    return _with("K", course)


#: SI units of what an action may set.
UNITS = {
    "length": "m",
    "volume": "m3",
    "time": "s",
    "pressure": "Pa",
    "absolute_pressure": "Pa",
    "pressure_difference": "Pa",
    "temperature": "K",
    "temperature_difference": "K",
    "volume_flow": "m3/s",
    "molar_flow": "mol/s",
    "power": "W",
}
#: The same where a difference is written otherwise than a value.
APART = {"pressure_difference": "Pa apart", "temperature_difference": "K apart"}


def _set_value(plant: _core.Plant, action: _core.Action) -> Any:
    dimension = _core._dimension(plant, action.key)
    if dimension is None:
        return action.value
    if dimension == "fraction":
        return _share(action.value)
    return _slope(action.value) if dimension == "slope" else _with(APART.get(dimension, UNITS[dimension]), action.value)


def _action(plant: _core.Plant, action: _core.Action) -> Dict[str, Any]:
    values = {"at": _with("s", action.at_s), "do": action.do, "riser": action.riser or None, "what": action.what or None}
    if action.do == "trip":
        values["for"] = _with("s", action.for_s)
    if action.do == "set":
        values.update(key=action.key, value=_set_value(plant, action))
    return values


def _mixing(mixing: _core.Mixing) -> Dict[str, Any]:
    return {
        "molecular": mixing.molecular,
        "buoyant": mixing.buoyant,
        "shear": mixing.shear,
        "mouth": mixing.mouth_bores,
        "warm_end": _with("K apart", mixing.warm_end_k),
    }


def _site(site: _core.Site) -> Dict[str, Any]:
    reference = {
        "pressure": _with("Pa", site.reference.pressure_pa),
        "temperature": _with("K", site.reference.temperature_k),
    }
    return {
        "pressure": _with("Pa", site.pressure_pa),
        "temperature": _temperature(site.temperature_k),
        "reference": reference,
    }


def _receiver(receiver: _core.Receiver) -> Dict[str, Any]:
    return {
        "volume": _with("m3", receiver.volume_m3),
        "start": _with("Pa", receiver.start_pa),
        "stop": _with("Pa", receiver.stop_pa),
        "initial_pressure": _with("Pa", receiver.initial_pressure_pa),
        "initial_gas": receiver.initial_gas,
    }


def _source(source: Any) -> List[Part]:
    if isinstance(source, _core.Cylinders):
        return _table("source", {
            "kind": "cylinders",
            "purity": _share(source.purity),
            "content": _with("m3", source.content_m3),
            "delivery_pressure": _with("Pa", source.delivery_pressure_pa),
        })
    values = {"kind": "compressor", "air_flow": _with("m3/s", source.air_flow_m3_per_s), "power": _with("W", source.power_w)}
    receiver = _receiver(source.receiver)
    if isinstance(source, _core.Generator):
        values.update(
            kind="generator", purity=_share(source.purity), nitrogen_flow=_with("m3/s", source.nitrogen_flow_m3_per_s)
        )
        receiver["air_below"] = _with("Pa", source.air_below_pa)
    return _table("source", values) + _table("source.receiver", receiver)


def _supply(supply: Any) -> Dict[str, Any]:
    if isinstance(supply, _core.Regulator):
        return {"kind": "regulator", **_hole(supply)}
    return {"kind": "switch", "low": _with("Pa", supply.low_pa), "high": _with("Pa", supply.high_pa), **_hole(supply)}


def _riser(riser: _core.Riser) -> List[Part]:
    parts = _entry("riser", {
        "name": riser.name,
        "set_pressure": _with("Pa", riser.set_pressure_pa),
        "fill_limit": _with("s", riser.fill_limit_s),
        "rest": _with("s", riser.rest_s),
        "initial_gas": riser.initial_gas,
        "initial_pressure": _with("Pa", riser.initial_pressure_pa),
        "temperature": _temperature(riser.temperature_k),
        "fill": _hole(riser.fill),
        "supply": _supply(riser.supply),
    })
    parts += _temperature_table("riser", riser.temperature_k)
    for pipe in riser.pipes:
        parts += _entry("riser.pipe", _pipe(pipe))
    for link in riser.links:
        parts += _entry("riser.link", {"between": [link.first, link.second]})
    for vent in riser.vents:
        parts += _entry("riser.vent", _vent(vent))
    for leak in riser.leaks:
        parts += _entry("riser.leak", _leak(leak))
    for low_point in riser.low_points:
        parts += _entry("riser.low_point", _low_point(low_point))
    for sample in riser.samples:
        parts += _entry("riser.sample", _sample(sample))
    return parts


def _pipe(pipe: _core.Pipe) -> Dict[str, Any]:
    if isinstance(pipe.shape, _core.VolumeOnly):
        shape = {"volume": _with("m3", pipe.shape.volume_m3)}
    else:
        shape = {"bore": _with("m", pipe.shape.bore_m), "length": _with("m", pipe.shape.length_m)}
    return {
        "name": pipe.name,
        "from": pipe.from_pipe,
        **shape,
        "cells": pipe.cells,
        "count": None if pipe.count == 1 else pipe.count,
        "pitch": None if pipe.pitch is None or pipe.elevations_m is not None else _slope(pipe.pitch),
        "elevations": None if pipe.elevations_m is None else [_with("m", end) for end in pipe.elevations_m],
        "exchange": _with("mol/s", pipe.exchange_mol_per_s),
    }


def _opening(policy: Any) -> Any:
    if isinstance(policy, _core.OpenUntil):
        return {"until": _with("s", policy.until_s)}
    if isinstance(policy, _core.OpenUntilTarget):
        return {"until": "target"}
    if isinstance(policy, _core.OpenTimed):
        return {"every": _with("s", policy.every_s), "for": _with("s", policy.for_s)}
    if isinstance(policy, _core.OpenBetween):
        return {"high": _with("Pa", policy.high_pa), "low": _with("Pa", policy.low_pa)}
    return "always"


def _vent(vent: _core.Vent) -> Dict[str, Any]:
    return {
        "name": vent.name,
        "at": vent.at,
        **_hole(vent),
        "open": _opening(vent.open),
        "liquid_stop": vent.liquid_stop,
        "chamber": _with("m3", vent.chamber_m3),
    }


def _low_point(low_point: _core.LowPoint) -> Dict[str, Any]:
    shape = low_point.shape
    if isinstance(shape, _core.WaterRise):
        given: Dict[str, Any] = {"rise": _with("m", shape.rise_m)}
    else:
        given = {"slopes": [_slope(slope) for slope in (shape.before, shape.behind)]}
    return {"name": low_point.name, "on": low_point.on, "water": _with("m3", low_point.water_m3), **given}


def _leak(leak: _core.Leak) -> Dict[str, Any]:
    size: Any = leak.size
    if isinstance(size, _core.LeakByTest):
        given = {"loss": _with("Pa apart", size.loss_pa), "over": _with("s", size.over_s), "from": _with("Pa", size.from_pa)}
    elif isinstance(size, _core.LeakByFlow):
        given = {"flow": _with("m3/s", size.flow_m3_per_s), "pressure": _with("Pa", size.pressure_pa)}
    else:
        given = _hole(size)
    return {"at": leak.at, "spread": None if leak.at is not None else leak.spread, **given}


def _sample(sample: _core.SamplingPoint) -> Dict[str, Any]:
    return {"name": sample.name, "at": sample.at, "distance": _with("m", sample.distance_m)}
