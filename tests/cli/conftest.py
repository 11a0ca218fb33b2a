"""Running the built program as its users do. The test driver gives its path in OXFADE."""

import os
import pathlib
import subprocess

import pytest

PROGRAM = os.environ.get("OXFADE", "oxfade")
SOURCE = pathlib.Path(os.environ.get("OXFADE_SOURCE", pathlib.Path(__file__).parents[2]))

#: A plant of two systems for tests that need a quick run.
STORE = SOURCE / "tests" / "support" / "store.toml"

SMALL = """\
format   = 1
title    = "Small loft"
duration = "4 d"
target   = "95 %"

[site]
pressure    = "101.325 kPa"
temperature = "15 degC"

[source]
kind          = "generator"
purity        = "99 %"
nitrogen_flow = "60 L/min"
air_flow      = "400 L/min"
power         = "3 kW"
[source.receiver]
volume    = "200 L"
start     = "6 barg"
stop      = "7.5 barg"
air_below = "5 barg"

[[riser]]
name = "Loft, west"
set_pressure = "2 barg"
fill   = { diameter = "12 mm" }
supply = { kind = "regulator", diameter = "4 mm" }

[[riser.pipe]]
name   = "main"
volume = "800 L"
[[riser.pipe]]
name    = "far"
bore    = "50 mm"
length  = "60 m"
cells   = 3

[[riser.vent]]
name     = "end vent"
at       = "far"
diameter = "0.8 mm"
"""


@pytest.fixture(scope="session")
def oxfade():
    """Runs the program and returns the finished process, its output as text."""

    def run(*arguments, **more):
        return subprocess.run(
            [PROGRAM, *map(str, arguments)], capture_output=True, text=True, encoding="utf-8", timeout=300, **more
        )

    return run


@pytest.fixture
def program():
    return PROGRAM


@pytest.fixture(scope="session")
def scenarios():
    """The folder of example scenarios."""
    return SOURCE / "apps" / "scenarios"


@pytest.fixture
def small(tmp_path):
    """A small plant that meets its target."""
    path = tmp_path / "small.toml"
    path.write_text(SMALL, encoding="utf-8")
    return path


@pytest.fixture
def variant(tmp_path):
    """Writes the small plant with one text replaced by another."""

    def make(old, new):
        assert old in SMALL
        path = tmp_path / "variant.toml"
        path.write_text(SMALL.replace(old, new), encoding="utf-8")
        return path

    return make


@pytest.fixture(scope="session")
def browser(tmp_path_factory):
    import browser as browsers  # noqa: PLC0415  for other tests its packages need not be there

    if not browsers.find():
        pytest.skip("NO CHROMIUM FOUND: the report has NOT been tried in a browser (.ci/packages lists one)")
    one = browsers.Browser(tmp_path_factory.mktemp("profile"))
    yield one
    one.close()


@pytest.fixture
def write(oxfade, tmp_path):
    """Writes the page of a verb and gives its path."""

    def make(verb, *arguments):
        path = tmp_path / f"{verb}.html"
        done = oxfade(verb, *arguments, "--html", path, "--quiet")
        assert done.returncode in (0, 1), done.stderr
        return path

    return make
