// A front of nitrogen that flow carries along one long pipe and shear spreads: the closed form of Ogata and
// Banks for a step that a constant flow brings. With a source that gives a constant flow of gas it holds for
// what flows past a place, c - (K/u) dc/dx (A. Kreft and A. Zuber, Chem. Eng. Sci. 33 (1978) 1471).
#include <boost/math/special_functions/erf.hpp>
#include <cmath>
#include <numbers>

#include "oxfade/flow/dispersion.hpp"
#include "oxfade/gas/transport.hpp"
#include "support/hole.hpp"
#include "support/plants.hpp"
#include "support/run.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::sample;

constexpr double bore = 0.02, length = 40.0, vent_diameter = 0.22e-3;

/// Share of the gas at the inlet in what flows past x.
double ogata_banks(double x, double t, double u, double k) {
    const double wide = 2.0 * std::sqrt(k * t);
    const double image =
        u * x / k - std::pow((x + u * t) / wide, 2);  // exponent of what is left of the product
    const double z = (x + u * t) / wide;
    // exp(u x/K) erfc(z), for large z by the asymptotic series of erfc.
    const double second = z < 5.0 ? std::exp(u * x / k) * boost::math::erfc(z)
                                  : std::exp(image) / (z * std::sqrt(std::numbers::pi)) *
                                        (1.0 - 0.5 / (z * z) + 0.75 / std::pow(z, 4));
    return 0.5 * (boost::math::erfc((x - u * t) / wide) + second);
}

struct Front {
    double worst = 0.0, speed = 0.0, spread = 0.0, mixing_adds = 0.0;
};

Front front_at(double refinement) {
    plant::Pipe pipe = tube("run", bore, length);
    pipe.cells.reset();
    pipe.pitch = 0.0;
    plant::Riser riser = full_riser({pipe});
    riser.vents.push_back(vent("run", vent_diameter));
    const double purity = purity_as_heavy_as_air();
    plant::Plant plant = plant_of(std::move(riser), cylinders(purity), 1.0);
    plant.mixing = {true, false, true};
    plant.mixing.mouth = 0.0;
    const double density = moles_of(set_pressure, 1.0), section = std::numbers::pi / 4.0 * bore * bore;
    const double flow = choked_flow(effective_area(vent_diameter), set_pressure, air_mass());
    Front front;
    front.speed = flow / (density * section);
    plant.duration = 0.4 * length / front.speed;
    const double temperature = plant.site.temperature.mean();
    const double diffusivity = gas::diffusivity_times_pressure(temperature) / set_pressure;
    const double viscosity = gas::viscosity(gas::dry_air(), temperature) / (density * air_mass());
    front.spread = flow::shear_dispersion(front.speed, 0.5 * bore, diffusivity, viscosity);
    front.mixing_adds = front.spread / diffusivity;
    engine::Options options = tight(1e-8);
    options.history_points = 0;
    options.refinement = refinement;
    const auto out = run(plant, options);
    const outcome::PipeOutcome& cells = out.risers[0].pipes[0];
    const double air = gas::dry_air()[gas::Species::oxygen], clean = 1.0 - purity;
    const auto share = [&](std::size_t i) { return (air - cells.oxygen[i]) / (air - clean); };
    const auto centre = [&](std::size_t i) {
        return 0.5 * length * (cells.cell_ends[i] + (i > 0 ? cells.cell_ends[i - 1] : 0.0));
    };
    for (std::size_t i = 0; i + 1 < cells.oxygen.size(); ++i) {
        const double x = length * cells.cell_ends[i], step = centre(i + 1) - centre(i);
        const double flowing =
            0.5 * (share(i) + share(i + 1)) - front.spread / front.speed * (share(i + 1) - share(i)) / step;
        front.worst = std::max(front.worst,
                               std::abs(flowing - ogata_banks(x, plant.duration, front.speed, front.spread)));
    }
    return front;
}

TEST(Front, IsThatOfOgataAndBanks) {
    const Front coarse = front_at(16.0), fine = front_at(32.0), finest = front_at(64.0);
    ASSERT_GT(fine.mixing_adds, 2.0) << "shear must matter here";
    EXPECT_LT(finest.worst, 4e-3);
    EXPECT_GT(std::log2(coarse.worst / fine.worst), 1.5) << coarse.worst << ", " << fine.worst;
    EXPECT_GT(std::log2(fine.worst / finest.worst), 1.5) << fine.worst << ", " << finest.worst;
    RecordProperty("worst", std::to_string(finest.worst));
}

}  // namespace
