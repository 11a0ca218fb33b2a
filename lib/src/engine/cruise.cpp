#include "engine/cruise.hpp"

#include <algorithm>
#include <cmath>

namespace oxfade::engine {
namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

/// Relative rest of a series that may be left out.
constexpr double series_rest = 1e-12;

double polynomial(const double* c, int degree, std::size_t stride, double t) {
    double value = 0.0;
    for (int k = degree; k >= 0; --k) value = value * t + c[at(k) * stride];
    return value;
}

}  // namespace

CruiseSeries::CruiseSeries(const Dynamics& dynamics)
    : dynamics_(dynamics), net_(dynamics.network()), layout_(dynamics.layout()), nodes_(net_.nodes()) {
    const std::size_t n = at(nodes_);
    for (auto* v : {&moles_, &strength_, &vent_part_}) v->assign(n, 0.0);
    z_.assign(n * (order + 1), 0.0);
    for (auto* v : {&root_mass_, &out_, &link_}) v->assign(n * (flow_order + 1), 0.0);
    totals_.assign(4 * net_.risers.size(), 0.0);
    totals_series_.assign(totals_.size() * (order + 1), 0.0);
}

bool CruiseSeries::possible(const Network& net) {
    return !net.any_mixing && std::all_of(net.risers.begin(), net.risers.end(),
                                          [](const RiserNet& r) { return r.loops.empty() && !r.has_switch; });
}

bool CruiseSeries::ready() const {
    const auto& risers = dynamics_.modes().risers;
    return std::all_of(risers.begin(), risers.end(), [](const RiserMode& mode) {
        return mode.stage == Stage::in_service && mode.supply == SupplyMode::hold;
    });
}

void CruiseSeries::load(const State& x) {
    source_ = x[Layout::source];
    source_air_ = x[Layout::source_air];
    Flows flows = dynamics_.make_flows();
    State rates(x.size());
    dynamics_.rates(x, rates, flows);
    for (int i = 0; i < nodes_; ++i) {
        const int r = net_.riser_of[at(i)];
        moles_[at(i)] = x[layout_.riser(r)] * net_.share[at(i)];
        z_[at(i)] = x[layout_.air(i)] / moles_[at(i)];
        const double area = net_.leak_area[at(i)] + flows.vent_area[at(i)];
        strength_[at(i)] = flows.risers[at(r)].draught * area;
        vent_part_[at(i)] = area > 0.0 ? flows.vent_area[at(i)] / area : 0.0;
    }
    for (int r = 0; r < layout_.risers; ++r) {
        for (int w = 0; w < 4; ++w)
            totals_[at(4 * r + w)] = x[layout_.total(r, static_cast<Layout::Total>(w))];
    }
}

void CruiseSeries::store(State& x) const {
    x[Layout::source] = source_;
    x[Layout::source_air] = source_air_;
    for (int i = 0; i < nodes_; ++i) x[layout_.air(i)] = z_[at(i)] * moles_[at(i)];
    for (int r = 0; r < layout_.risers; ++r) {
        for (int w = 0; w < 4; ++w)
            x[layout_.total(r, static_cast<Layout::Total>(w))] = totals_[at(4 * r + w)];
    }
}

double CruiseSeries::riser_supply(int r) const { return link_[at(net_.risers[at(r)].first)]; }

void CruiseSeries::start(double made, double made_air) {
    made_ = made;
    made_air_ = made_air;
    expand_flows(0);
    largest_rate_ = 0.0;
    for (int i = 0; i < nodes_; ++i) largest_rate_ = std::max(largest_rate_, link_[at(i)] / moles_[at(i)]);
}

void CruiseSeries::expand(double size) {
    terms_ = terms_for(size);
    flow_terms_ = flow_terms_for(size);
    source_series_[0] = source_;
    source_air_series_[0] = source_air_;
    std::fill_n(totals_series_.begin(), totals_.size() * at(terms_ + 1), 0.0);
    for (int k = 0; k < terms_; ++k) {
        if (k > 0 && k <= flow_terms_) expand_flows(k);
        expand_source(k);
        expand_nodes(k);
    }
}

