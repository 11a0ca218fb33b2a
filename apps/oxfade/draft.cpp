#include "oxfade/scenario/draft.hpp"

#include <algorithm>
#include <filesystem>
#include <iostream>
#include <optional>
#include <string>
#include <variant>

#include "draft_options.hpp"
#include "exit_status.hpp"
#include "output.hpp"
#include "oxfade/error.hpp"
#include "oxfade/report/files.hpp"
#include "oxfade/scenario/takeoff.hpp"
#include "terminal.hpp"
#include "verbs.hpp"

namespace oxfade::program {
namespace {

using scenario::AnswerKind;
using scenario::Answers;
using scenario::Question;
using scenario::UnitSystem;

/// One line from standard input; throws when there is none.
std::string next_line(const Question& question) {
    std::string line;
    if (std::getline(std::cin, line)) return line;
    throw InputError({Problem{"--" + std::string(question.key), "", "the answers ended before this question",
                              "answer it, give the option, or give --defaults for the rest", "", 0}});
}

/// Asks until the answer is one; an empty line takes what is usual, or ends a list.
std::string ask(const Question& question, std::string_view usual) {
    for (;;) {
        std::cerr << question.asks << (usual.empty() ? "" : " [" + std::string(usual) + "]") << ": "
                  << std::flush;
        const std::string line = next_line(question);
        if (line.find_first_not_of(" \t\r") == std::string::npos) return "";
        const auto fault = find_fault(question, line);
        if (!fault) return line;
        std::cerr << "  " << fault->what << "; " << fault->allowed << '\n';
        if (!input_is_terminal()) {
            throw InputError(
                {Problem{"--" + std::string(question.key), line, fault->what, fault->allowed, "", 0}});
        }
    }
}

/// A system, and its branch lines where the answer says nothing of them.
std::string with_branch_lines(std::string system, UnitSystem units) {
    if (!scenario::lacks_branch_lines(system)) return system;
    const Question& question = scenario::branch_line_question();
    const std::string_view usual = usual_answer(question, units);
    const std::string lines = ask(question, usual);
    return system + "; " + (lines.empty() ? std::string(usual) : lines);
}

void ask_for(const Question& question, UnitSystem system, Answers& answers) {
    const std::string_view usual = usual_answer(question, system);
    std::string answer = ask(question, usual);
    if (answer.empty()) return;
    if (question.kind == AnswerKind::system) {
        answer = with_branch_lines(answer, system);
        Question next = question;
        next.asks = "  Another one? An empty line if not";
        for (std::string more = ask(next, ""); !more.empty(); more = ask(next, ""))
            answer += '\n' + with_branch_lines(more, system);
    }
    answers[std::string(question.key)] = answer;
}

bool is_question(const std::string& key) {
    const auto& questions = scenario::draft_questions();
    return std::any_of(questions.begin(), questions.end(), [&](const Question& q) { return q.key == key; });
}

/// Problems by the options that give the answers; those of the file that came of them by its last key.
InputError as_options(const InputError& error) {
    std::vector<Problem> problems = error.problems();
    for (Problem& problem : problems) {
        std::string key = problem.key.substr(problem.key.rfind('.') + 1);
        std::replace(key.begin(), key.end(), '_', '-');
        if (!is_question(key)) continue;
        problem.key = "--" + key;
        problem.file.clear();
        problem.line = 0;
    }
    return InputError(std::move(problems));
}

std::string written(const Answers& answers, UnitSystem system,
                    const std::optional<scenario::Takeoff>& takeoff) {
    try {
        return takeoff ? scenario::draft_text(answers, system, *takeoff)
                       : scenario::draft_text(answers, system);
    } catch (const InputError& error) {
        throw as_options(error);
    }
}

InputError option_error(const std::string& option, const std::string& value, const std::string& what,
                        const std::string& allowed) {
    return InputError({Problem{option, value, what, allowed, "", 0}});
}

/// What the takeoff is read with, as far as options say.
scenario::TakeoffOptions takeoff_options(const Options& options) {
    scenario::TakeoffOptions read;
    const std::string& tolerance = options.draft.tolerance;
    if (tolerance.empty()) return read;
    const auto parsed = scenario::parse_quantity(tolerance, scenario::Dimension::length, 0.0);
    if (const auto* error = std::get_if<scenario::QuantityError>(&parsed))
        throw option_error("--tolerance", tolerance, error->what, error->allowed);
    read.tolerance = std::get<scenario::Quantity>(parsed).value;
    if (!(read.tolerance >= 0.001 && read.tolerance <= 1.0))
        throw option_error("--tolerance", tolerance, "is out of range", "from 1 mm to 1 m");
    return read;
}

/// The takeoff, which is read before anything is asked. @param vent orifice of vents that are only ticked
std::optional<scenario::Takeoff> read_takeoff(const Options& options, std::string_view vent) {
    const DraftOptions& draft = options.draft;
    if (draft.takeoff.empty()) {
        if (!draft.tolerance.empty())
            throw option_error("--tolerance", draft.tolerance, "is of use only with a takeoff",
                               "give --takeoff");
        return std::nullopt;
    }
    if (!draft.systems.empty())
        throw option_error("--system", draft.systems.front(), "the piping comes from the takeoff",
                           "give --system or --takeoff");
    scenario::TakeoffOptions read = takeoff_options(options);
    read.vent = vent;
    return scenario::read_takeoff(draft.takeoff, read);
}

/// Whether a question is answered by the takeoff.
bool is_settled(const Question& question, const std::optional<scenario::Takeoff>& takeoff) {
    if (!takeoff) return false;
    return question.kind == AnswerKind::system ||
           (question.kind == AnswerKind::vent && !takeoff->ticked_vents);
}

const Question& vent_question() {
    const auto& questions = scenario::draft_questions();
    return *std::find_if(questions.begin(), questions.end(),
                         [](const Question& question) { return question.kind == AnswerKind::vent; });
}

/// The orifice that the answers give to vents that are only ticked; empty where they say none.
std::string ticked_vent(const Answers& answers, UnitSystem system) {
    const Question& question = vent_question();
    const auto answer = answers.find(question.key);
    const std::string given =
        answer == answers.end() ? std::string(usual_answer(question, system)) : answer->second;
    return given == "none" || find_fault(question, given) ? std::string() : given;
}

void check_path(const Options& options) {
    if (options.file == "-") return;
    if (!options.draft.force && std::filesystem::exists(options.file))
        throw FileError(options.file + " is there already; give another name, or --force to replace it");
    report::require_replaceable(options.file);
}

UnitSystem units_of(const Options& options, const scenario::Takeoff& takeoff) {
    if (options.units.empty()) return takeoff.units;
    return options.units == "si" ? UnitSystem::si : UnitSystem::us;
}

}  // namespace

int draft(const Options& options) {
    check_path(options);
    const UnitSystem system = options.units == "si" ? UnitSystem::si : UnitSystem::us;
    Answers answers = options.draft.answers();
    auto takeoff = read_takeoff(options, ticked_vent(answers, system));
    if (!options.draft.defaults) {
        for (const Question& question : scenario::draft_questions()) {
            const bool open = answers.find(question.key) == answers.end();
            if (open && arises(question, answers) && !is_settled(question, takeoff))
                ask_for(question, system, answers);
        }
        if (takeoff && takeoff->ticked_vents) takeoff = read_takeoff(options, ticked_vent(answers, system));
    }
    const std::string text = written(answers, system, takeoff);
    const std::string summary =
        takeoff && !options.quiet ? takeoff_summary(*takeoff, units_of(options, *takeoff)) : "";
    if (options.file == "-") {
        write_standard_output(text);
        std::cerr << summary;
    } else {
        report::replace_file(options.file, text);
        if (!options.quiet)
            write_standard_output(summary + (summary.empty() ? "" : "\n") + "Written to " + options.file +
                                  ". Go on with\n  oxfade check " + options.file + "\n");
    }
    return done;
}

}  // namespace oxfade::program
