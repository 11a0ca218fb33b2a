#include "oxfade/report/html.hpp"

#include <algorithm>
#include <cmath>

#include "report/html/pack.hpp"
#include "report/html/page_words.hpp"
#include "report/html/thinning.hpp"
#include "report/html/validation_summary.hpp"
#include "report/stretches_text.hpp"
#include "sample_outcome.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::report::detail;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::Not;

TEST(Packed, IsLittleEndianFloatsInBase64) {
    EXPECT_EQ(packed(std::vector<double>{}), "");
    EXPECT_EQ(packed(std::vector<double>{1.0}), "AACAPw==");                // 00 00 80 3f
    EXPECT_EQ(packed(std::vector<double>{1.0, -2.5}), "AACAPwAAIMA=");      // 00 00 20 c0
    EXPECT_EQ(packed(std::vector<double>{0, 0.5, 2}), "AAAAAAAAAD8AAABA");  // a multiple of three bytes
}

TEST(Packed, TakesRowsInTheirOrder) {
    const outcome::Series series{2, {1.0, 1.0, 0.0, 0.5, 2.0, -2.5}};
    EXPECT_EQ(packed(series, {0}), packed(std::vector<double>{1.0, 1.0}));
    EXPECT_EQ(packed(series, {2, 1}), packed(std::vector<double>{2.0, -2.5, 0.0, 0.5}));
}

TEST(HtmlText, LeavesNothingThatCouldBeMarkup) {
    EXPECT_EQ(html_text("<b a=\"1\" c='2'>&</b>\x01\n"),
              "&lt;b a=&quot;1&quot; c=&#39;2&#39;&gt;&amp;&lt;/b&gt; \n");
}

TEST(ScriptSafe, LeavesNoTagAndTheSameJson) {
    const Json json = "</script><!-- & ]]>";
    const std::string safe = script_safe(json.dump());
    EXPECT_EQ(safe.find_first_of("<>&"), std::string::npos);
    EXPECT_EQ(Json::parse(safe), json);
}

TEST(ShapeRows, KeepsCornersFirst) {
    const std::vector<double> times{0, 1, 2, 3, 4, 5, 6};
    const std::vector<double> curve{0, 0, 10, 10, 10, 9, 8};
    const auto value = [&](std::size_t row, std::size_t) { return curve[row]; };
    EXPECT_THAT(shape_rows(times, 1, value, 2), ElementsAre(0, 6));
    EXPECT_THAT(shape_rows(times, 1, value, 5), ElementsAre(0, 1, 2, 4, 6));
    EXPECT_THAT(shape_rows(times, 1, value, 100), ElementsAre(0, 1, 2, 4, 6))
        << "straight lines need no more";
    EXPECT_THAT(shape_rows({3.0}, 1, value, 100), ElementsAre(0));
    EXPECT_TRUE(shape_rows({}, 1, value, 100).empty());
}

TEST(TellingRows, KeepTheCurvesWithinTwoPercent) {
    const outcome::Outcome outcome = test::sample_outcome();
    const outcome::History history = test::sample_history(outcome);
    const auto rows = telling_rows(history, 240);
    EXPECT_LE(rows.size(), 240u);
    EXPECT_EQ(rows.front(), 0u);
    EXPECT_EQ(rows.back(), history.times.size() - 1);
    std::size_t next = 1;
    for (std::size_t row = 0; row < history.times.size(); ++row) {
        while (rows[next] < row) ++next;
        const double begin = history.times[rows[next - 1]], end = history.times[rows[next]];
        const double share = (history.times[row] - begin) / (end - begin);
        const double joined =
            (1.0 - share) * history.oxygen.at(rows[next - 1], 0) + share * history.oxygen.at(rows[next], 0);
        EXPECT_NEAR(joined / history.oxygen.at(row, 0), 1.0, 0.02) << row;
    }
}

