#include "engine/cruise_sweep.hpp"

#include <algorithm>
#include <numeric>
#include <utility>

#include "engine/at.hpp"
#include "engine/rosenbrock.hpp"

namespace oxfade::engine {

CruiseSweep::CruiseSweep(const Network& net, double relative_tolerance, const Kernels& kernels)
    : net_(net), kernels_(kernels) {
    static_assert(RosenbrockTable::stages == sweep_stages);
    const RosenbrockTable& t = ros34pw2();
    v_.gamma = t.gamma;
    for (std::size_t i = 0; i < sweep_stages; ++i) {
        std::copy(t.a[i].begin(), t.a[i].end(), v_.a[i]);
        std::copy(t.c[i].begin(), t.c[i].end(), v_.c[i]);
        v_.m[i] = t.m[i];
        v_.e[i] = t.e[i];
    }
    v_.tolerance = relative_tolerance;
    v_.floor = net.gases.composition_floor();
    v_.mass_product = net.gases.mass_product;
    v_.mass_excess = net.gases.mass_excess;
    v_.target = net.target_air;
    v_.risers = static_cast<int>(net.risers.size());
}

void CruiseSweep::lay_out(const SeriesView<double>& view, const std::vector<double>& vent_part) {
    if (rows_.empty()) allocate(view);
    find_segments(view);
    find_shapes();
    find_holes(view, vent_part);
    allocate_flows();
}

void CruiseSweep::allocate(const SeriesView<double>& view) {
    const int count = (view.nodes + sweep_block - 1) / sweep_block * sweep_block;
    v_.blocks = count / sweep_block;
    parent_.assign(at(count), -1);
    std::copy_n(view.parent, view.nodes, parent_.begin());
    v_.parent = parent_.data();
    segment_.assign(at(count), 0);
    v_.segment = segment_.data();
    inverse_moles_.assign(at(count), 0.0);
    v_.inverse_moles = inverse_moles_.data();
    const auto row_size = at(count + sweep_block);
    const auto rows = {&v_.x,    &v_.x1,   &v_.at[0], &v_.at[1],   &v_.u[0],
                       &v_.u[1], &v_.u[2], &v_.u[3],  &v_.inverse, &v_.carried};
    rows_.assign(rows.size() * row_size, 0.0);
    double* next = rows_.data() + sweep_block;
    for (double** row : rows) {
        *row = next;
        next += row_size;
    }
    for (auto* list : {&active_, &near_}) list->assign(at(v_.blocks), 0);
    v_.active = active_.data();
    v_.near_target = near_.data();
    quiet_.assign(at(v_.blocks), 0);
    v_.quiet = quiet_.data();
    shape_.assign(at(v_.blocks), 0);
    v_.shape = shape_.data();
}

void CruiseSweep::find_segments(const SeriesView<double>& view) {
    std::vector<int> ways_on(at(view.nodes), 0);
    for (int i = 0; i < view.nodes; ++i) {
        if (view.parent[i] >= 0) ++ways_on[at(view.parent[i])];
    }
    segment_parent_.clear();
    for (int i = 0; i < view.nodes; ++i) {
        const int p = view.parent[i];
        if (p >= 0 && view.strength[p] == 0.0 && ways_on[at(p)] == 1) {
            segment_[at(i)] = segment_[at(p)];
        } else {
            segment_[at(i)] = static_cast<int>(segment_parent_.size());
            segment_parent_.push_back(p >= 0 ? segment_[at(p)] : -1);
        }
    }
    v_.segments = static_cast<int>(segment_parent_.size());
    v_.segment_parent = segment_parent_.data();
    std::copy_n(view.inverse_moles, view.nodes, inverse_moles_.begin());
}

void CruiseSweep::find_shapes() {
    for (int b = 0; b < v_.blocks; ++b) {
        const int begin = b * sweep_block;
        bool in_a_row = true, apart = true, one_segment = true, own_segments = true;
        for (int i = begin; i < begin + sweep_block; ++i) {
            in_a_row = in_a_row && parent_[at(i)] == i - 1;
            apart = apart && parent_[at(i)] < begin;
            one_segment = one_segment && segment_[at(i)] == segment_[at(begin)];
            own_segments = own_segments && segment_[at(i)] == segment_[at(begin)] + i - begin;
        }
        shape_[at(b)] = static_cast<unsigned char>(
            (in_a_row ? SweepView::in_a_row : 0) | (apart ? SweepView::apart : 0) |
            (one_segment ? SweepView::one_segment : 0) | (own_segments ? SweepView::own_segments : 0));
    }
}

void CruiseSweep::find_holes(const SeriesView<double>& view, const std::vector<double>& vent_part) {
    first_hole_.clear();
    hole_node_.clear();
    hole_segment_.clear();
    strength_.clear();
    vent_part_.clear();
    const auto add = [&](int node, double strength) {
        hole_node_.push_back(node);
        hole_segment_.push_back(segment_[at(node)]);
        strength_.push_back(strength);
        vent_part_.push_back(vent_part[at(node)]);
    };
    for (const RiserNet& riser : net_.risers) {
        first_hole_.push_back(static_cast<int>(hole_node_.size()));
        for (int i = riser.first; i < riser.first + riser.count; ++i) {
            if (view.strength[i] != 0.0) add(i, view.strength[i]);
        }
        while (hole_node_.size() % sweep_block != 0) add(riser.first, 0.0);
    }
    first_hole_.push_back(static_cast<int>(hole_node_.size()));
    v_.first_hole = first_hole_.data();
    v_.hole_node = hole_node_.data();
    v_.hole_segment = hole_segment_.data();
    v_.strength = strength_.data();
    v_.vent_part = vent_part_.data();
}

void CruiseSweep::allocate_flows() {
    // One entry in front of the segments; behind them what a block may read beyond the last.
    const std::size_t segments = segment_parent_.size() + 2 * sweep_block, totals = 4 * net_.risers.size(),
                      holes = hole_node_.size();
    flows_.assign(2 * (segments + holes + totals) + (1 + sweep_stages) * totals, 0.0);
    double* next = flows_.data();
    const auto take = [&](std::size_t count) {
        double* begin = next;
        next += count;
        return begin;
    };
    for (SweepFlows* flows : {&v_.start, &v_.now}) {
        flows->segment = take(segments) + sweep_block;
        flows->hole = take(holes);
        flows->totals = take(totals);
    }
    v_.total1 = take(totals);
    for (double*& u : v_.total_u) u = take(totals);
    flows_known_ = false;
}

void CruiseSweep::take(const SeriesView<double>& view, const std::vector<double>& /*riser_moles*/) {
    std::copy_n(view.z, view.nodes, v_.x);
    std::fill(quiet_.begin(), quiet_.end(), static_cast<unsigned char>(0));
    flows_known_ = false;
    taken_ = true;
}

CruiseSurvey CruiseSweep::start(SeriesView<double>& view) {
    if (!flows_known_) kernels_.sweep_begin(v_);
    flows_known_ = true;
    view.supply[0] = v_.start.supply;
    return kernels_.sweep_survey(v_, view.link);
}

double CruiseSweep::attempt(SeriesView<double>& view, double size) {
    v_.made = view.made;
    v_.made_air = view.made_air;
    v_.source = {view.source, view.source_air};
    v_.steady = view.steady;
    v_.steady_inverse = view.steady_inverse;
    for (int power = 1; power < 4; ++power) v_.cubic[power] = view.z + power * view.stride;
    return kernels_.sweep_attempt(v_, size);
}

void CruiseSweep::settle(SeriesView<double>& view) {
    kernels_.sweep_settle(v_);
    hand_over(view);
    list_near_target();
}

/// What the receiver does over the step.
void CruiseSweep::hand_over(SeriesView<double>& view) {
    view.terms = 3;
    view.flow_terms = 2;
    const Bend air = bend(v_.source1.air - v_.source.air, v_.start.source_air, v_.now.source_air, v_.size);
    view.source_air_series[0] = v_.source.air;
    view.source_air_series[1] = v_.start.source_air;
    view.source_air_series[2] = air.square;
    view.source_air_series[3] = air.cube;
    // What is drawn is what is made less what the receiver gains.
    const Bend gain = bend(v_.source1.moles - v_.source.moles, v_.start.source, v_.now.source, v_.size);
    view.supply[0] = view.made - v_.start.source;
    view.supply[1] = -2.0 * gain.square;
    view.supply[2] = -3.0 * gain.cube;
}

void CruiseSweep::list_near_target() {
    near_target_.clear();
    if (taken_) {
        near_target_.resize(at(net_.nodes()));
        std::iota(near_target_.begin(), near_target_.end(), 0);
        taken_ = false;
        return;
    }
    for (int k = 0; k < v_.near_count; ++k) {
        const int begin = near_[at(k)] * sweep_block;
        for (int i = begin; i < std::min(begin + sweep_block, net_.nodes()); ++i) near_target_.push_back(i);
    }
}

void CruiseSweep::add_totals(double t, std::vector<double>& totals) const {
    for (std::size_t k = 0; k < 4 * net_.risers.size(); ++k) {
        const double d0 = v_.start.totals[k];
        const Bend b = bend(v_.total1[k], d0, v_.now.totals[k], v_.size);
        totals[k] += t * (d0 + t * (b.square + t * b.cube));
    }
}

void CruiseSweep::carry(double t, SeriesView<double>& view, const std::vector<double>& moles,
                        double* exposure) {
    kernels_.sweep_carry(v_, t, view.z, moles.data(), exposure);
    flows_known_ = t == v_.size;
    if (flows_known_) std::swap(v_.start, v_.now);
}

}  // namespace oxfade::engine
