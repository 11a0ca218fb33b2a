import os
import pathlib
import re
import subprocess

from conftest import SOURCE

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
    assert {"py.typed", "_core.pyi", "plots.py", "frames.py", "ensembles.py", "errors.py"} <= present
    assert any(name.startswith("_core.") and name.endswith(".so") for name in present)


def test_the_type_stubs_fit_the_module(tmp_path):
    checked = subprocess.run(
        ["/usr/bin/stubtest", "oxfade._core", "--mypy-config-file", SOURCE / "bindings/pyproject.toml"],
        capture_output=True, text=True, cwd=tmp_path, check=False,
        env={**os.environ, "PYTHONPATH": str(pathlib.Path(ox.__file__).parents[1])},
    )
    assert checked.returncode == 0, checked.stdout + checked.stderr


def test_what_the_readmes_show_works(monkeypatch):
    monkeypatch.chdir(SOURCE)
    for readme in ("README.md", "bindings/README.md"):
        blocks = re.findall(r"```python\n(.*?)```", pathlib.Path(readme).read_text(), re.DOTALL)
        assert blocks, readme
        names = {}
        for block in blocks:
            exec(block, names)
        assert names["run"].all_met
