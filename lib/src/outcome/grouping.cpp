#include "oxfade/outcome/grouping.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <map>
#include <string_view>

namespace oxfade::outcome {
namespace {

constexpr std::string_view separator = " / ";

/// A name cut at its first or last number of up to six digits, or at a range of two ("lines 3-4").
struct Numbered {
    std::string before, after;
    long number = -1, last = -1;  ///< -1: there is none
};

bool is_digit(char c) { return std::isdigit(static_cast<unsigned char>(c)) != 0; }

enum class At { first, last };

/// The number of up to six digits that begins at a place, and where it ends; -1 for none, or for one with
/// leading zeros, which would not be printed as it was.
long number_at(const std::string& name, std::size_t first, std::size_t& end) {
    constexpr std::size_t longest = 6;
    end = first;
    while (end < name.size() && is_digit(name[end])) ++end;
    const std::size_t digits = end - first;
    if (digits == 0 || digits > longest || (digits > 1 && name[first] == '0')) return -1;
    return std::stol(name.substr(first, digits));
}

Numbered cut(const std::string& name, At at) {
    auto first = static_cast<std::size_t>(std::find_if(name.begin(), name.end(), is_digit) - name.begin());
    if (at == At::last && first < name.size()) {
        first = name.size() - 1;
        while (!is_digit(name[first])) --first;
        while (first > 0 && is_digit(name[first - 1])) --first;
        if (first > 1 && name[first - 1] == '-' && is_digit(name[first - 2])) {
            --first;
            while (first > 0 && is_digit(name[first - 1])) --first;
        }
    }
    std::size_t end = first;
    const long number = number_at(name, first, end);
    if (number < 0) return {name, "", -1, -1};
    std::size_t behind = end;
    const long last = end < name.size() && name[end] == '-' ? number_at(name, end + 1, behind) : -1;
    if (last <= number) return {name.substr(0, first), name.substr(end), number, number};
    return {name.substr(0, first), name.substr(behind), number, last};
}

/// "branch line " as "branch lines ", where it ends with a noun of the trade.
std::string plural(const std::string& before) {
    constexpr std::array<std::string_view, 8> nouns{"line", "pipe", "system", "riser",
                                                    "main", "drop", "vent",   "zone"};
    if (before.size() < 2 || before.back() != ' ') return before;
    const std::string text = before.substr(0, before.size() - 1);
    const auto space = text.rfind(' ');
    std::string last = space == std::string::npos ? text : text.substr(space + 1);
    std::transform(last.begin(), last.end(), last.begin(),
                   [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    const bool known = std::find(nouns.begin(), nouns.end(), last) != nouns.end();
    return last == "branch" ? text + "es " : known ? text + "s " : before;
}

/// Numbers of names that are alike but for them.
struct Series {
    std::string before, after, first;  ///< the first of the names as it was
    std::vector<long> numbers;
    std::size_t names = 1;
};

void add_runs(Series series, std::vector<std::string>& out) {
    std::sort(series.numbers.begin(), series.numbers.end());
    for (std::size_t first = 0; first < series.numbers.size();) {
        std::size_t last = first;
        while (last + 1 < series.numbers.size() && series.numbers[last + 1] - series.numbers[last] <= 1)
            ++last;
        const std::string low = std::to_string(series.numbers[first]),
                          high = std::to_string(series.numbers[last]);
        if (series.numbers[last] - series.numbers[first] < 2) {
            for (std::size_t k = first; k <= last; ++k)
                out.push_back(series.before + std::to_string(series.numbers[k]) + series.after);
        } else if (series.after.empty()) {
            out.push_back(plural(series.before) + low + " to " + high);
        } else {
            out.push_back(series.before + low + series.after + " to " + series.before + high + series.after);
        }
        first = last + 1;
    }
}

std::vector<std::string> entries_of(const std::vector<std::string>& names, At at) {
    std::vector<Series> all;
    for (const std::string& name : names) {
        const Numbered parts = cut(name, at);
        auto known = std::find_if(all.begin(), all.end(), [&](const Series& s) {
            return parts.number >= 0 && !s.numbers.empty() && s.before == parts.before &&
                   s.after == parts.after;
        });
        if (known != all.end()) {
            ++known->names;
        } else {
            known = all.insert(all.end(), Series{parts.before, parts.after, name, {}, 1});
        }
        for (long k = parts.number; parts.number >= 0 && k <= parts.last; ++k) known->numbers.push_back(k);
    }
    std::vector<std::string> entries;
    for (Series& series : all) {
        if (series.numbers.empty() || series.names == 1) {
            entries.push_back(series.first);
        } else {
            add_runs(std::move(series), entries);
        }
    }
    return entries;
}

std::string joined(const std::vector<std::string>& entries, std::size_t most) {
    std::string text;
    const std::size_t shown = entries.size() > most ? most - 1 : entries.size();
    for (std::size_t k = 0; k < shown; ++k) {
        const bool last = k + 1 == entries.size();
        text += (k == 0 ? "" : last ? " and " : ", ") + entries[k];
    }
    if (shown < entries.size()) text += " and " + std::to_string(entries.size() - shown) + " more";
    return text;
}

bool same_value(const Message::Value& a, const Message::Value& b) {
    if (a.dimension != b.dimension) return false;
    // A purity of 99.99 % is not 99.98 %.
    if (a.dimension == Dimension::fraction && a.si > 0.5) return prints_alike(1.0 - a.si, 1.0 - b.si);
    return prints_alike(a.si, b.si);
}

bool same_but_where(const Message& a, const Message& b) {
    return a.code == b.code && a.level == b.level && a.text == b.text && a.values.size() == b.values.size() &&
           std::equal(a.values.begin(), a.values.end(), b.values.begin(), same_value);
}

/// What of "riser / pipe" comes before the separator, and what after it; without one all is before.
std::pair<std::string, std::string> halves(const std::string& place) {
    const auto at = place.find(separator);
    if (at == std::string::npos) return {place, ""};
    return {place.substr(0, at), place.substr(at + separator.size())};
}

/// "System 1 to System 9 / branch lines 1 to 22": risers with the same pipes together.
std::string where_of(const std::vector<std::string>& places) {
    std::vector<std::string> risers;
    std::map<std::string, std::vector<std::string>> pipes;
    for (const std::string& place : places) {
        const auto [riser, pipe] = halves(place);
        auto& list = pipes[riser];
        if (std::find(risers.begin(), risers.end(), riser) == risers.end()) risers.push_back(riser);
        if (!pipe.empty()) list.push_back(pipe);
    }
    std::vector<std::string> texts;
    const auto same = [&](std::size_t a, std::size_t b) { return pipes[risers[a]] == pipes[risers[b]]; };
    for (const auto& group : groups_of(risers.size(), same)) {
        std::vector<std::string> names;
        names.reserve(group.size());
        for (const std::size_t r : group) names.push_back(risers[r]);
        const std::vector<std::string>& behind = pipes[names.front()];
        texts.push_back(name_list(names) +
                        (behind.empty() ? "" : std::string(separator) + name_list(behind)));
    }
    std::string all;
    for (const std::string& text : texts) all += (all.empty() ? "" : "; ") + text;
    return all;
}

}  // namespace

std::string name_list(const std::vector<std::string>& names, std::size_t most) {
    const auto first = entries_of(names, At::first), last = entries_of(names, At::last);
    return joined(last.size() < first.size() ? last : first, most);
}

std::string line_name(const plant::Riser& riser, std::size_t pipe) {
    std::string name = riser.pipes[pipe].name;
    const auto piece = name.rfind(" piece ");
    if (piece != std::string::npos && riser.pipe_index(name.substr(0, piece))) name.resize(piece);
    const int copies = riser.copies()[pipe];
    const Numbered parts = cut(name, At::last);
    const bool says_so = parts.last - parts.number + 1 == copies;  // "lines 3-4"
    return copies < 2 || says_so ? name : name + " (" + std::to_string(copies) + " equal)";
}

std::vector<std::vector<std::size_t>> groups_of(std::size_t count,
                                                const std::function<bool(std::size_t, std::size_t)>& same) {
    std::vector<std::vector<std::size_t>> groups;
    for (std::size_t k = 0; k < count; ++k) {
        const auto group = std::find_if(groups.begin(), groups.end(),
                                        [&](const auto& others) { return same(others.front(), k); });
        if (group == groups.end()) {
            groups.push_back({k});
        } else {
            group->push_back(k);
        }
    }
    return groups;
}

bool prints_alike(double a, double b) {
    constexpr double half_a_digit = 5e-4;
    if (!std::isfinite(a) || !std::isfinite(b)) return a == b || (std::isnan(a) && std::isnan(b));
    return std::abs(a - b) <= half_a_digit * std::max(std::abs(a), std::abs(b));
}

std::vector<Message> grouped(const std::vector<Message>& messages) {
    std::vector<Message> out;
    const auto same = [&](std::size_t a, std::size_t b) { return same_but_where(messages[a], messages[b]); };
    for (const auto& group : groups_of(messages.size(), same)) {
        out.push_back(messages[group.front()]);
        if (group.size() == 1) continue;
        std::vector<std::string> places;
        for (const std::size_t k : group) {
            const Message& one = messages[k];
            if (one.places.empty()) {
                places.push_back(one.where);
            } else {
                places.insert(places.end(), one.places.begin(), one.places.end());
            }
        }
        out.back().where = where_of(places);
        out.back().places = std::move(places);
    }
    return out;
}

}  // namespace oxfade::outcome
