#include "oxfade/scenario/read.hpp"

#include <gtest/gtest.h>

#include <cstdio>
#include <filesystem>
#include <fstream>

#include "oxfade/gas/atmosphere.hpp"
#include "support/scenario_text.hpp"

namespace oxfade::scenario {
namespace {

constexpr double psi = 6894.757293168, inch = 0.0254, foot = 0.3048, gallon = 3.785411784e-3;
constexpr double air = 100'000.0;  // [Pa], of the sample's site

plant::Riser riser_of(const std::string& text) { return sample::read(text).plant.risers.at(0); }

TEST(Read, TakesTheSample) {
    const Scenario scenario = sample::read(std::string(sample::scenario_text));
    const plant::Plant& plant = scenario.plant;
    EXPECT_EQ(scenario.file, "sample.toml");
    EXPECT_EQ(plant.title, "sample");
    EXPECT_DOUBLE_EQ(plant.duration, 3 * 86400.0);
    EXPECT_DOUBLE_EQ(plant.target, 0.97);
    EXPECT_DOUBLE_EQ(plant.site.pressure, air);
    EXPECT_DOUBLE_EQ(plant.site.temperature.mean(), 293.15);
    const auto& riser = plant.risers.at(0);
    EXPECT_EQ(riser.name, "North");
    EXPECT_NEAR(riser.set_pressure, air + 30 * psi, 1e-6);
    EXPECT_DOUBLE_EQ(riser.fill.diameter, 0.5 * inch);
    EXPECT_DOUBLE_EQ(std::get<plant::Regulator>(riser.supply).orifice.diameter, 0.125 * inch);
    ASSERT_EQ(riser.pipes.size(), 3U);
    EXPECT_DOUBLE_EQ(riser.pipes[0].volume(), 700 * gallon);
    EXPECT_EQ(riser.pipes[2].from, "main");
    const auto& vent = riser.vents.at(0);
    EXPECT_EQ(vent.at, "far");
    EXPECT_DOUBLE_EQ(vent.orifice.diameter, 0.03 * inch);
}

TEST(Read, TakesDefaultsFromTheFormat) {
    const Scenario scenario = sample::read(std::string(sample::scenario_text));
    const plant::Plant& plant = scenario.plant;
    EXPECT_EQ(scenario.relative_tolerance, std::nullopt);
    EXPECT_DOUBLE_EQ(plant.site.reference.pressure, 101'325.0);
    EXPECT_DOUBLE_EQ(plant.site.reference.temperature, 293.15);
    EXPECT_TRUE(plant.mixing.molecular);
    EXPECT_TRUE(plant.mixing.buoyant);
    const auto& generator = std::get<plant::Generator>(plant.source);
    EXPECT_EQ(generator.power, std::nullopt);
    EXPECT_DOUBLE_EQ(generator.receiver.initial_pressure, generator.receiver.stop);
    EXPECT_EQ(generator.receiver.initial_gas, plant::InitialGas::air);
    const auto& riser = plant.risers.at(0);
    EXPECT_DOUBLE_EQ(riser.fill_limit, 1800.0);
    EXPECT_DOUBLE_EQ(riser.rest, 0.0);
    EXPECT_EQ(riser.initial_gas, plant::InitialGas::air);
    EXPECT_EQ(riser.initial_pressure, std::nullopt);
    EXPECT_DOUBLE_EQ(riser.vents.at(0).orifice.coefficient, 0.8);
    EXPECT_TRUE(std::holds_alternative<plant::OpenAlways>(riser.vents[0].policy));
    EXPECT_FALSE(riser.vents[0].liquid_stop);
    EXPECT_EQ(riser.pipes.at(1).cells, std::nullopt);
    EXPECT_EQ(riser.pipes[1].count, 1);
    EXPECT_EQ(riser.pipes[1].from, std::nullopt);
    EXPECT_EQ(riser.pipes[1].pitch, std::nullopt);
    EXPECT_EQ(riser.pipes[1].elevation, std::nullopt);
    EXPECT_EQ(riser.pipes[1].exchange, std::nullopt);
}

TEST(Read, TakesAllThatASourceMayHave) {
    std::string text = sample::with("air_flow = \"700 ft3/h\"", "air_flow = \"700 ft3/h\"\npower = \"4 kW\"");
    text =
        sample::with("air_below", "initial_pressure = \"0 psig\"\ninitial_gas = \"source\"\nair_below", text);
    const auto source = std::get<plant::Generator>(sample::read(text).plant.source);
    EXPECT_DOUBLE_EQ(source.power.value(), 4000.0);
    EXPECT_DOUBLE_EQ(source.receiver.initial_pressure, air);
    EXPECT_EQ(source.receiver.initial_gas, plant::InitialGas::source);
    EXPECT_NEAR(source.air_below, air + 75 * psi, 1e-6);
    EXPECT_NEAR(source.nitrogen_flow, 140 * foot * foot * foot / 3600, 1e-12);
}

std::string with_source(const std::string& lines) {
    std::string text(sample::scenario_text);
    const auto begin = text.find("[source]"), end = text.find("[[riser]]");
    return text.replace(begin, end - begin, "[source]\n" + lines);
}

TEST(Read, TakesCylinders) {
    const auto text = with_source(
        "kind = \"cylinders\"\npurity = \"99.9 %\"\ncontent = \"90 m3\"\ndelivery_pressure = \"80 psig\"\n");
    const auto source = std::get<plant::Cylinders>(sample::read(text).plant.source);
    EXPECT_DOUBLE_EQ(source.purity, 0.999);
    EXPECT_DOUBLE_EQ(source.content, 90.0);
    EXPECT_NEAR(source.delivery_pressure, air + 80 * psi, 1e-6);
}

TEST(Read, TakesACompressor) {
    const auto text = with_source(
        "kind = \"compressor\"\nair_flow = \"10 cfm\"\n"
        "receiver = { volume = \"60 gal\", start = \"5 barg\", stop = \"7 barg\" }\n");
    const auto source = std::get<plant::Compressor>(sample::read(text).plant.source);
    EXPECT_NEAR(source.air_flow, 10 * foot * foot * foot / 60, 1e-12);
    EXPECT_DOUBLE_EQ(source.receiver.start, 600'000.0);
    EXPECT_DOUBLE_EQ(source.receiver.initial_pressure, 800'000.0);
}

TEST(Read, CountsGaugePressuresFromTheAirAtTheAltitude) {
    const auto plant = sample::read(sample::with("pressure = \"100 kPa\"", "altitude = \"1500 m\"")).plant;
    EXPECT_DOUBLE_EQ(plant.site.pressure, gas::air_pressure_at_altitude(1500.0));
    EXPECT_NEAR(plant.risers.at(0).set_pressure, plant.site.pressure + 30 * psi, 1e-6);
}

TEST(Read, TakesTheStandardAirPressureWhereNoneIsGiven) {
    EXPECT_DOUBLE_EQ(sample::read(sample::with("pressure = \"100 kPa\"\n", "")).plant.site.pressure,
                     101'325.0);
}

TEST(Read, TakesPipesOfEveryShape) {
    const auto riser = riser_of(std::string(sample::scenario_text));
    const auto* nominal = riser.pipes.at(1).geometry();
    ASSERT_NE(nominal, nullptr);
    EXPECT_NEAR(nominal->bore, 2.067 * inch, 1e-12);
    EXPECT_DOUBLE_EQ(nominal->length, 300 * foot);
    const auto* bore = riser.pipes.at(2).geometry();
    ASSERT_NE(bore, nullptr);
    EXPECT_DOUBLE_EQ(bore->bore, 0.05);
    EXPECT_EQ(riser.pipes[0].geometry(), nullptr);
}

TEST(Read, TakesTheRestOfAPipe) {
    const auto pipe = riser_of(sample::with("length = \"80 m\"",
                                            "length = \"80 m\"\ncells = 5\n"
                                            "position = \"vertical\"\nexchange = \"0.01 mol/s\""))
                          .pipes.at(2);
    EXPECT_EQ(pipe.cells, 5);
    EXPECT_EQ(pipe.pitch, 1.0);
    EXPECT_DOUBLE_EQ(pipe.exchange.value(), 0.01);
}

TEST(Read, TakesHowAPipeLies) {
    const auto east = [](const std::string& keys) {
        return riser_of(sample::with("length = \"80 m\"", "length = \"80 m\"\n" + keys)).pipes.at(2);
    };
    EXPECT_EQ(east("position = \"level\"").pitch, 0.0);
    EXPECT_EQ(east("position = \"drop\"").pitch, -1.0);
    EXPECT_NEAR(east("pitch = \"0.42 %\"").pitch.value(), 0.0042, 1e-15);
    EXPECT_NEAR(east("pitch = \"-0.05 in/ft\"").pitch.value(), -0.05 / 12, 1e-15);
    EXPECT_NEAR(east("pitch = \"4 mm/m\"").pitch.value(), 0.004, 1e-15);
    EXPECT_NEAR(east("pitch = \"1/2 in / 10 ft\"").pitch.value(), 0.5 / 120, 1e-15);
    const auto pipe = east("elevations = [\"12 ft\", \"12.5 ft\"]\ncount = 7");
    EXPECT_EQ(pipe.pitch, std::nullopt);
    EXPECT_NEAR(pipe.elevation.value()[0], 12 * foot, 1e-12);
    EXPECT_NEAR(pipe.elevation.value()[1], 12.5 * foot, 1e-12);
    EXPECT_EQ(pipe.count, 7);
}

TEST(Read, TakesSamplingPointsSpreadTargetAndMixing) {
    std::string text = sample::with_added(
        "[[riser.sample]]\nname = \"port\"\nat = \"far\"\ndistance = \"30 ft\"\n[[riser.sample]]\nname = "
        "\"end\"\nat = \"east\"\n[mixing]\nshear = false\nmouth = 3.5\nwarm_end = \"-1.5 K\"\n");
    text = sample::with("target = ", "target_at = \"average\"\ntarget = ", text);
    text = sample::with("volume = \"700 gal\"", "bore = \"4 in\"\nlength = \"100 ft\"", text);
    const auto plant = sample::read(sample::with("loss =", "spread = \"joints\"\nloss =", text)).plant;
    const auto& samples = plant.risers.at(0).samples;
    ASSERT_EQ(samples.size(), 2U);
    EXPECT_EQ(samples[0].at, "far");
    EXPECT_NEAR(samples[0].distance.value(), 30 * foot, 1e-12);
    EXPECT_EQ(samples[1].distance, std::nullopt);
    EXPECT_EQ(plant.risers[0].leaks.at(0).spread, plant::LeakSpread::joints);
    EXPECT_EQ(plant.target_at, plant::TargetAt::average);
    EXPECT_FALSE(plant.mixing.shear);
    EXPECT_DOUBLE_EQ(plant.mixing.mouth, 3.5);
    EXPECT_DOUBLE_EQ(plant.mixing.warm_end, -1.5);
}

TEST(Read, TakesTheRestOfARiser) {
    const auto riser =
        riser_of(sample::with("[[riser.pipe]]",
                              "fill_limit = \"20 min\"\nrest = \"10 min\"\ninitial_gas = \"source\"\n"
                              "initial_pressure = \"5 psig\"\n[[riser.pipe]]"));
    EXPECT_DOUBLE_EQ(riser.fill_limit, 1200.0);
    EXPECT_DOUBLE_EQ(riser.rest, 600.0);
    EXPECT_EQ(riser.initial_gas, plant::InitialGas::source);
    EXPECT_NEAR(riser.initial_pressure.value(), air + 5 * psi, 1e-6);
}

TEST(Read, TakesASwitch) {
    const auto riser = riser_of(sample::with("{ kind = \"regulator\",",
                                             "{ kind = \"switch\", low = \"26 psig\", high = \"32 psig\","));
    const auto& supply = std::get<plant::PressureSwitch>(riser.supply);
    EXPECT_NEAR(supply.low, air + 26 * psi, 1e-6);
    EXPECT_NEAR(supply.high, air + 32 * psi, 1e-6);
    EXPECT_DOUBLE_EQ(supply.orifice.diameter, 0.125 * inch);
}

plant::VentPolicy policy_of(const std::string& open) {
    return riser_of(sample::with("diameter = \"0.03 in\"", "diameter = \"0.03 in\"\nopen = " + open))
        .vents.at(0)
        .policy;
}

TEST(Read, TakesEveryVentPolicy) {
    EXPECT_TRUE(std::holds_alternative<plant::OpenAlways>(policy_of("\"always\"")));
    EXPECT_TRUE(std::holds_alternative<plant::OpenUntilTarget>(policy_of("{ until = \"target\" }")));
    EXPECT_DOUBLE_EQ(std::get<plant::OpenUntil>(policy_of("{ until = \"14 d\" }")).time, 14 * 86400.0);
    const auto timed = std::get<plant::OpenTimed>(policy_of("{ every = \"6 h\", for = \"20 min\" }"));
    EXPECT_DOUBLE_EQ(timed.every, 21600.0);
    EXPECT_DOUBLE_EQ(timed.duration, 1200.0);
    const auto between = std::get<plant::OpenBetween>(policy_of("{ high = \"32 psig\", low = \"26 psig\" }"));
    EXPECT_NEAR(between.high, air + 32 * psi, 1e-6);
    EXPECT_NEAR(between.low, air + 26 * psi, 1e-6);
}

TEST(Read, TakesEveryKindOfLeak) {
    const auto leaks = riser_of(sample::with_added("[[riser.leak]]\nat = \"far\"\ndiameter = \"0.2 mm\"\n"
                                                   "coefficient = 0.7\n[[riser.leak]]\nflow = \"1.5 L/min\"\n"
                                                   "pressure = \"40 psig\"\n"))
                           .leaks;
    ASSERT_EQ(leaks.size(), 3U);
    const auto& test = std::get<plant::LeakByTest>(leaks[0].size);
    EXPECT_NEAR(test.loss, 1.5 * psi, 1e-6);
    EXPECT_DOUBLE_EQ(test.over, 86400.0);
    EXPECT_NEAR(test.from, air + 40 * psi, 1e-6);
    EXPECT_EQ(leaks[0].at, std::nullopt);
    EXPECT_EQ(leaks[1].at, "far");
    EXPECT_DOUBLE_EQ(std::get<plant::Orifice>(leaks[1].size).coefficient, 0.7);
    EXPECT_NEAR(std::get<plant::LeakByFlow>(leaks[2].size).flow, 2.5e-5, 1e-15);
}

TEST(Read, TakesLoopsMixingAndSolver) {
    const auto scenario = sample::read(
        sample::with_added("[[riser.link]]\nbetween = [\"far\", \"east\"]\n[mixing]\nbuoyant = false\n"
                           "[solver]\nrelative_tolerance = 1e-8\n"));
    const auto& link = scenario.plant.risers.at(0).links.at(0);
    EXPECT_EQ(link.first, "far");
    EXPECT_EQ(link.second, "east");
    EXPECT_TRUE(scenario.plant.mixing.molecular);
    EXPECT_FALSE(scenario.plant.mixing.buoyant);
    EXPECT_DOUBLE_EQ(scenario.relative_tolerance.value(), 1e-8);
}

TEST(Read, TellsTheFamilyOfUnits) {
    EXPECT_EQ(sample::read(std::string(sample::scenario_text)).units, UnitSystem::us);
    const auto metric = with_source(
        "kind = \"cylinders\"\npurity = \"99 %\"\ncontent = \"90 m3\"\ndelivery_pressure = \"5 barg\"\n");
    std::string text = metric.substr(0, metric.find("[[riser]]"));
    text +=
        "[[riser]]\nname = \"A\"\nset_pressure = \"2 barg\"\nfill = { diameter = \"12 mm\" }\n"
        "supply = { kind = \"regulator\", diameter = \"3 mm\" }\n[[riser.pipe]]\nname = \"p\"\nvolume = \"2 "
        "m3\"\n";
    EXPECT_EQ(sample::read(text).units, UnitSystem::si);
}

TEST(Read, TakesWindowsLineEndsAndAByteOrderMark) {
    std::string text = "\xef\xbb\xbf";
    for (const char c : sample::scenario_text) text += c == '\n' ? std::string("\r\n") : std::string(1, c);
    EXPECT_EQ(sample::read(text).plant.title, "sample");
}

TEST(Read, TakesAFile) {
    const auto path = std::filesystem::temp_directory_path() / "oxfade_read_test.toml";
    std::ofstream(path) << sample::scenario_text;
    EXPECT_EQ(read_file(path).file, path.string());
    std::filesystem::remove(path);
    EXPECT_THROW(read_file(path), FileError);
    EXPECT_THROW(read_file(std::filesystem::temp_directory_path()), FileError);
}

}  // namespace
}  // namespace oxfade::scenario
