#pragma once

#include "engine/lanes/cruise_limits.hpp"
#include "engine/lanes/lane_crew.hpp"
#include "engine/lanes/series_kernel.hpp"

namespace oxfade::engine::OXFADE_ISA {

/// A vector holds the same node of eight runs.
struct ManyPlants {
    using Element = Lane;
    using Vector = Lane;
    static constexpr int nodes_each = 1;
    static constexpr bool several_plants = true;
};

/// What both parts of the cruise share: the series of eight runs whose regulators hold. See cruise_pilot.cpp.
class LaneCruise : protected LaneCrew {
  public:
    LaneCruise(const LaneBatch& batch, Arena& arena) : LaneCrew(batch, arena), kernel_(view_) {
        view_.nodes = view_.stride = batch.nodes;
        view_.risers = 1;
        view_.parent = batch.parent;
        view_.roots = &root_;
        Lane** single_rows[] = {&view_.inverse_moles, &view_.strength, &view_.outflow,
                                &view_.air_outflow,   &moles_,         &z_before_};
        for (Lane** one : single_rows) *one = arena.take(batch.nodes);
        Lane** long_series[] = {&view_.z, &view_.deficit, &view_.air};
        for (Lane** rows : long_series) *rows = arena.take(batch.nodes * (series_order + 1));
        Lane** short_series[] = {&view_.root_mass, &view_.out, &view_.link};
        for (Lane** rows : short_series) *rows = arena.take(batch.nodes * (series_flow_order + 1));
    }
    static int memory(int nodes) {
        return LaneCrew::memory(nodes) + nodes * (6 + 3 * (series_order + 1) + 3 * (series_flow_order + 1));
    }

    void enter(int lane) {
        view_.mass_product[lane] = run_.mass_product[lane];
        view_.mass_excess[lane] = run_.mass_excess[lane];
        const double pressure = run_.riser[lane] * run_.riser_pressure_per_mole[lane];
        const double draught =
            lane_draught<double>(batch_, pressure, run_.site_pressure[lane], run_.flow_factor[lane]).value;
        for (int i = 0; i < batch_.nodes; ++i) {
            moles_[i][lane] = run_.riser[lane] * node_[i].share[lane];
            view_.inverse_moles[i][lane] = 1.0 / moles_[i][lane];
            view_.strength[i][lane] = draught * (node_[i].leak_area[lane] + node_[i].vent_area[lane]);
            view_.z[i][lane] = node_[i].air[lane] / moles_[i][lane];
        }
        run_.capacity_start[lane] = capacity(lane, run_.start[lane]);
        run_.capacity_air_below[lane] = capacity(lane, run_.air_below[lane]);
    }

    void part(int lane) {
        for (int i = 0; i < batch_.nodes; ++i) node_[i].air[lane] = view_.z[i][lane] * moles_[i][lane];
    }

  protected:
    /// Least that the supply passes with so much in the receiver, whatever the gas.
    double capacity(int lane, double source) const {
        const double heaviest = run_.mass_product[lane] + most(run_.mass_excess[lane], 0.0);
        const double pressure = run_.riser[lane] * run_.riser_pressure_per_mole[lane];
        return run_.supply_area[lane] *
               lane_draught<double>(batch_, source * run_.source_pressure_per_mole[lane], pressure,
                                    run_.flow_factor[lane])
                   .value /
               root(heaviest);
    }

    /// Flows at the state held, and what leaves the cruise because of them.
    void start() {
        view_.made_air = select(run_.machine == 2.0, run_.air_flow, Lane{});
        view_.made = select(run_.machine == 1.0, run_.nitrogen_flow, view_.made_air);
        view_.source = run_.source;
        view_.source_air = run_.source_air;
        view_.own_flow_terms = Lane{};
        kernel_.start();
        rate_ = Lane{};
        for (int i = 0; i < batch_.nodes; ++i) rate_ = most(rate_, view_.link[i] * view_.inverse_moles[i]);
        const Lane supply = view_.supply[0], depth = run_.stop - run_.start;
        const Mask flips = depth < cruise_limits::shortest_leg * supply;
        const Lane pace = most(supply, magnitude(view_.made - supply));
        leave(flips | (rate_ * depth > cruise_limits::most_series_a_leg * pace), LaneStatus::handed_over);
        const Mask stuck = ~(supply > 0.0) | ~holds();
        run_.step_on = select(here_ & stuck, broadcast(1.0), run_.step_on);
        leave(stuck, LaneStatus::stepping);
    }

