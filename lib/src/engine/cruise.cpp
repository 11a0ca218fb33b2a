#include "engine/cruise.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "engine/at.hpp"
#include "engine/cruise_steps.hpp"
#include "engine/cruise_sweep.hpp"
#include "engine/lanes/dispatch.hpp"

namespace oxfade::engine {
namespace {

double polynomial(const double* c, int degree, int stride, double t) {
    double value = 0.0;
    for (int k = degree; k >= 0; --k) value = value * t + c[k * stride];
    return value;
}

/// How many nodes the kernels may work on at once.
constexpr int packed = sweep_block;
/// Rest of a series that is left out, over the relative tolerance; and at least.
constexpr double left_out = 1e-3, least_left_out = 1e-13;

}  // namespace

CruiseSeries::CruiseSeries(const Dynamics& dynamics, double relative_tolerance)
    : dynamics_(dynamics),
      net_(dynamics.network()),
      layout_(dynamics.layout()),
      kernels_(best_kernels()),
      tolerance_(relative_tolerance),
      rest_(std::max(left_out * relative_tolerance, least_left_out)),
      coupled_(net_.any_mixing || net_.any_resolved ||
               std::any_of(net_.risers.begin(), net_.risers.end(),
                           [](const RiserNet& r) { return !r.loops.empty(); })) {}

void CruiseSeries::allocate() {
    const int nodes = net_.nodes();
    view_.nodes = nodes;
    view_.stride = (nodes + packed - 1) / packed * packed;
    view_.risers = layout_.risers;
    for (const RiserNet& riser : net_.risers) roots_.push_back(riser.first);
    view_.roots = roots_.data();
    view_.parent = net_.parent.data();
    view_.mass_product = net_.gases.mass_product;
    view_.mass_excess = net_.gases.mass_excess;
    const int rows = 4 + 3 * (series_order + 1) + 3 * (series_flow_order + 1);
    memory_.assign(at(rows * view_.stride), 0.0);
    double* next = memory_.data();
    const auto take = [&](double*& rows_of, int count) {
        rows_of = next;
        next += count * view_.stride;
    };
    for (double** one : {&view_.inverse_moles, &view_.strength, &view_.outflow, &view_.air_outflow})
        take(*one, 1);
    for (double** series : {&view_.z, &view_.deficit, &view_.air}) take(*series, series_order + 1);
    for (double** series : {&view_.root_mass, &view_.out, &view_.link}) take(*series, series_flow_order + 1);
    for (auto* v : {&moles_, &vent_part_}) v->assign(at(view_.stride), 0.0);
    totals_.assign(4 * net_.risers.size() + at(view_.stride), 0.0);
    riser_moles_.resize(net_.risers.size());
    all_nodes_.resize(at(nodes));
    std::iota(all_nodes_.begin(), all_nodes_.end(), 0);
}

bool CruiseSeries::possible(const Network& net) {
    return std::none_of(net.risers.begin(), net.risers.end(), [](const RiserNet& r) { return r.has_switch; });
}

bool CruiseSeries::ready() const {
    const auto& risers = dynamics_.modes().risers;
    return dynamics_.standing() && std::all_of(risers.begin(), risers.end(), [](const RiserMode& mode) {
               return mode.stage == Stage::in_service && mode.supply == SupplyMode::hold;
           });
}

void CruiseSeries::load(const State& x) {
    if (memory_.empty()) allocate();
    view_.source = x[Layout::source];
    view_.source_air = x[Layout::source_air];
    Flows flows = dynamics_.make_flows();
    State rates(x.size());
    dynamics_.rates(dynamics_.moment(), x, rates, flows);  // any moment does
    for (int r = 0; r < layout_.risers; ++r) riser_moles_[at(r)] = x[layout_.riser(r)];
    for (int i = 0; i < view_.nodes; ++i) {
        const int r = net_.riser_of[at(i)];
        moles_[at(i)] = layout_.moles(x, i);
        view_.inverse_moles[i] = 1.0 / moles_[at(i)];
        view_.z[i] = x[layout_.air(i)] / moles_[at(i)];
        const double area = net_.leak_area[at(i)] + flows.vent_area[at(i)];
        view_.strength[i] = flows.risers[at(r)].draught * area;
        vent_part_[at(i)] = area > 0.0 ? flows.vent_area[at(i)] / area : 0.0;
    }
    for (int r = 0; r < layout_.risers; ++r) {
        for (int w = 0; w < 4; ++w)
            totals_[at(4 * r + w)] = x[layout_.total(r, static_cast<Layout::Total>(w))];
    }
    std::fill(totals_.begin() + 4 * layout_.risers, totals_.end(), 0.0);
    laid_out_ = false;
    moved_ = true;
    by_steps_ = coupled_;
    if (coupled_ && !stepper_) stepper_ = std::make_unique<CruiseSteps>(dynamics_, tolerance_);
}

void CruiseSeries::store(State& x) const {
    x[Layout::source] = view_.source;
    x[Layout::source_air] = view_.source_air;
    for (int i = 0; i < view_.nodes; ++i) x[layout_.air(i)] = view_.z[i] * moles_[at(i)];
    store_totals(totals_, x);
}

void CruiseSeries::store_totals(const std::vector<double>& totals, State& x) const {
    for (int r = 0; r < layout_.risers; ++r) {
        for (int w = 0; w < 4; ++w)
            x[layout_.total(r, static_cast<Layout::Total>(w))] = totals[at(4 * r + w)];
    }
}

void CruiseSeries::store_at(double t, double source_moles, State& x) const {
    x[Layout::source] = source_moles;
    x[Layout::source_air] = polynomial(view_.source_air_series, view_.terms, 1, t);
    for (int i = 0; i < view_.nodes; ++i) x[layout_.air(i)] = air_fraction_at(i, t) * moles_[at(i)];
    std::vector<double> totals = totals_;
    stepper_->add_totals(t, totals);
    store_totals(totals, x);
}

double CruiseSeries::riser_supply(int r) const { return view_.link[net_.risers[at(r)].first]; }

void CruiseSeries::start(double made, double made_air) {
    view_.made = made;
    view_.made_air = made_air;
    if (by_steps_) {
        if (moved_) stepper_->take(view_, riser_moles_);
        moved_ = false;
        survey_ = stepper_->start(view_);
        largest_rate_ = survey_.largest_rate;
        return;
    }
    kernels_.start(view_);
    largest_rate_ = 0.0;
    for (int i = 0; i < view_.nodes; ++i)
        largest_rate_ = std::max(largest_rate_, view_.link[i] * view_.inverse_moles[i]);
}

void CruiseSeries::by_steps(bool yes) {
    if (yes == by_steps_) return;
    by_steps_ = yes;
    if (yes && !stepper_) stepper_ = std::make_unique<CruiseSweep>(net_, tolerance_, kernels_);
    if (yes && !laid_out_) stepper_->lay_out(view_, vent_part_);
    laid_out_ = laid_out_ || yes;
    start(view_.made, view_.made_air);
}

void CruiseSeries::steady_source(bool yes, double moles) {
    view_.steady = yes;
    view_.steady_inverse = 1.0 / moles;
}

double CruiseSeries::expand(double size) {
    if (by_steps_) {
        size = stepper_->step(view_, size);
    } else {
        expand_series(size);
    }
    for (int k = 0; k <= view_.flow_terms; ++k) drawn_[k] = view_.supply[k] * inverse_integers[k + 1];
    return size;
}

void CruiseSeries::expand_series(double size) {
    view_.pure = view_.source_air == 0.0 && view_.made_air == 0.0;
    const double apart = spread();
    view_.terms = terms_for(size, apart);
    view_.flow_terms = flow_terms_for(size, apart);
    kernels_.expand(view_);
}

/// How far apart the compositions are, and those of what the source makes: what the terms scale with.
double CruiseSeries::spread() const {
    double low = view_.source > 0.0 ? view_.source_air / view_.source : 0.0, high = low;
    if (view_.made_air > 0.0) high = 1.0;
    if (view_.made > view_.made_air) low = std::min(low, 0.0);
    for (int i = 0; i < view_.nodes; ++i) {
        low = std::min(low, view_.z[i]);
        high = std::max(high, view_.z[i]);
    }
    return high - low;
}

/// Terms that bring the rest of exp(-rate size), and of the receiver's geometric series, below `rest_`:
/// against 1, or where compositions lie closer together than what counts as nothing, against that.
int CruiseSeries::terms_for(double size, double spread) const {
    const double floor = net_.gases.composition_floor();
    double x = largest_rate_ * size;
    if (view_.steady && !view_.pure) x = std::max(x, view_.supply[0] * view_.steady_inverse * size);
    double rest = x * std::min(1.0, spread / floor);
    int k = 1;
    while (k < series_order && rest > rest_) rest *= x * inverse_integers[++k];
    if (view_.pure || view_.steady) return std::max(k, 2);
    const double inverse = size / view_.source;
    const double ratio = std::abs(view_.made - view_.supply[0]) * inverse;
    const double turnover = std::max(view_.made, view_.supply[0]) * inverse;
    const double air = view_.made_air > 0.0 ? 1.0 : view_.source_air / view_.source;
    double rest_source = turnover * std::min(1.0, air / floor);
    int j = 1;
    while (j < series_order && rest_source > rest_)
        rest_source *= std::max(ratio, turnover * inverse_integers[++j]);
    return std::max({k, j, 2});
}

/// Terms of the flows that still matter over a step. Compositions move towards one another, so that term k of
/// a flow is below (spread of the compositions) x (rate size)^k / k!, weighed by the gases' difference in
/// mass.
int CruiseSeries::flow_terms_for(double size, double spread) const {
    const double weight = 0.5 * std::abs(net_.gases.mass_excess) / net_.gases.mass_product;
    const double x = std::max(largest_rate_, view_.source_air > 0.0 ? view_.made / view_.source : 0.0) * size;
    double rest = weight * spread * x;
    int k = 0;
    while (k < std::min(series_flow_order, view_.terms - 1) && rest > rest_)
        rest *= x * inverse_integers[++k + 1];
    return k;
}

double CruiseSeries::supply_at(double t) const { return polynomial(view_.supply, view_.flow_terms, 1, t); }

double CruiseSeries::drawn(double t) const { return t * polynomial(drawn_, view_.flow_terms, 1, t); }

double CruiseSeries::supply_slope_at(double t) const {
    double value = 0.0;
    for (int k = view_.flow_terms; k >= 1; --k) value = value * t + k * view_.supply[k];
    return value;
}

double CruiseSeries::air_fraction_at(int node, double t) const {
    return polynomial(view_.z + node, view_.terms, view_.stride, t);
}

double CruiseSeries::air_fraction_slope_at(int node, double t) const {
    double value = 0.0;
    for (int k = view_.terms; k >= 1; --k) value = value * t + k * view_.z[k * view_.stride + node];
    return value;
}

void CruiseSeries::finish(double t) { finish(t, view_.source + view_.made * t - drawn(t)); }

void CruiseSeries::finish(double t, double source_moles) {
    if (by_steps_) {
        stepper_->add_totals(t, totals_);
        view_.source_air = polynomial(view_.source_air_series, view_.terms, 1, t);
        stepper_->carry(t, view_, moles_, totals_.data() + 4 * layout_.risers);
    } else {
        add_exposure(t);
        kernels_.finish(view_, t);
        add_outflows();
        moved_ = true;
    }
    view_.source = source_moles;
}

/// Terms of a series that its integral needs to a ten-millionth: the next is about x^k/(k+1)!.
int CruiseSeries::exposure_terms(double t) const {
    const double x = largest_rate_ * t;
    const int enough = x < 0.01 ? 2 : x < 0.05 ? 3 : x < 0.15 ? 4 : series_order;
    return std::min(enough, view_.terms);
}

/// The integral of the air in each node over the step.
void CruiseSeries::add_exposure(double t) {
    const int terms = exposure_terms(t);
    double* const total = totals_.data() + 4 * layout_.risers;
    for (int i = 0; i < view_.nodes; ++i) {
        const double* z = view_.z + i;
        double sum = 0.0;
        for (int k = terms; k >= 0; --k) sum = sum * t + z[k * view_.stride] * inverse_integers[k + 1];
        total[i] += sum * t * moles_[at(i)];
    }
}

void CruiseSeries::add_outflows() {
    for (int i = 0; i < view_.nodes; ++i) {
        double* total = totals_.data() + 4 * net_.riser_of[at(i)];
        const double part = vent_part_[at(i)], out = view_.outflow[i], air = view_.air_outflow[i];
        total[Layout::vented] += part * out;
        total[Layout::vented_air] += part * air;
        total[Layout::leaked] += (1.0 - part) * out;
        total[Layout::leaked_air] += (1.0 - part) * air;
    }
}

void CruiseSeries::hand_on(double air) {
    for (const RiserNet& riser : net_.risers) {
        const double part = view_.link[riser.first] / view_.supply[0];
        view_.z[riser.first] += air * part / moles_[at(riser.first)];
    }
    view_.source_air -= air;
    moved_ = true;
}

bool CruiseSeries::passes(int node) const {
    return coupled_ ? view_.link[node] != 0.0 || net_.mixing[at(node)].active() : view_.link[node] > 0.0;
}

void CruiseSeries::flush_nodes() {
    for (int i = 0; i < view_.nodes; ++i) {
        if (!passes(i)) continue;  // behind it there is no way out: what is in it stays
        totals_[at(4 * net_.riser_of[at(i)] + Layout::leaked_air)] += view_.z[i] * moles_[at(i)];
        view_.z[i] = 0.0;
    }
    moved_ = true;
}

double CruiseSeries::highest_fraction() const {
    if (by_steps_) return survey_.highest_fraction;
    double highest = 0.0;
    for (int i = 0; i < view_.nodes; ++i) {
        if (passes(i)) highest = std::max(highest, std::abs(view_.z[i]));
    }
    return highest;
}

double CruiseSeries::slowest_decay(const std::vector<double>& change) const {
    return by_steps_ ? stepper_->slowest_decay(view_, change) : slowest_rate(view_, change);
}

void CruiseSeries::add(const std::vector<double>& fractions, const std::vector<double>& totals) {
    for (int i = 0; i < view_.nodes; ++i) view_.z[i] += fractions[at(i)];
    view_.source_air += fractions.back() * view_.source;
    for (std::size_t k = 0; k < totals_.size(); ++k) totals_[k] += totals[k];
    moved_ = true;
}

}  // namespace oxfade::engine
