#include "scenario/readers.hpp"

namespace oxfade::scenario::detail {
namespace {

plant::DailySwing read_swing(Table& table) {
    plant::DailySwing swing;
    swing.mean = table.required_quantity("mean", Dimension::temperature);
    swing.swing = table.required_quantity("swing", Dimension::temperature_difference);
    swing.period = table.quantity("period", Dimension::time).value_or(swing.period);
    swing.warmest = table.quantity("warmest", Dimension::time).value_or(swing.warmest);
    return swing;
}

plant::TemperatureTable read_course(Table& table) {
    plant::TemperatureTable course;
    course.period = table.quantity("period", Dimension::time);
    const auto rows = table.pairs("table", {Dimension::time, Dimension::temperature});
    if (!rows) {
        table.reading().findings.shadow(table.path());
        return course;
    }
    for (const auto& [time, temperature] : *rows) course.knots.push_back({time, temperature});
    return course;
}

}  // namespace

plant::Temperature read_temperature(Table table) {
    const auto given = table.one_of({{"mean", "swing", "warmest"}, {"table"}}, "does not say how it runs",
                                    "give `mean` and `swing`, or a `table` of times and temperatures");
    plant::Temperature temperature;
    if (given == 0) temperature = read_swing(table);
    if (given == 1) temperature = read_course(table);
    if (!given) {
        table.quantity("period", Dimension::time);
        table.reading().findings.shadow(table.path());
    }
    table.finish();
    return temperature;
}

}  // namespace oxfade::scenario::detail
