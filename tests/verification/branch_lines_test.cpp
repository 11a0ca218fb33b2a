// Counted pipes and rows of branch lines against the same tree with every pipe written out: the same to 1e-9.
#include <cmath>
#include <map>

#include "oxfade/scenario/read.hpp"
#include "support/plants.hpp"
#include "support/run.hpp"

namespace {

using namespace oxfade;
using namespace oxfade::sample;

constexpr double equal = 1e-9;

void expect_equal(std::optional<double> a, std::optional<double> b, const std::string& what) {
    ASSERT_TRUE(a.has_value()) << what;
    ASSERT_TRUE(b.has_value()) << what;
    EXPECT_NEAR(*a / *b, 1.0, equal) << what;
}

/// @param written_out names of pipes of `full` for each pipe of `counted`
void expect_same(const plant::Plant& counted, const plant::Plant& full,
                 const std::map<std::string, std::vector<std::string>>& written_out) {
    const auto a = run(counted, tight(1e-11)).risers.at(0), b = run(full, tight(1e-11)).risers.at(0);
    expect_equal(a.fill_time, b.fill_time, "fill");
    expect_equal(a.time_to_target, b.time_to_target, "target");
    expect_equal(a.time_everywhere, b.time_everywhere, "everywhere");
    expect_equal(a.time_of_average, b.time_of_average, "average");
    expect_equal(a.time_at_readings, b.time_at_readings, "readings");
    EXPECT_NEAR(a.volume / b.volume, 1.0, equal);
    EXPECT_NEAR(a.vented / b.vented, 1.0, 1e-8);
    EXPECT_NEAR(a.leaked / b.leaked, 1.0, 1e-8);
    EXPECT_NEAR(a.average_oxygen / b.average_oxygen, 1.0, equal);
    const auto pipe_of = [](const outcome::RiserOutcome& riser, const std::string& name) {
        for (const auto& pipe : riser.pipes) {
            if (pipe.name == name) return pipe;
        }
        throw std::logic_error("there is no pipe " + name);
    };
    std::size_t pipes = 0;
    for (const auto& [name, copies] : written_out) {
        const auto one = pipe_of(a, name);
        int times = 0;
        for (const std::string& copy : copies) {
            const auto other = pipe_of(b, copy);
            ++pipes;
            times += other.copies;
            ASSERT_EQ(one.oxygen.size(), other.oxygen.size()) << copy;
            for (std::size_t cell = 0; cell < one.oxygen.size(); ++cell)
                EXPECT_NEAR(one.oxygen[cell] / other.oxygen[cell], 1.0, equal) << copy << ' ' << cell;
        }
        EXPECT_EQ(one.copies, times) << name;
    }
    EXPECT_EQ(pipes, b.pipes.size());
}

/// A main with a vent at its end, and two lines that each part into three drops.
plant::Plant tree(std::optional<int> cells, bool counted) {
    const auto pipe = [&](const std::string& name, double bore, double length, const std::string& from) {
        plant::Pipe made = tube(name, bore, length);
        made.cells = cells;
        if (!from.empty()) made.from = from;
        return made;
    };
    plant::Riser riser = full_riser({pipe("main", 0.05, 8.0, ""), pipe("far", 0.05, 5.0, "main")});
    riser.initial_pressure.reset();
    const auto add = [&](const std::string& name, double bore, double length, const std::string& from,
                         int count, double pitch) {
        riser.pipes.push_back(pipe(name, bore, length, from));
        riser.pipes.back().count = count;
        riser.pipes.back().pitch = pitch;
    };
    if (counted) {
        add("line", 0.03, 1.2, "main", 2, 0.004);
        add("drop", 0.02, 0.4, "line", 3, -1.0);
        riser.leaks.push_back(hole("drop", 0.05e-3));
    } else {
        for (const std::string line : {"line 1", "line 2"}) {
            add(line, 0.03, 1.2, "main", 1, 0.004);
            for (const std::string drop : {"a", "b", "c"}) {
                add(line + drop, 0.02, 0.4, line, 1, -1.0);
                riser.leaks.push_back(hole(line + drop, 0.05e-3));
            }
        }
    }
    riser.vents.push_back(vent("far", 0.8e-3));
    riser.samples.push_back({"port", counted ? "line" : "line 2", 0.7});
    plant::Leak spread{std::nullopt, plant::Orifice{0.2e-3, 0.8}, plant::LeakSpread::joints};
    riser.leaks.push_back(spread);
    plant::Plant plant = plant_of(std::move(riser), cylinders(0.99), 6.0 * day);
    plant.mixing = {};
    return plant;
}

class CountedCells : public ::testing::TestWithParam<std::optional<int>> {};

TEST_P(CountedCells, EqualsTheTreeWrittenOut) {
    expect_same(tree(GetParam(), true), tree(GetParam(), false),
                {{"main", {"main"}},
                 {"far", {"far"}},
                 {"line", {"line 1", "line 2"}},
                 {"drop", {"line 1a", "line 1b", "line 1c", "line 2a", "line 2b", "line 2c"}}});
}

INSTANTIATE_TEST_SUITE_P(Cells, CountedCells, ::testing::Values(1, 3, std::nullopt));

/// What is on a counted pipe is on every copy of it: vents, and water that closes the bore.
TEST(Counted, HasVentsAndWaterOnEveryCopy) {
    const auto add = [](plant::Plant plant, const std::vector<std::string>& lines) {
        plant::Riser& riser = plant.risers[0];
        riser.samples.clear();
        riser.leaks.pop_back();
        for (const std::string& line : lines) {
            riser.vents.push_back(vent(line, 0.3e-3));
            riser.low_points.push_back({"dip of " + line, line, 1e-4, plant::WaterRise{0.1}});
        }
        return plant;
    };
    const auto a = run(add(tree(1, true), {"line"}), tight(1e-11)).risers.at(0);
    const auto b = run(add(tree(1, false), {"line 1", "line 2"}), tight(1e-11)).risers.at(0);
    constexpr double switching =
        3e-5;  // water of two copies lets gas through one after the other, not at once
    EXPECT_NEAR(a.time_at_readings.value() / b.time_at_readings.value(), 1.0, switching);
    EXPECT_NEAR(a.vented / b.vented, 1.0, 1e-8);
    EXPECT_NEAR(a.average_oxygen / b.average_oxygen, 1.0, 1e-8);
    EXPECT_GT(a.low_points.at(0).breaks, 0);
    ASSERT_EQ(b.low_points.size(), 2U);
    EXPECT_NEAR(a.low_points[0].closed_time / b.low_points[0].closed_time, 1.0, switching);
    EXPECT_NEAR(a.low_points[0].water_at_end / (b.low_points[0].water_at_end + b.low_points[1].water_at_end),
                1.0, 1e-6);
}

std::string scenario(const std::string& cells, const std::string& piping) {
    return R"(format = 1
duration = "10 d"
target = "97 %"
[site]
temperature = "20 degC"
[source]
kind = "cylinders"
purity = "99 %"
content = "5000 m3"
delivery_pressure = "20 barg"
[[riser]]
name = "North"
set_pressure = "2 barg"
fill = { diameter = "10 mm" }
supply = { kind = "regulator", diameter = "5 mm" }
[[riser.vent]]
name = "end vent"
at = "main"
diameter = "0.6 mm"
[[riser.leak]]
diameter = "0.2 mm"
spread = "length"
[[riser.pipe]]
name = "feed"
bore = "60 mm"
length = "4 m"
position = "vertical"
)" + cells +
           piping;
}

