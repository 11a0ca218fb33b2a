#include "scenario/readers.hpp"

namespace oxfade::scenario::detail {
namespace {

enum class SourceKind { generator, cylinders, compressor };

plant::Receiver read_receiver(Table& table) {
    plant::Receiver receiver;
    receiver.volume = table.required_quantity("volume", Dimension::volume);
    receiver.start = table.required_quantity("start", Dimension::pressure);
    receiver.stop = table.required_quantity("stop", Dimension::pressure);
    const auto initial = table.quantity("initial_pressure", Dimension::pressure);
    receiver.initial_pressure = initial.value_or(receiver.stop);
    if (!initial) table.reading().findings.shadow(table.key_path("initial_pressure"));  // `stop` is judged
    receiver.initial_gas = read_initial_gas(table);
    return receiver;
}

plant::Generator read_generator(Table& table) {
    plant::Generator generator;
    generator.purity = table.required_quantity("purity", Dimension::fraction);
    generator.nitrogen_flow = table.required_quantity("nitrogen_flow", Dimension::volume_flow);
    generator.air_flow = table.required_quantity("air_flow", Dimension::volume_flow);
    generator.power = table.quantity("power", Dimension::power);
    Table receiver = table.required_table("receiver");
    generator.receiver = read_receiver(receiver);
    generator.air_below = receiver.required_quantity("air_below", Dimension::pressure);
    receiver.finish();
    return generator;
}

plant::Cylinders read_cylinders(Table& table) {
    plant::Cylinders cylinders;
    cylinders.purity = table.required_quantity("purity", Dimension::fraction);
    cylinders.content = table.required_quantity("content", Dimension::volume);
    cylinders.delivery_pressure = table.required_quantity("delivery_pressure", Dimension::pressure);
    table.refuse("receiver", "cylinders have no receiver", "leave this table out");
    return cylinders;
}

plant::Compressor read_compressor(Table& table) {
    plant::Compressor compressor;
    compressor.air_flow = table.required_quantity("air_flow", Dimension::volume_flow);
    compressor.power = table.quantity("power", Dimension::power);
    Table receiver = table.required_table("receiver");
    compressor.receiver = read_receiver(receiver);
    receiver.refuse("air_below", "a compressor gives nothing but air", "leave this key out");
    receiver.finish();
    return compressor;
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
    const auto kind = table.required_choice<SourceKind>("kind", {{"generator", SourceKind::generator},
                                                                 {"cylinders", SourceKind::cylinders},
                                                                 {"compressor", SourceKind::compressor}});
    if (!kind) {
        table.reading().findings.shadow(table.path());
        return {};
    }
    plant::Source source = read_kind(table, *kind);
    table.finish();
    return source;
}

}  // namespace oxfade::scenario::detail
