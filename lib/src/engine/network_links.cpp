#include "engine/network_links.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <numbers>

#include "engine/link_friction.hpp"
#include "oxfade/gas/transport.hpp"

namespace oxfade::engine {
namespace {

double bore_area(double bore) { return std::numbers::pi / 4.0 * bore * bore; }

/// The link nodes from a node up to the root.
std::vector<int> way_up(const Network& net, int node) {
    std::vector<int> way;
    for (; net.parent[static_cast<std::size_t>(node)] >= 0;
         node = net.parent[static_cast<std::size_t>(node)]) {
        way.push_back(node);
    }
    return way;
}

/// Tree links that are on one of the two ways only: the loop without its closing link.
std::vector<LoopLink::Member> loop_members(const Network& net, int first, int second) {
    const std::vector<int> a = way_up(net, first), b = way_up(net, second);
    std::vector<LoopLink::Member> members;
    for (const int node : a) {
        if (std::find(b.begin(), b.end(), node) == b.end()) members.push_back({node, 1.0});
    }
    for (const int node : b) {
        if (std::find(a.begin(), a.end(), node) == a.end()) members.push_back({node, -1.0});
    }
    return members;
}

/// Sum of resistance x sign x sign over the tree links two loops share.
double shared_resistance(const Network& net, const LoopLink& a, const LoopLink& b) {
    double sum = 0.0;
    for (const auto& m : a.members) {
        for (const auto& n : b.members) {
            if (m.node == n.node) sum += m.sign * n.sign * net.resistance[static_cast<std::size_t>(m.node)];
        }
    }
    return sum;
}

std::vector<double> inverse_of_loop_matrix(const Network& net, const std::vector<LoopLink>& loops) {
    const auto n = static_cast<Eigen::Index>(loops.size());
    Eigen::MatrixXd matrix(n, n);
    for (Eigen::Index i = 0; i < n; ++i) {
        for (Eigen::Index j = 0; j < n; ++j) {
            const LoopLink& a = loops[static_cast<std::size_t>(i)];
            matrix(i, j) = shared_resistance(net, a, loops[static_cast<std::size_t>(j)]);
            if (i == j) matrix(i, j) += a.resistance;
        }
    }
    const Eigen::MatrixXd inverse = matrix.ldlt().solve(Eigen::MatrixXd::Identity(n, n));
    std::vector<double> flat(static_cast<std::size_t>(n * n));
    for (Eigen::Index i = 0; i < n; ++i) {
        for (Eigen::Index j = 0; j < n; ++j) flat[static_cast<std::size_t>(i * n + j)] = inverse(i, j);
    }
    return flat;
}

}  // namespace

LinkShape link_shape(const plant::Pipe& upstream, const plant::Pipe& pipe) {
    LinkShape shape;
    if (pipe.exchange) shape.fixed_exchange = *pipe.exchange;
    const plant::Cylinder* a = upstream.geometry();
    const plant::Cylinder* b = pipe.geometry();
    if (!a || !b) return shape;
    const double half_a = 0.5 * a->length / upstream.cells, half_b = 0.5 * b->length / pipe.cells;
    shape.conductance = 1.0 / (half_a / bore_area(a->bore) + half_b / bore_area(b->bore));
    shape.length = half_a + half_b;
    shape.bore = std::min(a->bore, b->bore);
    shape.resistance = half_a / std::pow(a->bore, 4) + half_b / std::pow(b->bore, 4);
    shape.level = upstream.position == plant::Position::level && pipe.position == plant::Position::level;
    return shape;
}

LinkMixing link_mixing(const Gases& gases, const plant::Mixing& kinds, double temperature,
                       const LinkShape& shape) {
    LinkMixing mixing;
    if (shape.fixed_exchange >= 0.0) {
        mixing.steady = shape.fixed_exchange;
        return mixing;
    }
    if (shape.conductance <= 0.0) return mixing;
    const double thermal = gas::gas_constant * temperature;
    const double diffusivity = gas::diffusivity_times_pressure(temperature);
    const double molecular = diffusivity / thermal * shape.conductance;
    if (kinds.molecular) mixing.steady = molecular;
    const double excess = std::abs(gases.mass_excess);
    if (!kinds.buoyant || !shape.level || excess <= 0.0) return mixing;
    // Ra = g Gamma a^4 / (nu D), Gamma = |dM| / (M L), nu = mu R T / (p M), D = (pD)/p: M cancels.
    const double viscosity = gas::viscosity(gases.product, temperature);
    mixing.buoyant = molecular;
    const double radius4 = std::pow(0.5 * shape.bore, 4);
    mixing.rayleigh = std::sqrt(gas::buoyant_coefficient) * gas::standard_gravity * excess * radius4 /
                      (shape.length * viscosity * thermal * diffusivity);
    mixing.lock_exchange =
        0.25 * bore_area(shape.bore) / thermal * std::sqrt(gas::standard_gravity * shape.bore * excess);
    return mixing;
}

void add_loops(const Network& net, const plant::Mixing& kinds, const plant::Riser& riser, int riser_index,
               RiserNet& out) {
    const auto& nodes = net.node_of[static_cast<std::size_t>(riser_index)];
    for (const plant::LoopLink& link : riser.links) {
        const std::size_t a = *riser.pipe_index(link.first), b = *riser.pipe_index(link.second);
        LinkShape shape = link_shape(riser.pipes[a], riser.pipes[b]);
        shape.fixed_exchange = -1.0;  // `exchange` belongs to the link to `from`
        LoopLink loop;
        loop.first = nodes[a].back();
        loop.second = nodes[b].back();
        loop.mixing = link_mixing(net.gases, kinds, out.temperature, shape);
        loop.resistance = shape.resistance;
        loop.friction = link_friction(riser.pipes[a], riser.pipes[b]);
        loop.members = loop_members(net, loop.first, loop.second);
        out.loops.push_back(std::move(loop));
    }
    out.loop_inverse = inverse_of_loop_matrix(net, out.loops);
}

}  // namespace oxfade::engine