/// Terms that bring the rest of exp(-rate size), and of the receiver's geometric series, below `series_rest`.
int CruiseSeries::terms_for(double size) const {
    const double x = largest_rate_ * size;
    double rest = x;
    int k = 1;
    while (k < order && rest > series_rest) rest *= x / ++k;
    if (source_air_ == 0.0 && made_air_ == 0.0) return std::max(k, 2);
    const double ratio = std::abs(made_ - supply_[0]) * size / source_;
    const double turnover = std::max(made_, supply_[0]) * size / source_;
    double rest_source = turnover;
    int j = 1;
    while (j < order && rest_source > series_rest) rest_source *= std::max(ratio, turnover / ++j);
    return std::max({k, j, 2});
}

/// Terms of the flows that still matter over a step. Compositions move towards one another, so that term k of
/// a flow is below (spread of the compositions) x (rate size)^k / k!, weighed by the gases' difference in
/// mass.
int CruiseSeries::flow_terms_for(double size) const {
    double low = source_ > 0.0 ? source_air_ / source_ : 0.0, high = low;
    if (made_air_ > 0.0) high = 1.0;
    if (made_ > made_air_) low = 0.0;
    for (int i = 0; i < nodes_; ++i) {
        low = std::min(low, z_[at(i)]);
        high = std::max(high, z_[at(i)]);
    }
    const double weight = 0.5 * std::abs(net_.gases.mass_excess) / net_.gases.mass_product;
    const double x = std::max(largest_rate_, source_air_ > 0.0 ? made_ / source_ : 0.0) * size;
    double rest = weight * (high - low) * x;
    int k = 0;
    while (k < std::min(flow_order, terms_ - 1) && rest > series_rest) rest *= x / (++k + 1);
    return k;
}

/// Term k of the flows from the terms up to k of the compositions: w = M^(-1/2) obeys M w' = -M' w / 2.
void CruiseSeries::expand_flows(int k) {
    const std::size_t n = at(nodes_), row = at(k) * n;
    for (int i = 0; i < nodes_; ++i) {
        link_[row + at(i)] = 0.0;
        if (strength_[at(i)] == 0.0) continue;
        const double* z = z_.data() + i;
        double* w = root_mass_.data() + i;
        const double mass = net_.gases.molar_mass(z[0]);
        if (k == 0) {
            w[0] = 1.0 / std::sqrt(mass);
        } else {
            double sum = 0.0;
            for (int j = 1; j <= k; ++j) sum -= (k - 0.5 * j) * z[at(j) * n] * w[at(k - j) * n];
            w[row] = sum * net_.gases.mass_excess / (k * mass);
        }
        out_[row + at(i)] = link_[row + at(i)] = strength_[at(i)] * w[row];
    }
    for (int i = nodes_ - 1; i >= 0; --i) {  // leaves first
        if (net_.parent[at(i)] >= 0) link_[row + at(net_.parent[at(i)])] += link_[row + at(i)];
    }
    supply_[k] = 0.0;
    for (const RiserNet& riser : net_.risers) supply_[k] += link_[row + at(riser.first)];
}

/// Term k + 1 of the receiver's content and of the air in it, and term k of its air fraction.
void CruiseSeries::expand_source(int k) {
    if (k <= flow_terms_) source_series_[k + 1] = ((k == 0 ? made_ : 0.0) - supply_[k]) / (k + 1);
    if (source_air_ == 0.0 && made_air_ == 0.0) {
        source_z_[k] = source_air_series_[k + 1] = 0.0;
        return;
    }
    double fraction = source_air_series_[k];
    for (int j = 1; j <= std::min(k, flow_terms_ + 1); ++j) fraction -= source_series_[j] * source_z_[k - j];
    source_z_[k] = fraction / source_series_[0];
    double drawn = 0.0;
    for (int j = 0; j <= std::min(k, flow_terms_); ++j) drawn += supply_[j] * source_z_[k - j];
    source_air_series_[k + 1] = ((k == 0 ? made_air_ : 0.0) - drawn) / (k + 1);
}

