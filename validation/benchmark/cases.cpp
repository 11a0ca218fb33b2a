#include "cases.hpp"

#include <algorithm>
#include <cmath>
#include <random>
#include <string>

namespace oxfade::cases {
namespace {

using namespace oxfade::plant;

constexpr double psi = 6894.757293168, gallon = 3.785411784e-3, inch = 0.0254;
constexpr double cubic_foot_per_hour = 0.028316846592 / 3600.0, day = 86400.0, atmosphere = 101325.0;

double gauge(double psig) { return atmosphere + psig * psi; }

Plant bare(double purity, double nitrogen, double air, double receiver_gallons) {
    Plant plant;
    plant.duration = 21.0 * day;
    plant.target = 0.97;
    plant.site.temperature = 293.15;
    Generator source;
    source.purity = purity;
    source.nitrogen_flow = nitrogen * cubic_foot_per_hour;
    source.air_flow = air * cubic_foot_per_hour;
    source.air_below = gauge(75.0);
    source.receiver = {receiver_gallons * gallon, gauge(85.0), gauge(105.0), gauge(0.0), InitialGas::air};
    plant.source = source;
    return plant;
}

Riser bare_riser(const std::string& name) {
    Riser riser;
    riser.name = name;
    riser.set_pressure = gauge(30.0);
    riser.fill = {0.5 * inch, 0.8};
    riser.supply = Regulator{{0.125 * inch, 0.8}};
    return riser;
}

Pipe volume_pipe(const std::string& name, std::optional<std::string> from, double gallons) {
    return {name, std::move(from), VolumeOnly{gallons * gallon}, 1, std::nullopt, std::nullopt,
            1,    std::nullopt};
}

Vent vent(const std::string& at, double inches) {
    return {"vent at " + at, at, {inches * inch, 0.8}, OpenAlways{}, false};
}

}  // namespace

Plant one_riser(double vent_inch) {
    Plant plant = bare(0.98, 140.0, 700.0, 60.0);
    Riser riser = bare_riser("R");
    riser.pipes = {volume_pipe("near", {}, 700.0), volume_pipe("far", {}, 300.0)};
    riser.vents = {vent("far", vent_inch)};
    riser.leaks = {{"near", Orifice{0.17841e-3, 0.8}}, {"far", Orifice{0.08921e-3, 0.8}}};
    plant.risers = {riser};
    return plant;
}

Plant four_risers() {
    Plant plant = bare(0.985, 300.0, 1500.0, 120.0);
    std::mt19937_64 random(20240901);
    std::uniform_real_distribution<double> size(20.0, 60.0);
    for (int r = 0; r < 4; ++r) {
        Riser riser = bare_riser("R" + std::to_string(r + 1));
        for (int k = 0; k < 20; ++k) {
            // A main of eight, and three branches of four on it.
            const int before = k < 8 ? k - 1 : (k - 8) % 4 == 0 ? 1 + 2 * ((k - 8) / 4) : k - 1;
            std::optional<std::string> from;
            if (k > 0) from = "p" + std::to_string(before);
            riser.pipes.push_back(volume_pipe("p" + std::to_string(k), from, size(random)));
        }
        for (const int end : {7, 11, 15, 19}) riser.vents.push_back(vent("p" + std::to_string(end), 0.018));
        riser.leaks = {{std::nullopt, Orifice{0.15e-3, 0.8}}};
        plant.risers.push_back(riser);
    }
    return plant;
}

Plant many_compartments(int count, bool chain) {
    Plant plant = bare(0.98, 140.0, 700.0, 60.0);
    Riser riser = bare_riser("R");
    for (int k = 0; k < count; ++k) {
        std::optional<std::string> from;
        if (k > 0) from = "p" + std::to_string(chain ? k - 1 : (k - 1) / 2);
        riser.pipes.push_back(volume_pipe("p" + std::to_string(k), from, 1000.0 / count));
    }
    if (chain) {
        riser.vents = {vent("p" + std::to_string(count - 1), 0.05)};
    } else {
        // Every leaf has a vent; together they pass what one of 0.05 in does.
        const int first_leaf = count / 2, leaves = count - first_leaf;
        const double diameter = 0.05 / std::sqrt(static_cast<double>(leaves));
        for (int k = first_leaf; k < count; ++k)
            riser.vents.push_back(vent("p" + std::to_string(k), diameter));
    }
    plant.risers = {riser};
    return plant;
}

std::vector<Plant> variations(std::size_t count) {
    std::mt19937_64 random(42);
    std::uniform_real_distribution<double> vent_size(0.03, 0.08), leak(0.5, 1.5), volume(0.7, 1.3),
        purity(0.975, 0.995);
    std::vector<Plant> plants;
    plants.reserve(count);
    for (std::size_t k = 0; k < count; ++k) {
        Plant plant = one_riser(vent_size(random));
        for (Leak& l : plant.risers[0].leaks) std::get<Orifice>(l.size).diameter *= std::sqrt(leak(random));
        for (Pipe& p : plant.risers[0].pipes) std::get<VolumeOnly>(p.shape).volume *= volume(random);
        std::get<Generator>(plant.source).purity = purity(random);
        plants.push_back(std::move(plant));
    }
    return plants;
}

}  // namespace oxfade::cases
