#include "study_checkup.hpp"

#include <fmt/format.h>

#include <cmath>
#include <string>
#include <vector>

namespace oxfade::report::detail {
namespace {

using outcome::Dimension;

constexpr double hopeless = 365.0 * 86400.0;  ///< a time [s] that nobody waits

std::string long_time(double seconds) {
    if (std::isinf(seconds)) return "for ever: the source is no purer than the target";
    return seconds > hopeless ? "more than a year" : "about " + format_time(seconds);
}

std::string mixing_text(const study::DeadEnd& end) {
    if (!end.by_diffusion) {
        return end.length
                   ? "No mixing across its mouth is computed: give the pipe it hangs on a bore and a length."
                   : "Given by volume alone, so no mixing is computed there.";
    }
    std::string text = fmt::format("Diffusion alone brings its far end from air to the target in {}",
                                   long_time(*end.by_diffusion));
    if (end.by_mixing)
        text += fmt::format("; with the heavier gas running out, {}", long_time(*end.by_mixing));
    return text + ", once clean gas stands at its mouth.";
}

}  // namespace

void write_size_step(Page& page, double volume, study::SizeStep step, const Units& units) {
    const auto limit = [&](double value) { return format_value(value, Dimension::volume, units); };
    std::string text;
    switch (step) {
        case study::SizeStep::plain:
            text = fmt::format("up to {}: no quick-opening device asked for", limit(study::plain_volume));
            break;
        case study::SizeStep::with_quick:
            text = fmt::format("over {}, up to {}: a dry-pipe system needs a quick-opening device",
                               limit(study::plain_volume), limit(study::with_quick_volume));
            break;
        case study::SizeStep::by_delivery:
            text = fmt::format("over {}: a dry-pipe system needs its water delivery time shown",
                               limit(study::with_quick_volume));
            break;
    }
    page.labelled("Size", fmt::format("{}, {} (steps of NFPA 13)", limit(volume), text));
}

void write_dead_ends(Page& page, const study::Checkup& checkup, const Units& units) {
    if (checkup.dead_ends.empty()) return;
    page.heading("Dead ends");
    for (const study::DeadEnd& end : checkup.dead_ends) {
        std::string text = fmt::format("'{}' of '{}'{}: {}", end.pipe, end.riser,
                                       end.pipes > 1 ? fmt::format(" and {} behind it", end.pipes - 1) : "",
                                       format_value(end.volume, Dimension::volume, units));
        if (end.length) text += fmt::format(", {} deep", format_value(*end.length, Dimension::length, units));
        page.paragraph(text + ".", 2);
        page.paragraph(mixing_text(end), 6);
        if (end.leak_renewal)
            page.paragraph(
                fmt::format("Its own leaks renew its gas once in {}.", long_time(*end.leak_renewal)), 6);
    }
    page.blank();
}

Json size_step_json(study::SizeStep step) {
    switch (step) {
        case study::SizeStep::plain:
            return "plain";
        case study::SizeStep::with_quick:
            return "quick-opening";
        case study::SizeStep::by_delivery:
            return "delivery-time";
    }
    return nullptr;
}

Json dead_ends_json(const study::Checkup& checkup) {
    Json list = Json::array();
    for (const study::DeadEnd& end : checkup.dead_ends) {
        list.push_back({{"riser", end.riser},
                        {"pipe", end.pipe},
                        {"pipes", end.pipes},
                        {"volume_m3", number(end.volume)},
                        {"length_m", number(end.length)},
                        {"by_diffusion_s", number(end.by_diffusion)},
                        {"by_mixing_s", number(end.by_mixing)},
                        {"leak_renewal_s", number(end.leak_renewal)}});
    }
    return list;
}

}  // namespace oxfade::report::detail
