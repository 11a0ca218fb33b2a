#include "oxfade/plant/riser.hpp"

#include <algorithm>
#include <numbers>

#include "plant/pipe_tree.hpp"

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
    const std::vector<int> times = copies();
    for (std::size_t i = 0; i < pipes.size(); ++i) total += pipes[i].volume() * times[i];
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

std::vector<int> Riser::copies() const {
    constexpr double most = 1e9;
    const PipeTree tree(*this);
    std::vector<int> copies(pipes.size(), 1);
    for (const std::size_t i : tree.parents_first()) {
        const double all = double(pipes[i].count) * (tree.parent(i) ? copies[*tree.parent(i)] : 1);
        copies[i] = static_cast<int>(std::clamp(all, -most, most));  // beyond any limit, but countable
    }
    return copies;
}

int Riser::copies_of(const std::string& pipe) const {
    const auto index = pipe_index(pipe);
    return index ? copies()[*index] : 1;
}

std::vector<bool> Riser::branch_lines() const {
    const PipeTree tree(*this);
    std::vector<std::size_t> order = tree.parents_first();
    std::vector<int> behind(pipes.size(), 0);
    std::vector<bool> lines(pipes.size(), true);
    std::reverse(order.begin(), order.end());
    for (const std::size_t i : order) {
        const auto parent = tree.parent(i);
        if (!parent) continue;
        behind[*parent] += pipes[i].count;
        if (behind[*parent] > 1 || !lines[i]) lines[*parent] = false;
    }
    if (!lines.empty()) lines[0] = false;
    return lines;
}

std::vector<double> Riser::pitches() const {
    const std::vector<bool> lines = branch_lines();
    std::vector<double> pitches(pipes.size(), 0.0);
    for (std::size_t i = 0; i < pipes.size(); ++i) {
        const Pipe& pipe = pipes[i];
        const Cylinder* shape = pipe.geometry();
        if (pipe.pitch) {
            pitches[i] = *pipe.pitch;
        } else if (shape && pipe.elevation) {
            pitches[i] = std::clamp(((*pipe.elevation)[1] - (*pipe.elevation)[0]) / shape->length, -1.0, 1.0);
        } else if (shape) {
            pitches[i] = lines[i] ? branch_line_pitch : main_pitch;
        }
    }
    return pitches;
}

const Temperature& temperature_of(const Riser& riser, const Site& site) {
    return riser.temperature ? *riser.temperature : site.temperature;
}

}  // namespace oxfade::plant
