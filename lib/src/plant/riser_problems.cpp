#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "plant/checks.hpp"
#include "text/key_path.hpp"
#include "text/nearest.hpp"

namespace oxfade::plant::detail {
namespace {

constexpr int most_cells = 100'000;

/// Where in the scenario file something is, and what surrounds it.
struct Place {
    const Riser& riser;
    const Site& site;
    std::string path;

    std::string key(std::string_view segment) const { return text::join_path(path, segment); }
};

void check_orifice(Checks& checks, const Orifice& orifice, const Place& place) {
    checks.positive(place.key("diameter"), orifice.diameter, length);
    checks.above_within(place.key("coefficient"), orifice.coefficient, 0.0, 1.0);
}

void check_pipe_name(Checks& checks, const std::string& name, const Place& place) {
    if (place.riser.pipe_index(name)) return;
    checks.add(place.key("at"), name, fmt::format("there is no pipe `{}` in the riser", name),
               text::suggest(name, names_of(place.riser.pipes), "its pipes"));
}

/// A pressure that must lie above the site's air pressure.
bool check_above_air(Checks& checks, double value, const Place& place, std::string_view segment) {
    const auto key = place.key(segment);
    if (!checks.positive(key, value, pressure)) return false;
    return checks.require(!(value <= place.site.pressure), key, value, pressure,
                          "must be above the site's air pressure", "a gauge pressure above 0 is wanted");
}

/// Two pressures of which `low` lies below `high`.
void check_band(Checks& checks, double low, double high, const Place& place) {
    const bool low_sound = checks.positive(place.key("low"), low, pressure);
    const bool high_sound = checks.positive(place.key("high"), high, pressure);
    if (!low_sound || !high_sound) return;
    checks.require(low < high, place.key("low"), low, pressure, "must be below `high`",
                   "it acts between two different pressures");
}

struct SupplyChecks {
    Checks& checks;
    Place place;

    void operator()(const Regulator& regulator) const { check_orifice(checks, regulator.orifice, place); }
    void operator()(const PressureSwitch& supply) const {
        check_orifice(checks, supply.orifice, place);
        check_band(checks, supply.low, supply.high, place);
    }
};

struct PolicyChecks {
    Checks& checks;
    Place place;

    void operator()(const OpenAlways&) const {}
    void operator()(const OpenUntilTarget&) const {}
    void operator()(const OpenUntil& policy) const { checks.positive(place.key("until"), policy.time, time); }
    void operator()(const OpenTimed& policy) const {
        const bool every = checks.positive(place.key("every"), policy.every, time);
        const bool duration = checks.positive(place.key("for"), policy.duration, time);
        if (!every || !duration) return;
        checks.require(policy.duration < policy.every, place.key("for"), policy.duration, time,
                       "must be shorter than `every`", "a vent that never shuts is open = \"always\"");
    }
    void operator()(const OpenBetween& policy) const { check_band(checks, policy.low, policy.high, place); }
};

struct LeakChecks {
    Checks& checks;
    Place place;

    void operator()(const Orifice& hole) const { check_orifice(checks, hole, place); }
    void operator()(const LeakByFlow& leak) const {
        checks.positive(place.key("flow"), leak.flow, volume_flow);
        check_above_air(checks, leak.pressure, place, "pressure");
    }
    void operator()(const LeakByTest& leak) const {
        checks.positive(place.key("over"), leak.over, time);
        const bool loss = checks.positive(place.key("loss"), leak.loss, pressure_difference);
        const bool from = check_above_air(checks, leak.from, place, "from");
        if (!loss || !from) return;
        checks.require(!(leak.from - leak.loss <= place.site.pressure), place.key("loss"), leak.loss,
                       pressure_difference, "is all of the test's pressure or more",
                       "`from` less `loss` must stay above the site's air pressure");
    }
};

struct ShapeChecks {
    Checks& checks;
    Place place;

    void operator()(const VolumeOnly& shape) const {
        checks.positive(place.key("volume"), shape.volume, volume);
    }
    void operator()(const Cylinder& shape) const {
        checks.positive(place.key("bore"), shape.bore, length);
        checks.positive(place.key("length"), shape.length, length);
    }
};

void check_pipe(Checks& checks, const Pipe& pipe, const Place& place) {
    std::visit(ShapeChecks{checks, place}, pipe.shape);
    if (pipe.cells < 1 || pipe.cells > most_cells) {
        checks.add(place.key("cells"), std::to_string(pipe.cells), "is out of range",
                   fmt::format("a whole number from 1 to {}", most_cells));
    }
    if (pipe.exchange) checks.not_negative(place.key("exchange"), *pipe.exchange, molar_flow);
}

void check_pipes(Checks& checks, const Place& place) {
    const Riser& riser = place.riser;
    if (riser.pipes.empty()) {
        checks.add(place.key("pipe"), "", "the riser has no pipe", "at least one [[riser.pipe]] is wanted");
    }
    const auto names = names_of(riser.pipes);
    const auto path = place.key("pipe");
    checks.names(path, names, "pipe");
    const auto segments = text::entry_segments(names);
    for (std::size_t i = 0; i < riser.pipes.size(); ++i) {
        check_pipe(checks, riser.pipes[i], {riser, place.site, text::join_path(path, segments[i])});
    }
}

void check_vents(Checks& checks, const Place& place) {
    const Riser& riser = place.riser;
    const auto names = names_of(riser.vents);
    const auto path = place.key("vent");
    checks.names(path, names, "vent");
    const auto segments = text::entry_segments(names);
    for (std::size_t i = 0; i < riser.vents.size(); ++i) {
        const Vent& vent = riser.vents[i];
        const Place at{riser, place.site, text::join_path(path, segments[i])};
        check_pipe_name(checks, vent.at, at);
        check_orifice(checks, vent.orifice, at);
        checks.not_negative(at.key("chamber"), vent.chamber, volume);
        std::visit(PolicyChecks{checks, {riser, place.site, at.key("open")}}, vent.policy);
    }
}

struct WaterShapeChecks {
    Checks& checks;
    Place place;
    const Pipe* on;  ///< null where the name is unknown

