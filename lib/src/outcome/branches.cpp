#include <algorithm>

#include "oxfade/outcome/findings.hpp"
#include "plant/pipe_tree.hpp"

namespace oxfade::outcome {

std::vector<std::size_t> dead_branches(const plant::Riser& riser) {
    const std::size_t count = riser.pipes.size();
    const plant::PipeTree tree(riser);
    std::vector<bool> has_way_out(count, false);
    const auto mark_way_in = [&](const std::string& name) {
        for (auto p = tree.index(name); p && !has_way_out[*p]; p = tree.parent(*p)) has_way_out[*p] = true;
    };
    for (const plant::Vent& vent : riser.vents) mark_way_in(vent.at);
    // Gas passes round a loop whenever it has somewhere to go: both of its arms count as ways.
    for (const plant::LoopLink& link : riser.links) {
        mark_way_in(link.first);
        mark_way_in(link.second);
    }
    std::vector<std::size_t> dead;
    for (std::size_t p = 0; p < count; ++p) {
        const auto parent = tree.parent(p);
        if (!has_way_out[p] && parent && has_way_out[*parent]) dead.push_back(p);
    }
    return dead;
}

}  // namespace oxfade::outcome
