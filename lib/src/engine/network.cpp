#include "engine/network.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "engine/at.hpp"
#include "engine/condense.hpp"
#include "engine/network_links.hpp"
#include "engine/network_water.hpp"
#include "oxfade/error.hpp"
#include "oxfade/gas/transport.hpp"
#include "oxfade/plant/leak_area.hpp"
#include "plant/pipe_tree.hpp"

namespace oxfade::engine {
namespace {

Gases two_gases(const plant::Plant& plant) {
    Gases gases;
    gases.air = gas::dry_air();
    const bool plain_air = std::holds_alternative<plant::Compressor>(plant.source);
    gases.product = plain_air ? gases.air : gas::nitrogen_of_purity(plant::product_purity(plant.source));
    gases.mass_product = gases.product.molar_mass();
    gases.mass_excess = gases.air.molar_mass() - gases.mass_product;
    gases.viscosity_product = gas::viscosity(gases.product, plant.site.temperature.mean());
    gases.viscosity_excess =
        gas::viscosity(gases.air, plant.site.temperature.mean()) / gases.viscosity_product - 1.0;
    gases.oxygen_product = gases.product[gas::Species::oxygen];
    gases.oxygen_excess = gases.air[gas::Species::oxygen] - gases.oxygen_product;
    return gases;
}

/// The air fraction at or below which a compartment is at target. Where the product holds as much oxygen as
/// air or more, no air fraction decides it: with the product at target everything is, otherwise nothing
/// counts as purged.
double air_fraction_at_target(const Gases& gases, double target) {
    const double allowed = 1.0 - target;
    if (gases.oxygen_excess < 1e-12) return gases.oxygen_product <= allowed ? 2.0 : -1.0;
    return (allowed - gases.oxygen_product) / gases.oxygen_excess;
}

double initial_air_fraction(plant::InitialGas gas) { return gas == plant::InitialGas::air ? 1.0 : 0.0; }

struct SourceBuilder {
    const plant::Site& site;

    SourceNet operator()(const plant::Generator& given) const {
        SourceNet net = with_receiver(given.receiver, SourceKind::generator);
        net.air_below = given.air_below / net.pressure_per_mole;
        net.nitrogen_flow = plant::standard_moles(site.reference, given.nitrogen_flow);
        net.air_flow = plant::standard_moles(site.reference, given.air_flow);
        set_power(net, given.power);
        return net;
    }
    SourceNet operator()(const plant::Compressor& given) const {
        SourceNet net = with_receiver(given.receiver, SourceKind::compressor);
        net.air_flow = plant::standard_moles(site.reference, given.air_flow);
        set_power(net, given.power);
        return net;
    }
    SourceNet operator()(const plant::Cylinders& given) const {
        SourceNet net;
        net.kind = SourceKind::cylinders;
        net.delivery_pressure = given.delivery_pressure;
        net.initial = plant::standard_moles(site.reference, given.content);
        return net;
    }

  private:
    SourceNet with_receiver(const plant::Receiver& receiver, SourceKind kind) const {
        SourceNet net;
        net.kind = kind;
        net.pressure_per_mole = gas::gas_constant * site.temperature.mean() / receiver.volume;
        net.start = receiver.start / net.pressure_per_mole;
        net.stop = receiver.stop / net.pressure_per_mole;
        const double warmth = site.temperature.at(0.0) / site.temperature.mean();
        net.initial = receiver.initial_pressure / (net.pressure_per_mole * warmth);
        net.initial_air = initial_air_fraction(receiver.initial_gas);
        return net;
    }
    static void set_power(SourceNet& net, const std::optional<double>& power) {
        net.has_power = power.has_value();
        net.power = power.value_or(0.0);
    }
};

/// Adds one riser's nodes, leaks, vents and loops to the network.
class RiserBuilder {
  public:
    RiserBuilder(Network& net, const plant::Plant& plant, const plant::Riser& riser, double refinement)
        : net_(net),
          plant_(plant),
          riser_(riser),
          tree_(riser),
          index_(static_cast<int>(net.risers.size())),
          temperature_(plant::temperature_of(riser, plant.site).mean()),
          meshes_(mesh_of(plant, riser, refinement)) {
        const std::vector<int> copies = riser.copies();
        const std::vector<double> pitches = riser.pitches();
        for (std::size_t p = 0; p < riser.pipes.size(); ++p) {
            cuts_.push_back({&riser.pipes[p], &meshes_[p], pitches[p], static_cast<double>(copies[p])});
        }
    }

