#pragma once

/// A vector of eight numbers, one a run. See series_kernel.hpp for what this may include.
#ifndef OXFADE_ISA
#error "OXFADE_ISA names the instruction set this is compiled for"
#endif

namespace oxfade::engine::OXFADE_ISA {

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
inline Lane whole(const Lane& a) {
    Lane r{};
    for (int i = 0; i < lanes; ++i) r[i] = __builtin_floor(a[i]);
    return r;
}

}  // namespace oxfade::engine::OXFADE_ISA
