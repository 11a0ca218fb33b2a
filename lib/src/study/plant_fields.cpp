#include "study/plant_fields.hpp"

#include <type_traits>
#include <variant>
#include <vector>

namespace oxfade::study::detail {
namespace {

using scenario::Dimension;

void word(FieldVisitor& v, std::string_view key, bool value) { v.word(key, value ? "true" : "false"); }

std::string gas_word(plant::InitialGas gas) { return gas == plant::InitialGas::air ? "air" : "source"; }

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

void visit_site(FieldVisitor& v, plant::Site& site) {
    v.quantity("pressure", Dimension::absolute_pressure, site.pressure);
    v.quantity("temperature", Dimension::temperature, site.temperature);
    table(v, "reference", [&] {
        v.quantity("pressure", Dimension::absolute_pressure, site.reference.pressure);
        v.quantity("temperature", Dimension::temperature, site.reference.temperature);
    });
}

void visit_receiver(FieldVisitor& v, plant::Receiver& receiver, double* air_below) {
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
    void operator()(plant::Generator& source) const {
        v.word("kind", "generator");
        v.quantity("purity", Dimension::fraction, source.purity);
        v.quantity("nitrogen_flow", Dimension::volume_flow, source.nitrogen_flow);
        v.quantity("air_flow", Dimension::volume_flow, source.air_flow);
        v.quantity("power", Dimension::power, source.power);
        visit_receiver(v, source.receiver, &source.air_below);
    }
    void operator()(plant::Cylinders& source) const {
        v.word("kind", "cylinders");
        v.quantity("purity", Dimension::fraction, source.purity);
        v.quantity("content", Dimension::volume, source.content);
        v.quantity("delivery_pressure", Dimension::pressure, source.delivery_pressure);
    }
    void operator()(plant::Compressor& source) const {
        v.word("kind", "compressor");
        v.quantity("air_flow", Dimension::volume_flow, source.air_flow);
        v.quantity("power", Dimension::power, source.power);
        visit_receiver(v, source.receiver, nullptr);
    }
    FieldVisitor& v;
};

void visit_orifice(FieldVisitor& v, plant::Orifice& orifice) {
    v.quantity("diameter", Dimension::length, orifice.diameter);
    v.quantity("coefficient", std::nullopt, orifice.coefficient);
}

void visit_supply(FieldVisitor& v, plant::Supply& supply) {
    if (auto* regulator = std::get_if<plant::Regulator>(&supply)) {
        v.word("kind", "regulator");
        visit_orifice(v, regulator->orifice);
    } else {
        auto& pressure_switch = std::get<plant::PressureSwitch>(supply);
        v.word("kind", "switch");
        visit_orifice(v, pressure_switch.orifice);
        v.quantity("low", Dimension::pressure, pressure_switch.low);
        v.quantity("high", Dimension::pressure, pressure_switch.high);
    }
}

void visit_pipe(FieldVisitor& v, plant::Pipe& pipe) {
    v.word("from", pipe.from.value_or(""));
    if (auto* cylinder = std::get_if<plant::Cylinder>(&pipe.shape)) {
        v.quantity("bore", Dimension::length, cylinder->bore);
        v.quantity("length", Dimension::length, cylinder->length);
    } else {
        v.quantity("volume", Dimension::volume, std::get<plant::VolumeOnly>(pipe.shape).volume);
    }
    v.word("cells", std::to_string(pipe.cells));
    v.word("position", pipe.position == plant::Position::level ? "level" : "vertical");
    v.quantity("exchange", Dimension::molar_flow, pipe.exchange);
}

struct VisitPolicy {
    void operator()(plant::OpenAlways&) const { v.word("open", "always"); }
    void operator()(plant::OpenUntilTarget&) const {
        table(v, "open", [&] { v.word("until", "target"); });
    }
    void operator()(plant::OpenUntil& policy) const {
        table(v, "open", [&] { v.quantity("until", Dimension::time, policy.time); });
    }
    void operator()(plant::OpenTimed& policy) const {
        table(v, "open", [&] {
            v.quantity("every", Dimension::time, policy.every);
            v.quantity("for", Dimension::time, policy.duration);
        });
    }
    void operator()(plant::OpenBetween& policy) const {
        table(v, "open", [&] {
            v.quantity("high", Dimension::pressure, policy.high);
            v.quantity("low", Dimension::pressure, policy.low);
        });
    }
    FieldVisitor& v;
};

void visit_vent(FieldVisitor& v, plant::Vent& vent) {
    v.word("at", vent.at);
    visit_orifice(v, vent.orifice);
    std::visit(VisitPolicy{v}, vent.policy);
    word(v, "liquid_stop", vent.liquid_stop);
    v.quantity("chamber", Dimension::volume, vent.chamber);
}

struct VisitLeakSize {
    void operator()(plant::Orifice& size) const { visit_orifice(v, size); }
    void operator()(plant::LeakByTest& size) const {
        v.quantity("loss", Dimension::pressure_difference, size.loss);
        v.quantity("over", Dimension::time, size.over);
        v.quantity("from", Dimension::pressure, size.from);
    }
    void operator()(plant::LeakByFlow& size) const {
        v.quantity("flow", Dimension::volume_flow, size.flow);
        v.quantity("pressure", Dimension::pressure, size.pressure);
    }
    FieldVisitor& v;
};

void visit_low_point(FieldVisitor& v, plant::LowPoint& low_point) {
    v.word("on", low_point.on);
    v.quantity("water", Dimension::volume, low_point.water);
    if (auto* rise = std::get_if<plant::WaterRise>(&low_point.shape)) {
        v.quantity("rise", Dimension::length, rise->height);
        return;
    }
    auto& slopes = std::get<plant::LegSlopes>(low_point.shape);
    table(v, "slopes", [&] {
        v.quantity("0", Dimension::slope, slopes.before);
        v.quantity("1", Dimension::slope, slopes.behind);
    });
}

void visit_riser(FieldVisitor& v, plant::Riser& riser) {
    v.quantity("set_pressure", Dimension::pressure, riser.set_pressure);
    v.quantity("fill_limit", Dimension::time, riser.fill_limit);
    v.quantity("rest", Dimension::time, riser.rest);
    v.word("initial_gas", gas_word(riser.initial_gas));
    v.quantity("initial_pressure", Dimension::pressure, riser.initial_pressure);
    table(v, "fill", [&] { visit_orifice(v, riser.fill); });
    table(v, "supply", [&] { visit_supply(v, riser.supply); });
    list(v, "pipe", riser.pipes, [&](plant::Pipe& pipe) { visit_pipe(v, pipe); });
    list(v, "link", riser.links,
         [&](plant::LoopLink& link) { v.word("between", link.first + " and " + link.second); });
    list(v, "vent", riser.vents, [&](plant::Vent& vent) { visit_vent(v, vent); });
    list(v, "leak", riser.leaks, [&](plant::Leak& leak) {
        v.word("at", leak.at.value_or(""));
        std::visit(VisitLeakSize{v}, leak.size);
    });
    list(v, "low_point", riser.low_points,
         [&](plant::LowPoint& low_point) { visit_low_point(v, low_point); });
}

}  // namespace

void visit_fields(plant::Plant& plant, FieldVisitor& v) {
    v.word("title", plant.title);
    v.quantity("duration", Dimension::time, plant.duration);
    v.quantity("target", Dimension::fraction, plant.target);
    table(v, "site", [&] { visit_site(v, plant.site); });
    table(v, "source", [&] { std::visit(VisitSource{v}, plant.source); });
    list(v, "riser", plant.risers, [&](plant::Riser& riser) { visit_riser(v, riser); });
    table(v, "mixing", [&] {
        word(v, "molecular", plant.mixing.molecular);
        word(v, "buoyant", plant.mixing.buoyant);
    });
}

}  // namespace oxfade::study::detail
