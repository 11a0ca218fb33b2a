#include <fmt/format.h>

#include <cmath>
#include <optional>
#include <string_view>
#include <tuple>

#include "scenario/readers.hpp"

namespace oxfade::scenario::detail {
namespace {

enum class SourceKind { generator, cylinders, compressor };

/// A pressure of the receiver; left out, it is as far from `start` as is usual.
/// @param above of `start` [psi]
double usual_from_start(Table& table, std::string_view key, double start, double above) {
    if (!table.has(key) && std::isnan(start)) {
        table.reading().findings.shadow(table.key_path(key));
        return unreadable;
    }
    constexpr double psi = 6894.757293168;
    const double gauge = (start - table.reading().air_pressure) / psi + above;
    return table.usual_quantity(key, Dimension::pressure, fmt::format("{:.6g} psig", gauge));
}

plant::Receiver read_receiver(Table& table) {
    plant::Receiver receiver;
    receiver.volume = table.usual_quantity("volume", Dimension::volume, "60 gal");
    receiver.start = table.usual_quantity("start", Dimension::pressure, "85 psig");
    receiver.stop = usual_from_start(table, "stop", receiver.start, 20.0);
    const auto initial = table.quantity("initial_pressure", Dimension::pressure);
    receiver.initial_pressure = initial.value_or(receiver.stop);
    if (!initial) table.reading().findings.shadow(table.key_path("initial_pressure"));  // `stop` is judged
    receiver.initial_gas = read_initial_gas(table);
    return receiver;
}

plant::Generator read_generator(Table& table) {
    plant::Generator generator;
    generator.purity = table.usual_quantity("purity", Dimension::fraction, "99 %");
    generator.nitrogen_flow = table.required_quantity("nitrogen_flow", Dimension::volume_flow);
    generator.air_flow = table.required_quantity("air_flow", Dimension::volume_flow);
    generator.power = table.quantity("power", Dimension::power);
    Table receiver = table.table_or_none("receiver");
    generator.receiver = read_receiver(receiver);
    generator.air_below = usual_from_start(receiver, "air_below", generator.receiver.start, -10.0);
    receiver.finish();
    return generator;
}

plant::Cylinders read_cylinders(Table& table) {
    plant::Cylinders cylinders;
    cylinders.purity = table.usual_quantity("purity", Dimension::fraction, "99 %");
    cylinders.content = table.required_gas_volume("content");
    cylinders.delivery_pressure = table.usual_quantity("delivery_pressure", Dimension::pressure, "80 psig");
    table.refuse("receiver", "cylinders have no receiver", "leave this table out");
    return cylinders;
}

plant::Compressor read_compressor(Table& table) {
    plant::Compressor compressor;
    compressor.air_flow = table.required_quantity("air_flow", Dimension::volume_flow);
    compressor.power = table.quantity("power", Dimension::power);
    Table receiver = table.table_or_none("receiver");
    compressor.receiver = read_receiver(receiver);
    receiver.refuse("air_below", "a compressor gives nothing but air", "leave this key out");
    receiver.finish();
    return compressor;
}

/// The key `kind`; left out, the source's own keys say it.
std::optional<SourceKind> read_source_kind(Table& table) {
    for (const auto& [key, name, kind] : {std::tuple{"nitrogen_flow", "generator", SourceKind::generator},
                                          std::tuple{"content", "cylinders", SourceKind::cylinders}}) {
        if (table.has("kind") || !table.has(key)) continue;
        table.is_text("kind", {});
        table.assume("kind", name, fmt::format("it has `{}`", key));
        return kind;
    }
    return table.required_choice<SourceKind>("kind", {{"generator", SourceKind::generator},
                                                      {"cylinders", SourceKind::cylinders},
                                                      {"compressor", SourceKind::compressor}});
}

plant::Source read_kind(Table& table, SourceKind kind) {
    switch (kind) {
        case SourceKind::cylinders:
            return read_cylinders(table);
        case SourceKind::compressor:
            return read_compressor(table);
        default:
            return read_generator(table);
    }
}

}  // namespace

plant::InitialGas read_initial_gas(Table& table) {
    return table
        .choice<plant::InitialGas>("initial_gas",
                                   {{"air", plant::InitialGas::air}, {"source", plant::InitialGas::source}})
        .value_or(plant::InitialGas::air);
}

plant::Source read_source(Table table) {
    const auto kind = read_source_kind(table);
    if (!kind) {
        table.reading().findings.shadow(table.path());
        return {};
    }
    plant::Source source = read_kind(table, *kind);
    table.finish();
    return source;
}

}  // namespace oxfade::scenario::detail
