#include "engine/mesh.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "oxfade/outcome/findings.hpp"
#include "plant/pipe_tree.hpp"

namespace oxfade::engine {
namespace {

/// Cells along the longest way through a dead end, and from where gas enters to a vent, at a refinement of 1.
constexpr double cells_of_dead_end = 10.0, cells_of_way = 24.0;
constexpr double tee_bores = 2.0;     ///< length of the cell that side pipes hang on
constexpr double same_volume = 1e-9;  ///< of what leaves a point: equal but for rounding
constexpr double least_bores = 1.0;   ///< no cell is shorter
constexpr double water_share = 0.45;  ///< of a cell that water beside it takes at most
/// Pipes breathe whose gas swings by more than this part: then their dead ends' cells move with it.
constexpr double least_swing = 0.02;
constexpr double least_breathing_cells = 3.0;  ///< at a refinement of 1
constexpr double breathing_seed = 0.003;  ///< of a dead end that one of them is at the least amount of gas
constexpr double most_stirred = 0.5;      ///< of a pipe that gets a cell of its own for what its mouth stirs
constexpr double first_share =
    0.2;  ///< length of the cell at the mouth of a dead end, over that of one far from it
constexpr double growth = 1.4;  ///< of the cells of a dead end from its mouth on, where gradients are steep

class Mesher {
  public:
    Mesher(const plant::Plant& plant, const plant::Riser& riser, double refinement)
        : riser_(riser),
          tree_(riser),
          refinement_(refinement),
          order_(tree_.parents_first()),
          children_(riser.pipes.size()),
          dead_(riser.pipes.size(), false),
          behind_(riser.pipes.size(), 0.0),
          before_(riser.pipes.size(), 0.0),
          meshes_(riser.pipes.size()),
          swing_(1.0 - breathing_range(plant, riser)),
          breathes_(swing_ > least_swing && dry(plant)),
          stirred_(plant.mixing.mouth) {}

    std::vector<PipeMesh> build() {
        for (const std::size_t p : order_) {
            if (const auto parent = tree_.parent(p)) children_[*parent].push_back(p);
        }
        mark_dead_ends();
        measure();
        mark_sides();
        for (const std::size_t p : order_) cut(p);
        for (const std::size_t p : order_) {
            const auto parent = tree_.parent(p);
            if (dead_[p] && (meshes_[p].side || (parent && !dead_[*parent]))) cut_dead_end(p);
        }
        return std::move(meshes_);
    }

  private:
    static bool dry(const plant::Plant& plant) {
        return std::all_of(plant.risers.begin(), plant.risers.end(),
                           [](const plant::Riser& riser) { return riser.low_points.empty(); });
    }

    double length(std::size_t p) const {
        const plant::Cylinder* shape = riser_.pipes[p].geometry();
        return shape ? shape->length : 0.0;
    }

    void mark_dead_ends() {
        for (const std::size_t p : outcome::dead_branches(riser_)) dead_[p] = true;
        for (const std::size_t p : order_) {
            const auto parent = tree_.parent(p);
            dead_[p] = dead_[p] || (parent && dead_[*parent]);
        }
    }

    /// Longest ways from where gas enters and to the farthest end, of pipes alike in being dead ends or not.
    void measure() {
        for (const std::size_t p : order_) {
            const auto parent = tree_.parent(p);
            before_[p] = length(p) + (parent && dead_[*parent] == dead_[p] ? before_[*parent] : 0.0);
        }
        for (auto p = order_.rbegin(); p != order_.rend(); ++p) {
            behind_[*p] = 0.0;
            for (const std::size_t child : children_[*p]) {
                if (dead_[child] == dead_[*p])
                    behind_[*p] = std::max(behind_[*p], length(child) + behind_[child]);
            }
        }
    }

