#pragma once

#include "engine/lanes/lane_flow.hpp"

namespace oxfade::engine::OXFADE_ISA {

/// Hands out aligned memory from a block.
class Arena {
  public:
    explicit Arena(double* memory) : next_(reinterpret_cast<Lane*>(memory)) {}
    Lane* take(int count) {
        Lane* begin = next_;
        next_ += count;
        return begin;
    }

  private:
    Lane* next_;
};

/// What flows at a state.
struct LaneFlows {
    Lane draught, draught_slope;                    ///< of the holes [mol/s per area/sqrt(M)], and per mole
    Lane asked, supply, slope_source, slope_riser;  ///< [mol/s], [1/s]
    Lane gain, source_fraction;
    Lane *z = nullptr, *out = nullptr, *link = nullptr;  ///< one a node
};

/// One riser between receiver and outside, integrated by Rosenbrock's method: dynamics.cpp, linearisation.cpp
/// and rosenbrock.hpp for eight runs at once, without loops, mixing and inward leaks.
///
/// A state is eight entries and one a node: see Entry. All are moles.
class LaneStepper {
  public:
    enum Entry { source, source_air, riser, vented, vented_air, leaked, leaked_air, first_node };

    LaneStepper(const LaneBatch& batch, LaneFields<Lane>& fields, LaneNode<Lane>* nodes, Arena& arena)
        : batch_(batch), run_(fields), node_(nodes), n_(batch.nodes), size_(first_node + batch.nodes) {
        Lane** states[] = {&x, &f, &x1, &f1, &error, &at_, &rhs_, &u_[0], &u_[1], &u_[2], &u_[3]};
        for (Lane** state : states) *state = arena.take(size_);
        LaneFlows* all_flows[] = {&flows_, &flows1_, &scratch_};
        for (LaneFlows* flows : all_flows) {
            flows->z = arena.take(n_);
            flows->out = arena.take(n_);
            flows->link = arena.take(n_);
        }
        Lane** per_node[] = {&moles_, &inverse_pivot_, &work_, &change_, &need_};
        for (Lane** values : per_node) *values = arena.take(n_);
    }
    static int memory(int nodes) { return 11 * (first_node + nodes) + 14 * nodes; }

    int size() const { return size_; }
    Lane *x = nullptr, *f = nullptr, *x1 = nullptr, *f1 = nullptr, *error = nullptr;
    const LaneFlows& flows() const { return flows_; }

    /// Rates at x, to begin with and after an event.
    void refresh() { rates(x, f, flows_); }

    /// From x over a step of each run's own size to x1, with error estimate and the rates there.
    void step(const Lane& dt) {
        prepare(1.0 / (dt * batch_.gamma));
        const Lane inverse_dt = 1.0 / dt;
        for (int i = 0; i < 4; ++i) {
            if (i == 0) {
                for (int k = 0; k < size_; ++k) rhs_[k] = f[k];
            } else {
                for (int k = 0; k < size_; ++k) {
                    Lane sum = x[k];
                    for (int j = 0; j < i; ++j) sum += batch_.a[i][j] * u_[j][k];
                    at_[k] = sum;
                }
                rates(at_, rhs_, scratch_);
                for (int k = 0; k < size_; ++k) {
                    Lane sum{};
                    for (int j = 0; j < i; ++j) sum += batch_.c[i][j] * u_[j][k];
                    rhs_[k] += sum * inverse_dt;
                }
            }
            solve(rhs_, u_[i]);
        }
        for (int k = 0; k < size_; ++k) {
            Lane sum = x[k], rest{};
            for (int i = 0; i < 4; ++i) {
                sum += batch_.m[i] * u_[i][k];
                rest += batch_.e[i] * u_[i][k];
            }
            x1[k] = sum;
            error[k] = rest;
        }
        rates(x1, f1, flows1_);
    }

    /// Largest error over what is allowed; not a number where the step went astray.
    Lane error_norm() const {
        const Lane floor = run_.composition_floor;
        const Lane moles = most(magnitude(x1[source]), broadcast(1e-12));
        Lane worst = magnitude(error[source]) / moles;
        const auto look = [&](const Lane& relative) { worst = select(relative <= worst, worst, relative); };
        look(magnitude(error[source_air]) / (magnitude(x1[source_air]) + floor * moles));
        look(magnitude(error[riser]) / most(magnitude(x1[riser]), broadcast(1e-12)));
        for (int i = 0; i < n_; ++i) {
            const Lane own = most(magnitude(x1[riser]), broadcast(1e-12)) * node_[i].share;
            look(magnitude(error[first_node + i]) / (magnitude(x1[first_node + i]) + floor * own));
        }
        const Mask usable = (x1[source] >= 0.0) & (x1[riser] >= 0.0);
        return select(usable, worst / batch_.relative_tolerance, broadcast(1e6));
    }

