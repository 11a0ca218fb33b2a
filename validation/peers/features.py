"""Which features of the model a scenario file uses, by name."""

import tomllib

LEAKS = {"loss": "leak by pressure test", "flow": "leak by flow", "diameter": "leak by diameter"}
POLICIES = {"until": "vent until a time", "target": "vent until target", "every": "vent by the clock",
            "high": "vent by pressure"}  # fmt: skip


def vent_policy(vent):
    policy = vent.get("open", "always")
    if not isinstance(policy, dict):
        return "vent always open"
    if policy.get("until") == "target":
        return POLICIES["target"]
    return next(name for key, name in POLICIES.items() if key in policy)


def of_piping(riser):
    pipes = riser["pipe"]
    froms = [pipe.get("from", before["name"]) for before, pipe in zip(pipes, pipes[1:])]
    if len(set(froms)) < len(froms):
        yield "branches"
    if riser.get("link"):
        yield "loop"
    if any(pipe.get("cells", 1) > 1 for pipe in pipes):
        yield "cells in series"
    if any("nominal" in pipe for pipe in pipes):
        yield "sizes by name"
    if any("exchange" in pipe for pipe in pipes):
        yield "given exchange"


def of_mixing(table):
    shaped = any("volume" not in pipe for riser in table["riser"] for pipe in riser["pipe"])
    mixing = table.get("mixing", {})
    if shaped and mixing.get("molecular", True):
        yield "molecular mixing"


def of_riser(riser):
    yield from of_piping(riser)
    yield "supply by " + riser["supply"]["kind"]
    yield from (vent_policy(vent) for vent in riser.get("vent", []))
    yield from (name for leak in riser.get("leak", []) for key, name in LEAKS.items() if key in leak)
    yield from ("leak placed" if "at" in leak else "leak spread by volume" for leak in riser.get("leak", []))
    if riser.get("initial_gas") == "source":
        yield "riser full of nitrogen"
    if "initial_pressure" in riser:
        yield "riser under pressure"
    if "rest" in riser:
        yield "rest between fills"


def features(path):
    """Names of what the file asks for, without repeats, in the order of the file."""
    with open(path, "rb") as file:
        table = tomllib.load(file)
    site, source = table["site"], table["source"]
    found = [source["kind"]]
    receiver = source.get("receiver", {})
    found += ["nitrogen in the receiver"] if receiver.get("initial_gas") == "source" else []
    found += ["receiver pressure given"] if "initial_pressure" in receiver else []
    found += ["altitude"] if "altitude" in site else []
    found += ["air pressure given"] if "pressure" in site else []
    found += ["other reference conditions"] if "reference" in site else []
    found += ["several risers"] if len(table["riser"]) > 1 else []
    for riser in table["riser"]:
        found += of_riser(riser)
    return list(dict.fromkeys([*found, *of_mixing(table)]))
