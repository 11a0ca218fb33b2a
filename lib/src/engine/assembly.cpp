#include "engine/assembly.hpp"

#include <algorithm>
#include <cmath>

#include "engine/composition.hpp"
#include "engine/stretches.hpp"
#include "engine/water_outcome.hpp"
#include "oxfade/outcome/duty.hpp"
#include "oxfade/outcome/findings.hpp"

namespace oxfade::engine {
namespace {

/// Gas in a riser [mol].
double stored_in(const Layout& layout, const Network& net, const State& x, int r) {
    if (net.pressures == Pressures::uniform) return x[layout.riser(r)];
    const RiserNet& riser = net.risers[static_cast<std::size_t>(r)];
    double sum = 0.0;
    for (int i = riser.first; i < riser.first + riser.count; ++i) sum += layout.moles(x, i);
    return sum;
}

/// Whether all fills that were completed kept a limit [s], and the first was.
bool fills_met(const Switchboard::RiserLog& first, const std::vector<Switchboard::RiserLog>& fills,
               double limit) {
    if (first.fill_end < 0.0 || first.fill_end - first.fill_start > limit) return false;
    return std::all_of(fills.begin(), fills.end(), [&](const Switchboard::RiserLog& fill) {
        return fill.fill_end - fill.fill_start <= limit;
    });
}

/// Assembles the outcome from a finished simulation.
class Assembly {
  public:
    Assembly(const plant::Plant& plant, const Network& net, Simulation& simulation)
        : plant_(plant), net_(net), simulation_(simulation), layout_(simulation.dynamics().layout()) {}

    outcome::Outcome build() {
        out_.title = plant_.title;
        out_.duration = plant_.duration;
        out_.target = plant_.target;
        out_.target_at = plant_.target_at;
        out_.nitrogen_purity = plant::product_purity(plant_.source);
        out_.source = simulation_.clock().result(simulation_.network().source, simulation_.switches(),
                                                 simulation_.state());
        const outcome::PlantDuty duty = outcome::duty_of(plant_);
        for (std::size_t r = 0; r < plant_.risers.size(); ++r) {
            out_.risers.push_back(riser(r));
            out_.risers.back().steady_demand = duty.risers[r].vents_average + duty.risers[r].leaks;
        }
        out_.resolution.cells = net_.nodes();
        for (const plant::Riser& riser : plant_.risers) {
            for (const plant::Pipe& pipe : riser.pipes) out_.resolution.pipes_as_given += pipe.cells ? 1 : 0;
        }
        out_.balance = balance_of(net_, simulation_, out_.source);
        out_.history = simulation_.history().take();
        out_.stretches = stretches_of(plant_, net_, simulation_);
        for (std::size_t r = 0; r < out_.risers.size(); ++r) {
            out_.risers[r].not_met_because = outcome::reason_not_met(plant_, out_, r);
        }
        out_.messages = outcome::findings_after(plant_, out_);
        return std::move(out_);
    }

  private:
    outcome::RiserOutcome riser(std::size_t index) {
        const auto r = static_cast<int>(index);
        const plant::Riser& given = plant_.risers[index];
        const State& x = simulation_.state();
        outcome::RiserOutcome out;
        out.name = given.name;
        out.volume = given.volume();
        out.fill_limit = given.fill_limit;
        const Switchboard::RiserLog& log = simulation_.switches().log()[index];
        if (log.fill_start >= 0.0) out.fill_start = log.fill_start;
        if (log.fill_end >= 0.0) out.fill_time = log.fill_end - log.fill_start;
        for (const auto& fill : simulation_.switches().fills(r)) {
            if (fill.fill_end > log.fill_end) out.refills.push_back({fill.fill_start, fill.fill_end});
        }
        out.fill_met = fills_met(log, simulation_.switches().fills(r), out.fill_limit);
        out.final_pressure = simulation_.dynamics().riser_pressure(plant_.duration, x, r);
        out.vented = x[layout_.total(r, Layout::vented)];
        out.leaked = x[layout_.total(r, Layout::leaked)];
        out.lost_in_trips = simulation_.spilled()[index].gas;
        out.supplied = stored_in(layout_, net_, x, r) - net_.risers[index].initial + out.vented + out.leaked +
                       out.lost_in_trips;
        if (layout_.wet()) add_water(net_, simulation_, r, out);
        const outcome::Stretch range = simulation_.pressure_range(r);
        out.lowest_in_service = range.begin;
        out.highest_in_service = range.end;
        out.at_target = simulation_.targets().stretches(r);
        if (!out.at_target.empty() && out.at_target.back().end >= plant_.duration) {
            out.time_to_target = out.at_target.back().begin;
        }
        const auto since = [&](plant::TargetAt what) {
            const std::vector<outcome::Stretch>& good = simulation_.targets().stretches(r, what);
            const bool met = !good.empty() && good.back().end >= plant_.duration;
            return met ? std::optional(good.back().begin) : std::nullopt;
        };
        out.time_at_readings = since(plant::TargetAt::readings);
        out.time_of_average = since(plant::TargetAt::average);
        out.time_everywhere = since(plant::TargetAt::everywhere);
        add_readings(index, out);
        add_pipes(index, out);
        add_exposure(index, out);
        return out;
    }

