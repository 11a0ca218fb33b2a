#include "scenario/readers.hpp"

namespace oxfade::scenario::detail {
namespace {

plant::VentPolicy read_until(Table& open) {
    // A word in the place of a time: `until = "target"`.
    if (open.is_text("until", "target")) return plant::OpenUntilTarget{};
    return plant::OpenUntil{open.required_moment("until")};
}

plant::VentPolicy read_timed(Table& open) {
    const double every = open.required_quantity("every", Dimension::time);
    return plant::OpenTimed{every, open.required_quantity("for", Dimension::time)};
}

plant::VentPolicy read_between(Table& open) {
    const double high = open.required_quantity("high", Dimension::pressure);
    return plant::OpenBetween{high, open.required_quantity("low", Dimension::pressure)};
}

plant::VentPolicy read_policy_table(Table open) {
    const auto given =
        open.one_of({{"until"}, {"every", "for"}, {"high", "low"}}, "does not say when it opens",
                    "give `until`, or `every` and `for`, or `high` and `low`");
    plant::VentPolicy policy;
    if (given == 0) policy = read_until(open);
    if (given == 1) policy = read_timed(open);
    if (given == 2) policy = read_between(open);
    open.finish();
    return policy;
}

plant::VentPolicy read_policy(Table& vent) {
    if (vent.holds_table("open")) return read_policy_table(*vent.table("open"));
    if (vent.has("open") && !vent.is_text("open", "always")) {
        vent.add_problem(
            "open", "does not say when the vent opens",
            "\"always\", { until = \"14 d\" }, { until = \"target\" }, { every = \"6 h\", for = \"20 min\" } "
            "or { high = \"32 psig\", low = \"26 psig\" }");
    }
    return plant::OpenAlways{};
}

plant::LeakByTest read_leak_test(Table& leak) {
    const double loss = leak.required_quantity("loss", Dimension::pressure_difference);
    const double over = leak.required_quantity("over", Dimension::time);
    return {loss, over, leak.required_quantity("from", Dimension::pressure)};
}

plant::LeakByFlow read_leak_flow(Table& leak) {
    const double flow = leak.required_quantity("flow", Dimension::volume_flow);
    return {flow, leak.required_quantity("pressure", Dimension::pressure)};
}

}  // namespace

plant::Vent read_vent(Table table) {
    plant::Vent vent;
    vent.name = table.required_text("name");
    vent.at = table.required_text("at");
    vent.orifice = read_orifice(table);
    vent.policy = read_policy(table);
    vent.liquid_stop = table.flag("liquid_stop").value_or(vent.liquid_stop);
    vent.chamber = table.quantity("chamber", Dimension::volume).value_or(vent.chamber);
    table.finish();
    return vent;
}

plant::SamplingPoint read_sampling_point(Table table) {
    plant::SamplingPoint sample;
    sample.name = table.required_text("name");
    sample.at = table.required_text("at");
    sample.distance = table.quantity("distance", Dimension::length);
    table.finish();
    return sample;
}

plant::Leak read_leak(Table table) {
    plant::Leak leak;
    leak.at = table.text("at");
    const auto spread = table.choice<plant::LeakSpread>("spread", {{"volume", plant::LeakSpread::volume},
                                                                   {"length", plant::LeakSpread::length},
                                                                   {"joints", plant::LeakSpread::joints}});
    leak.spread = spread.value_or(leak.spread);
    if (leak.at) table.refuse("spread", "a leak at one pipe is not spread", "keep `at` or `spread`");
    const auto given = table.one_of(
        {{"loss", "over", "from"}, {"flow", "pressure"}, {"diameter", "coefficient"}}, "the leak has no size",
        "give `loss`, `over` and `from`, or `flow` and `pressure`, or `diameter` and `coefficient`");
    if (given == 0) leak.size = read_leak_test(table);
    if (given == 1) leak.size = read_leak_flow(table);
    if (given == 2) leak.size = read_orifice(table);
    table.finish();
    return leak;
}

}  // namespace oxfade::scenario::detail
