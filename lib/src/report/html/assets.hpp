#pragma once

#include <string_view>

/// What the build has put together from the files in `page` and `vendor`: see lib/cmake/OxfadePage.cmake.
namespace oxfade::report::assets {

extern const std::string_view page;           ///< the HTML with @NAMES@ to fill in
extern const std::string_view style;          ///< of uPlot, then our own
extern const std::string_view script;         ///< uPlot, then our own
extern const std::string_view style_digest;   ///< SHA-256 in base64, for the content policy
extern const std::string_view script_digest;  ///< likewise
extern const std::string_view licence;        ///< of uPlot
extern const std::string_view validation;  ///< the head of validation/table.md; empty where it was not there

}  // namespace oxfade::report::assets