    void add_readings(std::size_t index, outcome::RiserOutcome& out) const {
        const RiserNet& riser = net_.risers[index];
        for (const RiserNet::Reading& reading : riser.readings) {
            out.readings.push_back({reading.name, reading.vent, plant_.risers[index].pipes[reading.pipe].name,
                                    reading.cell,
                                    oxygen_fraction(net_, layout_, simulation_.state(), reading.node),
                                    simulation_.targets().node_since(reading.node)});
        }
        double oxygen = 0.0, gas = 0.0;
        for (int i = riser.first; i < riser.first + riser.count; ++i) {
            const double dry = dry_moles(layout_, simulation_.state(), i);
            oxygen += dry * oxygen_fraction(net_, layout_, simulation_.state(), i);
            gas += dry;
        }
        out.average_oxygen = oxygen / std::max(gas, 1e-300);
    }

    void add_pipes(std::size_t index, outcome::RiserOutcome& out) const {
        const plant::Riser& given = plant_.risers[index];
        const std::vector<int> copies = given.copies();
        double worst = -1.0;
        const bool met = out.time_everywhere.has_value();
        for (std::size_t p = 0; p < given.pipes.size(); ++p) {
            outcome::PipeOutcome pipe;
            pipe.name = given.pipes[p].name;
            pipe.copies = copies[p];
            const std::vector<int>& nodes = net_.node_of[index][p];
            for (std::size_t c = 0; c < nodes.size(); ++c) {
                pipe.cell_ends.push_back(net_.cell_end[static_cast<std::size_t>(nodes[c])]);
                pipe.oxygen.push_back(oxygen_fraction(net_, layout_, simulation_.state(), nodes[c]));
                pipe.time_to_target.push_back(simulation_.targets().node_since(nodes[c]));
                const double badness = met ? pipe.time_to_target.back().value_or(0.0) : pipe.oxygen.back();
                if (badness > worst) {
                    worst = badness;
                    out.limiting_pipe = pipe.name;
                    out.limiting_cell = c;
                }
            }
            out.pipes.push_back(std::move(pipe));
        }
    }

    void add_exposure(std::size_t index, outcome::RiserOutcome& out) const {
        const ExposureMeter& meter = simulation_.exposure();
        double oxygen = 0.0, on_air = 0.0;
        for (std::size_t p = 0; p < out.pipes.size(); ++p) {
            for (const int node : net_.node_of[index][p])
                out.pipes[p].oxygen_exposure.push_back(meter.oxygen(node) /
                                                       std::max(meter.on_air(node), 1e-300));
        }
        const RiserNet& riser = net_.risers[index];
        for (int node = riser.first; node < riser.first + riser.count; ++node) {
            const double volume = 1.0 / net_.node_pressure_per_mole[static_cast<std::size_t>(node)];
            oxygen += volume * meter.oxygen(node);
            on_air += volume * meter.on_air(node);
        }
        out.oxygen_exposure = oxygen / std::max(on_air, 1e-300);
    }

