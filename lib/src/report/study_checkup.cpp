#include "study_checkup.hpp"

#include <fmt/format.h>

#include <cmath>
#include <map>
#include <string>
#include <vector>

#include "oxfade/outcome/grouping.hpp"

namespace oxfade::report::detail {
namespace {

using outcome::Dimension;

constexpr double hopeless = 365.0 * 86400.0;  ///< a time [s] that nobody waits

std::string long_time(double seconds) {
    return seconds > hopeless ? "more than a year" : "about " + format_time(seconds);
}

std::string mixing_text(const study::DeadEnd& end) {
    if (!end.by_diffusion) {
        return end.length
                   ? "No mixing across its mouth is computed: give the pipe it hangs on a bore and a length."
                   : "Given by volume alone, so no mixing is computed there.";
    }
    std::string text = fmt::format(
        "With nitrogen at its mouth the far end goes from air to the target in {} by diffusion alone",
        long_time(*end.by_diffusion));
    if (end.by_mixing)
        text += fmt::format(", in {} with heavier air flowing out below lighter nitrogen",
                            long_time(*end.by_mixing));
    return text + ".";
}

bool alike(const std::optional<double>& a, const std::optional<double>& b) {
    return a.has_value() == b.has_value() && (!a || outcome::prints_alike(*a, *b));
}

/// Dead ends that would be told of in the same words, whatever their names.
std::vector<std::vector<std::size_t>> groups_of(const std::vector<study::DeadEnd>& ends) {
    return outcome::groups_of(ends.size(), [&](std::size_t i, std::size_t k) {
        const study::DeadEnd &a = ends[i], &b = ends[k];
        return a.pipes == b.pipes && outcome::prints_alike(a.volume, b.volume) && alike(a.length, b.length) &&
               alike(a.by_diffusion, b.by_diffusion) && alike(a.by_mixing, b.by_mixing) &&
               alike(a.leak_renewal, b.leak_renewal);
    });
}

/// "branch lines 1 to 22 of North".
std::string place_of(const std::vector<study::DeadEnd>& ends, const std::vector<std::size_t>& group) {
    std::vector<std::string> risers;
    std::map<std::string, std::vector<std::string>> pipes;
    for (const std::size_t k : group) {
        if (pipes.count(ends[k].riser) == 0) risers.push_back(ends[k].riser);
        pipes[ends[k].riser].push_back(ends[k].pipe);
    }
    std::string text;
    const auto same = [&](std::size_t a, std::size_t b) { return pipes[risers[a]] == pipes[risers[b]]; };
    for (const auto& equal : outcome::groups_of(risers.size(), same)) {
        std::vector<std::string> names;
        names.reserve(equal.size());
        for (const std::size_t r : equal) names.push_back(risers[r]);
        text += fmt::format("{}{} of {}", text.empty() ? "" : "; ", outcome::name_list(pipes[names.front()]),
                            outcome::name_list(names));
    }
    return text;
}

}  // namespace

void write_size_step(Page& page, double volume, study::SizeStep step, const Units& units) {
    const auto limit = [&](double value) { return format_value(value, Dimension::volume, units); };
    std::string text;
    switch (step) {
        case study::SizeStep::plain:
            text = fmt::format("up to {}: no quick-opening device required", limit(study::plain_volume));
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
    for (const auto& group : groups_of(checkup.dead_ends)) {
        const study::DeadEnd& end = checkup.dead_ends[group.front()];
        const bool one = group.size() == 1 && end.copies == 1;
        std::string text =
            fmt::format("{}: {}{}", place_of(checkup.dead_ends, group),
                        format_value(end.volume, Dimension::volume, units), one ? "" : " each");
        if (end.length) text += fmt::format(", {} long", format_value(*end.length, Dimension::length, units));
        if (end.pipes > 1) text += fmt::format(", {} pipes", end.pipes);
        page.paragraph(text + ".", 2);
        page.paragraph(mixing_text(end), 6);
        if (end.leak_renewal)
            page.paragraph(
                fmt::format("Its own leaks replace its gas once in {}.", long_time(*end.leak_renewal)), 6);
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
                        {"copies", end.copies},
                        {"volume_m3", number(end.volume)},
                        {"length_m", number(end.length)},
                        {"by_diffusion_s", number(end.by_diffusion)},
                        {"by_mixing_s", number(end.by_mixing)},
                        {"leak_renewal_s", number(end.leak_renewal)}});
    }
    return list;
}

}  // namespace oxfade::report::detail
