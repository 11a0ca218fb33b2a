#include "engine/cruise_sweep.hpp"

#include <algorithm>
#include <cmath>

#include "engine/rosenbrock.hpp"

namespace oxfade::engine {
namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

constexpr std::size_t stages = RosenbrockTable::stages;
constexpr double shortest = 1e-6;  ///< step that is taken whatever its error [s]

/// Coefficients of t^2 and t^3 of Hermite's cubic.
struct Bend {
    double square, cube;
};
Bend bend(double rise, double d0, double d1, double size) {
    const double slope = rise / size;
    return {(3.0 * slope - 2.0 * d0 - d1) / size, (d0 + d1 - 2.0 * slope) / (size * size)};
}

}  // namespace

CruiseSweep::CruiseSweep(const Network& net, const std::vector<double>& vent_part, double relative_tolerance)
    : net_(net), vent_part_(vent_part), tolerance_(relative_tolerance) {
    const Gases& gases = net.gases;
    floor_ =
        gases.oxygen_excess > 0.0 ? std::clamp(gases.oxygen_product / gases.oxygen_excess, 1e-3, 1.0) : 1.0;
    const std::size_t nodes = at(net.nodes()), size = first_node() + nodes;
    for (Values* v : {&x_, &f_, &x1_, &f1_, &error_, &at_, &rhs_, &u_[0], &u_[1], &u_[2], &u_[3]})
        v->assign(size, 0.0);
    for (Values* v : {&rate_, &inverse_, &carried_, &link_}) v->assign(nodes, 0.0);
}

double CruiseSweep::step(SeriesView<double>& view, double size) {
    take_start(view);
    size = std::min(size, wanted_);
    for (;;) {
        const double norm = attempt(view, size);
        const double factor = std::clamp(0.9 * std::pow(std::max(norm, 1e-12), -1.0 / 3.0), 0.2, 5.0);
        if (norm <= 1.0) {
            // A step cut short by an event says little against the size wanted before.
            wanted_ = size < wanted_ ? std::max(wanted_, size * factor) : size * factor;
            break;
        }
        if (size <= shortest) break;
        wanted_ = size = std::max(size * std::min(factor, 0.9), shortest);
    }
    hand_over(view, size);
    return size;
}

void CruiseSweep::take_start(const SeriesView<double>& view) {
    x_[source] = view.source;
    x_[source_air] = view.source_air;
    std::fill_n(x_.begin() + first_total, 4 * net_.risers.size(), 0.0);
    std::copy_n(view.z, view.nodes, x_.begin() + static_cast<std::ptrdiff_t>(first_node()));
    holes_.clear();
    for (int i = 0; i < view.nodes; ++i) {
        if (view.strength[i] != 0.0) holes_.push_back(at(i));
    }
    rates(view, x_, f_);
    for (int i = 0; i < view.nodes; ++i) rate_[at(i)] = link_[at(i)] * view.inverse_moles[i];
    supply_ = view.supply[0];
}

void CruiseSweep::rates(const SeriesView<double>& view, const Values& x, Values& dxdt) {
    const double* z = x.data() + first_node();
    std::fill(link_.begin(), link_.end(), 0.0);
    std::fill(dxdt.begin() + first_total, dxdt.begin() + static_cast<std::ptrdiff_t>(first_node()), 0.0);
    for (const std::size_t i : holes_) {
        const double out = view.strength[i] / std::sqrt(net_.gases.molar_mass(z[i]));
        link_[i] = out;
        double* totals = dxdt.data() + first_total + 4 * at(net_.riser_of[i]);
        const double vented = vent_part_[i] * out;
        totals[0] += vented;
        totals[1] += vented * z[i];
        totals[2] += out - vented;
        totals[3] += (out - vented) * z[i];
    }
    // Outward ends first; along a run of pipe the sum stays at hand.
    double run = 0.0;
    for (int i = view.nodes - 1; i > 0; --i) {
        const double all = link_[at(i)] + run;
        link_[at(i)] = all;
        const bool next = view.parent[i] == i - 1;
        run = next ? all : 0.0;
        if (!next && view.parent[i] >= 0) link_[at(view.parent[i])] += all;
    }
    link_[0] += run;
    double supply = 0.0;
    for (int r = 0; r < view.risers; ++r) supply += link_[at(view.roots[r])];
    const double source_fraction = x[source_air] * (view.steady ? view.steady_inverse : 1.0 / x[source]);
    dxdt[source] = view.made - supply;
    dxdt[source_air] = view.made_air - supply * source_fraction;
    double* dz = dxdt.data() + first_node();
    for (int i = 0; i < view.nodes; ++i) {
        const int p = view.parent[i];
        dz[i] = link_[at(i)] * view.inverse_moles[i] * ((p >= 0 ? z[p] : source_fraction) - z[i]);
    }
}

