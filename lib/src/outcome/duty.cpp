#include "oxfade/outcome/duty.hpp"

#include <algorithm>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstdint>

#include "oxfade/flow/leak.hpp"
#include "oxfade/flow/orifice.hpp"
#include "oxfade/gas/mixture.hpp"
#include "oxfade/plant/leak_area.hpp"

namespace oxfade::outcome {
namespace {

struct SourceView {
    gas::Mixture product;
    double lowest_pressure = 0.0;   ///< ahead of the supply in usual running [Pa]
    double highest_pressure = 0.0;  ///< [Pa]
    double receiver_volume = 0.0;   ///< [m3]
    double fast_flow = 0.0;         ///< what fills a riser [mol/s]; infinite for cylinders
    std::optional<double> separator;
};

struct View {
    const plant::Site& site;
    SourceView operator()(const plant::Generator& s) const {
        return {gas::nitrogen_of_purity(s.purity),
                s.receiver.start,
                s.receiver.stop,
                s.receiver.volume,
                plant::standard_moles(site.reference, std::max(s.air_flow, s.nitrogen_flow)),
                plant::standard_moles(site.reference, s.nitrogen_flow)};
    }
    SourceView operator()(const plant::Cylinders& s) const {
        return {
            gas::nitrogen_of_purity(s.purity), s.delivery_pressure, s.delivery_pressure, 0.0, INFINITY, {}};
    }
    SourceView operator()(const plant::Compressor& s) const {
        return {gas::dry_air(),
                s.receiver.start,
                s.receiver.stop,
                s.receiver.volume,
                plant::standard_moles(site.reference, s.air_flow),
                {}};
    }
};

double open_share(const plant::VentPolicy& policy) {
    if (const auto* timed = std::get_if<plant::OpenTimed>(&policy)) return timed->duration / timed->every;
    // A pressure-cycle vent passes what the source gives it: no steady demand of its own.
    return std::holds_alternative<plant::OpenBetween>(policy) ? 0.0 : 1.0;
}

/// Time to bring a riser to its set pressure through the fill passage alone, the pressure ahead held [s].
double orifice_fill_time(const plant::Riser& riser, const SourceView& source, const plant::Site& site) {
    constexpr int slices = 64;
    const double begin = riser.initial_pressure.value_or(site.pressure), span = riser.set_pressure - begin;
    if (span <= 0.0) return 0.0;
    const double area = riser.fill.effective_area();
    double time = 0.0;
    for (int k = 0; k < slices; ++k) {
        const double pressure = begin + span * (k + 0.5) / slices;
        const double flow = flow::orifice_flow(area, source.highest_pressure, pressure,
                                               site.temperature.mean(), source.product.molar_mass());
        time += gas::moles(span / slices, riser.volume(), plant::temperature_of(riser, site).mean()) / flow;
    }
    return time;
}

RiserDuty riser_duty(const plant::Riser& riser, const SourceView& source, const plant::Site& site) {
    RiserDuty duty;
    duty.name = riser.name;
    duty.volume = riser.volume();
    const double mass = source.product.molar_mass();
    const double temperature = plant::temperature_of(riser, site).mean();
    const auto out = [&](double area) {
        return flow::orifice_flow(area, riser.set_pressure, site.pressure, temperature, mass);
    };
    for (const plant::Vent& vent : riser.vents) {
        const double flow = out(vent.orifice.effective_area()) * riser.copies_of(vent.at);
        if (!std::holds_alternative<plant::OpenBetween>(vent.policy)) duty.vents_open += flow;
        duty.vents_average += open_share(vent.policy) * flow;
    }
    const double leak_area = plant::leak_area(riser, site);
    duty.leaks = out(leak_area);
    if (leak_area > 0.0) duty.test_loss = acceptance_loss(leak_area, duty.volume, site);

    const plant::Orifice& orifice =
        std::visit([](const auto& s) -> const plant::Orifice& { return s.orifice; }, riser.supply);
    duty.supply_capacity = flow::orifice_flow(orifice.effective_area(), source.lowest_pressure,
                                              riser.set_pressure, site.temperature.mean(), mass);
    const double begin = riser.initial_pressure.value_or(site.pressure);
    duty.fill_need = std::max(0.0, gas::moles(riser.set_pressure - begin, duty.volume, temperature));
    const double stored = gas::moles(source.highest_pressure - riser.set_pressure, source.receiver_volume,
                                     site.temperature.mean());
    const double rest = std::max(0.0, duty.fill_need - std::max(0.0, stored));
    duty.fill_estimate = std::max(rest / source.fast_flow, orifice_fill_time(riser, source, site));
    duty.fill_flow_needed = rest / riser.fill_limit;
    return duty;
}

}  // namespace

PlantDuty duty_of(const plant::Plant& plant) {
    const SourceView source = std::visit(View{plant.site}, plant.source);
    PlantDuty duty;
    duty.separator = source.separator;
    for (const plant::Riser& riser : plant.risers) {
        duty.risers.push_back(riser_duty(riser, source, plant.site));
        duty.demand += duty.risers.back().vents_average + duty.risers.back().leaks;
    }
    return duty;
}

double acceptance_loss(double effective_area, double volume, const plant::Site& site,
                       const AcceptanceTest& test) {
    const double from = site.pressure + test.gauge_pressure;
    const auto time_to_lose = [&](double loss) {
        return flow::blow_down_time(effective_area, volume, from, from - loss, site.pressure,
                                    site.temperature.mean());
    };
    // While the hole stays choked the fall is exponential (model.md 5.2).
    const double choked_above = site.pressure / flow::critical_ratio;
    const double choked_loss = from - choked_above;
    if (choked_loss > 0.0) {
        const double time = time_to_lose(choked_loss);
        if (time >= test.duration)
            return from * -std::expm1(-std::log(from / choked_above) * test.duration / time);
    }
    const double most = test.gauge_pressure * (1.0 - 1e-6);
    if (time_to_lose(most) <= test.duration) return test.gauge_pressure;  // empty within the test
    std::uintmax_t iterations = 60;
    const auto bracket = boost::math::tools::toms748_solve(
        [&](double loss) { return time_to_lose(loss) - test.duration; }, std::max(0.0, choked_loss), most,
        boost::math::tools::eps_tolerance<double>(24), iterations);
    return bracket.first;
}

}  // namespace oxfade::outcome
