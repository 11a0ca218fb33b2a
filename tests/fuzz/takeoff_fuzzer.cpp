// Any text at all is a takeoff whose piping is sound and can be drafted, or a list of problems.
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

#include "expect.hpp"
#include "oxfade/scenario/draft.hpp"
#include "oxfade/scenario/takeoff.hpp"

namespace {

using namespace oxfade;

void expect_sound(const scenario::TakeoffSystem& system) {
    double volume = 0.0;
    for (const scenario::TakeoffSize& size : system.sizes) volume += size.volume;
    fuzz::expect(std::isfinite(volume) && volume > 0.0, "a volume");
    fuzz::expect(std::abs(volume - system.piping.volume()) <= 1e-9 * volume, "volumes that do not add up");
    fuzz::expect(system.rows > 0 && system.branch_lines >= 0, "a count");
    fuzz::expect(std::isfinite(system.highest.height) && std::isfinite(system.lowest.height) &&
                     system.highest.height >= system.lowest.height,
                 "a height");
    fuzz::expect(!system.toml.empty(), "piping without text");
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string_view text(reinterpret_cast<const char*>(data), size);
    try {
        const scenario::Takeoff takeoff = scenario::read_takeoff_text(text, "fuzz.csv", {0.05, "0.03 in"});
        fuzz::expect(!takeoff.systems.empty(), "a takeoff without a system");
        for (const auto& system : takeoff.systems) expect_sound(system);
        fuzz::expect(!scenario::takeoff_summary(takeoff, takeoff.units).empty(), "an empty summary");
        (void)scenario::draft_text({}, takeoff.units, takeoff);
    } catch (const InputError& error) {
        fuzz::expect_readable(error);
    } catch (const FileError&) {  // too large
    }
    return 0;
}
