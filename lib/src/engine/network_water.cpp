#include "engine/network_water.hpp"

#include <algorithm>
#include <numbers>
#include <utility>

#include "engine/at.hpp"
#include "oxfade/flow/water_exchange.hpp"

namespace oxfade::engine {
namespace {

Problem problem_of(const std::string& riser, const std::string& low_point, std::string what,
                   std::string allowed) {
    Problem problem;
    problem.key = "riser." + riser + ".low_point." + low_point;
    problem.value = low_point;
    problem.what = std::move(what);
    problem.allowed = std::move(allowed);
    return problem;
}

WaterSpot spot_of(const plant::LowPoint& given, const plant::Pipe& on, int node, int riser, double copies) {
    WaterSpot spot;
    spot.node = node;
    spot.riser = riser;
    spot.name = given.name;
    spot.water = given.water * copies;
    spot.copies = copies;
    if (const plant::Cylinder* cylinder = on.geometry()) spot.dip.bore = cylinder->bore;
    if (const auto* rise = std::get_if<plant::WaterRise>(&given.shape)) {
        spot.trap = true;
        spot.rise = rise->height;
    } else {
        const auto& slopes = std::get<plant::LegSlopes>(given.shape);
        spot.dip.slope_before = slopes.before;
        spot.dip.slope_behind = slopes.behind;
    }
    return spot;
}

/// Share of its water that lies in the leg before it.
double share_before(const WaterSpot& spot) {
    if (spot.trap) return 0.5;
    return spot.dip.slope_behind / (spot.dip.slope_before + spot.dip.slope_behind);
}

/// Volume, wall and bore of the pipes' nodes, as without water.
void add_sizes(Network& net, const plant::Riser& riser, const RiserNet& out) {
    for (auto* v : {&net.gas_volume, &net.wall, &net.bore}) v->resize(at(out.first + out.count));
    for (std::size_t p = 0; p < riser.pipes.size(); ++p) {
        const plant::Cylinder* cylinder = riser.pipes[p].geometry();
        for (const int i : net.node_of.back()[p]) {
            net.gas_volume[at(i)] = gas::gas_constant * out.temperature / net.node_pressure_per_mole[at(i)];
            net.bore[at(i)] = cylinder ? cylinder->bore : 4.0 / flow::wall_per_volume;
            net.wall[at(i)] = 4.0 / net.bore[at(i)] * net.gas_volume[at(i)];
        }
    }
}

void add_zones(Network& net, const RiserNet& out) {
    net.zone_of.resize(at(out.first + out.count));
    for (int i = out.first; i < out.first + out.count; ++i) {
        const bool begins = i == out.first || net.spot_of[at(i)] >= 0;
        net.zone_of[at(i)] = begins ? net.zones++ : net.zone_of[at(net.parent[at(i)])];
    }
}

}  // namespace

flow::DipWater WaterSpot::stand(double volume) const {
    flow::DipWater one;
    if (!trap) {
        one = flow::water_in_dip(dip, volume / copies);
    } else if (!(volume > trace * water)) {
        one = flow::water_in_dip({1.0, 1.0, 1.0}, 0.0);
    } else {
        one = flow::water_in_trap(dip.bore, rise * std::min(volume / water, 1.0), volume / copies);
    }
    for (double* all : {&one.free_area, &one.surface_before, &one.surface_behind, &one.wetted_steel})
        *all *= copies;
    return one;
}

bool has_water(const plant::Plant& plant) {
    return std::any_of(plant.risers.begin(), plant.risers.end(),
                       [](const plant::Riser& riser) { return !riser.low_points.empty(); });
}

void require_no_friction(const plant::Plant& plant, Pressures pressures) {
    if (pressures != Pressures::resolved) return;
    std::vector<Problem> problems;
    for (const plant::Riser& riser : plant.risers) {
        for (const plant::LowPoint& low_point : riser.low_points) {
            problems.push_back(problem_of(riser.name, low_point.name,
                                          "pipe friction is not resolved past water in low points",
                                          "leave the low point out, or do not ask for friction"));
        }
    }
    if (!problems.empty()) throw InputError(std::move(problems));
}

void require_water_off_loops(const Network& net) {
    std::vector<Problem> problems;
    for (const RiserNet& riser : net.risers) {
        for (const LoopLink& loop : riser.loops) {
            for (const LoopLink::Member& member : loop.members) {
                const int spot = net.spot_of[at(member.node)];
                if (spot < 0) continue;
                problems.push_back(problem_of(riser.name, net.water[at(spot)].name,
                                              "the low point is on a pipe of a loop: gas goes round it",
                                              "put it on a pipe that no [[riser.link]] goes round"));
            }
        }
    }
    if (!problems.empty()) throw InputError(std::move(problems));
}

double add_water(Network& net, const plant::Riser& riser, int riser_index, const RiserNet& out) {
    add_sizes(net, riser, out);
    net.spot_of.resize(at(out.first + out.count), -1);
    for (const plant::LowPoint& given : riser.low_points) {
        const std::size_t p = *riser.pipe_index(given.on);
        const int node = net.node_of.back()[p].front();
        const WaterSpot spot = spot_of(given, riser.pipes[p], node, riser_index, net.copies[at(node)]);
        const double before = share_before(spot) * spot.water;
        net.gas_volume[at(net.parent[at(node)])] -= before;
        net.gas_volume[at(node)] -= spot.water - before;
        net.spot_of[at(node)] = static_cast<int>(net.water.size());
        net.water.push_back(spot);
    }
    add_zones(net, out);
    double volume = 0.0;
    for (int i = out.first; i < out.first + out.count; ++i) volume += net.gas_volume[at(i)];
    for (int i = out.first; i < out.first + out.count; ++i) {
        net.share[at(i)] = net.gas_volume[at(i)] / volume;
        net.node_pressure_per_mole[at(i)] = gas::gas_constant * out.temperature / net.gas_volume[at(i)];
    }
    return volume;
}

double zone_pressure_per_mole(const Network& net, const RiserNet& riser) {
    double volume = 0.0;
    for (int i = riser.first; i < riser.first + riser.count; ++i) {
        if (net.zone_of[at(i)] == net.zone_of[at(riser.first)]) volume += net.gas_volume[at(i)];
    }
    return gas::gas_constant * riser.temperature / volume;
}

}  // namespace oxfade::engine
