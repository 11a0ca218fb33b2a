#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "oxfade/scenario/quantity.hpp"
#include "scenario/udunits.hpp"

namespace oxfade::scenario::detail {

/// A unit as UDUNITS-2 reads it, and the family it belongs to.
struct UnitText {
    std::string udunits;
    std::optional<UnitSystem> system;
    std::optional<plant::Reference>
        counted_at;  ///< of a standard volume whose conditions the unit itself names
};

/// Puts names of the trade into words that UDUNITS-2 knows. Empty when the text cannot be a unit: characters
/// no unit has, a loose number (`10 ft 3`), or too long.
std::optional<UnitText> translate_unit(std::string_view unit);

/// Another way to write a unit that means one thing where that kind of quantity is wanted: `oz` of pressure,
/// `in WC`, `F`, `PSIG`. Gives it as translate_unit takes it; empty when there is none.
std::optional<std::string> other_spelling(std::string_view unit, Kind wanted);

}  // namespace oxfade::scenario::detail
