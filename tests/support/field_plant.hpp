#pragma once

#include <boost/math/distributions/normal.hpp>
#include <cmath>
#include <numbers>
#include <string>
#include <vector>

#include "oxfade/engine/predict.hpp"
#include "oxfade/outcome/duty.hpp"
#include "oxfade/study/fit.hpp"
#include "support/hole.hpp"
#include "support/random_plant.hpp"

/// Plants as they are built and read on site, with all that is off about them.
namespace oxfade::sample {

/// Dice that share no throws: those of neighbouring seeds do.
inline Dice dice_for(unsigned study, unsigned plant) { return Dice(1000003U * (1000U * study + plant)); }

inline double normal_draw(Dice& dice) {
    return boost::math::quantile(boost::math::normal(), std::max(1e-12, dice.unit()));
}

/// One riser: a feed, a main, and one to three branches with a vent each, purged within about a week.
inline plant::Plant field_plant(unsigned seed) {
    Dice dice = dice_for(1, seed);
    plant::Plant plant;
    plant.title = "field plant " + std::to_string(seed);
    plant.duration = 40.0 * day;
    plant.site.temperature = dice.between(270.0, 303.0);
    plant::Riser riser;
    riser.name = "riser";
    riser.set_pressure = psig(dice.between(18.0, 35.0));
    riser.fill = {0.5 * inch, 0.8};
    riser.supply = plant::Regulator{{0.125 * inch, 0.8}};
    riser.pipes = {tube("feed", 0.15, dice.between(10.0, 30.0)),
                   tube("main", 0.1, dice.between(30.0, 90.0), 2)};
    const int branches = dice.count(1, 3);
    for (int b = 0; b < branches; ++b) {
        const std::string name = "branch " + std::to_string(b);
        riser.pipes.push_back(on(tube(name, 0.05, dice.between(40.0, 150.0), 3), b == 0 ? "main" : "feed"));
        riser.vents.push_back(vent(name, 1e-3));
    }
    riser.leaks = {{std::nullopt, plant::LeakByTest{dice.between(0.3, 1.2) * psi, day, psig(40.0)}}};
    // All vents together change the gas once in so long.
    const double turnover = dice.between(0.8, 2.0) * day;
    const double moles = moles_of(riser.set_pressure, riser.volume(), plant.site.temperature.mean());
    const double area =
        moles / turnover / choked_flow(1.0, riser.set_pressure, air_mass(), plant.site.temperature.mean());
    for (plant::Vent& v : riser.vents) {
        const double share = dice.between(0.7, 1.3) / branches;
        v.orifice.diameter = std::sqrt(4.0 * share * area / (0.8 * std::numbers::pi));
    }
    plant::Generator source;
    source.purity = dice.between(0.985, 0.996);
    source.receiver = {0.25, psig(85.0), psig(105.0), psig(105.0), plant::InitialGas::air};
    source.air_below = psig(75.0);
    plant.risers.push_back(riser);
    plant.source = source;
    plant.target = source.purity - dice.between(0.004, 0.010);
    auto& generator = std::get<plant::Generator>(plant.source);
    generator.nitrogen_flow = generator.air_flow = 1e-3;
    const double demand = outcome::duty_of(plant).demand;
    generator.nitrogen_flow = plant::standard_volume(plant.site.reference, demand) * dice.between(2.0, 5.0);
    generator.air_flow = std::max(5.0 * generator.nitrogen_flow, 4e-3);
    return plant;
}

/// How far the true plant is off what its file says, as far as tolerances allow.
inline plant::Plant as_built(const plant::Plant& designed, const study::Tolerances& given, Dice& dice) {
    plant::Plant plant = study::with_leaks_as_holes(designed);
    for (plant::Riser& riser : plant.risers) {
        const double vents = std::exp(given.vents * normal_draw(dice));
        const double volume = std::exp(given.volume * normal_draw(dice));
        const double leaks = std::exp(given.leaks * normal_draw(dice));
        for (plant::Vent& v : riser.vents) v.orifice.diameter *= std::sqrt(vents);
        for (plant::Pipe& pipe : riser.pipes) std::get<plant::Cylinder>(pipe.shape).length *= volume;
        for (plant::Leak& leak : riser.leaks)
            std::get<plant::Orifice>(leak.size).diameter *= std::sqrt(leaks);
    }
    auto& source = std::get<plant::Generator>(plant.source);
    source.purity = 1.0 - (1.0 - source.purity) * std::exp(given.product_oxygen * normal_draw(dice));
    return plant;
}

/// What instruments without noise show at six visits over three days: oxygen at each vent, and the riser's
/// pressure. A pipe that the true plant lacks stands behind water: it keeps the air it was filled with.
inline std::vector<study::Reading> true_readings(const plant::Plant& designed, const plant::Plant& truth) {
    plant::Plant run = truth;
    run.duration = 3.0 * day;
    engine::Options options;
    options.history_points = 4321;  // every minute
    const outcome::Outcome out = engine::predict(run, options);
    std::vector<study::Reading> readings;
    for (const double when : {0.25, 0.5, 1.0, 1.5, 2.2, 3.0}) {
        const auto row = static_cast<std::size_t>(std::lround(when * 1440.0));
        bool first = true;
        for (const plant::Vent& v : designed.risers[0].vents) {
            study::Reading reading;
            reading.time = when * day;
            reading.riser = "riser";
            reading.pipe = v.at;
            const auto pipe = run.risers[0].pipe_index(v.at);
            if (pipe) {
                reading.oxygen = out.history.oxygen.at(row, out.last_column(0, *pipe));
            } else {
                reading.oxygen = gas::dry_air()[gas::Species::oxygen];
            }
            if (first) reading.pressure = out.history.pressure.at(row, 0);
            first = false;
            readings.push_back(reading);
        }
    }
    return readings;
}

inline void add_noise(std::vector<study::Reading>& readings, Dice& dice) {
    for (study::Reading& reading : readings) {
        if (reading.oxygen)
            reading.oxygen = std::max(0.0, *reading.oxygen + reading.oxygen_uncertainty * normal_draw(dice));
        if (reading.pressure) *reading.pressure += reading.pressure_uncertainty * normal_draw(dice);
    }
}

/// A fault that shows: of a size that matters for this plant.
inline study::Fault some_fault(const plant::Plant& plant, Dice& dice, double& size) {
    using study::FaultKind;
    study::Reading anywhere;
    anywhere.riser = "riser";
    const auto faults = study::possible_faults(plant, {anywhere});
    // Each kind alike, however many vents and branches there are.
    const std::vector<FaultKind> kinds{FaultKind::leak,          FaultKind::blocked_vent,
                                       FaultKind::closed_branch, FaultKind::low_purity,
                                       FaultKind::small_supply,  FaultKind::small_source};
    const FaultKind kind = kinds[static_cast<std::size_t>(dice.count(0, 5))];
    std::vector<study::Fault> of_kind;
    for (const study::Fault& fault : faults) {
        if (fault.kind == kind) of_kind.push_back(fault);
    }
    const auto duty = outcome::duty_of(plant);
    const double asked = dice.between(0.4, 0.8);  // of the demand
    if (kind == FaultKind::leak) size = study::vent_area(plant.risers[0]) * dice.scale(0.5, 3.0);
    if (kind == FaultKind::blocked_vent) size = dice.scale(0.01, 0.3);
    if (kind == FaultKind::low_purity) size = 1.0 - product_purity(plant.source) + dice.between(0.01, 0.04);
    if (kind == FaultKind::small_supply) size = asked * duty.demand / duty.risers[0].supply_capacity;
    if (kind == FaultKind::small_source) size = asked * duty.demand / *duty.separator;
    return of_kind[static_cast<std::size_t>(dice.count(0, static_cast<int>(of_kind.size()) - 1))];
}

}  // namespace oxfade::sample
