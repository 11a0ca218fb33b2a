#include "oxfade/outcome/findings.hpp"

#include <algorithm>
#include <cmath>

#include "oxfade/engine/predict.hpp"
#include "support/hole.hpp"
#include "support/plants.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::sample;
using outcome::Code;
using outcome::Level;
using outcome::Message;

const Message* find(const std::vector<Message>& messages, Code code) {
    const auto found =
        std::find_if(messages.begin(), messages.end(), [&](const Message& m) { return m.code == code; });
    return found == messages.end() ? nullptr : &*found;
}

/// A plant there is nothing to say about.
plant::Plant faultless() {
    plant::Plant plant = purged_vessel(0.98, 60000.0);
    plant.source = generator(0.98);
    return plant;
}

std::vector<Message> after(const plant::Plant& plant) { return engine::predict(plant).messages; }

/// Every placeholder of the text has its value.
void expect_whole(const Message& message) {
    for (std::size_t k = 0; k < 9; ++k) {
        const bool asked = message.text.find("{" + std::to_string(k) + "}") != std::string::npos;
        EXPECT_EQ(asked, k < message.values.size()) << message.text;
    }
    EXPECT_FALSE(message.where.empty());
    for (const auto& value : message.values) EXPECT_TRUE(std::isfinite(value.si)) << message.text;
}

void expect_finding(const std::vector<Message>& messages, Code code, Level level, const std::string& where) {
    const Message* message = find(messages, code);
    ASSERT_NE(message, nullptr) << outcome::code_name(code);
    EXPECT_EQ(message->level, level);
    EXPECT_EQ(message->where, where);
    expect_whole(*message);
}

TEST(Findings, AnAirPressureOfNoPlaceOnLandIsTold) {
    plant::Plant plant = faultless();
    EXPECT_EQ(find(outcome::findings_before(plant), Code::air_pressure_unusual), nullptr);
    for (const double mistaken : {14.7, 14.7e5}) {
        plant.site.pressure = mistaken;
        const auto found = outcome::findings_before(plant);
        expect_finding(found, Code::air_pressure_unusual, Level::warning, "site.pressure");
    }
}

TEST(Findings, NothingToSayOfAFaultlessPlant) {
    EXPECT_TRUE(outcome::findings_before(faultless()).empty());
    EXPECT_TRUE(after(faultless()).empty());
}

TEST(Findings, SwingThatAnAirTestWouldTakeForALeak) {
    plant::Plant plant = faultless();
    plant.site.temperature = plant::DailySwing{283.15, 6.0};
    EXPECT_TRUE(outcome::findings_before(plant).empty());
    plant.site.temperature = plant::DailySwing{288.15, 10.0};
    const auto messages = outcome::findings_before(plant);
    expect_finding(messages, Code::temperature_swing, Level::note, "riser");
    const Message& message = *find(messages, Code::temperature_swing);
    EXPECT_NEAR(message.values[1].si / psi, 1.87, 0.005);
    plant.risers[0].temperature = 283.15;
    EXPECT_TRUE(outcome::findings_before(plant).empty());
}

TEST(Findings, PressureNotUniform) {
    plant::Plant plant = faultless();
    plant::Riser& riser = plant.risers[0];
    riser.pipes = {tube("main", 0.1, 60.0, 4)};
    EXPECT_TRUE(outcome::findings_before(plant).empty());
    riser.pipes = {tube("main", 0.012, 250.0, 4)};
    riser.vents[0].orifice.diameter = 2e-3;
    expect_finding(outcome::findings_before(plant), Code::pressure_not_uniform, Level::note, "riser");
    EXPECT_NE(find(outcome::findings_before(plant), Code::pressure_not_uniform)->text.find("--friction"),
              std::string::npos);
}

TEST(Findings, TargetAbovePurity) {
    plant::Plant plant = faultless();
    plant.target = 0.985;
    expect_finding(outcome::findings_before(plant), Code::target_above_purity, Level::failure, "target");
    plant.target = 0.98;  // equal is never reached either
    EXPECT_TRUE(find(outcome::findings_before(plant), Code::target_above_purity));
}

TEST(Findings, VentsAboveSeparator) {
    plant::Plant plant = faultless();
    std::get<plant::Generator>(plant.source).nitrogen_flow = 1e-4;
    const auto messages = outcome::findings_before(plant);
    expect_finding(messages, Code::vents_above_separator, Level::failure, "source");
    const Message& message = *find(messages, Code::vents_above_separator);
    const double flow = choked_flow(effective_area(1e-3), set_pressure, product_mass(0.98));
    EXPECT_NEAR(message.values[0].si / standard_flow(flow), 1.0, 1e-9);
    EXPECT_NEAR(message.values[1].si, 1e-4, 1e-12);
}

