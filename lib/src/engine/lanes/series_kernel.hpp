#pragma once

/// The arithmetic of the cruise: Taylor coefficients by recurrence (see cruise.hpp).
///
/// Written once for two uses: one plant, where a vector holds several of its nodes, and an ensemble, where a
/// vector holds the same node of several plants. Compiled once for every instruction set, so this header and
/// what it includes must bring nothing that a linker could share between them: no standard library.
#ifndef OXFADE_ISA
#error "OXFADE_ISA names the instruction set this is compiled for"
#endif

#include "engine/lanes/series_view.hpp"

namespace oxfade::engine::OXFADE_ISA {

typedef double V4 __attribute__((vector_size(32), aligned(8)));

/// How nodes are packed: `Element` is what one node holds, `Vector` what one instruction works on.
struct OnePlant {
    using Element = double;
    using Vector = V4;
    static constexpr int nodes_each = 4;
    static constexpr bool several_plants = false;
};

template <class Packing>
class SeriesKernel {
  public:
    using E = typename Packing::Element;
    using V = typename Packing::Vector;

    explicit SeriesKernel(SeriesView<E>& view) : s_(view) {}

    /// Term 0 of the flows, from the compositions held.
    void start() { flows(0); }

    /// All terms, the flows' term 0 being there already.
    void expand() {
        s_.source_series[0] = s_.source;
        s_.source_air_series[0] = s_.source_air;
        s_.inverse_source = s_.steady ? s_.steady_inverse : 1.0 / s_.source;
        for (int k = 0; k < s_.terms; ++k) {
            if (k > 0 && k <= s_.flow_terms) flows(k);
            source(k);
            nodes(k);
        }
    }

    /// Moves the state to a time within the step; `outflow` and `air_outflow` get what left each node by
    /// then.
    void finish(const E& t) {
        const int last = s_.terms, flow_last = s_.flow_terms;
        for (int b = 0; b < blocks(); ++b) {
            V z = row(s_.z, last)[b], air = row(s_.air, last - 1)[b] * reciprocal(last);
            for (int k = last - 1; k >= 0; --k) {
                z = z * t + row(s_.z, k)[b];
                if (k > 0) air = air * t + row(s_.air, k - 1)[b] * reciprocal(k);
            }
            V out = row(s_.out, flow_last)[b] * reciprocal(flow_last + 1);
            for (int k = flow_last - 1; k >= 0; --k) out = out * t + row(s_.out, k)[b] * reciprocal(k + 1);
            row(s_.z, 0)[b] = z;
            row(s_.outflow, 0)[b] = out * t;
            row(s_.air_outflow, 0)[b] = air * t;
        }
        E source_air = s_.source_air_series[last];
        for (int k = last - 1; k >= 0; --k) source_air = source_air * t + s_.source_air_series[k];
        s_.source_air = source_air;
    }

  private:
    /// A term, or nothing where a plant does not go that far: what one plant gets does not depend on the
    /// others.
    template <class T>
    static T kept(T term, int k, const E& own_terms) {
        if constexpr (Packing::several_plants) {
            return own_terms >= static_cast<double>(k) ? term : T{};
        } else {
            return term;
        }
    }
    int blocks() const { return (s_.nodes + Packing::nodes_each - 1) / Packing::nodes_each; }
    static double reciprocal(int k) { return inverse_integers[k]; }
    V* row(E* rows, int k) const { return reinterpret_cast<V*>(rows + k * s_.stride); }

    /// w = M^(-1/2) obeys M w' = -M' w / 2, so that its terms follow from those of the compositions.
    void flows(int k) {
        const V* strength = row(s_.strength, 0);
        V* out = row(s_.out, k);
        V* w = row(s_.root_mass, k);
        for (int b = 0; b < blocks(); ++b) {
            if (k == 0) {
                const V mass = s_.mass_product + row(s_.z, 0)[b] * s_.mass_excess;
                w[b] = inverse_root(mass);
            } else {
                V sum = (0.5 * k) * row(s_.z, k)[b] * row(s_.root_mass, 0)[b];
                for (int j = 1; j < k; ++j)
                    sum += (k - 0.5 * j) * row(s_.z, j)[b] * row(s_.root_mass, k - j)[b];
                const V w0 = row(s_.root_mass, 0)[b];
                w[b] = sum * (w0 * w0) * (s_.mass_excess * -reciprocal(k));
            }
            out[b] = kept(strength[b] * w[b], k, s_.own_flow_terms);
        }
        sweep(k);
    }

