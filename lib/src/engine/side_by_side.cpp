#include "engine/side_by_side.hpp"

#include <algorithm>
#include <atomic>
#include <exception>
#include <thread>

namespace oxfade::engine {
namespace {

class Party {
  public:
    Party(const Options& options, const std::vector<Task>& tasks)
        : tasks_(tasks), own_(options), helpers_(options) {
        helpers_.progress = [this](double) { return !stopped_.load(); };
        own_.progress = [this, ask = options.progress](double time) {
            return !stopped_.load() && (!ask || ask(time));
        };
    }

    void work() {
        const std::size_t most = std::min(threads_for(own_.threads), tasks_.size());
        {
            std::vector<std::jthread> helpers;
            for (std::size_t k = 1; k < most; ++k)
                helpers.emplace_back([this] { take(next_.fetch_add(1), helpers_); });
            take(0, own_);
        }
        if (error_) std::rethrow_exception(error_);
    }

  private:
    void take(std::size_t task, const Options& options) {
        try {
            for (; task < tasks_.size() && !stopped_.load(); task = next_.fetch_add(1)) tasks_[task](options);
        } catch (...) {
            if (!stopped_.exchange(true)) error_ = std::current_exception();
        }
    }

    const std::vector<Task>& tasks_;
    Options own_, helpers_;
    std::atomic<std::size_t> next_{1};
    std::atomic<bool> stopped_{false};
    std::exception_ptr error_;
};

}  // namespace

std::size_t threads_for(unsigned asked) {
    return asked > 0 ? asked : std::max(1U, std::thread::hardware_concurrency());
}

void side_by_side(const Options& options, const std::vector<Task>& tasks) { Party(options, tasks).work(); }

}  // namespace oxfade::engine
