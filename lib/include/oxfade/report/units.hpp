#pragma once

#include <string>

#include "oxfade/outcome/message.hpp"
#include "oxfade/plant/plant.hpp"

/// Results for readers: text, JSON and CSV. Nothing here prints; every function returns text.
namespace oxfade::report {

/// Which units of the trade a reader wants.
enum class System { si, us };

/// How SI values are printed: the system, what gauge pressures count from, what a standard volume is.
struct Units {
    System system = System::us;
    double site_pressure = gas::standard_pressure;  ///< [Pa]
    plant::Reference reference;
};

/// Units that print the results of a plant.
Units units_of(const plant::Plant& plant, System system);

/// A number rounded to significant digits (1 to 15), without exponent and without trailing zeros; digits
/// before the point are never dropped. What is not finite prints as "unknown".
std::string format_number(double value, int digits = 3);

/// A time [s] as people say it: "45 s", "24.8 min", "7.5 h", from 36 h on "1 d 13.8 h".
std::string format_time(double seconds);

/// A moment [s] of the run on its time axis in days: "day 1.57".
std::string format_day(double seconds);

/// A temperature [K] in degC, or in degF.
std::string format_temperature(double kelvin, const Units& units);

/// A fraction in percent with up to two decimals, more below 0.1 %: "2.5 %", "0.012 %".
std::string format_percent(double fraction);

/// A purity in percent, rounded down, so that 97.999 % never reads as 98 %.
std::string format_purity(double purity);

/// An SI value with its unit. `pressure` is an absolute pressure or a difference [Pa], `gauge_pressure` an
/// absolute one [Pa] printed as gauge at the site, `standard_flow` [m3/s] and `standard_volume` [m3] count
/// at the reference conditions, `fraction` prints in percent, from 0.9 on as a purity.
std::string format_value(double si, outcome::Dimension dimension, const Units& units);

/// An amount of gas [mol] as standard volume, and a molar flow [mol/s] as standard flow.
std::string format_amount(double moles, const Units& units);
std::string format_molar_flow(double moles_per_second, const Units& units);

/// A range of absolute pressures [Pa] as gauge: "27.9 to 30.1 psig".
std::string format_gauge_range(double low, double high, const Units& units);

/// A message's text with `{0}`, `{1}`, … replaced by its values in the reader's units. A number without a
/// value stays as it is.
std::string format_message(const outcome::Message& message, const Units& units);

}  // namespace oxfade::report
