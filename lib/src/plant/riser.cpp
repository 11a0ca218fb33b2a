#include "oxfade/plant/riser.hpp"

#include <algorithm>
#include <numbers>

namespace oxfade::plant {

double Orifice::effective_area() const { return coefficient * std::numbers::pi / 4.0 * diameter * diameter; }

double Pipe::volume() const {
    if (const Cylinder* cylinder = geometry()) {
        return std::numbers::pi / 4.0 * cylinder->bore * cylinder->bore * cylinder->length;
    }
    return std::get<VolumeOnly>(shape).volume;
}

const Cylinder* Pipe::geometry() const { return std::get_if<Cylinder>(&shape); }

double Riser::volume() const {
    double total = 0.0;
    for (const Pipe& pipe : pipes) total += pipe.volume();
    return total;
}

std::optional<std::size_t> Riser::pipe_index(const std::string& pipe) const {
    const auto found =
        std::find_if(pipes.begin(), pipes.end(), [&](const Pipe& p) { return p.name == pipe; });
    if (found == pipes.end()) return std::nullopt;
    return static_cast<std::size_t>(found - pipes.begin());
}

std::optional<std::size_t> Riser::parent_index(std::size_t index) const {
    if (index == 0 || index >= pipes.size()) return std::nullopt;
    const std::optional<std::string>& from = pipes[index].from;
    return from ? pipe_index(*from) : index - 1;
}

const Temperature& temperature_of(const Riser& riser, const Site& site) {
    return riser.temperature ? *riser.temperature : site.temperature;
}

}  // namespace oxfade::plant