TEST(Findings, AirAfterFill) {
    plant::Plant plant = faultless();
    std::get<plant::Generator>(plant.source).nitrogen_flow = 1e-4;
    const auto messages = after(plant);
    expect_finding(messages, Code::air_after_fill, Level::warning, "source");
    EXPECT_NE(find(messages, Code::air_after_fill)->text.find("need more than"), std::string::npos);
}

TEST(Findings, AirAfterAnOutageIsNotPutDownToDemand) {
    plant::Plant plant = faultless();
    plant.actions = {{0.2 * plant.duration, plant::Deed::outage, "", "", "", 0.0},
                     {0.6 * plant.duration, plant::Deed::restore, "", "", "", 0.0}};
    const auto messages = after(plant);
    expect_finding(messages, Code::air_after_fill, Level::warning, "source");
    EXPECT_NE(find(messages, Code::air_after_fill)->text.find("as after an outage"), std::string::npos);
}

TEST(Findings, NoWayOutOfARiser) {
    plant::Plant plant = faultless();
    plant.risers[0].vents.clear();
    expect_finding(outcome::findings_before(plant), Code::no_way_out, Level::warning, "riser");
}

TEST(Findings, NoWayOutOfABranch) {
    plant::Plant plant = faultless();
    plant.risers[0].pipes.push_back(vessel("blind", 0.1));
    expect_finding(outcome::findings_before(plant), Code::no_way_out, Level::warning, "riser / blind");
}

TEST(Findings, ABlindBranchThatMixesWellIsOnlyANote) {
    plant::Plant plant = faultless();
    plant.risers[0].pipes.push_back(vessel("blind", 0.1));
    plant.risers[0].pipes[1].exchange = 1.0;
    expect_finding(after(plant), Code::no_way_out, Level::note, "riser / blind");
}

TEST(Findings, FillLimitExceeded) {
    plant::Plant plant = faultless();
    plant.risers[0].initial_pressure.reset();
    plant.risers[0].fill_limit = 1.0;
    expect_finding(after(plant), Code::fill_limit_exceeded, Level::warning, "riser");
}

TEST(Findings, RiserNeverFilled) {
    plant::Plant plant = faultless();
    plant.source = cylinders(0.98, 1e6, 3e5);
    plant.risers[0].initial_pressure.reset();
    expect_finding(after(plant), Code::riser_never_filled, Level::failure, "riser");
}

TEST(Findings, SourceEmpty) {
    plant::Plant plant = faultless();
    plant.source = cylinders(0.98, 1.0);
    expect_finding(after(plant), Code::source_empty, Level::failure, "source");
}

TEST(Findings, RunTooShort) {
    plant::Plant plant = faultless();
    plant.duration = 3000.0;
    const auto messages = after(plant);
    ASSERT_TRUE(find(messages, Code::run_too_short));
    EXPECT_EQ(find(messages, Code::run_too_short)->where, "riser");
    expect_whole(*find(messages, Code::run_too_short));
}

TEST(Findings, LeakAboveAcceptance) {
    plant::Plant plant = faultless();
    plant.risers[0].leaks.push_back({std::nullopt, plant::LeakByTest{1.5 * psi, day, psig(40.0)}});
    EXPECT_FALSE(find(outcome::findings_before(plant), Code::leak_above_acceptance));
    plant.risers[0].leaks[0].size = plant::LeakByTest{1.6 * psi, day, psig(40.0)};
    const auto messages = outcome::findings_before(plant);
    expect_finding(messages, Code::leak_above_acceptance, Level::warning, "riser");
    EXPECT_NEAR(find(messages, Code::leak_above_acceptance)->values[0].si, 1.6 * psi, 1.0);
}

TEST(Findings, SupplyTooSmall) {
    plant::Plant plant = faultless();
    plant.risers[0].supply = plant::Regulator{{0.5e-3, 0.8}};
    expect_finding(outcome::findings_before(plant), Code::supply_too_small, Level::warning, "riser");
    plant.risers[0].supply = plant::PressureSwitch{{0.5e-3, 0.8}, 3e5, 5e5};
    EXPECT_FALSE(find(outcome::findings_before(plant), Code::supply_too_small));
}

TEST(Findings, VentNeverOpens) {
    plant::Plant plant = faultless();
    plant.risers[0].vents[0].policy = plant::OpenBetween{set_pressure + 1e4, 3e5};
    expect_finding(outcome::findings_before(plant), Code::vent_never_opens, Level::warning,
                   "riser / vent at main");
    plant.risers[0].supply = plant::PressureSwitch{{3e-3, 0.8}, 3e5, set_pressure + 1e4};
    EXPECT_FALSE(find(outcome::findings_before(plant), Code::vent_never_opens));
}

TEST(Findings, TargetLost) {
    // Filled with clean product from a receiver whose machine makes hardly any: air follows.
    plant::Plant plant = faultless();
    plant.risers[0].initial_gas = plant::InitialGas::source;
    std::get<plant::Generator>(plant.source).nitrogen_flow = 1e-5;
    const auto messages = after(plant);
    expect_finding(messages, Code::target_lost, Level::warning, "riser");
}

