#include "oxfade/report/study_values.hpp"

namespace oxfade::report {
std::string format_quantity(double si, std::optional<scenario::Dimension> dimension, const Units& units) {
    using scenario::Dimension;
    if (!dimension) return format_number(si);
    switch (*dimension) {
        case Dimension::length:
            return format_value(si, outcome::Dimension::length, units);
        case Dimension::volume:
            return format_value(si, outcome::Dimension::volume, units);
        case Dimension::time:
            return format_time(si);
        case Dimension::pressure:
            return format_value(si, outcome::Dimension::gauge_pressure, units);
        case Dimension::absolute_pressure:
        case Dimension::pressure_difference:
            return format_value(si, outcome::Dimension::pressure, units);
        case Dimension::temperature:
            return format_temperature(si, units);
        case Dimension::temperature_difference:
            return format_value(si, outcome::Dimension::temperature_difference, units);
        case Dimension::volume_flow:
            return format_value(si, outcome::Dimension::standard_flow, units);
        case Dimension::molar_flow:
            return format_number(si) + " mol/s";
        case Dimension::power:
            return format_number(si / 1e3) + " kW";
        case Dimension::fraction:
            return format_value(si, outcome::Dimension::fraction, units);
        case Dimension::slope:
            return format_number(100.0 * si) + " %";
    }
    return format_number(si);
}

std::string format_field(const study::Field& field, const Units& units) {
    if (field.value) return format_quantity(*field.value, field.dimension, units);
    return field.word.empty() ? "not given" : field.word;
}

}  // namespace oxfade::report