    void build() {
        RiserNet out;
        out.name = riser_.name;
        out.course = plant::temperature_of(riser_, plant_.site);
        out.temperature = temperature_;
        net_.moving = net_.moving || !out.course.steady();
        out.first = net_.nodes();
        volume_ = riser_.volume();
        add_nodes();
        out.count = net_.nodes() - out.first;
        if (net_.pressures == Pressures::zoned) volume_ = add_water(net_, riser_, index_, out);
        set_pressures(out);
        add_leaks(out);
        add_vents(out);
        add_readings(out);
        add_lines(out);
        add_loops(net_, cuts_, riser_, index_, out);
        net_.risers.push_back(std::move(out));
    }

  private:
    void add_nodes() {
        auto& nodes = net_.node_of.emplace_back(riser_.pipes.size());
        for (const std::size_t p : tree_.parents_first()) {
            const plant::Pipe& pipe = riser_.pipes[p];
            const std::vector<double>& parts = cuts_[p].mesh->parts;
            double end = 0.0;
            for (std::size_t cell = 0; cell < parts.size(); ++cell) {
                const bool enters = p == 0 && cell == 0;
                const std::size_t before = cell > 0 ? p : tree_.parent(p).value_or(0);
                const int parent = enters ? -1 : nodes[before].back();
                LinkShape link;
                if (!enters) {
                    link = cell > 0 ? link_along(cuts_[p], cell, end, plant_.mixing)
                                    : link_between(cuts_[before], cuts_[p], plant_.mixing);
                    // Gas that goes on in line is traded for that of the same mouth as before.
                    link.mixing.mouth =
                        cell > 0 || !cuts_[p].mesh->side ? net_.mixing[at(parent)].mouth : parent;
                } else {
                    link.mixing.mouth = net_.nodes();
                }
                const bool in_line = !enters && (cell > 0 || !cuts_[p].mesh->side);
                if (in_line) net_.onward[at(parent)] = net_.nodes();
                const double volume = pipe.volume() * cuts_[p].copies * parts[cell];
                end += parts[cell];
                net_.parent.push_back(parent);
                net_.mixing.push_back(link.mixing);
                net_.resistance.push_back(link.resistance);
                net_.friction.push_back(link.friction);
                net_.step.push_back(link.step);
                net_.reach.push_back(link.reach);
                net_.copies.push_back(cuts_[p].copies);
                net_.onward.push_back(-1);
                net_.cell_end.push_back(cell + 1 == parts.size() ? 1.0 : end);
                net_.node_pressure_per_mole.push_back(gas::gas_constant * temperature_ / volume);
                net_.any_mixing = net_.any_mixing || (!enters && mixes(link.mixing));
                net_.any_resolved = net_.any_resolved || link.step > 0.0;
                nodes[p].push_back(net_.nodes() - 1);
                net_.riser_of.push_back(index_);
                net_.share.push_back(volume / volume_);
                net_.swell.push_back(volume / volume_);
                net_.leak_area.push_back(0.0);
                net_.leak_spread.push_back(0.0);
                net_.breathing.push_back(false);
                net_.label.push_back(parts.size() > 1 ? pipe.name + " cell " + std::to_string(cell + 1)
                                                      : pipe.name);
            }
        }
    }

    bool mixes(const LinkMixing& link) const {
        const plant::Mixing& kinds = plant_.mixing;
        return link.fixed > 0.0 || (link.count > 0 && (kinds.molecular || kinds.buoyant || kinds.shear));
    }

    void set_pressures(RiserNet& out) const {
        const double whole = gas::gas_constant * temperature_ / volume_;
        out.pressure_per_mole = whole;
        if (net_.pressures == Pressures::resolved)
            out.pressure_per_mole = net_.node_pressure_per_mole[static_cast<std::size_t>(out.first)];
        if (net_.pressures == Pressures::zoned) out.pressure_per_mole = zone_pressure_per_mole(net_, out);
        out.set = riser_.set_pressure / out.pressure_per_mole;
        out.fill_area = riser_.fill.effective_area();
        out.rest = riser_.rest;
        const double pressure = riser_.initial_pressure.value_or(plant_.site.pressure);
        out.initial = pressure / (whole * (out.course.at(0.0) / temperature_));
        out.initial_air = initial_air_fraction(riser_.initial_gas);
        if (const auto* pressure_switch = std::get_if<plant::PressureSwitch>(&riser_.supply)) {
            out.has_switch = true;
            out.low = pressure_switch->low / out.pressure_per_mole;
            out.high = pressure_switch->high / out.pressure_per_mole;
            out.supply_area = pressure_switch->orifice.effective_area();
        } else {
            out.supply_area = std::get<plant::Regulator>(riser_.supply).orifice.effective_area();
        }
    }