    /// Of several pipes that leave a point the one with the most piping goes on, the others leave at its
    /// side.
    void mark_sides() {
        std::vector<double> volume(riser_.pipes.size(), 0.0);
        for (auto p = order_.rbegin(); p != order_.rend(); ++p) {
            volume[*p] += riser_.pipes[*p].volume();
            if (const auto parent = tree_.parent(*p)) volume[*parent] += riser_.pipes[*p].count * volume[*p];
        }
        for (const auto& children : children_) {
            double most = 0.0;
            int with_most = 0;  // equal pipes all leave at the side, whether they are written out or counted
            for (const std::size_t child : children) {
                const int count = riser_.pipes[child].count;
                if (volume[child] > most * (1.0 + same_volume)) {
                    most = volume[child];
                    with_most = count;
                } else if (volume[child] > most * (1.0 - same_volume)) {
                    with_most += count;
                }
            }
            for (const std::size_t child : children) {
                meshes_[child].side = with_most > 1 || volume[child] < most * (1.0 - same_volume);
            }
        }
    }

    void cut(std::size_t p) {
        const plant::Pipe& pipe = riser_.pipes[p];
        PipeMesh& mesh = meshes_[p];
        const plant::Cylinder* shape = pipe.geometry();
        const double way = before_[p] + behind_[p];
        if (dead_[p]) mesh.run = way;
        mesh.resolved = shape && !pipe.cells;
        if (!mesh.resolved) {
            const int cells = pipe.cells.value_or(1);
            mesh.parts.assign(static_cast<std::size_t>(cells), 1.0 / cells);
            return;
        }
        const double wanted =
            refinement_ * (dead_[p] ? cells_of_dead_end : cells_of_way) * shape->length / way;
        double rest = 1.0;
        const double tee = tee_bores * shape->bore / shape->length;
        const bool own_cell = has_sides(p) && wanted > 1.0 && tee < 0.5;
        if (own_cell) rest -= tee;
        const double most = std::max(1.0, rest * shape->length / (least_bores * shape->bore));
        const auto cells = static_cast<std::size_t>(std::ceil(std::clamp(wanted, 1.0, most) - 1e-9));
        mesh.parts.assign(cells, rest / static_cast<double>(cells));
        if (own_cell) mesh.parts.push_back(tee);
        make_room(p, mesh.parts);
    }

    /// The pipes that follow each other from the mouth of a dead end, in line.
    std::vector<std::size_t> line_from(std::size_t mouth) const {
        std::vector<std::size_t> line{mouth};
        for (;;) {
            const auto& next = children_[line.back()];
            const auto on =
                std::find_if(next.begin(), next.end(), [&](std::size_t p) { return !meshes_[p].side; });
            if (on == next.end()) return line;
            line.push_back(*on);
        }
    }

    /// True where nothing leaves a line, so that its cells may move with their gas.
    bool may_breathe(const std::vector<std::size_t>& line) const {
        return breathes_ && meshes_[line.front()].side &&
               std::all_of(line.begin(), line.end(), [&](std::size_t p) {
                   return meshes_[p].resolved && children_[p].size() <= 1 && !riser_.pipes[p].exchange;
               });
    }

