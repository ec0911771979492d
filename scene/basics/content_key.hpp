// SPDX-License-Identifier: GPL-3.0-or-later
// Keys by content: equal numbers have equal keys, and others, as good as never.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "kinematics/types.hpp"

namespace cellproof {

struct ContentKey {
  std::uint64_t high = 0, low = 0;
  bool operator==(const ContentKey&) const = default;
};

/// Gathers what a key is made of, in order.
class KeyWriter {
 public:
  void add(std::uint64_t word) { words_.push_back(word); }
  void add(double number);  ///< -0 counts as 0
  void add(const Eigen::Ref<const Eigen::MatrixXd>& numbers);
  void add(const Pose& pose) { add(Eigen::MatrixXd(pose.matrix().topRows<3>())); }
  void add(const ContentKey& key);
  ContentKey key() const;  ///< 128 bits of XXH3

 private:
  std::vector<std::uint64_t> words_;
};

/// The key of so many bytes: 128 bits of XXH3.
ContentKey key_of_bytes(const void* data, std::size_t bytes);

/// The key of bytes, as 32 hexadecimal digits.
std::string content_hash(std::string_view bytes);

/// The pose on a lattice far finer than any tolerance (1e-10 mm, 1e-13 in the turn): two ways of computing one pose
/// give it alike. Whoever keeps answers by key works on such poses, so that a kept answer is the one computed.
Pose on_lattice(const Pose& pose);

}  // namespace cellproof
