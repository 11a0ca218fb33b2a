#include "oxfade/scenario/draft.hpp"

#include <algorithm>
#include <filesystem>
#include <iostream>
#include <string>

#include "draft_options.hpp"
#include "exit_status.hpp"
#include "output.hpp"
#include "oxfade/error.hpp"
#include "oxfade/report/files.hpp"
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

std::string written(const Answers& answers, UnitSystem system) {
    try {
        return scenario::draft_text(answers, system);
    } catch (const InputError& error) {
        throw as_options(error);
    }
}

void check_path(const Options& options) {
    if (options.file == "-") return;
    if (!options.draft.force && std::filesystem::exists(options.file))
        throw FileError(options.file + " is there already; give another name, or --force to replace it");
    report::require_replaceable(options.file);
}

}  // namespace

int draft(const Options& options) {
    check_path(options);
    const UnitSystem system = options.units == "si" ? UnitSystem::si : UnitSystem::us;
    Answers answers = options.draft.answers();
    if (!options.draft.defaults) {
        for (const Question& question : scenario::draft_questions()) {
            const bool open = answers.find(question.key) == answers.end();
            if (open && arises(question, answers)) ask_for(question, system, answers);
        }
    }
    const std::string text = written(answers, system);
    if (options.file == "-") {
        write_standard_output(text);
    } else {
        report::replace_file(options.file, text);
        if (!options.quiet)
            write_standard_output("Written to " + options.file + ". Go on with\n  oxfade check " +
                                  options.file + "\n");
    }
    return done;
}

}  // namespace oxfade::program
