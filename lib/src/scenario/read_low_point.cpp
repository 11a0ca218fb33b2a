#include "scenario/readers.hpp"

namespace oxfade::scenario::detail {
namespace {

plant::LegSlopes read_slopes(Table& low_point) {
    const auto slopes = low_point.quantities("slopes", Dimension::slope);
    if (slopes && slopes->size() == 2) return {(*slopes)[0], (*slopes)[1]};
    if (slopes) {
        low_point.add_problem("slopes", "a low point has two legs",
                              "two slopes are wanted, for example [\"1 in / 10 ft\", \"2 in / 10 ft\"]");
    }
    return {unreadable, unreadable};
}

}  // namespace

plant::LowPoint read_low_point(Table table) {
    plant::LowPoint low_point;
    low_point.name = table.required_text("name");
    low_point.on = table.required_text("on");
    low_point.water = table.required_quantity("water", Dimension::volume);
    const auto given = table.one_of({{"rise"}, {"slopes"}}, "nothing says how the water stands",
                                    "give `rise`, or `slopes` of the two legs");
    low_point.shape = plant::WaterRise{unreadable};
    if (given == 0) low_point.shape = plant::WaterRise{table.required_quantity("rise", Dimension::length)};
    if (given == 1) low_point.shape = read_slopes(table);
    table.finish();
    return low_point;
}

}  // namespace oxfade::scenario::detail
