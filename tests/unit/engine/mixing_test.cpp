// What gas trades between compartments by itself: eight links at once give what the laws give one by one.
#include <gtest/gtest.h>

#include <cmath>
#include <random>
#include <vector>

#include "engine/lanes/dispatch.hpp"
#include "engine/network.hpp"
#include "oxfade/flow/counterflow.hpp"
#include "oxfade/flow/dispersion.hpp"
#include "oxfade/gas/constants.hpp"

using namespace oxfade;

namespace {

std::size_t at(int i) { return static_cast<std::size_t>(i); }

/// Pieces of pipe as the kernels take them: of every pitch, some with flow, some with temperature against
/// them.
class Pieces {
  public:
    static constexpr int count = 37, room = 40;

    Pieces() {
        const auto row = [&](double*& numbers) { numbers = rows_.emplace_back(room, 0.0).data(); };
        rows_.reserve(32);
        for (double** numbers : {&view.flow,
                                 &view.area,
                                 &view.inverse_area,
                                 &view.area_over_length,
                                 &view.inverse_over_all,
                                 &view.radius,
                                 &view.inverse_radius,
                                 &view.sine,
                                 &view.cosine,
                                 &view.density,
                                 &view.inverse_density,
                                 &view.diffusivity,
                                 &view.inverse_diffusivity,
                                 &view.viscosity,
                                 &view.expansion,
                                 &view.other,
                                 &view.speed,
                                 &view.g,
                                 &view.slope,
                                 &view.by_contrast})
            row(*numbers);
        for (int** nodes : {&view.from, &view.to, &view.mouth}) *nodes = nodes_.emplace_back(room, 0).data();
        view.mass_product = 0.0280;
        view.mass_excess = 0.0009;
        view.viscosity_excess = 0.04;
        view.gravity = gas::standard_gravity;
        view.count = count;
        std::mt19937 random(7);
        std::uniform_real_distribution<double> any(0.0, 1.0);
        fraction_.resize(3 * room);
        for (int k = 0; k < room; ++k) {
            view.from[k] = 3 * k;
            view.to[k] = 3 * k + 1;
            view.mouth[k] = k % 3 == 0 ? 3 * k : 3 * k + 2;
            for (int n = 0; n < 3; ++n) fraction_[at(3 * k + n)] = any(random);
            const double radius = 0.012 + 0.04 * any(random),
                         pitch = k % 5 == 0 ? 1.5 : 0.1 * (any(random) - 0.5);
            const double length = 0.1 + any(random), density = 60.0 + 100.0 * any(random);
            fill({length, 3.14 * radius * radius, radius, std::sin(pitch), std::cos(pitch)}, density, k);
            view.expansion[k] = k % 4 == 0 ? 3e-3 * (any(random) - 0.5) : 0.0;
            view.flow[k] = k % 2 == 0 ? 1e-3 * any(random) : 0.0;
            if (k == 6) view.flow[k] = 3.0;  // turbulent
        }
        view.fraction = fraction_.data();
    }

    /// Of one piece by the laws: what the kernel writes into g, slope and by_contrast.
    struct Expected {
        double g, slope, by_contrast;
    };
    Expected expected(int k) const {
        const double before = fraction_[at(view.from[k])], beyond = fraction_[at(view.to[k])];
        const double rise = beyond - before, middle = 0.5 * (before + beyond);
        const double along = rise < 0.0 ? -1.0 : 1.0, mass = view.mass_product + middle * view.mass_excess;
        const double viscosity = view.viscosity[k] / mass * (1.0 + middle * view.viscosity_excess);
        const flow::CounterFlowPipe pipe{view.radius[k], along * view.sine[k], view.cosine[k]};
        const flow::CounterFlowGas gas{view.gravity * view.mass_excess / mass, view.diffusivity[k], viscosity,
                                       -along * view.gravity * view.expansion[k]};
        const flow::CounterFlowExchange e =
            flow::counter_flow(pipe, gas, std::abs(rise) * view.inverse_over_all[k],
                               std::abs(middle - fraction_[at(view.mouth[k])]));
        const double speed = std::abs(view.flow[k]) / (view.density[k] * view.area[k]);
        const double shear = flow::shear_dispersion(speed, view.radius[k], view.diffusivity[k], viscosity) -
                             view.diffusivity[k];
        const double scale = view.density[k] * view.area_over_length[k];
        return {scale * (e.spread + shear), scale * (std::max(e.slope, view.diffusivity[k]) + shear),
                view.density[k] * view.area[k] * std::max(e.contrast_slope, 0.0)};
    }

    engine::MixingView view{};

  private:
    void fill(const engine::LinkMixing::Piece& piece, double density, int k) {
        view.area[k] = piece.area;
        view.inverse_area[k] = 1.0 / piece.area;
        view.area_over_length[k] = piece.area / piece.length;
        view.inverse_over_all[k] = 1.0 / piece.length;
        view.radius[k] = piece.radius;
        view.inverse_radius[k] = 1.0 / piece.radius;
        view.sine[k] = piece.sine;
        view.cosine[k] = piece.cosine;
        view.density[k] = density;
        view.inverse_density[k] = 1.0 / density;
        view.diffusivity[k] = 8e-4 / density;
        view.inverse_diffusivity[k] = density / 8e-4;
        view.viscosity[k] = 1.8e-5 / density;
    }

    std::vector<std::vector<double>> rows_;
    std::vector<std::vector<int>> nodes_;
    std::vector<double> fraction_;
};

}  // namespace

TEST(Mixing, EightLinksAtOnceGiveWhatTheLawsGiveOneByOne) {
    for (const engine::Kernels* kernels : engine::all_kernels()) {
        Pieces pieces;
        for (const bool with_slopes : {true, false, true}) {  // the second and third time with speeds known
            pieces.view.with_slopes = with_slopes;
            kernels->mix(pieces.view);
            for (int k = 0; k < Pieces::count; ++k) {
                const Pieces::Expected e = pieces.expected(k);
                EXPECT_NEAR(pieces.view.g[k], e.g, 1e-6 * e.g) << kernels->name << " piece " << k;
                if (!with_slopes) continue;
                EXPECT_NEAR(pieces.view.slope[k], e.slope, 1e-5 * e.slope) << kernels->name << " piece " << k;
                EXPECT_NEAR(pieces.view.by_contrast[k], e.by_contrast, 1e-5 * e.by_contrast + 1e-12)
                    << kernels->name << " piece " << k;
            }
        }
    }
}
