import gc
import json
import pickle
import subprocess
import sys
import textwrap
import threading
import time

import numpy as np
import pytest
from conftest import SCENARIOS, STORE, for_long

import oxfade as ox


@pytest.mark.parametrize("file", sorted(SCENARIOS.glob("*.toml")), ids=lambda f: f.stem)
def test_the_program_gives_the_same_numbers(file, program, tmp_path):
    series = tmp_path / "series.csv"
    done = subprocess.run(
        [program, "predict", file, "--json", "-", "--csv", series], capture_output=True, text=True, check=False
    )
    run = ox.predict(ox.load(file), vary=True)
    assert done.returncode == (0 if run.all_met else 1)
    assert json.loads(run.to_json()) == json.loads(done.stdout)
    assert run.to_csv() == series.read_text()
    report = subprocess.run([program, "predict", file], capture_output=True, text=True, check=False).stdout
    assert run.report() == report


def test_attributes_are_those_of_the_json(run):
    document = json.loads(run.to_json())
    for riser, wanted in zip(run.risers, document["risers"]):
        for key, value in wanted.items():
            if key == "final":
                assert riser.final_pressure_pa == value["pressure_pa"]
                for pipe, end in zip(riser.pipes, value["pipes"]):
                    assert pipe.oxygen.tolist() == end["oxygen"]
                    assert pipe.time_to_target_s.tolist() == end["time_to_target_s"]
            elif key == "at_target_s":
                assert riser.at_target_s.tolist() == value
            elif key == "readings":
                for reading, said in zip(riser.readings, value, strict=True):
                    assert {name: getattr(reading, name) for name in said if name not in ("kind", "vent")} == {
                        name: said[name] for name in said if name not in ("kind", "vent")
                    }
            else:
                assert getattr(riser, key) == value, key
    for key, value in document["source"].items():
        assert (run.nitrogen_purity if key == "purity" else getattr(run.source, key)) == value, key
    assert run.balance_worst_relative < 1e-9


def test_history_is_seen_without_a_copy(cold_store):
    run = ox.predict(cold_store, history_points=101)
    history = run.history
    cells = sum(len(pipe.oxygen) for riser in run.risers for pipe in riser.pipes)
    assert history.times_s.shape == (101,) and history.pressure_pa.shape == (101, 2)
    assert history.oxygen.shape == (101, cells) == (101, len(history.compartments))
    assert history.receiver_pressure_pa.shape == (101,)
    for name in ("times_s", "pressure_pa", "oxygen", "receiver_pressure_pa"):
        array = getattr(history, name)
        assert np.shares_memory(array, getattr(run.history, name)) and array.base is run
        with pytest.raises(ValueError):
            array[0] = 0.0
    oxygen, first = history.oxygen, history.oxygen[0].copy()
    del run, history
    gc.collect()
    assert (oxygen[0] == first).all()
    assert oxygen[-1].max() < 0.02


def test_cylinders_have_no_receiver():
    run = ox.predict(ox.load(SCENARIOS / "preaction_cylinders.toml"), history_points=3)
    assert run.history.receiver_pressure_pa is None
    assert run.source.energy_kwh is None


def test_a_target_not_reached_is_none_and_says_why():
    run = ox.predict(ox.load(SCENARIOS / "warehouse_large_vents.toml"))
    assert not run.all_met
    riser = run.riser("Hall A")
    assert riser.time_to_target_s is None and riser.not_met_because
    assert np.isnan(riser.pipe("cross main").time_to_target_s).all()
    assert {message.level for message in run.messages} >= {"failure"}


def test_runs_can_be_pickled(run):
    again = pickle.loads(pickle.dumps(run))
    assert again.to_json() == run.to_json() and again.report() == run.report() and again.to_csv() == run.to_csv()
    assert (again.steps, again.wall_time_s, again.plant) == (run.steps, run.wall_time_s, run.plant)
    assert (again.history.receiver_pressure_pa == run.history.receiver_pressure_pa).all()
    riser = run.riser("Store")
    assert pickle.loads(pickle.dumps(riser)).time_to_target_s == riser.time_to_target_s
    assert pickle.loads(pickle.dumps(riser.pipe("feed"))).oxygen.tolist() == riser.pipe("feed").oxygen.tolist()
    assert (pickle.loads(pickle.dumps(run.history)).oxygen == run.history.oxygen).all()
    assert pickle.loads(pickle.dumps(run.source)).starts == run.source.starts


