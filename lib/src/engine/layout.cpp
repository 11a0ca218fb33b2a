#include "engine/layout.hpp"

namespace oxfade::engine {

Layout::Layout(const Network& net)
    : risers(static_cast<int>(net.risers.size())), nodes(net.nodes()), part_(net.share) {
    const bool resolved = net.pressures == Pressures::resolved;
    vessels = resolved ? nodes : risers;
    for (int r = 0; r < risers; ++r) {
        riser_entry_.push_back(2 + (resolved ? net.risers[static_cast<std::size_t>(r)].first : r));
    }
    for (int i = 0; i < nodes; ++i) {
        gas_entry_.push_back(2 + (resolved ? i : net.riser_of[static_cast<std::size_t>(i)]));
    }
    if (resolved) part_.assign(part_.size(), 1.0);
}

}  // namespace oxfade::engine
