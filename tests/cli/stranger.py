"""What the program says to strangers: faults of its surroundings and mistakes in files, each tried out for real.

`tests/cli/write_tables PROGRAM` keeps the outcome in faults.md and mistakes.md; test_faults.py and test_mistakes.py
hold the program to it.
"""

import contextlib
import os
import pathlib
import resource
import shutil
import signal
import subprocess
import tempfile
import time

FOLDER = pathlib.Path(__file__).parent
SCENARIO = (FOLDER.parents[1] / "tests" / "support" / "store.toml").read_text(encoding="utf-8")
READINGS = "time,riser,pipe,oxygen\n1 d,Dock,branches,9.4 %\n"


class Trial:
    """One command in a folder of its own, which anybody may enter."""

    def __init__(self, program, folder):
        self.program = os.path.abspath(program)
        self.folder = pathlib.Path(folder)
        self.plant = self.write("plant.toml", SCENARIO)

    def write(self, name, content):
        path = self.folder / name
        path.write_bytes(content.encode() if isinstance(content, str) else content)
        return path

    def run(self, *arguments, **more):
        more.setdefault("stdout", subprocess.PIPE)
        more.setdefault("stdin", subprocess.DEVNULL)
        return subprocess.run(
            [self.program, *map(str, arguments)], stderr=subprocess.PIPE, cwd=self.folder, timeout=120, **more
        )  # fmt: skip

    def left(self):
        """Names in the folder that the trial did not start with."""
        return sorted(path.name for path in self.folder.iterdir() if path.name not in self.before)

    def start(self):
        self.before = {path.name for path in self.folder.iterdir()}


def said(done):
    """Status and what standard error says, on one line."""
    return done.returncode, " / ".join(done.stderr.decode(errors="backslashreplace").splitlines())


def as_nobody(trial, *arguments):
    """Runs without the rights of root, which no permission holds back: a copy of the program in the trial's folder,
    for nobody else may enter the one where root has built it."""
    if os.geteuid() != 0:
        return trial.run(*arguments)
    copy = trial.folder / "oxfade"
    shutil.copy(trial.program, copy)
    copy.chmod(0o755)
    built, trial.program = trial.program, copy
    try:
        return trial.run(*arguments, user=65534, group=65534, extra_groups=[])
    finally:
        trial.program = built
        copy.unlink()


def closed_pipe(trial):
    read, write = os.pipe()
    os.close(read)
    try:
        return trial.run("predict", "plant.toml", "--csv", "-", stdout=write)
    finally:
        os.close(write)


def full_output(trial):
    with open("/dev/full", "wb") as full:
        return trial.run("predict", "plant.toml", stdout=full)


def full_disk(trial):
    """A disk with no more room than one for the first kilobytes of a file."""
    def no_room():
        resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096))

    return trial.run("predict", "plant.toml", "--quiet", "--csv", "fade.csv", preexec_fn=no_room)


def small_disk(trial):
    """A real file system of 64 kB, where there are the rights to mount one."""
    disk = trial.folder / "disk"
    disk.mkdir()
    trial.before.add("disk")
    mounted = subprocess.run(["mount", "-t", "tmpfs", "-o", "size=64k", "none", disk], capture_output=True)
    if mounted.returncode != 0:
        return None
    try:
        done = trial.run("predict", "plant.toml", "--quiet", "--csv", "disk/fade.csv")
        assert list(disk.iterdir()) == [], "something half-written stayed behind"
        return done
    finally:
        subprocess.run(["umount", disk], check=True)


def no_folder(trial):
    return trial.run("predict", "plant.toml", "--json", "none/out.json")


def folder_for_file(trial):
    return trial.run("predict", "plant.toml", "--json", ".")


def read_only_folder(trial):
    trial.folder.chmod(0o555)
    try:
        return as_nobody(trial, "predict", "plant.toml", "--json", "out.json")
    finally:
        trial.folder.chmod(0o777)


def read_only_file(trial):
    trial.write("out.json", "kept").chmod(0o444)
    trial.before.add("out.json")
    done = as_nobody(trial, "predict", "plant.toml", "--json", "out.json")
    assert (trial.folder / "out.json").read_text() == "kept"
    return done


def unreadable_file(trial):
    trial.plant.chmod(0o000)
    return as_nobody(trial, "predict", "plant.toml")


