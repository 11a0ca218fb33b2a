import ast
import inspect
import os
import pathlib
import re
import subprocess
import sys
import time

import pytest
from conftest import SOURCE, STORE

import oxfade as ox


def test_the_version_is_written_once(program):
    top = re.search(r"project\(oxfade VERSION ([\d.]+)", (SOURCE / "CMakeLists.txt").read_text()).group(1)
    said = subprocess.run([program, "--version"], capture_output=True, text=True, check=True).stdout.split()[-1]
    assert ox.__version__ == top == said
    assert top not in (SOURCE / "bindings" / "pyproject.toml").read_text()


def test_the_installed_package_is_the_one_tested():
    folder = pathlib.Path(ox.__file__).parent
    assert not folder.is_relative_to(SOURCE / "bindings"), "run these tests on an installed package"
    present = {path.name for path in folder.iterdir()}
    assert {"py.typed", "_core.pyi", "plots.py", "frames.py", "ensembles.py", "errors.py", "studies"} <= present
    assert any(name.startswith("_core.") and name.endswith(".so") for name in present)


def test_the_package_brings_along_what_it_needs():
    """Every library but those of the C++ compiler, the database of units, and the licences of both."""
    folder = pathlib.Path(ox.__file__).parent
    (module,) = folder.glob("_core.*.so")
    linked = subprocess.run(["ldd", module], capture_output=True, text=True, check=True).stdout
    of_the_compiler = ("linux-vdso", "/lib64/ld-linux", "libc.so", "libm.so", "libstdc++.so", "libgcc_s.so", "libpthread.so")
    names = [line.split()[0] for line in linked.splitlines()]
    brought = [n for n in names if not n.startswith(of_the_compiler)]
    assert any(n.startswith("libudunits2") for n in brought)
    for line in linked.splitlines():
        if line.split()[0] in brought:
            assert str(folder / "bundled") in line, line
    assert (folder / "bundled" / "units" / "udunits2.xml").is_file()
    assert len(list((folder / "bundled" / "licences").glob("*.txt"))) >= 4


def test_units_come_from_the_package(tmp_path):
    """With the package's own database out of the way, a named one is read instead, here none."""
    script = "import oxfade as ox; print(ox.quantity('1 ft', 'length'))"
    command = [sys.executable, "-c", script]
    assert float(subprocess.run(command, capture_output=True, text=True, check=True).stdout) == pytest.approx(0.3048)
    other = {**os.environ, "UDUNITS2_XML_PATH": str(tmp_path / "none.xml")}
    failed = subprocess.run(command, capture_output=True, text=True, env=other, check=False)
    assert failed.returncode != 0 and "unit database cannot be loaded" in failed.stderr


def test_the_type_stubs_fit_the_module(tmp_path):
    checked = subprocess.run(
        ["/usr/bin/stubtest", "oxfade._core", "--mypy-config-file", SOURCE / "bindings/pyproject.toml"],
        capture_output=True, text=True, cwd=tmp_path, check=False,
        env={**os.environ, "PYTHONPATH": str(pathlib.Path(ox.__file__).parents[1])},
    )
    assert checked.returncode == 0, checked.stdout + checked.stderr


def test_names_are_listed_one_by_one():
    """Type checkers read the list; a computed one tells them nothing."""
    source = (pathlib.Path(ox.__file__).parent / "__init__.py").read_text()
    listed = ast.literal_eval(re.search(r"^__all__ = (\[.*?\])", source, re.MULTILINE | re.DOTALL).group(1))
    public = {name for name, value in vars(ox).items() if name[0] != "_" and not inspect.ismodule(value)}
    assert listed == ox.__all__ == sorted(listed) and set(listed) == public


def test_a_type_checker_knows_what_is_exported(tmp_path):
    (tmp_path / "user.py").write_text(
        "import oxfade as ox\n\nplant: ox.Plant = ox.load('a.toml')\nrun: ox.Run = ox.predict(plant, progress=print)\n"
        "bore: ox.Orifice = ox.Orifice(diameter_m='0.5 in')\nmany: ox.Ensemble = ox.ensemble(plant, {'target': [0.9]})\n"
        "study: ox.Sweep = ox.sweep(plant, {'target': [0.9]})\ntime: float = study.within_s + ox.quantity('1 h', 'time')\n"
    )
    checked = subprocess.run(
        ["/usr/bin/mypy", "--strict", "--config-file", "", "user.py"], capture_output=True, text=True, cwd=tmp_path,
        check=False, env={**os.environ, "MYPYPATH": str(pathlib.Path(ox.__file__).parents[1])},
    )  # fmt: skip
    assert not [line for line in checked.stdout.splitlines() if line.startswith("user.py")], checked.stdout


def test_as_a_program(program, tmp_path):
    def said(*command):
        done = subprocess.run(command, capture_output=True, text=True, check=False)
        return done.returncode, done.stdout, done.stderr

    ours = (sys.executable, "-m", "oxfade")
    for words in (
        ("check", STORE), ("predict", STORE, "--units", "si"), ("predict", STORE, "--set", "duration=6 h", "--json", "-"),
        ("check", STORE, "--set", "target=120 %"), ("predict", tmp_path / "none.toml"),
    ):  # fmt: skip
        assert said(*ours, *words) == said(program, *words), words
    assert ox.__version__ in said(*ours, "--version")[1] and "predict" in said(*ours, "--help")[1]


def test_what_a_build_lacks_is_said_at_once(monkeypatch):
    monkeypatch.syspath_prepend(str(SOURCE / "bindings" / "backend"))
    import oxfade_build

    oxfade_build.require_tools()
    monkeypatch.setitem(oxfade_build.HEADERS, "no/such_header.hpp", "libno-such-dev")
    with pytest.raises(SystemExit, match="apt install libno-such-dev"):
        oxfade_build.require_tools()
    monkeypatch.setenv("OXFADE_SKIP_CHECKS", "1")
    oxfade_build.require_tools()


def test_metadata_come_without_a_build(monkeypatch, tmp_path):
    """An installer can then say that NumPy is missing before anything is compiled."""
    monkeypatch.syspath_prepend(str(SOURCE / "bindings" / "backend"))
    import oxfade_build

    began = time.perf_counter()
    info = tmp_path / oxfade_build.prepare_metadata_for_build_wheel(str(tmp_path))
    assert time.perf_counter() - began < 5.0
    assert f"Version: {ox.__version__}" in (info / "METADATA").read_text() and "Requires-Dist: numpy" in (info / "METADATA").read_text()


def test_what_the_readmes_show_works(monkeypatch):
    monkeypatch.chdir(SOURCE)
    for readme in ("README.md", "bindings/README.md"):
        blocks = re.findall(r"```python\n(.*?)```", pathlib.Path(readme).read_text(), re.DOTALL)
        assert blocks, readme
        names = {}
        for block in blocks:
            exec(block, names)
        assert names["run"].all_met
