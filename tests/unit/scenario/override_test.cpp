#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "oxfade/scenario/read.hpp"
#include "support/scenario_text.hpp"

namespace oxfade::scenario {
namespace {

Scenario set(const std::vector<Override>& overrides) {
    return sample::read(std::string(sample::scenario_text), overrides);
}

plant::Riser riser_with(const std::string& key, const std::string& value) {
    return set({{key, value}}).plant.risers.at(0);
}

TEST(Overrides, TakeTomlValuesAndBareText) {
    EXPECT_DOUBLE_EQ(set({{"target", "\"95 %\""}}).plant.target, 0.95);
    EXPECT_DOUBLE_EQ(set({{"target", "95%"}}).plant.target, 0.95);
    EXPECT_EQ(set({{"title", "another one"}}).plant.title, "another one");
    EXPECT_FALSE(set({{"mixing.buoyant", "false"}}).plant.mixing.buoyant);
    EXPECT_EQ(riser_with("riser.North.pipe.far.cells", "7").pipes.at(1).cells, 7);
}

TEST(Overrides, CallEntriesByNameOrIndex) {
    for (const char* key : {"riser.North.vent.'end vent'.diameter", "riser.North.vent.end vent.diameter",
                            "riser.North.vent.\"end vent\".diameter", "riser.0.vent.0.diameter"}) {
        EXPECT_DOUBLE_EQ(riser_with(key, "2 mm").vents.at(0).orifice.diameter, 0.002) << key;
    }
    EXPECT_DOUBLE_EQ(
        std::get<plant::LeakByTest>(riser_with("riser.North.leak.0.over", "1 h").leaks.at(0).size).over,
        3600.0);
}

TEST(Overrides, PutInWhatTheFileLeavesOut) {
    EXPECT_DOUBLE_EQ(riser_with("riser.North.fill_limit", "20 min").fill_limit, 1200.0);
    EXPECT_DOUBLE_EQ(set({{"solver.relative_tolerance", "1e-7"}}).relative_tolerance.value(), 1e-7);
    EXPECT_DOUBLE_EQ(set({{"site.reference.pressure", "1 bar"}}).plant.site.reference.pressure, 1e5);
}

TEST(Overrides, TakeWholeTables) {
    const auto riser = riser_with("riser.North.vent.end vent.open", "{ until = \"2 d\" }");
    EXPECT_DOUBLE_EQ(std::get<plant::OpenUntil>(riser.vents.at(0).policy).time, 172800.0);
}

TEST(Overrides, ApplyInOrder) {
    EXPECT_DOUBLE_EQ(set({{"target", "95 %"}, {"target", "96 %"}}).plant.target, 0.96);
}

TEST(ParseOverride, SplitsAtTheFirstEqualsSignOutsideQuotes) {
    const auto plain = parse_override("target=\"97 %\"");
    EXPECT_EQ(plain.key, "target");
    EXPECT_EQ(plain.value, "\"97 %\"");
    const auto quoted = parse_override("riser.'a=b'.title=c=d");
    EXPECT_EQ(quoted.key, "riser.'a=b'.title");
    EXPECT_EQ(quoted.value, "c=d");
}

TEST(ParseOverride, RefusesWhatIsNoAssignment) {
    for (const char* text : {"", "target", "=3", "riser.'a=b"})
        EXPECT_THROW(parse_override(text), InputError) << text;
}

}  // namespace
}  // namespace oxfade::scenario
