// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/outputs.hpp"

#include <csignal>
#include <cstdio>
#include <filesystem>
#include <optional>
#include <system_error>

#include <fmt/format.h>

#include "app/commands.hpp"
#include "app/part_file.hpp"

namespace cellproof {

namespace {

namespace fs = std::filesystem;

std::string not_written(const std::string& option, const std::string& file, const std::string& why) {
  return fmt::format("{}{}'{}' can't be written: {}; choose another file", option, option.empty() ? "" : ": ", file,
                     why);
}

/// The file behind a link, so that the link stays one.
fs::path behind_links(const fs::path& file) {
  std::error_code none;
  const fs::path target = fs::canonical(file, none);
  return none ? file : target;
}

/// A device or a pipe is no file to put another in the place of.
bool is_device(const fs::path& target) {
  std::error_code none;
  const fs::file_status there = fs::status(target, none);
  return fs::exists(there) && !fs::is_regular_file(there);
}

bool to_standard_output(const std::string& text) {
  std::fwrite(text.data(), 1, text.size(), stdout);
  return std::fflush(stdout) == 0 && !std::ferror(stdout);
}

/// A file made whole, and where it goes.
struct Ready {
  std::string option, file;
  fs::path target;
  PartFile part;
};

/// A place that was filled, and what had been there.
struct Filled {
  fs::path target;
  bool was_there = false;
  std::optional<PartFile> old;  ///< nothing where the disk knows no second name of a file
};

Filled about_to_fill(const fs::path& target) {
  std::error_code none;
  Filled filled{target, fs::exists(target, none), std::nullopt};
  if (!filled.was_there) return filled;
  if (auto old = PartFile::of_old(target)) filled.old.emplace(std::move(*old));
  return filled;
}

void take_back(Filled& filled) {
  std::error_code none;
  if (!filled.was_there) fs::remove(filled.target, none);
  if (filled.old) filled.old->put_in_place(filled.target);
}

/// Puts all in place; where one can't be, each place before it is as it was.
tl::expected<void, std::string> put_in_place(std::vector<Ready>& ready) {
  std::vector<Filled> filled;
  for (Ready& one : ready) {
    Filled place = about_to_fill(one.target);
    if (const std::string why = one.part.put_in_place(one.target); !why.empty()) {
      for (Filled& before : filled) take_back(before);
      return tl::unexpected(not_written(one.option, one.file, why));
    }
    filled.push_back(std::move(place));
  }
  return {};
}

}  // namespace

void Outputs::add(const std::string& option, const std::string& file, std::string content) {
  if (!file.empty()) outputs_.push_back({option, file, std::move(content)});
}

void Outputs::tell(std::string text) {
  text_ = std::move(text);
}

tl::expected<void, std::string> Outputs::write() {
  // Where files are to be put in place, a reader that is gone is an error to tell; else the end, as for any program.
  if (!outputs_.empty()) std::signal(SIGPIPE, SIG_IGN);
  std::vector<Ready> ready;
  std::vector<std::pair<const Output*, fs::path>> devices;
  const Output* printed = nullptr;
  for (const Output& output : outputs_) {
    if (output.file == "-") {
      printed = &output;
      continue;
    }
    const fs::path target = behind_links(output.file);
    std::error_code none;
    if (fs::is_directory(target, none))
      return tl::unexpected(not_written(output.option, output.file, "it is a folder"));
    if (is_device(target)) {
      devices.emplace_back(&output, target);
      continue;
    }
    auto part = PartFile::beside(target, output.content);
    if (!part) return tl::unexpected(not_written(output.option, output.file, part.error()));
    ready.push_back({output.option, output.file, target, std::move(*part)});
  }
  for (const auto& [output, target] : devices)
    if (!write_to_device(target, output->content))
      return tl::unexpected(not_written(output->option, output->file, "the device does not take it"));
  if (!to_standard_output(printed ? printed->content : text_))
    return tl::unexpected(
        std::string("cellproof: standard output can't be written; is its disk full or its reader gone?"));
  return put_in_place(ready);
}

int deliver(Outputs& outputs, int status) {
  const auto written = outputs.write();
  return written ? status : refuse(written.error());
}

}  // namespace cellproof
