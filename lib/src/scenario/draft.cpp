#include "oxfade/scenario/draft.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "oxfade/gas/constants.hpp"
#include "scenario/draft_piping.hpp"
#include "text/nearest.hpp"
#include "text/number.hpp"

namespace oxfade::scenario {
namespace {

constexpr std::string_view machines = "generator compressor";
constexpr std::string_view nitrogen = "generator cylinders";

std::optional<QuantityError> fault_of(const auto& parsed) {
    if (const auto* error = std::get_if<QuantityError>(&parsed)) return *error;
    return std::nullopt;
}

std::optional<QuantityError> fault_of_source(std::string_view answer) {
    const std::vector<std::string> kinds{"generator", "cylinders", "compressor"};
    if (std::find(kinds.begin(), kinds.end(), answer) != kinds.end()) return std::nullopt;
    return QuantityError{"is not one of the kinds of source", text::suggest(answer, kinds, "allowed")};
}

}  // namespace

const std::vector<Question>& draft_questions() {
    using Kind = AnswerKind;
    using Dim = Dimension;
    static const std::vector<Question> questions{
        {"title",
         "What is the plant called?",
         "Dry systems of the building",
         "Dry systems of the building",
         Kind::text,
         {},
         ""},
        {"system",
         "Which dry systems are there? Each as NAME: PIPING, from the valve to the far end of the cross main",
         "Riser 1: 6 in x 20 ft, 6 in x 60 ft, 4 in x 150 ft; 30 lines on both sides of 1 1/2 in x 14 ft, 1 "
         "1/4 in "
         "x 24 ft, 1 in x 12 ft",
         "Riser 1: 150 mm x 6 m, 150 mm x 18 m, 100 mm x 45 m; 30 lines on both sides of 40 mm x 4 m, 32 mm "
         "x 7 m, "
         "25 mm x 4 m",
         Kind::system,
         {},
         ""},
        {"set-pressure", "At which pressure is the piping kept?", "28 psig", "2 barg", Kind::quantity,
         Dim::pressure, ""},
        {"source",
         "Where does the nitrogen come from: generator, cylinders, or a compressor (air only)?",
         "generator",
         "generator",
         Kind::source,
         {},
         ""},
        {"purity", "How pure is the nitrogen?", "99 %", "99 %", Kind::quantity, Dim::fraction, nitrogen},
        {"nitrogen-flow", "How much nitrogen does the generator make?", "140 ft3/h", "65 L/min",
         Kind::quantity, Dim::volume_flow, "generator"},
        {"air-flow", "How much plain air does the compressor deliver?", "700 ft3/h", "330 L/min",
         Kind::quantity, Dim::volume_flow, machines},
        {"receiver", "How large is the receiver?", "60 gal", "250 L", Kind::quantity, Dim::volume, machines},
        {"start", "Below which receiver pressure does the machine start?", "85 psig", "6 barg",
         Kind::quantity, Dim::pressure, machines},
        {"stop", "At which receiver pressure does it stop?", "105 psig", "7.5 barg", Kind::quantity,
         Dim::pressure, machines},
        {"air-below", "Below which receiver pressure does it fall back on plain air?", "75 psig", "5 barg",
         Kind::quantity, Dim::pressure, "generator"},
        {"content", "How much gas do the cylinders hold in all?", "2500 ft3", "72 m3", Kind::quantity,
         Dim::volume, "cylinders"},
        {"delivery-pressure", "To which pressure are the cylinders regulated?", "80 psig", "5 barg",
         Kind::quantity, Dim::pressure, "cylinders"},
        {"vent", "How wide is the hole of the vent at the far end of each system? Or: none", "0.03 in",
         "0.8 mm", Kind::vent, Dim::length, ""},
        {"leak",
         "What did each system lose in its pressure test? Or: none",
         "1.5 psi over 24 h from 40 psig",
         "0.1 bar over 24 h from 2.8 barg",
         Kind::leak,
         {},
         ""},
        {"temperature", "How warm is it around the piping?", "60 degF", "15 degC", Kind::quantity,
         Dim::temperature, ""},
        {"altitude", "How high above the sea is the site?", "0 ft", "0 m", Kind::quantity, Dim::length, ""},
        {"target", "Which purity is wanted everywhere (100 % less oxygen)?", "98 %", "98 %", Kind::quantity,
         Dim::fraction, ""},
        {"duration", "How long a time is to be simulated?", "21 d", "21 d", Kind::quantity, Dim::time, ""},
    };
    return questions;
}

const Question& branch_line_question() {
    static const Question question{
        "branch-lines",
        "  How many branch lines, and of what size? Or: none",
        "30 lines on both sides of 1 1/2 in x 14 ft, 1 1/4 in x 24 ft, 1 in x 12 ft",
        "30 lines on both sides of 40 mm x 4 m, 32 mm x 7 m, 25 mm x 4 m",
        AnswerKind::branch_lines,
        {},
        ""};
    return question;
}

bool lacks_branch_lines(std::string_view system) {
    if (system.find(';') != std::string_view::npos) return false;
    const auto parsed = detail::parse_system(system);
    const auto* found = std::get_if<detail::SystemLine>(&parsed);
    return found != nullptr && found->pieces.back().volume.empty();
}

bool arises(const Question& question, const Answers& answers) {
    if (question.sources.empty()) return true;
    const auto source = answers.find("source");
    return question.sources.find(source == answers.end() ? "generator" : source->second) !=
           std::string_view::npos;
}

std::string_view usual_answer(const Question& question, UnitSystem system) {
    return system == UnitSystem::us ? question.us : question.si;
}

std::optional<QuantityError> find_fault(const Question& question, std::string_view answer) {
    answer = text::trim(answer);
    const bool none = answer == "none";
    switch (question.kind) {
        case AnswerKind::text:
            if (answer.empty()) return QuantityError{"is empty", "some words are wanted"};
            return std::nullopt;
        case AnswerKind::source:
            return fault_of_source(answer);
        case AnswerKind::system:
            return fault_of(detail::parse_system(answer));
        case AnswerKind::branch_lines:
            return none ? std::nullopt : fault_of(detail::parse_lines(answer));
        case AnswerKind::leak:
            return none ? std::nullopt : fault_of(detail::parse_leak(answer));
        case AnswerKind::vent:
            if (none) return std::nullopt;
            break;
        case AnswerKind::quantity:
            break;
    }
    return fault_of(parse_quantity(answer, question.dimension, gas::standard_pressure));
}

}  // namespace oxfade::scenario
