// Buoyant exchange in level pipe against its derivation and against exact solutions (model.md eq. 10 and 11).
#include <cmath>
#include <functional>
#include <numbers>

#include "oxfade/gas/transport.hpp"
#include "support/hole.hpp"
#include "support/plants.hpp"
#include "support/run.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::sample;

constexpr double coefficient = 7.0 / 46080.0;

double integral(const std::function<double(double)>& f, double from, double to, int panels = 400) {
    double sum = 0.0;
    const double h = (to - from) / panels;
    for (int k = 0; k < panels; ++k) {
        const double x = from + k * h;
        sum += h / 6.0 * (f(x) + 4.0 * f(x + 0.5 * h) + f(x + h));
    }
    return sum;
}

// In a round pipe with an even density gradient along it, nu lap(u) = -g Gamma y gives u = (g Gamma / 8 nu)
// (a^2 - r^2) y. What this flow carries is spread across the pipe by D lap(chi) = u dc/dx, dchi/dr = 0 at the
// wall, and -<u chi> comes on top of -D dc/dx. With a = 1, g Gamma a^4 / (nu D) = Ra and chi = r h(r) sin:
// (r^3 h')' = r^2 (1 - r^2) r, in units of Ra/8 dc/dx.
TEST(BuoyantMixing, CoefficientFollowsFromTheVelocityProfile) {
    const auto profile = [](double r) { return (1.0 - r * r) * r; };
    const auto steepness = [&](double r) {
        return r > 0.0 ? integral([&](double s) { return s * s * profile(s); }, 0.0, r, 40) / (r * r * r)
                       : 0.0;
    };
    const double at_wall = -steepness(1.0);  // no flux: h + h' = 0
    const auto across = [&](double r) { return r * (at_wall - integral(steepness, r, 1.0, 40)); };
    // The mean over the disc of sin^2 is a half.
    const double carried =
        2.0 * 0.5 * integral([&](double r) { return -profile(r) * across(r) * r; }, 0.0, 1.0, 60);
    EXPECT_NEAR(carried / 64.0, coefficient, 1e-6 * coefficient);
}

TEST(BuoyantMixing, TheVelocityProfileSolvesItsEquation) {
    // Unit g Gamma / 8 nu: lap((1 - y^2 - z^2) y) is to be -8 y.
    const auto u = [](double y, double z) { return (1.0 - y * y - z * z) * y; };
    constexpr double h = 1e-3;
    for (const double y : {-0.5, 0.2, 0.7}) {
        const double z = 0.3;
        const double lap = (u(y + h, z) + u(y - h, z) + u(y, z + h) + u(y, z - h) - 4.0 * u(y, z)) / (h * h);
        EXPECT_NEAR(lap, -8.0 * y, 1e-6);
    }
}

/// Two equal level tubes with nothing but mixing between them, once nitrogen has been let into the first.
struct Pair {
    double bore, length, purity;

    plant::Plant plant(plant::Mixing mixing, double duration) const {
        plant::Riser riser = full_riser({tube("near", bore, length), tube("far", bore, length)});
        riser.initial_pressure = 2.5e5;
        plant::Plant made = plant_of(std::move(riser), cylinders(purity), duration);
        made.mixing = mixing;
        return made;
    }
    gas::Mixture product() const { return gas::nitrogen_of_purity(purity); }
    double area() const { return std::numbers::pi / 4.0 * bore * bore; }
    double moles() const { return moles_of(set_pressure, area() * length); }
    double concentration() const { return moles_of(set_pressure, 1.0); }
    double diffusivity() const { return gas::diffusivity_times_pressure(293.15) / set_pressure; }
    /// Exchange by diffusion over what a tube holds, both ways [1/s].
    double diffusive_rate() const {
        return 2.0 * concentration() * diffusivity() * area() / length / moles();
    }
    /// Part of the density that a difference of one in the share of air makes, at a mean share of air.
    double heavier(double share) const {
        const double difference = air_mass() - product().molar_mass();
        return difference / (product().molar_mass() + share * difference);
    }
    double viscosity(double share) const {
        gas::Mixture mixed;
        for (std::size_t s = 0; s < gas::species_count; ++s) {
            mixed.fraction[s] = (1.0 - share) * product().fraction[s] + share * gas::dry_air().fraction[s];
        }
        const double density =
            concentration() * (product().molar_mass() + share * (air_mass() - product().molar_mass()));
        return gas::viscosity(mixed, 293.15) / density;
    }
    /// Ra for a difference of one in the share of air.
    double rayleigh(double share) const {
        return gas::standard_gravity * heavier(share) / length * std::pow(0.5 * bore, 4) /
               (viscosity(share) * diffusivity());
    }
};

/// Difference and mean of the share of air in the two tubes at a row of the history.
struct Shares {
    double difference, mean;
};
Shares shares(const outcome::Outcome& out, std::size_t k) {
    const double a = air_fraction(out.history.oxygen.at(k, 0), out.nitrogen_purity);
    const double b = air_fraction(out.history.oxygen.at(k, 1), out.nitrogen_purity);
    return {b - a, 0.5 * (a + b)};
}

