#include "engine/mesh.hpp"

#include <algorithm>
#include <cmath>

#include "oxfade/outcome/findings.hpp"
#include "plant/pipe_tree.hpp"

namespace oxfade::engine {
namespace {

/// Cells along the longest way through a dead end, and from where gas enters to a vent, at a refinement of 1.
constexpr double cells_of_dead_end = 8.0, cells_of_way = 24.0;
constexpr double tee_bores = 2.0;     ///< length of the cell that side pipes hang on
constexpr double least_bores = 1.0;   ///< no cell is shorter
constexpr double water_share = 0.45;  ///< of a cell that water beside it takes at most
/// Pipes breathe whose gas swings by more than this part: then their dead ends' cells move with it.
constexpr double least_swing = 0.02;
constexpr double breathing_cells = 3.0;  ///< at a refinement of 1
constexpr double breathing_seed = 0.01;  ///< of a dead end that one of them is at the least amount of gas
constexpr double growth = 1.25;          ///< of moving cells from the mouth on

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
          breathes_(breathing_range(plant, riser) < 1.0 - least_swing && dry(plant)) {}

    std::vector<PipeMesh> build() {
        for (const std::size_t p : order_) {
            if (const auto parent = tree_.parent(p)) children_[*parent].push_back(p);
        }
        mark_dead_ends();
        measure();
        mark_sides();
        for (const std::size_t p : order_) cut(p);
        if (breathes_) {
            for (const std::size_t p : order_) {
                if (dead_[p] && meshes_[p].side) cut_breathing(p);
            }
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
                if (dead_[child] == dead_[*p]) behind_[*p] = std::max(behind_[*p], length(child) + behind_[child]);
            }
        }
    }

    /// Of several pipes that leave a point the one with the most piping goes on, the others leave at its side.
    void mark_sides() {
        std::vector<double> volume(riser_.pipes.size(), 0.0);
        for (auto p = order_.rbegin(); p != order_.rend(); ++p) {
            volume[*p] += riser_.pipes[*p].volume();
            if (const auto parent = tree_.parent(*p)) volume[*parent] += riser_.pipes[*p].count * volume[*p];
        }
        for (const auto& children : children_) {
            const std::size_t* on = nullptr;
            for (const std::size_t& child : children) {
                if (riser_.pipes[child].count > 1) continue;
                if (!on || volume[child] > volume[*on]) on = &child;
            }
            for (const std::size_t& child : children) meshes_[child].side = &child != on;
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
        const bool sides = std::any_of(children_[p].begin(), children_[p].end(),
                                       [&](std::size_t child) { return meshes_[child].side; });
        const double wanted = refinement_ * (dead_[p] ? cells_of_dead_end : cells_of_way) * shape->length / way;
        double rest = 1.0;
        const double tee = tee_bores * shape->bore / shape->length;
        const bool own_cell = sides && wanted > 1.0 && tee < 0.5;
        if (own_cell) rest -= tee;
        const double most = std::max(1.0, rest * shape->length / (least_bores * shape->bore));
        const auto cells = static_cast<std::size_t>(std::ceil(std::clamp(wanted, 1.0, most) - 1e-9));
        mesh.parts.assign(cells, rest / static_cast<double>(cells));
        if (own_cell) mesh.parts.push_back(tee);
        make_room(p, mesh.parts);
    }

    /// Cuts a line of pipes that nothing leaves, from its mouth to its end, into cells that move with their gas.
    void cut_breathing(std::size_t mouth) {
        std::vector<std::size_t> line;
        double volume = 0.0, run = 0.0;
        for (std::size_t p = mouth;; p = children_[p].front()) {
            if (!meshes_[p].resolved || children_[p].size() > 1 || riser_.pipes[p].exchange) return;
            if (p != mouth && riser_.pipes[p].count > 1) return;
            line.push_back(p);
            volume += riser_.pipes[p].volume();
            run += length(p);
            if (children_[p].empty()) break;
        }
        const auto breathing = static_cast<std::size_t>(std::ceil(breathing_cells * refinement_ - 1e-9));
        double rate = std::pow(growth, 1.0 / refinement_), size = 1.0;
        for (const std::size_t p : line) {
            PipeMesh& mesh = meshes_[p];
            mesh.moving = true;
            const double cells = std::max(1.0, std::ceil(refinement_ * cells_of_dead_end * length(p) / run - 1e-9));
            mesh.parts.clear();
            double rest = 1.0;
            if (p == mouth) {
                mesh.breathing = breathing;
                const double seed = breathing_seed * volume / riser_.pipes[p].volume() / refinement_;
                mesh.parts.assign(breathing, seed);
                rest -= seed * static_cast<double>(breathing);
            }
            const std::size_t first = mesh.parts.size();
            double sum = 0.0;
            for (int k = 0; k < static_cast<int>(cells); ++k, size *= rate) {
                mesh.parts.push_back(size);
                sum += size;
            }
            for (std::size_t k = first; k < mesh.parts.size(); ++k) mesh.parts[k] *= rest / sum;
        }
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
    bool breathes_;
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
        if (const auto* between = std::get_if<plant::OpenBetween>(&vent.policy)) low = std::min(low, between->low);
    }
    const plant::Temperature& temperature = plant::temperature_of(riser, plant.site);
    return low / high * temperature.coldest() / temperature.warmest();
}

}  // namespace oxfade::engine
