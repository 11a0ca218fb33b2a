"""Builds wheels of oxfade with CMake (PEP 517), from the standard library alone.

Nothing has to be fetched: `pip install ./bindings` works without a network, with build isolation and without.
The version is that of the top CMakeLists.txt. The environment variable CMAKE_ARGS is passed on to CMake, and
OXFADE_PYTHON_BUILD names a folder to build in and keep; by default the build is thrown away.
"""

import base64
import hashlib
import io
import os
import pathlib
import re
import shlex
import shutil
import subprocess
import sys
import sysconfig
import tarfile
import tempfile
import zipfile

HERE = pathlib.Path(__file__).resolve().parent.parent
MEMBERS_OF_SDIST = ("CMakeLists.txt", "lib", "bindings")


def top():
    """The folder of the top CMakeLists.txt: a checkout, or an unpacked source distribution."""
    folder = HERE.parent
    if not (folder / "lib" / "CMakeLists.txt").is_file():
        raise SystemExit(f"oxfade: {HERE} is not inside a checkout: the library's sources are wanted beside it")
    return folder


def version():
    text = (top() / "CMakeLists.txt").read_text(encoding="utf-8")
    found = re.search(r"project\(oxfade VERSION ([0-9.]+)", text)
    if not found:
        raise SystemExit("oxfade: the top CMakeLists.txt names no version")
    return found.group(1)


def metadata():
    readme = (HERE / "README.md").read_text(encoding="utf-8")
    return (
        "Metadata-Version: 2.1\n"
        "Name: oxfade\n"
        f"Version: {version()}\n"
        "Summary: Nitrogen purging of dry fire-sprinkler piping, simulated\n"
        "Requires-Python: >=3.9\n"
        "Requires-Dist: numpy\n"
        "Requires-Dist: matplotlib; extra == 'plot'\n"
        "Requires-Dist: pandas; extra == 'pandas'\n"
        "Provides-Extra: plot\n"
        "Provides-Extra: pandas\n"
        "Description-Content-Type: text/markdown\n"
        "\n" + readme
    )


def tag():
    python = f"cp{sys.version_info.major}{sys.version_info.minor}"
    platform = sysconfig.get_platform().replace("-", "_").replace(".", "_")
    return f"{python}-{python}-{platform}"


def wheel_file():
    return f"Wheel-Version: 1.0\nGenerator: oxfade_build\nRoot-Is-Purelib: false\nTag: {tag()}\n"


# --- what a build needs -----------------------------------------------------------------------------------

#: Tools and headers, each with the Debian package that has it.
TOOLS = {"cmake": "cmake", "c++": "g++"}
HEADERS = {
    "boost/version.hpp": "libboost-dev",
    "eigen3/Eigen/Core": "libeigen3-dev",
    "fmt/format.h": "libfmt-dev",
    "nlohmann/json.hpp": "nlohmann-json3-dev",
    "pybind11/pybind11.h": "pybind11-dev",
    "toml++/toml.h": "libtomlplusplus-dev",
    "udunits2.h": "libudunits2-dev",
}


def missing_packages():
    """Debian packages of what the build would not find."""
    absent = [package for tool, package in TOOLS.items() if shutil.which(tool) is None]
    if shutil.which("c++") is not None:
        without = missing_headers(HEADERS)
        absent += [package for header, package in HEADERS.items() if header in without]
    if not (pathlib.Path(sysconfig.get_path("include")) / "Python.h").is_file():
        absent.append("python3-dev")
    return absent


def missing_headers(headers):
    lines = [f"#if !__has_include(<{header}>)\nMISSING {header}\n#endif" for header in headers]
    command = ["c++", "-std=c++20", "-E", "-P", "-x", "c++", "-"]
    done = subprocess.run(command, input="\n".join(lines), capture_output=True, text=True, check=False)
    if done.returncode:
        raise SystemExit(f"oxfade: `c++` does not know C++20:\n{done.stderr}")
    return {line.split(None, 1)[1].replace(" ", "") for line in done.stdout.splitlines() if line.startswith("MISSING")}


def require_tools():
    """Ends the installation at once, with all that is missing; OXFADE_SKIP_CHECKS=1 for libraries in other places."""
    absent = [] if os.environ.get("OXFADE_SKIP_CHECKS") else missing_packages()
    if absent:
        raise SystemExit(
            "oxfade: the build needs packages that are not installed. On Debian:\n    apt install " + " ".join(absent)
            + "\nWith these libraries in other places set OXFADE_SKIP_CHECKS=1."
        )


# --- hooks ------------------------------------------------------------------------------------------------


def get_requires_for_build_wheel(config_settings=None):
    return []


def get_requires_for_build_sdist(config_settings=None):
    return []


