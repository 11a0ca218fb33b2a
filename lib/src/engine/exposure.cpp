#include "engine/exposure.hpp"

#include <algorithm>

#include "engine/composition.hpp"
#include "oxfade/flow/water_exchange.hpp"

namespace oxfade::engine {
namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

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
    if (theta >= 1.0 && !net_.moving && !layout_.wet()) {
        integral_ += (0.5 * size) * (dense.x0 + dense.x1) + (size * size / 12.0) * (dense.f0 - dense.f1);
        return;
    }
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

void ExposureMeter::cruise(const State& x, double time, const double* air) {
    for (int i = 2; i < 2 + layout_.vessels; ++i) integral_[i] += x[i] * time;
    for (int i = 0; i < layout_.nodes; ++i) integral_[layout_.air(i)] += air[i];
}

double ExposureMeter::oxygen(int node) const {
    return oxygen_fraction(net_, layout_, integral_, node) * dry_moles(layout_, integral_, node) *
           net_.node_pressure_per_mole[at(node)];
}

double ExposureMeter::on_air(int node) const {
    return net_.gases.air[gas::Species::oxygen] * dry_moles(layout_, integral_, node) *
           net_.node_pressure_per_mole[at(node)];
}

}  // namespace oxfade::engine
