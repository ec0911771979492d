// SPDX-License-Identifier: GPL-3.0-or-later
// The screen, asked directly: whether there is one, and what it shows.
#pragma once

#include <atomic>
#include <memory>
#include <string>
#include <thread>

#include <tl/expected.hpp>

#include "viewer/pictures/image.hpp"

namespace cellproof {

/// The display, open as long as it is held: a server that has no other client starts anew when its last one leaves, and
/// turns away who comes meanwhile. Error: what is wrong, as a sentence.
tl::expected<std::shared_ptr<void>, std::string> open_display();

/// What the screen shows of the window of that title. Error: a sentence.
tl::expected<Image, std::string> picture_of_window(const std::string& title);

/// Counts how often what the screen shows of a window changes: frames that got there, not frames that were begun.
class ShownFrames {
 public:
  explicit ShownFrames(std::string title);
  ~ShownFrames();
  ShownFrames(const ShownFrames&) = delete;
  ShownFrames& operator=(const ShownFrames&) = delete;
  int count() const { return count_.load(); }

 private:
  void watch(const std::stop_token& stop);

  std::string title_;
  std::atomic<int> count_ = 0;
  std::jthread thread_;
};

}  // namespace cellproof