def interrupted(trial):
    vent = "riser.Store.vent.'end vent'.open={every=\"0.4 s\",for=\"0.2 s\"}"
    process = subprocess.Popen(
        [trial.program, "predict", "plant.toml", "--set", vent, "--json", "out.json", "--csv", "out.csv"],
        cwd=trial.folder, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
    )  # fmt: skip
    time.sleep(1.0)
    process.send_signal(signal.SIGINT)
    process.stderr_text = process.communicate(timeout=60)[1]
    return subprocess.CompletedProcess([], process.returncode, b"", process.stderr_text)


def decimal_comma(trial):
    """In a locale that writes 1,5: the same bytes come out."""
    locales = trial.folder / "locales"
    locales.mkdir()
    trial.before.add("locales")
    if shutil.which("localedef") is None:
        return None
    made = subprocess.run(["localedef", "-i", "de_DE", "-f", "UTF-8", locales / "de_DE.UTF-8"], capture_output=True)
    if not (locales / "de_DE.UTF-8").exists():
        return None
    there = {**os.environ, "LOCPATH": str(locales), "LC_ALL": "de_DE.UTF-8"}
    command = ("predict", "plant.toml", "--skip-extras", "--json", "-")
    done = trial.run(*command, env=there)
    assert done.stdout == trial.run(*command).stdout
    return done


def scenario(make):
    """A fault of the scenario file itself."""

    def fault(trial):
        trial.write("plant.toml", make(SCENARIO))
        return trial.run("check", "plant.toml")

    return fault


def readings(make):
    """A fault of a table of readings."""

    def fault(trial):
        # A fit is many runs: the one system that was read will do.
        head, *systems = SCENARIO.split("[[riser]]\n")
        trial.write("plant.toml", "[[riser]]\n".join([head, systems[-1]]))
        trial.write("readings.csv", make(READINGS))
        trial.before.add("readings.csv")
        return trial.run("fit", "plant.toml", "readings.csv", "--quiet")

    return fault


def with_value(old, new):
    assert old in SCENARIO, old
    return lambda text: text.replace(old, new, 1)


