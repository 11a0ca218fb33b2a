#include "plant/checks.hpp"

#include <fmt/format.h>

#include <cmath>
#include <utility>

#include "text/key_path.hpp"

namespace oxfade::plant::detail {
namespace {

std::string shown(double value, std::string_view unit) {
    return unit.empty() ? fmt::format("{:.6g}", value) : fmt::format("{:.6g} {}", value, unit);
}

}  // namespace

void Checks::add(std::string key, std::string value, std::string what, std::string allowed) {
    problems_.push_back({std::move(key), std::move(value), std::move(what), std::move(allowed), "", 0});
}

// What is wanted is put into words only where it is missing: sound plants are checked by the thousand.
template <class Words>
bool Checks::finite(const std::string& key, double value, const Words& wanted) {
    if (std::isfinite(value)) return true;
    add(key, fmt::format("{}", value), "is not a finite number", wanted());
    return false;
}

bool Checks::below_ceiling(const std::string& key, double value, const Measure& measure) {
    if (value <= measure.ceiling) return true;
    add(key, shown(value, measure.unit), "is larger than any plant has",
        fmt::format("at most {}; look at its unit", measure.ceiling_words.empty()
                                                        ? shown(measure.ceiling, measure.unit)
                                                        : std::string(measure.ceiling_words)));
    return false;
}

bool Checks::positive(const std::string& key, double value, const Measure& measure) {
    const auto wanted = [&] { return fmt::format("{} above 0 is wanted", measure.words); };
    if (!finite(key, value, wanted)) return false;
    if (value > 0.0) return below_ceiling(key, value, measure);
    add(key, shown(value, measure.unit), "must be above 0", wanted());
    return false;
}

bool Checks::not_negative(const std::string& key, double value, const Measure& measure) {
    const auto wanted = [&] { return fmt::format("{} of 0 or more is wanted", measure.words); };
    if (!finite(key, value, wanted)) return false;
    if (value >= 0.0) return below_ceiling(key, value, measure);
    add(key, shown(value, measure.unit), "must not be below 0", wanted());
    return false;
}

bool Checks::within(const std::string& key, double value, double low, double high, std::string_view unit) {
    const auto allowed = [&] { return fmt::format("from {} to {}", shown(low, unit), shown(high, unit)); };
    if (!finite(key, value, allowed)) return false;
    if (value >= low && value <= high) return true;
    add(key, shown(value, unit), "is out of range", allowed());
    return false;
}

bool Checks::above_within(const std::string& key, double value, double low, double high) {
    const auto allowed = [&] { return fmt::format("above {} and at most {}", low, high); };
    if (!finite(key, value, allowed)) return false;
    if (value > low && value <= high) return true;
    add(key, shown(value, ""), "is out of range", allowed());
    return false;
}

bool Checks::strictly_within(const std::string& key, double value, double low, double high) {
    const auto allowed = [&] { return fmt::format("above {} and below {}", low, high); };
    if (!finite(key, value, allowed)) return false;
    if (value > low && value < high) return true;
    add(key, shown(value, ""), "is out of range", allowed());
    return false;
}

bool Checks::require(bool holds, const std::string& key, double value, const Measure& measure,
                     std::string what, std::string allowed) {
    if (!holds) add(key, shown(value, measure.unit), std::move(what), std::move(allowed));
    return holds;
}

void Checks::names(const std::string& path, const std::vector<std::string>& names, std::string_view noun) {
    const auto segments = text::entry_segments(names);
    for (std::size_t i = 0; i < names.size(); ++i) {
        const auto key = text::join_path(text::join_path(path, segments[i]), "name");
        if (names[i].empty()) {
            add(key, "", fmt::format("a {} needs a name", noun), "any text that no other one has");
        } else if (segments[i] != names[i]) {
            add(key, names[i], fmt::format("two {}s have this name", noun), "give each its own name");
        }
    }
}

}  // namespace oxfade::plant::detail