    /// Where the regulator can hold down to the lowest content that the receiver comes to in its present
    /// mode.
    Mask holds() const {
        const Mask rising = view_.made > view_.supply[0], off = run_.machine == 0.0;
        Lane least_capacity = select(off, run_.capacity_start, run_.capacity_air_below);
        const Mask low =
            (run_.source < select(off, run_.start, run_.air_below)) | ((run_.air_below <= 0.0) & rising);
        const Mask falls = (low | (run_.machine == 2.0)) & ~rising;
        if (any(low & here_)) {
            for (int lane = 0; lane < lanes; ++lane) {
                if (low[lane]) least_capacity[lane] = capacity(lane, run_.source[lane]);
            }
        }
        return ~falls & (view_.supply[0] <= least_capacity * cruise_limits::sag_margin);
    }

    Lane limit() const { return most(run_.duration - run_.time, 1e-9 + 1e-15 * run_.time); }

    /// Series about the state held, each run's as long as its step needs: CruiseSeries::terms_for and
    /// flow_terms_for.
    void expand(const Lane& size, bool pure) {
        const double rest_allowed = batch_.series_rest;
        view_.pure = pure;
        const Lane source_fraction = run_.source_air / run_.source;
        Lane low = select(view_.made > view_.made_air, least(source_fraction, Lane{}), source_fraction);
        Lane high = select(view_.made_air > 0.0, broadcast(1.0), source_fraction);
        for (int i = 0; i < batch_.nodes; ++i) {
            low = least(low, view_.z[i]);
            high = most(high, view_.z[i]);
        }
        const Lane spread = high - low, inverse_floor = 1.0 / run_.composition_floor;
        const Mask clean = (run_.source_air == 0.0) & (view_.made_air == 0.0);
        Lane x = rate_ * size;
        if (view_.steady) x = select(clean, x, most(x, view_.supply[0] * view_.steady_inverse * size));
        Lane rest = x * least(broadcast(1.0), spread * inverse_floor), terms = broadcast(2.0);
        count(rest, terms, series_order, [&](int k) { return x * inverse_integers[k + 1]; });
        if (!pure && !view_.steady) {
            const Lane inverse = size / run_.source;
            const Lane ratio = magnitude(view_.made - view_.supply[0]) * inverse;
            const Lane turnover = most(view_.made, view_.supply[0]) * inverse;
            Lane source_terms = broadcast(2.0);
            const Lane air = select(view_.made_air > 0.0, broadcast(1.0), source_fraction);
            rest = turnover * least(broadcast(1.0), air * inverse_floor);
            count(rest, source_terms, series_order,
                  [&](int k) { return most(ratio, turnover * inverse_integers[k + 1]); });
            terms = select(clean, terms, most(terms, source_terms));
        }
        const Lane weight = 0.5 * magnitude(run_.mass_excess) / run_.mass_product;
        const Lane renewal = select(run_.source_air > 0.0, view_.made / run_.source, Lane{});
        const Lane flow_x = most(rate_, renewal) * size;
        rest = weight * spread * flow_x;
        Lane flow_terms{};
        for (int k = 0; k < series_flow_order; ++k) {
            const Mask goes_on = (rest > rest_allowed) & (terms - 1.0 > static_cast<double>(k));
            if (!any(goes_on)) break;
            flow_terms += select(goes_on, broadcast(1.0), Lane{});
            rest = select(goes_on, rest * flow_x * inverse_integers[k + 2], rest);
        }
        view_.own_terms = terms;
        view_.own_flow_terms = flow_terms;
        view_.terms = highest(terms);
        view_.flow_terms = highest(flow_terms);
        kernel_.expand();
    }

    /// How far a series goes whose term k + 1 is `ratio(k)` times term k.
    template <class Ratio>
    void count(Lane& rest, Lane& terms, int most_terms, const Ratio& ratio) const {
        for (int k = 1; k < most_terms; ++k) {
            const Mask goes_on = rest > batch_.series_rest;
            if (!any(goes_on)) break;
            rest = select(goes_on, rest * ratio(k), rest);
            terms = select(goes_on, most(terms, broadcast(k + 1.0)), terms);
        }
    }
    int highest(const Lane& values) const {
        double most_of_all = 0.0;
        for (int lane = 0; lane < lanes; ++lane) {
            if (values[lane] > most_of_all) most_of_all = values[lane];
        }
        return static_cast<int>(most_of_all);
    }

