"""Fails when a headline number moves; see Versions in DEVELOPERS.md for what a move means."""

import csv
import os

import pytest
from headlines import CASES, TABLE, rows

PROGRAM = os.environ.get("OXFADE", "oxfade")


def same(kept, now):
    if "none" in (kept, now):
        return kept == now
    return float(now) == pytest.approx(float(kept), rel=2e-5, abs=1e-9)


def test_no_headline_number_has_moved():
    with TABLE.open(encoding="utf-8", newline="") as file:
        kept = {(row["case"], row["quantity"]): row["value"] for row in csv.DictReader(file)}
    now = {(case, quantity): value for case, quantity, value in rows(PROGRAM)}
    assert kept.keys() == now.keys()
    moved = [f"{key}: {kept[key]} -> {value}" for key, value in now.items() if not same(kept[key], value)]
    assert not moved, "\n".join(moved)


def test_the_table_covers_every_kind_of_end():
    with TABLE.open(encoding="utf-8", newline="") as file:
        table = list(csv.DictReader(file))
    assert {row["case"] for row in table} == set(CASES)
    times = [row["value"] for row in table if "time to target" in row["quantity"]]
    assert "none" in times
    assert any(time != "none" for time in times)
