#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "oxfade/error.hpp"
#include "oxfade/plant/limits.hpp"
#include "oxfade/plant/plant.hpp"
#include "plant/pipe_tree.hpp"

/// Private helpers of plant::find_problems.
namespace oxfade::plant::detail {

/// A kind of value with the largest figure that a plant can sensibly have: beyond, a unit was mistaken.
struct Measure {
    std::string_view words;  ///< "a length"
    std::string_view unit;   ///< SI symbol
    double ceiling;
    std::string_view ceiling_words{};  ///< where the figure says little
};
inline constexpr Measure length{"a length", "m", 1e6};
inline constexpr Measure volume{"a volume", "m3", 1e9};
inline constexpr Measure time{"a time", "s", 1e12};
inline constexpr Measure pressure{"an absolute pressure", "Pa", 1e9};
inline constexpr Measure pressure_difference{"a pressure difference", "Pa", 1e9};
inline constexpr Measure temperature{"a temperature", "K", 1e4};
inline constexpr Measure temperature_difference{"a temperature difference", "K", 400.0};
inline constexpr Measure volume_flow{"a volume flow", "m3/s", 1e6};
inline constexpr Measure run_time{"a time", "s", limits::duration, "50 years"};
inline constexpr Measure molar_flow{"a molar flow", "mol/s", 1e9};
inline constexpr Measure power{"a power", "W", 1e12};

/// Collects problems. Each check returns whether the value passed, so that a relation between two values is
/// looked at only where both are sound.
class Checks {
  public:
    void add(std::string key, std::string value, std::string what, std::string allowed = "");
    bool positive(const std::string& key, double value, const Measure& measure);
    bool not_negative(const std::string& key, double value, const Measure& measure);
    /// low <= value <= high
    bool within(const std::string& key, double value, double low, double high, std::string_view unit);
    /// low < value <= high
    bool above_within(const std::string& key, double value, double low, double high);
    /// low < value < high
    bool strictly_within(const std::string& key, double value, double low, double high);
    /// A problem at `key` with this value unless `holds`.
    bool require(bool holds, const std::string& key, double value, const Measure& measure, std::string what,
                 std::string allowed);
    /// A name that is not empty and not among the earlier ones; `noun` is for the message ("riser").
    void names(const std::string& path, const std::vector<std::string>& names, std::string_view noun);

    bool none() const { return problems_.empty(); }
    std::vector<Problem> take() { return std::move(problems_); }

  private:
    template <class Words>
    bool finite(const std::string& key, double value, const Words& wanted);
    bool below_ceiling(const std::string& key, double value, const Measure& measure);

    std::vector<Problem> problems_;
};

/// Names of the entries of a list.
template <class Entry>
std::vector<std::string> names_of(const std::vector<Entry>& entries) {
    std::vector<std::string> names;
    names.reserve(entries.size());
    for (const Entry& entry : entries) names.push_back(entry.name);
    return names;
}

/// @param key `site.temperature`
void check_temperature(Checks& checks, const Temperature& given, const std::string& key);
void check_actions(Checks& checks, const Plant& plant);
/// What the changes of `set` actions make impossible; the plant must be sound before them.
void check_changes(Checks& checks, const Plant& plant);
void check_site(Checks& checks, const Site& site);
void check_source(Checks& checks, const Plant& plant);
/// @param path `riser.North`
void check_riser(Checks& checks, const Plant& plant, const Riser& riser, const std::string& path);
/// The tree of pipes and the loops that links close in it.
void check_layout(Checks& checks, const Riser& riser, const PipeTree& tree, const std::string& path);
/// Pitches and elevations, and whether they agree with each other.
void check_elevations(Checks& checks, const Riser& riser, const PipeTree& tree, const std::string& path);

}  // namespace oxfade::plant::detail