    Lane supply_at(const Lane& t) const {
        Lane value = view_.supply[view_.flow_terms];
        for (int k = view_.flow_terms - 1; k >= 0; --k) value = value * t + view_.supply[k];
        return value;
    }
    Lane supply_slope_at(const Lane& t) const {
        Lane value{};
        for (int k = view_.flow_terms; k >= 1; --k)
            value = value * t + static_cast<double>(k) * view_.supply[k];
        return value;
    }
    Lane drawn(const Lane& t) const {
        Lane value{};
        for (int k = view_.flow_terms; k >= 0; --k)
            value = value * t + view_.supply[k] * inverse_integers[k + 1];
        return value * t;
    }

    /// Crossings of the target from the start of the step to `end`.
    void follow_targets(const Mask& which, const Lane& end) {
        for (int i = 0; i < batch_.nodes; ++i) {
            Lane z{}, slope{};
            for (int k = view_.terms; k >= 0; --k) {
                slope = slope * end + z;
                z = z * end + view_.z[k * view_.stride + i];
            }
            const Lane y0 = run_.target_air - view_.z[i], y1 = run_.target_air - z;
            const Lane d0 = -end * view_.z[view_.stride + i], d1 = -end * slope;
            const Mask seen = which & (((y0 >= 0.0) != (node_[i].at_target != 0.0)) | turns(y0, y1, d0, d1));
            if (!any(seen)) continue;
            for (int lane = 0; lane < lanes; ++lane) {
                if (!seen[lane]) continue;
                if ((y0[lane] >= 0.0) != (node_[i].at_target[lane] != 0.0)) flip(lane, i, run_.time[lane]);
                double where[3];
                const int times = batch_.sign_changes(y0[lane], y1[lane], d0[lane], d1[lane], where);
                for (int k = 0; k < times; ++k)
                    flip(lane, i, run_.time[lane] + refined(lane, i, where[k] * end[lane], end[lane]));
            }
        }
    }

    /// A moment at which a node crosses the target, improved by the series.
    double refined(int lane, int node, double guess, double end) const {
        double t = guess;
        for (int k = 0; k < 6; ++k) {
            double z = 0.0, slope = 0.0;
            for (int j = view_.terms; j >= 0; --j) {
                slope = slope * t + z;
                z = z * t + view_.z[j * view_.stride + node][lane];
            }
            if (slope == 0.0) break;
            t -= (z - run_.target_air[lane]) / slope;
        }
        return t >= 0.0 && t <= end ? t : guess;
    }

    /// Moves the compositions and totals to the end of the step; time is left to the caller.
    void finish(const Mask& which, const Lane& end) {
        for (int i = 0; i < batch_.nodes; ++i) z_before_[i] = view_.z[i];
        kernel_.finish(end);
        for (int i = 0; i < batch_.nodes; ++i) {
            view_.z[i] = select(which, view_.z[i], z_before_[i]);
            const Lane out = select(which, view_.outflow[i], Lane{});
            const Lane air = select(which, view_.air_outflow[i], Lane{});
            const Lane area = node_[i].vent_area + node_[i].leak_area;
            const Lane part = node_[i].vent_area / most(area, broadcast(1e-300));
            run_.vented += part * out;
            run_.vented_air += part * air;
            run_.leaked += (1.0 - part) * out;
            run_.leaked_air += (1.0 - part) * air;
        }
    }

    Lane after(const Lane& step) const {
        const Lane time = run_.time + step;
        return select(time >= run_.duration * (1.0 - 1e-15), run_.duration, time);
    }
    /// What counts as a trace of air, in oxygen.
    Lane trace_oxygen() const {
        return cruise_limits::trace * batch_.relative_tolerance * most(run_.oxygen_product, broadcast(1e-4));
    }

    SeriesView<Lane> view_;
    SeriesKernel<ManyPlants> kernel_;
    Lane* moles_ = nullptr;
    Lane rate_{};  ///< of the fastest compartment [1/s]

  private:
    int root_ = 0;
    Lane* z_before_ = nullptr;
};

}  // namespace oxfade::engine::OXFADE_ISA