    const plant::Plant& plant_;
    const Network& net_;
    Simulation& simulation_;
    Layout layout_;
    outcome::Outcome out_;
};

}  // namespace

void require_valid(const Options& options) {
    std::vector<Problem> problems;
    const auto range = [&](const char* key, double value, double low, double high) {
        if (value >= low && value <= high) return;
        Problem problem;
        problem.key = key;
        problem.value = std::to_string(value);
        problem.what = "the value is out of range";
        problem.allowed = "allowed is " + std::to_string(low) + " to " + std::to_string(high);
        problems.push_back(std::move(problem));
    };
    range("solver.relative_tolerance", options.relative_tolerance, 1e-12, 1e-2);
    if (options.refinement != 0.0) range("solver.refinement", options.refinement, 0.05, 100.0);
    range("solver.event_tolerance", options.event_tolerance, 1e-9, 1.0);
    if (options.history_points != 0)
        range("solver.history_points", static_cast<double>(options.history_points), 2.0, 1e6);
    range("solver.max_steps", static_cast<double>(options.max_steps), 1.0, 1e15);
    if (!problems.empty()) throw InputError(std::move(problems));
}

Pressures pressures_of(const Options& options) {
    return options.resolve_friction ? Pressures::resolved : Pressures::uniform;
}

outcome::Balance balance_of(const Gases& gases, const Throughput& t) {
    outcome::Balance balance;
    for (std::size_t s = 0; s < gas::species_count; ++s) {
        const double air = gases.air.fraction[s], product = gases.product.fraction[s];
        const auto species = [&](double all, double of_air) {
            return of_air * air + (all - of_air) * product;
        };
        balance.in[s] = species(t.made_air + t.made_product, t.made_air);
        balance.out[s] = species(t.gone, t.gone_air) + t.gone_beside[s];
        balance.stored_change[s] = species(t.stored, t.stored_air) + t.stored_beside[s];
        const double residual = balance.in[s] - balance.out[s] - balance.stored_change[s];
        balance.worst_relative =
            std::max(balance.worst_relative, std::abs(residual) / std::max(t.handled, 1e-300));
    }
    return balance;
}

outcome::Balance balance_of(const Network& net, const Simulation& simulation,
                            const outcome::SourceOutcome& source) {
    const Layout& layout = simulation.dynamics().layout();
    const State& x = simulation.state();
    const State& start = simulation.at_start();
    const bool cylinders = net.source.kind == SourceKind::cylinders;
    Throughput t;
    t.made_air = source.made_air;
    t.made_product = cylinders ? 0.0 : source.made_nitrogen;  // cylinders count as stored
    t.handled = t.made_air + t.made_product + start[Layout::source];
    t.stored = x[Layout::source] - start[Layout::source];
    t.stored_air = x[Layout::source_air] - start[Layout::source_air];
    for (int r = 0; r < layout.risers; ++r) {
        t.gone += x[layout.total(r, Layout::vented)] + x[layout.total(r, Layout::leaked)];
        t.gone_air += x[layout.total(r, Layout::vented_air)] + x[layout.total(r, Layout::leaked_air)];
        const Simulation::Spill& spill = simulation.spilled()[static_cast<std::size_t>(r)];
        t.gone += spill.gas;
        t.gone_air += spill.air;
    }
    for (int i = 2; i < 2 + layout.vessels; ++i) {
        t.stored += x[i] - start[i];
        t.handled += start[i];
    }
    for (int i = 0; i < layout.nodes; ++i) t.stored_air += x[layout.air(i)] - start[layout.air(i)];
    if (!layout.wet()) return balance_of(net.gases, t);
    const WaterAmounts water = water_amounts(net, simulation);
    t.stored -= water.stored_all;
    t.gone -= water.gone_all;
    t.stored_beside = water.stored;
    t.gone_beside = water.gone;
    outcome::Balance balance = balance_of(net.gases, t);
    balance.worst_relative = std::max(balance.worst_relative, water.residual);
    return balance;
}

outcome::Outcome assemble(const plant::Plant& plant, const Network& net, Simulation& simulation) {
    return Assembly(plant, net, simulation).build();
}

Trial headline(const plant::Plant& plant, const Network& net, const Simulation& simulation) {
    Trial trial;
    const State& x = simulation.state();
    const Layout& layout = simulation.dynamics().layout();
    const outcome::SourceOutcome source =
        simulation.clock().result(simulation.network().source, simulation.switches(), x);
    trial.running = source.running;
    trial.on_air = source.on_air;
    trial.air_after_fill = source.air_after_fill;
    trial.made_nitrogen = source.made_nitrogen;
    trial.made_air = source.made_air;
    trial.starts = source.starts;
    trial.balance = balance_of(net, simulation, source).worst_relative;
    bool all_met = true;
    double last = 0.0;
    for (std::size_t r = 0; r < net.risers.size(); ++r) {
        const RiserNet& riser = net.risers[r];
        const auto index = static_cast<int>(r);
        RiserHeadline out;
        const Switchboard::RiserLog& log = simulation.switches().log()[r];
        if (log.fill_end >= 0.0) out.fill_time = log.fill_end - log.fill_start;
        out.fill_met = fills_met(log, simulation.switches().fills(index), plant.risers[r].fill_limit);
        const std::vector<outcome::Stretch>& stretches = simulation.targets().stretches(index);
        if (!stretches.empty() && stretches.back().end >= net.duration)
            out.time_to_target = stretches.back().begin;
        for (int i = riser.first; i < riser.first + riser.count; ++i) {
            out.worst_oxygen = std::max(out.worst_oxygen, oxygen_fraction(net, layout, x, i));
        }
        out.final_pressure = simulation.dynamics().riser_pressure(net.duration, x, index);
        out.vented = x[layout.total(index, Layout::vented)];
        out.leaked = x[layout.total(index, Layout::leaked)];
        all_met = all_met && !std::isnan(out.time_to_target);
        last = std::max(last, out.time_to_target);
        trial.risers.push_back(out);
    }
    if (all_met) trial.time_to_target = last;
    return trial;
}

}  // namespace oxfade::engine
