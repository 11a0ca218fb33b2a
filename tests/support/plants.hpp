#pragma once

#include <string>
#include <utility>
#include <vector>

#include "oxfade/gas/mixture.hpp"
#include "oxfade/plant/plant.hpp"

/// Small invented plants for tests, and the units they are written in.
namespace oxfade::sample {

inline constexpr double psi = 6894.757293168;
inline constexpr double inch = 0.0254;
inline constexpr double gallon = 3.785411784e-3;
inline constexpr double cubic_foot_per_hour = 0.028316846592 / 3600.0;
inline constexpr double hour = 3600.0;
inline constexpr double day = 86400.0;

inline double psig(double gauge, const plant::Site& site = {}) { return site.pressure + gauge * psi; }

/// Set pressure of the small plants: every hole to the outside is choked.
inline constexpr double set_pressure = 4e5;

/// Product as heavy as air: composition then has no effect on any flow, and exact laws hold exactly.
inline double purity_as_heavy_as_air() {
    const auto& mass = gas::species_molar_mass;
    return (mass[1] - gas::dry_air().molar_mass()) / (mass[1] - mass[0]);
}

inline plant::Pipe vessel(std::string name, double volume) {
    plant::Pipe pipe;
    pipe.name = std::move(name);
    pipe.shape = plant::VolumeOnly{volume};
    return pipe;
}

inline plant::Pipe tube(std::string name, double bore, double length, int cells = 1) {
    plant::Pipe pipe;
    pipe.name = std::move(name);
    pipe.shape = plant::Cylinder{bore, length};
    pipe.cells = cells;
    return pipe;
}

inline plant::Pipe on(plant::Pipe pipe, std::string from) {
    pipe.from = std::move(from);
    return pipe;
}

inline plant::Vent vent(std::string at, double diameter, plant::VentPolicy policy = plant::OpenAlways{}) {
    return {"vent at " + at, at, {diameter, 0.8}, policy, false};
}

inline plant::Leak hole(std::string at, double diameter) {
    return {std::move(at), plant::Orifice{diameter, 0.8}};
}

/// A riser that starts full of air at its set pressure, so that its fill is complete at once. Its regulator
/// is ample. No way out.
inline plant::Riser full_riser(std::vector<plant::Pipe> pipes, std::string name = "riser") {
    plant::Riser riser;
    riser.name = std::move(name);
    riser.set_pressure = set_pressure;
    riser.initial_pressure = set_pressure;
    riser.fill = {0.01, 0.8};
    riser.supply = plant::Regulator{{0.01, 0.8}};
    riser.pipes = std::move(pipes);
    return riser;
}

/// Cylinders that do not run empty, at a pressure that chokes any passage into a riser.
inline plant::Cylinders cylinders(double purity, double content = 1e6, double delivery = 20e5) {
    return {purity, content, delivery};
}

/// A source that gives nothing: its pressure is below any other.
inline plant::Cylinders no_source() { return cylinders(0.98, 1.0, 1.0); }

/// Generator whose receiver stands at `stop`, filled with its own product.
inline plant::Generator generator(double purity = 0.98) {
    plant::Generator source;
    source.purity = purity;
    source.nitrogen_flow = 2e-3;
    source.air_flow = 10e-3;
    source.air_below = 6e5;
    source.receiver = {0.3, 7e5, 9e5, 9e5, plant::InitialGas::source};
    return source;
}

inline plant::Plant plant_of(plant::Riser riser, plant::Source source, double duration) {
    plant::Plant plant;
    plant.title = "sample";
    plant.duration = duration;
    plant.target = 0.97;
    plant.source = std::move(source);
    plant.risers.push_back(std::move(riser));
    plant.mixing = {false, false, false};
    return plant;
}

/// One vessel held at its set pressure from cylinders, with one vent always open.
inline plant::Plant purged_vessel(double purity, double duration, double vent_diameter = 1e-3) {
    plant::Riser riser = full_riser({vessel("main", 2.0)});
    riser.vents.push_back(vent("main", vent_diameter));
    return plant_of(std::move(riser), cylinders(purity), duration);
}

/// One riser of two pipes filled from a small generator in 25 minutes, then purged through one vent at the
/// far end, with two small leaks: 700 and 300 gal, 30 psig, target 97 % from 98 %.
inline plant::Plant two_pipe_riser(double vent_diameter) {
    plant::Generator source;
    source.purity = 0.98;
    source.nitrogen_flow = 140.0 * cubic_foot_per_hour;
    source.air_flow = 700.0 * cubic_foot_per_hour;
    source.air_below = psig(75.0);
    source.receiver = {60.0 * gallon, psig(85.0), psig(105.0), psig(0.0), plant::InitialGas::air};
    plant::Riser riser = full_riser({vessel("near", 700.0 * gallon), vessel("far", 300.0 * gallon)});
    riser.set_pressure = psig(30.0);
    riser.initial_pressure.reset();
    riser.fill = {0.5 * inch, 0.8};
    riser.supply = plant::Regulator{{0.125 * inch, 0.8}};
    riser.vents.push_back(vent("far", vent_diameter));
    riser.leaks = {hole("near", 0.17841e-3), hole("far", 0.08921e-3)};
    return plant_of(std::move(riser), source, 21.0 * day);
}

}  // namespace oxfade::sample
