#include <string_view>

#include "scenario/branch_lines.hpp"
#include "scenario/readers.hpp"

namespace oxfade::scenario::detail {
namespace {

enum class SupplyKind { regulator, pressure_switch };

/// A passage of the usual width, where the file says nothing of it.
plant::Orifice usual_passage(const Table& table, std::string_view usual) {
    table.assume("diameter", std::string(usual));
    plant::Orifice orifice;
    orifice.diameter = quantity(usual, Dimension::length, 0.0);
    return orifice;
}

plant::Orifice read_fill(Table& riser) {
    Table table = riser.table_or_none("fill");
    if (!riser.has("fill")) return usual_passage(table, "0.5 in");
    const plant::Orifice fill = read_orifice(table);
    table.finish();
    return fill;
}

plant::Supply read_supply(Table& riser) {
    Table table = riser.table_or_none("supply");
    if (!riser.has("supply")) {
        table.assume("kind", "regulator");
        return plant::Regulator{usual_passage(table, "0.125 in")};
    }
    const auto kind = table.required_choice<SupplyKind>(
        "kind", {{"regulator", SupplyKind::regulator}, {"switch", SupplyKind::pressure_switch}});
    if (!kind) {
        table.reading().findings.shadow(table.path());
        return {};
    }
    const plant::Orifice orifice = read_orifice(table);
    plant::Supply supply = plant::Regulator{orifice};
    if (*kind == SupplyKind::pressure_switch) {
        const double low = table.required_quantity("low", Dimension::pressure);
        const double high = table.required_quantity("high", Dimension::pressure);
        supply = plant::PressureSwitch{orifice, low, high};
    }
    table.finish();
    return supply;
}

plant::LoopLink read_link(Table table) {
    const auto ends = table.required_texts("between");
    table.finish();
    if (ends && ends->size() == 2) return {(*ends)[0], (*ends)[1]};
    if (ends) {
        table.add_problem("between", "a link has two ends", "the names of two pipes are wanted");
    }
    table.reading().findings.shadow(table.path());
    return {};
}

void read_lists(Table& table, plant::Riser& riser) {
    for (Table& pipe : table.list("pipe")) riser.pipes.push_back(read_pipe(std::move(pipe)));
    for (Table& vent : table.list("vent")) riser.vents.push_back(read_vent(std::move(vent)));
    for (Table& leak : table.list("leak")) riser.leaks.push_back(read_leak(std::move(leak)));
    for (Table& link : table.list("link")) {
        riser.links.push_back(read_link(std::move(link)));
    }
    for (Table& low_point : table.list("low_point")) {
        riser.low_points.push_back(read_low_point(std::move(low_point)));
    }
    for (Table& sample : table.list("sample")) {
        riser.samples.push_back(read_sampling_point(std::move(sample)));
    }
    std::vector<BranchLineRow> rows;
    for (Table& row : table.list("branch_lines")) rows.push_back(read_branch_lines(std::move(row)));
    hang_branch_lines(riser, rows, table.reading(), table.path());
}

}  // namespace

plant::Orifice read_orifice(Table& table) {
    plant::Orifice orifice;
    orifice.diameter = table.required_quantity("diameter", Dimension::length);
    orifice.coefficient = table.number("coefficient").value_or(orifice.coefficient);
    return orifice;
}

plant::Riser read_riser(Table table) {
    plant::Riser riser;
    riser.name = table.required_text("name");
    riser.set_pressure = table.required_quantity("set_pressure", Dimension::pressure);
    riser.fill_limit = table.quantity("fill_limit", Dimension::time).value_or(riser.fill_limit);
    riser.rest = table.quantity("rest", Dimension::time).value_or(riser.rest);
    riser.initial_gas = read_initial_gas(table);
    riser.initial_pressure = table.quantity("initial_pressure", Dimension::pressure);
    if (table.holds_table("temperature")) {
        riser.temperature = read_temperature(*table.table("temperature"));
    } else if (const auto constant = table.quantity("temperature", Dimension::temperature)) {
        riser.temperature = *constant;
    }
    riser.fill = read_fill(table);
    riser.supply = read_supply(table);
    table.is_text("takeoff", {});  // its piping is in the lists by now
    read_lists(table, riser);
    table.finish();
    return riser;
}

}  // namespace oxfade::scenario::detail
