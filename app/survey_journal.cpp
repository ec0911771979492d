// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/survey_journal.hpp"

#include <cerrno>
#include <cstring>
#include <fstream>
#include <iterator>
#include <utility>

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <unistd.h>

#include "app/json_text.hpp"
#include "scene/basics/content_key.hpp"
#include "scene/cell/model_files.hpp"

namespace cellproof {

namespace {

tl::expected<std::string, std::string> bytes_of(const std::filesystem::path& file) {
  std::error_code none;
  if (const auto there = std::filesystem::status(file, none);
      std::filesystem::exists(there) && !std::filesystem::is_regular_file(there))
    return tl::unexpected(fmt::format("'{}' is no file; name one", file.string()));
  std::ifstream in(file, std::ios::binary);
  std::string bytes((std::istreambuf_iterator<char>(in)), std::istreambuf_iterator<char>());
  if (!in.is_open() || in.bad())
    return tl::unexpected(fmt::format("'{}' can't be read; check the path", file.string()));
  return bytes;
}

std::string head_line(const std::string& key) {
  return json_line({{"cellproof_survey", 2}, {"key", key}}) + "\n";
}

std::string spot_line(const Spot& spot) {
  const SpotVerdict& verdict = spot.verdict;
  const auto number = [](const std::optional<double>& value) { return value ? Json(*value) : Json(nullptr); };
  Json shares = Json::array();
  for (const RuleShare& share : verdict.shares) shares.push_back({share.rule, share.least, share.most});
  return json_line({{"spot", spot.index},
                    {"pass", verdict.pass},
                    {"reason", verdict.reason},
                    {"step", verdict.step},
                    {"score", number(verdict.score)},
                    {"shares", shares},
                    {"cycle_time_s", number(verdict.cycle_time_s)}}) +
         "\n";
}

std::optional<std::vector<RuleShare>> shares_of_line(const Json& entry) {
  if (!entry.contains("shares") || !entry["shares"].is_array()) return std::nullopt;
  std::vector<RuleShare> shares;
  for (const Json& share : entry["shares"]) {
    if (!share.is_array() || share.size() != 3 || !share[0].is_string() || !share[1].is_number() ||
        !share[2].is_number())
      return std::nullopt;
    shares.push_back({share[0].get<std::string>(), share[1].get<double>(), share[2].get<double>()});
  }
  return shares;
}

std::optional<Spot> spot_of_line(const std::string& line) {
  const Json entry = Json::parse(line, nullptr, false);
  if (!entry.is_object()) return std::nullopt;
  const auto is = [&](const char* name, auto test) { return entry.contains(name) && test(entry[name]); };
  const auto text = [](const Json& value) { return value.is_string(); };
  const auto number = [](const Json& value) { return value.is_number() || value.is_null(); };
  if (!is("spot", [](const Json& value) { return value.is_number_unsigned(); }) ||
      !is("pass", [](const Json& value) { return value.is_boolean(); }) || !is("reason", text) || !is("step", text) ||
      !is("score", number) || !is("cycle_time_s", number))
    return std::nullopt;
  auto shares = shares_of_line(entry);
  if (!shares) return std::nullopt;
  const auto optional = [&](const char* name) {
    return entry[name].is_null() ? std::nullopt : std::optional<double>(entry[name].get<double>());
  };
  return Spot{entry["spot"].get<std::size_t>(),
              {entry["pass"].get<bool>(), entry["reason"].get<std::string>(), entry["step"].get<std::string>(),
               optional("score"), optional("cycle_time_s"), std::move(*shares)}};
}

/// What a file holds, and how much of it is whole.
struct KeptSpots {
  std::vector<Spot> spots;
  std::size_t whole = 0;  ///< bytes
};

tl::expected<KeptSpots, std::string> parse(const std::string& file, const std::string& bytes, const std::string& key) {
  const std::string head = head_line(key);
  if (bytes.size() < head.size() && head.starts_with(bytes)) return KeptSpots{};  // torn at its very beginning
  if (bytes.starts_with("{\"cellproof_survey\":1,"))
    return tl::unexpected(fmt::format(
        "'{}' was kept by an earlier version, which judged spots otherwise; name another file, and all are proved anew",
        file));
  if (!bytes.starts_with(head))
    return tl::unexpected(
        bytes.starts_with("{\"cellproof_survey\"")
            ? fmt::format(
                  "'{}' was kept of another survey, or the cell or a model has changed since; name another file", file)
            : fmt::format("'{}' holds no kept survey; name another file", file));
  KeptSpots kept;
  kept.whole = head.size();
  while (kept.whole < bytes.size()) {
    const std::size_t end = bytes.find('\n', kept.whole);
    if (end == std::string::npos) break;
    auto spot = spot_of_line(bytes.substr(kept.whole, end - kept.whole));
    if (!spot) break;
    kept.spots.push_back(std::move(*spot));
    kept.whole = end + 1;
  }
  return kept;
}

bool write_all(int handle, const std::string& bytes) {
  for (std::size_t done = 0; done < bytes.size();) {
    const ssize_t count = ::write(handle, bytes.data() + done, bytes.size() - done);
    if (count < 0 && errno == EINTR) continue;
    if (count <= 0) return false;
    done += static_cast<std::size_t>(count);
  }
  return true;
}

std::string not_written(const std::string& file) {
  return fmt::format("'{}' can't be written: {}; choose another file", file, std::strerror(errno));
}

}  // namespace

tl::expected<std::string, std::string> survey_key(const Cell& cell, const Survey& survey) {
  auto text = bytes_of(cell.file);
  if (!text) return text;
  std::string all = content_hash(*text) + survey.name;
  for (const auto& model : model_files(cell)) {
    const auto bytes = bytes_of(model);
    if (!bytes) return bytes;
    all += content_hash(*bytes);
  }
  return content_hash(all);
}

tl::expected<SurveyJournal, std::string> SurveyJournal::open(const std::string& file, const std::string& key) {
  const int handle = ::open(file.c_str(), O_RDWR | O_CREAT | O_CLOEXEC, 0666);
  if (handle < 0) return tl::unexpected(not_written(file));
  SurveyJournal journal(handle);
  if (::flock(handle, LOCK_EX | LOCK_NB) != 0)
    return tl::unexpected(fmt::format("'{}' is in use by another survey; wait for it, or name another file", file));
  const auto bytes = bytes_of(file);
  if (!bytes) return tl::unexpected(bytes.error());
  auto kept = parse(file, *bytes, key);
  if (!kept) return tl::unexpected(kept.error());
  journal.known_ = std::move(kept->spots);
  if (::ftruncate(handle, static_cast<off_t>(kept->whole)) != 0 || ::lseek(handle, 0, SEEK_END) < 0)
    return tl::unexpected(not_written(file));
  if (kept->whole == 0 && !write_all(handle, head_line(key))) return tl::unexpected(not_written(file));
  return journal;
}

SurveyJournal::SurveyJournal(SurveyJournal&& other) noexcept
    : handle_(std::exchange(other.handle_, -1)),
      known_(std::move(other.known_)),
      added_(other.added_),
      trouble_(std::move(other.trouble_)) {}

SurveyJournal::~SurveyJournal() {
  if (handle_ >= 0) ::close(handle_);
}

bool SurveyJournal::add(std::span<const Spot> spots) {
  std::string lines;
  for (const Spot& spot : spots) lines += spot_line(spot);
  if (!write_all(handle_, lines) || ::fdatasync(handle_) != 0) {
    trouble_ = fmt::format("what was found can't be kept: {}", std::strerror(errno));
    return false;
  }
  added_ += spots.size();
  return true;
}

tl::expected<std::vector<Spot>, std::string> journal_spots(const std::string& file, const std::string& key) {
  const auto bytes = bytes_of(file);
  if (!bytes) return tl::unexpected(bytes.error());
  auto kept = parse(file, *bytes, key);
  if (!kept) return tl::unexpected(kept.error());
  return std::move(kept->spots);
}

}  // namespace cellproof
