// Mixing across links against exact solutions (model.md eq. 8 and 9).
#include <cmath>
#include <numbers>

#include "support/hole.hpp"
#include "support/plants.hpp"
#include "support/run.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::sample;

TEST(Mixing, TwoCellsWithAFixedExchangeRelaxExponentially) {
    const double near = 0.4, far = 0.1, exchange = 2e-4;
    plant::Riser riser = full_riser({vessel("near", near), vessel("far", far)});
    riser.initial_pressure = 1e5;
    riser.pipes[1].exchange = exchange;
    const auto plant = plant_of(std::move(riser), cylinders(0.98), 60000.0);
    engine::Options options = tight();
    options.history_points = 41;
    const auto out = run(plant, options);
    const auto difference = [&](std::size_t k) {
        return out.history.oxygen.at(k, 1) - out.history.oxygen.at(k, 0);
    };
    ASSERT_LT(*out.risers[0].fill_time, out.history.times[1]);
    ASSERT_GT(difference(1), 0.05);
    const double rate = exchange * (1.0 / moles_of(set_pressure, near) + 1.0 / moles_of(set_pressure, far));
    for (std::size_t k = 2; k < 41; ++k) {
        const double expected = std::exp(-rate * (out.history.times[k] - out.history.times[1]));
        EXPECT_NEAR(difference(k) / difference(1), expected, 1e-7) << "row " << k;
        const double held = near * out.history.oxygen.at(k, 0) + far * out.history.oxygen.at(k, 1);
        EXPECT_NEAR(held / (near * out.history.oxygen.at(1, 0) + far * out.history.oxygen.at(1, 1)), 1.0,
                    1e-12);
    }
}

/// A dead end of many cells on a small chamber that is flushed at once and kept flushed.
plant::Plant dead_end(double length, int cells) {
    plant::Riser riser = full_riser({tube("chamber", 0.5, 1e-3), tube("dead end", 0.05, length, cells)});
    riser.pipes[0].pitch = riser.pipes[1].pitch = -1.0;  // light gas above: no counter-flow
    riser.vents.push_back(vent("chamber", 2e-3));
    plant::Plant plant = plant_of(std::move(riser), cylinders(purity_as_heavy_as_air()), 1.0);
    plant.mixing = {true, false, false, 0.0};
    return plant;
}

/// Diffusion from a slab of unit concentration, shut at one end, held at zero at the other.
double slab(double x_over_l, double fourier) {
    double sum = 0.0;
    for (int k = 0; k < 60; ++k) {
        const double m = (k + 0.5) * std::numbers::pi;
        sum += 2.0 / m * std::sin(m * x_over_l) * std::exp(-m * m * fourier);
    }
    return sum;
}

double diffusivity() { return 1.13e-5 * std::pow(293.15, 1.724) * 1e-4 * 101325.0 / set_pressure; }

double worst_error_along_dead_end(int cells, double fourier) {
    const double length = 1.0;
    plant::Plant plant = dead_end(length, cells);
    plant.duration = fourier * length * length / diffusivity();
    const auto out = run(plant, tight(1e-9));
    double worst = 0.0;
    for (int i = 0; i < cells; ++i) {
        const double z = final_air_fraction(out, 1, static_cast<std::size_t>(i));
        worst = std::max(worst, std::abs(z - slab((i + 0.5) / cells, fourier)));
    }
    return worst;
}

TEST(Mixing, MolecularDiffusionAlongADeadEndFollowsTheSeries) {
    for (const double fourier : {0.05, 0.2, 0.5, 1.0}) {
        EXPECT_LT(worst_error_along_dead_end(100, fourier), 5e-4) << fourier;
    }
}

TEST(Mixing, DiffusionConvergesAsTheSquareOfTheCellLength) {
    const double coarse = worst_error_along_dead_end(10, 0.2), fine = worst_error_along_dead_end(20, 0.2);
    EXPECT_NEAR(std::log2(coarse / fine), 2.0, 0.25);
}

TEST(Mixing, SwitchedOffMovesNothing) {
    plant::Plant plant = dead_end(1.0, 10);
    plant.mixing = {false, false, false, 0.0};
    plant.duration = day;
    const auto out = run(plant);
    for (const double oxygen : out.risers[0].pipes[1].oxygen) EXPECT_NEAR(oxygen, 0.209476, 1e-12);
}

TEST(Mixing, BuoyancyHastensADeadEndUnlessLightGasLiesAbove) {
    const auto time = [](double pitch, bool buoyant) {
        plant::Plant plant = dead_end(3.0, 10);
        plant.source = cylinders(0.99);
        plant.risers[0].pipes[0].pitch = plant.risers[0].pipes[1].pitch = pitch;
        plant.mixing.buoyant = buoyant;
        plant.duration = 100.0 * day;
        return run(plant).risers[0].time_to_target.value_or(0.0);
    };
    const double molecular = time(0.0, false), level = time(0.0, true), up = time(1.0, true);
    EXPECT_GT(molecular, 0.0);
    EXPECT_NEAR(time(-1.0, true) / molecular, 1.0, 1e-3);
    EXPECT_LT(level, 0.9 * molecular);
    EXPECT_LT(up, 0.5 * level);
}

}  // namespace
