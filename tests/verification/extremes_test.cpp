// Plants at the ends of what is allowed: finite numbers that balance, pressures and fractions that can be, or
// a refusal. Never a hang, never nonsense.
#include <cmath>
#include <functional>
#include <string>

#include "support/plants.hpp"
#include "support/run.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::sample;

struct Extreme {
    const char* name;
    std::function<void(plant::Plant&)> change;
    bool refused = false;
};

plant::Generator& source_of(plant::Plant& plant) { return std::get<plant::Generator>(plant.source); }
void set_volume(plant::Plant& plant, double volume) {
    plant.risers[0].pipes = {vessel("near", volume)};
    plant.risers[0].vents[0].at = "near";
    plant.risers[0].leaks.clear();
}
void set_vent(plant::Plant& plant, double diameter) { plant.risers[0].vents[0].orifice.diameter = diameter; }

const Extreme extremes[] = {
    {"vent_of_a_nanometre", [](auto& p) { set_vent(p, 1e-9); }},
    {"vent_of_a_metre", [](auto& p) { set_vent(p, 1.0); }},
    {"riser_of_a_thimble", [](auto& p) { set_volume(p, 2e-6); }},
    {"riser_of_a_thimble_with_a_vent_of_a_metre", [](auto& p) { set_volume(p, 2e-6), set_vent(p, 1.0); },
     true},
    {"riser_of_10000_m3", [](auto& p) { set_volume(p, 1e4); }},
    {"receiver_of_a_thimble", [](auto& p) { source_of(p).receiver.volume = 2e-6; }, true},
    {"receiver_of_a_litre", [](auto& p) { source_of(p).receiver.volume = 1e-3, p.duration = day; }},
    {"receiver_of_10000_m3", [](auto& p) { source_of(p).receiver.volume = 1e4; }},
    {"pure_oxygen_for_nitrogen", [](auto& p) { source_of(p).purity = 0.0; }},
    {"purest_nitrogen", [](auto& p) { source_of(p).purity = 1.0; }},
    {"target_of_nothing", [](auto& p) { p.target = 0.0; }, true},
    {"target_of_all", [](auto& p) { p.target = 1.0; }, true},
    {"target_just_above_nothing", [](auto& p) { p.target = 1e-12; }},
    {"target_just_below_all", [](auto& p) { p.target = 1.0 - 1e-12; }},
    {"set_pressure_of_vacuum", [](auto& p) { p.risers[0].set_pressure = 0.0; }, true},
    {"set_pressure_of_400_bar", [](auto& p) { p.risers[0].set_pressure = 400e5; }},
    {"started_at_400_bar", [](auto& p) { p.risers[0].initial_pressure = 400e5; }},
    {"started_from_vacuum", [](auto& p) { p.risers[0].initial_pressure = 1e-6; }},
    {"site_in_vacuum", [](auto& p) { p.site.pressure = 1e-6; }},
    {"site_at_400_bar", [](auto& p) { p.site.pressure = 400e5; }, true},
    {"receiver_at_400_bar",
     [](auto& p) {
         source_of(p).air_below = 380e5;
         source_of(p).receiver = {0.2, 390e5, 400e5, 400e5, plant::InitialGas::air};
     }},
    {"coldest", [](auto& p) { p.site.temperature = 200.0; }},
    {"hottest", [](auto& p) { p.site.temperature = 400.0; }},
    {"a_microsecond", [](auto& p) { p.duration = 1e-6; }},
    {"ten_years", [](auto& p) { p.duration = 3652.0 * day; }},
    {"a_thousand_years", [](auto& p) { p.duration = 365250.0 * day; }, true},
    {"no_nitrogen_to_speak_of", [](auto& p) { source_of(p).nitrogen_flow = 1e-12; }},
    {"no_air_to_speak_of", [](auto& p) { source_of(p).air_flow = 1e-12; }},
    {"nothing_comes_in", [](auto& p) { p.risers[0].fill.diameter = 1e-9; }},
    {"not_a_number", [](auto& p) { p.risers[0].set_pressure = NAN; }, true},
    {"infinite", [](auto& p) { source_of(p).receiver.volume = INFINITY; }, true},
    {"denormal", [](auto& p) { set_vent(p, 5e-324); }},
};

class Extremes : public testing::TestWithParam<Extreme> {};

TEST_P(Extremes, GiveAnAnswerOrARefusal) {
    plant::Plant plant = two_pipe_riser(0.05 * inch);
    GetParam().change(plant);
    if (GetParam().refused) {
        EXPECT_THROW(engine::predict(plant), InputError);
        return;
    }
    engine::Options options;
    options.history_points = 50;
    const outcome::Outcome out = run(plant, options);
    const auto& riser = out.risers[0];
    EXPECT_GE(riser.final_pressure, 0.0);
    EXPECT_LE(riser.final_pressure, 401e5);
    for (const double pressure : out.history.pressure.data)
        EXPECT_TRUE(std::isfinite(pressure) && pressure >= 0.0);
    for (const double oxygen : out.history.oxygen.data)
        EXPECT_TRUE(oxygen >= -1e-12 && oxygen <= 1.0 + 1e-12);
    const double worst = std::max(0.209476, 1.0 - source_of(plant).purity);
    for (const auto& pipe : riser.pipes) {
        for (const double oxygen : pipe.oxygen) EXPECT_LE(oxygen, worst + 1e-9);
    }
    EXPECT_LE(riser.time_to_target.value_or(0.0), plant.duration);
}

INSTANTIATE_TEST_SUITE_P(Plants, Extremes, testing::ValuesIn(extremes),
                         [](const auto& tested) { return std::string(tested.param.name); });

}  // namespace
