"""Full disks, closed pipes, strange files: the program says what is wrong and leaves nothing half-written."""

import pytest
from stranger import FAULTS, FOLDER, try_fault


@pytest.mark.parametrize("name, fault, status, fragment", FAULTS, ids=[fault[0] for fault in FAULTS])
def test_fault(program, name, fault, status, fragment):
    tried = try_fault(program, fault)
    if tried is None:
        pytest.skip("cannot be tried here")
    assert tried[0] == status, tried[1]
    assert fragment in tried[1]
    assert tried[2] == []
    if status == 0:
        assert tried[1] == ""


def test_the_page_has_them_all():
    page = (FOLDER / "faults.md").read_text(encoding="utf-8")
    for name, _, status, fragment in FAULTS:
        line = next(line for line in page.splitlines() if line.startswith(f"| {name} |"))
        assert f"| {status:d} |" in line
        assert fragment in line
