#include "oxfade/outcome/evenness.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>
#include <vector>

#include "oxfade/flow/orifice.hpp"
#include "oxfade/flow/pipe_friction.hpp"
#include "oxfade/gas/transport.hpp"
#include "plant/pipe_tree.hpp"

namespace oxfade::outcome {
namespace {

/// Pressures along a riser's pipes with a steady flow in each. Of equal pipes, what is said is that of one.
class Profile {
  public:
    Profile(const plant::Site& site, const gas::Mixture& gas, const plant::Riser& riser)
        : riser_(riser),
          tree_(riser),
          temperature_(plant::temperature_of(riser, site).mean()),
          molar_mass_(gas.molar_mass()),
          viscosity_(gas::viscosity(gas, temperature_)),
          stored_(riser.pipes.size(), 0.0),
          beyond_(riser.pipes.size(), 0.0),
          far_(riser.pipes.size(), 0.0),
          mean_(riser.pipes.size(), 0.0) {}

    /// A flow [mol/s] that is stored along the pipes by their volume.
    void store(double flow) {
        const double volume = riser_.volume();
        for (std::size_t p = 0; p < riser_.pipes.size(); ++p) {
            const double own = flow * riser_.pipes[p].volume() / volume;
            stored_[p] += own;
            if (const auto before = tree_.parent(p)) beyond_[*before] += riser_.pipes[p].count * own;
        }
    }
    /// A flow [mol/s] out of the far end of a pipe.
    void let_out(std::size_t pipe, double flow) { beyond_[pipe] += flow; }

    /// Once all flows are told.
    void reckon() {
        const std::vector<std::size_t> order = tree_.parents_first();
        for (std::size_t k = order.size(); k-- > 1;)
            beyond_[*tree_.parent(order[k])] += riser_.pipes[order[k]].count * beyond_[order[k]];
        for (const std::size_t p : order) {
            const auto before = tree_.parent(p);
            walk(p, before ? far_[*before] : riser_.set_pressure);
        }
    }
    std::size_t pipe(const std::string& name) const { return *tree_.index(name); }
    double far(std::size_t pipe) const { return far_[pipe]; }    ///< pressure at its far end [Pa]
    double mean(std::size_t pipe) const { return mean_[pipe]; }  ///< and on average along it [Pa]

  private:
    void walk(std::size_t p, double pressure) {
        constexpr int slices = 16;
        const plant::Cylinder* shape = riser_.pipes[p].geometry();
        double sum = 0.0;
        for (int k = 0; shape && k < slices; ++k) {
            const double flow = beyond_[p] + stored_[p] * (1.0 - (k + 0.5) / slices);
            const double left = pressure * pressure - loss(*shape, flow) / slices;
            const double next = std::sqrt(std::max(left, least_ * least_));
            sum += 0.5 * (pressure + next) / slices;
            pressure = next;
        }
        far_[p] = pressure;
        mean_[p] = shape ? sum : pressure;
    }

    /// Squared pressures lost along a whole pipe.
    double loss(const plant::Cylinder& pipe, double flow) const {
        if (!(flow > 0.0)) return 0.0;
        const double reynolds = flow::reynolds_number(flow, molar_mass_, pipe.bore, viscosity_);
        const double factor = flow::friction_factor(reynolds, flow::steel_roughness / pipe.bore);
        const double flux = flow / (std::numbers::pi / 4.0 * pipe.bore * pipe.bore);
        return factor * pipe.length / pipe.bore * flux * flux * molar_mass_ * gas::gas_constant *
               temperature_;
    }

    static constexpr double least_ = 1.0;  ///< where friction would eat up all of the pressure [Pa]

    const plant::Riser& riser_;
    plant::PipeTree tree_;
    double temperature_, molar_mass_, viscosity_;
    std::vector<double> stored_, beyond_, far_, mean_;
};

/// What comes through the fill passage as the fill ends [mol/s]: what the source makes, or, where the
/// receiver alone fills the riser, what that still pushes through.
class FillFlow {
  public:
    FillFlow(const plant::Site& site, const plant::Riser& riser, const gas::Mixture& gas)
        : site_(site), riser_(riser), molar_mass_(gas.molar_mass()) {}

    double operator()(const plant::Generator& s) const {
        return from(s.receiver, std::max(s.air_flow, s.nitrogen_flow));
    }
    double operator()(const plant::Compressor& s) const { return from(s.receiver, s.air_flow); }
    double operator()(const plant::Cylinders& s) const { return through(s.delivery_pressure); }

  private:
    double through(double pressure) const {
        return flow::orifice_flow(riser_.fill.effective_area(), pressure, riser_.set_pressure,
                                  site_.temperature.mean(), molar_mass_);
    }
    double from(const plant::Receiver& receiver, double made) const {
        const double begin = riser_.initial_pressure.value_or(site_.pressure);
        const double left =
            receiver.initial_pressure - (riser_.set_pressure - begin) * riser_.volume() / receiver.volume;
        const double most = plant::standard_moles(site_.reference, made);
        return std::min(std::max(through(left), most), through(std::max(left, receiver.stop)));
    }

    const plant::Site& site_;
    const plant::Riser& riser_;
    double molar_mass_;
};

double missing_after_fill(const plant::Plant& plant, const plant::Riser& riser, const gas::Mixture& gas) {
    const double span = riser.set_pressure - riser.initial_pressure.value_or(plant.site.pressure);
    if (!(span > 0.0)) return 0.0;
    Profile profile(plant.site, gas, riser);
    profile.store(std::visit(FillFlow(plant.site, riser, gas), plant.source));
    profile.reckon();
    const std::vector<int> copies = riser.copies();
    double missing = 0.0;
    for (std::size_t p = 0; p < riser.pipes.size(); ++p)
        missing += copies[p] * riser.pipes[p].volume() * (riser.set_pressure - profile.mean(p));
    return std::min(missing / (riser.volume() * span), 1.0);
}

double lacking_at_vents(const plant::Plant& plant, const plant::Riser& riser, const gas::Mixture& gas) {
    const auto flow = [&](const plant::Vent& vent, double pressure) {
        return flow::orifice_flow(vent.orifice.effective_area(), pressure, plant.site.pressure,
                                  plant.site.temperature.mean(), gas.molar_mass());
    };
    Profile profile(plant.site, gas, riser);
    double whole = 0.0, left = 0.0;
    for (const plant::Vent& vent : riser.vents) {
        const double out = flow(vent, riser.set_pressure);
        profile.let_out(profile.pipe(vent.at), out);
        whole += riser.copies_of(vent.at) * out;
    }
    if (!(whole > 0.0)) return 0.0;
    profile.reckon();
    for (const plant::Vent& vent : riser.vents)
        left += riser.copies_of(vent.at) * flow(vent, profile.far(profile.pipe(vent.at)));
    return 1.0 - left / whole;
}

}  // namespace

Unevenness unevenness(const plant::Plant& plant, std::size_t riser) {
    const gas::Mixture gas = std::holds_alternative<plant::Compressor>(plant.source)
                                 ? gas::dry_air()
                                 : gas::nitrogen_of_purity(plant::product_purity(plant.source));
    const plant::Riser& given = plant.risers[riser];
    return {missing_after_fill(plant, given, gas), lacking_at_vents(plant, given, gas)};
}

}  // namespace oxfade::outcome
