#pragma once

#include <cstddef>
#include <vector>

#include "engine/lanes/kernels.hpp"
#include "engine/network.hpp"

namespace oxfade::engine {

/// What mixing between two nodes depends on beside where they are.
struct MixingGas {
    double density = 0.0;      ///< [mol/m3]
    double temperature = 0.0;  ///< [K]
    double diffusivity = 0.0;  ///< [m2/s]
    double viscosity = 0.0;    ///< of the product, kinematic for a molar mass of 1 kg/mol [m2/s kg/mol]

    bool operator==(const MixingGas&) const = default;
};

/// What a link trades between its nodes a and b.
struct Exchange {
    double g = 0.0;      ///< G [mol/s]
    double slope = 0.0;  ///< d(G dz)/d(dz)
    double skew = 0.0;   ///< -d(flux)/d(z_a + z_b), of the flux from a to b
};

/// Mixing across all links of a riser at once: eq. 8 to 11. Links have the number of their node less that of
/// the riser's first; behind them come the loop links.
class MixingBatch {
  public:
    MixingBatch(const Network& net, const RiserNet& riser);
    MixingBatch(MixingBatch&&) = default;  // not copied: the view points into it

    /// The gas in all links.
    void set_gas(const MixingGas& gas);
    /// The gas in one link; `other` as MixingView has it.
    void set_gas(int link, const MixingGas& gas, double other = 0.0);
    /// Where the link of a line that breathes is now: along this piece.
    void set_piece(int link, const LinkMixing::Piece& piece);
    /// @param flow along it [mol/s]
    void set_flow(int link, double flow) {
        const Link& l = links_[static_cast<std::size_t>(link)];
        for (int k = l.first; k < l.first + l.count; ++k) view_.flow[k] = flow;
    }
    /// @param fraction of air in each node of the network @param with_slopes whether anyone will look at them
    void run(const std::vector<double>& fraction, bool with_slopes);
    Exchange result(int link) const;
    /// What G would be at other compositions [mol/s], one for each node but the first of the riser; what
    /// run() found stays. @param room to work in
    void g_at(const std::vector<double>& fraction, std::vector<double>& room, double* g) const;
    /// G of a link [mol/s], whether or not anybody asked for slopes.
    double g(int link) const { return g_of(links_[static_cast<std::size_t>(link)], view_.g); }

  private:
    struct Link {
        int first = 0, count = 0;  ///< rows of the view
        double fixed = 0.0;        ///< [mol/s], where there are none
    };
    /// @param g of all rows
    static double g_of(const Link& link, const double* g) {
        if (link.count == 0) return link.fixed;
        const double first = g[link.first];
        return link.count == 1 ? first : 1.0 / (1.0 / first + 1.0 / g[link.first + 1]);  // in series
    }
    void add(const LinkMixing& mixing, int from, int to);
    void fill_row(int k, const LinkMixing::Piece& piece, double over_all);
    void fill_gas(int first, int count, const MixingGas& gas);

    const Network& net_;
    const Kernels& kernels_;
    MixingView view_{};
    std::vector<double> memory_;  ///< what the view points to
    std::vector<int> nodes_;
    std::vector<double> warming_;  ///< of each row, as LinkMixing
    std::vector<Link> links_;
    std::size_t nodes_of_riser_ = 0;
    MixingGas gas_;
};

}  // namespace oxfade::engine
