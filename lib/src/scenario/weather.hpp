#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "oxfade/error.hpp"
#include "oxfade/plant/temperature.hpp"

/// Temperatures of the air from a file of weather: a table of times (CSV), or an EPW file, the open format of
/// weather for building simulation (EnergyPlus, Auxiliary Programs, "EnergyPlus Weather File (EPW) Data
/// Dictionary").
namespace oxfade::scenario::detail {

struct Weather {
    plant::TemperatureTable table;
    std::vector<Problem> problems;  ///< with file and line, `key` the column; the table then says nothing
    bool from_new_year = false;     ///< an EPW file, read from 1 January on as the run has no date
};

/// Reads a weather file. Its temperatures run from the start of the run on; an EPW file repeats after its
/// year.
/// @param start when the run begins, as plant::Plant::start; empty: times count from the start of the run, a
/// year from 1 January
/// Throws FileError when the file cannot be read or is larger than 16 MB.
Weather read_weather(const std::filesystem::path& file, std::string_view start);

}  // namespace oxfade::scenario::detail
