"""`python -m oxfade`: the program's `check` and `predict`, where the program itself is not installed."""

from __future__ import annotations

import argparse
import json
import pathlib
import sys
from typing import Dict, List, Optional

from . import __version__, check, load, predict
from .errors import ComputationError, Error, FileError, InputError

EPILOG = "Exit status: 0 target and fill limits met, 1 not met, 2 errors in the input, 3 any other error."


def main(arguments: Optional[List[str]] = None) -> int:
    """Do what the command line asks for, and give the exit status."""
    given = _parser().parse_args(arguments)
    try:
        return _done(given)
    except InputError as error:
        print(error, file=sys.stderr)
        return 2
    except (FileError, ComputationError, Error) as error:
        print(f"oxfade: {error}", file=sys.stderr)
        return 2 if isinstance(error, FileError) else 3


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m oxfade", description="Simulate the nitrogen purging of dry sprinkler systems.", epilog=EPILOG)
    parser.add_argument("--version", action="version", version=f"oxfade {__version__}")
    verbs = parser.add_subparsers(dest="verb", required=True, metavar="check | predict")
    for verb, words in (("check", "Check a scenario file without a simulation."), ("predict", "Simulate a scenario file.")):
        added = verbs.add_parser(verb, help=words, description=words, epilog=EPILOG)
        added.add_argument("file", help="scenario file (TOML)")
        added.add_argument("--set", dest="keys", metavar="KEY=VALUE", action="append", default=[], help="replace a value of the file")
        added.add_argument("--units", choices=("si", "us"), help="units of the report; the file's own by default")
        added.add_argument("--json", metavar="PATH", help="write the results as JSON; - for standard output in place of the report")
        if verb == "predict":
            added.add_argument("--csv", metavar="PATH", help="write the time series as CSV")
            added.add_argument("--skip-extras", action="store_true", help="leave out the runs with uncertain data varied")
            added.add_argument("--remedies", action="store_true", help="where the target is missed, compute what would help")
    return parser


def _done(given: argparse.Namespace) -> int:
    plant = load(given.file, _keys(given.keys))
    if given.verb == "check":
        study = check(plant)
        _written(given, study.report(given.units), study.to_json(given.units))
        return int(any(message.level == "failure" for message in study.messages))
    run = predict(plant, vary=not given.skip_extras, remedies=given.remedies)
    _written(given, run.report(given.units), run.to_json(given.units))
    if given.csv:
        _write(given.csv, run.to_csv())
    return int(not run.all_met)


def _keys(settings: List[str]) -> Dict[str, str]:
    keys = {}
    for setting in settings:
        key, equals, value = setting.partition("=")
        if not equals:
            raise Error(f"--set takes KEY=VALUE, got {setting}")
        keys[key] = value
    return keys


def _written(given: argparse.Namespace, report: str, document: str) -> None:
    if given.json == "-":
        print(document, end="")
        for message in json.loads(document)["messages"]:
            said = (message["level"], message["where"], message["text"])
            print(": ".join(part for part in said if part), file=sys.stderr)
        return
    print(report, end="")
    if given.json:
        _write(given.json, document)


def _write(path: str, text: str) -> None:
    try:
        pathlib.Path(path).write_text(text, encoding="utf-8")
    except OSError as error:
        raise FileError(f"{path} cannot be written: {error.strerror}") from error


if __name__ == "__main__":
    sys.exit(main())
