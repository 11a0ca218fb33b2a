#pragma once

#include "options.hpp"

/// One function a verb: does it, delivers the result, returns the exit status. Each throws oxfade::Error.
namespace oxfade::program {

int draft(const Options& options);
int predict(const Options& options);
int check(const Options& options);
int compare(const Options& options);
int sweep(const Options& options);
int size(const Options& options);
int fit(const Options& options);
int commission(const Options& options);
int manual(const Options& options);
int completion(const Options& options);

}  // namespace oxfade::program
