#include <gtest/gtest.h>

#include <algorithm>
#include <string>
#include <vector>

#include "check.hpp"
#include "oxfade/engine/predict.hpp"
#include "oxfade/study/commission.hpp"
#include "units.hpp"

using namespace oxfade;
using namespace oxfade::validation;

namespace {

plant::Riser dry_system(std::string name, double gallons) {
    plant::Pipe main;
    main.name = "main";
    main.shape = plant::VolumeOnly{gallons * us_gallon};
    plant::Riser riser;
    riser.name = std::move(name);
    riser.set_pressure = atmosphere + 30.0 * psi;
    riser.fill = {0.5 * inch, 0.8};
    riser.supply = plant::Regulator{{0.125 * inch, 0.8}};
    riser.pipes.push_back(std::move(main));
    riser.vents.push_back({"vent", "main", {0.02 * inch, 0.8}, plant::OpenAlways{}, false});
    return riser;
}

/// Two dry systems on one generator of 98 % nitrogen.
plant::Plant two_systems() {
    plant::Plant plant;
    plant.title = "two dry systems";
    plant.duration = 14.0 * day;
    plant.target = 0.975;
    plant::Generator generator;
    generator.purity = 0.98;
    generator.nitrogen_flow = 4.0 / 3600.0;
    generator.air_flow = 20.0 / 3600.0;
    generator.receiver = {60.0 * us_gallon, atmosphere + 85.0 * psi, atmosphere + 105.0 * psi,
                          atmosphere + 105.0 * psi, plant::InitialGas::air};
    generator.air_below = atmosphere + 75.0 * psi;
    plant.source = generator;
    plant.risers.push_back(dry_system("first", 600.0));
    plant.risers.push_back(dry_system("second", 400.0));
    return plant;
}

study::Step purity_step() {
    const std::vector<study::Step> sheet = study::commissioning_sheet(two_systems());
    return *std::find_if(sheet.begin(), sheet.end(),
                         [](const study::Step& step) { return step.kind == study::StepKind::purity; });
}

double lowest_purity(const outcome::Outcome& outcome) {
    double lowest = 1.0;
    for (const auto& riser : outcome.risers) {
        for (const auto& pipe : riser.pipes) {
            for (const double oxygen : pipe.oxygen) lowest = std::min(lowest, 1.0 - oxygen);
        }
    }
    return lowest;
}

/// The most fills that go on at one instant.
double fills_at_once(const outcome::Outcome& outcome) {
    int most = 0;
    for (const auto& one : outcome.risers) {
        int now = 0;
        for (const auto& other : outcome.risers) {
            // Counted just after each fill begins.
            const double at = *one.fill_start + 1e-3 * *one.fill_time;
            if (*other.fill_start <= at && at < *other.fill_start + *other.fill_time) ++now;
        }
        most = std::max(most, now);
    }
    return most;
}

}  // namespace

TEST(common_practice, purity_and_fills) {
    const outcome::Outcome outcome = engine::predict(two_systems());
    check_rows("common_practice",
               {{"study::commissioning_sheet low", [](const Row&) { return 100.0 * purity_step().low; }},
                {"study::commissioning_sheet high", [](const Row&) { return 100.0 * purity_step().high; }},
                {"engine::predict, final purity", [&](const Row&) { return 100.0 * lowest_purity(outcome); }},
                {"plant::Riser fill_limit", [](const Row&) { return plant::Riser{}.fill_limit / 60.0; }},
                {"engine::predict, fills at once", [&](const Row&) { return fills_at_once(outcome); }}});
}