    static V inverse_root(const V& mass) {
        V root;
        const auto* from = reinterpret_cast<const double*>(&mass);
        auto* to = reinterpret_cast<double*>(&root);
        for (unsigned i = 0; i < sizeof(V) / sizeof(double); ++i) to[i] = 1.0 / __builtin_sqrt(from[i]);
        return root;
    }

    /// Flow into each node: its own outflow and that of all behind it.
    void sweep(int k) {
        const E* out = s_.out + k * s_.stride;
        E* link = s_.link + k * s_.stride;
        for (int i = 0; i < s_.nodes; ++i) link[i] = out[i];
        for (int i = s_.nodes - 1; i > 0; --i) {  // leaves first
            if (s_.parent[i] >= 0) link[s_.parent[i]] += link[i];
        }
        E sum = link[s_.roots[0]];
        for (int r = 1; r < s_.risers; ++r) sum += link[s_.roots[r]];
        s_.supply[k] = sum;
    }

    /// Term k + 1 of the receiver's content and of the air in it, and term k of its air fraction.
    void source(int k) {
        const double next = reciprocal(k + 1);
        if (k == 0) {
            s_.source_series[1] = s_.made - s_.supply[0];
        } else if (k <= s_.flow_terms) {
            s_.source_series[k + 1] = -next * s_.supply[k];
        }
        if (s_.pure) {
            s_.source_fraction[k] = s_.source_air_series[k + 1] = E{};
            return;
        }
        E fraction = s_.source_air_series[k];
        const int longest = s_.steady ? 0 : k < s_.flow_terms + 1 ? k : s_.flow_terms + 1;
        for (int j = 1; j <= longest; ++j) fraction -= s_.source_series[j] * s_.source_fraction[k - j];
        s_.source_fraction[k] = fraction * s_.inverse_source;
        E gain = k == 0 ? s_.made_air : E{};
        const int terms = k < s_.flow_terms ? k : s_.flow_terms;
        for (int j = 0; j <= terms; ++j) gain -= s_.supply[j] * s_.source_fraction[k - j];
        s_.source_air_series[k + 1] = kept(gain * next, k + 1, s_.own_terms);
    }

    /// Term k + 1 of the compositions, term k of the air that leaves each node. Every balance is a sum over
    /// the terms of one power, so it holds to rounding however short the series are.
    void nodes(int k) {
        const E* z = s_.z + k * s_.stride;
        E* deficit = s_.deficit + k * s_.stride;
        for (int i = 0; i < s_.nodes; ++i) {
            deficit[i] = (s_.parent[i] >= 0 ? z[s_.parent[i]] : s_.source_fraction[k]) - z[i];
        }
        const int terms = k < s_.flow_terms ? k : s_.flow_terms;
        const double next = reciprocal(k + 1);
        for (int b = 0; b < blocks(); ++b) {
            V gain = row(s_.link, 0)[b] * row(s_.deficit, k)[b];
            V air = row(s_.out, 0)[b] * row(s_.z, k)[b];
            for (int j = 1; j <= terms; ++j) {
                gain += row(s_.link, j)[b] * row(s_.deficit, k - j)[b];
                air += row(s_.out, j)[b] * row(s_.z, k - j)[b];
            }
            row(s_.z, k + 1)[b] = kept(gain * row(s_.inverse_moles, 0)[b] * next, k + 1, s_.own_terms);
            row(s_.air, k)[b] = kept(air, k + 1, s_.own_terms);
        }
    }

    SeriesView<E>& s_;
};

}  // namespace oxfade::engine::OXFADE_ISA