TEST(Findings, WorstComesFirst) {
    plant::Plant plant = faultless();
    std::get<plant::Generator>(plant.source).nitrogen_flow = 1e-5;
    plant.risers[0].pipes.push_back(vessel("blind", 0.1));
    const auto messages = after(plant);
    ASSERT_GE(messages.size(), 2u);
    for (std::size_t k = 1; k < messages.size(); ++k) EXPECT_GE(messages[k - 1].level, messages[k].level);
}

TEST(Codes, HaveNamesOfTheirOwn) {
    std::vector<std::string_view> names;
    for (int c = 0; c <= static_cast<int>(Code::target_lost); ++c) {
        names.push_back(outcome::code_name(static_cast<Code>(c)));
    }
    EXPECT_EQ(std::count(names.begin(), names.end(), "unknown"), 0);
    std::sort(names.begin(), names.end());
    EXPECT_EQ(std::adjacent_find(names.begin(), names.end()), names.end());
    EXPECT_EQ(outcome::code_name(Code::vents_above_separator), "vents-above-separator");
    EXPECT_EQ(outcome::to_string(Level::failure), "failure");
}

std::vector<std::string> dead(const plant::Riser& riser) {
    std::vector<std::string> names;
    for (const std::size_t p : outcome::dead_branches(riser)) names.push_back(riser.pipes[p].name);
    return names;
}

TEST(DeadBranches, AreTheFirstPipesOfBlindArms) {
    using ::testing::ElementsAre;
    using ::testing::IsEmpty;
    plant::Riser riser =
        full_riser({vessel("feed", 1.0), on(tube("a", 0.05, 5.0), "feed"), on(tube("a2", 0.05, 5.0), "a"),
                    on(tube("b", 0.05, 5.0), "feed"), on(tube("b2", 0.05, 5.0), "b")});
    riser.vents = {vent("a2", 1e-3)};
    EXPECT_THAT(dead(riser), ElementsAre("b"));
    riser.vents = {vent("a", 1e-3)};
    EXPECT_THAT(dead(riser), ElementsAre("a2", "b"));
    riser.vents = {vent("feed", 1e-3)};
    EXPECT_THAT(dead(riser), ElementsAre("a", "b"));
    riser.vents = {vent("a2", 1e-3), vent("b2", 1e-3)};
    EXPECT_THAT(dead(riser), IsEmpty());
}

TEST(DeadBranches, ALoopIsAWay) {
    plant::Riser riser =
        full_riser({vessel("feed", 1.0), on(tube("a", 0.05, 5.0), "feed"), on(tube("b", 0.05, 5.0), "feed")});
    riser.vents = {vent("a", 1e-3)};
    EXPECT_EQ(dead(riser).size(), 1u);
    riser.links.push_back({"a", "b"});
    EXPECT_TRUE(dead(riser).empty());
}

TEST(ReasonNotMet, GoesByTheFirstThingInTheWay) {
    const auto reason = [](const plant::Plant& plant) {
        return engine::predict(plant).risers[0].not_met_because;
    };
    EXPECT_FALSE(reason(faultless()));
    plant::Plant plant = faultless();
    plant.target = 0.99;
    EXPECT_EQ(reason(plant), Code::target_above_purity);
    plant = faultless();
    plant.duration = 1000.0;
    EXPECT_EQ(reason(plant), Code::run_too_short);
    plant.source = cylinders(0.98, 0.01);
    EXPECT_EQ(reason(plant), Code::source_empty);
    plant = faultless();
    plant.risers[0].vents.clear();
    EXPECT_EQ(reason(plant), Code::no_way_out);
    plant = faultless();
    plant.risers[0].pipes.push_back(vessel("blind", 0.1));
    EXPECT_EQ(reason(plant), Code::no_way_out);
}

TEST(LikelyTime, FollowsAnExponentialTrend) {
    plant::Plant plant = faultless();
    plant.duration = 3600.0;
    const auto out = engine::predict(plant);
    const auto likely = outcome::likely_time_to_target(out, 0);
    ASSERT_TRUE(likely);
    plant.duration = 60000.0;
    const auto met = engine::predict(plant).risers[0].time_to_target;
    ASSERT_TRUE(met);
    EXPECT_NEAR(*likely / *met, 1.0, 0.02);
}

TEST(LikelyTime, NoneWithoutATrendOrAHistory) {
    plant::Plant plant = faultless();
    plant.duration = 3600.0;
    engine::Options options;
    options.history_points = 0;
    EXPECT_FALSE(outcome::likely_time_to_target(engine::predict(plant, options), 0));
    plant.risers[0].vents.clear();
    EXPECT_FALSE(outcome::likely_time_to_target(engine::predict(plant), 0));
    plant = faultless();
    plant.duration = 3600.0;
    plant.target = 0.985;
    EXPECT_FALSE(outcome::likely_time_to_target(engine::predict(plant), 0));
}

}  // namespace
