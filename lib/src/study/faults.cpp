#include "oxfade/study/faults.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

#include "plant/fields.hpp"
#include "text/key_path.hpp"

namespace oxfade::study {
namespace {

[[noreturn]] void refuse(std::string what) {
    throw InputError({Problem{"fault", "", std::move(what), "name one that the plant can have", {}, 0}});
}

void scale_area(plant::Orifice& orifice, double share) { orifice.diameter *= std::sqrt(share); }

plant::Orifice& supply_orifice(plant::Supply& supply) {
    return std::visit([](auto& kind) -> plant::Orifice& { return kind.orifice; }, supply);
}

struct SetProductOxygen {
    void operator()(plant::Generator& source) const { source.purity = 1.0 - oxygen; }
    void operator()(plant::Cylinders& source) const { source.purity = 1.0 - oxygen; }
    void operator()(plant::Compressor&) const { refuse("a compressor has no purity"); }
    double oxygen;
};

struct ScaleFlows {
    void operator()(plant::Generator& source) const {
        source.nitrogen_flow *= share;
        source.air_flow *= share;
    }
    void operator()(plant::Cylinders&) const { refuse("cylinders have no rated flow"); }
    void operator()(plant::Compressor& source) const { source.air_flow *= share; }
    double share;
};

plant::Riser& riser_at(plant::Plant& plant, std::size_t riser) {
    if (riser >= plant.risers.size()) refuse("there is no such riser");
    return plant.risers[riser];
}

}  // namespace

plant::Orifice hole_of(double effective_area) {
    return {std::sqrt(4.0 * effective_area / std::numbers::pi), 1.0};
}

double vent_area(const plant::Riser& riser) {
    double area = 0.0;
    for (const plant::Vent& vent : riser.vents)
        area += vent.orifice.effective_area() * riser.copies_of(vent.at);
    return area;
}

plant::Plant with_leaks_as_holes(const plant::Plant& plant) {
    plant::Plant changed = plant;
    for (plant::Riser& riser : changed.risers) {
        for (plant::Leak& leak : riser.leaks)
            leak.size = hole_of(plant::leak_area(leak, riser.volume(), plant.site));
    }
    return changed;
}

std::vector<std::size_t> subtree_of(const plant::Riser& riser, std::size_t pipe) {
    std::vector<std::size_t> behind;
    for (std::size_t p = 0; p < riser.pipes.size(); ++p) {
        for (std::optional<std::size_t> at = p; at; at = riser.parent_index(*at)) {
            if (*at == pipe) behind.push_back(p);
        }
    }
    return behind;
}

std::vector<std::size_t> branches_of(const plant::Riser& riser) {
    std::vector<std::size_t> branches;
    for (std::size_t p = 1; p < riser.pipes.size(); ++p) {
        const auto behind = subtree_of(riser, p);
        const auto inside = [&](const std::string& name) {
            return std::find(behind.begin(), behind.end(), *riser.pipe_index(name)) != behind.end();
        };
        const bool passed_by = std::any_of(
            riser.links.begin(), riser.links.end(),
            [&](const plant::LoopLink& link) { return inside(link.first) != inside(link.second); });
        if (!passed_by) branches.push_back(p);
    }
    return branches;
}

template <class List>
bool has(const List& list, const std::string& name) {
    return std::any_of(list.begin(), list.end(), [&](const auto& entry) { return entry.name == name; });
}

/// Leaves out what is done to low points, vents and quantities that are not there any more.
void forget_what_is_gone(plant::Plant& plant, const plant::Riser& riser) {
    if (plant.actions.empty()) return;
    const auto entries = plant::detail::field_entries(plant);
    std::erase_if(plant.actions, [&](const plant::Action& action) {
        const bool of_riser = action.riser == riser.name;
        switch (action.deed) {
            case plant::Deed::drain:
                return of_riser && !action.what.empty() && !has(riser.low_points, action.what);
            case plant::Deed::shut:
            case plant::Deed::open:
                return of_riser && action.what != plant::supply_valve && !has(riser.vents, action.what);
            case plant::Deed::set: {
                const auto segments = text::split_path(action.key);
                return !segments || !plant::detail::find_quantity(entries, *segments);
            }
            default:
                return false;
        }
    });
}

plant::Plant without_branch(const plant::Plant& plant, std::size_t r, std::size_t pipe) {
    plant::Plant changed = with_leaks_as_holes(plant);
    plant::Riser& riser = riser_at(changed, r);
    const auto branches = branches_of(riser);
    if (std::find(branches.begin(), branches.end(), pipe) == branches.end())
        refuse("water cannot cut this pipe off");
    const auto behind = subtree_of(riser, pipe);
    const auto gone = [&](const std::string& name) {
        return std::find(behind.begin(), behind.end(), *riser.pipe_index(name)) != behind.end();
    };
    std::erase_if(riser.vents, [&](const plant::Vent& vent) { return gone(vent.at); });
    std::erase_if(riser.leaks, [&](const plant::Leak& leak) { return leak.at && gone(*leak.at); });
    std::erase_if(riser.links, [&](const plant::LoopLink& link) { return gone(link.first); });
    std::erase_if(riser.low_points, [&](const plant::LowPoint& low_point) { return gone(low_point.on); });
    double left = riser.volume();
    for (const std::size_t p : behind) left -= riser.pipes[p].volume();
    for (plant::Leak& leak : riser.leaks) {
        if (!leak.at) scale_area(std::get<plant::Orifice>(leak.size), left / riser.volume());
    }
    // The pipe before another in the list may be gone: say whom each hangs on.
    std::vector<plant::Pipe> kept;
    for (std::size_t p = 0; p < riser.pipes.size(); ++p) {
        if (std::find(behind.begin(), behind.end(), p) != behind.end()) continue;
        kept.push_back(riser.pipes[p]);
        if (const auto parent = riser.parent_index(p)) kept.back().from = riser.pipes[*parent].name;
    }
    riser.pipes = std::move(kept);
    forget_what_is_gone(changed, riser);
    return changed;
}

plant::Plant with_fault(const plant::Plant& plant, const Fault& fault, double size) {
    if (fault.kind == FaultKind::closed_branch) return without_branch(plant, fault.riser, fault.item);
    plant::Plant changed = plant;
    switch (fault.kind) {
        case FaultKind::leak:
            riser_at(changed, fault.riser).leaks.push_back({std::nullopt, hole_of(size)});
            break;
        case FaultKind::blocked_vent: {
            auto& vents = riser_at(changed, fault.riser).vents;
            if (fault.item >= vents.size()) refuse("there is no such vent");
            scale_area(vents[fault.item].orifice, size);
            break;
        }
        case FaultKind::dry_low_point: {
            auto& low_points = riser_at(changed, fault.riser).low_points;
            if (fault.item >= low_points.size()) refuse("there is no such low point");
            low_points.erase(low_points.begin() + static_cast<std::ptrdiff_t>(fault.item));
            forget_what_is_gone(changed, changed.risers[fault.riser]);
            break;
        }
        case FaultKind::small_supply:
            scale_area(supply_orifice(riser_at(changed, fault.riser).supply), size);
            break;
        case FaultKind::low_purity:
            std::visit(SetProductOxygen{size}, changed.source);
            break;
        case FaultKind::small_source:
            std::visit(ScaleFlows{size}, changed.source);
            break;
        default:
            break;
    }
    return changed;
}

std::string describe(const plant::Plant& plant, const Fault& fault) {
    if (fault.kind == FaultKind::none) return "all is as designed";
    if (fault.kind == FaultKind::low_purity) return "the source's purity is low";
    if (fault.kind == FaultKind::small_source) return "the source makes less than rated";
    const plant::Riser& riser = plant.risers.at(fault.riser);
    if (fault.kind == FaultKind::leak) return fmt::format("'{}' leaks", riser.name);
    if (fault.kind == FaultKind::small_supply)
        return fmt::format("the supply passage of '{}' is too small", riser.name);
    if (fault.kind == FaultKind::blocked_vent)
        return fmt::format("'{}' of '{}' is blocked", riser.vents.at(fault.item).name, riser.name);
    if (fault.kind == FaultKind::dry_low_point)
        return fmt::format("'{}' of '{}' holds no water", riser.low_points.at(fault.item).name, riser.name);
    for (const plant::LowPoint& low_point : riser.low_points) {
        if (riser.pipe_index(low_point.on) == fault.item)
            return fmt::format("'{}' of '{}' stays closed by water", low_point.name, riser.name);
    }
    return fmt::format("a dip before '{}' of '{}' is closed by water", riser.pipes.at(fault.item).name,
                       riser.name);
}

}  // namespace oxfade::study
