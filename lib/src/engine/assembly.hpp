#pragma once

#include "engine/simulation.hpp"
#include "oxfade/engine/ensemble.hpp"
#include "oxfade/outcome/outcome.hpp"

/// From a finished simulation to what a user gets.
namespace oxfade::engine {

/// Throws InputError when an option is out of its range.
void require_valid(const Options& options);

/// How far one pressure is to reach.
Pressures pressures_of(const Options& options);

/// What went in and out and what is there more than at the start, in all and of it air [mol].
struct Throughput {
    double made_air = 0.0, made_product = 0.0;
    double gone = 0.0, gone_air = 0.0;
    double stored = 0.0, stored_air = 0.0;
    /// Of each species beside air and product: what water has given to the gas, and what is dissolved in it.
    std::array<double, gas::species_count> gone_beside{}, stored_beside{};
    double handled = 0.0;  ///< what residuals are measured against
};

/// Moles of each species in, out and stored over the run (model.md section 12).
outcome::Balance balance_of(const Gases& gases, const Throughput& through);
outcome::Balance balance_of(const Network& net, const Simulation& simulation,
                            const outcome::SourceOutcome& source);

/// The full outcome, findings included; takes the history out of the simulation.
outcome::Outcome assemble(const plant::Plant& plant, const Network& net, Simulation& simulation);

/// The numbers an ensemble keeps.
Trial headline(const plant::Plant& plant, const Network& net, const Simulation& simulation);

}  // namespace oxfade::engine
