// Any text at all is a table of readings or a filled-in sheet that fits the plant, or a list of problems.
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <string_view>
#include <vector>

#include "expect.hpp"
#include "oxfade/scenario/read.hpp"
#include "oxfade/study/commission.hpp"
#include "oxfade/study/readings.hpp"

namespace {

using namespace oxfade;

const plant::Plant& sample() {
    static const plant::Plant plant = scenario::read_file(OXFADE_FUZZ_SCENARIO).plant;
    return plant;
}

void read_readings(std::string_view text) {
    const auto readings = study::parse_readings(text, "fuzz.csv", sample());
    fuzz::expect(!readings.empty(), "no readings and no problem");
    fuzz::expect(study::find_problems(readings, sample()).empty(), "readings with problems left");
    for (const study::Reading& reading : readings) {
        fuzz::expect(std::isfinite(reading.time) && std::isfinite(reading.oxygen.value_or(0.0)) &&
                         std::isfinite(reading.pressure.value_or(0.0)) &&
                         std::isfinite(reading.oxygen_uncertainty) &&
                         std::isfinite(reading.pressure_uncertainty),
                     "a reading that is not finite");
    }
}

void read_sheet(std::string_view text) {
    static const std::vector<study::Step> blank = study::commissioning_sheet(sample());
    std::vector<study::Step> sheet = blank;
    study::enter_measured(sheet, text, "fuzz.csv", sample());
    for (const study::Step& step : sheet)
        fuzz::expect(std::isfinite(step.measured.value_or(0.0)), "a measured value that is not finite");
}

template <class Read>
void attempt(const Read& read, std::string_view text) {
    try {
        read(text);
    } catch (const InputError& error) {
        fuzz::expect_readable(error);
    }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string_view text(reinterpret_cast<const char*>(data), size);
    attempt(read_readings, text);
    attempt(read_sheet, text);
    return 0;
}
