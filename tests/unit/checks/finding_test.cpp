// SPDX-License-Identifier: GPL-3.0-or-later
#include "checks/finding.hpp"

#include <catch2/catch.hpp>

using namespace cellproof;

namespace {

Finding gap(const std::string& run, const std::string& step, double measured, double required) {
  Finding finding;
  finding.check = Check::clearance;
  finding.run = run;
  finding.step = step;
  finding.between = {"finger", "post"};
  finding.judged = {measured, required, "mm"};
  return finding;
}

}  // namespace

TEST_CASE("findings are the same by what they are about, not by their figures") {
  CHECK(identity(gap("rack 1", "pick", 3, 5)) == identity(gap("rack 1", "pick", 4, 5)));
  CHECK(identity(gap("rack 1", "pick", 3, 5)) != identity(gap("rack 2", "pick", 3, 5)));
  CHECK(identity(gap("rack 1", "pick", 3, 5)) != identity(gap("rack 1", "place", 3, 5)));
  CHECK(in_any_run(gap("rack 1", "pick", 3, 5)) == in_any_run(gap("rack 2", "pick", 3, 5)));
  CHECK(in_any_run(gap("rack 1", "pick", 3, 5)) != in_any_run(gap("rack 1", "place", 3, 5)));
}

TEST_CASE("one cause is one pair under one rule, in whatever step, and without names the step tells it") {
  CHECK(cause(gap("rack 1", "pick", 3, 5)) == cause(gap("rack 2", "place", 1, 5)));
  CHECK(cause(gap("rack 1", "pick", 3, 5)) != cause(gap("rack 1", "pick", 3, 8)));
  Finding reach = gap("", "pick", 3, 0), other = gap("", "place", 3, 0);
  reach.check = other.check = Check::reach;
  reach.between.clear();
  other.between.clear();
  CHECK(cause(reach) != cause(other));
}

TEST_CASE("the worse finding misses by more, whether too little or too much was found") {
  CHECK(is_worse(gap("", "", 1, 5), gap("", "", 2, 5)));
  CHECK_FALSE(is_worse(gap("", "", 2, 5), gap("", "", 1, 5)));
  CHECK(is_worse(gap("", "", 9, 5), gap("", "", 7, 5)));  // a load of 9 where 5 are allowed
  Finding untold;
  CHECK_FALSE(is_worse(untold, gap("", "", 1, 5)));
  CHECK_FALSE(is_worse(gap("", "", 1, 5), untold));
}

TEST_CASE("every check has the name that the report gives it") {
  CHECK(name_of(Check::reach) == "reach");
  CHECK(name_of(Check::sightline) == "sightline");
  CHECK(name_of(Check::model) == "model");
}
