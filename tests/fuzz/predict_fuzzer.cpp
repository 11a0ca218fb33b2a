// Whatever plant the reader lets through, the engine computes it to finite numbers that balance, or says why
// it cannot. Long and large plants are left out: they are for tests of limits.
#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <nlohmann/json.hpp>
#include <optional>
#include <string_view>

#include "expect.hpp"
#include "oxfade/engine/predict.hpp"
#include "oxfade/report/csv.hpp"
#include "oxfade/report/json.hpp"
#include "oxfade/report/text.hpp"
#include "oxfade/scenario/read.hpp"

namespace {

using namespace oxfade;

constexpr double longest = 3.0 * 86400.0;
constexpr int most_cells = 24;

std::optional<plant::Plant> small_plant(std::string_view text) {
    try {
        plant::Plant plant = scenario::read_text(text, "fuzz.toml").plant;
        plant.duration = std::min(plant.duration, longest);
        int cells = 0;
        for (const auto& riser : plant.risers) {
            for (const auto& pipe : riser.pipes) cells += std::min(pipe.cells.value_or(1), most_cells + 1);
        }
        if (cells <= most_cells) return plant;
    } catch (const InputError&) {
    } catch (const FileError&) {
    }
    return std::nullopt;
}

void expect_sound(const outcome::Outcome& out) {
    fuzz::expect(out.balance.worst_relative < 1e-6, "the balance does not close");
    for (const auto& riser : out.risers) {
        fuzz::expect(std::isfinite(riser.final_pressure) && riser.final_pressure >= 0.0, "a final pressure");
        for (const auto& pipe : riser.pipes) {
            for (const double oxygen : pipe.oxygen)
                fuzz::expect(oxygen > -1e-9 && oxygen < 1.0 + 1e-9, "a fraction outside 0 to 1");
        }
    }
    for (const double value : out.history.oxygen.data) fuzz::expect(std::isfinite(value), "a history");
    for (const double value : out.history.pressure.data) fuzz::expect(std::isfinite(value), "a history");
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const auto plant = small_plant({reinterpret_cast<const char*>(data), size});
    if (!plant) return -1;  // not for the corpus
    engine::Options options;
    options.history_points = 9;
    options.max_steps = 4000;
    try {
        const outcome::Outcome out = engine::predict(*plant, options);
        expect_sound(out);
        const report::Units units = report::units_of(*plant, report::System::us);
        (void)nlohmann::json::parse(report::to_json(out, units));  // throws unless it is JSON
        (void)report::to_text(*plant, out, units);
        (void)report::to_csv(out);
    } catch (const ComputationError& error) {
        fuzz::expect_told(error);
    }
    return 0;
}