#: What is done to the program, how, the status that is due, a fragment of what it says, and files it may leave.
FAULTS = [
    ("Standard output closed early (`| head`)", closed_pipe, 0, ""),
    ("Standard output on a full device", full_output, 2, "cannot write to standard output: No space left on device"),
    ("Disk full while a file is written (size limit)", full_disk, 2, "cannot write 'fade.csv': File too large"),
    ("Disk full while a file is written (64 kB disk)", small_disk, 2, "No space left on device"),
    ("Folder of the output file is not there", no_folder, 2, "there is no folder 'none'"),
    ("Output file is a folder", folder_for_file, 2, "it is a directory"),
    ("Folder may not be written", read_only_folder, 2, "cannot write 'out.json': Permission denied"),
    ("Output file may not be written; it is kept", read_only_file, 2, "cannot write 'out.json': Permission denied"),
    ("Scenario file may not be read", unreadable_file, 2, "cannot be opened for reading: Permission denied"),
    ("Scenario file is not there", lambda t: t.run("check", "none.toml"), 2, "No such file or directory"),
    ("Scenario file is a folder", lambda t: t.run("check", "."), 2, "is a directory"),
    ("Scenario file without a name", lambda t: t.run("check", ""), 2, "'' cannot be opened"),
    ("Scenario file without an end (/dev/zero)", lambda t: t.run("check", "/dev/zero"), 2, "too large"),
    ("Ctrl-C within a long run; no file is left", interrupted, -signal.SIGINT, "this may take about"),
    ("Locale with a decimal comma; the same bytes", decimal_comma, 0, ""),
    ("Windows line ends", scenario(lambda s: s.replace("\n", "\r\n")), 0, ""),
    ("Line ends of old Macs", scenario(lambda s: s.replace("\n", "\r")), 2, "plant.toml:1: "),
    ("Byte order mark first", scenario(lambda s: b"\xef\xbb\xbf" + s.encode()), 0, ""),
    ("Not UTF-8 (Latin-1)", scenario(lambda s: s.replace("Cold store", "K\xfchlhaus").encode("latin-1")), 2,
     "save the file as UTF-8"),
    ("Not UTF-8 (UTF-16)", scenario(lambda s: s.encode("utf-16")), 2, "plant.toml:1: "),
    ("Zero bytes", scenario(lambda s: s.replace("Cold", "Co\0ld")), 2, "plant.toml:10: "),
    ("Empty scenario file", scenario(lambda s: ""), 2, "format: this key is missing"),
    ("Huge value", scenario(with_value('"70 ft"', '"1e308 ft"')), 2, "is larger than any plant has"),
    ("Value beyond all numbers", scenario(with_value('"70 ft"', '"1e999 ft"')), 2, "too large or too small to hold"),
    ("Denormal value", scenario(with_value('"70 ft"', '"4.9e-324 m"')), 2, "holds 0 mL in each of its parts"),
    ("Denormal value of a hole", scenario(with_value('"0.016 in"', '"4.9e-324 m"')), 0, ""),
    ("NaN for a quantity", scenario(with_value('"70 ft"', '"nan ft"')), 2, "is not a finite number"),
    ("NaN for a number", scenario(with_value('{ diameter = "0.5 in" }', '{ diameter = "0.5 in", coefficient = nan }')),
     2, "is not a finite number"),
    ("Infinity for a tolerance", scenario(lambda s: s + "\n[solver]\nrelative_tolerance = inf\n"), 2,
     "from 1e-12 to 1e-2"),
    ("Whole number beyond 64 bits", scenario(with_value("cells    = 2", "cells    = 99999999999999999999")), 2,
     "plant.toml:42"),
    ("Readings: NaN", readings(lambda r: r.replace("9.4 %", "nan %")), 2, "is not a finite number"),
    ("Readings: infinity", readings(lambda r: r.replace("1 d", "inf d")), 2, "is not a finite number"),
    ("Readings: decimal comma, quoted", readings(lambda r: r.replace("9.4 %", '"9,4 %"')), 2, "write a decimal point"),
    ("Readings: semicolons between fields", readings(lambda r: r.replace(",", ";")), 2, "part them by commas"),
    ("Readings: empty file", readings(lambda r: ""), 2, "there is nothing in it"),
    ("Readings: header alone", readings(lambda r: r.splitlines()[0]), 2, "there are no readings in it"),
    ("Readings: a quote left open", readings(lambda r: r.replace("Dock", '"Dock')), 2, "a quote is left open"),
    ("Readings: zero bytes", readings(lambda r: r.replace("Dock", "Do\0ck")), 2, "the plant has no such riser"),
    ("Readings: Windows line ends and a byte order mark",
     readings(lambda r: b"\xef\xbb\xbf" + r.replace("\n", "\r\n").encode()), 1, ""),
]  # fmt: skip


@contextlib.contextmanager
def trial_of(program):
    folder = tempfile.mkdtemp(prefix="oxfade-trial-")
    os.chmod(folder, 0o777)
    try:
        trial = Trial(program, folder)
        trial.start()
        yield trial
    finally:
        shutil.rmtree(folder)


def try_fault(program, fault):
    """What happened: (status, words, files left), or None where it cannot be tried."""
    with trial_of(program) as trial:
        done = fault(trial)
        return None if done is None else (*said(done), trial.left())


def edit(old, new):
    assert old in SCENARIO, old
    return old, new


