#include "oxfade/plant/standing_water.hpp"

namespace oxfade::plant {

flow::DipWater standing_water(const Riser& riser, std::size_t low_point) {
    const LowPoint& given = riser.low_points[low_point];
    const Cylinder* cylinder = riser.pipes[*riser.pipe_index(given.on)].geometry();
    const double bore = cylinder != nullptr ? cylinder->bore : 0.0;
    if (const auto* rise = std::get_if<WaterRise>(&given.shape)) {
        return flow::water_in_trap(bore, rise->height, given.water);
    }
    const auto& slopes = std::get<LegSlopes>(given.shape);
    return flow::water_in_dip({bore, slopes.before, slopes.behind}, given.water);
}

std::optional<std::size_t> low_point_on(const Riser& riser, std::size_t pipe) {
    for (std::size_t i = 0; i < riser.low_points.size(); ++i) {
        if (riser.low_points[i].on == riser.pipes[pipe].name) return i;
    }
    return std::nullopt;
}

}  // namespace oxfade::plant
