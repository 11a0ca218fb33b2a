#include <algorithm>
#include <map>

#include "scenario/takeoff/piping.hpp"

namespace oxfade::scenario::detail {
namespace {

SystemPiping read_system(const Sheet& sheet, const std::vector<const TakeoffRow*>& rows,
                         const TakeoffSettings& settings, RowFaults& faults) {
    SystemPiping system;
    system.name = rows.front()->system;
    system.line = rows.front()->line;
    system.rows = rows.size();
    system.us_units =
        std::count_if(rows.begin(), rows.end(), [](const TakeoffRow* r) { return in_us_units(*r); }) * 2 >
        static_cast<std::ptrdiff_t>(rows.size());
    if (!std::all_of(rows.begin(), rows.end(), [](const TakeoffRow* r) { return r->readable; })) {
        check_names(rows, faults);
        return system;
    }
    const Hanging hanging = hang_rows(rows, settings.tolerance, faults);
    if (faults.empty()) write_piping(sheet, rows, hanging, faults, system);
    return system;
}

}  // namespace

std::vector<SystemPiping> read_systems(const Sheet& sheet, const TakeoffSettings& settings,
                                       RowFaults& faults) {
    const std::vector<TakeoffRow> rows = read_rows(sheet, settings, faults);
    std::vector<std::string> names;
    std::map<std::string, std::vector<const TakeoffRow*>> by_system;
    for (const TakeoffRow& row : rows) {
        auto& members = by_system[lower_case(row.system)];
        if (members.empty()) names.push_back(lower_case(row.system));
        members.push_back(&row);
    }
    std::vector<SystemPiping> systems;
    for (const std::string& name : names) {
        const auto& members = by_system[name];
        if (name.empty() && names.size() > 1) {
            faults.add(members.front()->index, Column::system, "the system is missing",
                       "its name, in each row");
            continue;
        }
        RowFaults own(sheet);
        systems.push_back(read_system(sheet, members, settings, own));
        faults.add(own.take());
    }
    return systems;
}

}  // namespace oxfade::scenario::detail
