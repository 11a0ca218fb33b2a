#pragma once

/// A vector of eight numbers, and what is written for one number and for eight alike. It includes no standard
/// library: see engine/lanes/series_kernel.hpp.
#ifndef OXFADE_ISA
#error "OXFADE_ISA names the instruction set this is compiled for"
#endif

#pragma GCC diagnostic push
#pragma GCC diagnostic ignored "-Wpsabi"

namespace oxfade::flow::OXFADE_ISA {

constexpr int lanes = 8;
typedef double Lane __attribute__((vector_size(8 * lanes)));
using Mask = decltype(Lane{} < Lane{});  // of whole numbers, 0 or -1

inline Lane broadcast(double value) { return Lane{} + value; }

inline Lane select(const Mask& which, const Lane& yes, const Lane& no) { return which ? yes : no; }
inline double select(bool which, double yes, double no) { return which ? yes : no; }

inline bool any(const Mask& mask) {
    long long found = 0;
    for (int i = 0; i < lanes; ++i) found |= mask[i];
    return found != 0;
}
inline bool any(bool mask) { return mask; }
inline Mask both(const Mask& a, const Mask& b) { return a & b; }
inline bool both(bool a, bool b) { return a && b; }
inline Mask not_so(const Mask& a) { return ~a; }
inline bool not_so(bool a) { return !a; }

template <class E>
E load(const double* from) {
    E r;
    __builtin_memcpy(&r, from, sizeof r);
    return r;
}
template <class E>
void store(double* to, const E& value) {
    __builtin_memcpy(to, &value, sizeof value);
}

template <class E>
E least(const E& a, const E& b) {
    return select(a < b, a, b);
}
template <class E>
E most(const E& a, const E& b) {
    return select(a > b, a, b);
}
template <class E>
E magnitude(const E& a) {
    return select(a < E{}, -a, a);
}

inline double root(double a) { return __builtin_sqrt(a); }
inline Lane root(const Lane& a) {
    Lane r{};
    for (int i = 0; i < lanes; ++i) r[i] = __builtin_sqrt(a[i]);
    return r;
}
inline double cube_root(double a) { return __builtin_cbrt(a); }
inline Lane cube_root(const Lane& a) {
    Lane r{};
    for (int i = 0; i < lanes; ++i) r[i] = __builtin_cbrt(a[i]);
    return r;
}
inline Lane whole(const Lane& a) {
    Lane r{};
    for (int i = 0; i < lanes; ++i) r[i] = __builtin_floor(a[i]);
    return r;
}

}  // namespace oxfade::flow::OXFADE_ISA

#pragma GCC diagnostic pop
