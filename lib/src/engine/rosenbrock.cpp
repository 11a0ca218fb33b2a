#include "engine/rosenbrock.hpp"

#include <Eigen/LU>
#include <cmath>

namespace oxfade::engine {
namespace {

RosenbrockTable make_ros34pw2() {
    constexpr double gamma = 0.435866521508459;
    Eigen::Matrix4d alpha = Eigen::Matrix4d::Zero(), g = Eigen::Matrix4d::Identity() * gamma;
    alpha(1, 0) = 0.871733043016918;
    alpha(2, 0) = 0.84457060015369423;
    alpha(2, 1) = -0.11299064236484185;
    alpha(3, 2) = 1.0;
    g(1, 0) = -0.871733043016918;
    g(2, 0) = -0.90338057013044082;
    g(2, 1) = 0.054180672388095326;
    g(3, 0) = 0.24212380706095346;
    g(3, 1) = -1.2232505839045147;
    g(3, 2) = 0.54526025533510214;
    const Eigen::RowVector4d b = alpha.row(3) + g.row(3);  // stiffly accurate
    const Eigen::RowVector4d embedded{0.37810903145819369, -0.096042292212423178, 0.5, 0.2179332607542295};

    // Hairer and Wanner II, eq. 7.25: u = Gamma k, A = alpha Gamma^-1, C = diag(1/gamma) - Gamma^-1, m = b
    // Gamma^-1.
    const Eigen::Matrix4d inverse = g.inverse();
    const Eigen::Matrix4d a = alpha * inverse;
    const Eigen::RowVector4d m = b * inverse, e = (b - embedded) * inverse;
    RosenbrockTable table;
    table.gamma = gamma;
    for (std::size_t i = 0; i < RosenbrockTable::stages; ++i) {
        const auto row = static_cast<Eigen::Index>(i);
        for (std::size_t j = 0; j < i; ++j) {
            const auto column = static_cast<Eigen::Index>(j);
            table.a[i][j] = std::abs(a(row, column)) < 1e-14 ? 0.0 : a(row, column);
            table.c[i][j] = -inverse(row, column);
        }
        table.alpha[i] = alpha.row(row).sum();
        table.gamma_sum[i] = g.row(row).sum();
        table.m[i] = m(row);
        table.e[i] = e(row);
    }
    return table;
}

}  // namespace

const RosenbrockTable& ros34pw2() {
    static const RosenbrockTable table = make_ros34pw2();
    return table;
}

}  // namespace oxfade::engine
