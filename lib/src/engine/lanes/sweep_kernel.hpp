#pragma once

/// The arithmetic of the implicit steps (see cruise_sweep.hpp). See series_kernel.hpp for what this may
/// include.
#ifndef OXFADE_ISA
#error "OXFADE_ISA names the instruction set this is compiled for"
#endif

#include "engine/lanes/sweep_view.hpp"

namespace oxfade::engine::OXFADE_ISA {

class SweepKernel {
  public:
    explicit SweepKernel(SweepView& view) : v_(view) {}

    /// Flows in the piping at the state held.
    void begin() { flows(v_.x, v_.start); }

    /// Puts the flow into each node into a row, and looks over all nodes.
    CruiseSurvey survey(double* link) const {
        V rate{}, highest{};
        for (int b = 0; b < v_.blocks; ++b) {
            const V flow = link_of(b, v_.start.segment);
            store(link, b, flow);
            rate = larger(rate, flow * load(v_.inverse_moles, b));
            const V z = magnitude(load(v_.x, b));
            highest = larger(highest, flow > V{} ? z : V{});
        }
        return {largest(rate), largest(highest)};
    }

    /// From x to x1; the error over what is allowed.
    double attempt(double size) {
        v_.size = size;
        shift_ = 1.0 / (size * v_.gamma);
        worst_ = spoilt_ = V{};
        draw(v_.source, v_.start);
        stage<0>();
        stage<1>();
        stage<2>();
        stage<3>();
        const double norm = error_norm();
        const bool finite = norm - norm == 0.0;
        return finite && (v_.source1.moles > 0.0 || v_.steady) ? norm : 1e6;
    }

    /// Once a step is taken: its end, the cubics over it, and where the target may be crossed.
    void settle() {
        flows(v_.x1, v_.now);
        draw(v_.source1, v_.now);
        v_.x1[-1] = v_.now.source_fraction;
        const double inverse = 1.0 / v_.size, third = v_.size / 3.0;
        v_.near_count = 0;
        for (int k = 0; k < v_.active_count; ++k) {
            const int b = v_.active[k];
            const V z0 = load(v_.x, b), z1 = load(v_.x1, b), d0 = load(v_.cubic[1], b);
            const V d1 = link_of(b, v_.now.segment) * load(v_.inverse_moles, b) * (upstream(v_.x1, b) - z1);
            const V slope = (z1 - z0) * inverse;
            store(v_.cubic[2], b, (3.0 * slope - 2.0 * d0 - d1) * inverse);
            store(v_.cubic[3], b, (d0 + d1 - 2.0 * slope) * (inverse * inverse));
            // The cubic stays between the least and the greatest of its Bezier points.
            const V p1 = z0 + third * d0, p2 = z1 - third * d1;
            const V low = smaller(smaller(z0, z1), smaller(p1, p2));
            const V high = larger(larger(z0, z1), larger(p1, p2));
            if (any((low <= v_.target) & (high >= v_.target))) v_.near_target[v_.near_count++] = b;
        }
    }

    /// Moves the compositions to a time within the step, and adds to the integrals of the air in each node.
    void carry(double t, double* z, const double* moles, double* exposure) {
        for (int b = 0; b < v_.blocks; ++b) {
            V sum = load(exposure, b);
            const V share = load(moles, b) * t, z0 = load(v_.x, b);
            if (v_.quiet[b]) {
                store(exposure, b, sum + share * z0);
                continue;
            }
            const V c1 = load(v_.cubic[1], b), c2 = load(v_.cubic[2], b), c3 = load(v_.cubic[3], b);
            sum += share * (z0 + t * (c1 * (1.0 / 2) + t * (c2 * (1.0 / 3) + t * (c3 * (1.0 / 4)))));
            store(exposure, b, sum);
            const V z1 = z0 + t * (c1 + t * (c2 + t * c3));
            store(v_.x, b, z1);
            store(z, b, z1);
        }
    }

  private:
    // Handed on by value: through a reference clang takes them for aligned.
    typedef double V __attribute__((vector_size(8 * sweep_block), aligned(8)));
    using Mask = decltype(V{} < V{});