def test_as_a_table(run):
    table = run.to_dataframe()
    assert list(table.columns) == ["time_s", "riser", "pipe", "cell", "pressure_pa", "oxygen", "nitrogen"]
    end = table[(table.riser == "Store") & (table["pipe"] == "feed") & (table.cell == 2)]
    column = run.history.compartments.index(("Store", "feed", 2))
    assert (end.oxygen.to_numpy() == run.history.oxygen[:, column]).all()
    assert (end.time_s.to_numpy() == run.history.times_s).all()


def test_both_methods_agree(cold_store):
    short = cold_store.with_({"duration": "30 h"})
    one = ox.predict(short, history_points=2)
    two = ox.predict(short, history_points=2, method="dormand_prince", relative_tolerance=1e-8)
    assert one.history.oxygen[-1] == pytest.approx(two.history.oxygen[-1], rel=1e-3)


def test_other_threads_run_meanwhile(cold_store):
    long = for_long(cold_store, days=1000)
    ticks = 0
    done = threading.Event()

    def count():
        nonlocal ticks
        while not done.is_set():
            ticks += 1
            time.sleep(0.001)

    thread = threading.Thread(target=count)
    thread.start()
    begin = time.perf_counter()
    ox.predict(long, history_points=0)
    took = time.perf_counter() - begin
    done.set()
    thread.join()
    assert took > 0.05, "too short a run to tell"
    assert ticks > took / 0.02


@pytest.mark.parametrize(
    "days, work",
    [
        (18000, "ox.predict(plant, history_points=0)"),
        (365, "ox.ensemble(plant, {'target': np.linspace(0.9, 0.97, 5000)}, threads=2)"),
    ],
    ids=["predict", "ensemble"],
)
def test_ctrl_c_stops_it(days, work):
    script = f"""
        import os, signal, threading, time
        import numpy as np
        import oxfade as ox
        plant = ox.load({str(STORE)!r}).with_(duration_s={days} * 86400.0)
        plant = plant.with_(site=plant.site.with_(temperature_k=ox.DailySwing(mean_k=278.0, swing_k=6.0)))
        signal.signal(signal.SIGINT, signal.default_int_handler)  # a job in the background begins without
        threading.Timer(0.5, lambda: os.kill(os.getpid(), signal.SIGINT)).start()
        begin = time.perf_counter()
        try:
            {work}
        except KeyboardInterrupt:
            print("stopped", time.perf_counter() - begin)
        else:
            print("finished", time.perf_counter() - begin)
    """
    done = subprocess.run(
        [sys.executable, "-c", textwrap.dedent(script)], capture_output=True, text=True, timeout=120, check=True
    )
    word, seconds = done.stdout.split()
    assert word == "stopped" and float(seconds) < 10.0, done.stdout


def test_progress_is_told(cold_store):
    seen = []
    ox.predict(for_long(cold_store, days=2000), history_points=0, progress=seen.append)
    assert seen and seen == sorted(seen) and seen[-1] <= 2000 * 86400.0


def test_low_points_say_what_became_of_their_water():
    run = ox.predict(ox.load(SCENARIOS / "training_rig.toml"))
    riser = run.riser("Rig")
    dip = riser.low_point("transparent dip")
    assert dip.drained_s == 5 * 86400
    assert dip.stopped_vent == "far vent" and not dip.stopped_at_end
    assert riser.low_points[0].carried_m3 == pytest.approx(1e-4)
    assert pickle.loads(pickle.dumps(dip)).closed_s == dip.closed_s
    assert pickle.loads(pickle.dumps(run)).riser("Rig").dew_point_k == riser.dew_point_k
    with pytest.raises(ox.InputError, match="transparent dip"):
        riser.low_point("transparent dib")


def test_the_history_follows_water_and_the_gas_behind_it():
    run = ox.predict(ox.load(SCENARIOS / "training_rig.toml"))
    history = run.history
    assert history.low_points == (("Rig", "transparent dip"),)
    assert history.water_m3.shape == history.blocked.shape == (len(history.times_s), 1)
    before, after = np.searchsorted(history.times_s, [0.02 * 86400, 6 * 86400])
    assert history.blocked[before, 0] and not history.blocked[after, 0]
    assert history.water_m3[before, 0] > 0 and history.water_m3[after, 0] == 0
    behind = [pipe == "far line" for _, pipe, _ in history.compartments]
    pressure = history.compartment_pressure_pa
    assert np.all(pressure[before, behind] < history.pressure_pa[before, 0])
    assert pressure[:, ~np.array(behind)] == pytest.approx(np.repeat(history.pressure_pa, behind.count(False), axis=1), rel=1e-12)
    assert pressure[after] == pytest.approx(history.pressure_pa[after, 0], rel=1e-12)


