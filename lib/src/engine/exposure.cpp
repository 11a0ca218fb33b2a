#include "engine/exposure.hpp"

#include <algorithm>
#include <array>

#include "engine/at.hpp"
#include "engine/composition.hpp"
#include "oxfade/flow/water_exchange.hpp"

namespace oxfade::engine {
namespace {

/// Share of its first water with which a low point counts as dry.
constexpr double trace = 1e-4;

}  // namespace

ExposureMeter::ExposureMeter(const Dynamics& dynamics)
    : net_(dynamics.network()),
      layout_(dynamics.layout()),
      integral_(State::Zero(layout_.size())),
      middle_(integral_),
      end_(integral_),
      riser_of_entry_(at(layout_.size()), -1),
      water_(net_.water.size()) {
    for (int i = 0; i < layout_.nodes; ++i) {
        const int r = net_.riser_of[at(i)];
        riser_of_entry_[at(layout_.gas(i))] = riser_of_entry_[at(layout_.air(i))] = r;
        if (!layout_.wet()) continue;
        for (const auto which : {Layout::oxygen, Layout::nitrogen, Layout::vapour})
            riser_of_entry_[at(layout_.trace(which, i))] = r;
    }
}

void ExposureMeter::step(const DenseStep& dense, double theta) {
    const double size = theta * dense.size;
    if (layout_.moving()) {
        add_moving(dense, theta);
    } else if (theta >= 1.0 && !net_.moving && !layout_.wet()) {
        integral_ += (0.5 * size) * (dense.x0 + dense.x1) + (size * size / 12.0) * (dense.f0 - dense.f1);
    } else {
        add_simpson(dense, theta);
    }
}

void ExposureMeter::add_simpson(const DenseStep& dense, double theta) {
    const double size = theta * dense.size;
    // Simpson's rule is exact for a cubic.
    dense.state(0.5 * theta, middle_);
    dense.state(theta, end_);
    if (net_.moving) {
        weigh(dense, dense.begin, size);
    } else {
        integral_ += (size / 6.0) * (dense.x0 + 4.0 * middle_ + end_);
    }
    if (layout_.wet()) add_water(dense, dense.begin, size);
}

/// Where cells move, what stands in one goes with its gas, not with its pipe: air counts by its fraction.
void ExposureMeter::add_moving(const DenseStep& dense, double theta) {
    const double size = theta * dense.size;
    dense.state(0.5 * theta, middle_);
    dense.state(theta, end_);
    const std::array<const State*, 3> states{&dense.x0, &middle_, &end_};
    const std::array<double, 3> weights{size / 6.0, size * 4.0 / 6.0, size / 6.0};
    for (std::size_t k = 0; k < states.size(); ++k) {
        const State& x = *states[k];
        const double time = dense.begin + 0.5 * static_cast<double>(k) * size;
        for (int r = 0; r < layout_.risers; ++r) {
            const RiserNet& riser = net_.risers[at(r)];
            const double gas = x[layout_.riser(r)], weight = weights[k] * net_.warmth(r, time);
            integral_[layout_.riser(r)] += weight * gas;
            for (int i = riser.first; i < riser.first + riser.count; ++i) {
                integral_[layout_.air(i)] +=
                    weight * x[layout_.air(i)] * gas * layout_.part(i) / layout_.moles(gas, i);
            }
        }
    }
}

void ExposureMeter::weigh(const DenseStep& dense, double time, double size) {
    struct Warmth {
        double begin, middle, end;
    };
    std::vector<Warmth> warmth;
    warmth.reserve(net_.risers.size());
    for (int r = 0; r < layout_.risers; ++r) {
        warmth.push_back(
            {net_.warmth(r, time), net_.warmth(r, time + 0.5 * size), net_.warmth(r, time + size)});
    }
    for (int i = 0; i < layout_.size(); ++i) {
        const int r = riser_of_entry_[at(i)];
        if (r < 0) continue;
        const Warmth& w = warmth[at(r)];
        integral_[i] += size / 6.0 * (w.begin * dense.x0[i] + 4.0 * w.middle * middle_[i] + w.end * end_[i]);
    }
}

void ExposureMeter::add_water(const DenseStep& dense, double time, double size) {
    for (int s = 0; s < layout_.spots; ++s) {
        const WaterSpot& spot = net_.water[at(s)];
        const double warmth = net_.warmth(spot.riser, time + 0.5 * size);
        const double temperature = net_.risers[at(spot.riser)].temperature;
        const double density = flow::water_moles_per_volume(temperature);
        const double least = trace * spot.water * density;
        const int entry = layout_.water(s);
        if (temperature * warmth < flow::freezing_point || std::min(dense.x0[entry], end_[entry]) < least)
            continue;
        Water& out = water_[at(s)];
        out.time += size;
        out.oxygen += size / 6.0 *
                      (concentration(dense.x0, s) + 4.0 * concentration(middle_, s) + concentration(end_, s));
        out.oxygen_pressure += size * warmth * pressure_beside(middle_, s);
    }
}

double ExposureMeter::concentration(const State& x, int spot) const {
    const double temperature = net_.risers[at(net_.water[at(spot)].riser)].temperature;
    const double density = flow::water_moles_per_volume(temperature);
    return std::max(x[layout_.dissolved(spot, Layout::oxygen)], 0.0) * density / x[layout_.water(spot)];
}

/// Partial pressure of the oxygen on both sides of a low point, were there air, at the mean temperature [Pa].
double ExposureMeter::pressure_beside(const State& x, int spot) const {
    const int node = net_.water[at(spot)].node;
    double pressure = 0.0;
    for (const int side : {net_.parent[at(node)], node})
        pressure += 0.5 * dry_moles(layout_, x, side) * net_.node_pressure_per_mole[at(side)];
    return pressure * net_.gases.air[gas::Species::oxygen];
}

void ExposureMeter::cruise(const State& x, double begin, double time, const double* air) {
    for (int r = 0; r < layout_.risers; ++r) {
        const RiserNet& riser = net_.risers[at(r)];
        const double warmth = net_.warmth(r, begin + 0.5 * time), gas = x[layout_.riser(r)];
        integral_[layout_.riser(r)] += warmth * gas * time;
        for (int i = riser.first; i < riser.first + riser.count; ++i) {
            const double own = layout_.moving() ? gas * layout_.part(i) / layout_.moles(gas, i) : 1.0;
            integral_[layout_.air(i)] += warmth * own * air[i];
        }
    }
}

double ExposureMeter::oxygen(int node) const {
    if (layout_.moving()) {
        const double gas = integral_[layout_.gas(node)] * layout_.part(node);
        return net_.gases.oxygen(integral_[layout_.air(node)] / std::max(gas, 1e-30)) * gas *
               net_.node_pressure_per_mole[at(node)];
    }
    return oxygen_fraction(net_, layout_, integral_, node) * dry_moles(layout_, integral_, node) *
           net_.node_pressure_per_mole[at(node)];
}

double ExposureMeter::on_air(int node) const {
    const double gas = layout_.moving() ? integral_[layout_.gas(node)] * layout_.part(node)
                                        : dry_moles(layout_, integral_, node);
    return net_.gases.air[gas::Species::oxygen] * gas * net_.node_pressure_per_mole[at(node)];
}

}  // namespace oxfade::engine
