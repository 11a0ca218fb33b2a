#include "oxfade/study/size.hpp"

#include <algorithm>
#include <cmath>

#include "support/random_plant.hpp"

namespace oxfade::study {
namespace {

using sample::day;
using sample::Dice;
using sample::inch;

/// A plant as they are built: one or two risers, each with a main and one or two branches with a vent.
plant::Plant ordinary_plant(unsigned seed) {
    Dice dice(seed);
    plant::Plant plant = sample::two_pipe_riser(1e-3);
    plant.title = "plant " + std::to_string(seed);
    plant.duration = 6.0 * day;
    plant.target = 0.97;
    plant.risers.clear();
    double volume = 0.0;
    const int risers = dice.count(1, 2);
    for (int r = 0; r < risers; ++r) {
        plant::Riser riser = sample::two_pipe_riser(1e-3).risers[0];
        riser.name = "riser " + std::to_string(r);
        riser.pipes = {sample::vessel("main", dice.scale(0.4, 2.0))};
        riser.vents.clear();
        const int branches = dice.count(1, 2);
        for (int b = 0; b < branches; ++b) {
            const std::string name = "branch " + std::to_string(b);
            riser.pipes.push_back(sample::on(sample::tube(name, 0.05, dice.between(30.0, 120.0), 3), "main"));
            riser.vents.push_back(sample::vent(name, 1e-3));
        }
        riser.leaks = {
            {std::nullopt, plant::LeakByTest{dice.between(0.3, 1.4) * sample::psi, day, sample::psig(40.0)}}};
        volume += riser.volume();
        plant.risers.push_back(riser);
    }
    auto& source = std::get<plant::Generator>(plant.source);
    source.nitrogen_flow = volume * dice.between(0.4, 1.0) / 3600.0;
    source.air_flow = source.nitrogen_flow * dice.between(4.0, 7.0);
    source.receiver.initial_pressure = source.receiver.stop;
    return plant;
}

SizeOptions sizes_of(unsigned seed) {
    Dice dice(1000 + seed);
    SizeOptions options;
    for (const double drill : {0.010, 0.0135, 0.018, 0.022, 0.028, 0.035})
        options.drills.push_back(drill * inch);
    const double given = std::get<plant::Generator>(ordinary_plant(seed).source).nitrogen_flow;
    for (int k = 0; k < 12; ++k) options.flows.push_back(given * std::pow(2.0, -2.5 + 0.35 * k));
    options.by = dice.between(1.5, 4.0) * day;
    options.deadlines = {*options.by};
    options.margin = 0.1;
    return options;
}

bool keeps(const Design& design, double margin) {
    const double kept = 1.0 - margin;
    return design.target_use <= kept && design.fill_use <= kept && design.separator_use <= kept;
}

double demand(const Design& design) {
    double area = 0.0;
    for (const double drill : design.drills) area += drill * drill;
    return area;
}

/// Every source with every combination of drills: the smallest source, then the smallest vents.
std::optional<Design> search_all(const plant::Plant& plant, const SizeOptions& options) {
    std::optional<Design> best;
    const std::size_t n = options.drills.size();
    std::size_t combinations = 1;
    for (std::size_t r = 0; r < plant.risers.size(); ++r) combinations *= n;
    for (const double flow : options.flows) {
        for (std::size_t k = 0; k < combinations; ++k) {
            std::vector<double> drills;
            for (std::size_t r = 0, rest = k; r < plant.risers.size(); ++r, rest /= n)
                drills.push_back(options.drills[rest % n]);
            const Design design = assess(sized_plant(plant, flow, drills), *options.by, *options.by);
            if (!keeps(design, options.margin)) continue;
            if (!best || demand(design) < demand(*best)) best = design;
        }
        if (best) return best;
    }
    return best;
}

TEST(Size, FindsWhatASearchOfTheWholeGridFinds) {
    int found = 0;
    for (unsigned seed = 1; seed <= 5; ++seed) {
        const plant::Plant plant = ordinary_plant(seed);
        const SizeOptions options = sizes_of(seed);
        const SizeResult result = size(plant, options);
        const auto expected = search_all(plant, options);
        ASSERT_EQ(result.design.has_value(), expected.has_value()) << plant.title;
        if (!expected) continue;
        ++found;
        EXPECT_EQ(result.design->nitrogen_flow, expected->nitrogen_flow) << plant.title;
        EXPECT_EQ(result.design->drills, expected->drills) << plant.title;
        std::string drills;
        for (const double drill : expected->drills) drills += " " + std::to_string(drill / inch);
        std::printf("plant %u: %.3g of the source given, drills%s in, binds: %s, %zu runs\n", seed,
                    expected->nitrogen_flow / std::get<plant::Generator>(plant.source).nitrogen_flow,
                    drills.c_str(), std::string(limit_name(result.binding.limit)).c_str(), result.runs);
    }
    EXPECT_GE(found, 4);
}

TEST(Size, ALaterDeadlineNeedsNoLargerSource) {
    const plant::Plant plant = ordinary_plant(2);
    SizeOptions options = sizes_of(2);
    options.deadlines.clear();
    double before = INFINITY;
    int met = 0;
    for (const TradeOff& point : size(plant, options).curve) {
        const double flow = point.design ? point.design->nitrogen_flow : INFINITY;
        EXPECT_LE(flow, before);
        before = flow;
        met += point.design ? 1 : 0;
    }
    EXPECT_GE(met, 3);
}

TEST(Size, SaysWhatBinds) {
    const plant::Plant plant = ordinary_plant(1);
    SizeOptions options = sizes_of(1);
    options.by = 0.05 * day;
    options.deadlines = {*options.by};
    const SizeResult rushed = size(plant, options);
    EXPECT_FALSE(rushed.design.has_value());
    EXPECT_NE(rushed.binding.limit, Limit::none);
    plant::Plant hasty = plant;
    for (plant::Riser& riser : hasty.risers) riser.fill_limit = 600.0;
    EXPECT_EQ(size(hasty, sizes_of(1)).binding.limit, Limit::fill);
}

TEST(Size, ImpossibleOptionsAreRefused) {
    const plant::Plant plant = ordinary_plant(1);
    EXPECT_THROW(size(plant, {}), InputError);
    SizeOptions options = sizes_of(1);
    options.margin = 0.95;
    EXPECT_THROW(size(plant, options), InputError);
    EXPECT_THROW(size(sample::purged_vessel(0.98, day), sizes_of(1)), InputError);
}

}  // namespace
}  // namespace oxfade::study
