// SPDX-License-Identifier: GPL-3.0-or-later
// The screen, asked directly: whether there is one, and what it shows.
#pragma once

#include <atomic>
#include <string>
#include <thread>

#include <tl/expected.hpp>

#include "viewer/image.hpp"

namespace cellproof {

/// What is wrong with the display, as a sentence; empty if a window can be opened.
std::string display_trouble();

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