    void add_leaks(const RiserNet& out) {
        for (const plant::Leak& leak : riser_.leaks) {
            const double area = plant::leak_area(leak, riser_.volume(), plant_.site);
            if (leak.at) {
                const int node = last_node(*leak.at);
                net_.leak_area[at(node)] += area * net_.copies[at(node)];
                continue;
            }
            if (leak.spread == plant::LeakSpread::volume) {  // of gas: less the water in it
                for (int i = out.first; i < out.first + out.count; ++i) spread(i, area * net_.share[at(i)]);
                continue;
            }
            const std::vector<double> weights = plant::leak_weights(riser_, leak.spread);
            for (std::size_t p = 0; p < riser_.pipes.size(); ++p) {
                const std::vector<int>& nodes = net_.node_of.back()[p];
                for (std::size_t k = 0; k < nodes.size(); ++k) {
                    spread(nodes[k], area * weights[p] * cuts_[p].mesh->parts[k]);
                }
            }
        }
    }

    void spread(int node, double area) {
        net_.leak_area[at(node)] += area;
        net_.leak_spread[at(node)] += area;
    }

    /// Dead ends whose cells move. The nodes of each are contiguous.
    void add_lines(RiserNet& out) {
        if (net_.pressures != Pressures::uniform) return;
        const auto& nodes = net_.node_of.back();
        for (std::size_t p = 0; p < cuts_.size(); ++p) {
            if (cuts_[p].mesh->breathing == 0) continue;
            BreathingLine line;
            line.first = nodes[p].front();
            line.copies = cuts_[p].copies;
            line.stirred = plant_.mixing.mouth * riser_.pipes[p].geometry()->bore;
            line.warming = plant_.mixing.warm_end / cuts_[p].mesh->run;
            double share = 0.0;
            for (std::optional<std::size_t> on = p; on;) {
                const plant::Pipe& pipe = riser_.pipes[*on];
                line.volume += pipe.volume();
                line.pieces.insert(line.pieces.begin(),
                                   {pipe.volume(), mixing_piece(cuts_[*on], pipe.geometry()->bore)});
                for (const int i : nodes[*on]) share += net_.share[at(i)];
                line.count += static_cast<int>(nodes[*on].size());
                const int next = net_.onward[at(nodes[*on].back())];
                on.reset();
                for (std::size_t q = 0; q < nodes.size() && next >= 0; ++q) {
                    if (nodes[q].front() == next) on = q;
                }
            }
            for (std::size_t k = 1; k < line.pieces.size(); ++k)
                line.pieces[k].until += line.pieces[k - 1].until;
            const auto breathing = static_cast<int>(cuts_[p].mesh->breathing);
            const auto stirred = static_cast<int>(cuts_[p].mesh->stirred);
            for (int k = 0; k < line.count; ++k) {
                const bool swells = k >= stirred && k < stirred + breathing;
                net_.swell[at(line.first + k)] = swells ? share / breathing : 0.0;
                net_.breathing[at(line.first + k)] = true;
            }
            line.carried.assign(at(line.count), 0.0);
            double carried = 0.0;
            for (int k = line.count - 1; k >= 0; --k) {
                carried += net_.share[at(line.first + k)] - net_.swell[at(line.first + k)];
                line.carried[at(k)] = carried;
            }
            out.lines.push_back(std::move(line));
        }
        if (out.lines.empty()) return;
        constexpr double margin = 0.98;
        const double most = std::max(out.set, out.has_switch ? out.high : 0.0);
        out.knee = margin * most * breathing_range(plant_, riser_);
    }

    void add_vents(RiserNet& out) {
        out.first_vent = static_cast<int>(net_.vents.size());
        for (const plant::Vent& vent : riser_.vents) {
            const int node = last_node(vent.at);
            net_.vents.push_back({node, index_, vent.orifice.effective_area() * net_.copies[at(node)],
                                  scaled(vent.policy, out.pressure_per_mole), vent.name, vent.liquid_stop,
                                  vent.chamber * net_.copies[at(node)]});
        }
        out.vent_count = static_cast<int>(riser_.vents.size());
    }

    /// Where the gas is analysed: at vents and sampling points.
    void add_readings(RiserNet& out) {
        const auto add = [&](const std::string& name, bool vent, const std::string& pipe, std::size_t cell) {
            const std::size_t p = *tree_.index(pipe);
            out.readings.push_back({name, vent, p, cell, net_.node_of.back()[p][cell]});
        };
        const auto last = [&](const std::string& pipe) {
            return cuts_[*tree_.index(pipe)].mesh->parts.size() - 1;
        };
        for (const plant::Vent& vent : riser_.vents) add(vent.name, true, vent.at, last(vent.at));
        for (const plant::SamplingPoint& sample : riser_.samples) {
            const PipeCut& cut = cuts_[*tree_.index(sample.at)];
            std::size_t cell = last(sample.at);
            if (const plant::Cylinder* shape = cut.pipe->geometry(); shape && sample.distance) {
                double end = 0.0;
                for (cell = 0; cell + 1 < cut.mesh->parts.size(); ++cell) {
                    end += cut.mesh->parts[cell] * shape->length;
                    if (end >= *sample.distance) break;
                }
            }
            add(sample.name, false, sample.at, cell);
        }
    }

