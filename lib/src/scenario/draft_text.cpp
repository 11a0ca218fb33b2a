#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <iterator>

#include "oxfade/error.hpp"
#include "oxfade/scenario/draft.hpp"
#include "oxfade/scenario/read.hpp"
#include "scenario/draft_piping.hpp"
#include "scenario/toml_text.hpp"
#include "text/number.hpp"

namespace oxfade::scenario {
namespace {

using detail::PipingPiece;
using detail::SystemLine;
using detail::toml_text;

/// Writes the file from top to bottom, one table a function.
class Writer {
  public:
    Writer(const Answers& answers, UnitSystem system, const Takeoff* takeoff)
        : answers_(answers), system_(system), takeoff_(takeoff) {}

    std::string write() {
        head();
        site();
        source();
        if (takeoff_ == nullptr) {
            for (const SystemLine& system : systems()) riser(system);
        } else {
            for (const TakeoffSystem& system : takeoff_->systems) riser(system);
        }
        tail();
        return std::move(text_);
    }

  private:
    template <class... Values>
    void add(fmt::format_string<const Values&...> format, const Values&... values) {
        fmt::format_to(std::back_inserter(text_), format, values...);
        text_ += '\n';
    }

    const Question& question(std::string_view key) const {
        for (const Question& candidate : draft_questions()) {
            if (candidate.key == key) return candidate;
        }
        throw Error(fmt::format("there is no question {}", key));
    }
    std::string answer(std::string_view key) const {
        const auto found = answers_.find(key);
        const std::string_view text =
            found == answers_.end() ? usual_answer(question(key), system_) : std::string_view(found->second);
        return std::string(text::trim(text));
    }
    /// A line `key = "answer"` with its comment; says so when nobody has answered.
    void line(std::string_view key, std::string_view answered_by, std::string_view comment) {
        const bool assumed = answers_.find(answered_by) == answers_.end();
        const std::string both =
            fmt::format("{}{}{}", assumed ? "assumed" : "", assumed && !comment.empty() ? "; " : "", comment);
        commented(fmt::format("{} = {}", key, toml_text(answer(answered_by))), both);
    }
    void commented(const std::string& setting, std::string_view comment) {
        if (comment.empty()) return add("{}", setting);
        add("{:<42} # {}", setting, comment);
    }

    std::vector<SystemLine> systems() const {
        std::vector<SystemLine> found;
        const std::string lines = answer("system");
        for (std::size_t begin = 0; begin <= lines.size();) {
            const std::size_t end = std::min(lines.find('\n', begin), lines.size());
            auto parsed = detail::parse_system(lines.substr(begin, end - begin));
            found.push_back(std::move(std::get<SystemLine>(parsed)));
            begin = end + 1;
        }
        return found;
    }

    void head() {
        add("# A first description of a plant, to be made better: `oxfade check` lists what is wrong in it,");
        add("# `oxfade predict` computes it. Every quantity carries its unit: \"28 psig\" is gauge, \"28 "
            "psi\" is");
        add("# absolute. What is marked as assumed nobody has said yet; look it up before the results "
            "count.\n");
        add("format = 1");
        line("title", "title", "");
        line("duration", "duration", "simulated time");
        line("target", "target", "wanted purity everywhere: 100 % less the oxygen in the dry gas");
    }

    void site() {
        add("\n[site]");
        line("altitude", "altitude", "or: pressure, the air's");
        line("temperature", "temperature", "of air and piping");
        add("# What a standard volume is counted at, unless it is this:");
        add("# reference = {{ pressure = \"101.325 kPa\", temperature = \"20 degC\" }}");
    }

