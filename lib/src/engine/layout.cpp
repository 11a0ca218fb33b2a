#include "engine/layout.hpp"

#include "engine/at.hpp"

namespace oxfade::engine {
namespace {

/// The vessel a node is part of, counted from 0.
int vessel_of(const Network& net, int node) {
    switch (net.pressures) {
        case Pressures::uniform:
            return net.riser_of[at(node)];
        case Pressures::zoned:
            return net.zone_of[at(node)];
        case Pressures::resolved:
            return node;
    }
    return 0;
}

int vessel_count(const Network& net) {
    switch (net.pressures) {
        case Pressures::uniform:
            return static_cast<int>(net.risers.size());
        case Pressures::zoned:
            return net.zones;
        case Pressures::resolved:
            return net.nodes();
    }
    return 0;
}

}  // namespace

Layout::Layout(const Network& net)
    : risers(static_cast<int>(net.risers.size())),
      nodes(net.nodes()),
      vessels(vessel_count(net)),
      spots(static_cast<int>(net.water.size())),
      part_(net.share) {
    for (const RiserNet& riser : net.risers) riser_entry_.push_back(2 + vessel_of(net, riser.first));
    for (int i = 0; i < nodes; ++i) gas_entry_.push_back(2 + vessel_of(net, i));
    for (const RiserNet& riser : net.risers) moving_ = moving_ || !riser.lines.empty();
    if (moving_) {
        swell_ = net.swell;
        for (int i = 0; i < nodes; ++i) knee_.push_back(net.risers[at(net.riser_of[at(i)])].knee);
    }
    if (net.pressures == Pressures::resolved) part_.assign(part_.size(), 1.0);
    if (net.pressures != Pressures::zoned) return;
    std::vector<double> zone_share(at(vessels), 0.0);
    for (int i = 0; i < nodes; ++i) zone_share[at(net.zone_of[at(i)])] += net.share[at(i)];
    for (int i = 0; i < nodes; ++i) part_[at(i)] /= zone_share[at(net.zone_of[at(i)])];
}

}  // namespace oxfade::engine
