#include <cstdio>
#include <oxfade/oxfade.hpp>

int main() {
    oxfade::plant::Plant plant;
    plant.duration = 3600.0;
    plant.source = oxfade::plant::Cylinders{0.999, 50.0, 8e5};
    oxfade::plant::Riser riser;
    riser.name = "one";
    riser.set_pressure = 3e5;
    riser.fill = {0.012, 0.8};
    riser.supply = oxfade::plant::Regulator{{0.003, 0.8}};
    riser.pipes.push_back({"main", {}, oxfade::plant::VolumeOnly{2.0}, 1, {}, {}});
    plant.risers.push_back(riser);
    const auto run = oxfade::engine::predict(plant);
    std::printf("filled in %.2f min\n", run.risers[0].fill_time.value() / 60.0);
}
