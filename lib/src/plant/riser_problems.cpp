#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "oxfade/gas/constants.hpp"
#include "oxfade/plant/limits.hpp"
#include "plant/checks.hpp"
#include "text/key_path.hpp"
#include "text/nearest.hpp"

namespace oxfade::plant::detail {
namespace {

/// Where in the scenario file something is, and what surrounds it.
struct Place {
    const Riser& riser;
    const PipeTree& tree;
    const Site& site;
    std::string path;
    double smallest_volume;  ///< of the riser and the receiver [m3]

    Place at(std::string inner) const { return {riser, tree, site, std::move(inner), smallest_volume}; }
    std::string key(std::string_view segment) const { return text::join_path(path, segment); }
};

/// A hole must not empty or fill what lies beside it in no time.
void check_orifice(Checks& checks, const Orifice& orifice, const Place& place) {
    const bool diameter = checks.positive(place.key("diameter"), orifice.diameter, length);
    const bool coefficient = checks.above_within(place.key("coefficient"), orifice.coefficient, 0.0, 1.0);
    if (!diameter || !coefficient || !(place.smallest_volume > 0.0)) return;
    constexpr double speed = 200.0;  // of gas through a choked hole, about [m/s]
    const double time = place.smallest_volume / (speed * orifice.effective_area());
    if (!(time < limits::emptying)) return;
    checks.require(false, place.key("diameter"), orifice.diameter, length,
                   fmt::format("would let all the gas through in {:.2g} s", time),
                   "look at its unit, and at those of the volumes beside it");
}

void check_pipe_name(Checks& checks, const std::string& name, const Place& place) {
    if (place.tree.index(name)) return;
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
    if (!checks.require(low < high, place.key("low"), low, pressure, "must be below `high`",
                        "it acts between two different pressures"))
        return;
    checks.require(high - low >= limits::narrowest_band * high, place.key("low"), low, pressure,
                   "is too close to `high`: it would switch without end",
                   fmt::format("at least {:.3g} Pa below `high`", limits::narrowest_band * high));
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
    double run;  ///< simulated time [s]

    void operator()(const OpenAlways&) const {}
    void operator()(const OpenUntilTarget&) const {}
    void operator()(const OpenUntil& policy) const { checks.positive(place.key("until"), policy.time, time); }
    void operator()(const OpenTimed& policy) const {
        const bool every = checks.positive(place.key("every"), policy.every, time);
        const bool duration = checks.positive(place.key("for"), policy.duration, time);
        if (!every || !duration) return;
        checks.require(policy.duration < policy.every, place.key("for"), policy.duration, time,
                       "must be shorter than `every`", "a vent that never shuts is open = \"always\"");
        checks.require(
            !(run / policy.every > limits::openings), place.key("every"), policy.every, time,
            fmt::format("the vent would open {:.3g} times in the run", run / policy.every),
            fmt::format("at most {:.0f} times: a longer `every`, or a shorter `duration` of the run",
                        limits::openings));
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

/// Parts of a pipe so small that gas would pass through them faster than anything can be computed.
void check_parts(Checks& checks, const Pipe& pipe, const Place& place) {
    const double volume = pipe.volume() / pipe.cells.value_or(1);
    const double length =
        pipe.geometry() != nullptr ? pipe.geometry()->length / pipe.cells.value_or(1) : limits::part_length;
    const double size =
        pipe.geometry() != nullptr ? std::min(pipe.geometry()->bore, pipe.geometry()->length) : volume;
    if (!(size > 0.0)) return;  // told already
    if (volume < limits::part_volume) {
        checks.add(place.path, "", fmt::format("holds {:.3g} mL in each of its parts", 1e6 * volume),
                   fmt::format("at least {:.3g} mL; look at units, or take fewer `cells`",
                               1e6 * limits::part_volume));
    } else if (length < limits::part_length) {
        checks.add(place.path, "", fmt::format("has parts of {:.3g} mm", 1e3 * length),
                   fmt::format("at least {:.3g} mm; look at units, or take fewer `cells`",
                               1e3 * limits::part_length));
    }
}

/// Gas in the smaller of the compartments that a pipe's exchange acts on, at the set pressure [mol].
double smallest_part(const Pipe& pipe, const Place& place) {
    double volume = pipe.volume() / pipe.cells.value_or(1);
    const auto index = place.tree.index(pipe.name);
    const auto parent = index ? place.tree.parent(*index) : std::nullopt;
    if (parent) {
        const Pipe& above = place.riser.pipes[*parent];
        volume = std::min(volume, above.volume() / std::max(above.cells.value_or(1), 1));
    }
    return place.riser.set_pressure * volume / (gas::gas_constant * place.site.temperature.mean());
}

void check_exchange(Checks& checks, const Pipe& pipe, const Place& place) {
    const auto key = place.key("exchange");
    if (!checks.not_negative(key, *pipe.exchange, molar_flow)) return;
    const double most = limits::exchange_rate * smallest_part(pipe, place);
    checks.require(!(*pipe.exchange > most), key, *pipe.exchange, molar_flow,
                   "would mix these compartments in less than a thousandth of a second",
                   fmt::format("at most {:.3g} mol/s; far less mixes them perfectly", most));
}

void check_pipe(Checks& checks, const Pipe& pipe, const Place& place) {
    std::visit(ShapeChecks{checks, place}, pipe.shape);
    if (pipe.cells && (*pipe.cells < 1 || *pipe.cells > limits::cells)) {
        checks.add(place.key("cells"), std::to_string(*pipe.cells), "is out of range",
                   fmt::format("a whole number from 1 to {}", limits::cells));
        return;
    }
    if (pipe.count < 1 || pipe.count > limits::count) {
        checks.add(place.key("count"), std::to_string(pipe.count), "is out of range",
                   fmt::format("a whole number from 1 to {}", limits::count));
    }
    check_parts(checks, pipe, place);
    if (pipe.exchange) check_exchange(checks, pipe, place);
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
        check_pipe(checks, riser.pipes[i], place.at(text::join_path(path, segments[i])));
    }
}

/// A vent's hole is drilled into its pipe, so it is no wider.
void check_hole_in_pipe(Checks& checks, const Vent& vent, const Place& place) {
    const auto pipe = place.tree.index(vent.at);
    const Cylinder* shape = pipe ? place.riser.pipes[*pipe].geometry() : nullptr;
    if (shape == nullptr || !(shape->bore > 0.0)) return;
    checks.require(!(vent.orifice.diameter > shape->bore), place.key("diameter"), vent.orifice.diameter,
                   length, "is wider than the pipe it is on",
                   fmt::format("that has a bore of {:.3g} mm; look at the unit", 1e3 * shape->bore));
}

void check_vents(Checks& checks, const Place& place, double run) {
    const Riser& riser = place.riser;
    const auto names = names_of(riser.vents);
    const auto path = place.key("vent");
    checks.names(path, names, "vent");
    const auto segments = text::entry_segments(names);
    for (std::size_t i = 0; i < riser.vents.size(); ++i) {
        const Vent& vent = riser.vents[i];
        const Place at = place.at(text::join_path(path, segments[i]));
        check_pipe_name(checks, vent.at, at);
        check_orifice(checks, vent.orifice, at);
        check_hole_in_pipe(checks, vent, at);
        checks.not_negative(at.key("chamber"), vent.chamber, volume);
        std::visit(PolicyChecks{checks, at.at(at.key("open")), run}, vent.policy);
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

/// Water of all low points at either end of a pipe [m3].
double water_beside(const Place& place, std::size_t pipe) {
    double sum = 0.0;
    for (const LowPoint& low_point : place.riser.low_points) {
        const auto on = place.tree.index(low_point.on);
        if (on && (*on == pipe || place.tree.parent(*on) == pipe)) sum += low_point.water;
    }
    return sum;
}

/// What a low point is on, and how much water fits in there.
void check_place_of_water(Checks& checks, const LowPoint& low_point, const Place& at) {
    const Riser& riser = at.riser;
    const auto pipe = at.tree.index(low_point.on);
    if (!pipe) {
        checks.add(at.key("on"), low_point.on,
                   fmt::format("there is no pipe `{}` in the riser", low_point.on),
                   text::suggest(low_point.on, names_of(riser.pipes), "its pipes"));
        return;
    }
    const auto parent = at.tree.parent(*pipe);
    if (*pipe == 0 || !parent) {
        if (*pipe == 0)
            checks.add(at.key("on"), low_point.on, "the first pipe hangs on no other one",
                       "a low point lies between two pipes: name the one behind it");
        return;
    }
    for (const std::size_t side : {*parent, *pipe}) {
        const Pipe& part = riser.pipes[side];
        const double room = 0.9 * part.volume() / part.cells.value_or(1), water = water_beside(at, side);
        if (!(water > room)) continue;
        checks.add(at.key("water"), fmt::format("{:.6g} m3", low_point.water),
                   fmt::format("with all water beside it, pipe `{}` would have too little room left for gas",
                               part.name),
                   fmt::format("{:.6g} m3 in all beside one of its {} parts", room, part.cells.value_or(1)));
        return;
    }
}

void check_low_points(Checks& checks, const Place& place) {
    const Riser& riser = place.riser;
    const auto names = names_of(riser.low_points);
    const auto path = place.key("low_point");
    checks.names(path, names, "low point");
    const auto segments = text::entry_segments(names);
    for (std::size_t i = 0; i < riser.low_points.size(); ++i) {
        const LowPoint& low_point = riser.low_points[i];
        const Place at = place.at(text::join_path(path, segments[i]));
        if (checks.positive(at.key("water"), low_point.water, volume) && low_point.water < limits::water) {
            checks.add(at.key("water"), fmt::format("{:.3g} mL", 1e6 * low_point.water), "is too little",
                       fmt::format("at least {:.3g} mL; look at units, or leave the low point out",
                                   1e6 * limits::water));
        }
        check_place_of_water(checks, low_point, at);
        const auto pipe = at.tree.index(low_point.on);
        std::visit(WaterShapeChecks{checks, at, pipe ? &riser.pipes[*pipe] : nullptr}, low_point.shape);
        for (std::size_t k = 0; k < i; ++k) {
            if (riser.low_points[k].on != low_point.on) continue;
            checks.add(at.key("on"), low_point.on, "two low points lie on one link",
                       "give each its own pipe, or all the water to one");
            break;
        }
    }
}

void check_samples(Checks& checks, const Place& place) {
    const Riser& riser = place.riser;
    const auto names = names_of(riser.samples), vents = names_of(riser.vents);
    const auto path = place.key("sample");
    checks.names(path, names, "sampling point");
    const auto segments = text::entry_segments(names);
    for (std::size_t i = 0; i < riser.samples.size(); ++i) {
        const SamplingPoint& sample = riser.samples[i];
        const Place at = place.at(text::join_path(path, segments[i]));
        if (std::find(vents.begin(), vents.end(), sample.name) != vents.end())
            checks.add(at.key("name"), sample.name, "a vent has this name", "give each its own name");
        check_pipe_name(checks, sample.at, at);
        const auto pipe = at.tree.index(sample.at);
        if (!sample.distance || !checks.not_negative(at.key("distance"), *sample.distance, length) || !pipe)
            continue;
        const Cylinder* shape = riser.pipes[*pipe].geometry();
        if (shape == nullptr) {
            checks.add(at.key("distance"), sample.at, "the pipe is given by its volume alone",
                       "leave `distance` out, or give that pipe a size and a length");
        } else if (shape->length > 0.0) {
            checks.require(*sample.distance <= shape->length * (1.0 + 1e-9), at.key("distance"),
                           *sample.distance, length, "is beyond the end of the pipe",
                           fmt::format("at most {:.4g} m on `{}`", shape->length, sample.at));
        }
    }
}

/// A leak spread by length or joints needs pipes that have them.
void check_spread(Checks& checks, const Leak& leak, const Place& place) {
    if (leak.at || leak.spread == LeakSpread::volume) return;
    for (const Pipe& pipe : place.riser.pipes) {
        if (pipe.geometry() != nullptr) continue;
        checks.add(place.key("spread"), pipe.name,
                   fmt::format("pipe `{}` is given by its volume alone, without a length", pipe.name),
                   "spread = \"volume\", or give that pipe a size and a length");
        return;
    }
}

void check_leaks(Checks& checks, const Place& place) {
    const Riser& riser = place.riser;
    for (std::size_t i = 0; i < riser.leaks.size(); ++i) {
        const Place at = place.at(text::join_path(place.key("leak"), std::to_string(i)));
        if (riser.leaks[i].at) check_pipe_name(checks, *riser.leaks[i].at, at);
        check_spread(checks, riser.leaks[i], at);
        std::visit(LeakChecks{checks, at}, riser.leaks[i].size);
    }
}

}  // namespace

void check_riser(Checks& checks, const Plant& plant, const Riser& riser, const std::string& path) {
    const Receiver* receiver = receiver_of(plant.source);
    const bool known = receiver != nullptr && receiver->volume > 0.0;
    const PipeTree tree(riser);
    const Place place{riser, tree, plant.site, path,
                      known ? std::min(riser.volume(), receiver->volume) : riser.volume()};
    check_above_air(checks, riser.set_pressure, place, "set_pressure");
    checks.positive(place.key("fill_limit"), riser.fill_limit, time);
    checks.not_negative(place.key("rest"), riser.rest, time);
    if (riser.initial_pressure)
        checks.positive(place.key("initial_pressure"), *riser.initial_pressure, pressure);
    if (riser.temperature) check_temperature(checks, *riser.temperature, place.key("temperature"));
    check_orifice(checks, riser.fill, place.at(place.key("fill")));
    std::visit(SupplyChecks{checks, place.at(place.key("supply"))}, riser.supply);
    check_pipes(checks, place);
    check_layout(checks, riser, tree, path);
    check_elevations(checks, riser, tree, path);
    check_vents(checks, place, plant.duration);
    check_samples(checks, place);
    check_leaks(checks, place);
    check_low_points(checks, place);
}

}  // namespace oxfade::plant::detail