    /// Differences between neighbours that count as none.
    static constexpr double nothing = 1e-15;

    static int first(int b) { return b * sweep_block; }
    static V load(const double* row, int b) { return *reinterpret_cast<const V*>(row + first(b)); }
    static void store(double* row, int b, V value) { *reinterpret_cast<V*>(row + first(b)) = value; }
    static V larger(V a, V b) { return a > b ? a : b; }
    static V smaller(V a, V b) { return a < b ? a : b; }
    static V magnitude(V a) { return a < V{} ? -a : a; }
    static bool any(Mask mask) {
        long long found = 0;
        for (int i = 0; i < sweep_block; ++i) found |= mask[i];
        return found != 0;
    }
    static double largest(V a) {
        double most = a[0];
        for (int i = 1; i < sweep_block; ++i) most = a[i] > most ? a[i] : most;
        return most;
    }
    static double sum(V a) {
        double all = 0.0;
        for (int i = 0; i < sweep_block; ++i) all += a[i];
        return all;
    }
    static V gather(const double* row, const int* index) {
        double found[sweep_block];
        for (int i = 0; i < sweep_block; ++i) found[i] = row[index[i]];
        return load(found, 0);
    }
    static V inverse_root(V mass) {
        double root[sweep_block];
        for (int i = 0; i < sweep_block; ++i) root[i] = 1.0 / __builtin_sqrt(mass[i]);
        return load(root, 0);
    }

    V upstream(const double* row, int b) const {
        if (v_.shape[b] & SweepView::in_a_row) return *reinterpret_cast<const V*>(row + first(b) - 1);
        return gather(row, v_.parent + first(b));
    }
    V link_of(int b, const double* segment_flow) const {
        const int* segment = v_.segment + first(b);
        if (v_.shape[b] & SweepView::one_segment) return V{} + segment_flow[segment[0]];
        if (v_.shape[b] & SweepView::own_segments)
            return *reinterpret_cast<const V*>(segment_flow + segment[0]);
        return gather(segment_flow, segment);
    }

    /// What leaves the holes, and so flows through the segments, with these compositions.
    void flows(const double* z, SweepFlows& flows) const {
        double* flow = flows.segment;
        flow[-1] = 0.0;
        for (int s = 0; s < v_.segments; ++s) flow[s] = 0.0;
        for (int r = 0; r < v_.risers; ++r) {
            V vented{}, vented_air{}, leaked{}, leaked_air{};
            for (int h = v_.first_hole[r]; h < v_.first_hole[r + 1]; h += sweep_block) {
                const int b = h / sweep_block;
                const V air = gather(z, v_.hole_node + h);
                const V out = load(v_.strength, b) * inverse_root(v_.mass_product + air * v_.mass_excess);
                store(flows.hole, b, out);
                const V vent = out * load(v_.vent_part, b), leak = out - vent;
                vented += vent;
                vented_air += vent * air;
                leaked += leak;
                leaked_air += leak * air;
                for (int i = 0; i < sweep_block; ++i) flow[v_.hole_segment[h + i]] += out[i];
            }
            double* total = flows.totals + 4 * r;
            total[0] = sum(vented);
            total[1] = sum(vented_air);
            total[2] = sum(leaked);
            total[3] = sum(leaked_air);
        }
        // Outward ends first; along a run the sum stays at hand.
        double run = 0.0;
        for (int s = v_.segments - 1; s >= 0; --s) {
            const double all = flow[s] + run;
            flow[s] = all;
            const int parent = v_.segment_parent[s];
            const bool next = s > 0 && parent == s - 1;
            run = next ? all : 0.0;
            if (!next) flow[parent] += all;
        }
        flows.supply = flow[-1];
    }
    /// What the receiver gives and gains.
    void draw(const SweepSource& source, SweepFlows& flows) const {
        flows.source_fraction = source.air * (v_.steady ? v_.steady_inverse : 1.0 / source.moles);
        flows.source = v_.made - flows.supply;
        flows.source_air = v_.made_air - flows.supply * flows.source_fraction;
    }