def test_stretches_say_what_came_of_each_date():
    plant = ox.load(SCENARIOS / "freezer.toml")
    assert [action.do for action in plant.actions] == ["trip", "outage", "restore"]
    assert plant.actions[0].for_s == 6 * 3600
    assert ox.loads(plant.to_toml()).actions[0] == plant.actions[0]
    run = ox.predict(plant, history_points=0)
    assert [(s.begin_s, s.end_s) for s in run.stretches] == [
        (86400 * a, 86400 * b) for a, b in ((0, 10), (10, 14), (14, 14.5), (14.5, 28))
    ]
    assert run.stretches[0].actions == () and run.stretches[1].actions == (plant.actions[0],)
    riser = run.riser("Freezer")
    tripped = run.stretches[1].riser("Freezer")
    assert tripped.oxygen_begin > 0.209 > 0.03 > tripped.oxygen_end
    assert tripped.fill_time_s == pytest.approx(riser.refills_s[0][1] - riser.refills_s[0][0])
    assert sum(s.risers[0].supplied_std_m3 for s in run.stretches) == pytest.approx(riser.supplied_std_m3)
    assert sum(s.running_s for s in run.stretches) == pytest.approx(run.source.running_s)
    assert riser.lost_in_trips_std_m3 > 0
    again = pickle.loads(pickle.dumps(run)).stretches
    assert again[1].riser("Freezer").time_to_target_s == tripped.time_to_target_s
    assert again[1].actions == run.stretches[1].actions
    assert pickle.loads(pickle.dumps(run.stretches[2])).begin_s == run.stretches[2].begin_s
    assert pickle.loads(pickle.dumps(tripped)).name == "Freezer"
    assert ox.predict(plant.with_(actions=())).stretches == ()
    with pytest.raises(ox.InputError, match="Freezer"):
        run.stretches[0].riser("Frezer")


def test_exposures_come_with_what_is_assumed():
    run = ox.predict(ox.load(SCENARIOS / "training_rig.toml"), history_points=0)
    riser = run.riser("Rig")
    cells = [e for pipe in riser.pipes for e in pipe.oxygen_exposure]
    assert 0 < min(cells) < riser.oxygen_exposure < max(cells) < 1
    limit = riser.low_points[0].oxygen_limit
    assert limit.wet_s == pytest.approx(5 * 86400, rel=1e-6)
    assert 0 < limit.penetration_m_per_s < limit.penetration_on_air_m_per_s
    assert limit.current_a_per_m2 == pytest.approx(4 * 96485.33212 * limit.oxygen_flux_mol_per_m2_s)
    assert pickle.loads(pickle.dumps(limit)).wet_s == limit.wet_s
    again = pickle.loads(pickle.dumps(run)).riser("Rig")
    assert again.low_points[0].oxygen_limit.penetration_m_per_s == limit.penetration_m_per_s
    assert list(again.pipes[0].oxygen_exposure) == list(riser.pipes[0].oxygen_exposure)
    assert run.exposure_assumptions[0].startswith("Not a prediction of life")
    dry = ox.predict(ox.load(SCENARIOS / "freezer.toml"), history_points=0)
    assert len(dry.exposure_assumptions) < len(run.exposure_assumptions)


def test_readings_average_and_resolution(run, cold_store):
    store = run.riser("Store")
    assert [reading.name for reading in store.readings] == [vent.name for vent in cold_store.riser("Store").vents]
    reading = store.reading("end vent")
    assert reading.vent and reading.pipe == cold_store.riser("Store").vent("end vent").at and reading.cell >= 1
    assert 0 < store.average_oxygen < 0.21 and 0 < reading.oxygen < 0.21
    times = (store.time_at_readings_s, store.time_of_average_s, store.time_everywhere_s, store.time_to_target_s)
    assert all(time is None or time > 0 for time in times)
    pipe = store.pipes[0]
    assert pipe.copies == 1 and pipe.cell_ends[-1] == pytest.approx(1.0) and len(pipe.cell_ends) == len(pipe.oxygen)
    assert run.resolution.cells == sum(len(pipe.oxygen) for riser in run.risers for pipe in riser.pipes)
    again = pickle.loads(pickle.dumps(run))
    assert again.riser("Store").reading("end vent").oxygen == reading.oxygen
    assert again.resolution.cells == run.resolution.cells and len(again.variations) == len(run.variations)
    assert pickle.loads(pickle.dumps(reading)).oxygen == reading.oxygen