    /// Takes the step over where `which` says so.
    void accept(const Mask& which) {
        for (int k = 0; k < size_; ++k) {
            x[k] = select(which, x1[k], x[k]);
            f[k] = select(which, f1[k], f[k]);
        }
        for (int i = 0; i < n_; ++i) {
            flows_.z[i] = select(which, flows1_.z[i], flows_.z[i]);
            flows_.out[i] = select(which, flows1_.out[i], flows_.out[i]);
            flows_.link[i] = select(which, flows1_.link[i], flows_.link[i]);
        }
        Lane LaneFlows::*members[] = {&LaneFlows::draught,      &LaneFlows::draught_slope,
                                      &LaneFlows::asked,        &LaneFlows::supply,
                                      &LaneFlows::slope_source, &LaneFlows::slope_riser,
                                      &LaneFlows::gain,         &LaneFlows::source_fraction};
        for (Lane LaneFlows::*member : members)
            flows_.*member = select(which, flows1_.*member, flows_.*member);
    }

    /// What the supply orifice passes wide open at x, and at x1.
    Lane capacity(bool at_end) const {
        const Lane* s = at_end ? x1 : x;
        const Lane fraction = s[source_air] / most(s[source], broadcast(1e-30));
        const LaneDraught<Lane> d =
            lane_draught<Lane>(batch_, s[source] * run_.source_pressure_per_mole,
                               s[riser] * run_.riser_pressure_per_mole, run_.flow_factor);
        return run_.supply_area * d.value / root(run_.mass_product + fraction * run_.mass_excess);
    }
    const Lane& asked(bool at_end) const { return at_end ? flows1_.asked : flows_.asked; }

  private:
    void rates(const Lane* s, Lane* dsdt, LaneFlows& flows) const {
        outlets(s, flows);
        supply(s, flows);
        links(flows);
        const Lane made_nitrogen = select(run_.machine == 1.0, run_.nitrogen_flow, Lane{});
        const Lane made_air = select(run_.machine == 2.0, run_.air_flow, Lane{});
        dsdt[source] = made_nitrogen + made_air - flows.supply;
        dsdt[source_air] = made_air - flows.supply * flows.source_fraction;
        dsdt[riser] = flows.gain;
        Lane out_air{}, vents{}, vents_air{};
        for (int i = 0; i < n_; ++i) {
            const Lane air = flows.out[i] * flows.z[i];
            const Lane part = vent_part(i);
            dsdt[first_node + i] = -air;
            out_air += air;
            vents += part * flows.out[i];
            vents_air += part * air;
        }
        dsdt[first_node] += flows.supply * flows.source_fraction;
        for (int i = 1; i < n_; ++i) {
            const int p = batch_.parent[i];
            const Lane flux = flows.link[i] * select(flows.link[i] > 0.0, flows.z[p], flows.z[i]);
            dsdt[first_node + i] += flux;
            dsdt[first_node + p] -= flux;
        }
        dsdt[vented] = vents;
        dsdt[vented_air] = vents_air;
        dsdt[leaked] = flows.asked - vents;
        dsdt[leaked_air] = out_air - vents_air;
    }

    /// Share of a node's holes that are vents: shut during the fill.
    Lane vent_part(int i) const {
        const Lane vents = select(run_.filling == 0.0, node_[i].vent_area, Lane{});
        return vents / most(vents + node_[i].leak_area, broadcast(1e-300));
    }

    void outlets(const Lane* s, LaneFlows& flows) const {
        const LaneDraught<Lane> d = lane_draught<Lane>(batch_, s[riser] * run_.riser_pressure_per_mole,
                                                       run_.site_pressure, run_.flow_factor);
        flows.draught = d.value;
        flows.draught_slope = d.slope_upstream * run_.riser_pressure_per_mole;
        const Lane inverse = 1.0 / most(s[riser], broadcast(1e-30));
        flows.asked = Lane{};
        for (int i = 0; i < n_; ++i) {
            flows.z[i] = s[first_node + i] * inverse / node_[i].share;
            const Lane area = node_[i].leak_area + select(run_.filling == 0.0, node_[i].vent_area, Lane{});
            flows.out[i] = flows.draught * area / root(run_.mass_product + flows.z[i] * run_.mass_excess);
            flows.asked += flows.out[i];
        }
    }

    void supply(const Lane* s, LaneFlows& flows) const {
        const LaneDraught<Lane> d =
            lane_draught<Lane>(batch_, s[source] * run_.source_pressure_per_mole,
                               s[riser] * run_.riser_pressure_per_mole, run_.flow_factor);
        flows.source_fraction = s[source_air] / most(s[source], broadcast(1e-30));
        const Lane area = select(run_.filling != 0.0, run_.fill_area, run_.supply_area);
        const Lane factor = area / root(run_.mass_product + flows.source_fraction * run_.mass_excess);
        const Mask holds = run_.holding != 0.0;
        flows.supply = select(holds, flows.asked, factor * d.value);
        flows.slope_source = select(holds, Lane{}, factor * d.slope_upstream * run_.source_pressure_per_mole);
        flows.slope_riser = select(holds, Lane{}, factor * d.slope_downstream * run_.riser_pressure_per_mole);
        flows.gain = select(holds, Lane{}, flows.supply - flows.asked);
    }

