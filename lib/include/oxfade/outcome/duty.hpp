#pragma once

#include <optional>
#include <string>
#include <vector>

#include "oxfade/plant/plant.hpp"

namespace oxfade::outcome {

/// What can be said of one riser without running it.
struct RiserDuty {
    std::string name;
    double volume = 0.0;            ///< [m3]
    double vents_open = 0.0;        ///< product gas through all vents open at set pressure [mol/s]
    double vents_average = 0.0;     ///< the same, counting timed vents by the share of time they are open
    double leaks = 0.0;             ///< [mol/s] at set pressure
    double supply_capacity = 0.0;   ///< most its supply orifice passes at set pressure from the lowest usual
                                    ///< pressure ahead of it [mol/s]
    double fill_need = 0.0;         ///< gas from initial to set pressure [mol]
    double fill_estimate = 0.0;     ///< about how long its fill takes, the receiver at `stop` [s]
    double fill_flow_needed = 0.0;  ///< source flow that would just meet its fill limit [mol/s]
    std::optional<double>
        test_loss;  ///< loss in the acceptance test of `acceptance` [Pa]; none without a leak
};

/// What the risers ask of the source in steady service, and what it makes.
struct PlantDuty {
    std::vector<RiserDuty> risers;
    double demand = 0.0;  ///< steady average of all risers [mol/s]
    std::optional<double>
        separator;  ///< nitrogen the source makes [mol/s]; none for cylinders and compressors
};

/// The usual pneumatic acceptance test of dry piping: NFPA 13, 28.2.2.1 (2019 numbering).
struct AcceptanceTest {
    double gauge_pressure = 40.0 * 6894.757293168;  ///< 40 psi [Pa]
    double duration = 24.0 * 3600.0;                ///< [s]
    double loss_allowed = 1.5 * 6894.757293168;     ///< 1.5 psi [Pa]
};

/// Needs a valid plant.
PlantDuty duty_of(const plant::Plant& plant);

/// Pressure [Pa] lost in the acceptance test through an effective area [m2] by a volume [m3] of air.
double acceptance_loss(double effective_area, double volume, const plant::Site& site,
                       const AcceptanceTest& test = {});

}  // namespace oxfade::outcome
