#include "engine/cruise_steps.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "engine/at.hpp"

namespace oxfade::engine {
namespace {

double positive(double flow) { return flow > 0.0 ? flow : 0.0; }

}  // namespace

CruiseSteps::CruiseSteps(const Dynamics& dynamics, double relative_tolerance)
    : dynamics_(dynamics),
      net_(dynamics.network()),
      layout_(dynamics.layout()),
      tolerance_(relative_tolerance),
      linear_(dynamics.linearise()),
      flows_(dynamics.make_flows()),
      flows1_(dynamics.make_flows()),
      scratch_(dynamics.make_flows()),
      ages_(net_) {
    for (State* s : {&x_, &f_, &x1_, &f1_, &error_}) s->setZero(layout_.size());
    near_target_.reserve(at(layout_.nodes));
}

void CruiseSteps::take(const SeriesView<double>& view, const std::vector<double>& riser_moles) {
    x_.setZero();
    for (int r = 0; r < layout_.risers; ++r) x_[layout_.riser(r)] = riser_moles[at(r)];
    for (int i = 0; i < layout_.nodes; ++i) x_[layout_.air(i)] = view.z[i] / view.inverse_moles[i];
    rates_known_ = false;
    taken_ = true;
}

/// The receiver's content, or what stands for it while its cycles do not matter.
void CruiseSteps::take_source(const SeriesView<double>& view) {
    const double moles = view.steady ? 1.0 / view.steady_inverse : view.source;
    rates_known_ = rates_known_ && steady_ == view.steady && x_[Layout::source] == moles &&
                   x_[Layout::source_air] == view.source_air;
    steady_ = view.steady;
    made_ = view.made;
    made_air_ = view.made_air;
    x_[Layout::source] = moles;
    x_[Layout::source_air] = view.source_air;
    if (!rates_known_) {
        rates(x_, f_, flows_);
        rates_known_ = true;
        return;
    }
    source_rates(f_, flows_);
}

void CruiseSteps::rates(const State& x, State& dxdt, Flows& flows) const {
    dynamics_.rates(dynamics_.moment(), x, dxdt, flows);  // any moment does
    source_rates(dxdt, flows);
}

/// The machine is as the view has it.
void CruiseSteps::source_rates(State& dxdt, const Flows& flows) const {
    dxdt[Layout::source] = steady_ ? 0.0 : made_ - drawn(flows);
    dxdt[Layout::source_air] = made_air_ - drawn(flows) * flows.source_fraction;
}

double CruiseSteps::drawn(const Flows& flows) {
    double all = 0.0;
    for (const Flows::OfRiser& riser : flows.risers) all += riser.supply;
    return all;
}

CruiseSurvey CruiseSteps::start(SeriesView<double>& view) {
    take_source(view);
    view.supply[0] = drawn(flows_);
    CruiseSurvey survey;
    for (int i = 0; i < layout_.nodes; ++i) {
        const double link = view.link[i] = flows_.link[at(i)];
        survey.largest_rate = std::max(survey.largest_rate, std::abs(link) * view.inverse_moles[i]);
        if (link != 0.0 || net_.mixing[at(i)].active())
            survey.highest_fraction = std::max(survey.highest_fraction, std::abs(view.z[i]));
    }
    return survey;
}

double CruiseSteps::attempt(SeriesView<double>& view, double size) {
    take_source(view);
    size_ = size;
    scratch_.within_step = true;
    System system{*this, *linear_, flows_, scratch_};
    stepper_.do_step(system, x_, f_, 0.0, x1_, size, error_);
    const double norm = error_norm();
    return std::isfinite(norm) && x1_[Layout::source] > 0.0 ? norm : 1e6;
}

double CruiseSteps::error_norm() const {
    // Once product comes evenly, what is followed is how slow dead ends clear, and errors add up.
    constexpr double steady_share = 0.02;
    const double margin =
        std::max(1.0, net_.composition_margin() * (steady_ && !net_.moving ? steady_share : 1.0));
    const double floor = net_.composition_floor(), source = std::abs(x1_[Layout::source]);
    double worst = 0.0;
    const auto look = [&](double error, double scale) {
        const double relative = std::abs(error) / scale;
        if (!(relative <= worst)) worst = relative;  // a NaN stays
    };
    look(error_[Layout::source], source);
    look(error_[Layout::source_air],
         std::sqrt(net_.composition_margin()) * (std::abs(x1_[Layout::source_air]) + floor * source));
    for (int i = 0; i < layout_.nodes; ++i) {
        const int air = layout_.air(i);
        look(error_[air], margin * (std::abs(x1_[air]) + floor * layout_.moles(x1_, i)));
    }
    return worst / tolerance_;
}

void CruiseSteps::settle(SeriesView<double>& view) {
    rates(x1_, f1_, flows1_);
    view.terms = 3;
    view.flow_terms = 2;
    near_target_.clear();
    for (int i = 0; i < layout_.nodes; ++i) {
        const int air = layout_.air(i);
        const double inverse = view.inverse_moles[i];
        const Bend b = bend(x1_[air] - x_[air], f_[air], f1_[air], size_);
        const double before = view.z[i] - net_.target_air, after = x1_[air] * inverse - net_.target_air;
        // Between its ends Hermite's cubic departs by less than 4/27 of what either slope makes of the step.
        const double bulge = 4.0 / 27.0 * size_ * (std::abs(f_[air]) + std::abs(f1_[air])) * inverse;
        if (taken_ || before * after <= 0.0 || std::min(std::abs(before), std::abs(after)) <= bulge)
            near_target_.push_back(i);
        view.z[view.stride + i] = f_[air] * inverse;
        view.z[2 * view.stride + i] = b.square * inverse;
        view.z[3 * view.stride + i] = b.cube * inverse;
    }
    taken_ = false;
    const int source_air = Layout::source_air;
    const Bend air = bend(x1_[source_air] - x_[source_air], f_[source_air], f1_[source_air], size_);
    view.source_air_series[0] = x_[source_air];
    view.source_air_series[1] = f_[source_air];
    view.source_air_series[2] = air.square;
    view.source_air_series[3] = air.cube;
    // While the risers hold, what is drawn is what leaves them.
    double left = 0.0;
    for (int r = 0; r < layout_.risers; ++r) {
        for (const auto total : {Layout::vented, Layout::leaked}) {
            const int entry = layout_.total(r, total);
            left += x1_[entry] - x_[entry];
        }
    }
    const double first = drawn(flows_);
    const Bend gone = bend(left, first, drawn(flows1_), size_);
    view.supply[0] = first;
    view.supply[1] = 2.0 * gone.square;
    view.supply[2] = 3.0 * gone.cube;
}

void CruiseSteps::add_totals(double t, std::vector<double>& totals) const {
    for (int r = 0; r < layout_.risers; ++r) {
        for (int w = 0; w < 4; ++w) {
            const int entry = layout_.total(r, static_cast<Layout::Total>(w));
            const Bend b = bend(x1_[entry] - x_[entry], f_[entry], f1_[entry], size_);
            totals[at(4 * r + w)] += t * (f_[entry] + t * (b.square + t * b.cube));
        }
    }
}

void CruiseSteps::carry(double t, SeriesView<double>& view, const std::vector<double>& moles,
                        double* exposure) {
    const double *z0 = view.z, *c1 = z0 + view.stride, *c2 = c1 + view.stride, *c3 = c2 + view.stride;
    for (int i = 0; i < layout_.nodes; ++i) {
        exposure[i] += moles[at(i)] * t * (z0[i] + t * (c1[i] / 2 + t * (c2[i] / 3 + t * c3[i] / 4)));
        view.z[i] = z0[i] + t * (c1[i] + t * (c2[i] + t * c3[i]));
    }
    rates_known_ = t == size_;
    if (rates_known_) {
        std::swap(x_, x1_);
        std::swap(f_, f1_);
        std::swap(flows_, flows1_);
    } else {
        for (int i = 0; i < layout_.nodes; ++i) x_[layout_.air(i)] = view.z[i] * moles[at(i)];
    }
}

double CruiseSteps::slowest_decay(const SeriesView<double>& view, const std::vector<double>& change) const {
    // With A the matrix of the compositions' decay and 1 a vector of ones, A^-1 1 are mean ages; the greatest
    // of them bounds the norm of A^-1, and so the inverse of its least eigenvalue.
    constexpr double next_to_nothing = 1e-12;  // [1/s]: a node with no way out is 30 000 years old
    double oldest = 0.0;
    std::vector<double> ages(at(layout_.nodes));
    for (int r = 0; r < layout_.risers; ++r) {
        const RiserNet& riser = net_.risers[at(r)];
        const int end = riser.first + riser.count;
        for (int i = riser.first; i < end; ++i) {
            ages_.pivot[at(i)] = next_to_nothing + positive(flows_.out[at(i)]) * view.inverse_moles[i];
            ages[at(i)] = 1.0 / view.inverse_moles[i];
            if (i == riser.first) continue;
            const double flow = flows_.link[at(i)], g = flows_.mixing[at(i)];
            ages_.down[at(i)] = (positive(flow) + g) * view.inverse_moles[net_.parent[at(i)]];
            ages_.up[at(i)] = (positive(-flow) + g) * view.inverse_moles[i];
        }
        for (std::size_t k = 0; k < riser.loops.size(); ++k) {
            const double flow = flows_.loop[at(r)][k], g = flows_.loop_mixing[at(r)][k];
            ages_.loops[at(r)][k] = {(positive(flow) + g) * view.inverse_moles[riser.loops[k].first],
                                     -(positive(-flow) + g) * view.inverse_moles[riser.loops[k].second]};
        }
        ages_.factorise(r);
        ages_.solve(r, ages);
        for (int i = riser.first; i < end; ++i) {
            if (change[at(i)] != 0.0) oldest = std::max(oldest, ages[at(i)] * view.inverse_moles[i]);
        }
    }
    return oldest > 0.0 ? 1.0 / oldest : 0.0;
}

}  // namespace oxfade::engine
