#include "oxfade/study/spread.hpp"

#include <cmath>

#include "support/plants.hpp"

namespace oxfade::study {
namespace {

std::string refusal(const std::string& text, bool axis) {
    const plant::Plant plant = sample::two_pipe_riser(1e-3);
    try {
        if (axis) {
            parse_axis(text, plant);
        } else {
            parse_unknown(text, plant);
        }
    } catch (const InputError& error) {
        return error.what();
    }
    return "";
}

TEST(Spread, QuantilesAreThoseOfTheDistributions) {
    EXPECT_NEAR(quantile(Normal{10.0, 2.0}, 0.9), 10.0 + 2.0 * 1.2815515655446004, 1e-9);
    EXPECT_NEAR(quantile(Uniform{2.0, 6.0}, 0.25), 3.0, 1e-12);
    // Below the mode the distribution function is (x - a)^2 / ((b - a)(c - a)).
    EXPECT_NEAR(quantile(Triangular{0.0, 2.0, 4.0}, 0.125), 1.0, 1e-12);
    EXPECT_NEAR(quantile(Triangular{0.0, 0.0, 4.0}, 0.75), 2.0, 1e-12);
    // A bell cut at its mean has its median where the whole bell has its upper quartile.
    EXPECT_NEAR(quantile(Normal{0.0, 1.0, 0.0, INFINITY}, 0.5), 0.6744897501960817, 1e-9);
    const Normal cut{0.0, 1.0, -0.5, 0.5};
    EXPECT_GE(quantile(cut, 1e-12), -0.5 - 1e-9);
    EXPECT_LE(quantile(cut, 1.0 - 1e-12), 0.5 + 1e-9);
}

TEST(Spread, ReadsAssignments) {
    const plant::Plant plant = sample::two_pipe_riser(1e-3);
    const Unknown normal = parse_unknown("source.purity=normal(98 %, 0.3 %, 97 %, 99 %)", plant);
    EXPECT_EQ(normal.key, "source.purity");
    EXPECT_NEAR(std::get<Normal>(normal.distribution).deviation, 0.003, 1e-12);
    EXPECT_NEAR(std::get<Normal>(normal.distribution).high, 0.99, 1e-12);
    const Unknown pressure = parse_unknown("riser.0.set_pressure = normal(30 psig, 1 psi)", plant);
    EXPECT_NEAR(std::get<Normal>(pressure.distribution).mean, sample::psig(30.0), 1e-6);
    EXPECT_NEAR(std::get<Normal>(pressure.distribution).deviation, sample::psi, 1e-9);
    const Axis steps = parse_axis("riser.0.vent.0.diameter=1 mm..3 mm:5", plant);
    EXPECT_THAT(steps.values,
                testing::Pointwise(testing::DoubleNear(1e-12), {1e-3, 1.5e-3, 2e-3, 2.5e-3, 3e-3}));
    const Axis listed = parse_axis("riser.0.vent.0.diameter=1 mm, 1/8 in", plant);
    EXPECT_THAT(listed.values, testing::Pointwise(testing::DoubleNear(1e-12), {1e-3, 0.003175}));
}

TEST(Spread, SaysWhatIsWrong) {
    EXPECT_THAT(refusal("source.purity=beta(1, 2)", false), testing::HasSubstr("triangular("));
    EXPECT_THAT(refusal("source.purity=98 %", false), testing::HasSubstr("no distribution"));
    EXPECT_THAT(refusal("source.purity=normal(98 %, 0 %)", false), testing::HasSubstr("above zero"));
    EXPECT_THAT(refusal("source.purity=normal(98 %, 1 %, 99 %, 97 %)", false),
                testing::HasSubstr("leave nothing"));
    EXPECT_THAT(refusal("source.purity=uniform(99 %, 98 %)", false), testing::HasSubstr("not below"));
    EXPECT_THAT(refusal("source.purity=triangular(97 %, 99 %, 98 %)", false),
                testing::HasSubstr("out of order"));
    EXPECT_THAT(refusal("source.purity=uniform(1 psi, 98 %)", false), testing::HasSubstr("1 psi"));
    EXPECT_THAT(refusal("nothing", false), testing::HasSubstr("KEY=VALUES"));
    EXPECT_THAT(refusal("source.purity=97 %..99 %", true), testing::HasSubstr("number of values"));
    EXPECT_THAT(refusal("source.purity=97 %..99 %:1", true), testing::HasSubstr("number of values"));
    EXPECT_THAT(refusal("source.purity=97 %..99 %:x", true), testing::HasSubstr("number of values"));
}

}  // namespace
}  // namespace oxfade::study
