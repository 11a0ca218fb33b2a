// The example of README.md between the marks; tests/cli/test_readme.py sees to it that both are the same.
// [README
#include <algorithm>
#include <filesystem>
#include <optional>

#include "oxfade/engine/predict.hpp"
#include "oxfade/scenario/read.hpp"

/// Days until the whole plant is on target with other vents [m]; none when it never is.
std::optional<double> days_with_vents_of(const std::filesystem::path& file, double diameter) {
    oxfade::plant::Plant plant = oxfade::scenario::read_file(file).plant;
    for (auto& riser : plant.risers) {
        for (auto& vent : riser.vents) vent.orifice.diameter = diameter;
    }
    const oxfade::outcome::Outcome outcome = oxfade::engine::predict(plant);
    double last = 0.0;
    for (const auto& riser : outcome.risers) {
        if (!riser.time_to_target) return std::nullopt;
        last = std::max(last, *riser.time_to_target);
    }
    return last / 86400.0;
}
// README]

#include <gtest/gtest.h>

#include "support/source_folder.hpp"

namespace {

const std::filesystem::path example =
    oxfade::sample::source_folder() / "apps" / "scenarios" / "cold_store.toml";

TEST(ReadmeExample, FindsThatLargerVentsAreFaster) {
    const auto small = days_with_vents_of(example, 0.0004);
    const auto large = days_with_vents_of(example, 0.0006);
    ASSERT_TRUE(small && large);
    EXPECT_LT(*large, *small);
}

}  // namespace