#: A mistake people make, the line as it should be, as they write it, and what the message must tell them.
MISTAKES = [
    ("Unit left out", *edit('set_pressure = "28 psig"', 'set_pressure = "28"'), "has no unit"),
    ("Unit and quotes left out", *edit('set_pressure = "28 psig"', "set_pressure = 28"), 'for example "28 psig"'),
    ("psi for psig", *edit('set_pressure = "28 psig"', 'set_pressure = "28 psi"'), "13.6 psig here"),
    ("Area for a diameter", *edit('"0.016 in"', '"0.0002 in2"'), "give its diameter"),
    ("Inches for thousandths of an inch", *edit('"0.016 in"', '"16 in"'), "wider than the pipe it is on"),
    ("Fraction for percent", *edit('target   = "98 %"', "target   = 0.98"), "given: 0.98"),
    ("Fraction with a percent sign", *edit('target   = "98 %"', 'target   = "0.98 %"'), "98 %, not 0.98 %"),
    ("Oxygen for purity", *edit('purity        = "99.5 %"', 'purity        = "0.5 %"'), "Purity is 100 % less the oxygen"),
    ("Misspelt key", *edit("set_pressure = ", "setpressure = "), "did you mean `set_pressure`?"),
    ("Misspelt table", *edit("[source.receiver]", "[source.reciever]"), "did you mean `receiver`?"),
    ("Misspelt word", *edit('"generator"', '"genrator"'), "did you mean `generator`?"),
    ("Vent on a pipe that does not exist", *edit('at          = "far branches"', 'at          = "far branch"'),
     "did you mean `far branches`?"),
    ("Pipe that branches off one that does not exist", *edit('from     = "feed"', 'from     = "main"'),
     "its pipes: feed, cross main, far branches, near branches"),
    ("Decimal comma", *edit('"70 ft"', '"70,5 ft"'), "write a decimal point"),
    ("Letters in the wrong order", *edit('"4 degC"', '"4 dgeC"'), "did you mean `degC`?"),
    ("Volume for a flow", *edit('"130 ft3/h"', '"130 ft3"'), "a volume flow is wanted"),
    ("Gas for the volume of a space", *edit('"80 gal"', '"0.2 Nm3"'), "is an amount of gas"),
    ("Gauge for a difference", *edit('loss = "0.8 psi"', 'loss = "0.8 psig"'), "is taken as a difference of pressures"),
    ("Minutes that are more than 59", *edit('over = "24 h"', 'over = "1:75:00"'), "75 minutes after the hours"),
    ("Quotes left out", *edit('"Cold store with two dry systems"', "Cold store"), "stand in quotes"),
    ("Single brackets for the second riser", *edit('[[riser]]\nname         = "Dock"', '[riser]\nname         = "Dock"'),
     "double brackets, [[riser]]"),
    ("Metric nominal size", *edit('nominal  = "6 in"', 'nominal  = "150 mm"'), "or give `bore`"),
    ("Schedule that the size does not come in", *edit('schedule = "10"', 'schedule = "80"'), "allowed: 5, 10, 40"),
    ("Start above stop", *edit('"110 psig"', '"80 psig"'), "must be below `stop`"),
    ("Two pipes of one name", *edit('name     = "near branches"', 'name     = "far branches"'), "two pipes have this name"),
    ("Half a pressure test", *edit('over = "24 h"\n', ""), "leak.0.over: this key is missing"),
    ("Time without saying what it is", *edit("liquid_stop = true", 'open = "14 d"'), '{ until = "14 d" }'),
]  # fmt: skip


def try_mistake(program, right, wrong):
    """What `oxfade check` says of the example with one mistake in it: (status, lines)."""
    with trial_of(program) as trial:
        trial.write("plant.toml", SCENARIO.replace(right, wrong, 1))
        status, words = said(trial.run("check", "plant.toml", "--units", "us"))
        return status, words.split(" / ")


def faults_table(program):
    lines = [
        "# Faults of the surroundings, and what happens",
        "",
        "Each is tried by `test_faults.py`; `tests/cli/write_tables` writes this page. In every case nothing half-written",
        "is left behind. Status 0 is done, 1 done with something not met, 2 input or path that cannot be used; a negative",
        "one is the signal that ended the program.",
        "",
        "| fault | status | what is said |",
        "|---|---:|---|",
    ]
    for name, fault, _, _ in FAULTS:
        tried = try_fault(program, fault)
        if tried is None:
            raise SystemExit(f"cannot be tried here: {name}")
        words = tried[1] if len(tried[1]) < 200 else tried[1][:200] + " ..."
        lines.append(f"| {name} | {tried[0]} | {cell(words) or 'nothing'} |")
    return "\n".join(lines) + "\n"


def cell(text):
    return text.replace("|", "\\|").replace("<", "&lt;").replace("\\x00", "(zero byte)")


def written(right, wrong):
    """The line with the mistake, as it then stands in the file."""
    before, after = SCENARIO.splitlines(), SCENARIO.replace(right, wrong, 1).splitlines()
    if len(after) < len(before):
        return [f"(left out: {right.strip()})"]
    return [" ".join(new.split("#")[0].split()) for old, new in zip(before, after) if old != new]


def mistakes_table(program):
    lines = [
        "# Mistakes people make, and what they are told",
        "",
        "Each is one change to `tests/support/store.toml`, shown to `oxfade check`. Tried by `test_mistakes.py`;",
        "`tests/cli/write_tables` writes this page.",
        "",
    ]
    for name, right, wrong, _ in MISTAKES:
        status, words = try_mistake(program, right, wrong)
        lines += [f"**{name}** (status {status})", "", "```text"]
        lines += written(right, wrong)
        lines += ["  " + word for word in words]
        lines += ["```", ""]
    return "\n".join(lines)
