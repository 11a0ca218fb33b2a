// Any text at all is a scenario that can be computed, or a list of problems a person can read.
#include <cstddef>
#include <cstdint>
#include <string_view>

#include "expect.hpp"
#include "oxfade/scenario/read.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    using namespace oxfade;
    const std::string_view text(reinterpret_cast<const char*>(data), size);
    try {
        const scenario::Scenario scenario = scenario::read_text(text, "fuzz.toml");
        fuzz::expect(plant::find_problems(scenario.plant).empty(), "a plant that was read has problems left");
    } catch (const InputError& error) {
        fuzz::expect_readable(error);
    } catch (const FileError&) {  // too large
    }
    return 0;
}
