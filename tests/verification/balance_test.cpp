// What goes in less what goes out is what is stored, for each species; counted again from the results.
#include <filesystem>

#include "oxfade/scenario/read.hpp"
#include "support/hole.hpp"
#include "support/mesh.hpp"
#include "support/plants.hpp"
#include "support/run.hpp"
#include "support/source_folder.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::sample;

std::vector<std::filesystem::path> example_files() {
    std::vector<std::filesystem::path> files;
    for (const auto& entry : std::filesystem::directory_iterator(source_folder() / "apps/scenarios")) {
        if (entry.path().extension() == ".toml") files.push_back(entry.path());
    }
    return files;
}

TEST(Balance, ClosesOnEveryExample) {
    const auto files = example_files();
    ASSERT_FALSE(files.empty());
    for (const auto& file : files) {
        const auto out = engine::predict(scenario::read_file(file).plant);
        EXPECT_LT(out.balance.worst_relative, 1e-9) << file;
        EXPECT_GT(out.balance.out[0], 0.0) << file;
    }
}

/// Oxygen that risers hold at the end, from their pressures and fractions.
double oxygen_held(const plant::Plant& plant, const outcome::Outcome& out) {
    double held = 0.0;
    for (std::size_t r = 0; r < out.risers.size(); ++r) {
        for (std::size_t p = 0; p < out.risers[r].pipes.size(); ++p) {
            const plant::Pipe& pipe = plant.risers[r].pipes[p];
            for (const double oxygen : out.risers[r].pipes[p].oxygen) {
                held +=
                    oxygen * moles_of(out.risers[r].final_pressure, pipe.volume() / pipe.cells.value_or(1),
                                      plant.site.temperature.mean());
            }
        }
    }
    return held;
}

TEST(Balance, StoredOxygenIsWhatPressuresAndFractionsSay) {
    for (const double purity : {0.95, 0.98, 1.0}) {
        const plant::Plant plant = meshed_plant(purity, cylinders(purity));
        const auto out = run(plant);
        double at_start = 0.0;
        for (const auto& riser : plant.risers) {
            at_start += 0.209476 * moles_of(*riser.initial_pressure, riser.volume());
        }
        const double from_cylinders = (1.0 - purity) * out.source.made_nitrogen;
        const double stored = oxygen_held(plant, out) - at_start - from_cylinders;
        const auto oxygen = static_cast<std::size_t>(gas::Species::oxygen);
        EXPECT_NEAR(out.balance.stored_change[oxygen], stored, 1e-9 * at_start);
        EXPECT_NEAR(out.balance.in[oxygen] - out.balance.out[oxygen], stored, 1e-8 * at_start);
    }
}

TEST(Balance, WhatIsSuppliedIsVentedLeakedOrStored) {
    const plant::Plant plant = meshed_plant(0.98, generator(0.98));
    const auto out = run(plant);
    double gone = 0.0, stored = 0.0;
    for (std::size_t r = 0; r < 2; ++r) {
        gone += out.risers[r].vented + out.risers[r].leaked;
        stored +=
            moles_of(out.risers[r].final_pressure - *plant.risers[r].initial_pressure, out.risers[r].volume);
    }
    const double receiver = moles_of(out.history.receiver_pressure.back() - 9e5, 0.3);
    EXPECT_NEAR(out.source.made_nitrogen + out.source.made_air, gone + stored + receiver, 1e-7 * gone);
}

/// At every row of the history, what the machine had made by then stands in the receiver or was handed on.
TEST(Balance, HoldsAtEveryRowOfTheHistory) {
    for (const bool skip : {true, false}) {
        const plant::Plant plant = meshed_plant(0.98, generator(0.98));
        const auto& source = std::get<plant::Generator>(plant.source);
        engine::Options options;
        options.skip_cycles = skip;
        const auto out = run(plant, options);
        const outcome::History& history = out.history;
        const double nitrogen = plant::standard_moles(plant.site.reference, source.nitrogen_flow);
        const double air = plant::standard_moles(plant.site.reference, source.air_flow);
        for (std::size_t row = 0; row < history.times.size(); ++row) {
            const double made =
                nitrogen * (history.running[row] - history.on_air[row]) + air * history.on_air[row];
            double went = moles_of(history.receiver_pressure[row] - history.receiver_pressure[0], 0.3);
            for (std::size_t r = 0; r < 2; ++r) {
                went += history.supplied.at(row, r);
                const double stored =
                    moles_of(history.pressure.at(row, r) - history.pressure.at(0, r), out.risers[r].volume);
                EXPECT_NEAR(
                    history.supplied.at(row, r) - history.vented.at(row, r) - history.leaked.at(row, r),
                    stored, 1e-7 * history.supplied.at(row, r) + 1e-9);
            }
            EXPECT_NEAR(made, went, 1e-6 * made + 1e-9) << "at " << history.times[row] << " s";
        }
        for (std::size_t r = 0; r < 2; ++r) {
            EXPECT_NEAR(history.vented.data.end()[-2 + static_cast<long>(r)], out.risers[r].vented, 1e-9);
            EXPECT_NEAR(history.leaked.data.end()[-2 + static_cast<long>(r)], out.risers[r].leaked, 1e-9);
        }
        EXPECT_NEAR(history.running.back(), out.source.running, 1e-6);
        EXPECT_NEAR(history.on_air.back(), out.source.on_air, 1e-6);
    }
}

}  // namespace
