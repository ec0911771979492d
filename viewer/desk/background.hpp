// SPDX-License-Identifier: GPL-3.0-or-later
// Work beside the drawing: one piece at a time, and the newest request is the one that counts.
#pragma once

#include <condition_variable>
#include <functional>
#include <mutex>
#include <optional>
#include <stop_token>
#include <thread>
#include <utility>

namespace cellproof {

/// Runs requests on a thread of its own. A request that has not begun is replaced by the next; one that runs is
/// asked to stop by `cancel`, and what it answers after that is thrown away. Its destructor stops and waits.
template <class Answer>
class Background {
 public:
  using Work = std::function<Answer(const std::stop_token&)>;

  Background() : thread_([this](const std::stop_token& end) { serve(end); }) {}
  ~Background() {
    cancel();
    thread_.request_stop();
    wake_.notify_all();
  }
  Background(const Background&) = delete;
  Background& operator=(const Background&) = delete;

  void ask(Work work) {
    const std::lock_guard<std::mutex> lock(mutex_);
    waiting_ = std::move(work);
    wake_.notify_all();
  }

  void cancel() {
    const std::lock_guard<std::mutex> lock(mutex_);
    waiting_.reset();
    answer_.reset();
    stop_.request_stop();
  }

  /// The newest answer, once.
  std::optional<Answer> take() {
    const std::lock_guard<std::mutex> lock(mutex_);
    return std::exchange(answer_, std::nullopt);
  }

  bool busy() const {
    const std::lock_guard<std::mutex> lock(mutex_);
    return running_ || waiting_;
  }

 private:
  void serve(const std::stop_token& end) {
    std::unique_lock<std::mutex> lock(mutex_);
    while (wake_.wait(lock, end, [this] { return waiting_.has_value(); })) {
      const Work work = std::move(*waiting_);
      waiting_.reset();
      stop_ = std::stop_source();
      const std::stop_token stop = stop_.get_token();
      running_ = true;
      lock.unlock();
      Answer answer = work(stop);
      lock.lock();
      running_ = false;
      if (!stop.stop_requested()) answer_ = std::move(answer);
    }
  }

  mutable std::mutex mutex_;
  std::condition_variable_any wake_;
  std::optional<Work> waiting_;
  std::optional<Answer> answer_;
  std::stop_source stop_;
  bool running_ = false;
  std::jthread thread_;  ///< last: it ends before the rest goes
};

}  // namespace cellproof
