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

namespace {

/// Names of a plant's pipes mostly differ in their last letter: looked at first, for plants of thousands.
bool same_name(const std::string& a, const std::string& b) {
    return a.size() == b.size() && (a.empty() || (a.back() == b.back() && a == b));
}

}  // namespace

std::optional<std::size_t> Riser::pipe_index(const std::string& pipe) const {
    const auto found =
        std::find_if(pipes.begin(), pipes.end(), [&](const Pipe& p) { return same_name(p.name, pipe); });
    if (found == pipes.end()) return std::nullopt;
    return static_cast<std::size_t>(found - pipes.begin());
}

std::optional<std::size_t> Riser::parent_index(std::size_t index) const {
    if (index == 0 || index >= pipes.size()) return std::nullopt;
    const std::optional<std::string>& from = pipes[index].from;
    if (!from || same_name(pipes[index - 1].name, *from)) return index - 1;
    return pipe_index(*from);
}

const Temperature& temperature_of(const Riser& riser, const Site& site) {
    return riser.temperature ? *riser.temperature : site.temperature;
}

}  // namespace oxfade::plant