/// Term k + 1 of the compositions and totals. Every balance is a sum over the terms of one power, so it holds
/// to rounding however short the series are.
void CruiseSeries::expand_nodes(int k) {
    const std::size_t n = at(nodes_), t = totals_.size();
    const double next = 1.0 / (k + 1);
    const int terms = std::min(k, flow_terms_);
    const double* zk = z_.data() + at(k) * n;
    for (int i = 0; i < nodes_; ++i) {
        const int p = net_.parent[at(i)];
        double gain = 0.0;
        for (int j = 0; j <= terms; ++j) {
            const std::size_t back = at(j) * n;
            const double upstream = p >= 0 ? *(zk + p - back) : source_z_[k - j];
            gain += link_[back + at(i)] * (upstream - *(zk + i - back));
        }
        z_[at(k + 1) * n + at(i)] = gain * next / moles_[at(i)];
        if (strength_[at(i)] == 0.0) continue;
        double air = 0.0;
        for (int j = 0; j <= terms; ++j) air += out_[at(j) * n + at(i)] * *(zk + i - at(j) * n);
        const double all = k <= flow_terms_ ? out_[at(k) * n + at(i)] : 0.0;
        double* total = totals_series_.data() + at(k + 1) * t + at(4 * net_.riser_of[at(i)]);
        total[Layout::vented] += vent_part_[at(i)] * all * next;
        total[Layout::vented_air] += vent_part_[at(i)] * air * next;
        total[Layout::leaked] += (1.0 - vent_part_[at(i)]) * all * next;
        total[Layout::leaked_air] += (1.0 - vent_part_[at(i)]) * air * next;
    }
}

double CruiseSeries::supply_at(double t) const { return polynomial(supply_, flow_terms_, 1, t); }

double CruiseSeries::drawn(double t) const {
    double value = 0.0;
    for (int k = flow_terms_; k >= 0; --k) value = value * t + supply_[k] / (k + 1);
    return value * t;
}

double CruiseSeries::supply_change(double size) const {
    double change = 0.0, power = 1.0;
    for (int k = 1; k <= flow_terms_; ++k) {
        power *= size;
        change += std::abs(supply_[k]) * power;
    }
    return change / supply_[0];
}

double CruiseSeries::air_fraction_at(int node, double t) const {
    return polynomial(z_.data() + node, terms_, at(nodes_), t);
}

double CruiseSeries::air_fraction_slope_at(int node, double t) const {
    double value = 0.0;
    for (int k = terms_; k >= 1; --k) value = value * t + k * z_[at(k * nodes_ + node)];
    return value;
}

void CruiseSeries::finish(double t) { finish(t, polynomial(source_series_, flow_terms_ + 1, 1, t)); }

void CruiseSeries::finish(double t, double source_moles) {
    source_ = source_moles;
    source_air_ = polynomial(source_air_series_, terms_, 1, t);
    for (int i = 0; i < nodes_; ++i) z_[at(i)] = air_fraction_at(i, t);
    for (std::size_t k = 0; k < totals_.size(); ++k) {
        totals_[k] += polynomial(totals_series_.data() + k, terms_, totals_.size(), t);
    }
}

void CruiseSeries::flush_source() {
    for (const RiserNet& riser : net_.risers) {
        const double part = link_[at(riser.first)] / supply_[0];
        z_[at(riser.first)] += source_air_ * part / moles_[at(riser.first)];
    }
    source_air_ = 0.0;
}

void CruiseSeries::flush_nodes() {
    for (int i = 0; i < nodes_; ++i) {
        if (link_[at(i)] <= 0.0) continue;  // behind it there is no way out: what is in it stays
        totals_[at(4 * net_.riser_of[at(i)] + Layout::leaked_air)] += z_[at(i)] * moles_[at(i)];
        z_[at(i)] = 0.0;
    }
}

double CruiseSeries::highest_fraction() const {
    double highest = 0.0;
    for (int i = 0; i < nodes_; ++i) {
        if (link_[at(i)] > 0.0) highest = std::max(highest, std::abs(z_[at(i)]));
    }
    return highest;
}

void CruiseSeries::add_to_totals(const std::vector<double>& change, double times) {
    for (std::size_t k = 0; k < totals_.size(); ++k) totals_[k] += times * change[k];
}

}  // namespace oxfade::engine
