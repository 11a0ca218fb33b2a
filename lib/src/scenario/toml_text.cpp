#include "scenario/toml_text.hpp"

#include <fmt/format.h>

namespace oxfade::scenario::detail {

std::string toml_text(std::string_view text) {
    std::string result = "\"";
    for (const char c : text) {
        if (c == '"' || c == '\\') result += '\\';
        if (static_cast<unsigned char>(c) < 0x20 || c == '\x7f') {
            result += fmt::format("\\u{:04X}", static_cast<unsigned>(static_cast<unsigned char>(c)));
        } else {
            result += c;
        }
    }
    return result + '"';
}

}  // namespace oxfade::scenario::detail
