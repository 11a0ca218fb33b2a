#pragma once

#include <algorithm>
#include <cmath>
#include <map>
#include <oxfade/plant/plant.hpp>
#include <string>
#include <vector>

/// The plant as the peers see it: three species in every compartment, a mode for every switch.
namespace oxfade::peer {

using State = std::vector<double>;

inline constexpr double R = 8.314462618, gamma = 1.4;
inline constexpr double mass[3] = {28.0134e-3, 31.9988e-3, 39.948e-3};
inline constexpr double air[3] = {0.78084, 0.209476, 0.009684};

inline double orifice(double area, double up, double down, double temperature, double molar_mass) {
    if (up <= down) return 0.0;
    const double critical = std::pow(2.0 / (gamma + 1.0), gamma / (gamma - 1.0));
    const double r = std::max(down / up, critical);
    double psi2 =
        2.0 * gamma / (gamma - 1.0) * (std::pow(r, 2.0 / gamma) - std::pow(r, (gamma + 1.0) / gamma));
    if (r > 1.0 - 1e-4) psi2 *= std::min(1.0, (1.0 - r) / 1e-4);  // rounds off the infinite slope
    return area * up * std::sqrt(std::max(psi2, 0.0)) / std::sqrt(molar_mass * R * temperature);
}

struct Compartment {
    int parent, riser;
    double volume, hole;  // hole: vents and leaks, effective area
    double leak;
};

/// One plant with its modes; the compartments of a riser are contiguous, parents first.
class Model {
  public:
    enum class Stage { waiting, filling, wide, holding };
    enum class Machine { off, nitrogen, air };

    explicit Model(const plant::Plant& plant)
        : plant_(plant), source_(std::get<plant::Generator>(plant.source)) {
        product_[0] = source_.purity;
        product_[1] = 1.0 - source_.purity;
        product_[2] = 0.0;
        for (const plant::Riser& riser : plant.risers) {
            std::map<std::string, int> index;
            first_.push_back(static_cast<int>(nodes_.size()));
            double volume = 0.0;
            for (std::size_t p = 0; p < riser.pipes.size(); ++p) {
                const plant::Pipe& pipe = riser.pipes[p];
                const int parent = p == 0      ? -1
                                   : pipe.from ? index.at(*pipe.from)
                                               : static_cast<int>(nodes_.size()) - 1;
                index[pipe.name] = static_cast<int>(nodes_.size());
                nodes_.push_back({parent, static_cast<int>(first_.size()) - 1, pipe.volume(), 0.0, 0.0});
                volume += pipe.volume();
            }
            volume_.push_back(volume);
            for (const plant::Leak& leak : riser.leaks) {
                const double area = std::get<plant::Orifice>(leak.size).effective_area();
                for (std::size_t i = static_cast<std::size_t>(first_.back()); i < nodes_.size(); ++i) {
                    if (!leak.at) nodes_[i].leak += area * nodes_[i].volume / volume;
                }
                if (leak.at) nodes_[static_cast<std::size_t>(index.at(*leak.at))].leak += area;
            }
            for (const plant::Vent& vent : riser.vents) {
                nodes_[static_cast<std::size_t>(index.at(vent.at))].hole += vent.orifice.effective_area();
            }
        }
        first_.push_back(static_cast<int>(nodes_.size()));
        stage_.assign(plant.risers.size(), Stage::waiting);
        stage_[0] = Stage::filling;
        const double p0 = source_.receiver.initial_pressure;
        machine_ = p0 > source_.receiver.start ? Machine::off
                   : p0 < source_.air_below    ? Machine::air
                                               : Machine::nitrogen;
    }

    State initial() const {
        State x(3 * (nodes_.size() + 1));
        put(x, 0, source_.receiver.initial_pressure, source_.receiver.volume);
        for (std::size_t i = 0; i < nodes_.size(); ++i) put(x, i + 1, plant_.site.pressure, nodes_[i].volume);
        return x;
    }

