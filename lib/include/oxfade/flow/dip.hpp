#pragma once

/// Water where two nearly level legs of round pipe meet (model.md section 9).
namespace oxfade::flow {

/// A dip between two legs of one bore. Slopes are heights over lengths, small beside one: the cosine of the
/// legs' angles, under 3 % off at the steepest slope of 0.25, is taken as one.
struct Dip {
    double bore = 0.0;          ///< [m], > 0
    double slope_before = 0.0;  ///< of the leg before the lowest point, > 0
    double slope_behind = 0.0;  ///< of the leg behind it, > 0
};

/// How a volume of water at rest stands in a dip.
struct DipWater {
    bool closed = false;  ///< no gas passes above the water
    double depth =
        0.0;  ///< at the lowest point above the bottom of the bore [m]; more than the bore when closed
    double free_share = 1.0;  ///< of the bore, left for gas at the lowest point
    double free_area = 0.0;   ///< of the bore, left for gas at the lowest point [m2]
    double rise_before = 0.0,
           rise_behind = 0.0;  ///< h of eq. 15 up that leg [m]: gas from the other one pushes
    double surface_before = 0.0, surface_behind = 0.0;  ///< of the water to the gas in each leg [m2]
    double wetted_steel = 0.0;                          ///< of both legs [m2]
};

/// Volume [m3] that just closes the bore.
///
/// A leg filled to a level z above its lowest bottom holds `(1/s) int_0^z A(y) dy`, `A` the segment of the
/// bore below a chord at y. Half the bore is below its middle on average: `int_0^d A dy = A_0 d/2`, so the
/// volume is `A_0 d/2 (1/s_1 + 1/s_2)`.
double closing_volume(const Dip& dip);

/// How a volume of water [m3] >= 0 stands in a dip with legs long enough to hold it.
///
/// Open: the depth z of `(1/s_1 + 1/s_2) int_0^z A dy = W`. Closed, with W_c the closing volume: gas gets
/// through when it has pushed the water of its own leg down to the crown of the dip; all that is more than
/// W_c then fills the bore of the other leg, `h = s (W - W_c)/A_0` above that crown.
DipWater water_in_dip(const Dip& dip, double volume);

/// A U of unknown slopes that the water closes, by the height it can be pushed up; bore [m] 0 where not
/// known.
DipWater water_in_trap(double bore, double rise, double volume);

/// Pressure difference [Pa] at which gas bubbles through (eq. 15): `rho_w g h`, water of a temperature [K].
double seal_strength(double rise, double temperature);

/// Share of a round bore's area below a chord at a depth over the bore in [0, 1].
double filled_share(double relative_depth);

}  // namespace oxfade::flow
