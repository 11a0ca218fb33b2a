#!/usr/bin/python3
"""An independent solver of the whole model, written from model.md alone, with LSODA of SciPy.

    peer_model.py SCENARIO.toml [--json PATH]

Slow and plain on purpose: no shared code with the library, moles of every species in every cell as states, every
switch located on the dense output. Supports generator, cylinders and compressor, regulator and switch, all vent
policies, leaks given in all three ways, trees and loops, risers filled one at a time, mixing by diffusion, eq. 8 and 9;
constant temperature, no water, no dated actions, no liquid stops.
"""

import argparse
import json
import math
import sys

import numpy
from scipy.integrate import LSODA
from scipy.optimize import brentq

from peer_laws import AIR, MASS, Mixing, R, orifice, product
from peer_scenario import read_scenario

RELATIVE, ABSOLUTE = 1e-9, 1e-10


TOGETHER = 1e-11  # thresholds this near, relative, are met in one instant


def crossing(function, low, high):
    """Where a function of time changes sign; the end where rounding hides the change."""
    return brentq(function, low, high, xtol=1e-9) if function(low) * function(high) < 0 else high


class Switch:
    """Something that happens when a function of the state crosses zero in a direction."""

    def __init__(self, function, direction, action, strict=False, also=lambda y: True):
        self.function, self.direction, self.action = function, direction, action
        self.strict, self.also = strict, also

    def holds_already(self, y):
        value = self.direction * self.function(y)
        return (value > 0 if self.strict else value >= -TOGETHER) and self.also(y)


class RiserState:
    """Which way a riser's valves stand, and how its cells hang together."""

    def __init__(self, riser, scenario, first):
        self.riser, self.n = riser, len(riser.cells)
        self.slice = slice(first, first + 3 * self.n)
        self.volumes = numpy.array([cell.volume for cell in riser.cells])
        self.mixing = Mixing(riser, scenario)
        self.phase = "waiting"  # filling, service
        self.supply = "shut"  # hold, wide, shut
        self.fill_start = self.fill_time = None
        self.open = [False] * len(riser.vents)
        self.done = [False] * len(riser.vents)  # a vent that never opens again
        self.flip_at = [math.inf] * len(riser.vents)  # timed vents
        self.met = numpy.zeros(self.n, dtype=bool)
        self.crossings = [[] for _ in range(self.n + 1)]  # (time, at target) of cells and of all at once
        self.weights = self.flow_weights(riser)

    def flow_weights(self, riser):
        """Link flows from what every cell needs: least resistance-weighted squares, which is eq. 6 in trees and the
        rule of loops elsewhere."""
        incidence = numpy.zeros((self.n, len(riser.links)))
        conductance = numpy.ones(len(riser.links))
        for k, (a, b, _) in enumerate(riser.links):
            incidence[a, k], incidence[b, k] = -1.0, 1.0
            p, q = riser.cells[a], riser.cells[b]
            if p.length and q.length:
                conductance[k] = 1.0 / (p.length / 2 / p.bore**4 + q.length / 2 / q.bore**4)
        if not riser.links:
            return numpy.zeros((0, self.n))
        conductance /= conductance.max()
        laplacian = incidence @ numpy.diag(conductance) @ incidence.T
        return numpy.diag(conductance) @ incidence.T @ numpy.linalg.pinv(laplacian, rcond=1e-13)


