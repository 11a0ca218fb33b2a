#pragma once

#include <optional>
#include <variant>

namespace oxfade::plant {

/// What a volume holds at the start of the run: plain air, or the source's own product.
enum class InitialGas { air, source };

/// A tank at site temperature between machine and risers.
struct Receiver {
    double volume = 0.0;            ///< [m3], > 0
    double start = 0.0;             ///< machine starts at or below [Pa abs]
    double stop = 0.0;              ///< machine stops at or above [Pa abs], > start
    double initial_pressure = 0.0;  ///< [Pa abs], >= 0
    InitialGas initial_gas = InitialGas::air;
};

/// Compressor with nitrogen separator and receiver; falls back on plain air (model.md section 6).
struct Generator {
    double purity = 0.0;          ///< of the product, 1 - oxygen, in [0, 1]
    double nitrogen_flow = 0.0;   ///< standard volume flow of product [m3/s], > 0
    double air_flow = 0.0;        ///< standard volume flow with the separator passed by [m3/s], > 0
    double air_below = 0.0;       ///< falls back on air at or below [Pa abs], < receiver.start
    std::optional<double> power;  ///< electrical power while running [W], > 0
    Receiver receiver;
};

/// A finite amount of gas of known purity behind a regulator.
struct Cylinders {
    double purity = 0.0;             ///< in [0, 1]
    double content = 0.0;            ///< standard volume in all [m3], > 0
    double delivery_pressure = 0.0;  ///< [Pa abs], > 0
};

/// Plain air.
struct Compressor {
    double air_flow = 0.0;        ///< standard volume flow [m3/s], > 0
    std::optional<double> power;  ///< [W], > 0
    Receiver receiver;
};

using Source = std::variant<Generator, Cylinders, Compressor>;

/// The source's receiver, or null for cylinders.
const Receiver* receiver_of(const Source& source);
/// Purity of the product: 1 - oxygen; a compressor gives the purity of air.
double product_purity(const Source& source);

}  // namespace oxfade::plant
