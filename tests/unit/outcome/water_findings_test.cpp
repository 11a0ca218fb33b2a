#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "oxfade/outcome/findings.hpp"
#include "oxfade/report/text.hpp"
#include "support/wet_plants.hpp"

namespace oxfade::outcome {
namespace {

using namespace sample;
using testing::HasSubstr;

plant::Plant wet_plant() {
    plant::Riser riser = full_riser({tube("main", 0.05, 80.0), tube("far", 0.05, 60.0)});
    riser.low_points = {dip("far", 0.02, 0.01, 0.02)};
    riser.vents = {vent("far", 0.5e-3)};
    return plant_of(riser, cylinders(0.99), day);
}

const Message* message_of(const std::vector<Message>& messages, Code code) {
    for (const Message& message : messages) {
        if (message.code == code) return &message;
    }
    return nullptr;
}

/// What a run of that plant might have come to.
Outcome blocked() {
    Outcome run;
    run.duration = day;
    run.target = 0.97;
    run.nitrogen_purity = 0.99;
    RiserOutcome riser;
    riser.name = "riser";
    riser.fill_time = 1.0;
    riser.fill_met = true;
    riser.limiting_pipe = "far";
    riser.pipes = {{"main", {0.01}, {100.0}}, {"far", {0.2}, {std::nullopt}}};
    LowPointOutcome water;
    water.name = "dip on far";
    water.closed_at_end = true;
    water.closed_time = 0.9 * day;
    riser.low_points = {water};
    run.risers = {riser};
    return run;
}

TEST(WaterFindings, SayBeforeTheRunWhatTheWaterDoes) {
    const auto closed = findings_before(wet_plant());
    const Message* lies = message_of(closed, Code::water_lies);
    ASSERT_NE(lies, nullptr);
    EXPECT_EQ(lies->where, "riser / dip on far");
    EXPECT_THAT(report::message_line(*lies, {}), HasSubstr("close the bore"));
    plant::Plant little = wet_plant();
    little.risers[0].low_points[0].water = 1e-3;
    const auto open = findings_before(little);
    EXPECT_THAT(report::message_line(*message_of(open, Code::water_lies), {}), HasSubstr("of the bore free"));
    EXPECT_EQ(message_of(open, Code::ice_plug), nullptr);
}

TEST(WaterFindings, WarnOfIce) {
    plant::Plant cold = wet_plant();
    cold.site.temperature = 263.15;
    const auto found = findings_before(cold);
    const Message* ice = message_of(found, Code::ice_plug);
    ASSERT_NE(ice, nullptr);
    EXPECT_EQ(ice->level, Level::warning);
    EXPECT_THAT(report::message_line(*ice, {}), HasSubstr("14 degF"));
}

TEST(WaterFindings, NameTheLowPointThatBlocks) {
    Outcome run = blocked();
    EXPECT_EQ(reason_not_met(wet_plant(), run, 0), Code::water_blocks);
    run.risers[0].time_without_water = 3600.0 * 10.0;
    const auto found = findings_after(wet_plant(), run);
    const Message* blocks = message_of(found, Code::water_blocks);
    ASSERT_NE(blocks, nullptr);
    EXPECT_EQ(blocks->where, "riser / dip on far");
    EXPECT_EQ(blocks->level, Level::failure);
    EXPECT_THAT(report::message_line(*blocks, {}), HasSubstr("the system would meet the target after 10 h"));
    EXPECT_EQ(message_of(found, Code::run_too_short), nullptr);
}

TEST(WaterFindings, SayWhenTheWaterIsNotAll) {
    Outcome run = blocked();
    run.risers[0].worst_without_water = 0.05;
    const auto found = findings_after(wet_plant(), run);
    EXPECT_THAT(report::message_line(*message_of(found, Code::water_blocks), {}),
                HasSubstr("95 % nitrogen only"));
}

TEST(WaterFindings, NameTheVentThatWaterShut) {
    Outcome run = blocked();
    run.risers[0].low_points[0].stopped_vent = "vent at far";
    run.risers[0].low_points[0].stopped_at_end = true;
    EXPECT_EQ(reason_not_met(wet_plant(), run, 0), Code::liquid_stop_shut);
    const auto found = findings_after(wet_plant(), run);
    const Message* stopped = message_of(found, Code::liquid_stop_shut);
    ASSERT_NE(stopped, nullptr);
    EXPECT_THAT(report::message_line(*stopped, {}), HasSubstr("'dip on far'"));
    EXPECT_EQ(message_of(found, Code::water_blocks), nullptr);
}

TEST(WaterFindings, TellOfCondensation) {
    Outcome run = blocked();
    run.risers[0].condensed = 2e-3;
    const auto found = findings_after(wet_plant(), run);
    EXPECT_THAT(report::message_line(*message_of(found, Code::condensation), {}), HasSubstr("condensed"));
}

}  // namespace
}  // namespace oxfade::outcome