    void operator()(const WaterRise& shape) const {
        checks.positive(place.key("rise"), shape.height, length);
    }
    void operator()(const LegSlopes& slopes) const {
        constexpr double steepest = 0.25;  // beyond, the legs are not nearly level
        checks.above_within(place.key("slopes"), slopes.before, 0.0, steepest);
        checks.above_within(place.key("slopes"), slopes.behind, 0.0, steepest);
        if (on == nullptr || on->geometry() != nullptr) return;
        checks.add(place.key("slopes"), on->name, "the pipe is given by its volume alone",
                   "give that pipe a bore, or a nominal size and schedule, and its length; or give `rise`");
    }
};

/// What a low point is on, and how much water fits in there.
void check_place_of_water(Checks& checks, const LowPoint& low_point, const Place& at) {
    const Riser& riser = at.riser;
    const auto pipe = riser.pipe_index(low_point.on);
    if (!pipe) {
        checks.add(at.key("on"), low_point.on,
                   fmt::format("there is no pipe `{}` in the riser", low_point.on),
                   text::suggest(low_point.on, names_of(riser.pipes), "its pipes"));
        return;
    }
    const auto parent = riser.parent_index(*pipe);
    if (*pipe == 0 || !parent) {
        if (*pipe == 0)
            checks.add(at.key("on"), low_point.on, "the first pipe hangs on no other one",
                       "a low point lies between two pipes: name the one behind it");
        return;
    }
    const Pipe &before = riser.pipes[*parent], &behind = riser.pipes[*pipe];
    const double room = 2.0 * std::min(before.volume() / before.cells, behind.volume() / behind.cells);
    if (!std::isfinite(room) || !(low_point.water > 0.0) || low_point.water < 0.9 * room) return;
    checks.add(at.key("water"), fmt::format("{:.6g} m3", low_point.water),
               "is more water than the parts of pipe on its two sides can hold",
               fmt::format("less than {:.6g} m3 here", 0.9 * room));
}

void check_low_points(Checks& checks, const Place& place) {
    const Riser& riser = place.riser;
    const auto names = names_of(riser.low_points);
    const auto path = place.key("low_point");
    checks.names(path, names, "low point");
    const auto segments = text::entry_segments(names);
    for (std::size_t i = 0; i < riser.low_points.size(); ++i) {
        const LowPoint& low_point = riser.low_points[i];
        const Place at{riser, place.site, text::join_path(path, segments[i])};
        checks.positive(at.key("water"), low_point.water, volume);
        check_place_of_water(checks, low_point, at);
        const auto pipe = riser.pipe_index(low_point.on);
        std::visit(WaterShapeChecks{checks, at, pipe ? &riser.pipes[*pipe] : nullptr}, low_point.shape);
        for (std::size_t k = 0; k < i; ++k) {
            if (riser.low_points[k].on != low_point.on) continue;
            checks.add(at.key("on"), low_point.on, "two low points lie on one link",
                       "give each its own pipe, or all the water to one");
            break;
        }
    }
}

void check_leaks(Checks& checks, const Place& place) {
    const Riser& riser = place.riser;
    for (std::size_t i = 0; i < riser.leaks.size(); ++i) {
        const Place at{riser, place.site, text::join_path(place.key("leak"), std::to_string(i))};
        if (riser.leaks[i].at) check_pipe_name(checks, *riser.leaks[i].at, at);
        std::visit(LeakChecks{checks, at}, riser.leaks[i].size);
    }
}

}  // namespace

void check_riser(Checks& checks, const Riser& riser, const Site& site, const std::string& path) {
    const Place place{riser, site, path};
    check_above_air(checks, riser.set_pressure, place, "set_pressure");
    checks.positive(place.key("fill_limit"), riser.fill_limit, time);
    checks.not_negative(place.key("rest"), riser.rest, time);
    if (riser.initial_pressure)
        checks.positive(place.key("initial_pressure"), *riser.initial_pressure, pressure);
    if (riser.temperature) check_temperature(checks, *riser.temperature, place.key("temperature"));
    check_orifice(checks, riser.fill, {riser, site, place.key("fill")});
    std::visit(SupplyChecks{checks, {riser, site, place.key("supply")}}, riser.supply);
    check_pipes(checks, place);
    check_layout(checks, riser, path);
    check_vents(checks, place);
    check_leaks(checks, place);
    check_low_points(checks, place);
}

}  // namespace oxfade::plant::detail
