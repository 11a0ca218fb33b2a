#include "oxfade/study/parameter.hpp"

#include "support/plants.hpp"

namespace oxfade::study {
namespace {

plant::Plant sample_plant() {
    plant::Plant plant = sample::two_pipe_riser(1e-3);
    plant.risers[0].name = "North.west";
    return plant;
}

std::string refusal(const std::string& key) {
    try {
        Parameter(sample_plant(), key);
    } catch (const InputError& error) {
        return error.what();
    }
    return "";
}

TEST(Parameter, SetsWhatItsKeyNames) {
    plant::Plant plant = sample_plant();
    Parameter(plant, "source.purity").set(plant, 0.97);
    Parameter(plant, "riser.'North.west'.vent.vent at far.diameter").set(plant, 2e-3);
    Parameter(plant, "riser.0.leak.1.diameter").set(plant, 3e-3);
    Parameter(plant, "riser.0.pipe.far.volume").set(plant, 4.0);
    Parameter(plant, "riser.0.supply.coefficient").set(plant, 0.5);
    Parameter(plant, "riser.0.initial_pressure").set(plant, 2e5);
    EXPECT_EQ(std::get<plant::Generator>(plant.source).purity, 0.97);
    EXPECT_EQ(plant.risers[0].vents[0].orifice.diameter, 2e-3);
    EXPECT_EQ(std::get<plant::Orifice>(plant.risers[0].leaks[1].size).diameter, 3e-3);
    EXPECT_EQ(plant.risers[0].pipes[1].volume(), 4.0);
    EXPECT_EQ(std::get<plant::Regulator>(plant.risers[0].supply).orifice.coefficient, 0.5);
    EXPECT_EQ(plant.risers[0].initial_pressure, 2e5);
}

TEST(Parameter, EveryQuantityCanBeSetAndReadBack) {
    const plant::Plant plant = sample_plant();
    int count = 0;
    for (const Field& field : fields_of(plant)) {
        if (!field.word.empty() || field.key == "site.pressure" || !field.value) continue;
        const Parameter parameter(plant, field.key);
        EXPECT_EQ(parameter.value(plant), field.value) << field.key;
        plant::Plant changed = plant;
        parameter.set(changed, 0.123);
        int differences = 0;
        const auto after = fields_of(changed), before = fields_of(plant);
        for (std::size_t i = 0; i < after.size(); ++i)
            differences += after[i].value != before[i].value ? 1 : 0;
        EXPECT_EQ(parameter.value(changed), 0.123) << field.key;
        EXPECT_EQ(differences, 1) << field.key;
        ++count;
    }
    EXPECT_GT(count, 20);
}

TEST(Parameter, AReceiverThatStartsAtItsStopFollowsIt) {
    plant::Plant plant = sample_plant();
    auto& receiver = std::get<plant::Generator>(plant.source).receiver;
    const Parameter stop(plant, "source.receiver.stop");
    stop.set(plant, 8e5);
    EXPECT_NE(receiver.initial_pressure, 8e5);
    receiver.initial_pressure = 8e5;
    stop.set(plant, 9e5);
    EXPECT_EQ(receiver.initial_pressure, 9e5);
}

TEST(Parameter, ReadsQuantitiesOfItsKind) {
    const plant::Plant plant = sample_plant();
    const Parameter set_pressure(plant, "riser.0.set_pressure");
    EXPECT_NEAR(set_pressure.parse("30 psig", plant), sample::psig(30.0), 1e-6);
    EXPECT_NEAR(set_pressure.parse_difference("1 psi", plant), sample::psi, 1e-9);
    EXPECT_NEAR(set_pressure.parse_difference("1 psig", plant), sample::psi,
                1e-9);  // of a gauge, one is meant
    EXPECT_THROW(set_pressure.parse_difference("1 gal", plant), InputError);
    EXPECT_THROW(set_pressure.parse("30 gal", plant), InputError);
    const Parameter coefficient(plant, "riser.0.fill.coefficient");
    EXPECT_EQ(coefficient.parse("0.7", plant), 0.7);
    EXPECT_THROW(coefficient.parse("0.7 in", plant), InputError);
}

TEST(Parameter, SaysWhyAKeyCannotBeVaried) {
    EXPECT_THAT(refusal("source.puritty"), testing::HasSubstr("did you mean `source.purity`?"));
    EXPECT_THAT(refusal("riser.0.pipe.far.thickness"), testing::HasSubstr("no such quantity"));
    EXPECT_THAT(refusal("riser.0.leak.2.diameter"), testing::HasSubstr("no such quantity"));
    EXPECT_THAT(refusal("source.kind"), testing::HasSubstr("holds no quantity"));
    EXPECT_THAT(refusal("riser.0.pipe.far.cells"), testing::HasSubstr("holds no quantity"));
    EXPECT_THAT(refusal("site.pressure"), testing::HasSubstr("gauge pressures"));
    EXPECT_THAT(refusal("riser..x"), testing::HasSubstr("not a dotted path"));
}

}  // namespace
}  // namespace oxfade::study