    /// Thresholds of pressure-cycle vents as moles in the riser.
    static plant::VentPolicy scaled(plant::VentPolicy policy, double pressure_per_mole) {
        if (auto* between = std::get_if<plant::OpenBetween>(&policy)) {
            between->high /= pressure_per_mole;
            between->low /= pressure_per_mole;
        }
        return policy;
    }

    int last_node(const std::string& pipe) const { return net_.node_of.back()[*tree_.index(pipe)].back(); }

    Network& net_;
    const plant::Plant& plant_;
    const plant::Riser& riser_;
    const plant::PipeTree tree_;
    int index_;
    double temperature_;
    std::vector<PipeMesh> meshes_;
    std::vector<PipeCut> cuts_;
    double volume_ = 0.0;
};

/// Nodes and readings by the pipes as they were given.
void place_pipes(Network& net, const plant::Riser& riser, const CondensedRiser& condensed) {
    std::vector<std::vector<int>> nodes;
    for (std::size_t p = 0; p < riser.pipes.size(); ++p)
        nodes.push_back(net.node_of.back()[condensed.place[p]]);
    net.node_of.back() = std::move(nodes);
    for (RiserNet::Reading& reading : net.risers.back().readings)
        reading.pipe = *riser.pipe_index(condensed.riser.pipes[reading.pipe].name);
}

/// Friction needs bore and length of every pipe that gas flows through to another compartment.
void require_geometry(const plant::Plant& plant) {
    std::vector<Problem> problems;
    for (const plant::Riser& riser : plant.risers) {
        const bool alone = riser.pipes.size() == 1 && riser.pipes[0].cells.value_or(1) == 1;
        for (const plant::Pipe& pipe : riser.pipes) {
            if (alone || pipe.geometry()) continue;
            Problem problem;
            problem.key = "riser." + riser.name + ".pipe." + pipe.name;
            problem.value = std::to_string(pipe.volume()) + " m3";
            problem.what = "pipe '" + pipe.name + "' is given by its volume alone: its friction is not known";
            problem.allowed = "give it a bore (or a nominal size) and a length, or do not ask for friction";
            problems.push_back(std::move(problem));
        }
    }
    if (!problems.empty()) throw InputError(std::move(problems));
}

}  // namespace

Network build_network(const plant::Plant& plant, Pressures pressures, double refinement) {
    const bool wet = has_water(plant);
    if (wet) require_no_friction(plant, pressures);
    if (pressures == Pressures::resolved) require_geometry(plant);
    Network net;
    net.pressures = wet ? Pressures::zoned : pressures;
    net.gases = two_gases(plant);
    net.site_pressure = plant.site.pressure;
    net.course = plant.site.temperature;
    net.temperature = net.course.mean();
    net.moving = !net.course.steady();
    net.duration = plant.duration;
    net.kinds = plant.mixing;
    net.target_at = plant.target_at;
    net.target_air = air_fraction_at_target(net.gases, plant.target);
    net.source = std::visit(SourceBuilder{plant.site}, plant.source);
    for (const plant::Riser& riser : plant.risers) {
        const CondensedRiser condensed = condense(riser);
        RiserBuilder(net, plant, condensed.riser, refinement).build();
        place_pipes(net, riser, condensed);
    }
    if (wet) require_water_off_loops(net);
    return net;
}

void take_settings(Network& net, const Network& from) {
    SourceNet source = from.source;
    source.initial = net.source.initial;
    source.initial_air = net.source.initial_air;
    net.source = source;
    for (std::size_t r = 0; r < net.risers.size(); ++r) {
        RiserNet& riser = net.risers[r];
        const RiserNet& fresh = from.risers[r];
        riser.set = fresh.set;
        riser.fill_area = fresh.fill_area;
        riser.supply_area = fresh.supply_area;
        riser.low = fresh.low;
        riser.high = fresh.high;
        riser.rest = fresh.rest;
    }
    for (std::size_t v = 0; v < net.vents.size(); ++v) {
        net.vents[v].area = from.vents[v].area;
        net.vents[v].policy = from.vents[v].policy;
    }
    std::copy(from.leak_area.begin(), from.leak_area.end(), net.leak_area.begin());
    std::copy(from.leak_spread.begin(), from.leak_spread.end(), net.leak_spread.begin());
}

}  // namespace oxfade::engine
