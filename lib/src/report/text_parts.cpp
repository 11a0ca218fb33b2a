#include "text_parts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "oxfade/flow/orifice.hpp"
#include "oxfade/gas/mixture.hpp"
#include "oxfade/outcome/grouping.hpp"

namespace oxfade::report::detail {
namespace {

std::string title_of(const outcome::Message& message) {
    std::string title = fmt::format("{}: {}", to_string(message.level), code_name(message.code));
    if (!message.where.empty()) title += fmt::format(" ({})", message.where);
    return title;
}

}  // namespace

std::vector<outcome::Message> gravest_first(std::vector<outcome::Message> messages) {
    std::stable_sort(messages.begin(), messages.end(),
                     [](const outcome::Message& a, const outcome::Message& b) {
                         return static_cast<int>(a.level) > static_cast<int>(b.level);
                     });
    return messages;
}

std::string number_field(double value) {
    return std::isfinite(value) ? fmt::format("{}", value) : std::string();
}

std::string air_lost_text(double area, double pressure, const plant::Site& site, const Units& units) {
    const double flow = flow::orifice_flow(area, pressure, site.pressure, site.temperature.mean(),
                                           gas::dry_air().molar_mass());
    return format_molar_flow(flow, units);
}

void write_findings(Page& page, const std::vector<outcome::Message>& messages, const Units& units) {
    if (messages.empty()) return;
    page.heading("Findings");
    for (const outcome::Message& message : gravest_first(messages)) {
        page.paragraph(title_of(message), 2);
        page.paragraph(format_message(message, units), 6);
    }
    page.blank();
}

std::vector<std::string> assumed_lines(const std::vector<plant::Assumed>& assumed) {
    const auto last = [](const std::string& key) { return key.substr(key.rfind('.') + 1); };
    const auto same = [&](std::size_t a, std::size_t b) {
        return last(assumed[a].key) == last(assumed[b].key) && assumed[a].value == assumed[b].value &&
               assumed[a].basis == assumed[b].basis;
    };
    std::vector<std::string> lines;
    for (const auto& group : outcome::groups_of(assumed.size(), same)) {
        const plant::Assumed& first = assumed[group.front()];
        const std::string more =
            group.size() > 1 ? fmt::format(", and {} more of them", group.size() - 1) : std::string();
        lines.push_back(fmt::format("{} = \"{}\"{} ({})", first.key, first.value, more, first.basis));
    }
    return lines;
}

void write_assumed(Page& page, const plant::Plant& plant) {
    if (plant.assumed.empty()) return;
    page.heading("Assumed, not in the file");
    for (const std::string& line : assumed_lines(plant.assumed)) page.paragraph(line, 2);
    page.blank();
}

std::vector<std::string> cautions() {
    return {
        "Nitrogen displaces the air people breathe: lead vents to a safe place, and watch the oxygen in "
        "small "
        "or closed rooms.",
        "These numbers are a prediction from the data given, not a measurement and not an approval. Local "
        "codes, the authority having jurisdiction and licensed practice govern; confirm with a gas "
        "analyser."};
}

void write_cautions(Page& page) {
    page.heading("Keep in mind");
    for (const std::string& caution : cautions()) page.paragraph(caution, 2);
}

}  // namespace oxfade::report::detail