    void links(LaneFlows& flows) const {
        for (int i = 0; i < n_; ++i) flows.link[i] = node_[i].share * flows.gain + flows.out[i];
        for (int i = n_ - 1; i > 0; --i) flows.link[batch_.parent[i]] += flows.link[i];
    }

    /// Factorises shift I - J, J about x. A flow from a node to its parent is left out of J on both sides:
    /// the method keeps its order and its balances with any J.
    void prepare(const Lane& shift) {
        shift_ = shift;
        const Lane moles = most(x[riser], broadcast(1e-30));
        inverse_moles_ = 1.0 / moles;
        const Mask holds = run_.holding != 0.0;
        const Lane slope = flows_.draught_slope / most(flows_.draught, broadcast(1e-300));
        relative_slope_ = select(holds, Lane{}, select(flows_.draught > 0.0, slope, Lane{}));
        inverse_riser_ =
            1.0 / select(holds, shift, shift - flows_.slope_riser + flows_.asked * relative_slope_);
        inverse_source_ = 1.0 / (shift + flows_.slope_source * (1.0 + flows_.slope_riser * inverse_riser_));
        inverse_source_moles_ = 1.0 / most(x[source], broadcast(1e-30));
        inverse_source_air_ = 1.0 / (shift + flows_.supply * inverse_source_moles_);
        for (int i = 0; i < n_; ++i) {
            moles_[i] = moles * node_[i].share;
            inverse_pivot_[i] = flows_.out[i];
        }
        for (int i = 1; i < n_; ++i) inverse_pivot_[batch_.parent[i]] += most(flows_.link[i], Lane{});
        for (int i = 0; i < n_; ++i) inverse_pivot_[i] = 1.0 / (shift + inverse_pivot_[i] / moles_[i]);
    }

    void solve(const Lane* rhs, Lane* u) {
        const Lane z_source = flows_.source_fraction;
        u[source] = (rhs[source] - flows_.slope_riser * rhs[riser] * inverse_riser_) * inverse_source_;
        u[riser] = (rhs[riser] + flows_.slope_source * u[source]) * inverse_riser_;
        const Lane supply_change = flows_.slope_source * u[source] + flows_.slope_riser * u[riser];
        const Lane carried = flows_.supply * z_source * u[source] * inverse_source_moles_;
        u[source_air] = (rhs[source_air] - supply_change * z_source + carried) * inverse_source_air_;

        const Lane relative = u[riser] * inverse_moles_;
        const Lane out_relative = relative_slope_ * u[riser];
        const Lane gain = supply_change - flows_.asked * out_relative;
        for (int i = 0; i < n_; ++i) {
            change_[i] = flows_.out[i] * out_relative;
            need_[i] = node_[i].share * gain + change_[i];
            work_[i] = rhs[first_node + i] - (change_[i] - flows_.out[i] * relative) * flows_.z[i];
        }
        work_[0] +=
            supply_change * z_source + flows_.supply * (u[source_air] * inverse_source_moles_) - carried;
        for (int i = n_ - 1; i > 0; --i) {
            const int p = batch_.parent[i];
            need_[p] += need_[i];
            const Lane upwind = select(flows_.link[i] > 0.0, flows_.z[p], flows_.z[i]);
            const Lane flux = (need_[i] - flows_.link[i] * relative) * upwind;
            work_[i] += flux;
            work_[p] -= flux;
        }
        solve_air(rhs, u, relative);
    }

    void solve_air(const Lane* rhs, Lane* u, const Lane& relative) const {
        Lane out{}, out_air{}, vents{}, vents_air{};
        for (int i = 0; i < n_; ++i) {
            Lane right = work_[i];
            if (i > 0) {
                const int p = batch_.parent[i];
                right += most(flows_.link[i], Lane{}) * u[first_node + p] / moles_[p];
            }
            u[first_node + i] = right * inverse_pivot_[i];
            const Lane air = change_[i] * flows_.z[i] +
                             flows_.out[i] * (u[first_node + i] / moles_[i] - flows_.z[i] * relative);
            const Lane part = vent_part(i);
            out += change_[i];
            out_air += air;
            vents += part * change_[i];
            vents_air += part * air;
        }
        u[vented] = (rhs[vented] + vents) / shift_;
        u[vented_air] = (rhs[vented_air] + vents_air) / shift_;
        u[leaked] = (rhs[leaked] + out - vents) / shift_;
        u[leaked_air] = (rhs[leaked_air] + out_air - vents_air) / shift_;
    }

    const LaneBatch& batch_;
    LaneFields<Lane>& run_;
    LaneNode<Lane>* node_;
    int n_, size_;
    LaneFlows flows_, flows1_, scratch_;
    Lane *at_ = nullptr, *rhs_ = nullptr, *u_[4]{};
    Lane *moles_ = nullptr, *inverse_pivot_ = nullptr, *work_ = nullptr, *change_ = nullptr, *need_ = nullptr;
    Lane shift_, inverse_moles_, relative_slope_, inverse_riser_, inverse_source_, inverse_source_moles_,
        inverse_source_air_;
};

}  // namespace oxfade::engine::OXFADE_ISA
