#pragma once

#include <gtest/gtest.h>

#include "oxfade/engine/predict.hpp"
#include "oxfade/gas/mixture.hpp"

namespace oxfade::sample {

inline engine::Options tight(double tolerance = 1e-10) {
    engine::Options options;
    options.relative_tolerance = tolerance;
    options.event_tolerance = 1e-7;
    return options;
}

/// Runs a plant; every test that does so also checks that the balance closes.
inline outcome::Outcome run(const plant::Plant& plant, const engine::Options& options = {}) {
    outcome::Outcome out = engine::predict(plant, options);
    EXPECT_LT(out.balance.worst_relative, 1e-9) << plant.title;
    return out;
}

/// Share of air in a dry gas made of air and the source's product.
inline double air_fraction(double oxygen, double purity) {
    const double product = 1.0 - purity;
    return (oxygen - product) / (gas::dry_air()[gas::Species::oxygen] - product);
}

inline double final_air_fraction(const outcome::Outcome& out, std::size_t pipe = 0, std::size_t cell = 0) {
    return air_fraction(out.risers[0].pipes[pipe].oxygen[cell], out.nitrogen_purity);
}

}  // namespace oxfade::sample
