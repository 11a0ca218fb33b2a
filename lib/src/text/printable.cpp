#include "text/printable.hpp"

#include <algorithm>

namespace oxfade::text {

std::string printable(std::string_view text) {
    std::string result(text);
    const auto is_control = [](char c) { return static_cast<unsigned char>(c) < 0x20U || c == '\x7f'; };
    std::replace_if(result.begin(), result.end(), is_control, ' ');
    return result;
}

}  // namespace oxfade::text