/// Six lines on both sides of a main of 9 m; each steps down once.
TEST(Rows, EqualTheTreeWrittenOut) {
    for (const std::string cells : {"", "cells = 3\n"}) {
        const auto piece = [&](const char* bore, const char* length) {
            return "bore = \"" + std::string(bore) + "\"\nlength = \"" + length + "\"\n" + cells;
        };
        std::string row = "[[riser.pipe]]\nname = \"main\"\nbore = \"50 mm\"\nlength = \"9 m\"\n";
        if (!cells.empty()) row += "cells = 9\n";
        row +=
            "[[riser.branch_lines]]\nname = \"lines\"\nalong = \"main\"\nspacing = \"3 m\"\nsides = "
            "\"both\"\n";
        row += "[[riser.branch_lines.pieces]]\n" + piece("32 mm", "0.8 m");
        row += "[[riser.branch_lines.pieces]]\n" + piece("25 mm", "0.6 m");
        std::string full;
        const std::vector<std::string> mains{"main 1", "main 2", "main"};
        std::map<std::string, std::vector<std::string>> written_out{{"feed", {"feed"}}};
        for (const std::string& main : mains) {
            full += "[[riser.pipe]]\nname = \"" + main + "\"\n" + piece("50 mm", "3 m");
            written_out[main] = {main};
        }
        for (int line = 1; line <= 6; ++line) {
            const std::string name = "line " + std::to_string(line);
            full += "[[riser.pipe]]\nname = \"" + name + " near\"\nfrom = \"" +
                    mains[static_cast<std::size_t>((line - 1) / 2)] + "\"\n" + piece("32 mm", "0.8 m");
            full += "[[riser.pipe]]\nname = \"" + name + "\"\n" + piece("25 mm", "0.6 m");
            const int first = line - (line - 1) % 2;
            const std::string pair = "lines " + std::to_string(first) + "-" + std::to_string(first + 1);
            written_out[pair].push_back(name);
            written_out[pair + " piece 1"].push_back(name + " near");
        }
        expect_same(oxfade::scenario::read_text(scenario(cells, row), "row").plant,
                    oxfade::scenario::read_text(scenario(cells, full), "full").plant, written_out);
    }
}

/// One line that something names is written out; its twin does as before.
TEST(Rows, ALineThatIsNamedChangesNothing) {
    const std::string row =
        "[[riser.pipe]]\nname = \"main\"\nbore = \"50 mm\"\nlength = \"6 m\"\n[[riser.branch_lines]]\nname = "
        "\"lines\"\nalong = \"main\"\nnumber = 4\nsides = \"both\"\nbore = \"25 mm\"\nlength = \"1 m\"\n"
        "[[riser.sample]]\nname = \"port\"\nat = \"main\"\ndistance = \"2 m\"\n";
    const std::string sample = "[[riser.sample]]\nname = \"line end\"\nat = \"lines 2\"\n";
    plant::Plant split = oxfade::scenario::read_text(scenario("", row + sample), "split").plant;
    split.risers[0].samples.pop_back();
    expect_same(oxfade::scenario::read_text(scenario("", row), "row").plant, split,
                {{"feed", {"feed"}},
                 {"main 1", {"main 1"}},
                 {"main", {"main"}},
                 {"lines 1-2", {"lines 1", "lines 2"}},
                 {"lines 3-4", {"lines 3-4"}}});
}

}  // namespace
