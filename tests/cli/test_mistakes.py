"""Mistakes people make: the message says what to do, and the page of them is what the program says today."""

import pytest
from stranger import FOLDER, MISTAKES, mistakes_table, try_mistake


@pytest.mark.parametrize("name, right, wrong, fragment", MISTAKES, ids=[mistake[0] for mistake in MISTAKES])
def test_mistake(program, name, right, wrong, fragment):
    status, words = try_mistake(program, right, wrong)
    assert any(fragment in line for line in words), words
    if status == 2:
        assert any(line.startswith("plant.toml:") for line in words)


def test_the_page_is_what_is_said(program):
    assert (FOLDER / "mistakes.md").read_text(encoding="utf-8") == mistakes_table(program)
