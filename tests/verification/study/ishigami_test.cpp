#include <cmath>
#include <numbers>

#include "oxfade/study/sobol.hpp"

namespace oxfade::study {
namespace {

constexpr double pi = std::numbers::pi;

/// Ishigami and Homma, ISUMA 1990: sin x1 + a sin^2 x2 + b x3^4 sin x1, each x even on (-pi, pi).
struct Ishigami {
    double a = 7.0, b = 0.1;

    double operator()(double x1, double x2, double x3) const {
        return std::sin(x1) + a * std::sin(x2) * std::sin(x2) + b * std::pow(x3, 4) * std::sin(x1);
    }
    double first_variance() const { return 0.5 * std::pow(1.0 + b * std::pow(pi, 4) / 5.0, 2); }
    double second_variance() const { return a * a / 8.0; }
    double joint_variance() const { return b * b * std::pow(pi, 8) * (1.0 / 18.0 - 1.0 / 50.0); }
    double variance() const { return first_variance() + second_variance() + joint_variance(); }
};

std::vector<SobolIndex> estimate(std::size_t rows, std::uint64_t seed) {
    const SobolDesign design{3, rows, seed};
    const Ishigami f;
    std::vector<double> y(design.runs());
    for (std::size_t k = 0; k < y.size(); ++k) {
        const auto x = [&](std::size_t i) { return pi * (2.0 * design.coordinate(k, i) - 1.0); };
        y[k] = f(x(0), x(1), x(2));
    }
    return sobol_indices(design, y, 200);
}

struct Exact {
    std::vector<double> first, total;
};
Exact exact() {
    const Ishigami f;
    const double v = f.variance();
    return {{f.first_variance() / v, f.second_variance() / v, 0.0},
            {(f.first_variance() + f.joint_variance()) / v, f.second_variance() / v, f.joint_variance() / v}};
}

TEST(Ishigami, IndicesAreTheAnalyticOnes) {
    const auto found = estimate(100'000, 1);
    const Exact known = exact();
    for (std::size_t i = 0; i < 3; ++i) {
        EXPECT_NEAR(found[i].first, known.first[i], 0.01) << i;
        EXPECT_NEAR(found[i].total, known.total[i], 0.01) << i;
    }
}

TEST(Ishigami, TheStatedErrorIsTheError) {
    // Over many small studies, the misses measured in stated standard errors have unit variance.
    constexpr int studies = 200;
    const Exact known = exact();
    std::vector<double> first(3), total(3);
    for (int s = 0; s < studies; ++s) {
        const auto found = estimate(400, static_cast<std::uint64_t>(1000 + s));
        for (std::size_t i = 0; i < 3; ++i) {
            first[i] += std::pow((found[i].first - known.first[i]) / found[i].first_error, 2) / studies;
            total[i] += std::pow((found[i].total - known.total[i]) / found[i].total_error, 2) / studies;
        }
    }
    for (std::size_t i = 0; i < 3; ++i) {
        EXPECT_NEAR(std::sqrt(first[i]), 1.0, 0.2) << i;
        EXPECT_NEAR(std::sqrt(total[i]), 1.0, 0.2) << i;
    }
}

TEST(Ishigami, AConstantResultHasNoIndices) {
    const SobolDesign design{2, 10, 1};
    EXPECT_TRUE(sobol_indices(design, std::vector<double>(design.runs(), 3.0)).empty());
}

TEST(Ishigami, RowsWithoutAResultAreLeftOut) {
    const SobolDesign design{2, 1000, 1};
    std::vector<double> y(design.runs());
    for (std::size_t k = 0; k < y.size(); ++k) y[k] = design.coordinate(k, 0);
    y[4] = NAN;
    const auto found = sobol_indices(design, y);
    EXPECT_NEAR(found[0].total, 1.0, 0.1);
    EXPECT_NEAR(found[1].total, 0.0, 1e-12);
    EXPECT_NEAR(found[1].first, 0.0, 1e-12);
}

}  // namespace
}  // namespace oxfade::study
