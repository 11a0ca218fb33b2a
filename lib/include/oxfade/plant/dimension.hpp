#pragma once

namespace oxfade::plant {

/// What kind of quantity a value of a plant is.
enum class Dimension {
    length,                  ///< [m]
    volume,                  ///< [m3]
    time,                    ///< [s]
    pressure,                ///< [Pa abs]; gauge units count from the air pressure given
    absolute_pressure,       ///< [Pa abs]; gauge units are refused
    pressure_difference,     ///< [Pa]; gauge units are refused
    temperature,             ///< [K]
    temperature_difference,  ///< [K]: 1 degC is 1 K, 1 degF is 5/9 K
    volume_flow,             ///< [m3/s]
    molar_flow,              ///< [mol/s]
    power,                   ///< [W]
    fraction,                ///< [1], from % or ppm
    slope,                   ///< [1], height over length: `1 in / 10 ft`, `0.8 %`
};

}  // namespace oxfade::plant
