#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <functional>
#include <limits>

#include "oxfade/plant/plant.hpp"
#include "support/plants.hpp"

namespace oxfade::plant {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;

constexpr double inf = std::numeric_limits<double>::infinity();
constexpr double nan = std::numeric_limits<double>::quiet_NaN();

/// A plant with one of everything in a riser of three pipes: main, far, and east which also hangs on main.
Plant sound_plant() {
    Riser riser = sample::full_riser({sample::vessel("main", 2.0), sample::tube("far", 0.05, 90.0),
                                      sample::on(sample::tube("east", 0.05, 80.0), "main")},
                                     "North");
    riser.vents.push_back(sample::vent("far", 1e-3));
    riser.vents.back().name = "end vent";
    riser.leaks.push_back({std::nullopt, LeakByTest{10e3, 86400.0, 400e3}});
    riser.leaks.push_back({"far", LeakByFlow{1e-5, 400e3}});
    riser.links.push_back({"far", "east"});
    return sample::plant_of(std::move(riser), sample::generator(), 86400.0);
}

std::vector<std::string> keys_of(const std::vector<Problem>& problems) {
    std::vector<std::string> keys;
    for (const Problem& problem : problems) keys.push_back(problem.key);
    return keys;
}

/// Keys of what is wrong with the sound plant after a change to it.
std::vector<std::string> keys_after(const std::function<void(Plant&)>& change) {
    Plant plant = sound_plant();
    change(plant);
    return keys_of(find_problems(plant));
}
std::vector<std::string> keys_after_riser(const std::function<void(Riser&)>& change) {
    return keys_after([&](Plant& plant) { change(plant.risers[0]); });
}

TEST(FindProblems, FindsNoneInASoundPlant) {
    EXPECT_THAT(keys_of(find_problems(sound_plant())), IsEmpty());
    EXPECT_NO_THROW(require_valid(sound_plant()));
}

TEST(FindProblems, FindsManyInAnEmptyPlant) {
    EXPECT_THAT(keys_of(find_problems(Plant{})),
                testing::IsSupersetOf({"duration", "riser", "source.nitrogen_flow"}));
    EXPECT_THROW(require_valid(Plant{}), InputError);
}

TEST(FindProblems, LooksAtThePlantAsAWhole) {
    for (const double bad : {0.0, -1.0, inf, nan, 1e15}) {
        EXPECT_THAT(keys_after([&](Plant& p) { p.duration = bad; }), ElementsAre("duration")) << bad;
    }
    for (const double bad : {0.0, 1.0, 1.2, nan}) {
        EXPECT_THAT(keys_after([&](Plant& p) { p.target = bad; }), ElementsAre("target")) << bad;
    }
    EXPECT_THAT(keys_after([](Plant& p) { p.risers.clear(); }), ElementsAre("riser"));
}

TEST(FindProblems, LooksAtTheSite) {
    EXPECT_THAT(keys_after([](Plant& p) { p.site.pressure = 0.0; }), ElementsAre("site.pressure"));
    EXPECT_THAT(keys_after([](Plant& p) { p.site.temperature = 20.0; }), ElementsAre("site.temperature"));
    EXPECT_THAT(keys_after([](Plant& p) {
                    p.site.reference = {-1.0, 0.0};
                }),
                ElementsAre("site.reference.pressure", "site.reference.temperature"));
}

std::vector<std::string> keys_after_source(const std::function<void(Generator&)>& change) {
    return keys_after([&](Plant& plant) { change(std::get<Generator>(plant.source)); });
}

TEST(FindProblems, LooksAtAGenerator) {
    EXPECT_THAT(keys_after_source([](Generator& g) { g.purity = 1.01; }), ElementsAre("source.purity"));
    EXPECT_THAT(keys_after_source([](Generator& g) { g.nitrogen_flow = 0.0; }),
                ElementsAre("source.nitrogen_flow"));
    EXPECT_THAT(keys_after_source([](Generator& g) { g.air_flow = -1.0; }), ElementsAre("source.air_flow"));
    EXPECT_THAT(keys_after_source([](Generator& g) { g.power = 0.0; }), ElementsAre("source.power"));
    EXPECT_THAT(keys_after_source([](Generator& g) { g.receiver.volume = 0.0; }),
                ElementsAre("source.receiver.volume"));
    EXPECT_THAT(keys_after_source([](Generator& g) { g.receiver.stop = g.receiver.start; }),
                ElementsAre("source.receiver.start"));
    EXPECT_THAT(keys_after_source([](Generator& g) { g.air_below = g.receiver.start; }),
                ElementsAre("source.receiver.air_below"));
    EXPECT_THAT(keys_after_source([](Generator& g) { g.receiver.initial_pressure = -1.0; }),
                ElementsAre("source.receiver.initial_pressure"));
}

TEST(FindProblems, TellsAWrongValueOnce) {
    EXPECT_THAT(keys_after_source([](Generator& g) { g.receiver.start = nan; }),
                ElementsAre("source.receiver.start"));
}

TEST(FindProblems, LooksAtCylindersAndCompressors) {
    EXPECT_THAT(keys_after([](Plant& p) {
                    p.source = Cylinders{-0.1, 0.0, 0.0};
                }),
                ElementsAre("source.purity", "source.content", "source.delivery_pressure"));
    EXPECT_THAT(keys_after([](Plant& p) {
                    p.source = Compressor{0.0, std::nullopt, {1.0, 3e5, 2e5, 2e5}};
                }),
                ElementsAre("source.air_flow", "source.receiver.start"));
}

TEST(FindProblems, LooksAtARiser) {
    EXPECT_THAT(keys_after_riser([](Riser& r) { r.set_pressure = 101'325.0; }),
                ElementsAre("riser.North.set_pressure"));
    EXPECT_THAT(keys_after_riser([](Riser& r) { r.fill_limit = 0.0; }),
                ElementsAre("riser.North.fill_limit"));
    EXPECT_THAT(keys_after_riser([](Riser& r) { r.rest = -1.0; }), ElementsAre("riser.North.rest"));
    EXPECT_THAT(keys_after_riser([](Riser& r) { r.initial_pressure = 0.0; }),
                ElementsAre("riser.North.initial_pressure"));
    EXPECT_THAT(keys_after_riser([](Riser& r) {
                    r.fill = {0.0, 1.5};
                }),
                ElementsAre("riser.North.fill.diameter", "riser.North.fill.coefficient"));
    EXPECT_THAT(keys_after_riser([](Riser& r) {
                    r.supply = PressureSwitch{{0.01, 0.8}, 3e5, 2e5};
                }),
                ElementsAre("riser.North.supply.low"));
    EXPECT_THAT(keys_after_riser([](Riser& r) { r.name.clear(); }), ElementsAre("riser.0.name"));
}

TEST(FindProblems, WantsNamesToDiffer) {
    EXPECT_THAT(keys_after([](Plant& p) { p.risers.push_back(p.risers[0]); }), ElementsAre("riser.1.name"));
    EXPECT_THAT(keys_after_riser([](Riser& r) { r.pipes.push_back(sample::vessel("main", 1.0)); }),
                ElementsAre("riser.North.pipe.3.name"));
    EXPECT_THAT(keys_after_riser([](Riser& r) { r.vents.push_back(r.vents[0]); }),
                ElementsAre("riser.North.vent.1.name"));
}

TEST(FindProblems, LooksAtPipes) {
    EXPECT_THAT(keys_after_riser([](Riser& r) { r.pipes[0].shape = VolumeOnly{-1.0}; }),
                ElementsAre("riser.North.pipe.main.volume"));
    EXPECT_THAT(keys_after_riser([](Riser& r) {
                    r.pipes[1].shape = Cylinder{0.0, inf};
                }),
                ElementsAre("riser.North.pipe.far.bore", "riser.North.pipe.far.length"));
    for (const int bad : {0, -1, 100'001}) {
        EXPECT_THAT(keys_after_riser([&](Riser& r) { r.pipes[1].cells = bad; }),
                    ElementsAre("riser.North.pipe.far.cells"));
    }
    EXPECT_THAT(keys_after_riser([](Riser& r) { r.pipes[1].exchange = -1.0; }),
                ElementsAre("riser.North.pipe.far.exchange"));
}

TEST(FindProblems, WantsPipesInARiser) {
    EXPECT_THAT(keys_after_riser([](Riser& r) {
                    r.pipes.clear();
                    r.vents.clear();
                    r.leaks.clear();
                    r.links.clear();
                }),
                ElementsAre("riser.North.pipe"));
}

TEST(FindProblems, OffersTheNearestPipe) {
    Plant plant = sound_plant();
    plant.risers[0].vents[0].at = "faar";
    plant.risers[0].leaks[1].at = "mian";
    const auto problems = find_problems(plant);
    ASSERT_THAT(keys_of(problems), ElementsAre("riser.North.vent.end vent.at", "riser.North.leak.1.at"));
    EXPECT_EQ(problems[0].value, "faar");
    EXPECT_EQ(problems[0].allowed, "did you mean `far`?");
    EXPECT_EQ(problems[1].allowed, "did you mean `main`?");
}

TEST(FindProblems, LooksAtHowPipesHangOnEachOther) {
    EXPECT_THAT(keys_after_riser([](Riser& r) { r.pipes[0].from = "far"; }),
                ElementsAre("riser.North.pipe.main.from"));
    EXPECT_THAT(keys_after_riser([](Riser& r) { r.pipes[2].from = "mian"; }),
                ElementsAre("riser.North.pipe.east.from"));
    EXPECT_THAT(keys_after_riser([](Riser& r) { r.pipes[2].from = "east"; }),
                ElementsAre("riser.North.pipe.east.from"));
}

TEST(FindProblems, TellsARingOfPipesOnce) {
    EXPECT_THAT(keys_after_riser([](Riser& r) {
                    r.pipes[1].from = "east";
                    r.pipes[2].from = "far";
                    r.pipes.push_back(sample::on(sample::tube("stub", 0.05, 1.0), "east"));
                }),
                ElementsAre("riser.North.pipe.far.from"));
}

TEST(FindProblems, AllowsPipesThatHangOnLaterOnes) {
    EXPECT_THAT(keys_after_riser([](Riser& r) {
                    r.pipes[1].from = "east";
                    r.links.clear();
                }),
                IsEmpty());
}

TEST(FindProblems, LooksAtLinks) {
    const auto keys_with = [](LoopLink link) {
        return keys_after_riser([&](Riser& r) { r.links.push_back(std::move(link)); });
    };
    EXPECT_THAT(keys_with({"far", "far"}), ElementsAre("riser.North.link.1.between"));
    EXPECT_THAT(keys_with({"east", "far"}), ElementsAre("riser.North.link.1.between"));
    EXPECT_THAT(keys_with({"far", "west"}), ElementsAre("riser.North.link.1.between"));
    EXPECT_THAT(keys_with({"far", "main"}), ElementsAre("riser.North.link.1.between"));  // no geometry
}

TEST(FindProblems, WantsGeometryAllRoundALoop) {
    // main (a volume) may stand where the two ways meet, but not on one of them.
    EXPECT_THAT(keys_after_riser([](Riser& r) {
                    r.pipes.push_back(sample::on(sample::vessel("tank", 1.0), "main"));
                    r.pipes.push_back(sample::on(sample::tube("stub", 0.05, 1.0), "tank"));
                    r.links[0] = {"far", "stub"};
                }),
                ElementsAre("riser.North.link.0.between"));
}

TEST(FindProblems, LooksAtVents) {
    const auto keys_with = [](VentPolicy policy) {
        return keys_after_riser([&](Riser& r) { r.vents[0].policy = policy; });
    };
    EXPECT_THAT(keys_with(OpenUntil{0.0}), ElementsAre("riser.North.vent.end vent.open.until"));
    EXPECT_THAT(keys_with(OpenTimed{60.0, 60.0}), ElementsAre("riser.North.vent.end vent.open.for"));
    EXPECT_THAT(keys_with(OpenTimed{0.0, 60.0}), ElementsAre("riser.North.vent.end vent.open.every"));
    EXPECT_THAT(keys_with(OpenBetween{2e5, 2e5}), ElementsAre("riser.North.vent.end vent.open.low"));
    EXPECT_THAT(keys_after_riser([](Riser& r) { r.vents[0].orifice.diameter = -1.0; }),
                ElementsAre("riser.North.vent.end vent.diameter"));
}

TEST(FindProblems, LooksAtLeaks) {
    const auto keys_with = [](std::variant<Orifice, LeakByTest, LeakByFlow> size) {
        return keys_after_riser([&](Riser& r) { r.leaks[0].size = size; });
    };
    EXPECT_THAT(keys_with(Orifice{0.0, 0.8}), ElementsAre("riser.North.leak.0.diameter"));
    EXPECT_THAT(keys_with(LeakByTest{400e3, 60.0, 400e3}), ElementsAre("riser.North.leak.0.loss"));
    EXPECT_THAT(keys_with(LeakByTest{1e3, 0.0, 50e3}),
                ElementsAre("riser.North.leak.0.over", "riser.North.leak.0.from"));
    EXPECT_THAT(keys_with(LeakByFlow{1e-5, 101'325.0}), ElementsAre("riser.North.leak.0.pressure"));
}

}  // namespace
}  // namespace oxfade::plant
