"""Committed tables that must say what is computed now. Shared by the make_table commands."""

import re
import sys

NUMBER = re.compile(r"-?\d+(?:\.\d+)?(?:e[+-]?\d+)?")


def last_digit(number):
    """One unit of the last printed digit."""
    mantissa, _, exponent = number.lower().partition("e")
    decimals = len(mantissa.partition(".")[2])
    return 10.0 ** (int(exponent or 0) - decimals)


def same(old, new):
    """Equal but for one unit in the last digit of any number: another compiler's last bits change nothing."""
    if NUMBER.sub("#", old) != NUMBER.sub("#", new):
        return re.sub(r"[+-]?0\.0[01] %", "0 %", old) == re.sub(r"[+-]?0\.0[01] %", "0 %", new)
    pairs = zip(NUMBER.findall(old), NUMBER.findall(new))
    return all(a == b or abs(float(a) - float(b)) <= 1.01 * max(last_digit(a), last_digit(b)) for a, b in pairs)


def first_difference(old, new):
    old, new = old.splitlines(), new.splitlines()
    for number, (a, b) in enumerate(zip(old, new), 1):
        if not same(a, b):
            return f"line {number}:\n  committed {a}\n  now       {b}"
    return f"{len(old)} lines committed, {len(new)} now" if len(old) != len(new) else None


def write_or_check(path, text, check, command):
    """Writes a file, or ends the program with what differs if the committed one says something else."""
    if not check:
        path.write_text(text)
        return
    difference = first_difference(path.read_text() if path.exists() else "", text)
    if difference:
        sys.exit(f"{path} is stale: run {command} and commit it.\n{difference}")
