#pragma once

#include <cmath>
#include <cstdint>
#include <string>

#include "support/plants.hpp"

/// Valid plants of every kind, each the same for the same seed on every machine.
namespace oxfade::sample {

/// A small generator of its own (splitmix64): standard distributions differ between libraries.
class Dice {
  public:
    explicit Dice(unsigned seed) : state_(0x9E3779B97F4A7C15ULL * (seed + 1ULL)) {}

    double unit() { return static_cast<double>(next() >> 11) * 0x1.0p-53; }
    double between(double low, double high) { return low + (high - low) * unit(); }
    /// Evenly spread in the logarithm.
    double scale(double low, double high) { return low * std::pow(high / low, unit()); }
    int count(int low, int high) { return low + static_cast<int>(unit() * (high - low + 1)); }
    bool chance(double probability) { return unit() < probability; }

  private:
    std::uint64_t next() {
        state_ += 0x9E3779B97F4A7C15ULL;
        std::uint64_t z = state_;
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9ULL;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EBULL;
        return z ^ (z >> 31);
    }
    std::uint64_t state_;
};

namespace detail {

class RandomPlant {
  public:
    explicit RandomPlant(unsigned seed) : dice_(seed), seed_(seed) {}

    plant::Plant build() {
        plant::Plant plant;
        plant.title = "random plant " + std::to_string(seed_);
        plant.site.pressure = dice_.between(85e3, 104e3);
        plant.site.temperature = dice_.between(265.0, 310.0);
        plant.mixing = {dice_.chance(0.7), dice_.chance(0.6)};
        plant.duration = dice_.scale(2.0 * hour, day);
        const double purity = dice_.between(0.93, 0.9995);
        plant.target = dice_.chance(0.9) ? purity - dice_.between(0.002, 0.05) : purity + 0.0001;
        site_ = plant.site;
        const int risers = dice_.chance(0.6) ? 1 : dice_.count(2, 3);
        for (int r = 0; r < risers; ++r) plant.risers.push_back(riser(r));
        plant.source = source(purity);
        return plant;
    }

  private:
    double gauge(double low_psi, double high_psi) { return psig(dice_.between(low_psi, high_psi), site_); }

    plant::Receiver receiver() {
        plant::Receiver tank;
        tank.volume = dice_.scale(0.05, 1.0);
        tank.start = gauge(80.0, 95.0);
        tank.stop = tank.start + dice_.between(8.0, 30.0) * psi;
        const double filled = dice_.unit();
        tank.initial_pressure = filled < 0.3   ? tank.stop
                                : filled < 0.6 ? site_.pressure
                                               : dice_.between(0.0, 1.2 * tank.stop);
        tank.initial_gas = dice_.chance(0.5) ? plant::InitialGas::air : plant::InitialGas::source;
        return tank;
    }

    plant::Source source(double purity) {
        const double kind = dice_.unit();
        const double volume = total_volume_;
        if (kind < 0.2) {
            return plant::Cylinders{purity, volume * dice_.scale(2.0, 60.0), gauge(45.0, 200.0)};
        }
        const double air = dice_.scale(200.0, 1500.0) * cubic_foot_per_hour;
        if (kind < 0.3) return plant::Compressor{air, std::nullopt, receiver()};
        plant::Generator generator;
        generator.purity = purity;
        generator.air_flow = air;
        generator.nitrogen_flow = air * dice_.between(0.1, 0.5);
        generator.receiver = receiver();
        generator.air_below = generator.receiver.start - dice_.between(3.0, 25.0) * psi;
        if (dice_.chance(0.5)) generator.power = dice_.between(1e3, 1e4);
        return generator;
    }

    plant::Orifice orifice(double low, double high) {
        return {dice_.scale(low, high), dice_.between(0.6, 1.0)};
    }

    plant::Riser riser(int number) {
        plant::Riser out;
        out.name = "riser " + std::to_string(number + 1);
        out.set_pressure = gauge(12.0, 40.0);
        out.fill_limit = dice_.between(600.0, 3600.0);
        if (dice_.chance(0.3)) out.rest = dice_.between(0.0, 900.0);
        if (dice_.chance(0.2)) out.initial_gas = plant::InitialGas::source;
        const double begin = dice_.unit();
        if (begin < 0.1) out.initial_pressure = dice_.scale(100.0, 5e4);
        if (begin > 0.8) out.initial_pressure = out.set_pressure * dice_.between(0.7, 1.4);
        out.fill = orifice(0.2 * inch, 0.7 * inch);
        add_supply(out);
        add_pipes(out);
        add_vents(out);
        add_leaks(out);
        total_volume_ += out.volume();
        return out;
    }

