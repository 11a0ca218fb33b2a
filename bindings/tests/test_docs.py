"""Every public thing says what it takes and gives: units, shapes, what it raises, where its equations come from."""

import dataclasses
import inspect
import re
import types

import pytest

import oxfade as ox
from oxfade import errors, frames, plots, study_plots
from oxfade.studies.base import Study

#: What the end of a name says about a number, and how its docstring has to say it.
UNITS = {
    "mol_per_m2_s": r"\[mol/\(m2 s\)\]",
    "mol_per_m3": r"\[mol/m3\]",
    "a_per_m2": r"\[A/m2\]",
    "m_per_s": r"\[m/s\]",
    "std_m3_per_s": r"\[m3/s\]",
    "m3_per_s": r"\[m3/s\]",
    "mol_per_s": r"\[mol/s\]",
    "std_m3": r"\[m3\]",
    "m3": r"\[m3\]",
    "mol": r"\[mol\]",
    "kwh": r"\[kWh\]",
    "pa": r"\[Pa\]",
    "m": r"\[m\]",
    "k": r"\[K\]",
    "w": r"\[W\]",
    "s": r"\[s\]",
}
ARRAYS = {
    "times_s", "pressure_pa", "compartment_pressure_pa", "water_m3", "blocked", "oxygen", "receiver_pressure_pa", "time_to_target_s",
    "at_target_s", "supplied_std_m3", "vented_std_m3", "leaked_std_m3", "running_s", "air_s", "vents_open", "cell_ends",
}
SCALARS = {(ox.RiserRun, name) for name in ("time_to_target_s", "supplied_std_m3", "vented_std_m3", "leaked_std_m3")}
#: Functions whose numbers rest on physics or on tables: they name their source.
SOURCED = ["predict", "ensemble", "predict_many", "quantity", "pipe_bore_m", "check", "commission", "compare", "fit", "size", "sweep"]

CLASSES = [value for name, value in vars(ox).items() if name in ox.__all__ and inspect.isclass(value)] + [Study]
FUNCTIONS = [value for name, value in vars(ox).items() if name in ox.__all__ and not inspect.isclass(value)]
HELPERS = [
    value
    for module in (plots, study_plots, frames, errors)
    for value in vars(module).values()
    if isinstance(value, types.FunctionType) and value.__module__ == module.__name__ and value.__name__[0] != "_"
]


def attributes():
    for cls in CLASSES:
        for name, value in vars(cls).items():
            if isinstance(value, property) and not name.startswith("_"):
                yield pytest.param(cls, name, value.__doc__, id=f"{cls.__name__}.{name}")


def methods():
    for cls in CLASSES:
        for name, value in vars(cls).items():
            if callable(value) and not name.startswith("_"):
                yield pytest.param(value, id=f"{cls.__name__}.{name}")


def unit_of(name):
    return next((pattern for end, pattern in UNITS.items() if name.endswith("_" + end)), None)


def test_there_is_something_to_check():
    assert len(CLASSES) > 35 and len(FUNCTIONS) >= 6 and len(HELPERS) >= 6
    assert sum(1 for _ in attributes()) > 130 and sum(1 for _ in methods()) > 30


@pytest.mark.parametrize("cls", CLASSES, ids=lambda c: c.__name__)
def test_classes_say_what_they_are(cls):
    assert cls.__doc__ and cls.__doc__.strip().split("\n")[0].endswith((".", ";", ":"))
    assert not cls.__doc__.startswith(f"{cls.__name__}(")


@pytest.mark.parametrize("cls, name, doc", attributes())
def test_attributes_say_kind_and_unit(cls, name, doc):
    assert doc, "no docstring"
    wanted = unit_of(name)
    if wanted:
        assert re.search(wanted, doc), f"the unit of {name} is wanted in: {doc}"
    else:
        kind = r"^(str|bool|int|tuple|Array|[A-Z]\w+(,| or|:|$| of))|\[(1|count|bores|unit of the key)\]"
        assert re.search(kind, doc), f"a kind or a unit is wanted in: {doc}"


@pytest.mark.parametrize("cls", [ox.History, ox.PipeRun, ox.RiserRun, ox.Remedy, ox.Variation], ids=lambda c: c.__name__)
def test_arrays_say_their_shape(cls):
    for name, value in vars(cls).items():
        if name in ARRAYS and (cls, name) not in SCALARS:
            assert "shape (" in value.__doc__, f"{cls.__name__}.{name}"


@pytest.mark.parametrize("cls", [c for c in CLASSES if dataclasses.is_dataclass(c)], ids=lambda c: c.__name__)
def test_fields_of_dataclasses_say_what_they_are(cls):
    source = inspect.getsource(cls)
    for name in cls.__dict__.get("__annotations__", {}):
        if name.startswith("_"):
            continue
        said = re.search(rf"^    {name}: .*?#: (.*)$", source, re.MULTILINE)
        assert said, name
        if unit_of(name):
            assert re.search(unit_of(name), said.group(1)), name


@pytest.mark.parametrize("function", [*FUNCTIONS, *HELPERS, *methods()], ids=lambda f: getattr(f, "__name__", "?"))
def test_functions_say_what_they_give_and_raise(function):
    doc = inspect.getdoc(function)
    assert doc, "no docstring"
    for section in ("Returns", "Raises"):
        assert re.search(rf"^{section}\n-+$", doc, re.MULTILINE), f"{section} is wanted in:\n{doc}"
    raised = re.split(r"^Raises\n-+\n", doc, flags=re.MULTILINE)[1]
    named = re.match(r"\w+", raised).group()
    assert named == "Nothing" or hasattr(ox, named) or named == "ImportError", named


@pytest.mark.parametrize("function", [*FUNCTIONS, *HELPERS, *methods()], ids=lambda f: getattr(f, "__name__", "?"))
def test_parameters_are_explained(function):
    doc = inspect.getdoc(function)
    for name in inspect.signature(function).parameters:
        if name in ("self", "options", "name", "attributes"):
            continue
        assert re.search(rf"^(\*\*)?(\w+, )*{name}(, \w+)* : |^\*\*{name}$", doc, re.MULTILINE), name


@pytest.mark.parametrize("name", SOURCED)
def test_equations_and_tables_name_their_source(name):
    assert re.search(r"^Source\n-+$", inspect.getdoc(getattr(ox, name)), re.MULTILINE)


def test_private_parts_are_not_listed():
    assert all(not name.startswith("_") for name in ox.__all__)
    assert {"load", "predict", "ensemble", "InputError", "Plant", "Run"} <= set(ox.__all__)