/// (shift I - J) u = rhs, J with the flows as they were at the start.
void CruiseSweep::solve(const SeriesView<double>& view, const Values& rhs, Values& u) const {
    const double inverse = view.steady ? view.steady_inverse : 1.0 / x_[source], inverse_shift = 1.0 / shift_;
    u[source] = rhs[source] * inverse_shift;
    const double moved = view.steady ? 0.0 : x_[source_air] * inverse * u[source];
    u[source_air] = (rhs[source_air] + supply_ * inverse * moved) / (shift_ + supply_ * inverse);
    const double given = (u[source_air] - moved) * inverse;
    const double* right = rhs.data() + first_node();
    double* z = u.data() + first_node();
    double before = 0.0;
    for (int i = 0; i < view.nodes; ++i) {
        const int p = view.parent[i];
        const double upstream = p == i - 1 && i > 0 ? before : p >= 0 ? z[p] : given;
        z[i] = before = right[i] * inverse_[at(i)] + carried_[at(i)] * upstream;
    }
    for (std::size_t k = first_total; k < first_node(); ++k) u[k] = rhs[k];
    for (const std::size_t i : holes_) {
        const double air = view.strength[i] * view.root_mass[i] * z[i];
        double* totals = u.data() + first_total + 4 * at(net_.riser_of[i]);
        totals[1] += vent_part_[i] * air;
        totals[3] += (1.0 - vent_part_[i]) * air;
    }
    for (std::size_t k = first_total; k < first_node(); ++k) u[k] *= inverse_shift;
}

/// From x_ to x1_ with its rates; the error over what is allowed.
double CruiseSweep::attempt(const SeriesView<double>& view, double size) {
    const RosenbrockTable& t = ros34pw2();
    size_ = size;
    shift_ = 1.0 / (size * t.gamma);
    for (std::size_t i = 0; i < rate_.size(); ++i) {
        inverse_[i] = 1.0 / (shift_ + rate_[i]);
        carried_[i] = rate_[i] * inverse_[i];
    }
    solve(view, f_, u_[0]);
    const std::size_t count = x_.size();
    for (std::size_t i = 1; i < stages; ++i) {
        const double a0 = t.a[i][0], a1 = i > 1 ? t.a[i][1] : 0.0, a2 = i > 2 ? t.a[i][2] : 0.0;
        for (std::size_t k = 0; k < count; ++k)
            at_[k] = x_[k] + a0 * u_[0][k] + a1 * u_[1][k] + a2 * u_[2][k];
        rates(view, at_, rhs_);
        const double c0 = t.c[i][0] / size, c1 = i > 1 ? t.c[i][1] / size : 0.0,
                     c2 = i > 2 ? t.c[i][2] / size : 0.0;
        for (std::size_t k = 0; k < count; ++k) rhs_[k] += c0 * u_[0][k] + c1 * u_[1][k] + c2 * u_[2][k];
        solve(view, rhs_, u_[i]);
    }
    for (std::size_t k = 0; k < count; ++k) {
        x1_[k] = x_[k] + t.m[0] * u_[0][k] + t.m[1] * u_[1][k] + t.m[2] * u_[2][k] + t.m[3] * u_[3][k];
        error_[k] = t.e[0] * u_[0][k] + t.e[1] * u_[1][k] + t.e[2] * u_[2][k] + t.e[3] * u_[3][k];
    }
    rates(view, x1_, f1_);
    const double norm = error_norm();
    return std::isfinite(norm) && (x1_[source] > 0.0 || view.steady) ? norm : 1e6;
}

double CruiseSweep::error_norm() const {
    double worst = std::abs(error_[source]) / std::abs(x_[source]);
    worst = std::max(
        worst, std::abs(error_[source_air]) / (std::abs(x1_[source_air]) + floor_ * std::abs(x_[source])));
    for (std::size_t k = first_node(); k < x1_.size(); ++k)
        worst = std::max(worst, std::abs(error_[k]) / (std::abs(x1_[k]) + floor_));
    return std::isfinite(error_.back()) ? worst / tolerance_ : worst * std::nan("");
}

void CruiseSweep::hand_over(SeriesView<double>& view, double size) const {
    view.terms = 3;
    view.flow_terms = 2;
    const double* z0 = x_.data() + first_node();
    const double* z1 = x1_.data() + first_node();
    const double* d0 = f_.data() + first_node();
    const double* d1 = f1_.data() + first_node();
    for (int i = 0; i < view.nodes; ++i) {
        const Bend b = bend(z1[i] - z0[i], d0[i], d1[i], size);
        view.z[view.stride + i] = d0[i];
        view.z[2 * view.stride + i] = b.square;
        view.z[3 * view.stride + i] = b.cube;
    }
    const Bend air = bend(x1_[source_air] - x_[source_air], f_[source_air], f1_[source_air], size);
    view.source_air_series[0] = x_[source_air];
    view.source_air_series[1] = f_[source_air];
    view.source_air_series[2] = air.square;
    view.source_air_series[3] = air.cube;
    // What is drawn is what is made less what the receiver gains.
    const Bend gain = bend(x1_[source] - x_[source], f_[source], f1_[source], size);
    view.supply[0] = view.made - f_[source];
    view.supply[1] = -2.0 * gain.square;
    view.supply[2] = -3.0 * gain.cube;
}

void CruiseSweep::add_totals(double t, std::vector<double>& totals) const {
    for (std::size_t k = 0; k < 4 * net_.risers.size(); ++k) {
        const std::size_t entry = first_total + k;
        const Bend b = bend(x1_[entry], f_[entry], f1_[entry], size_);
        totals[k] += t * (f_[entry] + t * (b.square + t * b.cube));
    }
}

}  // namespace oxfade::engine