class Model:
    def __init__(self, scenario):
        self.s = scenario
        self.T = scenario.temperature
        self.kind = scenario.source["kind"]
        self.receiver = scenario.source["receiver"]
        p_ref, t_ref = scenario.reference
        standard = p_ref / (R * t_ref)
        self.product = AIR if self.kind == "compressor" else product(scenario.source["purity"])
        self.nitrogen_flow = standard * scenario.source.get("nitrogen_flow", 0.0)
        self.air_flow = standard * scenario.source.get("air_flow", 0.0)
        self.machine = "off"
        self.empty = False
        self.risers, first = [], 3
        for riser in scenario.risers:
            self.risers.append(RiserState(riser, scenario, first))
            first += 3 * len(riser.cells)
        self.y0 = numpy.zeros(first)
        if self.kind == "cylinders":
            self.y0[0] = standard * scenario.source["content"]
        else:
            gas = AIR if self.receiver.get("initial_gas", "air") == "air" else self.product
            self.y0[:3] = gas * self.receiver["initial_pressure"] * self.receiver["volume"] / (R * self.T)
        for state in self.risers:
            gas = AIR if state.riser.initial_gas == "air" else self.product
            moles = state.riser.initial_pressure * state.volumes / (R * self.T)
            self.y0[state.slice] = (moles[:, None] * gas).ravel()
        self.start_next_at, self.filling = 0.0, 0  # riser to be filled next

    # --- the smooth part -------------------------------------------------------------------------------
    def source_state(self, y):
        """Pressure and composition that the risers draw from."""
        if self.kind == "cylinders":
            return (0.0 if self.empty else self.s.source["delivery_pressure"]), self.product
        total = y[:3].sum()
        return total * R * self.T / self.receiver["volume"], y[:3] / total

    def riser_pressure(self, y, state):
        return y[state.slice].sum() * R * self.T / state.volumes.sum()

    def holes(self, y, state):
        """External flows of a riser [mol/s] by cell and species, without the supply."""
        moles = y[state.slice].reshape(-1, 3)
        fractions = moles / moles.sum(axis=1, keepdims=True)
        pressure, outside = self.riser_pressure(y, state), self.s.pressure
        flows = numpy.zeros((state.n, 3))
        vents = [vent for vent, opened in zip(state.riser.vents, state.open) if opened]
        for hole in state.riser.leaks + vents:
            if pressure >= outside:
                x = fractions[hole.cell]
                flows[hole.cell] -= x * orifice(hole.area, pressure, outside, self.T, float(x @ MASS))
            else:
                flows[hole.cell] += AIR * orifice(hole.area, outside, pressure, self.T, float(AIR @ MASS))
        return flows, fractions, pressure

    def capacity(self, y, state, pressure):
        """What the passages that stand open would pass, wide open."""
        source, gas = self.source_state(y)
        if state.phase == "filling":
            area = state.riser.fill_area  # alone: the supply waits for the set pressure (5.3)
        else:
            area = state.riser.supply_area if state.supply != "shut" else 0.0
        return orifice(area, source, pressure, self.T, float(gas @ MASS))

    def slope(self, t, y):
        dy = numpy.zeros_like(y)
        _, gas = self.source_state(y)
        for state in self.risers:
            flows, fractions, pressure = self.holes(y, state)
            if state.supply == "hold":
                inflow = max(0.0, -flows.sum())
            else:
                inflow = self.capacity(y, state, pressure)
            flows[0] += inflow * gas
            if self.kind == "cylinders":
                dy[0] -= inflow
            else:
                dy[:3] -= inflow * gas
            total = flows.sum(axis=1)
            storage = state.volumes / state.volumes.sum() * total.sum()
            out = flows
            mixing = state.mixing
            if len(mixing.a):
                link = state.weights @ (storage - total)
                carried = link[:, None] * numpy.where(link[:, None] >= 0, fractions[mixing.a], fractions[mixing.b])
                carried += mixing.exchange(pressure)[:, None] * (fractions[mixing.a] - fractions[mixing.b])
                numpy.subtract.at(out, mixing.a, carried)
                numpy.add.at(out, mixing.b, carried)
            dy[state.slice] = out.ravel()
        if self.machine == "nitrogen":
            dy[:3] += self.nitrogen_flow * self.product
        elif self.machine == "air":
            dy[:3] += self.air_flow * AIR
        return dy

    # --- switches --------------------------------------------------------------------------------------
    def switches(self):
        """Everything that may happen in the present mode."""
        found = []
        if self.kind == "cylinders":
            if not self.empty:
                found.append(Switch(lambda y: y[0] / self.y0[0], -1, lambda t, y: setattr(self, "empty", True)))
        else:
            def machine(key, direction, mode):
                function = lambda y: self.source_state(y)[0] / self.receiver[key] - 1  # noqa: E731
                found.append(Switch(function, direction, lambda t, y: setattr(self, "machine", mode)))

            if self.machine == "off":
                machine("start", -1, "air" if self.kind == "compressor" else "nitrogen")
            else:
                machine("stop", 1, "off")
            if self.machine == "nitrogen":
                machine("air_below", -1, "air")
        for state in self.risers:
            if state.phase == "filling":
                found.append(Switch(lambda y, state=state: self.riser_pressure(y, state) / state.riser.set_pressure - 1,
                                    1, lambda t, y, state=state: self.fill_complete(t, y, state)))
            elif state.phase == "service":
                found += self.supply_switches(state) + self.vent_switches(state)
        return found

    def supply_switches(self, state):
        riser = state.riser

        def at(level, direction, mode, **more):
            return Switch(lambda y: self.riser_pressure(y, state) / level - 1, direction,
                          lambda t, y: setattr(state, "supply", mode), **more)

        if riser.supply_kind == "switch":
            return [at(riser.low, -1, "wide") if state.supply == "shut" else at(riser.high, 1, "shut")]
        if state.supply == "hold":
            return [Switch(lambda y: self.margin(y, state), -1, lambda t, y: setattr(state, "supply", "wide"), strict=True)]
        if state.supply == "wide":  # holds only where it is able to
            return [at(riser.set_pressure, 1, "hold", also=lambda y: self.margin(y, state) >= 0)]
        return [at(riser.set_pressure, -1, "hold")]

    def vent_switches(self, state):
        found = []
        for k, vent in enumerate(state.riser.vents):
            if vent.policy == "between":
                level, direction = (vent.values[1], -1) if state.open[k] else (vent.values[0], 1)

                def flip(t, y, k=k):
                    state.open[k] = not state.open[k]

                found.append(Switch(lambda y, level=level: self.riser_pressure(y, state) / level - 1, direction, flip))
            elif vent.policy == "target" and not state.done[k]:
                found.append(Switch(lambda y: 1 - self.oxygen(y, state).max() - self.s.target, 1,
                                    lambda t, y, k=k: self.shut_for_good(state, k), strict=True))
        return found

    def oxygen(self, y, state):
        moles = y[state.slice].reshape(-1, 3)
        return moles[:, 1] / moles.sum(axis=1)

    def margin(self, y, state):
        """Capacity of a holding regulator over what it has to pass, less one."""
        flows, _, pressure = self.holes(y, state)
        demand = -flows.sum()
        return self.capacity(y, state, pressure) / demand - 1 if demand > 0 else 1.0

    def shut_for_good(self, state, k):
        state.open[k], state.done[k], state.flip_at[k] = False, True, math.inf

    def fill_complete(self, t, y, state):
        state.phase, state.fill_time = "service", t - state.fill_start
        if state.riser.supply_kind == "regulator":
            above = self.riser_pressure(y, state) > state.riser.set_pressure * (1 + TOGETHER)
            state.supply = "shut" if above else "hold"
        for k, vent in enumerate(state.riser.vents):
            if vent.policy == "between":
                continue
            state.open[k] = True
            if vent.policy == "timed":
                state.flip_at[k] = t + vent.values[1]
            elif vent.policy == "until":
                state.flip_at[k] = vent.values[0]
                if vent.values[0] <= t:
                    self.shut_for_good(state, k)
            elif vent.policy == "target" and 1 - self.oxygen(y, state).max() >= self.s.target:
                self.shut_for_good(state, k)
        self.start_next_at = t + state.riser.rest
        self.filling += 1

    def next_dated(self):
        waiting = self.filling < len(self.risers) and self.risers[self.filling].phase == "waiting"
        times = [at for state in self.risers for at in state.flip_at]
        return min([*times, *([self.start_next_at] if waiting else [])], default=math.inf)

    def apply_dated(self, t):
        if self.filling < len(self.risers):
            state = self.risers[self.filling]
            if state.phase == "waiting" and self.start_next_at <= t:
                state.phase, state.fill_start = "filling", t
        for state in self.risers:
            for k, vent in enumerate(state.riser.vents):
                if state.flip_at[k] > t:
                    continue
                if vent.policy == "until":
                    self.shut_for_good(state, k)
                else:
                    state.open[k] = not state.open[k]
                    every, wide = vent.values
                    state.flip_at[k] += wide if state.open[k] else every - wide

    def settle(self, t, y):
        """Applies what holds already at this instant, until nothing changes."""
        for _ in range(100):
            due = next((switch for switch in self.switches() if switch.holds_already(y)), None)
            if due is None:
                # A riser whose fill has ended in this instant may let the next one begin.
                if self.next_dated() > t:
                    return
                self.apply_dated(t)
                continue
            due.action(t, y)
        raise RuntimeError(f"switches flip for ever at {t} s")

    # --- time ------------------------------------------------------------------------------------------
    def purity_over_target(self, y):
        return numpy.concatenate([1 - self.oxygen(y, state) - self.s.target for state in self.risers])

    def note(self, t, cell, met):
        """A cell of the plant has crossed the target."""
        for state in self.risers:
            if cell >= state.n:
                cell -= state.n
                continue
            state.met[cell] = met
            state.crossings[cell].append((t, met))
            together = bool(state.met.all())
            if not state.crossings[-1] or state.crossings[-1][-1][1] != together:
                state.crossings[-1].append((t, together))
            return

    def run(self):
        t, y, end = 0.0, self.y0.copy(), self.s.duration
        if self.kind == "generator" and self.source_state(y)[0] <= self.receiver["air_below"]:
            self.machine = "air"
        self.met = self.purity_over_target(y) >= 0
        for cell, met in enumerate(self.met):
            self.note(t, cell, bool(met))
        while t < end:
            self.apply_dated(t)
            self.settle(t, y)
            t, y, action = self.smooth_stretch(t, y, min(end, self.next_dated()))
            if action:
                action(t, y)
        self.final = y
        return self

    def smooth_stretch(self, t, y, bound):
        """Integrates to the bound or the first switch; returns time, state and the switch's action."""
        switches = self.switches()
        solver = LSODA(self.slope, t, y, bound, rtol=RELATIVE, atol=ABSOLUTE, max_step=min(21600.0, bound - t))
        before = [switch.function(y) for switch in switches]
        while solver.status == "running":
            message = solver.step()
            if solver.status == "failed":
                raise RuntimeError(f"LSODA at {solver.t} s: {message}")
            dense, stop, action = solver.dense_output(), solver.t, None
            after = [switch.function(solver.y) for switch in switches]
            for switch, a, b in zip(switches, before, after):
                if switch.direction * a < 0 <= switch.direction * b:
                    at = crossing(lambda u: switch.function(dense(u)), solver.t_old, solver.t)
                    if action is None or at < stop:
                        stop, action = at, switch.action
            before = after
            state = dense(stop) if action else solver.y.copy()
            now = self.purity_over_target(state) >= 0
            found = [(crossing(lambda u: self.purity_over_target(dense(u))[k], solver.t_old, stop), k)
                     for k in numpy.flatnonzero(now != self.met)]
            for at, cell in sorted(found):
                self.note(at, cell, bool(now[cell]))
            self.met = now
            if action:
                return stop, state, action
        return solver.t, solver.y.copy(), None

    # --- results ---------------------------------------------------------------------------------------
    def outcome(self):
        end = self.s.duration

        def since(crossings):
            return crossings[-1][0] if crossings and crossings[-1][1] else None

        risers = []
        for state in self.risers:
            stretches = []
            for (at, value), following in zip(state.crossings[-1], [*state.crossings[-1][1:], (end, None)]):
                if value:
                    stretches.append([at, following[0]])
            oxygen = self.oxygen(self.final, state)
            pipes = []
            for index, name in enumerate(state.riser.pipes):
                cells = [k for k, cell in enumerate(state.riser.cells) if cell.pipe == index]
                pipes.append({"name": name, "oxygen": [float(oxygen[k]) for k in cells],
                              "time_to_target_s": [since(state.crossings[k]) for k in cells]})
            risers.append({
                "name": state.riser.name, "fill_time_s": state.fill_time, "fill_limit_s": state.riser.fill_limit,
                "fill_met": state.fill_time is not None and state.fill_time <= state.riser.fill_limit,
                "time_to_target_s": since(state.crossings[-1]), "at_target_s": stretches,
                "final": {"pressure_pa": float(self.riser_pressure(self.final, state)), "pipes": pipes},
            })  # fmt: skip
        return {"format": 1, "title": self.s.title, "duration_s": end, "target_purity": self.s.target, "risers": risers}


def predict(path):
    return Model(read_scenario(path)).run().outcome()


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("scenario")
    parser.add_argument("--json", default="-")
    options = parser.parse_args()
    text = json.dumps(predict(options.scenario), indent=1)
    if options.json == "-":
        print(text)
    else:
        with open(options.json, "w") as file:
            file.write(text + "\n")


if __name__ == "__main__":
    sys.exit(main())
