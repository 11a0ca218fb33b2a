#include "plant/fields.hpp"

#include <type_traits>
#include <variant>
#include <vector>

namespace oxfade::plant::detail {
namespace {

void word(FieldVisitor& v, std::string_view key, bool value) { v.word(key, value ? "true" : "false"); }

std::string gas_word(InitialGas gas) { return gas == InitialGas::air ? "air" : "source"; }

template <class Visit>
void table(FieldVisitor& v, std::string_view name, const Visit& visit) {
    v.enter(name, std::nullopt);
    visit();
    v.leave();
}

/// Entries of a list; those without a name are called by their place.
template <class Entry, class Visit>
void list(FieldVisitor& v, std::string_view name, std::vector<Entry>& entries, const Visit& visit) {
    v.enter(name, std::nullopt);
    for (std::size_t i = 0; i < entries.size(); ++i) {
        if constexpr (requires { entries[i].name; }) {
            v.enter(entries[i].name, i);
        } else {
            v.enter({}, i);
        }
        visit(entries[i]);
        v.leave();
    }
    v.leave();
}

struct VisitCourse {
    void operator()(double& constant) const { v.quantity("temperature", Dimension::temperature, constant); }
    void operator()(DailySwing& swing) const {
        table(v, "temperature", [&] {
            v.quantity("mean", Dimension::temperature, swing.mean);
            v.quantity("swing", Dimension::temperature_difference, swing.swing);
            v.quantity("period", Dimension::time, swing.period);
            v.quantity("warmest", Dimension::time, swing.warmest);
            v.quantity("season", Dimension::temperature_difference, swing.season);
            v.quantity("season_warmest", Dimension::time, swing.season_warmest);
        });
    }
    void operator()(TemperatureTable& given) const {
        table(v, "temperature", [&] {
            list(v, "table", given.knots, [&](TemperatureTable::Knot& knot) {
                v.quantity("0", Dimension::time, knot.time);
                v.quantity("1", Dimension::temperature, knot.temperature);
            });
            v.quantity("period", Dimension::time, given.period);
        });
    }
    FieldVisitor& v;
};

void visit_site(FieldVisitor& v, Site& site) {
    v.quantity("pressure", Dimension::absolute_pressure, site.pressure);
    std::visit(VisitCourse{v}, site.temperature.course);
    table(v, "reference", [&] {
        v.quantity("pressure", Dimension::absolute_pressure, site.reference.pressure);
        v.quantity("temperature", Dimension::temperature, site.reference.temperature);
    });
}

void visit_receiver(FieldVisitor& v, Receiver& receiver, double* air_below) {
    table(v, "receiver", [&] {
        v.quantity("volume", Dimension::volume, receiver.volume);
        v.quantity("start", Dimension::pressure, receiver.start);
        v.quantity("stop", Dimension::pressure, receiver.stop);
        if (air_below != nullptr) v.quantity("air_below", Dimension::pressure, *air_below);
        v.quantity("initial_pressure", Dimension::pressure, receiver.initial_pressure);
        v.word("initial_gas", gas_word(receiver.initial_gas));
    });
}

struct VisitSource {
    void operator()(Generator& source) const {
        v.word("kind", "generator");
        v.quantity("purity", Dimension::fraction, source.purity);
        v.quantity("nitrogen_flow", Dimension::volume_flow, source.nitrogen_flow);
        v.quantity("air_flow", Dimension::volume_flow, source.air_flow);
        v.quantity("power", Dimension::power, source.power);
        visit_receiver(v, source.receiver, &source.air_below);
    }
    void operator()(Cylinders& source) const {
        v.word("kind", "cylinders");
        v.quantity("purity", Dimension::fraction, source.purity);
        v.quantity("content", Dimension::volume, source.content);
        v.quantity("delivery_pressure", Dimension::pressure, source.delivery_pressure);
    }
    void operator()(Compressor& source) const {
        v.word("kind", "compressor");
        v.quantity("air_flow", Dimension::volume_flow, source.air_flow);
        v.quantity("power", Dimension::power, source.power);
        visit_receiver(v, source.receiver, nullptr);
    }
    FieldVisitor& v;
};

void visit_orifice(FieldVisitor& v, Orifice& orifice) {
    v.quantity("diameter", Dimension::length, orifice.diameter);
    v.quantity("coefficient", std::nullopt, orifice.coefficient);
}

void visit_supply(FieldVisitor& v, Supply& supply) {
    if (auto* regulator = std::get_if<Regulator>(&supply)) {
        v.word("kind", "regulator");
        visit_orifice(v, regulator->orifice);
    } else {
        auto& pressure_switch = std::get<PressureSwitch>(supply);
        v.word("kind", "switch");
        visit_orifice(v, pressure_switch.orifice);
        v.quantity("low", Dimension::pressure, pressure_switch.low);
        v.quantity("high", Dimension::pressure, pressure_switch.high);
    }
}

void visit_pipe(FieldVisitor& v, Pipe& pipe) {
    v.word("from", pipe.from.value_or(""));
    if (auto* cylinder = std::get_if<Cylinder>(&pipe.shape)) {
        v.quantity("bore", Dimension::length, cylinder->bore);
        v.quantity("length", Dimension::length, cylinder->length);
    } else {
        v.quantity("volume", Dimension::volume, std::get<VolumeOnly>(pipe.shape).volume);
    }
    v.word("cells", pipe.cells ? std::to_string(*pipe.cells) : "");
    v.word("count", std::to_string(pipe.count));
    v.quantity("pitch", Dimension::slope, pipe.pitch);
    if (pipe.elevation) {
        table(v, "elevations", [&] {
            v.quantity("0", Dimension::length, (*pipe.elevation)[0]);
            v.quantity("1", Dimension::length, (*pipe.elevation)[1]);
        });
    }
    v.quantity("exchange", Dimension::molar_flow, pipe.exchange);
}

struct VisitPolicy {
    void operator()(OpenAlways&) const { v.word("open", "always"); }
    void operator()(OpenUntilTarget&) const {
        table(v, "open", [&] { v.word("until", "target"); });
    }
    void operator()(OpenUntil& policy) const {
        table(v, "open", [&] { v.quantity("until", Dimension::time, policy.time); });
    }
    void operator()(OpenTimed& policy) const {
        table(v, "open", [&] {
            v.quantity("every", Dimension::time, policy.every);
            v.quantity("for", Dimension::time, policy.duration);
        });
    }
    void operator()(OpenBetween& policy) const {
        table(v, "open", [&] {
            v.quantity("high", Dimension::pressure, policy.high);
            v.quantity("low", Dimension::pressure, policy.low);
        });
    }
    FieldVisitor& v;
};

void visit_vent(FieldVisitor& v, Vent& vent) {
    v.word("at", vent.at);
    visit_orifice(v, vent.orifice);
    std::visit(VisitPolicy{v}, vent.policy);
    word(v, "liquid_stop", vent.liquid_stop);
    v.quantity("chamber", Dimension::volume, vent.chamber);
}

struct VisitLeakSize {
    void operator()(Orifice& size) const { visit_orifice(v, size); }
    void operator()(LeakByTest& size) const {
        v.quantity("loss", Dimension::pressure_difference, size.loss);
        v.quantity("over", Dimension::time, size.over);
        v.quantity("from", Dimension::pressure, size.from);
    }
    void operator()(LeakByFlow& size) const {
        v.quantity("flow", Dimension::volume_flow, size.flow);
        v.quantity("pressure", Dimension::pressure, size.pressure);
    }
    FieldVisitor& v;
};

void visit_low_point(FieldVisitor& v, LowPoint& low_point) {
    v.word("on", low_point.on);
    v.quantity("water", Dimension::volume, low_point.water);
    if (auto* rise = std::get_if<WaterRise>(&low_point.shape)) {
        v.quantity("rise", Dimension::length, rise->height);
        return;
    }
    auto& slopes = std::get<LegSlopes>(low_point.shape);
    table(v, "slopes", [&] {
        v.quantity("0", Dimension::slope, slopes.before);
        v.quantity("1", Dimension::slope, slopes.behind);
    });
}

void visit_riser(FieldVisitor& v, Riser& riser) {
    v.quantity("set_pressure", Dimension::pressure, riser.set_pressure);
    v.quantity("fill_limit", Dimension::time, riser.fill_limit);
    v.quantity("rest", Dimension::time, riser.rest);
    v.word("initial_gas", gas_word(riser.initial_gas));
    v.quantity("initial_pressure", Dimension::pressure, riser.initial_pressure);
    if (riser.temperature) std::visit(VisitCourse{v}, riser.temperature->course);
    table(v, "fill", [&] { visit_orifice(v, riser.fill); });
    table(v, "supply", [&] { visit_supply(v, riser.supply); });
    list(v, "pipe", riser.pipes, [&](Pipe& pipe) { visit_pipe(v, pipe); });
    list(v, "link", riser.links,
         [&](LoopLink& link) { v.word("between", link.first + " and " + link.second); });
    list(v, "vent", riser.vents, [&](Vent& vent) { visit_vent(v, vent); });
    list(v, "leak", riser.leaks, [&](Leak& leak) {
        v.word("at", leak.at.value_or(""));
        v.word("spread", leak.spread == LeakSpread::volume   ? "volume"
                         : leak.spread == LeakSpread::length ? "length"
                                                             : "joints");
        std::visit(VisitLeakSize{v}, leak.size);
    });
    list(v, "low_point", riser.low_points, [&](LowPoint& low_point) { visit_low_point(v, low_point); });
    list(v, "sample", riser.samples, [&](SamplingPoint& sample) {
        v.word("at", sample.at);
        v.quantity("distance", Dimension::length, sample.distance);
    });
}

void visit_action(FieldVisitor& v, Action& action) {
    v.quantity("at", Dimension::time, action.at);
    v.word("do", std::string(to_string(action.deed)));
    v.word("riser", action.riser);
    v.word("what", action.what);
    v.word("key", action.key);
    v.quantity("value", std::nullopt, action.value);
    v.quantity("for", Dimension::time, action.duration);
}

}  // namespace

void visit_fields(Plant& plant, FieldVisitor& v) {
    v.word("title", plant.title);
    v.word("start", plant.start);
    v.quantity("duration", Dimension::time, plant.duration);
    v.quantity("target", Dimension::fraction, plant.target);
    v.word("target_at", plant.target_at == TargetAt::everywhere ? "everywhere"
                        : plant.target_at == TargetAt::average  ? "average"
                                                                : "readings");
    table(v, "site", [&] { visit_site(v, plant.site); });
    table(v, "source", [&] { std::visit(VisitSource{v}, plant.source); });
    list(v, "riser", plant.risers, [&](Riser& riser) { visit_riser(v, riser); });
    table(v, "mixing", [&] {
        word(v, "molecular", plant.mixing.molecular);
        word(v, "buoyant", plant.mixing.buoyant);
        word(v, "shear", plant.mixing.shear);
        v.quantity("mouth", std::nullopt, plant.mixing.mouth);
        v.quantity("warm_end", Dimension::temperature_difference, plant.mixing.warm_end);
    });
    list(v, "action", plant.actions, [&](Action& action) { visit_action(v, action); });
}

}  // namespace oxfade::plant::detail
