#include "engine/network_links.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "engine/at.hpp"
#include "engine/dense_inverse.hpp"

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
    const std::size_t n = loops.size();
    std::vector<double> matrix(n * n);
    for (std::size_t i = 0; i < n; ++i) {
        for (std::size_t j = 0; j < n; ++j)
            matrix[i * n + j] =
                shared_resistance(net, loops[i], loops[j]) + (i == j ? loops[i].resistance : 0.0);
    }
    return dense_inverse(matrix, n);
}

LinkMixing::Piece piece_of(double length, const PipeCut& cut, double bore) {
    LinkMixing::Piece piece = mixing_piece(cut, bore);
    piece.length = length;
    return piece;
}

/// Length between two points of a pipe [m] along which gas mixes by its own means: what lies beyond the depth
/// to which its mouth is stirred.
double still_length(const PipeCut& cut, const plant::Mixing& kinds, double from, double to) {
    const double depth = cut.mesh->side ? kinds.mouth * cut.pipe->geometry()->bore : 0.0;
    return beyond(depth, from, to);
}

/// Half of a cell at the near end of a pipe, or at its far end.
void add_half(LinkShape& shape, LinkShape::Half& half, const PipeCut& cut, double length) {
    half.length = 0.5 * length;
    if (const plant::Cylinder* cylinder = cut.pipe->geometry()) half.bore = cylinder->bore;
    if (half.bore > 0.0) shape.resistance += half.length / std::pow(half.bore, 4) / cut.copies;
}

}  // namespace

double beyond(double depth, double from, double to) {
    constexpr double least = 0.05;
    return std::max(to - std::max(from, depth), least * (to - from));
}

double PipeCut::cell(std::size_t k) const {
    const plant::Cylinder* cylinder = pipe->geometry();
    return cylinder ? cylinder->length * mesh->parts[k] : 0.0;
}

LinkMixing::Piece mixing_piece(const PipeCut& cut, double bore) {
    const double sine = std::clamp(cut.pitch, -1.0, 1.0);
    return {0.0, bore_area(bore) * cut.copies, 0.5 * bore, sine, std::sqrt(1.0 - sine * sine)};
}

LinkShape link_along(const PipeCut& pipe, std::size_t cell, double border, const plant::Mixing& kinds) {
    LinkShape shape;
    shape.friction.copies = pipe.copies;
    if (pipe.pipe->exchange) shape.mixing.fixed = *pipe.pipe->exchange * pipe.copies;
    const plant::Cylinder* cylinder = pipe.pipe->geometry();
    if (!cylinder) return shape;
    const double before = pipe.cell(cell - 1), after = pipe.cell(cell);
    add_half(shape, shape.first, pipe, before);
    add_half(shape, shape.second, pipe, after);
    shape.friction.halves = {LinkFriction::Half{0.5 * before, cylinder->bore}, {0.5 * after, cylinder->bore}};
    const double here = cylinder->length * border;
    const double still = still_length(pipe, kinds, here - 0.5 * before, here) +
                         still_length(pipe, kinds, here, here + 0.5 * after);
    shape.mixing.pieces[0] = piece_of(still, pipe, cylinder->bore);
    shape.mixing.count = 1;
    if (pipe.mesh->run > 0.0) shape.mixing.warming = kinds.warm_end / pipe.mesh->run;
    if (pipe.mesh->resolved) {
        shape.step = 0.5 * (before + after);
        shape.reach = 0.5 * before;
    }
    return shape;
}

LinkShape link_between(const PipeCut& before, const PipeCut& pipe, const plant::Mixing& kinds) {
    LinkShape shape;
    shape.friction.copies = pipe.copies;
    if (pipe.pipe->exchange) shape.mixing.fixed = *pipe.pipe->exchange * pipe.copies;
    const plant::Cylinder *a = before.pipe->geometry(), *b = pipe.pipe->geometry();
    if (!a || !b) return shape;
    const double last = before.cell(before.mesh->parts.size() - 1), first = pipe.cell(0);
    const bool resolved = before.mesh->resolved && pipe.mesh->resolved, side = pipe.mesh->side;
    if (!(side && resolved)) add_half(shape, shape.first, before, last);
    shape.first.bore = a->bore;
    add_half(shape, shape.second, pipe, first);
    shape.friction.halves = {LinkFriction::Half{shape.first.length, a->bore}, {shape.second.length, b->bore}};
    LinkMixing& mixing = shape.mixing;
    if (!side) mixing.pieces[at(mixing.count++)] = piece_of(0.5 * last, before, a->bore);
    mixing.pieces[at(mixing.count++)] = piece_of(still_length(pipe, kinds, 0.0, 0.5 * first), pipe, b->bore);
    const LinkMixing::Piece& one = mixing.pieces[0];
    if (mixing.count == 2 && one.area == mixing.pieces[1].area && one.radius == mixing.pieces[1].radius &&
        one.sine == mixing.pieces[1].sine) {
        mixing.pieces[0].length += mixing.pieces[1].length;
        mixing.count = 1;
    }
    if (pipe.mesh->run > 0.0) mixing.warming = kinds.warm_end / pipe.mesh->run;
    if (resolved) {
        shape.step = shape.first.length + shape.second.length;
        shape.reach = shape.first.length;
    }
    return shape;
}

void add_loops(const Network& net, const std::vector<PipeCut>& cuts, const plant::Riser& riser,
               int riser_index, RiserNet& out) {
    const auto& nodes = net.node_of[at(riser_index)];
    for (const plant::LoopLink& link : riser.links) {
        const std::size_t a = *riser.pipe_index(link.first), b = *riser.pipe_index(link.second);
        LoopLink loop;
        loop.first = nodes[a].back();
        loop.second = nodes[b].back();
        // From the far end of one to that of the other: the second pipe as it lies from there.
        const std::array<PipeCut, 2> ends{cuts[a], cuts[b]};
        for (std::size_t k = 0; k < 2; ++k) {
            const plant::Cylinder* shape = ends[k].pipe->geometry();
            if (!shape) continue;
            const double half = 0.5 * ends[k].cell(ends[k].mesh->parts.size() - 1);
            loop.friction.halves[k] = {half, shape->bore};
            loop.resistance += half / std::pow(shape->bore, 4);
            PipeCut cut = ends[k];
            if (k == 1) cut.pitch = -cut.pitch;
            loop.mixing.pieces[at(loop.mixing.count++)] = piece_of(half, cut, shape->bore);
        }
        if (loop.mixing.count < 2) loop.mixing.count = 0;
        loop.mixing.mouth = loop.first;
        loop.members = loop_members(net, loop.first, loop.second);
        out.loops.push_back(std::move(loop));
    }
    out.loop_inverse = inverse_of_loop_matrix(net, out.loops);
}

}  // namespace oxfade::engine
