#include "output.hpp"

#include <signal.h>  // pthread_sigmask: POSIX

#include <cerrno>
#include <iostream>

#include "oxfade/report/files.hpp"
#include "oxfade/report/text.hpp"
#include "terminal.hpp"

namespace oxfade::program {
namespace {

/// Holds back Ctrl-C and its like while files are written, so that none is left behind unfinished.
class Undisturbed {
  public:
    Undisturbed() {
        sigset_t signals;
        sigemptyset(&signals);
        for (const int signal : {SIGINT, SIGTERM, SIGHUP}) sigaddset(&signals, signal);
        pthread_sigmask(SIG_BLOCK, &signals, &before_);
    }
    Undisturbed(const Undisturbed&) = delete;
    Undisturbed& operator=(const Undisturbed&) = delete;
    ~Undisturbed() { pthread_sigmask(SIG_SETMASK, &before_, nullptr); }

  private:
    sigset_t before_{};
};

void write_file(const std::string& path, const std::string& text) {
    const Undisturbed now;
    report::replace_file(path, text);
}

void write_findings(const Result& result, const report::Units& units) {
    for (const outcome::Message& message : result.messages) {
        std::cerr << report::message_line(message, units) << '\n';
    }
}

}  // namespace

void write_standard_output(const std::string& text) {
    errno = 0;
    try {
        report::write_output("-", text, std::cout);
    } catch (const FileError&) {
        if (errno != EPIPE) throw;
    }
}

void deliver(const Result& result, const Options& options, const report::Units& units) {
    struct Form {
        const std::string& path;
        const std::function<std::string()>& make;
    };
    const Form forms[] = {
        {options.json, result.json}, {options.csv, result.csv}, {options.html, result.html}};
    bool text_out = !options.quiet;
    for (const Form& form : forms) {
        if (!form.path.empty() && form.path != "-") write_file(form.path, form.make());
    }
    for (const Form& form : forms) {
        if (form.path != "-") continue;
        write_standard_output(form.make());
        text_out = false;
    }
    if (text_out) write_standard_output(result.text());
    const bool seen = text_out && output_is_terminal();
    if (!options.quiet && !seen) write_findings(result, units);
}

}  // namespace oxfade::program
