#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "oxfade/plant/plant.hpp"
#include "oxfade/scenario/quantity.hpp"

/// Many runs: compare, sweep, size, fit, commission. Studies call the engine as any user would.
namespace oxfade::study {

/// A numeric value of a plant, called by its dotted key in the scenario file: `source.purity`,
/// `riser.North.vent.'end vent'.diameter`, `riser.North.leak.0.loss`. Resolved once, then set quickly on any
/// plant of the same layout (the same lists, kinds and policies).
///
/// A pressure stays the absolute pressure it is. The site's pressure is refused: a file's gauge pressures
/// count from it, and a plant no longer knows which were gauge. A receiver that starts at its `stop` pressure
/// follows when that is set.
class Parameter {
  public:
    /// Throws InputError where the plant has no such key, or the key holds no quantity.
    Parameter(const plant::Plant& layout, std::string key);

    const std::string& key() const { return key_; }
    /// None for a plain number.
    std::optional<scenario::Dimension> dimension() const { return dimension_; }
    /// SI value; none where the plant leaves an optional key out.
    std::optional<double> value(const plant::Plant& plant) const;
    void set(plant::Plant& plant, double si) const;

    /// The SI value of a text such as `28 psig`, or of a plain number where the key takes one.
    /// Throws InputError when it is neither.
    double parse(std::string_view text, const plant::Plant& plant) const;
    /// The same for the width of a spread: a difference, where the key's own values are levels.
    double parse_difference(std::string_view text, const plant::Plant& plant) const;

  private:
    std::string key_;
    std::size_t place_ = 0;  ///< among the quantities of the plant
    std::optional<scenario::Dimension> dimension_;
};

/// One value of a plant under its dotted key.
struct Field {
    std::string key;
    std::optional<scenario::Dimension> dimension;
    std::optional<double> value;  ///< SI; none for words and for what is left out
    std::string word;             ///< what is no quantity: a name, a choice, a count, a flag
};

/// Every value of a plant, in the order of the scenario file's format.
std::vector<Field> fields_of(const plant::Plant& plant);

}  // namespace oxfade::study
