#include "engine/mixing_batch.hpp"

#include <algorithm>
#include <iterator>

#include "engine/at.hpp"
#include "engine/lanes/dispatch.hpp"
#include "oxfade/gas/constants.hpp"

namespace oxfade::engine {
namespace {

using Numbers = double* MixingView::*;
constexpr Numbers numbers[] = {&MixingView::flow,
                               &MixingView::area,
                               &MixingView::inverse_area,
                               &MixingView::area_over_length,
                               &MixingView::inverse_over_all,
                               &MixingView::radius,
                               &MixingView::inverse_radius,
                               &MixingView::sine,
                               &MixingView::cosine,
                               &MixingView::density,
                               &MixingView::inverse_density,
                               &MixingView::diffusivity,
                               &MixingView::inverse_diffusivity,
                               &MixingView::viscosity,
                               &MixingView::expansion,
                               &MixingView::other,
                               &MixingView::speed,
                               &MixingView::g,
                               &MixingView::slope,
                               &MixingView::by_contrast};
using Nodes = int* MixingView::*;
constexpr Nodes nodes[] = {&MixingView::from, &MixingView::to, &MixingView::mouth};

template <class Row>
void point_to(MixingView& view, Row row, auto*& next, int stride) {
    view.*row = next;
    next += stride;
}

}  // namespace

MixingBatch::MixingBatch(const Network& net, const RiserNet& riser) : net_(net), kernels_(best_kernels()) {
    const int most = 2 * (riser.count + static_cast<int>(riser.loops.size())) + sweep_block;
    memory_.assign(std::size(numbers) * at(most), 0.0);
    nodes_.assign(std::size(nodes) * at(most), riser.first);
    double* number = memory_.data();
    for (const Numbers row : numbers) point_to(view_, row, number, most);
    int* node = nodes_.data();
    for (const Nodes row : nodes) point_to(view_, row, node, most);
    warming_.assign(at(most), 0.0);
    // Rows that fill up the last eight have to make sense: a pipe too narrow for anything to flow.
    for (int k = 0; k < most; ++k) fill_row(k, {1.0, 1.0, 1e-3, 0.0, 1.0}, 1.0);
    fill_gas(0, most, {1.0, 1.0, 1.0, 1.0});
    links_.emplace_back();
    for (int i = riser.first + 1; i < riser.first + riser.count; ++i) {
        LinkMixing mixing = net.mixing[at(i)];
        if (net.breathing[at(i)]) mixing.count = std::min(mixing.count, 1);
        add(mixing, net.parent[at(i)], i);
    }
    nodes_of_riser_ = links_.size();
    for (const LoopLink& loop : riser.loops) add(loop.mixing, loop.first, loop.second);
}

void MixingBatch::fill_row(int k, const LinkMixing::Piece& piece, double over_all) {
    view_.area[k] = piece.area;
    view_.inverse_area[k] = 1.0 / piece.area;
    view_.area_over_length[k] = piece.area / piece.length;
    view_.inverse_over_all[k] = 1.0 / over_all;
    view_.radius[k] = piece.radius;
    view_.inverse_radius[k] = 1.0 / piece.radius;
    view_.sine[k] = piece.sine;
    view_.cosine[k] = piece.cosine;
}

void MixingBatch::fill_gas(int first, int count, const MixingGas& gas) {
    const auto fill = [&](double* row, double value) { std::fill_n(row + first, count, value); };
    fill(view_.density, gas.density);
    fill(view_.inverse_density, 1.0 / gas.density);
    fill(view_.diffusivity, gas.diffusivity);
    fill(view_.inverse_diffusivity, 1.0 / gas.diffusivity);
    fill(view_.viscosity, gas.viscosity);
    for (int k = first; k < first + count; ++k) view_.expansion[k] = warming_[at(k)] / gas.temperature;
}

void MixingBatch::add(const LinkMixing& mixing, int from, int to) {
    Link link{view_.count, 0, std::max(mixing.fixed, 0.0)};
    if (mixing.fixed < 0.0) link.count = mixing.count;
    double resistance = 0.0;
    for (int p = 0; p < link.count; ++p) {
        const LinkMixing::Piece& piece = mixing.pieces[at(p)];
        resistance += piece.length / piece.area;
    }
    for (int p = 0; p < link.count; ++p) {
        const LinkMixing::Piece& piece = mixing.pieces[at(p)];
        const int k = view_.count++;
        view_.from[k] = from;
        view_.to[k] = to;
        view_.mouth[k] = mixing.mouth;
        warming_[at(k)] = mixing.warming;
        fill_row(k, piece, link.count == 1 ? piece.length : resistance * piece.area);
    }
    links_.push_back(link);
}

void MixingBatch::set_gas(const MixingGas& gas) {
    if (gas == gas_) return;
    gas_ = gas;
    fill_gas(0, view_.count, gas);
}

void MixingBatch::set_gas(int which, const MixingGas& gas, double other) {
    const Link& link = links_[at(which)];
    fill_gas(link.first, link.count, gas);
    std::fill_n(view_.other + link.first, link.count, other);
}

void MixingBatch::set_piece(int which, const LinkMixing::Piece& piece) {
    const Link& link = links_[at(which)];
    if (link.count == 1) fill_row(link.first, piece, piece.length);
}

void MixingBatch::run(const std::vector<double>& fraction, bool with_slopes) {
    view_.mass_product = net_.gases.mass_product;
    view_.mass_excess = net_.gases.mass_excess;
    view_.viscosity_excess = net_.gases.viscosity_excess;
    view_.gravity = gas::standard_gravity;
    view_.molecular = net_.kinds.molecular;
    view_.buoyant = net_.kinds.buoyant;
    view_.shear = net_.kinds.shear;
    view_.fraction = fraction.data();
    view_.with_slopes = with_slopes;
    kernels_.mix(view_);
}

void MixingBatch::g_at(const std::vector<double>& fraction, std::vector<double>& room, double* g) const {
    const std::size_t rows = at((view_.count + sweep_block - 1) / sweep_block * sweep_block);
    room.assign(view_.speed, view_.speed + rows);
    room.resize(2 * rows);
    MixingView view = view_;
    view.fraction = fraction.data();
    view.with_slopes = false;
    view.speed = room.data();
    view.g = room.data() + rows;
    kernels_.mix(view);
    for (std::size_t i = 1; i < nodes_of_riser_; ++i) g[i] = g_of(links_[i], view.g);
}

Exchange MixingBatch::result(int which) const {
    const Link& link = links_[at(which)];
    if (link.count == 0) return {link.fixed, link.fixed, 0.0};
    const int k = link.first;
    Exchange out{g_of(link, view_.g), 0.0, 0.0};
    if (!view_.with_slopes) return out;
    out.slope = view_.slope[k];
    double by_contrast = view_.by_contrast[k];
    if (link.count == 2) {
        const double first = 1.0 / view_.slope[k], second = 1.0 / view_.slope[k + 1];
        out.slope = 1.0 / (first + second);
        by_contrast = (first * by_contrast + second * view_.by_contrast[k + 1]) * out.slope;
    }
    // Further away from what the mouth holds, the counter-flow carries more.
    const double before = view_.fraction[view_.from[k]], beyond = view_.fraction[view_.to[k]];
    const double contrast = 0.5 * (before + beyond) - view_.fraction[view_.mouth[k]];
    if (view_.from[k] == view_.mouth[k]) {
        out.slope += 0.5 * by_contrast;
    } else {
        out.skew = (beyond - before) * contrast > 0.0 ? 0.5 * by_contrast : -0.5 * by_contrast;
    }
    return out;
}

}  // namespace oxfade::engine
