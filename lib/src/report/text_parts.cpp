#include "text_parts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "oxfade/flow/orifice.hpp"
#include "oxfade/gas/mixture.hpp"

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
