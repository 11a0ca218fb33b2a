#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "oxfade/scenario/quantity.hpp"

namespace oxfade::scenario::detail {

/// A unit as UDUNITS-2 reads it, and the family it belongs to.
struct UnitText {
    std::string udunits;
    std::optional<UnitSystem> system;
};

/// Puts names of the trade into words that UDUNITS-2 knows. Empty when the text cannot be a unit: characters
/// no unit has, a loose number (`10 ft 3`), or too long.
std::optional<UnitText> translate_unit(std::string_view unit);

}  // namespace oxfade::scenario::detail