    template <int S>
    void stage() {
        double c[sweep_stages]{};
        for (int j = 0; j < S; ++j) c[j] = v_.c[S][j] / v_.size;
        double* argument = S == 0 ? v_.x : v_.at[(S + 1) % 2];
        const SweepFlows& flow = S == 0 ? v_.start : v_.now;
        if constexpr (S > 0) {
            SweepSource source = v_.source;
            for (int j = 0; j < S; ++j) {
                source.moles += v_.a[S][j] * v_.source_u[j].moles;
                source.air += v_.a[S][j] * v_.source_u[j].air;
            }
            flows(argument, v_.now);
            draw(source, v_.now);
        }
        argument[-1] = flow.source_fraction;
        v_.u[S][-1] = solve_source<S>(flow, c);
        if constexpr (S == 0) {
            v_.active_count = 0;
            for (int b = 0; b < v_.blocks; ++b) {
                if (stirs(b)) {
                    v_.quiet[b] = 0;
                    v_.active[v_.active_count++] = b;
                    nodes<S>(b, argument, flow, c);
                } else if (!v_.quiet[b]) {
                    calm(b);
                }
            }
        } else {
            for (int k = 0; k < v_.active_count; ++k) nodes<S>(v_.active[k], argument, flow, c);
        }
        solve_totals<S>(flow, c);
    }

    /// The receiver's part of (shift I - J) u = rhs, J with the flows as they were at the start; returns the
    /// change in composition of what it gives.
    template <int S>
    double solve_source(const SweepFlows& flow, const double* c) const {
        double moles = flow.source, air = flow.source_air;
        for (int j = 0; j < S; ++j) {
            moles += c[j] * v_.source_u[j].moles;
            air += c[j] * v_.source_u[j].air;
        }
        const double inverse = v_.steady ? v_.steady_inverse : 1.0 / v_.source.moles;
        SweepSource& u = v_.source_u[S];
        u.moles = moles / shift_;
        const double moved = v_.steady ? 0.0 : v_.source.air * inverse * u.moles;
        u.air = (air + v_.start.supply * inverse * moved) / (shift_ + v_.start.supply * inverse);
        return (u.air - moved) * inverse;
    }

    /// The nodes of a block: their u of the stage, and the argument of the next one or the end of the step.
    template <int S>
    void nodes(int b, const double* argument, const SweepFlows& flow, const double* c) {
        const V rate = link_of(b, flow.segment) * load(v_.inverse_moles, b);
        V rhs = rate * (upstream(argument, b) - load(argument, b));
        V inverse, carried;
        if constexpr (S == 0) {
            store(v_.cubic[1], b, rhs);
            inverse = 1.0 / (shift_ + rate);
            carried = rate * inverse;
            store(v_.inverse, b, inverse);
            store(v_.carried, b, carried);
        } else {
            inverse = load(v_.inverse, b);
            carried = load(v_.carried, b);
            for (int j = 0; j < S; ++j) rhs += c[j] * load(v_.u[j], b);
        }
        const V own = rhs * inverse;
        double* u = v_.u[S];
        if (v_.shape[b] & SweepView::apart) {
            store(u, b, own + carried * gather(u, v_.parent + first(b)));
        } else if (v_.shape[b] & SweepView::in_a_row) {
            store(u, b, along_row(own, carried, u[first(b) - 1]));
        } else {
            const int* parent = v_.parent + first(b);
            double* to = u + first(b);
            for (int i = 0; i < sweep_block; ++i) to[i] = own[i] + carried[i] * u[parent[i]];
        }
        V z = load(v_.x, b), error{};
        for (int j = 0; j <= S; ++j) z += (S < 3 ? v_.a[(S + 1) % 4][j] : v_.m[j]) * load(v_.u[j], b);
        if constexpr (S < 3) {
            store(v_.at[S % 2], b, z);
        } else {
            store(v_.x1, b, z);
            for (int j = 0; j <= S; ++j) error += v_.e[j] * load(v_.u[j], b);
            worst_ = larger(worst_, magnitude(error) / (magnitude(z) + v_.floor));
            spoilt_ += error * 0.0;
        }
    }

