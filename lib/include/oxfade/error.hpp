#pragma once

#include <optional>
#include <stdexcept>
#include <string>
#include <vector>

namespace oxfade {

/// One thing that is wrong with an input: what, where, the value, and what would be right.
struct Problem {
    std::string key;      ///< dotted path, `riser.North.pipe.main.volume`; empty for the file as a whole
    std::string value;    ///< the offending value as the user wrote it; may be empty
    std::string what;     ///< what is wrong, one clause without a full stop
    std::string allowed;  ///< what is allowed or what to do
    std::string file;     ///< file name, where one was read
    int line = 0;         ///< 1-based line in that file; 0 when unknown
};

/// `file:line: key: what: value (allowed)`, on one line.
std::string to_string(const Problem& problem);

/// Base of everything this library throws on purpose.
class Error : public std::runtime_error {
  public:
    using std::runtime_error::runtime_error;
};

/// The input cannot be used. Holds every problem found, not only the first.
class InputError : public Error {
  public:
    explicit InputError(std::vector<Problem> problems);
    const std::vector<Problem>& problems() const noexcept { return problems_; }

  private:
    std::vector<Problem> problems_;
};

/// A file could not be read or written.
class FileError : public Error {
  public:
    using Error::Error;
};

/// The computation failed: a state that is not finite, or switches that flip for ever.
class ComputationError : public Error {
  public:
    ComputationError(const std::string& what, double time_s, std::string riser, std::string compartment,
                     std::string mode);
    double time_s() const noexcept { return time_s_; }
    const std::string& riser() const noexcept { return riser_; }
    const std::string& compartment() const noexcept { return compartment_; }
    const std::string& mode() const noexcept { return mode_; }

  private:
    double time_s_;
    std::string riser_, compartment_, mode_;
};

}  // namespace oxfade
