#include <cmath>

#include "oxfade/gas/atmosphere.hpp"
#include "scenario/readers.hpp"

namespace oxfade::scenario::detail {
namespace {

double pressure_from_altitude(Table& site) {
    const double altitude = site.required_quantity("altitude", Dimension::length);
    if (altitude >= -5000.0 && altitude <= 11000.0) return gas::air_pressure_at_altitude(altitude);
    if (!std::isnan(altitude)) site.add_problem("altitude", "is out of range", "from -5000 m to 11 000 m");
    return gas::standard_pressure;
}

double read_pressure(Table& site) {
    const auto given = site.one_of({{"pressure"}, {"altitude"}}, "", "give one of them");
    if (given == 1) return pressure_from_altitude(site);
    return site.usual_quantity("pressure", Dimension::absolute_pressure, "101.325 kPa",
                               "sea level, U.S. Standard Atmosphere 1976");
}

plant::Reference read_reference(Table table) {
    plant::Reference reference;
    reference.pressure =
        table.quantity("pressure", Dimension::absolute_pressure).value_or(reference.pressure);
    reference.temperature =
        table.quantity("temperature", Dimension::temperature).value_or(reference.temperature);
    table.finish();
    return reference;
}

}  // namespace

plant::Site read_site(Table table) {
    plant::Site site;
    site.pressure = read_pressure(table);
    // One that cannot be read has its problem already; what is said of other pressures then holds for
    // standard air.
    if (std::isnan(site.pressure)) site.pressure = gas::standard_pressure;
    table.reading().air_pressure = site.pressure > 0.0 ? site.pressure : gas::standard_pressure;
    site.temperature =
        table.holds_table("temperature")
            ? read_temperature(*table.table("temperature"))
            : plant::Temperature(table.usual_quantity("temperature", Dimension::temperature, "20 degC"));
    if (const auto reference = table.table("reference")) site.reference = read_reference(*reference);
    const auto& counted = site.reference;
    if (counted.pressure > 0.0 && counted.temperature > 0.0) table.reading().reference = counted;
    table.finish();
    return site;
}

}  // namespace oxfade::scenario::detail
