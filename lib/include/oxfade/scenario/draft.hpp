#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "oxfade/scenario/quantity.hpp"
#include "oxfade/scenario/takeoff.hpp"

/// A first scenario file from the few answers that matter.
namespace oxfade::scenario {

/// What an answer has to be.
enum class AnswerKind {
    text,          ///< anything on one line
    quantity,      ///< a number with a unit
    source,        ///< generator, cylinders or compressor
    system,        ///< a dry system as `NAME: PIPING; BRANCH LINES`; several, each on its own line
    branch_lines,  ///< BRANCH LINES, or `none`
    vent,          ///< a length, or `none`
    leak,          ///< `LOSS over TIME from PRESSURE`, or `none`
};

/// One of the questions, in the order in which they are best asked.
struct Question {
    std::string_view key;     ///< `nitrogen-flow`: name of the answer, and of the option that gives it
    std::string_view asks;    ///< as one asks a person
    std::string_view us, si;  ///< what is taken when there is no answer
    AnswerKind kind = AnswerKind::text;
    Dimension dimension = Dimension::length;  ///< of a quantity
    std::string_view sources;                 ///< kinds of source that it is about; empty: all
};

/// All questions. PIPING is one or more pieces from the valve to the far end of the cross main, separated by
/// commas, each a volume (`700 gal`) or SIZE x LENGTH (`4 in x 240 ft`, `4 in schedule 10 x 240 ft`, `50 mm x
/// 80 m`), where SIZE is a nominal size in inches or a bore. BRANCH LINES, which leave the last of these
/// pieces, are `30 lines on both sides of 1 1/2 in x 14 ft, 1 in x 36 ft`: how many in all, on which sides
/// (`on one side`, `on both sides`, else on both where the number is even), and the pieces of one line from
/// the main to its end.
const std::vector<Question>& draft_questions();

/// Asked about each system whose answer says nothing of branch lines, where it has a main for them.
const Question& branch_line_question();
/// Whether it arises: the system's last piece has a length, and there is no `;` in the answer.
bool lacks_branch_lines(std::string_view system);

/// Answers by their question's key.
using Answers = std::map<std::string, std::string, std::less<>>;

/// Whether a question arises, given the answer to what kind of source there is.
bool arises(const Question& question, const Answers& answers);

/// What is taken for a question without an answer.
std::string_view usual_answer(const Question& question, UnitSystem system);

/// Why a text does not answer the question; none when it does.
std::optional<QuantityError> find_fault(const Question& question, std::string_view answer);

/// A complete, annotated scenario file. Questions without an answer get the usual one, which the file says.
/// Throws InputError, with the question's key, for answers that are none, and for those that do not go
/// together.
std::string draft_text(const Answers& answers, UnitSystem system);

/// As draft_text, with the piping of a takeoff in the place of the answer about systems. Its vents are those
/// of the takeoff; nothing is put where it has none.
std::string draft_text(const Answers& answers, UnitSystem system, const Takeoff& takeoff);

}  // namespace oxfade::scenario