TEST(BuoyantMixing, TwoTubesRelaxAsTheCubicLawSays) {
    const Pair pair{0.06, 4.0, 0.99};
    engine::Options options = tight();
    options.history_points = 21;
    const auto out = run(pair.plant({true, true}, 10.0 * day), options);
    const auto first = shares(out, 1);
    const double k = pair.diffusive_rate();
    const double b = coefficient * std::pow(pair.rayleigh(first.mean), 2);
    ASSERT_GT(b * first.difference * first.difference, 5.0) << "buoyancy is to rule at first";
    for (std::size_t row = 2; row < 21; ++row) {
        // y' = -k y (1 + b y^2)
        const double grown = std::exp(2.0 * k * (out.history.times[row] - out.history.times[1]));
        const double expected =
            1.0 / std::sqrt((1.0 / (first.difference * first.difference) + b) * grown - b);
        EXPECT_NEAR(shares(out, row).difference / expected, 1.0, 2e-4) << row;
    }
}

TEST(BuoyantMixing, ShortWideTubesRelaxAtTheLockExchangeCeiling) {
    const Pair pair{0.15, 0.4, 0.99};
    engine::Options options = tight();
    options.history_points = 21;
    const auto out = run(pair.plant({true, true}, 60.0), options);
    const auto first = shares(out, 2);
    const double k = pair.diffusive_rate();
    // Two layers, each on half of the bore, at half of sqrt(g' d); exchange over what a tube holds, both
    // ways.
    const double limit = 2.0 * pair.concentration() * 0.5 * pair.area() * 0.5 *
                         std::sqrt(gas::standard_gravity * pair.heavier(first.mean) * pair.bore) /
                         pair.moles();
    for (std::size_t row = 3; row < 21; ++row) {
        const double y = shares(out, row).difference;
        // Only as long as the ceiling is the lower of the two.
        if (k * coefficient * std::pow(pair.rayleigh(first.mean) * y, 2) < limit * std::sqrt(y)) {
            EXPECT_GT(row, 8u) << "the ceiling is to rule for a while";
            break;
        }
        // y' = -k y - limit y^1.5
        const double grown = std::exp(0.5 * k * (out.history.times[row] - out.history.times[2]));
        const double root = 1.0 / ((1.0 / std::sqrt(first.difference) + limit / k) * grown - limit / k);
        EXPECT_NEAR(y / (root * root), 1.0, 2e-4) << row;
    }
}

/// A level dead end on a small chamber that is kept flushed.
plant::Plant dead_end(double bore, double length, int cells, double purity, plant::Mixing mixing) {
    plant::Riser riser = full_riser({tube("chamber", 0.1, 2e-3), tube("dead end", bore, length, cells)});
    riser.vents.push_back(vent("chamber", 2e-3));
    plant::Plant plant = plant_of(std::move(riser), cylinders(purity), 1.0);
    plant.mixing = mixing;
    return plant;
}

// Buoyancy alone is c_t = kappa (c_x^3)_x. From any start it comes to c = X(x) T(t) with 3/4 X'^4 = lambda/2
// (1 - X^2), lambda = 3/2 I^4, I = B(1/2, 3/4)/2, and 1/T^2 grows by 2 lambda kappa / L^4.
TEST(BuoyantMixing, ALongDeadEndComesToTheSeparableSolution) {
    constexpr double length = 3.0, bore = 0.06;
    const Pair gases{bore, length, 0.8};  // oxygen nearly as in air: viscosity and density hardly change
    plant::Plant plant = dead_end(bore, length, 60, gases.purity, {false, true});
    const double kappa = coefficient * gases.diffusivity() *
                         std::pow(gases.rayleigh(0.0) * length,
                                  2);  // rayleigh is for a difference over the length, with little air left
    const double whole = 0.5 * std::beta(0.5, 0.75);
    const double lambda = 1.5 * std::pow(whole, 4);
    plant.duration = 120.0 * std::pow(length, 4) / kappa;
    engine::Options options = tight(1e-8);
    options.history_points = 13;
    const auto out = run(plant, options);
    const auto share = [&](std::size_t row, std::size_t cell) {
        return air_fraction(out.history.oxygen.at(row, 1 + cell), out.nitrogen_purity);
    };
    const double begin = std::pow(share(6, 59), -2), end = std::pow(share(12, 59), -2);
    const double rate = (end - begin) / (out.history.times[12] - out.history.times[6]);
    EXPECT_NEAR(rate / (2.0 * lambda * kappa / std::pow(length, 4)), 1.0, 3e-3);
    for (const std::size_t cell : {10u, 30u, 45u}) {
        // x/L = (integral of (1 - X^2)^(-1/4) up to X) / I, by X = sin
        const double value = share(12, cell) / share(12, 59);
        const double place =
            integral([](double phi) { return std::sqrt(std::cos(phi)); }, 0.0, std::asin(value)) / whole;
        EXPECT_NEAR(place, (static_cast<double>(cell) + 0.5) / 60.0, 4e-3) << cell;
    }
}

double days_to_target(double bore, int cells) {
    plant::Plant plant = dead_end(bore, 10.0, cells, 0.99, {true, true});
    plant.duration = 200.0 * day;
    return run(plant).risers[0].time_to_target.value() / day;
}

TEST(BuoyantMixing, CoarseCellsAgreeWithResolvedOnes) {
    // Diffusion and buoyancy alike at the end of the one, buoyancy nearly all the way in the other.
    const double thin = days_to_target(0.0409, 80), wide = days_to_target(0.0525, 40);
    EXPECT_NEAR(days_to_target(0.0409, 5) / thin, 1.0, 4e-3);
    EXPECT_NEAR(days_to_target(0.0409, 10) / thin, 1.0, 1e-3);
    EXPECT_NEAR(days_to_target(0.0525, 5) / wide, 1.0, 4e-2);
    EXPECT_NEAR(days_to_target(0.0525, 10) / wide, 1.0, 1e-2);
}

}  // namespace
