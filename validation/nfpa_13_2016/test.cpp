#include <gtest/gtest.h>

#include <map>
#include <string>

#include "oxfade/engine/predict.hpp"
#include "oxfade/scenario/quantity.hpp"
#include "pipes.hpp"
#include "units.hpp"

using namespace oxfade;
using namespace oxfade::validation;

namespace {

/// What the row's text is, read as in a scenario, in the row's unit; a pitch in thousandths.
double in_other_unit(const Row& row) {
    static const std::map<std::string, scenario::Dimension> kinds{
        {"volume", scenario::Dimension::volume},
        {"pressure_difference", scenario::Dimension::pressure_difference},
        {"length", scenario::Dimension::length}};
    const scenario::Dimension kind = kinds.at(row.text("kind"));
    const double ratio = scenario::quantity(row.text("text"), kind, atmosphere) /
                         scenario::quantity(row.text("per"), kind, atmosphere);
    return row.text("unit") == "mm/m" ? 1e3 * ratio : ratio;
}

/// Minutes in which a compressor with next to no receiver fills a volume to 40 psig.
double fill_minutes(const Row& row) {
    plant::Plant plant;
    plant.title = "fill";
    plant.duration = 2.0 * 3600.0;
    plant.site.temperature = plant.site.reference.temperature = 288.706;  // 60 degF
    plant::Compressor compressor;
    compressor.air_flow = row.number("flow_m3_s");
    compressor.receiver = {1e-3, atmosphere + 100.0 * psi, atmosphere + 200.0 * psi, atmosphere,
                           plant::InitialGas::air};
    plant.source = compressor;
    plant::Pipe pipe;
    pipe.name = "all";
    pipe.shape = plant::VolumeOnly{row.number("volume_m3")};
    plant::Riser riser;
    riser.name = "R";
    riser.set_pressure = atmosphere + 40.0 * psi;
    riser.fill = {0.5 * inch, 0.8};
    riser.supply = plant::Regulator{{0.125 * inch, 0.8}};
    riser.pipes.push_back(std::move(pipe));
    plant.risers.push_back(std::move(riser));
    return engine::predict(plant).risers.front().fill_time.value() / 60.0;
}

}  // namespace

TEST(nfpa_13_2016, pipe_units_and_fill) {
    check_rows("nfpa_13_2016", {{"plant::find_pipe_size bore", pipe_bore},
                                {"scenario::quantity", in_other_unit},
                                {"engine::predict, fill", fill_minutes}});
}