def prepare_metadata_for_build_wheel(metadata_directory, config_settings=None):
    """Called before anything is compiled: pip then looks for NumPy, and what the build needs is looked for here."""
    require_tools()
    info = pathlib.Path(metadata_directory) / f"oxfade-{version()}.dist-info"
    info.mkdir()
    (info / "METADATA").write_text(metadata(), encoding="utf-8")
    (info / "WHEEL").write_text(wheel_file(), encoding="utf-8")
    return info.name


def build_wheel(wheel_directory, config_settings=None, metadata_directory=None):
    require_tools()
    with tempfile.TemporaryDirectory(prefix="oxfade-wheel-") as scratch:
        staged = pathlib.Path(scratch) / "staged"
        compile_into(staged, pathlib.Path(os.environ.get("OXFADE_PYTHON_BUILD") or f"{scratch}/build"))
        name = f"oxfade-{version()}-{tag()}.whl"
        temporary = pathlib.Path(wheel_directory) / (name + ".part")
        pack(staged, temporary)
        temporary.replace(temporary.with_name(name))
    return name


def build_sdist(sdist_directory, config_settings=None):
    root = f"oxfade-{version()}"
    path = pathlib.Path(sdist_directory) / f"{root}.tar.gz"
    with tarfile.open(path, "w:gz", format=tarfile.PAX_FORMAT) as archive:
        for member in MEMBERS_OF_SDIST:
            archive.add(top() / member, f"{root}/{member}", filter=without_caches)
        add_text(archive, f"{root}/pyproject.toml", pyproject_of_sdist())
        add_text(archive, f"{root}/PKG-INFO", metadata())
    return path.name


# --- wheel ------------------------------------------------------------------------------------------------


def compile_into(staged, build):
    build.mkdir(parents=True, exist_ok=True)
    configure = ["cmake", "-S", str(top()), "-B", str(build), "-DOXFADE_BUILD_PYTHON=ON", "-DOXFADE_BUILD_APPS=OFF"]
    configure += [f"-DPython_EXECUTABLE={sys.executable}", "-DBUILD_SHARED_LIBS=OFF"]
    if shutil.which("ninja"):
        configure += ["-G", "Ninja"]
    configure += shlex.split(os.environ.get("CMAKE_ARGS", ""))
    run(*configure)
    at_once = os.environ.get("CMAKE_BUILD_PARALLEL_LEVEL") or str(os.cpu_count() or 1)
    run("cmake", "--build", str(build), "--target", "oxfade_python", "--parallel", at_once)
    run("cmake", "--install", str(build), "--component", "python", "--prefix", str(staged), "--strip")


def run(*command):
    print("oxfade:", shlex.join(command), flush=True)
    done = subprocess.run(command, check=False)
    if done.returncode:
        raise SystemExit(f"oxfade: `{command[0]} {command[1]}` failed, its reasons are above")


def pack(staged, wheel):
    """Writes the staged files and the wheel's own into a zip, with a record of their hashes."""
    info = f"oxfade-{version()}.dist-info"
    present = sorted(p for p in staged.rglob("*") if p.is_file())
    # A wheel has no links: a library goes in once, under the name by which it is looked for.
    linked_to = {p.resolve() for p in present if p.is_symlink()}
    kept = [p for p in present if p.is_symlink() or p.resolve() not in linked_to]
    files = {str(p.relative_to(staged)): p.read_bytes() for p in kept}
    files[f"{info}/METADATA"] = metadata().encode()
    files[f"{info}/WHEEL"] = wheel_file().encode()
    lines = [f"{name},sha256={digest(data)},{len(data)}" for name, data in files.items()]
    files[f"{info}/RECORD"] = ("\n".join([*lines, f"{info}/RECORD,,"]) + "\n").encode()
    with zipfile.ZipFile(wheel, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in files.items():
            entry = zipfile.ZipInfo(name, date_time=(1980, 1, 1, 0, 0, 0))
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.external_attr = (0o755 if name.endswith(".so") else 0o644) << 16
            archive.writestr(entry, data)


def digest(data):
    return base64.urlsafe_b64encode(hashlib.sha256(data).digest()).rstrip(b"=").decode()


# --- source distribution ----------------------------------------------------------------------------------


def without_caches(member):
    name = pathlib.PurePosixPath(member.name).name
    return None if name in ("__pycache__", "build", ".pytest_cache") else member


def pyproject_of_sdist():
    text = (HERE / "pyproject.toml").read_text(encoding="utf-8")
    return text.replace('backend-path = ["backend"]', 'backend-path = ["bindings/backend"]')


def add_text(archive, name, text):
    data = text.encode()
    member = tarfile.TarInfo(name)
    member.size = len(data)
    archive.addfile(member, io.BytesIO(data))
