// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/files/step_import.hpp"

#include <fstream>
#include <iterator>
#include <system_error>

#include <fmt/format.h>

#include "scene/basics/content_key.hpp"
#include "scene/files/cad_helper.hpp"
#include "scene/files/tessellation.hpp"
#include "scene/files/tessellation_cache.hpp"

namespace cellproof {

namespace {

namespace fs = std::filesystem;

/// The helper as it lies on the disk: one that was built anew makes no use of what another one made.
std::string stamp_of(const fs::path& helper) {
  std::error_code none;
  const auto size = fs::file_size(helper, none);
  if (none) return "missing";
  const auto time = fs::last_write_time(helper, none).time_since_epoch().count();
  return fmt::format("{} {}", size, time);
}

/// Of everything that the triangles depend on.
std::string key_of(const std::string& bytes, const StepRequest& request) {
  return content_hash(fmt::format("{}\n{}\n{}\n{:a}\n{}", content_hash(bytes), tessellation_maker(),
                                  stamp_of(cad_helper()), request.deviation_mm, request.solid));
}

std::vector<std::string> arguments_of(const StepRequest& request) {
  std::vector<std::string> arguments = {"tessellate", fmt::format("--deviation={}", request.deviation_mm)};
  if (!request.solid.empty()) arguments.push_back("--solid=" + request.solid);
  return arguments;
}

}  // namespace

tl::expected<std::string, ModelError> step_file_bytes(const fs::path& file) {
  std::error_code error;
  const auto bad = [&](std::string_view what) {
    return tl::unexpected(ModelError{fmt::format("the STEP file {} {}", file.string(), what),
                                     "check the path and export the model again"});
  };
  if (!fs::exists(file, error)) return bad("does not exist");
  if (!fs::is_regular_file(file, error)) return bad("is not a file");
  std::ifstream in(file, std::ios::binary);
  if (!in) return bad("can't be opened");
  std::string bytes{std::istreambuf_iterator<char>(in), {}};
  if (bytes.empty()) return bad("is empty");
  return bytes;
}

ModelError damaged_answer(const std::string& subject) {
  return {fmt::format("{} came back from cellproof-cad damaged", subject),
          "install cellproof and cellproof-cad of one version"};
}

tl::expected<Mesh, ModelError> import_step(const StepRequest& request, const std::stop_token& stop) {
  const auto bytes = step_file_bytes(request.file);
  if (!bytes) return tl::unexpected(bytes.error());
  const std::string key = key_of(*bytes, request);
  if (auto kept = cached_tessellation(key)) return std::move(*kept);
  const std::string subject = fmt::format("the STEP file {}", request.file.string());
  const auto answer = ask_cad_helper(arguments_of(request), *bytes, subject, stop);
  if (!answer) return tl::unexpected(answer.error());
  auto mesh = tessellation_of(*answer);
  if (!mesh) return tl::unexpected(damaged_answer(subject));
  keep_tessellation(key, *answer);
  return std::move(*mesh);
}

}  // namespace cellproof