    /// u of each entry: its own, and what it carried on from the one before; all at once, by doubling.
    static V along_row(V own, V carried, double before) {
        own += carried * moved<1>(own, 0.0);
        carried *= moved<1>(carried, 1.0);
        own += carried * moved<2>(own, 0.0);
        carried *= moved<2>(carried, 1.0);
        own += carried * moved<4>(own, 0.0);
        carried *= moved<4>(carried, 1.0);
        return own + carried * before;
    }
    /// Entries moved on by so many, others in front of them.
    template <int By>
    static V moved(V a, double other) {
        const V in_front = V{} + other;
        return __builtin_shufflevector(in_front, a, place<By>(0), place<By>(1), place<By>(2), place<By>(3),
                                       place<By>(4), place<By>(5), place<By>(6), place<By>(7));
    }
    template <int By>
    static constexpr int place(int i) {
        return i < By ? i : sweep_block + i - By;
    }

    /// Whether anything in a block changes in this step: it differs from what flows in, or that changes.
    bool stirs(int b) const {
        if (any(magnitude(upstream(v_.x, b) - load(v_.x, b)) > nothing)) return true;
        const double* u = v_.u[0];
        const int begin = first(b);
        if (v_.shape[b] & SweepView::in_a_row) return u[begin - 1] > nothing || u[begin - 1] < -nothing;
        for (int i = begin; i < begin + sweep_block; ++i) {
            const int p = v_.parent[i];
            if (p < begin && (u[p] > nothing || u[p] < -nothing)) return true;
        }
        return false;
    }
    void calm(int b) const {
        const V z = load(v_.x, b);
        store(v_.at[0], b, z);
        store(v_.at[1], b, z);
        store(v_.x1, b, z);
        for (int j = 0; j < sweep_stages; ++j) store(v_.u[j], b, V{});
        for (int j = 1; j < 4; ++j) store(v_.cubic[j], b, V{});
        v_.quiet[b] = 1;
    }

    template <int S>
    void solve_totals(const SweepFlows& flow, const double* c) const {
        for (int r = 0; r < v_.risers; ++r) {
            V vented{}, leaked{};
            for (int h = v_.first_hole[r]; h < v_.first_hole[r + 1]; h += sweep_block) {
                const int b = h / sweep_block;
                const V air = load(v_.start.hole, b) * gather(v_.u[S], v_.hole_node + h);
                const V vent = air * load(v_.vent_part, b);
                vented += vent;
                leaked += air - vent;
            }
            const double more[4] = {0.0, sum(vented), 0.0, sum(leaked)};
            for (int w = 0; w < 4; ++w) {
                const int k = 4 * r + w;
                double rhs = flow.totals[k] + more[w];
                for (int j = 0; j < S; ++j) rhs += c[j] * v_.total_u[j][k];
                v_.total_u[S][k] = rhs / shift_;
                if constexpr (S == 3) {
                    double gain = 0.0;
                    for (int j = 0; j <= S; ++j) gain += v_.m[j] * v_.total_u[j][k];
                    v_.total1[k] = gain;
                }
            }
        }
    }

    double error_norm() {
        SweepSource& end = v_.source1;
        end = v_.source;
        double moles = 0.0, air = 0.0;
        for (int j = 0; j < sweep_stages; ++j) {
            end.moles += v_.m[j] * v_.source_u[j].moles;
            end.air += v_.m[j] * v_.source_u[j].air;
            moles += v_.e[j] * v_.source_u[j].moles;
            air += v_.e[j] * v_.source_u[j].air;
        }
        const auto size_of = [](double value) { return value < 0.0 ? -value : value; };
        double worst = largest(worst_);
        const double own = size_of(moles) / size_of(v_.source.moles);
        const double its_air = size_of(air) / (size_of(end.air) + v_.floor * size_of(v_.source.moles));
        worst = own > worst ? own : worst;
        worst = its_air > worst ? its_air : worst;
        return worst / v_.tolerance + sum(spoilt_) + (moles + air) * 0.0;
    }

    SweepView& v_;
    double shift_ = 1.0;
    V worst_{}, spoilt_{};
};

}  // namespace oxfade::engine::OXFADE_ISA
