#include "scenario/draft_piping.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "oxfade/gas/constants.hpp"
#include "oxfade/plant/limits.hpp"
#include "oxfade/plant/pipe_sizes.hpp"
#include "text/number.hpp"

namespace oxfade::scenario::detail {
namespace {

constexpr const char* piping_wanted =
    "a volume such as 700 gal, or SIZE x LENGTH such as 4 in x 240 ft or 50 mm x 80 m; more pieces after "
    "commas";

constexpr const char* lines_wanted =
    "NUMBER lines of SIZE x LENGTH, more pieces after commas: 30 lines on both sides of 1 1/2 in x 14 ft, 1 "
    "in x 36 "
    "ft; or none";

std::optional<double> value_of(std::string_view text, Dimension dimension) {
    const auto parsed = parse_quantity(text, dimension, gas::standard_pressure);
    if (const auto* quantity = std::get_if<Quantity>(&parsed)) return quantity->value;
    return std::nullopt;
}

/// Where SIZE ends: at an `x` between blanks, or right after a number's unit sign (`4"x240'`).
std::size_t find_cross(std::string_view text) {
    for (const std::string_view cross : {" x ", " X ", "\"x", "\"X", "×"}) {
        const auto at = text.find(cross);
        if (at != std::string_view::npos) return cross.front() == '"' ? at + 1 : at;
    }
    return std::string_view::npos;
}

std::string_view after_cross(std::string_view text) {
    text = text::trim(text);
    text.remove_prefix(text.starts_with("×") ? std::string_view("×").size() : 1);
    return text::trim(text);
}

/// The usual wall where nothing is said: schedule 10 from 2 1/2 in on, 40 below.
std::string usual_schedule(std::string_view nominal) {
    const auto number = text::leading_number(nominal);
    return number.value >= 2.5 ? "10" : "40";
}

std::optional<QuantityError> take_size(std::string_view size, PipingPiece& piece) {
    const auto schedule = std::min(size.find(" sch"), size.find(" Sch"));
    const std::string_view nominal = text::trim(size.substr(0, schedule));
    const bool given = schedule != std::string_view::npos;
    piece.schedule = given ? std::string(text::trim(size.substr(schedule))) : usual_schedule(nominal);
    if (plant::find_pipe_size(nominal, piece.schedule)) {
        piece.nominal = nominal;
        return std::nullopt;
    }
    const auto schedules = plant::schedules_of(nominal);
    if (given && !schedules.empty()) {
        return QuantityError{fmt::format("there is no {} of nominal {}", piece.schedule, nominal),
                             fmt::format("schedules: {}", fmt::join(schedules, ", "))};
    }
    piece.schedule.clear();
    piece.bore = nominal;
    const auto bore = value_of(nominal, Dimension::length);
    if (!given && bore && *bore > 0.0) return std::nullopt;
    return QuantityError{fmt::format("`{}` is not a pipe size", size), piping_wanted};
}

std::variant<PipingPiece, QuantityError> parse_piece(std::string_view text) {
    PipingPiece piece;
    const auto cross = find_cross(text);
    if (cross == std::string_view::npos) {
        piece.volume = text;
        const auto volume = value_of(text, Dimension::volume);
        if (volume && *volume > 0.0) return piece;
        return QuantityError{fmt::format("`{}` is not a piece of piping", text), piping_wanted};
    }
    if (auto error = take_size(text::trim(text.substr(0, cross)), piece)) return *error;
    piece.length = after_cross(text.substr(cross));
    const auto length = value_of(piece.length, Dimension::length);
    if (!length || !(*length > 0.0))
        return QuantityError{fmt::format("`{}` is not a length", piece.length), piping_wanted};
    return piece;
}

}  // namespace

std::variant<std::vector<PipingPiece>, QuantityError> parse_piping(std::string_view text) {
    std::vector<PipingPiece> pieces;
    for (std::size_t begin = 0; begin <= text.size();) {
        const std::size_t end = std::min(text.find(',', begin), text.size());
        auto piece = parse_piece(text::trim(text.substr(begin, end - begin)));
        if (auto* error = std::get_if<QuantityError>(&piece)) return std::move(*error);
        pieces.push_back(std::move(std::get<PipingPiece>(piece)));
        begin = end + 1;
    }
    return pieces;
}

std::variant<LinesAnswer, QuantityError> parse_lines(std::string_view text) {
    const auto begins = [&](std::string_view words) {
        if (!text.starts_with(words)) return false;
        text = text::trim(text.substr(words.size()));
        return true;
    };
    const QuantityError none{fmt::format("`{}` does not describe branch lines", text::trim(text)),
                             lines_wanted};
    const auto number = text::leading_number(text::trim(text));
    if (number.state != text::NumberState::good) return none;
    if (!(number.value >= 1.0 && number.value <= plant::limits::branch_lines) ||
        number.value != std::floor(number.value)) {
        return QuantityError{fmt::format("{:.6g} is not a number of branch lines", number.value),
                             fmt::format("a whole number from 1 to {}", plant::limits::branch_lines)};
    }
    LinesAnswer answer;
    answer.number = static_cast<int>(number.value);
    answer.both_sides = answer.number % 2 == 0;
    text = text::trim(number.rest);
    begins("branch ");
    if (!begins("lines ") && !begins("line ")) return none;
    if (begins("on both sides ")) {
        if (!answer.both_sides)
            return QuantityError{"an odd number of branch lines cannot leave in pairs",
                                 "an even number, or on one side"};
    } else if (begins("on one side ")) {
        answer.both_sides = false;
    }
    if (!begins("of ")) return none;
    auto pieces = parse_piping(text);
    if (auto* error = std::get_if<QuantityError>(&pieces)) return std::move(*error);
    answer.pieces = std::move(std::get<std::vector<PipingPiece>>(pieces));
    for (const PipingPiece& piece : answer.pieces) {
        if (!piece.volume.empty())
            return QuantityError{fmt::format("`{}` says nothing of size and length", piece.volume),
                                 lines_wanted};
    }
    return answer;
}

std::variant<SystemLine, QuantityError> parse_system(std::string_view text) {
    const auto colon = text.find(':');
    const auto name = text::trim(text.substr(0, std::min(colon, text.size())));
    if (colon == std::string_view::npos || name.empty()) {
        return QuantityError{"a system needs a name and its piping",
                             "NAME: PIPING, for example Dock: 4 in x 150 ft; 20 lines of 1 1/2 in x 48 ft"};
    }
    text.remove_prefix(colon + 1);
    const auto semicolon = text.find(';');
    auto pieces = parse_piping(text.substr(0, semicolon));
    if (auto* error = std::get_if<QuantityError>(&pieces)) return std::move(*error);
    SystemLine system{std::string(name), std::move(std::get<std::vector<PipingPiece>>(pieces)), {}};
    if (semicolon == std::string_view::npos) return system;
    const std::string_view said = text::trim(text.substr(semicolon + 1));
    if (said == "none") return system;
    auto lines = parse_lines(said);
    if (auto* error = std::get_if<QuantityError>(&lines)) return std::move(*error);
    if (!system.pieces.back().volume.empty()) {
        return QuantityError{"branch lines need a main with a size and a length",
                             "SIZE x LENGTH for the last piece of the piping, for example 4 in x 150 ft"};
    }
    system.lines = std::move(std::get<LinesAnswer>(lines));
    return system;
}

std::variant<LeakLine, QuantityError> parse_leak(std::string_view text) {
    constexpr const char* wanted =
        "LOSS over TIME from PRESSURE, for example 1.5 psi over 24 h from 40 psig; or none";
    const auto over = text.find(" over "), from = text.find(" from ");
    if (over == std::string_view::npos || from == std::string_view::npos || from < over)
        return QuantityError{"is not a pressure test", wanted};
    const LeakLine leak{std::string(text::trim(text.substr(0, over))),
                        std::string(text::trim(text.substr(over + 6, from - over - 6))),
                        std::string(text::trim(text.substr(from + 6)))};
    const std::pair<const std::string*, Dimension> parts[] = {{&leak.loss, Dimension::pressure_difference},
                                                              {&leak.over, Dimension::time},
                                                              {&leak.from, Dimension::pressure}};
    for (const auto& [part, dimension] : parts) {
        const auto parsed = parse_quantity(*part, dimension, gas::standard_pressure);
        if (const auto* error = std::get_if<QuantityError>(&parsed))
            return QuantityError{fmt::format("`{}` {}", *part, error->what), wanted};
    }
    return leak;
}

}  // namespace oxfade::scenario::detail