    void source() {
        const std::string kind = answer("source");
        add("\n[source]");
        line("kind", "source", "generator, cylinders or compressor");
        if (kind != "compressor") line("purity", "purity", "of the product, as an analyser shows it");
        if (kind == "cylinders") {
            line("content", "content", "standard volume in all");
            line("delivery_pressure", "delivery-pressure", "");
            return;
        }
        if (kind == "generator")
            line("nitrogen_flow", "nitrogen-flow", "standard volume flow, from its data sheet");
        line("air_flow", "air-flow", "the compressor's own; it fills the piping");
        commented("# power = \"4 kW\"", "gives the energy used");
        add("[source.receiver]");
        line("volume", "receiver", "");
        line("start", "start", "the machine starts here");
        line("stop", "stop", "and runs up to here");
        if (kind == "generator") line("air_below", "air-below", "plain air goes in from here up to `stop`");
    }

    void riser_head(const std::string& name) {
        const bool us = system_ == UnitSystem::us;
        add("\n# --- {} {}", name, std::string(90 - std::min<std::size_t>(80, name.size()), '-'));
        add("[[riser]]");
        add("name = {}", toml_text(name));
        line("set_pressure", "set-pressure", "the supply holds it");
        commented("# fill_limit = \"30 min\"", "longest time allowed for the fill");
        commented(fmt::format("fill = {{ diameter = \"{}\" }}", us ? "0.5 in" : "12 mm"),
                  "assumed; the passage used for the fill alone");
        add("# The supply keeps the pressure up after that. Or: kind = \"switch\", with low and high.");
        commented(
            fmt::format("supply = {{ kind = \"regulator\", diameter = \"{}\" }}", us ? "0.125 in" : "3 mm"),
            "assumed");
    }

    /// A system of the takeoff.
    void riser(const TakeoffSystem& system) {
        riser_head(system.name.empty() ? "System" : system.name);
        add("\n# Piping from the takeoff {}. Without `pitch`, as is usual back to the valve: mains 1/4 in,",
            std::filesystem::path(takeoff_->file).filename().string());
        add("# branch lines 1/2 in per 10 ft.");
        text_ += system.toml;
        if (system.piping.vents.empty()) no_vent();
        for (const std::string& drain : system.drains) {
            const auto& low_points = system.piping.low_points;
            const bool wet = std::any_of(
                low_points.begin(), low_points.end(),
                [&](const plant::LowPoint& low_point) { return low_point.name == drain + " low point"; });
            if (!wet)
                add("# A drain on {}: water left there is a [[riser.low_point]] (name, on, water, rise).",
                    drain);
        }
        leak();
    }

    void riser(const SystemLine& system) {
        riser_head(system.name);
        add("\n# Pipes one after the other from the valve; `from = \"feed main\"` in a pipe makes it branch "
            "off at "
            "that");
        add("# one's far end. Without `pitch`, as is usual back to the valve: mains 1/4 in, branch lines 1/2 "
            "in per "
            "10 ft;");
        add("# `position = \"vertical\"` is a pipe that goes straight up.");
        const std::size_t count = system.pieces.size();
        for (std::size_t k = 0; k < count; ++k) pipe(system.pieces[k], name_of_main(k, count));
        if (system.lines) {
            lines(*system.lines);
        } else {
            add("\n# No branch lines. A row of them is one [[riser.branch_lines]]: name, along, number, "
                "nominal, "
                "schedule, length.");
        }
        vent(name_of_main(count - 1, count), system.lines ? system.lines->number : 0);
        leak();
    }

    static std::string name_of_main(std::size_t index, std::size_t count) {
        if (index + 1 == count) return count == 1 ? "main" : "cross main";
        return index == 0 ? "feed main" : fmt::format("feed main {}", index + 1);
    }

    /// A row of branch lines along the last main.
    void lines(const detail::LinesAnswer& lines) {
        add("\n[[riser.branch_lines]]");
        commented("name = \"lines\"", "called `lines 1`, `lines 2` and so on along the main");
        commented("along = " + toml_text(last_main_), "the last of them leave at its far end");
        commented(fmt::format("number = {}", lines.number),
                  "of lines in all; or: spacing, between their taps");
        add("sides = {}", toml_text(lines.both_sides ? "both" : "one"));
        for (std::size_t k = 0; k < lines.pieces.size(); ++k) {
            commented("[[riser.branch_lines.pieces]]", k == 0 ? "of one line, from the main to its end" : "");
            size(lines.pieces[k]);
        }
    }

