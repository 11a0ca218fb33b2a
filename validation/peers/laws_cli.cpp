// Evaluates laws for the peer tests: one line `law argument...` on standard input, one number on standard
// output. `nan` stands for a law that refuses its arguments. A private tool of the tests, not installed.

#include <cmath>
#include <cstdio>
#include <functional>
#include <iostream>
#include <limits>
#include <map>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

#include "oxfade/flow/counterflow.hpp"
#include "oxfade/flow/leak.hpp"
#include "oxfade/flow/orifice.hpp"
#include "oxfade/flow/pipe_friction.hpp"
#include "oxfade/gas/atmosphere.hpp"
#include "oxfade/gas/dissolved.hpp"
#include "oxfade/gas/transport.hpp"
#include "oxfade/gas/water.hpp"
#include "oxfade/plant/pipe_sizes.hpp"

namespace {

using namespace oxfade;
using Words = std::vector<std::string>;
using Numbers = std::vector<double>;

template <double (*law)(double)>
double of_one(const Numbers& x) {
    return law(x.at(0));
}

double isothermal(const Numbers& x, flow::Acceleration acceleration) {
    return flow::isothermal_pipe_flow(x.at(0), x.at(1), x.at(2), x.at(3), x.at(4), x.at(5), acceleration);
}

const std::map<std::string, std::function<double(const Numbers&)>> laws{
    {"air_pressure", of_one<gas::air_pressure_at_altitude>},
    {"saturation_over_water", of_one<gas::saturation_pressure_over_water>},
    {"saturation_over_ice", of_one<gas::saturation_pressure_over_ice>},
    {"dew_point", of_one<gas::dew_point>},
    {"frost_point", of_one<gas::frost_point>},
    {"water_density", of_one<gas::water_density>},
    {"henry_oxygen", [](const Numbers& x) { return gas::henry_constant(gas::Species::oxygen, x.at(0)); }},
    {"henry_nitrogen", [](const Numbers& x) { return gas::henry_constant(gas::Species::nitrogen, x.at(0)); }},
    {"oxygen_saturation", [](const Numbers& x) { return gas::oxygen_saturation(x.at(0), x.at(1)); }},
    {"diffusivity_times_pressure", of_one<gas::diffusivity_times_pressure>},
    {"air_viscosity", [](const Numbers& x) { return gas::viscosity(gas::dry_air(), x.at(0)); }},
    {"orifice_flow",
     [](const Numbers& x) { return flow::orifice_flow(x.at(0), x.at(1), x.at(2), x.at(3), x.at(4)); }},
    {"blow_down_time",
     [](const Numbers& x) {
         return flow::blow_down_time(x.at(0), x.at(1), x.at(2), x.at(3), x.at(4), x.at(5));
     }},
    {"leak_area_from_test",
     [](const Numbers& x) {
         return flow::leak_area_from_test(x.at(0), x.at(1), x.at(2), x.at(3), x.at(4), x.at(5));
     }},
    {"friction_factor", [](const Numbers& x) { return flow::friction_factor(x.at(0), x.at(1)); }},
    {"counter_flow",  // radius, pitch [rad], reduced gravity, diffusivity, viscosity, other gradient,
                      // gradient, contrast
     [](const Numbers& x) {
         return flow::counter_flow({x.at(0), std::sin(x.at(1)), std::cos(x.at(1))},
                                   {x.at(2), x.at(3), x.at(4), x.at(5)}, x.at(6), x.at(7))
             .spread;
     }},
    {"isothermal", [](const Numbers& x) { return isothermal(x, flow::Acceleration::neglected); }},
    {"isothermal_accelerated", [](const Numbers& x) { return isothermal(x, flow::Acceleration::counted); }},
    {"isothermal_run",
     [](const Numbers& x) {
         return flow::isothermal_pipe_flow({x.at(0), x.at(1), x.at(2), x.at(3)}, x.at(4), x.at(5), x.at(6),
                                           gas::dry_air(), flow::Acceleration::counted);
     }},
};

double evaluate(const std::string& name, const Words& words) {
    if (name == "bore") {
        const auto size = plant::find_pipe_size(words.at(0), words.at(1));
        if (!size) throw std::domain_error("no such pipe");
        return size->bore();
    }
    Numbers numbers;
    for (const std::string& word : words) numbers.push_back(std::stod(word));
    return laws.at(name)(numbers);
}

}  // namespace

int main() {
    for (std::string line; std::getline(std::cin, line);) {
        std::istringstream in(line);
        std::string name;
        in >> name;
        Words words;
        for (std::string word; in >> word;) words.push_back(word);
        double value = std::numeric_limits<double>::quiet_NaN();
        try {
            value = evaluate(name, words);
        } catch (const std::domain_error&) {
        } catch (const std::exception& error) {
            std::fprintf(stderr, "%s: %s\n", line.c_str(), error.what());
            return 2;
        }
        std::printf("%.17g\n", value);
    }
    return 0;
}