    void add_supply(plant::Riser& out) {
        if (dice_.chance(0.6)) {
            out.supply = plant::Regulator{orifice(0.03 * inch, 0.25 * inch)};
            return;
        }
        const double low = out.set_pressure - dice_.between(1.0, 8.0) * psi;
        const double high = dice_.chance(0.5) ? out.set_pressure : low + dice_.between(2.0, 15.0) * psi;
        out.supply = plant::PressureSwitch{orifice(0.08 * inch, 0.25 * inch), low, high};
    }

    void add_pipes(plant::Riser& out) {
        const bool with_loops = dice_.chance(0.35);
        const int pipes = with_loops ? dice_.count(3, 7) : dice_.count(1, 7);
        for (int p = 0; p < pipes; ++p) {
            const std::string name = "p" + std::to_string(p);
            plant::Pipe pipe = with_loops || dice_.chance(0.6)
                                   ? tube(name, dice_.scale(0.02, 0.15), dice_.scale(1.0, 80.0))
                                   : vessel(name, dice_.scale(0.005, 2.0));
            pipe.cells = dice_.chance(0.5) ? 1 : dice_.count(2, 6);
            if (dice_.chance(0.3)) pipe.pitch = 1.0;
            if (dice_.chance(0.2)) pipe.exchange = dice_.chance(0.3) ? 0.0 : dice_.scale(1e-6, 1e-2);
            if (p > 0 && dice_.chance(0.6)) pipe.from = "p" + std::to_string(dice_.count(0, p - 1));
            out.pipes.push_back(std::move(pipe));
        }
        if (with_loops) add_links(out, pipes);
    }

    void add_links(plant::Riser& out, int pipes) {
        const int wanted = dice_.count(1, 2);
        for (int k = 0; k < wanted; ++k) {
            const int a = dice_.count(0, pipes - 2), b = dice_.count(a + 1, pipes - 1);
            const plant::LoopLink link{"p" + std::to_string(a), "p" + std::to_string(b)};
            const bool known =
                !out.links.empty() && out.links[0].first == link.first && out.links[0].second == link.second;
            if (!known) out.links.push_back(link);
        }
    }

    std::string some_pipe(const plant::Riser& riser) {
        return riser.pipes[static_cast<std::size_t>(dice_.count(0, static_cast<int>(riser.pipes.size()) - 1))]
            .name;
    }

    void add_vents(plant::Riser& out) {
        const int vents = dice_.chance(0.1) ? 0 : dice_.count(1, 3);
        for (int v = 0; v < vents; ++v) {
            plant::Vent vent;
            vent.name = "v" + std::to_string(v);
            vent.at = some_pipe(out);
            vent.orifice = orifice(0.015 * inch, 0.08 * inch);
            vent.policy = policy(out);
            vent.liquid_stop = dice_.chance(0.3);
            out.vents.push_back(std::move(vent));
        }
    }

    plant::VentPolicy policy(const plant::Riser& riser) {
        switch (dice_.count(0, 5)) {
            case 0:
                return plant::OpenUntil{dice_.scale(1000.0, 2.0 * day)};
            case 1:
                return plant::OpenUntilTarget{};
            case 2: {
                const double every = dice_.scale(300.0, 6.0 * hour);
                return plant::OpenTimed{every, every * dice_.between(0.05, 0.95)};
            }
            case 3: {
                const auto* both = std::get_if<plant::PressureSwitch>(&riser.supply);
                if (both && dice_.chance(0.6)) return plant::OpenBetween{both->high, both->low};
                const double high = riser.set_pressure * dice_.between(0.95, 1.05);
                return plant::OpenBetween{high, high - dice_.between(1.0, 6.0) * psi};
            }
            default:
                return plant::OpenAlways{};
        }
    }

    void add_leaks(plant::Riser& out) {
        const int leaks = dice_.count(0, 3);
        for (int k = 0; k < leaks; ++k) {
            plant::Leak leak;
            if (dice_.chance(0.6)) leak.at = some_pipe(out);
            const double kind = dice_.unit();
            if (kind < 0.4) {
                leak.size = orifice(0.05e-3, 0.5e-3);
            } else if (kind < 0.8) {
                leak.size = plant::LeakByTest{dice_.between(0.1, 3.0) * psi, day, gauge(20.0, 40.0)};
            } else {
                leak.size =
                    plant::LeakByFlow{dice_.scale(0.2, 15.0) * cubic_foot_per_hour, gauge(10.0, 40.0)};
            }
            out.leaks.push_back(leak);
        }
    }

    Dice dice_;
    unsigned seed_;
    plant::Site site_;
    double total_volume_ = 0.0;
};

}  // namespace detail

inline plant::Plant random_plant(unsigned seed) { return detail::RandomPlant(seed).build(); }

}  // namespace oxfade::sample
