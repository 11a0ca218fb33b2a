#pragma once

/// Purging one vessel with the whole engine: what textbooks compute by closed formulas.
namespace oxfade::validation {

/// A vessel of air, constant in pressure, swept with gas until its last cell holds an oxygen fraction: moles
/// that left over moles that it holds, which are volume exchanges.
/// @param purity of the sweeping gas @param oxygen mole fraction wanted @param cells in series
double exchanges_until(double purity, double oxygen, int cells = 1);

/// A vessel of air between two pressures [Pa], let down and filled with pure nitrogen again and again.
struct Cycles {
    double count = 0.0;     ///< fillings begun until the oxygen fraction is reached, the last one completed
    double supplied = 0.0;  ///< nitrogen for these [mol per m3 of vessel]
};
/// @param filled_first starts at the low pressure with a filling; else at the high one by letting down
Cycles cycles_until(double low, double high, double oxygen, bool filled_first, double temperature);

/// Oxygen fraction left in that vessel after a number of fillings.
double oxygen_after_cycles(double low, double high, int count, bool filled_first, double temperature);

/// A still branch full of air, closed at its far end, whose mouth is swept with pure nitrogen: share of its
/// oxygen that has left when D t / L^2 has reached a value.
double share_lost_by_diffusion(double fourier);

}  // namespace oxfade::validation
