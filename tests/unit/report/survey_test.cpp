#include "oxfade/report/survey.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "sample_outcome.hpp"

namespace oxfade::report {
namespace {

using testing::HasSubstr;

plant::Plant plant_with_vents() {
    plant::Plant plant = test::sample_plant();
    plant.risers[0].vents.push_back({"end", "far", {0.0005, 0.8}, plant::OpenTimed{21600.0, 1200.0}, false});
    plant.risers[1].vents.push_back({"end", "far", {0.0005, 0.8}, plant::OpenBetween{3.0e5, 2.0e5}, false});
    return plant;
}

Survey survey_of(const plant::Plant& plant) {
    Survey survey;
    for (const plant::Riser& riser : plant.risers) {
        outcome::RiserDuty duty;
        duty.name = riser.name;
        duty.volume = riser.volume();
        duty.vents_open = 0.010;
        duty.vents_average = 0.002;
        duty.leaks = 0.001;
        duty.fill_estimate = 600.0;
        duty.test_loss = test::psi;
        survey.duty.risers.push_back(duty);
    }
    survey.duty.demand = 0.006;
    survey.duty.separator = 0.012;
    survey.findings.push_back({outcome::Code::no_way_out, outcome::Level::warning, "South", "shut in", {}});
    return survey;
}

std::string text() {
    const plant::Plant plant = plant_with_vents();
    return survey_text(plant, survey_of(plant), units_of(plant, System::us));
}

TEST(ReportSurvey, ShowsVolumesAndSetup) {
    EXPECT_THAT(text(), HasSubstr("575 gal of piping"));
    EXPECT_THAT(text(), HasSubstr("46.7 gal, 295 ft of 1.97 in bore, 3 cells"));
    EXPECT_THAT(text(), HasSubstr("30 psig, kept by a regulator"));
    EXPECT_THAT(text(), HasSubstr("opens every 6 h for 20 min"));
}

TEST(ReportSurvey, ShowsDuty) {
    EXPECT_THAT(text(), HasSubstr("about 10 min"));
    EXPECT_THAT(text(), HasSubstr("9.17 ft3/h on average, 33.6 ft3/h with every vent open"));
    EXPECT_THAT(text(), HasSubstr("vents that cycle"));
    EXPECT_THAT(text(), HasSubstr("would lose 1 psi from 40 psig in 24 h; 1.5 psi is allowed"));
    EXPECT_THAT(text(), HasSubstr("50 % of it is needed"));
    EXPECT_THAT(text(), HasSubstr("warning: no-way-out (South)"));
}

TEST(ReportSurvey, GivesJson) {
    const plant::Plant plant = plant_with_vents();
    const auto json =
        nlohmann::json::parse(survey_json(plant, survey_of(plant), units_of(plant, System::si)));
    EXPECT_EQ(json.at("format"), 1);
    EXPECT_DOUBLE_EQ(json.at("risers").at(0).at("pipes").at(0).at("volume_m3"), 2.0);
    EXPECT_TRUE(json.at("risers").at(0).at("pipes").at(0).at("bore_m").is_null());
    EXPECT_DOUBLE_EQ(json.at("risers").at(1).at("fill_estimate_s"), 600.0);
    EXPECT_EQ(json.at("messages").at(0).at("code"), "no-way-out");
}

}  // namespace
}  // namespace oxfade::report