    void operator()(const State& x, State& dxdt, double) const {
        std::fill(dxdt.begin(), dxdt.end(), 0.0);
        const double T = plant_.site.temperature.mean(), ambient = plant_.site.pressure;
        const double n_source = x[0] + x[1] + x[2], p_source = n_source * R * T / source_.receiver.volume;
        double x_source[3], m_source = 0.0;
        for (int s = 0; s < 3; ++s) {
            x_source[s] = x[static_cast<std::size_t>(s)] / n_source;
            m_source += x_source[s] * mass[s];
        }
        const double made = machine_ == Machine::nitrogen ? flow(source_.nitrogen_flow)
                            : machine_ == Machine::air    ? flow(source_.air_flow)
                                                          : 0.0;
        for (std::size_t s = 0; s < 3; ++s)
            dxdt[s] = made * (machine_ == Machine::air ? air[s] : product_[s]);
        std::vector<double> out(nodes_.size()), in(nodes_.size()), fraction(3 * nodes_.size());
        for (std::size_t r = 0; r + 1 < first_.size(); ++r) {
            const auto begin = static_cast<std::size_t>(first_[r]),
                       end = static_cast<std::size_t>(first_[r + 1]);
            double total = 0.0, leaving = 0.0;
            for (std::size_t i = 3 * (begin + 1); i < 3 * (end + 1); ++i) total += x[i];
            const double p = total * R * T / volume_[r];
            const bool vents = stage_[r] == Stage::wide || stage_[r] == Stage::holding;
            for (std::size_t i = begin; i < end; ++i) {
                const double* n = &x[3 * (i + 1)];
                const double sum = n[0] + n[1] + n[2];
                double m = 0.0;
                for (std::size_t s = 0; s < 3; ++s) {
                    fraction[3 * i + s] = n[s] / sum;
                    m += fraction[3 * i + s] * mass[s];
                }
                out[i] = orifice(nodes_[i].leak + (vents ? nodes_[i].hole : 0.0), p, ambient, T, m);
                leaving += out[i];
            }
            const double supply =
                stage_[r] == Stage::holding ? leaving : orifice(passage(r), p_source, p, T, m_source);
            const double gain = supply - leaving;
            for (std::size_t i = begin; i < end; ++i) in[i] = out[i] + gain * nodes_[i].volume / volume_[r];
            for (std::size_t i = end - 1; i > begin; --i)
                in[static_cast<std::size_t>(nodes_[i].parent)] += in[i];
            for (std::size_t i = begin; i < end; ++i) {
                const double* from =
                    i == begin ? x_source : &fraction[3 * static_cast<std::size_t>(nodes_[i].parent)];
                double* giver =
                    i == begin ? &dxdt[0] : &dxdt[3 * static_cast<std::size_t>(nodes_[i].parent + 1)];
                const double* carried = in[i] >= 0.0 ? from : &fraction[3 * i];
                for (std::size_t s = 0; s < 3; ++s) {
                    dxdt[3 * (i + 1) + s] += in[i] * carried[s] - out[i] * fraction[3 * i + s];
                    giver[s] -= in[i] * carried[s];
                }
            }
        }
    }

    /// Values that change sign at an event: the source's thresholds, then one a riser.
    std::vector<double> watch(const State& x) const {
        std::vector<double> g;
        const double T = plant_.site.temperature.mean(), p = pressure(x, 0, 1, source_.receiver.volume);
        g.push_back(machine_ == Machine::off ? source_.receiver.start - p : p - source_.receiver.stop);
        g.push_back(machine_ == Machine::nitrogen ? source_.air_below - p : -1.0);
        for (std::size_t r = 0; r + 1 < first_.size(); ++r) {
            const auto b = static_cast<std::size_t>(first_[r]), e = static_cast<std::size_t>(first_[r + 1]);
            const double own = pressure(x, b + 1, e + 1, volume_[r]);
            if (stage_[r] == Stage::waiting) {
                g.push_back(-1.0);
            } else if (stage_[r] == Stage::holding) {
                g.push_back(demand(x, r) - orifice(supply_area(r), p, own, T, source_mass(x)));
            } else if (stage_[r] == Stage::wide && own >= plant_.risers[r].set_pressure * (1.0 - 1e-9)) {
                g.push_back(orifice(supply_area(r), p, own, T, source_mass(x)) - demand(x, r));
            } else {
                g.push_back(own - plant_.risers[r].set_pressure);
            }
        }
        return g;
    }

