// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cell/survey_range.hpp"

#include <cmath>

namespace cellproof {

double count_of(const Range& range) {
  return std::ceil((range.to - range.from) / range.step - 1e-9) + 1;
}

std::vector<double> values_of(const Range& range) {
  std::vector<double> values;
  for (double i = 0; i + 1 < count_of(range); ++i) values.push_back(range.from + i * range.step);
  values.push_back(range.to);
  return values;
}

}  // namespace cellproof
