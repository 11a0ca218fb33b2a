#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "oxfade/plant/plant.hpp"

namespace oxfade::study::detail {

/// Fingerprint of inputs, to tell whether stored runs belong to them: FNV-1a, 64 bits.
class Digest {
  public:
    void add(std::string_view text);
    void add(double value);
    void add(std::uint64_t value);
    void add(const plant::Plant& plant);
    std::string hex() const;

  private:
    std::uint64_t state_ = 0xCBF29CE484222325U;
};

}  // namespace oxfade::study::detail
