// SPDX-License-Identifier: GPL-3.0-or-later
// Spots of a survey kept in a file as they are found, so that a survey can be stopped, gone on with and put together.
#pragma once

#include <span>
#include <string>
#include <vector>

#include <tl/expected.hpp>

#include "checks/studies/survey.hpp"

namespace cellproof {

/// What a survey depends on: the cell file, the models that it names, and which of its surveys. Two surveys with the
/// same key have the same spots.
tl::expected<std::string, std::string> survey_key(const Cell& cell, const Survey& survey);

/// A first line that names the survey by its key, then a line a spot. A last line that was torn is no line.
class SurveyJournal {
 public:
  /// Opens the file for one survey at a time, or begins it. Error: another survey's file, no journal, in use, not
  /// writable; a sentence.
  static tl::expected<SurveyJournal, std::string> open(const std::string& file, const std::string& key);

  SurveyJournal(SurveyJournal&& other) noexcept;
  SurveyJournal& operator=(SurveyJournal&&) = delete;
  ~SurveyJournal();

  const std::vector<Spot>& known() const { return known_; }  ///< what it held when it was opened
  std::size_t count() const { return known_.size() + added_; }
  /// Adds spots at the end and sees that they are on the disk; false if that fails, see trouble().
  bool add(std::span<const Spot> spots);
  const std::string& trouble() const { return trouble_; }  ///< a sentence, empty if there was none

 private:
  explicit SurveyJournal(int handle) : handle_(handle) {}
  int handle_ = -1;
  std::vector<Spot> known_;
  std::size_t added_ = 0;
  std::string trouble_;
};

/// The spots of a file that is not open. Error: a sentence.
tl::expected<std::vector<Spot>, std::string> journal_spots(const std::string& file, const std::string& key);

}  // namespace cellproof
