// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/files/cad_helper.hpp"

#include <cmath>
#include <cstdlib>
#include <cstring>
#include <limits>
#include <system_error>

#include <fmt/format.h>

#include "scene/files/child_process.hpp"

namespace cellproof {

namespace {

namespace fs = std::filesystem;

/// A positive number from the environment.
double setting(const char* name, double otherwise) {
  const char* text = std::getenv(name);
  if (!text) return otherwise;
  char* end = nullptr;
  const double value = std::strtod(text, &end);
  return end != text && *end == '\0' && value > 0 && value <= 1e9 ? value : otherwise;
}

double memory_setting() {
  const char* text = std::getenv("CELLPROOF_CAD_MEMORY");
  if (text && std::string_view(text) == "unlimited") return std::numeric_limits<double>::infinity();
  return setting("CELLPROOF_CAD_MEMORY", 4096);
}

struct Limits {
  double seconds = setting("CELLPROOF_CAD_SECONDS", 60), mebibytes = memory_setting();
  ChildLimits of_child() const {
    ChildLimits limits;
    limits.time = std::chrono::milliseconds(std::llround(1000 * seconds));
    limits.memory_bytes =
        std::isinf(mebibytes) ? no_memory_limit : static_cast<std::size_t>(std::llround(mebibytes)) << 20;
    return limits;
  }
};

std::string first_line(const std::string& text) {
  return text.substr(0, text.find('\n'));
}

ModelError not_started(const fs::path& helper, int why) {
  if (why == ENOENT)
    return {fmt::format("needs the program {}, which is not there", helper.string()),
            "install cellproof-cad beside cellproof"};
  return {fmt::format("needs the program {}, which can't be started ({})", helper.string(), std::strerror(why)),
          "see that it may be run"};
}

ModelError failed(const ChildResult& result, const Limits& limits) {
  constexpr const char* simplify = "check the file, or export it again in a simpler form";
  switch (result.end) {
    case ChildResult::End::out_of_time:
      return {fmt::format("took cellproof-cad more than {} s", limits.seconds),
              "simplify the model, ask for a larger deviation, or raise CELLPROOF_CAD_SECONDS"};
    case ChildResult::End::killed_by_signal:
      return {fmt::format("made cellproof-cad crash (signal {})", result.status), simplify};
    case ChildResult::End::stopped:
      return {"was not read to its end", "run the command again"};
    default:
      break;
  }
  constexpr int refused = 2;
  if (result.status == refused && !result.error.empty()) return {first_line(result.error), simplify};
  return {fmt::format("made cellproof-cad end with status {}{}{}", result.status, result.error.empty() ? "" : ": ",
                      first_line(result.error)),
          simplify};
}

}  // namespace

fs::path cad_helper() {
  std::error_code trouble;
  const fs::path self = fs::read_symlink("/proc/self/exe", trouble);
  return trouble ? fs::path("cellproof-cad") : self.parent_path() / "cellproof-cad";
}

tl::expected<std::string, ModelError> ask_cad_helper(const std::vector<std::string>& arguments, std::string_view input,
                                                     const std::string& subject, const std::stop_token& stop) {
  const Limits limits;
  const fs::path helper = cad_helper();
  ChildResult result = run_child(helper, arguments, input, limits.of_child(), stop);
  if (result.end == ChildResult::End::exited && result.status == 0) return std::move(result.output);
  ModelError error =
      result.end == ChildResult::End::not_started ? not_started(helper, result.status) : failed(result, limits);
  error.what = fmt::format("{} {}", subject, error.what);
  return tl::unexpected(std::move(error));
}

}  // namespace cellproof
