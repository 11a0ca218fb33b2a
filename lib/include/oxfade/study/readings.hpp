#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "oxfade/plant/plant.hpp"

namespace oxfade::study {

/// What was read at the far end of a pipe at some moment: oxygen, pressure, or both.
struct Reading {
    double time = 0.0;  ///< [s] from the start of the run, > 0
    std::string riser;
    std::string pipe;
    std::optional<double> oxygen;                        ///< mole fraction of the dry gas
    std::optional<double> pressure;                      ///< [Pa abs]
    double oxygen_uncertainty = 0.002;                   ///< standard uncertainty, > 0
    double pressure_uncertainty = 0.5 * 6894.757293168;  ///< [Pa], standard uncertainty, > 0
};

/// Reads a CSV with the columns time, riser, pipe, oxygen, pressure, oxygen_uncertainty,
/// pressure_uncertainty; the first is a must, the riser may be left out where there is only one. Values
/// carry units (`1.5 d`, `4.2 %`, `27.5 psig`, `0.5 psi`); where the plant has a start, a time may be a date
/// (`2026-03-04T08:00`); an uncertainty left out is that of `Reading`.
/// Throws InputError with every problem, each with its line.
std::vector<Reading> parse_readings(std::string_view csv, const std::string& file, const plant::Plant& plant);

/// What is impossible in readings of a plant.
std::vector<Problem> find_problems(const std::vector<Reading>& readings, const plant::Plant& plant);

}  // namespace oxfade::study