TEST(TellingRows, KeepTheMomentsAtWhichWaterOpensOrClosesAWay) {
    const outcome::Outcome outcome = test::sample_outcome();
    outcome::History history = test::sample_history(outcome);
    history.water.columns = 1;
    history.water.data.assign(history.times.size(), 1e-3);
    history.passages.assign(history.times.size(), outcome::Passage::none);
    history.vents.assign(history.times.size(), outcome::VentState::open);
    for (std::size_t row = 501; row < history.times.size(); ++row)
        history.passages[row] = outcome::Passage::free;
    for (std::size_t row = 300; row < 333; ++row) history.vents[row] = outcome::VentState::stopped;
    const auto rows = telling_rows(history, 60);
    for (const std::size_t row : {299u, 300u, 332u, 333u, 500u, 501u})
        EXPECT_TRUE(std::binary_search(rows.begin(), rows.end(), row)) << row;
    EXPECT_LE(rows.size(), 60u + 6u);
}

TEST(ValidationJson, TakesSentencesAndSources) {
    const Json json = validation_json(
        "# Validation\n\n8 of 9 numbers from 2 sources are met (every row in [table.md](table.md)).\n"
        "Of these, 7 were read.\n\n*How known*: seen.\n\n| source | rows |\n|---|---:|\n"
        "| [one_2001](#one_2001) | 5 | 5 seen | -1.19 % | 0.91 | met |\n"
        "| [two_2002](#two_2002) | 4 | 4 memory | +0.04 % | 1.38 | **not met** |\n");
    EXPECT_EQ(json["summary"], "8 of 9 numbers from 2 sources are met. Of these, 7 were read.");
    ASSERT_EQ(json["rows"].size(), 2u);
    EXPECT_EQ(json["rows"][0], Json::array({"one_2001", "5", "5 seen", "-1.19 %", "0.91", "met"}));
    EXPECT_EQ(json["rows"][1][5], "not met");
    EXPECT_EQ(validation_json("")["summary"], "");
}

TEST(Verdict, NamesDaysOrWhatIsMissing) {
    outcome::Outcome outcome = test::sample_outcome();
    EXPECT_EQ(verdict(outcome),
              "Both systems are at 97.5 % nitrogen in every part of the piping from day 1.51 on.");
    outcome.risers[1].time_to_target.reset();
    EXPECT_EQ(verdict(outcome), "1 of 2 systems get to 97.5 % nitrogen.");
    outcome.risers[0].time_to_target.reset();
    EXPECT_EQ(verdict(outcome), "Neither system gets to 97.5 % nitrogen.");
}

TEST(ActionText, SaysWhatIsDone) {
    using plant::Deed;
    const plant::Plant plant = test::sample_plant();
    plant::Action action;
    const auto words = [&](Deed deed, const char* riser, const char* what) {
        action.deed = deed;
        action.riser = riser;
        action.what = what;
        return action_text(plant, action, report::Units{});
    };
    EXPECT_EQ(words(Deed::drain, "North", "dip"), "'dip' of North drained");
    EXPECT_EQ(words(Deed::drain, "North", ""), "every low point of North drained");
    EXPECT_EQ(words(Deed::trip, "North", ""), "North trips");
    action.duration = 7200.0;
    EXPECT_EQ(words(Deed::trip, "North", ""), "North trips, open for 2 h");
    EXPECT_EQ(words(Deed::outage, "", ""), "the source stops");
    EXPECT_EQ(words(Deed::restore, "", ""), "the source works again");
    EXPECT_EQ(words(Deed::shut, "North", "end vent"), "'end vent' of North shut");
    EXPECT_EQ(words(Deed::open, "North", "supply"), "the supply of North opened");
    action.key = "riser.North.set_pressure";
    action.value = 101325.0 + 25.0 * test::psi;
    EXPECT_EQ(words(Deed::set, "", ""), "riser.North.set_pressure set to 25 psig");
}

TEST(PageRows, AreFewerForLargerPlants) {
    plant::Plant plant = test::sample_plant();
    EXPECT_EQ(report::page_rows(plant), 10081u);
    plant.risers[0].pipes[1].cells = 1000;
    EXPECT_LT(report::page_rows(plant), 4000u);
    plant.risers[0].pipes[1].cells = 100000;
    EXPECT_EQ(report::page_rows(plant), 721u);
}

}  // namespace
