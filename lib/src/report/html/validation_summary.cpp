#include "report/html/validation_summary.hpp"

#include <string>

namespace oxfade::report::detail {
namespace {

std::string_view trimmed(std::string_view text) {
    const auto begin = text.find_first_not_of(" *");
    if (begin == std::string_view::npos) return {};
    return text.substr(begin, text.find_last_not_of(" *") + 1 - begin);
}

/// `[name](#anchor)` without its link, `(every row in [table.md](table.md))` without the remark.
std::string without_links(std::string_view text) {
    std::string plain;
    while (!text.empty()) {
        const auto open = text.find('['), middle = text.find("]("), close = text.find(')', middle);
        if (open == std::string_view::npos || middle == std::string_view::npos ||
            close == std::string_view::npos || middle < open) {
            break;
        }
        plain += text.substr(0, open);
        plain += text.substr(open + 1, middle - open - 1);
        text.remove_prefix(close + 1);
    }
    plain += text;
    constexpr std::string_view remark = " (every row in table.md)";
    if (const auto at = plain.find(remark); at != std::string::npos) plain.erase(at, remark.size());
    return plain;
}

Json cells_of(std::string_view line) {
    Json cells = Json::array();
    line.remove_prefix(1);
    for (auto bar = line.find('|'); bar != std::string_view::npos; bar = line.find('|')) {
        cells.push_back(without_links(trimmed(line.substr(0, bar))));
        line.remove_prefix(bar + 1);
    }
    return cells;
}

}  // namespace

Json validation_json(std::string_view markdown) {
    std::string summary;
    Json rows = Json::array();
    bool said = false;
    while (!markdown.empty()) {
        const auto end = markdown.find('\n');
        const std::string_view line = markdown.substr(0, end);
        markdown.remove_prefix(end == std::string_view::npos ? markdown.size() : end + 1);
        if (line.starts_with("| [")) {
            rows.push_back(cells_of(line));
        } else if (!said && !line.empty() && line.front() >= '0' && line.front() <= '9') {
            summary = without_links(line);
        } else if (!summary.empty() && !said) {
            if (!line.empty()) summary += " " + without_links(line);
            said = line.empty();
        }
    }
    return {{"summary", summary}, {"rows", rows}};
}

}  // namespace oxfade::report::detail
