"""Piping as built from Python: three answers, what they may be off by, and what would help."""

import json
import pickle
import subprocess

import numpy as np
import pytest
from conftest import SHED

import oxfade as ox

DAY = 86400.0


def test_a_row_of_branch_lines_becomes_pipes(shed):
    riser = shed.riser("Shed")
    assert [(pipe.name, pipe.from_pipe, pipe.count) for pipe in riser.pipes if pipe.name.startswith("lines")] == [
        ("lines 1-2", "main 1", 2), ("lines 3", "main", 1), ("lines 4", "main", 1),
    ]  # fmt: skip
    assert all(pipe.cells is None for pipe in riser.pipes)
    assert dict(zip((pipe.name for pipe in riser.pipes), riser.copies))["lines 1-2"] == 2
    usual = dict(zip((pipe.name for pipe in riser.pipes), riser.pitches))
    assert usual["lines 3"] == pytest.approx(0.5 / 120) and usual["main"] == pytest.approx(0.25 / 120)
    assert usual["feed"] == 1.0


def test_equal_pipes_are_computed_once(built):
    """A count is so many pipes written out, with the same answers."""
    north = built.risers[0]
    line = ox.Pipe(name="line", shape=ox.Cylinder(bore_m=0.0409, length_m=3.0), from_pipe="main", cells=6)
    end = ox.Pipe(name="end", shape=ox.Cylinder(bore_m=0.0266, length_m=1.0), from_pipe="line", cells=3)
    counted = north.with_(pipes=[*north.pipes, line.with_(count=3), end])
    names = [(line.with_(name=f"line {k}"), end.with_(name=f"end {k}", from_pipe=f"line {k}")) for k in (1, 2, 3)]
    written = north.with_(pipes=[*north.pipes, *(pipe for pair in names for pipe in pair)])
    assert counted.copies == (1, 1, 3, 3) and counted.volume_m3 == pytest.approx(written.volume_m3)
    one, many = (ox.predict(built.with_(risers=[riser]), history_points=0).risers[0] for riser in (counted, written))
    assert one.pipe("end").copies == 3
    assert one.average_oxygen == pytest.approx(many.average_oxygen, rel=1e-9)
    assert one.pipe("end").oxygen == pytest.approx(many.pipe("end 2").oxygen, rel=1e-9)


def test_three_answers(purged):
    riser = purged.riser("Shed")
    assert purged.target_at == "everywhere" and riser.time_to_target_s == riser.time_everywhere_s
    assert riser.reading("end vent").time_to_target_s < riser.reading("half way").time_to_target_s
    assert riser.time_of_average_s < riser.time_everywhere_s
    assert riser.time_at_readings_s == max(reading.time_to_target_s for reading in riser.readings)
    far = riser.reading("far end")
    assert (far.vent, far.pipe, far.cell) == (False, "lines 3", len(riser.pipe("lines 3").oxygen))
    assert far.oxygen == riser.pipe("lines 3").oxygen[-1]
    half = riser.reading("half way")
    ends = riser.pipe("lines 3").cell_ends
    assert (0.0, *ends)[half.cell - 1] <= 0.5 <= ends[half.cell - 1]
    with pytest.raises(ox.InputError, match="far end"):
        riser.reading("far and")


@pytest.mark.parametrize("what, name", [("readings", "time_at_readings_s"), ("average", "time_of_average_s")])
def test_the_target_may_be_asked_of_less(shed, purged, what, name):
    run = ox.predict(shed.with_(target_at=what), history_points=0)
    assert run.target_at == what
    assert run.riser("Shed").time_to_target_s == pytest.approx(getattr(purged.riser("Shed"), name), rel=0.02)
    assert run.riser("Shed").time_to_target_s == getattr(run.riser("Shed"), name)


def test_the_space_error_is_what_other_cells_move(shed, purged):
    riser = purged.riser("Shed")
    assert purged.resolution.pipes_as_given == 0 and 0 < purged.resolution.compared_with < purged.resolution.cells
    assert 0 < riser.space_error_of_time_s < 0.05 * riser.time_to_target_s
    fine = ox.predict(shed, refinement=4.0, history_points=0)
    assert fine.resolution.cells > 2 * purged.resolution.cells
    moved = abs(fine.riser("Shed").time_to_target_s - riser.time_to_target_s)
    assert moved < 1.5 * riser.space_error_of_time_s
    assert ox.predict(shed.with_(refinement=4.0), history_points=0).resolution.cells == fine.resolution.cells
    assert ox.loads(shed.with_(refinement=4.0).to_toml()).refinement == 4.0
    assert ox.loads(SHED + "[solver]\nrefinement = 4\n").refinement == 4.0 and shed.refinement is None
    with pytest.raises(ox.InputError, match="refinement"):
        ox.predict(shed, refinement=0.0)
    with pytest.raises(ox.InputError, match="refinement"):
        ox.predict(shed, refinement=1000.0)


def test_an_ensemble_has_the_usual_cells(shed):
    many = ox.ensemble(shed, {"target": [0.96, 0.97]})
    usual = ox.predict(shed, refinement=1.0, history_points=0)
    assert many.time_to_target_s[1] == pytest.approx(usual.riser("Shed").time_to_target_s, rel=1e-3)
    finer = ox.ensemble(shed.with_(refinement=2.0), {"target": [0.97]})
    assert finer.time_to_target_s[0] != many.time_to_target_s[1]