    void apply(std::size_t event, const State& x, double time) {
        if (event == 0) {
            machine_ = machine_ == Machine::off ? Machine::nitrogen : Machine::off;
        } else if (event == 1) {
            machine_ = Machine::air;
        } else {
            const std::size_t r = event - 2;
            if (stage_[r] == Stage::filling) {
                fill_time = time;
                stage_[r] = Stage::wide;
                if (r + 1 < stage_.size()) stage_[r + 1] = Stage::filling;
            } else if (stage_[r] == Stage::holding) {
                stage_[r] = Stage::wide;
                return;
            }
            const double p = pressure(x, 0, 1, source_.receiver.volume);
            const double most = orifice(supply_area(r), p, plant_.risers[r].set_pressure,
                                        plant_.site.temperature.mean(), source_mass(x));
            if (most >= demand(x, r) * (1.0 - 1e-9)) stage_[r] = Stage::holding;
        }
    }

    /// Every amount a number, none below nothing by more than rounding.
    static bool sound(const State& x) {
        return std::all_of(x.begin(), x.end(), [](double moles) { return moles >= -1e-9; });
    }

    double worst_oxygen(const State& x) const {
        double worst = 0.0;
        for (std::size_t i = 1; i <= nodes_.size(); ++i)
            worst = std::max(worst, x[3 * i + 1] / (x[3 * i] + x[3 * i + 1] + x[3 * i + 2]));
        return worst;
    }

    double fill_time = -1.0;

  private:
    void put(State& x, std::size_t vessel, double p, double volume) const {
        for (std::size_t s = 0; s < 3; ++s)
            x[3 * vessel + s] = air[s] * p * volume / (R * plant_.site.temperature.mean());
    }
    double flow(double standard) const {
        return plant_.site.reference.pressure * standard / (R * plant_.site.reference.temperature);
    }
    double pressure(const State& x, std::size_t from, std::size_t to, double volume) const {
        double n = 0.0;
        for (std::size_t i = 3 * from; i < 3 * to; ++i) n += x[i];
        return n * R * plant_.site.temperature.mean() / volume;
    }
    double source_mass(const State& x) const {
        return (x[0] * mass[0] + x[1] * mass[1] + x[2] * mass[2]) / (x[0] + x[1] + x[2]);
    }
    double supply_area(std::size_t r) const {
        return std::get<plant::Regulator>(plant_.risers[r].supply).orifice.effective_area();
    }
    double passage(std::size_t r) const {
        if (stage_[r] == Stage::filling) return plant_.risers[r].fill.effective_area();
        return stage_[r] == Stage::wide ? supply_area(r) : 0.0;
    }
    double demand(const State& x, std::size_t r) const {
        const auto b = static_cast<std::size_t>(first_[r]), e = static_cast<std::size_t>(first_[r + 1]);
        const double p = pressure(x, b + 1, e + 1, volume_[r]);
        double sum = 0.0;
        for (std::size_t i = b; i < e; ++i) {
            const double* n = &x[3 * (i + 1)];
            const double m = (n[0] * mass[0] + n[1] * mass[1] + n[2] * mass[2]) / (n[0] + n[1] + n[2]);
            sum += orifice(nodes_[i].leak + nodes_[i].hole, p, plant_.site.pressure,
                           plant_.site.temperature.mean(), m);
        }
        return sum;
    }

    const plant::Plant& plant_;
    const plant::Generator& source_;
    double product_[3]{};
    std::vector<Compartment> nodes_;
    std::vector<int> first_;
    std::vector<double> volume_;
    std::vector<Stage> stage_;
    Machine machine_ = Machine::off;
};

}  // namespace oxfade::peer