    /// Cuts a dead end into cells that grow from its mouth on.
    void cut_dead_end(std::size_t mouth) {
        const std::vector<std::size_t> line = line_from(mouth);
        const bool moving = may_breathe(line);
        double volume = 0.0, run = 0.0;
        for (const std::size_t p : line) {
            volume += riser_.pipes[p].volume();
            run += length(p);
        }
        const double rate = std::pow(growth, 1.0 / refinement_);
        const double most = run / (refinement_ * cells_of_dead_end);
        // Length of the first cell, and of the next one to be cut; none shorter than a bore.
        double next = first_share * most;
        for (const std::size_t p : line) {
            PipeMesh& mesh = meshes_[p];
            if (!mesh.resolved) continue;
            const double bore = riser_.pipes[p].geometry()->bore;
            double rest = 1.0;
            std::vector<double> parts, tail;
            // What is stirred from the mouth is one gas, and so one cell.
            const double stirred = stirred_ * bore / length(p);
            if (mesh.side && stirred > 0.0 && stirred < most_stirred) {
                mesh.stirred = 1;
                parts.push_back(stirred);
            }
            if (moving && p == mouth) {
                mesh.breathing = static_cast<std::size_t>(std::ceil(
                    refinement_ * std::max(least_breathing_cells, swing_ * cells_of_dead_end) - 1e-9));
                parts.insert(parts.end(), mesh.breathing,
                             breathing_seed * volume / riser_.pipes[p].volume() / refinement_);
            } else if (mesh.parts.size() > 1 && has_sides(p)) {
                tail.push_back(mesh.parts.back());
                rest -= tail.back();
            }
            mesh.moving = moving;
            const std::size_t first = parts.size();
            rest -= std::accumulate(parts.begin(), parts.end(), 0.0);
            double sum = 0.0;
            while (sum < rest * length(p) * (1.0 - 1e-9)) {
                const double cell = std::max(next, least_bores * bore);
                // What would be left of the pipe goes to its last cell.
                const bool last = sum + 1.5 * cell > rest * length(p);
                parts.push_back(last ? rest * length(p) - sum : cell);
                sum += parts.back();
                next = std::min(std::max(next, cell) * rate, most);
            }
            for (std::size_t k = first; k < parts.size(); ++k) parts[k] /= length(p);
            parts.insert(parts.end(), tail.begin(), tail.end());
            mesh.parts = std::move(parts);
            if (!moving) make_room(p, mesh.parts);
        }
    }

    bool has_sides(std::size_t p) const {
        return std::any_of(children_[p].begin(), children_[p].end(),
                           [&](std::size_t child) { return meshes_[child].side; });
    }

    /// Joins cells at the ends of a pipe where water would leave them too little room for gas.
    void make_room(std::size_t p, std::vector<double>& parts) const {
        const double volume = riser_.pipes[p].volume();
        double near = 0.0, far = 0.0;
        for (const plant::LowPoint& low_point : riser_.low_points) {
            const auto on = tree_.index(low_point.on);
            if (!on) continue;
            if (*on == p) near += low_point.water;
            if (tree_.parent(*on) == p) far += low_point.water;
        }
        while (parts.size() > 1 && near > water_share * volume * parts.front()) {
            parts[1] += parts[0];
            parts.erase(parts.begin());
        }
        while (parts.size() > 1 && far > water_share * volume * parts.back()) {
            parts[parts.size() - 2] += parts.back();
            parts.pop_back();
        }
    }

    const plant::Riser& riser_;
    const plant::PipeTree tree_;
    double refinement_;
    std::vector<std::size_t> order_;
    std::vector<std::vector<std::size_t>> children_;
    std::vector<bool> dead_;
    std::vector<double> behind_, before_;
    std::vector<PipeMesh> meshes_;
    double swing_;  ///< part of the gas that comes and goes
    bool breathes_;
    double stirred_;  ///< depth at mouths, in bores
};

}  // namespace

std::vector<PipeMesh> mesh_of(const plant::Plant& plant, const plant::Riser& riser, double refinement) {
    return Mesher(plant, riser, refinement).build();
}

double breathing_range(const plant::Plant& plant, const plant::Riser& riser) {
    double low = riser.set_pressure, high = riser.set_pressure;
    if (const auto* supply = std::get_if<plant::PressureSwitch>(&riser.supply)) {
        low = supply->low;
        high = supply->high;
    }
    for (const plant::Vent& vent : riser.vents) {
        if (const auto* between = std::get_if<plant::OpenBetween>(&vent.policy))
            low = std::min(low, between->low);
    }
    const plant::Temperature& temperature = plant::temperature_of(riser, plant.site);
    return low / high * temperature.coldest() / temperature.warmest();
}

}  // namespace oxfade::engine
