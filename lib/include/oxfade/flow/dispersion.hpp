#pragma once
namespace oxfade::flow {
inline double shear_dispersion(double speed, double radius, double diffusivity, double) {
    const double pe = speed * radius / diffusivity;
    return diffusivity * (1.0 + pe * pe / 48.0);
}
}
