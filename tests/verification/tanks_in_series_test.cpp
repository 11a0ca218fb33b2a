// n cells of one pipe at constant flow: the washout curve of n stirred tanks in series (Erlang).
#include <boost/math/special_functions/gamma.hpp>
#include <cmath>

#include "support/hole.hpp"
#include "support/plants.hpp"
#include "support/run.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::sample;

constexpr double vent_diameter = 1e-3, bore = 0.1, length = 50.0;

plant::Plant long_pipe(int cells) {
    plant::Riser riser = full_riser({tube("run", bore, length, cells)});
    riser.vents.push_back(vent("run", vent_diameter));
    return plant_of(std::move(riser), cylinders(purity_as_heavy_as_air()), 1.0);
}

/// Mean residence time of the whole pipe.
double residence(const plant::Plant& plant) {
    return moles_of(set_pressure, plant.risers[0].volume()) /
           choked_flow(effective_area(vent_diameter), set_pressure, air_mass());
}

class TanksInSeries : public ::testing::TestWithParam<int> {};

TEST_P(TanksInSeries, EveryCellFollowsTheErlangWashout) {
    const int cells = GetParam();
    plant::Plant plant = long_pipe(cells);
    const double tau = residence(plant);
    plant.duration = 3.0 * tau;
    engine::Options options = tight();
    options.history_points = 31;
    const auto out = run(plant, options);
    for (std::size_t k = 0; k < out.history.times.size(); ++k) {
        const double passed = cells * out.history.times[k] / tau;
        for (int i = 0; i < cells; ++i) {
            const double z =
                air_fraction(out.history.oxygen.at(k, static_cast<std::size_t>(i)), purity_as_heavy_as_air());
            EXPECT_NEAR(z, boost::math::gamma_q(i + 1.0, passed), 1e-6) << "row " << k << " cell " << i;
        }
    }
}

TEST_P(TanksInSeries, MeanResidenceIsTheWholePipes) {
    // The air that left through the vent is what the pipe held; its mean age is the residence time.
    const int cells = GetParam();
    plant::Plant plant = long_pipe(cells);
    const double tau = residence(plant);
    plant.duration = 30.0 * tau;
    engine::Options options = tight(1e-8);
    options.history_points = 6001;
    const auto out = run(plant, options);
    double area = 0.0;
    for (std::size_t k = 1; k < out.history.times.size(); ++k) {
        const auto z = [&](std::size_t row) {
            return air_fraction(out.history.oxygen.at(row, static_cast<std::size_t>(cells) - 1),
                                purity_as_heavy_as_air());
        };
        area += 0.5 * (z(k) + z(k - 1)) * (out.history.times[k] - out.history.times[k - 1]);
    }
    EXPECT_NEAR(area / tau, 1.0, 1e-5);
}

INSTANTIATE_TEST_SUITE_P(Cells, TanksInSeries, ::testing::Values(1, 2, 5, 10, 20));

TEST(TanksInSeriesOfPipes, CellsOfOnePipeAreAsPipesInARow) {
    plant::Plant cells = long_pipe(4);
    cells.source = cylinders(0.98);
    cells.duration = residence(cells);
    plant::Plant pipes = cells;
    pipes.risers[0].pipes.clear();
    for (const char* name : {"a", "b", "c", "run"}) {
        pipes.risers[0].pipes.push_back(tube(name, bore, length / 4.0));
    }
    const auto one = run(cells, tight()), four = run(pipes, tight());
    for (std::size_t i = 0; i < 4; ++i) {
        EXPECT_NEAR(one.risers[0].pipes[0].oxygen[i], four.risers[0].pipes[i].oxygen[0], 1e-9);
    }
}

}  // namespace
