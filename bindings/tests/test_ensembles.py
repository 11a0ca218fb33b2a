import copy
import pickle
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor

import numpy as np
import pytest
from conftest import STORE, VENT

import oxfade as ox

DIAMETERS = np.linspace(0.3e-3, 0.6e-3, 7)


@pytest.fixture(scope="module")
def many(cold_store):
    return ox.ensemble(cold_store, {VENT + "_m": DIAMETERS})


def same(one, other):
    return all(np.array_equal(a, other.arrays()[name], equal_nan=True) for name, a in one.arrays().items())


def test_every_run_is_that_of_predict(cold_store, many):
    assert many.shape == (7,) and many.risers == ("Store", "Dock") and many.done.all()
    for k in (0, 6):
        run = ox.predict(cold_store.with_({VENT + "_m": DIAMETERS[k]}), history_points=0)
        assert many.riser_time_to_target_s[k].tolist() == [r.time_to_target_s for r in run.risers]
        assert many.riser_fill_time_s[k].tolist() == [r.fill_time_s for r in run.risers]
        assert many.riser_final_pressure_pa[k].tolist() == [r.final_pressure_pa for r in run.risers]
        assert many.riser_vented_std_m3[k] == pytest.approx([r.vented_std_m3 for r in run.risers], rel=1e-12)
        assert many.nitrogen_std_m3[k] == pytest.approx(run.source.nitrogen_std_m3, rel=1e-12)
        assert many.air_std_m3[k] == pytest.approx(run.source.air_std_m3, rel=1e-12)
        assert (many.running_s[k], many.starts[k]) == (run.source.running_s, run.source.starts)


def test_shapes_are_broadcast(cold_store):
    grid = ox.ensemble(cold_store, {VENT + "_m": DIAMETERS[:3, None], "target": np.array([0.95, 0.97])})
    assert grid.shape == (3, 2) and grid.riser_worst_oxygen.shape == (3, 2, 2)
    assert (grid.time_to_target_s[:, 0] < grid.time_to_target_s[:, 1]).all()
    one = ox.ensemble(cold_store, {"target": 0.95})
    assert one.shape == () and one.time_to_target_s.ndim == 0


def test_texts_go_to_the_files_keys(cold_store):
    words = ox.ensemble(cold_store, {VENT: ["0.016 in", "0.02 in"], "target": [0.97, 0.98]})
    numbers = ox.ensemble(cold_store, {VENT + "_m": np.array([0.016, 0.02]) * 0.0254, "target": [0.97, 0.98]})
    assert words.time_to_target_s == pytest.approx(numbers.time_to_target_s, rel=1e-9)
    built = cold_store.with_(title="no text any more")
    assert ox.ensemble(built, {VENT: ["0.02 in"]}).time_to_target_s[0] == pytest.approx(
        ox.ensemble(cold_store, {VENT: ["0.02 in"]}).time_to_target_s[0], rel=1e-9
    )


@pytest.mark.parametrize("pool", [ProcessPoolExecutor, ThreadPoolExecutor])
def test_any_executor_gives_the_same(cold_store, many, pool):
    with pool(2) as executor:
        sent = ox.ensemble(cold_store, {VENT + "_m": DIAMETERS}, executor=executor, chunk=2)
        words = ox.ensemble(cold_store, {VENT: ["0.016 in", "0.02 in"]}, executor=executor)
    assert same(many, sent)
    assert same(words, ox.ensemble(cold_store, {VENT: ["0.016 in", "0.02 in"]}))


def test_a_dask_cluster_gives_the_same(cold_store, many):
    distributed = pytest.importorskip("distributed")
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None, host="127.0.0.1"
    ) as cluster, distributed.Client(cluster) as client:
        runs = client.gather(client.map(ox.predict, [cold_store, cold_store.with_(target=0.95)], history_points=0))
        assert [run.target for run in runs] == [cold_store.target, 0.95]
        sent = ox.ensemble(cold_store, {VENT + "_m": DIAMETERS}, executor=client.get_executor(), chunk=2)
    assert same(many, sent)


def test_an_impossible_run_stops_no_other(cold_store):
    some = ox.ensemble(cold_store, {VENT + "_m": [0.4e-3, -1.0, 0.5e-3]})
    assert some.done.tolist() == [True, False, True]
    assert "end vent.diameter" in some.error[1] and np.isnan(some.time_to_target_s[1])
    assert np.isfinite(some.time_to_target_s[[0, 2]]).all()


def test_mistakes_are_errors_at_once(cold_store):
    with pytest.raises(ox.InputError, match="diametre_m.*did you mean `diameter_m`"):
        ox.ensemble(cold_store, {VENT[:-8] + "diametre_m": DIAMETERS})
    with pytest.raises(ox.InputError, match="no number `Stroe`.*did you mean `Store`"):
        ox.ensemble(cold_store, {"riser.Stroe.set_pressure_pa": [2e5]})
    with pytest.raises(ox.InputError, match="shapes do not fit"):
        ox.ensemble(cold_store, {VENT + "_m": DIAMETERS, "target": [0.9, 0.95]})
    with pytest.raises(ox.InputError, match="nothing is varied"):
        ox.ensemble(cold_store, {})
    with pytest.raises(ox.InputError, match="wrong kind"):
        ox.ensemble(cold_store, {"mixing.buoyant": [True, False]})
    with pytest.raises(ox.InputError, match="same number of risers"):
        ox.predict_many([])


