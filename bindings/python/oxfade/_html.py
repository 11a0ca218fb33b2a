"""What a notebook shows of objects: small tables, all texts escaped."""

from __future__ import annotations

import html
from dataclasses import fields
from typing import TYPE_CHECKING, Any, Iterable, List, Optional, Sequence

if TYPE_CHECKING:
    from . import _core
    from .ensembles import Ensemble
    from .studies.base import Study

ROWS = 12


def table(title: str, head: Sequence[str], rows: Iterable[Sequence[Any]]) -> str:
    """A table with a title over it."""
    cells = "".join(f"<th style='text-align:left'>{html.escape(name)}</th>" for name in head)
    body = "".join(
        "<tr>" + "".join(f"<td style='text-align:left'>{html.escape(_shown(value))}</td>" for value in row) + "</tr>" for row in rows
    )
    return f"<div><b>{html.escape(title)}</b><table><thead><tr>{cells}</tr></thead><tbody>{body}</tbody></table></div>"


def _shown(value: Any) -> str:
    if value is None or value != value:
        return "–"
    return f"{value:.4g}" if isinstance(value, float) else str(value)


def _days(seconds: Optional[float]) -> Optional[float]:
    return None if seconds is None else seconds / 86400.0


def of_run(run: _core.Run) -> str:
    """The answer for each system, and what an engineer should know."""
    verdict = "met" if run.all_met else "not met"
    head = ("system", "target after, days", "average, days", "readings, days", "fill, min", "oxygen at the end, %")
    rows = [
        (r.name, _days(r.time_to_target_s), _days(r.time_of_average_s), _days(r.time_at_readings_s),
         None if r.fill_time_s is None else r.fill_time_s / 60.0, 100.0 * r.average_oxygen)
        for r in run.risers
    ]  # fmt: skip
    told = "".join(f"<li>{html.escape(f'{m.level}: {m.text}')}</li>" for m in run.messages if m.level != "note")
    return table(f"{run.title}: {verdict}, target {100.0 * run.target:.4g} % nitrogen", head, rows) + (f"<ul>{told}</ul>" if told else "")


def of_plant(plant: _core.Plant) -> str:
    """Systems with what they hold."""
    head = ("system", "pipes", "volume, m³", "set pressure, kPa absolute", "vents", "leaks")
    rows = [(r.name, len(r.pipes), r.volume_m3, r.set_pressure_pa / 1e3, len(r.vents), len(r.leaks)) for r in plant.risers]
    source = type(plant.source).__name__.lower()
    title = f"{plant.title}: {source}, target {100.0 * plant.target:.4g} %, {plant.duration_s / 86400.0:.4g} days"
    return table(title, head, rows)


def of_ensemble(ensemble: Ensemble) -> str:
    """The first runs."""
    names = [*ensemble.parameters]
    columns: List[Any] = [values.ravel() for values in ensemble.parameters.values()]
    columns += [ensemble.time_to_target_s.ravel() / 86400.0, ensemble.nitrogen_std_m3.ravel(), ensemble.error.ravel()]
    count = len(columns[-1])
    rows = [[column[k].item() if hasattr(column[k], "item") else column[k] for column in columns] for k in range(min(count, ROWS))]
    more = f", the first {ROWS}" if count > ROWS else ""
    return table(f"{count} runs{more}", [*names, "target after, days", "nitrogen, standard m³", "error"], rows)


def of_study(study: Study) -> str:
    """Its numbers, a row for each thing that has a name where there are such, and the report."""
    held = [(f.name, getattr(study, f.name)) for f in fields(study) if not f.name.startswith("_")]
    rows = [(name, value) for name, value in held if value is None or isinstance(value, (bool, int, float, str))]
    head = table(type(study).__name__, ("", ""), rows) if rows else ""
    names = dict(held).get("names", ())
    columns = [(name, value) for name, value in held if getattr(value, "shape", None) == (len(names),)]
    if names and columns:
        each = zip(names, *(value.tolist() for _, value in columns))
        head += table(type(study).__name__, ["", *(name for name, _ in columns)], each)
    report = html.escape(study.report())
    return f"{head}<details open><summary>report</summary><pre>{report}</pre></details>"
