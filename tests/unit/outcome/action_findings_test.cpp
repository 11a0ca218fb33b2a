#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>

#include "oxfade/engine/predict.hpp"
#include "oxfade/outcome/findings.hpp"
#include "oxfade/report/text.hpp"
#include "support/wet_plants.hpp"

namespace oxfade::outcome {
namespace {

using namespace sample;
using plant::Action;
using plant::Deed;
using testing::HasSubstr;

Action done(double at, Deed deed, std::string riser = {}, std::string what = {}) {
    return {at, deed, std::move(riser), std::move(what), {}, 0.0, 0.0};
}

/// A vessel on a generator, at target within a day.
plant::Plant purged(double duration) {
    plant::Plant plant = purged_vessel(0.99, duration, 2e-3);
    plant.risers[0].initial_pressure = plant.site.pressure;
    plant.target = 0.98;
    return plant;
}

std::string line_of(const std::vector<Message>& messages, Code code) {
    const auto found = std::find_if(messages.begin(), messages.end(),
                                    [&](const Message& message) { return message.code == code; });
    return found == messages.end() ? std::string() : report::message_line(*found, {});
}

TEST(ActionFindings, TellWhatCameOfATrip) {
    plant::Plant plant = purged(4.0 * day);
    plant.actions = {done(2.0 * day, Deed::trip, "riser")};
    plant.actions[0].duration = 3.0 * hour;
    const auto run = engine::predict(plant);
    const std::string line = line_of(run.messages, Code::tripped);
    EXPECT_THAT(line, HasSubstr("note: riser: It tripped on day 2"));
    EXPECT_THAT(line, HasSubstr("It was full again after 3"));
    EXPECT_THAT(line, HasSubstr("It met the target again after"));
    EXPECT_TRUE(run.all_met());
    ASSERT_EQ(run.risers[0].refills.size(), 1U);
    EXPECT_DOUBLE_EQ(run.risers[0].refills[0].begin, 2.0 * day + 3.0 * hour);
}

TEST(ActionFindings, SayThatTooLittleTimeWasLeftAfterATrip) {
    plant::Plant plant = purged(2.0 * day);
    plant.actions = {done(1.99 * day, Deed::trip, "riser")};
    const auto run = engine::predict(plant);
    EXPECT_EQ(run.risers[0].not_met_because, Code::tripped);
    EXPECT_THAT(line_of(run.messages, Code::tripped), HasSubstr("warning: riser: It tripped on day 1.99"));
    EXPECT_THAT(line_of(run.messages, Code::tripped),
                HasSubstr("It did not meet the target again by the end."));
}

TEST(ActionFindings, SayThatALaterFillTookTooLong) {
    plant::Plant plant = purged(4.0 * day);
    const double fill = *engine::predict(plant).risers[0].fill_time;
    plant.risers[0].fill_limit = 1.5 * fill;
    plant.actions = {
        {1.0 * day, Deed::set, "", "", "riser.riser.fill.diameter", 0.5 * plant.risers[0].fill.diameter},
        done(2.0 * day, Deed::trip, "riser")};
    const auto run = engine::predict(plant);
    EXPECT_DOUBLE_EQ(*run.risers[0].fill_time, fill);
    EXPECT_FALSE(run.risers[0].fill_met);
    EXPECT_FALSE(run.all_met());
    EXPECT_THAT(line_of(run.messages, Code::tripped), HasSubstr("over its limit of"));
    EXPECT_EQ(line_of(run.messages, Code::fill_limit_exceeded), "");
}

TEST(ActionFindings, NameAnOutageAndHowLowThePressureGot) {
    plant::Plant plant = purged(2.0 * day);
    plant.actions = {done(1.0 * day, Deed::outage)};
    const auto run = engine::predict(plant);
    const std::string line = line_of(run.messages, Code::source_stopped);
    EXPECT_THAT(line, HasSubstr("stopped on day 1, and does not work at the end"));
    EXPECT_THAT(line, HasSubstr("the pressure of riser was as low as"));
    plant.target = 0.9895;
    EXPECT_EQ(reason_not_met(plant, engine::predict(plant), 0),
              engine::predict(plant).risers[0].not_met_because);
    plant.actions.push_back(done(1.5 * day, Deed::restore));
    EXPECT_THAT(line_of(engine::predict(plant).messages, Code::source_stopped),
                HasSubstr("from day 1 to day 1.5"));
}

TEST(ActionFindings, NameValvesThatStayShut) {
    plant::Plant plant = purged(2.0 * day);
    plant.actions = {done(0.01 * day, Deed::shut, "riser", "vent at main")};
    EXPECT_THAT(line_of(findings_before(plant), Code::valve_shut),
                HasSubstr("riser / vent at main: The vent is shut on day 0.01 and not opened again."));
    EXPECT_EQ(engine::predict(plant).risers[0].not_met_because, Code::valve_shut);
    plant.actions.push_back(done(0.02 * day, Deed::open, "riser", "vent at main"));
    EXPECT_EQ(line_of(findings_before(plant), Code::valve_shut), "");
    plant.actions.push_back(done(1.0 * day, Deed::shut, "riser", "supply"));
    EXPECT_THAT(line_of(findings_before(plant), Code::valve_shut), HasSubstr("nothing keeps the pressure"));
}

TEST(ActionFindings, WarnOfWaterThatATripLeaves) {
    plant::Plant plant = purged(2.0 * day);
    plant.risers[0] = sealed_riser(0.3);
    plant.actions = {done(0.5 * day, Deed::drain, "riser", "dip on far"),
                     done(1.0 * day, Deed::trip, "riser")};
    EXPECT_THAT(line_of(findings_before(plant), Code::tripped),
                HasSubstr("riser / dip on far: The trip on day 1 leaves"));
    plant.actions.push_back(done(1.0 * day, Deed::drain, "riser"));
    EXPECT_EQ(line_of(findings_before(plant), Code::tripped), "");
}

}  // namespace
}  // namespace oxfade::outcome