def test_many_plants(cold_store):
    plants = [cold_store, cold_store.with_(target=0.95)]
    many = ox.predict_many(plants)
    assert many.time_to_target_s[1] < many.time_to_target_s[0]
    assert many.nitrogen_std_m3[0] == pytest.approx(ox.predict(cold_store, history_points=0).source.nitrogen_std_m3, rel=1e-12)


def test_as_a_table(many):
    table = many.to_dataframe()
    assert len(table) == 7
    assert (table[VENT + "_m"].to_numpy() == DIAMETERS).all()
    assert (table["riser_time_to_target_s Dock"].to_numpy() == many.riser_time_to_target_s[:, 1]).all()


def test_an_empty_ensemble(cold_store):
    assert ox.ensemble(cold_store, {"target": np.empty(0)}).shape == (0,)


def test_progress_is_told(cold_store):
    seen = []
    ox.ensemble(cold_store.with_(duration_s=30 * 86400.0), {"target": np.full(64, 0.95)}, progress=seen.append)
    assert seen and max(seen) <= 64 and seen[-1] == 64


def test_functions_can_be_sent_to_other_processes(cold_store, run):
    for function in (ox.predict, ox.load, ox.loads, ox.quantity, ox.pipe_bore_m, ox.ensemble, ox.sweep):
        assert pickle.loads(pickle.dumps(function)) is function
    plants = [cold_store, cold_store.with_(target=0.95)]
    with ProcessPoolExecutor(2) as executor:
        runs = list(executor.map(ox.predict, plants))
        assert list(executor.map(ox.load, [STORE])) == [cold_store]
    assert runs[0].to_json() == run.to_json() and runs[1].target == 0.95


def test_ensembles_can_be_compared(cold_store, many):
    assert many == copy.deepcopy(many) == pickle.loads(pickle.dumps(many))
    assert many == ox.ensemble(cold_store, {VENT + "_m": DIAMETERS})
    assert many != ox.ensemble(cold_store, {VENT + "_m": DIAMETERS[:3]}) and many != "many"
    missed = ox.ensemble(cold_store, {VENT + "_m": [1e-5, -1.0]})
    assert np.isnan(missed.time_to_target_s).all() and missed == copy.copy(missed)


class Bar:
    """What tqdm has of a bar that is used."""

    def __init__(self):
        self.n, self.total = 0, None

    def update(self, n=1):
        self.n += n


def test_every_progress_is_told_in_one_way(cold_store):
    """Of all as well where it takes two arguments, to the end, and to bars."""
    unsure = {"source.purity": "normal(99.5 %, 0.1 %, 98.6 %, 99.9 %)"}
    calls = {
        "predict": lambda progress: ox.predict(cold_store, progress=progress),
        "ensemble": lambda progress: ox.ensemble(cold_store, {"target": [0.95, 0.97]}, progress=progress),
        "predict_many": lambda progress: ox.predict_many([cold_store] * 3, progress=progress),
        "compare": lambda progress: ox.compare({"a": cold_store, "b": cold_store}, progress=progress),
        "sweep": lambda progress: ox.sweep(cold_store, spread=unsure, runs=20, progress=progress),
        "size": lambda progress: ox.size(cold_store, ["0.4 mm"], flows_m3_per_s=[8e-4], progress=progress),
    }
    for name, call in calls.items():
        alone, both, bar = [], [], Bar()
        call(alone.append)
        call(lambda done, total: both.append((done, total)))
        call(bar)
        assert both[-1][0] == both[-1][1] == alone[-1] == bar.n == bar.total > 0, name


def test_progress_of_an_executor_reaches_all(cold_store):
    told = []
    with ThreadPoolExecutor(2) as executor:
        ox.ensemble(cold_store, {"target": [0.9, 0.95, 0.97]}, executor=executor, chunk=1, progress=lambda n, of: told.append((n, of)))
    assert told == [(1, 3), (2, 3), (3, 3)]


def test_distributions_of_scipy(cold_store):
    stats = pytest.importorskip("scipy.stats")
    design = ox.SobolDesign({"source.purity": stats.beta(50, 2), "target": ox.Uniform(low=0.9, high=0.95)}, rows=8)
    assert design.parameters["source.purity"].shape == (design.runs,)
    ours = ox.sweep(cold_store, spread={"source.purity": ox.Triangular(low=0.99, mode=0.995, high=0.999)}, runs=10)
    theirs = ox.sweep(cold_store, spread={"source.purity": stats.triang(5 / 9, loc=0.99, scale=0.009)}, runs=10)
    assert theirs.values == pytest.approx(ours.values, rel=1e-9)
    with pytest.raises(ox.InputError, match="beta.*SobolDesign"):
        ox.sweep(cold_store, spread={"source.purity": stats.beta(50, 2)})