    void pipe(const PipingPiece& piece, const std::string& name) {
        add("[[riser.pipe]]");
        add("name = {}", toml_text(name));
        last_main_ = name;
        size(piece);
    }

    void size(const PipingPiece& piece) {
        if (!piece.volume.empty()) return add("volume = {}", toml_text(piece.volume));
        if (piece.bore.empty()) {
            add("nominal = {}", toml_text(piece.nominal));
            commented("schedule = " + toml_text(piece.schedule), "wall of the pipe");
        } else {
            add("bore = {}", toml_text(piece.bore));
        }
        add("length = {}", toml_text(piece.length));
    }

    void no_vent() {
        add("\n# No vent: gas leaves through leaks alone. A vent is three lines under [[riser.vent]]: "
            "name, at, diameter.");
    }

    void vent(const std::string& pipe, int lines) {
        if (answer("vent") == "none") {
            no_vent();
            return;
        }
        add("\n[[riser.vent]]");
        add("name = \"end vent\"");
        commented("at = " + toml_text(pipe),
                  lines > 0 ? fmt::format("its far end; at the end of a branch line: \"lines {}\"", lines)
                            : std::string("far end of that pipe"));
        line("diameter", "vent", "of the hole that meters the flow, not of its connection");
        commented("# open = { until = \"target\" }",
                  "else it stands open; also: until = \"14 d\", every and for,");
        commented("#", "or high and low for pressure cycles");
    }

    void leak() {
        const std::string told = answer("leak");
        if (told == "none") {
            add("\n# No leak. What a pressure test lost is loss, over and from under [[riser.leak]].");
            return;
        }
        const auto test = std::get<detail::LeakLine>(detail::parse_leak(told));
        add("\n[[riser.leak]]");
        commented("loss = " + toml_text(test.loss), answers_.find("leak") == answers_.end()
                                                        ? "assumed; lost in a pressure test"
                                                        : "lost in a pressure test");
        add("over = {}", toml_text(test.over));
        add("from = {}", toml_text(test.from));
        commented("# spread = \"joints\"", "else by volume; also: \"length\", or `at` one pipe");
    }

    void tail() {
        add("\n# Numbers can be tried without an edit:");
        add("#   oxfade predict FILE --set source.purity=\"99.5 %\"");
    }

    const Answers& answers_;
    UnitSystem system_;
    const Takeoff* takeoff_;
    std::string text_, last_main_;
};

void check_answer(const Question& question, std::string_view answer, std::vector<Problem>& problems) {
    if (auto fault = find_fault(question, answer)) {
        problems.push_back({std::string(question.key), std::string(answer), std::move(fault->what),
                            std::move(fault->allowed), "", 0});
    }
}

void check_answers(const Answers& answers) {
    std::vector<Problem> problems;
    for (const Question& question : draft_questions()) {
        const auto found = answers.find(question.key);
        if (found == answers.end() || !arises(question, answers)) continue;
        const std::string& lines = found->second;
        const bool several = question.kind == AnswerKind::system;
        for (std::size_t begin = 0; begin <= lines.size();) {
            const std::size_t end = several ? std::min(lines.find('\n', begin), lines.size()) : lines.size();
            check_answer(question, lines.substr(begin, end - begin), problems);
            begin = end + 1;
        }
    }
    if (!problems.empty()) throw InputError(std::move(problems));
}

}  // namespace

std::string draft_text(const Answers& answers, UnitSystem system) {
    check_answers(answers);
    std::string text = Writer(answers, system, nullptr).write();
    (void)read_text(text, "the draft");  // answers that are sound may still not go together
    return text;
}

std::string draft_text(const Answers& answers, UnitSystem system, const Takeoff& takeoff) {
    check_answers(answers);
    std::string text = Writer(answers, system, &takeoff).write();
    (void)read_text(text, "the draft");
    return text;
}

}  // namespace oxfade::scenario
