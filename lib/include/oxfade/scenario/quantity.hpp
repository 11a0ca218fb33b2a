#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <variant>

#include "oxfade/plant/dimension.hpp"
#include "oxfade/plant/site.hpp"

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

/// What a normal volume (Nm3, NL) and a standard litre (slpm, sccm) count at: 0 degC and 1 atm (DIN 1343;
/// SEMI E12 for the litre of flow meters).
inline constexpr plant::Reference normal_conditions{101'325.0, 273.15};
/// What a standard cubic metre (Sm3) counts at: 15 degC and 1 atm (ISO 13443).
inline constexpr plant::Reference metric_standard_conditions{101'325.0, 288.15};

/// A number with its unit, turned into SI.
struct Quantity {
    double value = 0.0;                ///< SI unit of its dimension
    std::optional<UnitSystem> system;  ///< family the unit belongs to; none for time, fractions and moles
    bool unmarked =
        false;  ///< a pressure whose unit says neither gauge nor absolute (`psi`): taken as absolute
    bool gauge_difference = false;  ///< a pressure difference in a gauge's unit (`psig`): taken as one
    bool amount_of_gas = false;     ///< a volume that says at which conditions it is counted (`Nm3`)
};

/// Why a text is not the quantity wanted.
struct QuantityError {
    std::string what;     ///< what is wrong, with the text quoted where that helps
    std::string allowed;  ///< what to write instead
};

/// Reads a quantity such as `28 psig`, `1.5 L/min`, `1 1/4 in`, `98 %`. Units are those of UDUNITS-2 and the
/// trade's own: gal (US), psia, cfm, cfh, gpm, inHg, in WC (conventional inches of water, NIST SP 811),
/// oz/in2 or osi (and oz where a pressure is wanted), mils, `"` and `'` after a number; a trailing `g` makes
/// a pressure gauge, a trailing `a` absolute. Capitals do not matter where they cannot mean another unit
/// (PSIG, SCFM), nor does `deg` before F or C. A slope is a length over a length (`1 in / 10 ft`,
/// `0.25 in/ft`) or a share (`0.8 %`). A time may have several parts (`1 h 30 min`) or colons (`mm:ss`,
/// `h:mm:ss`).
/// Of a gas, a plain volume and scf, scfm, scfh count at `reference`. Nm3, NL, slpm and sccm count at
/// normal_conditions, Sm3 at metric_standard_conditions, and are converted to a volume at `reference`.
/// @param text number and unit
/// @param wanted dimension the result must have
/// @param air_pressure [Pa abs] that gauge pressures count from
/// @param reference conditions at which volumes of gas are counted [Pa, K]
/// Does not depend on the locale; may be called from several threads. Throws Error when the UDUNITS-2
/// database cannot be loaded.
std::variant<Quantity, QuantityError> parse_quantity(std::string_view text, Dimension wanted,
                                                     double air_pressure,
                                                     const plant::Reference& reference = {});

/// As parse_quantity, the SI value alone; throws InputError with one problem when it is not the quantity
/// wanted.
double quantity(std::string_view text, Dimension wanted, double air_pressure,
                const plant::Reference& reference = {});

/// Reads a moment of the run [s] from its start: a time such as `5 d`, or a local date such as
/// `2026-03-04T08:00`.
/// @param start when the run begins, as plant::Plant::start; empty: dates are refused
std::variant<Quantity, QuantityError> parse_moment(std::string_view text, std::string_view start);

}  // namespace oxfade::scenario
