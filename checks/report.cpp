// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/report.hpp"

namespace cellproof {

Report::Report() = default;
Report::Report(const Report&) = default;
Report::Report(Report&&) noexcept = default;
Report& Report::operator=(const Report&) = default;
Report& Report::operator=(Report&&) noexcept = default;
Report::~Report() = default;

}  // namespace cellproof
