"""Runs clang-tidy on the sources of library and program, as many at once as there are processors.

lint.py BUILD FILES: FILES are the changed ones, a line each, or * for all. What was found fine is remembered in
BUILD/lint by a digest of the source, of every header of ours that it includes, of its command and of the rules.
"""

import concurrent.futures
import hashlib
import json
import os
import pathlib
import re
import subprocess
import sys

TOP = pathlib.Path.cwd()
BUILD = pathlib.Path(sys.argv[1]).resolve()
CHANGED = sys.argv[2].split("\n")
FINE = BUILD / "lint"


def headers():
    """What every object was made of, as the build knows it: source to files of ours."""
    said = subprocess.run(["ninja", "-C", BUILD, "-t", "deps"], capture_output=True, text=True, check=True).stdout
    found = {}
    for block in said.split("\n\n"):
        files = [(BUILD / line.strip()).resolve() for line in block.splitlines()[1:]]
        ours = [path for path in files if path.is_relative_to(TOP) or path.is_relative_to(BUILD)]
        ours = [path for path in ours if "CMakeFiles" not in path.parts]
        for path in ours:
            if path.suffix == ".cpp":
                found.setdefault(path, set()).update(ours)
    return found


def digest(command, files):
    sum_ = hashlib.sha256(f"{VERSION}\n{command}\n".encode())
    for path in [TOP / ".clang-tidy", *sorted(files)]:
        sum_.update(path.read_bytes())
    return sum_.hexdigest()


def tidy(job):
    source, mark = job
    done = subprocess.run(
        ["clang-tidy", "-p", BUILD, "--quiet", "--extra-arg=-Wno-unknown-warning-option", source],
        capture_output=True, text=True,
    )  # fmt: skip
    if done.returncode == 0:
        mark.touch()
    return done


VERSION = subprocess.run(["clang-tidy", "--version"], capture_output=True, text=True, check=True).stdout
FINE.mkdir(exist_ok=True)
commands = {}
for entry in json.loads((BUILD / "compile_commands.json").read_text()):
    path = (pathlib.Path(entry["directory"]) / entry["file"]).resolve()
    if path.is_relative_to(TOP / "lib" / "src") or path.is_relative_to(TOP / "apps"):
        commands.setdefault(path, entry["command"])

made_of = headers()
jobs, known = [], 0
for source, command in sorted(commands.items()):
    files = made_of.get(source, {source})
    if CHANGED != ["*"] and not {str(path.relative_to(TOP)) for path in files if path.is_relative_to(TOP)} & set(CHANGED):
        continue
    mark = FINE / digest(command, files)
    if mark.exists():
        known += 1
    else:
        jobs.append((source, mark))

print(f"   {len(jobs)} of {len(commands)} sources to look at, {known} are known to be fine", flush=True)
bad = 0
with concurrent.futures.ThreadPoolExecutor(int(os.environ.get("OXFADE_JOBS", os.cpu_count()))) as pool:
    for done in pool.map(tidy, jobs):
        if done.returncode != 0:
            bad += 1
            print(re.sub(r"^\d+ warnings? .*\n", "", done.stdout + done.stderr, flags=re.MULTILINE), flush=True)
sys.exit(bad > 0)
