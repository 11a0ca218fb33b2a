#include "engine/lane_ensemble.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <memory>
#include <new>
#include <vector>

#include "engine/assembly.hpp"
#include "engine/at.hpp"
#include "engine/dense_step.hpp"
#include "engine/lanes/dispatch.hpp"
#include "engine/rosenbrock.hpp"
#include "oxfade/flow/orifice.hpp"
#include "oxfade/gas/constants.hpp"

namespace oxfade::engine {
namespace {

double lane_machine(Machine machine) {
    if (machine == Machine::off) return static_cast<double>(LaneMachine::off);
    return static_cast<double>(machine == Machine::air ? LaneMachine::air : LaneMachine::nitrogen);
}

LaneFields<double> fields_of(const Network& net) {
    const Gases& gases = net.gases;
    const SourceNet& source = net.source;
    const RiserNet& riser = net.risers[0];
    LaneFields<double> f{};
    f.mass_product = gases.mass_product;
    f.mass_excess = gases.mass_excess;
    f.oxygen_product = gases.oxygen_product;
    f.oxygen_excess = gases.oxygen_excess;
    f.site_pressure = net.site_pressure;
    f.flow_factor = 1.0 / std::sqrt(gas::gas_constant * net.temperature);
    f.duration = net.duration;
    f.target_air = net.target_air;
    f.composition_floor = gases.composition_floor();
    f.source_pressure_per_mole = source.pressure_per_mole;
    f.start = source.start;
    f.stop = source.stop;
    f.air_below = source.air_below;
    f.nitrogen_flow = source.nitrogen_flow;
    f.air_flow = source.air_flow;
    f.riser_pressure_per_mole = riser.pressure_per_mole;
    f.set = riser.set;
    f.fill_area = riser.fill_area;
    f.supply_area = riser.supply_area;
    f.source = source.initial;
    f.source_air = source.initial * source.initial_air;
    f.riser = riser.initial;
    f.machine = lane_machine(machine_at_start(source, source.initial));
    f.starts = f.machine != static_cast<double>(LaneMachine::off) ? 1.0 : 0.0;
    f.filling = 1.0;
    f.wanted = 1.0;
    return f;
}

void set_nodes(const Network& net, LaneNode<double>* nodes) {
    const RiserNet& riser = net.risers[0];
    for (int i = 0; i < net.nodes(); ++i) {
        LaneNode<double>& node = nodes[i];
        node = {};
        node.share = net.share[at(i)];
        node.leak_area = net.leak_area[at(i)];
        node.air = riser.initial * net.share[at(i)] * riser.initial_air;
        node.at_target = riser.initial_air <= net.target_air ? 1.0 : 0.0;
    }
    for (const VentSpot& vent : net.vents) nodes[vent.node].vent_area += vent.area;
}

LaneBatch batch_for(const Network& net, const Options& options) {
    LaneBatch batch;
    batch.nodes = net.nodes();
    batch.parent = net.parent.data();
    batch.relative_tolerance = options.relative_tolerance;
    batch.event_tolerance = options.event_tolerance;
    batch.most_steps = static_cast<double>(options.max_steps);
    batch.series_rest = std::max(1e-3 * options.relative_tolerance, 1e-13);
    const RosenbrockTable& table = ros34pw2();
    batch.gamma = table.gamma;
    for (std::size_t i = 0; i < RosenbrockTable::stages; ++i) {
        batch.m[i] = table.m[i];
        batch.e[i] = table.e[i];
        for (std::size_t j = 0; j < RosenbrockTable::stages; ++j) {
            batch.a[i][j] = table.a[i][j];
            batch.c[i][j] = table.c[i][j];
        }
    }
    batch.critical_ratio = flow::critical_ratio;
    batch.choked = flow::choked_nozzle_function;
    batch.edge = 1.0 - flow::rounding_width;
    const flow::NozzleFunction edge = flow::nozzle_function(batch.edge);
    batch.edge_value = edge.value;
    batch.edge_slope = edge.slope;
    batch.first_rise = first_rise;
    batch.sign_changes = [](double y0, double y1, double d0, double d1, double* where) {
        std::array<double, 3> found{};
        const int count = sign_changes(y0, y1, d0, d1, found);
        std::copy_n(found.begin(), count, where);
        return count;
    };
    return batch;
}

Trial trial_of(const LaneRun& run, const plant::Plant& plant, const Network& net) {
    const LaneFields<double>& f = run.fields;
    Trial trial;
    trial.running = f.on_nitrogen + f.on_air;
    trial.on_air = f.on_air;
    trial.air_after_fill = f.on_air_after_fill;
    trial.made_nitrogen = f.nitrogen_flow * f.on_nitrogen;
    trial.made_air = f.air_flow * f.on_air;
    trial.starts = static_cast<int>(std::lround(f.starts));
    RiserHeadline out;
    const bool filled = f.filling == 0.0;
    if (filled) out.fill_time = f.fill_end;
    out.fill_met = filled && f.fill_end <= plant.risers[0].fill_limit;
    out.final_pressure = f.riser * f.riser_pressure_per_mole;
    out.vented = f.vented;
    out.leaked = f.leaked;
    bool met = true;
    double since = 0.0, air = 0.0, air_before = 0.0;
    for (int i = 0; i < net.nodes(); ++i) {
        const LaneNode<double>& node = run.nodes[i];
        out.worst_oxygen = std::max(out.worst_oxygen, net.gases.oxygen(node.air / (f.riser * node.share)));
        met = met && node.at_target != 0.0;
        since = std::max(since, node.since);
        air += node.air;
        air_before += net.risers[0].initial * node.share * net.risers[0].initial_air;
    }
    if (met) out.time_to_target = trial.time_to_target = since;
    Throughput through;
    through.made_air = trial.made_air;
    through.made_product = trial.made_nitrogen;
    through.gone = f.vented + f.leaked;
    through.gone_air = f.vented_air + f.leaked_air;
    through.stored = f.riser - net.risers[0].initial + f.source - net.source.initial;
    through.stored_air = air - air_before + f.source_air - net.source.initial * net.source.initial_air;
    through.handled = trial.made_air + trial.made_nitrogen + net.source.initial + net.risers[0].initial;
    trial.balance = balance_of(net.gases, through).worst_relative;
    trial.risers.push_back(out);
    return trial;
}

struct Freed {
    void operator()(double* memory) const { ::operator delete[](memory, std::align_val_t{64}); }
};

}  // namespace

bool suits_lanes(const plant::Plant& plant, const Network& net, const Options& options) {
    if (!plant.actions.empty()) return false;
    if (options.method != Method::linearly_implicit || !options.skip_cycles || options.resolve_friction)
        return false;
    if (net.moving || net.risers[0].temperature != net.temperature) return false;
    if (net.pressures != Pressures::uniform) return false;
    if (net.source.kind != SourceKind::generator || net.risers.size() != 1 || net.any_mixing ||
        net.any_resolved || net.target_at != plant::TargetAt::everywhere)
        return false;
    const RiserNet& riser = net.risers[0];
    const bool starts_low = riser.initial < riser.set * (1.0 - 1e-9) &&
                            riser.initial * riser.pressure_per_mole >= net.site_pressure * (1.0 - 1e-12);
    return riser.loops.empty() && !riser.has_switch && starts_low && net.source.nitrogen_flow > 0.0 &&
           std::all_of(net.vents.begin(), net.vents.end(), [](const VentSpot& vent) {
               return std::holds_alternative<plant::OpenAlways>(vent.policy);
           });
}

void run_in_lanes(std::span<LaneJob> jobs, const Options& options, const std::function<bool()>& go_on) {
    run_in_lanes(jobs, options, go_on, best_kernels());
}

void run_in_lanes(std::span<LaneJob> jobs, const Options& options, const std::function<bool()>& go_on,
                  const Kernels& kernels) {
    std::vector<bool> taken(jobs.size(), false);
    for (std::size_t first = 0; first < jobs.size(); ++first) {
        if (taken[first]) continue;
        // All that share the topology of this one.
        const Network& net = *jobs[first].net;
        std::vector<std::size_t> members;
        for (std::size_t k = first; k < jobs.size(); ++k) {
            if (taken[k] || jobs[k].net->parent != net.parent) continue;
            taken[k] = true;
            members.push_back(k);
        }
        std::vector<LaneNode<double>> nodes(members.size() * at(net.nodes()));
        std::vector<LaneRun> runs(members.size());
        for (std::size_t k = 0; k < members.size(); ++k) {
            runs[k].fields = fields_of(*jobs[members[k]].net);
            runs[k].nodes = nodes.data() + k * at(net.nodes());
            set_nodes(*jobs[members[k]].net, runs[k].nodes);
        }
        LaneBatch batch = batch_for(net, options);
        batch.runs = runs.data();
        batch.count = static_cast<int>(runs.size());
        const std::size_t bytes = at(kernels.lane_memory(net.nodes())) * sizeof(double);
        const std::unique_ptr<double[], Freed> memory(
            static_cast<double*>(::operator new[](bytes, std::align_val_t{64})));
        std::fill_n(memory.get(), bytes / sizeof(double), 0.0);
        batch.memory = memory.get();
        batch.go_on = [](const void* asked) { return (*static_cast<const std::function<bool()>*>(asked))(); };
        batch.context = &go_on;
        kernels.run_lanes(batch);
        for (std::size_t k = 0; k < members.size(); ++k) {
            LaneJob& job = jobs[members[k]];
            job.finished = runs[k].status == LaneStatus::done;
            if (job.finished) *job.trial = trial_of(runs[k], *job.plant, *job.net);
        }
    }
}

}  // namespace oxfade::engine
