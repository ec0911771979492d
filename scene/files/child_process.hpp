// SPDX-License-Identifier: GPL-3.0-or-later
// Another program, run to its end with bytes in, bytes out and limits.
#pragma once

#include <chrono>
#include <filesystem>
#include <limits>
#include <stop_token>
#include <string>
#include <string_view>
#include <vector>

namespace cellproof {

inline constexpr std::size_t no_memory_limit = std::numeric_limits<std::size_t>::max();

struct ChildLimits {
  std::chrono::milliseconds time{60'000};
  std::size_t memory_bytes = std::size_t{4} << 30;  ///< of addresses
};

struct ChildResult {
  enum class End { exited, killed_by_signal, out_of_time, stopped, not_started } end = End::not_started;
  int status = -1;            ///< exit status, signal number, or errno where it could not be started
  std::string output, error;  ///< what it wrote; of `error` the first 64 KiB
};

/// Starts `program` with `arguments` (without its own name), `input` as its standard input. It and all that it started
/// end with its time, with the stop, or with us. Safe to call from several threads at once.
ChildResult run_child(const std::filesystem::path& program, const std::vector<std::string>& arguments,
                      std::string_view input, const ChildLimits& limits, const std::stop_token& stop = {});

}  // namespace cellproof
