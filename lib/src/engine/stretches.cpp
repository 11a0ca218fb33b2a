#include "engine/stretches.hpp"

#include <algorithm>

#include "engine/at.hpp"
#include "engine/composition.hpp"

namespace oxfade::engine {
namespace {

/// What the risers did in one stretch.
class StretchBuilder {
  public:
    StretchBuilder(const Network& net, const Simulation& simulation, const Agenda::Stretch& stretch)
        : net_(net),
          simulation_(simulation),
          layout_(simulation.dynamics().layout()),
          stretch_(stretch),
          begin_(stretch.begin),
          end_(stretch.end) {}

    outcome::RiserStretch riser(int r) const {
        outcome::RiserStretch out;
        out.oxygen_begin = worst_oxygen(begin_, r);
        out.oxygen_end = worst_oxygen(end_, r);
        out.pressure_end = simulation_.dynamics().riser_pressure(end_.time, end_.x, r);
        out.lowest = stretch_.pressures[at(r)].begin;
        out.highest = stretch_.pressures[at(r)].end;
        out.vented = change(layout_.total(r, Layout::vented));
        out.leaked = change(layout_.total(r, Layout::leaked));
        out.supplied = stored(end_, r) - stored(begin_, r) + out.vented + out.leaked - given_by_water(r);
        for (const auto& fill : simulation_.switches().fills(r)) {
            if (fill.fill_end > begin_.time && fill.fill_end <= end_.time)
                out.fill_time = fill.fill_end - fill.fill_start;
        }
        for (const outcome::Stretch& good : simulation_.targets().stretches(r)) {
            if (good.begin < end_.time && good.end >= end_.time)
                out.time_to_target = std::max(0.0, good.begin - begin_.time);
        }
        return out;
    }

  private:
    double change(int entry) const { return end_.x[entry] - begin_.x[entry]; }
    template <class Visit>
    void nodes(int r, const Visit& visit) const {
        const RiserNet& riser = net_.risers[at(r)];
        for (int i = riser.first; i < riser.first + riser.count; ++i) visit(i);
    }
    double stored(const Snapshot& now, int r) const {
        double moles = 0.0;
        nodes(r, [&](int i) { moles += layout_.moles(now.x, i); });
        return moles;
    }
    /// Vapour and gas that have come out of the water, less what has gone into it [mol].
    double given_by_water(int r) const {
        if (!layout_.wet()) return 0.0;
        double moles = 0.0;
        for (const auto which : {Layout::oxygen, Layout::nitrogen, Layout::vapour}) {
            nodes(r, [&](int i) { moles += change(layout_.trace(which, i)); });
            moles += change(layout_.gone(r, which));
        }
        return moles;
    }
    double worst_oxygen(const Snapshot& now, int r) const {
        double worst = 0.0;
        nodes(r, [&](int i) { worst = std::max(worst, oxygen_fraction(net_, layout_, now.x, i)); });
        return worst;
    }

    const Network& net_;
    const Simulation& simulation_;
    const Layout& layout_;
    const Agenda::Stretch& stretch_;
    const Snapshot &begin_, &end_;
};

outcome::RunStretch stretch_of(const plant::Plant& plant, const Network& net, const Simulation& simulation,
                               const Agenda::Stretch& stretch) {
    const Snapshot &begin = stretch.begin, &end = stretch.end;
    outcome::RunStretch out;
    out.begin = begin.time;
    out.end = end.time;
    for (const std::size_t action : stretch.actions) out.actions.push_back(plant.actions[action]);
    out.on_air = end.clock.air - begin.clock.air;
    out.running = end.clock.nitrogen - begin.clock.nitrogen + out.on_air;
    out.starts = end.starts - begin.starts;
    const bool cylinders = net.source.kind == SourceKind::cylinders;
    out.made_nitrogen =
        cylinders ? begin.x[Layout::source] - end.x[Layout::source] : end.made.nitrogen - begin.made.nitrogen;
    const StretchBuilder builder(net, simulation, stretch);
    for (int r = 0; r < static_cast<int>(net.risers.size()); ++r) out.risers.push_back(builder.riser(r));
    return out;
}

}  // namespace

std::vector<outcome::RunStretch> stretches_of(const plant::Plant& plant, const Network& net,
                                              const Simulation& simulation) {
    std::vector<outcome::RunStretch> out;
    for (const Agenda::Stretch& stretch : simulation.agenda().stretches())
        out.push_back(stretch_of(plant, net, simulation, stretch));
    return out;
}

}  // namespace oxfade::engine
