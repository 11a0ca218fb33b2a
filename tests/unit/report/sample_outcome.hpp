#pragma once

#include <cmath>

#include "oxfade/outcome/outcome.hpp"
#include "oxfade/plant/plant.hpp"

/// A made-up plant and results that could have come from it, for the writers' tests.
namespace oxfade::test {

inline constexpr double day = 86400.0;
inline constexpr double psi = 6894.757293168;

inline plant::Pipe sample_pipe(const char* name, std::variant<plant::VolumeOnly, plant::Cylinder> shape,
                               int cells) {
    plant::Pipe pipe;
    pipe.name = name;
    pipe.shape = shape;
    pipe.cells = cells;
    return pipe;
}

inline plant::Plant sample_plant() {
    plant::Plant plant;
    plant.title = "Two systems over a store";
    plant.duration = 21.0 * day;
    plant.target = 0.975;
    plant::Generator generator;
    generator.purity = 0.99;
    plant.source = generator;
    for (const char* name : {"North", "South"}) {
        plant::Riser riser;
        riser.name = name;
        riser.set_pressure = plant.site.pressure + 30.0 * psi;
        riser.pipes.push_back(sample_pipe("main", plant::VolumeOnly{2.0}, 1));
        riser.pipes.push_back(sample_pipe("far", plant::Cylinder{0.05, 90.0}, 3));
        plant.risers.push_back(riser);
    }
    return plant;
}

inline outcome::RiserOutcome sample_riser(const std::string& name) {
    outcome::RiserOutcome riser;
    riser.name = name;
    riser.fill_start = 0.0;
    riser.fill_time = 1490.5;
    riser.fill_limit = 1800.0;
    riser.fill_met = true;
    riser.time_to_target = 130307.0;
    riser.at_target = {{130307.0, 21.0 * day}};
    riser.limiting_pipe = "far";
    riser.limiting_cell = 2;
    riser.final_pressure = 308168.0;
    riser.volume = 2.177;
    riser.vented = 4000.0;
    riser.leaked = 500.0;
    riser.supplied = 4700.0;
    riser.lowest_in_service = 101325.0 + 29.0 * psi;
    riser.highest_in_service = 101325.0 + 30.0 * psi;
    riser.steady_demand = 0.004;
    riser.time_at_readings = 130201.0;
    riser.time_of_average = 130220.0;
    riser.time_everywhere = 130307.0;
    riser.average_oxygen = 0.0101;
    riser.readings.push_back({"end vent", true, "far", 2, 0.0105, 130201.0});
    riser.pipes.push_back({"main", {0.0101}, {130200.0}, {}, 1, {1.0}});
    riser.pipes.push_back(
        {"far", {0.0102, 0.0103, 0.0105}, {130201.0, 130250.0, 130307.0}, {}, 1, {0.25, 0.5, 1.0}});
    return riser;
}

/// Oxygen that fades from that of air, later in cells further away.
inline double sample_oxygen(double time, std::size_t cell) {
    return 0.0101 + 0.1994 * std::exp(-time / (0.6 * day + 5000.0 * static_cast<double>(cell)));
}

inline outcome::History sample_history(const outcome::Outcome& outcome) {
    constexpr std::size_t rows = 721;
    outcome::History history;
    history.pressure.columns = outcome.risers.size();
    for (const outcome::RiserOutcome& riser : outcome.risers) {
        for (const outcome::PipeOutcome& pipe : riser.pipes) history.oxygen.columns += pipe.oxygen.size();
    }
    for (std::size_t row = 0; row < rows; ++row) {
        const double time = outcome.duration * static_cast<double>(row) / static_cast<double>(rows - 1);
        history.times.push_back(time);
        for (std::size_t r = 0; r < outcome.risers.size(); ++r) history.pressure.data.push_back(308168.0);
        for (std::size_t c = 0; c < history.oxygen.columns; ++c) {
            history.oxygen.data.push_back(sample_oxygen(time, c));
        }
    }
    return history;
}

inline outcome::Outcome sample_outcome() {
    outcome::Outcome outcome;
    outcome.title = "Two systems over a store";
    outcome.duration = 21.0 * day;
    outcome.target = 0.975;
    outcome.nitrogen_purity = 0.99;
    outcome.risers = {sample_riser("North"), sample_riser("South")};
    outcome.source.running = 62.0 * 3600.0;
    outcome.source.on_air = 1800.0;
    outcome.source.starts = 88;
    outcome.source.made_nitrogen = 9000.0;
    outcome.source.made_air = 600.0;
    outcome.source.energy = 3.6e6 * 248.0;
    outcome.source.steady_daily_run = 10000.0;
    outcome.balance.worst_relative = 1.2e-13;
    outcome.effort.steps = 4321;
    outcome.history = sample_history(outcome);
    return outcome;
}

}  // namespace oxfade::test