def test_what_nobody_knows_exactly(shed, purged):
    found = {(variation.what, variation.value): variation.time_to_target_s for variation in purged.variations}
    assert {what for what, _ in found} == {"leaks_at_entry", "leaks_at_far_ends", "mouth", "warm_end"}
    assert all(times.shape == (1,) for times in found.values())
    colder, warmer = found["warm_end", -1.0][0], found["warm_end", 1.0][0]
    assert colder < purged.riser("Shed").time_to_target_s < warmer
    itself = ox.predict(shed.with_(mixing=shed.mixing.with_(warm_end_k=1.0)), history_points=0)
    assert warmer == pytest.approx(itself.riser("Shed").time_to_target_s, rel=0.1)
    assert purged.riser("Shed").leak_place_decides is False
    assert ox.predict(shed, history_points=0).riser("Shed").leak_place_decides is None
    assert "nobody knows exactly" in purged.report()


def test_what_would_help(missed):
    assert not missed.all_met and missed.riser("Shed").time_to_target_s is None
    kinds = [remedy.kind for remedy in missed.remedies]
    assert kinds == ["vents", "vents", "vents", "cycles", "cycles", "longer"]
    all_lines, (longer,) = missed.remedies[0], [r for r in missed.remedies if r.kind == "longer"]
    (change,) = all_lines.changes
    assert (change.riser, change.lines, change.all_lines, change.cycles) == ("Shed", 4, 4, None)
    assert change.vent_diameter_m <= 0.3e-3 and change.low_pa is None
    assert all_lines.time_to_target_s.shape == (1,)
    assert all_lines.time_to_target_s[0] < DAY < 2 * DAY < longer.time_to_target_s[0] <= longer.simulated_s == 8 * DAY
    assert 0 < all_lines.demand_share < 1 and longer.demand_share is None and longer.changes[0].lines is None
    cycles = missed.remedies[4].changes[0]
    assert cycles.low_pa < cycles.high_pa and cycles.cycles > 0 and cycles.lines is None
    assert not any(remedy.on_air or remedy.too_large for remedy in missed.remedies)
    assert "What would help" in missed.report() and not ox.predict(missed.plant, history_points=0).remedies


def test_a_remedy_can_be_run(missed):
    first = missed.remedies[0]
    helped = missed.with_remedy(first)
    assert len(helped.riser("Shed").vents) == 4 and helped.duration_s == missed.duration_s
    run = ox.predict(helped, history_points=0)
    assert run.all_met
    assert run.riser("Shed").time_to_target_s == pytest.approx(first.time_to_target_s[0], rel=0.2)
    other = ox.predict(missed.plant, remedies=False, history_points=0)
    with pytest.raises(ox.InputError, match="remedy.*another run"):
        other.with_remedy(first)


def test_all_of_it_can_be_pickled(purged, missed):
    for run in (purged, missed):
        again = pickle.loads(pickle.dumps(run))
        assert again.report() == run.report() and again.to_json() == run.to_json()
    change = missed.remedies[4].changes[0]
    assert pickle.loads(pickle.dumps(change)).cycles == change.cycles
    assert pickle.loads(pickle.dumps(missed.remedies[1])).kind == "vents"
    assert pickle.loads(pickle.dumps(missed.plant.with_(refinement=0.5))).refinement == 0.5
    variation = pickle.loads(pickle.dumps(purged.variations[0]))
    assert variation.time_to_target_s.tolist() == purged.variations[0].time_to_target_s.tolist()


def test_the_program_says_the_same(shed, purged, missed, program, tmp_path):
    file = tmp_path / "shed.toml"
    file.write_text(SHED)
    for run, words, status in ((purged, (), 0), (missed, ("--set", "duration=2 d", "--skip-extras", "--remedies"), 1)):
        done = subprocess.run([program, "predict", file, "--json", "-", *words], capture_output=True, text=True, check=False)
        assert done.returncode == status
        assert json.loads(run.to_json()) == json.loads(done.stdout)


def test_findings_of_many_places_list_them(missed, shed):
    (dead,) = [message for message in missed.messages if message.code == "no-way-out"]
    assert dead.where.startswith("Shed / lines 1 to 4") and len(dead.places) > 1
    assert dead.places == [m for m in ox.check(shed).messages if m.code == "no-way-out"][0].places
    assert pickle.loads(pickle.dumps(dead)) == dead


def test_the_history_follows_gas_machine_and_vents(shed):
    run = ox.predict(shed.with_({"riser.Shed.vent.'end vent'.open": {"until": "2 d"}, "duration": "4 d"}))
    history, riser = run.history, run.riser("Shed")
    rows = len(history.times_s)
    for name in ("supplied_std_m3", "vented_std_m3", "leaked_std_m3"):
        series = getattr(history, name)
        assert series.shape == (rows, 1) and series[-1, 0] == pytest.approx(getattr(riser, name), rel=1e-6)
        assert series[0, 0] == pytest.approx(0.0, abs=1e-12)
    assert history.running_s[-1] == pytest.approx(run.source.running_s) and (np.diff(history.running_s) >= 0).all()
    assert history.air_s[-1] == pytest.approx(run.source.air_s)
    assert history.vents == (("Shed", "end vent"),) and history.vents_open.shape == (rows, 1)
    assert history.vents_open[np.searchsorted(history.times_s, DAY), 0] and not history.vents_open[-1, 0]


def test_studies_say_how_finely_pipes_were_cut(shed):
    wide = shed.with_({"riser.Shed.vent.'end vent'.diameter": "0.35 mm"})
    both = ox.compare({"as drawn": shed, "wider": wide})
    assert both.target_at == ("everywhere", "everywhere") and (both.space_error_of_time_s > 0).all()
    swept = ox.sweep(shed, {"target": [0.96, 0.97]})
    assert swept.target_at == "everywhere" and swept.space_error_of_time_s > 0
    (end,) = ox.check(shed).dead_ends[:1]
    assert end.by_mixing_s < end.by_diffusion_s and end.length_m == pytest.approx(3.0)
