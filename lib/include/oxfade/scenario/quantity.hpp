#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <variant>

#include "oxfade/plant/dimension.hpp"

/// Files and texts with units <-> plain structs in SI.
namespace oxfade::scenario {

/// The family of units a reader is at home with: metric, or US customary (in, ft, gal, psi, cfm, degF).
enum class UnitSystem { si, us };

/// What kind of quantity is wanted.
using Dimension = plant::Dimension;

/// In words, with its article: "a length", "an absolute pressure".
std::string_view to_string(Dimension dimension);
/// A quantity of that dimension as one would write it: `240 ft`.
std::string_view example_of(Dimension dimension);

/// A number with its unit, turned into SI.
struct Quantity {
    double value = 0.0;                ///< SI unit of its dimension
    std::optional<UnitSystem> system;  ///< family the unit belongs to; none for time, fractions and moles
    bool unmarked =
        false;  ///< a pressure whose unit says neither gauge nor absolute (`psi`): taken as absolute
};

/// Why a text is not the quantity wanted.
struct QuantityError {
    std::string what;     ///< what is wrong, with the text quoted where that helps
    std::string allowed;  ///< what to write instead
};

/// Reads a quantity such as `28 psig`, `1.5 L/min`, `1 1/4 in`, `98 %`. Units are those of UDUNITS-2 and the
/// trade's own: gal (US), psia, cfm, cfh (and scfm, scfh: standard volumes are plain volumes), inHg, `"` and
/// `'` after a number; a trailing `g` makes a pressure gauge, a trailing `a` absolute. A slope is a length
/// over a length: `1 in / 10 ft`, `0.25 in/ft`, or a share: `0.8 %`.
/// @param text number and unit
/// @param wanted dimension the result must have
/// @param air_pressure [Pa abs] that gauge pressures count from
/// Does not depend on the locale; may be called from several threads. Throws Error when the UDUNITS-2
/// database cannot be loaded.
std::variant<Quantity, QuantityError> parse_quantity(std::string_view text, Dimension wanted,
                                                     double air_pressure);

/// As parse_quantity, the SI value alone; throws InputError with one problem when it is not the quantity
/// wanted.
double quantity(std::string_view text, Dimension wanted, double air_pressure);

}  // namespace oxfade::scenario
