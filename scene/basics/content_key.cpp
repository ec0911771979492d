// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/basics/content_key.hpp"

#include <bit>
#include <cmath>

#include <fmt/format.h>
#include <xxhash.h>

namespace cellproof {

ContentKey key_of_bytes(const void* data, std::size_t bytes) {
  const XXH128_hash_t hash = XXH3_128bits(data, bytes);
  return {hash.high64, hash.low64};
}

void KeyWriter::add(double number) {
  words_.push_back(std::bit_cast<std::uint64_t>(number + 0.0));
}

void KeyWriter::add(const Eigen::Ref<const Eigen::MatrixXd>& numbers) {
  for (Eigen::Index column = 0; column < numbers.cols(); ++column)
    for (Eigen::Index row = 0; row < numbers.rows(); ++row) add(numbers(row, column));
}

void KeyWriter::add(const ContentKey& key) {
  add(key.high);
  add(key.low);
}

ContentKey KeyWriter::key() const {
  return key_of_bytes(words_.data(), words_.size() * sizeof(std::uint64_t));
}

Pose on_lattice(const Pose& pose) {
  const auto near = [](double number, double per_unit) { return std::nearbyint(number * per_unit) / per_unit; };
  Pose result = pose;
  result.linear() = pose.linear().unaryExpr([&](double number) { return near(number, 1e13); });
  result.translation() = pose.translation().unaryExpr([&](double number) { return near(number, 1e10); });
  return result;
}

std::string content_hash(std::string_view bytes) {
  const ContentKey key = key_of_bytes(bytes.data(), bytes.size());
  return fmt::format("{:016x}{:016x}", key.high, key.low);
}

}  // namespace cellproof
