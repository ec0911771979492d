// SPDX-License-Identifier: GPL-3.0-or-later
// Time that this thread had a processor, whatever else the machine does.
#pragma once

#include <ctime>

namespace cellproof {

inline double processor_seconds() {
  timespec now{};
  clock_gettime(CLOCK_THREAD_CPUTIME_ID, &now);
  return static_cast<double>(now.tv_sec) + 1e-9 * static_cast<double>(now.tv_nsec);
}

template <class Work>
double processor_seconds(const Work& work) {
  const double begin = processor_seconds();
  work();
  return processor_seconds() - begin;
}

}  // namespace cellproof
