// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/basics/units.hpp"

#include <catch2/catch.hpp>

using namespace cellproof;

TEST_CASE("a quantity carries its unit, with or without a blank") {
  CHECK(parse_quantity("12.7 mm", Kind::length).value() == 12.7);
  CHECK(parse_quantity("0.5 in", Kind::length).value() == Approx(12.7));
  CHECK(parse_quantity("0.5in", Kind::length).value() == Approx(12.7));
  CHECK(parse_quantity("  -30   thou ", Kind::length).value() == Approx(-0.762));
  CHECK(parse_quantity("7e-3 mm", Kind::length).value() == 0.007);
  CHECK(parse_quantity("+2 m", Kind::length).value() == 2000);
  CHECK(parse_quantity("180deg", Kind::angle).value() == Approx(3.14159265358979));
  CHECK(parse_quantity("20 N m", Kind::moment).value() == 20);
  CHECK(parse_quantity("15 m/s^2", Kind::acceleration).value() == 15000);
}

TEST_CASE("a length may be a fraction, as drawings in inches have it") {
  CHECK(parse_quantity("1/2 in", Kind::length).value() == 12.7);
  CHECK(parse_quantity("1 1/2 in", Kind::length).value() == Approx(38.1));
  CHECK(parse_quantity("-2 3/8in", Kind::length).value() == Approx(-60.325));
  CHECK(parse_quantity("-0 1/4 in", Kind::length).value() == Approx(-6.35));
  CHECK(parse_quantity("5/64 in", Kind::length).value() == Approx(1.984375));
  CHECK(parse_quantity("1 m/s", Kind::speed).value() == 1000);  // that stroke belongs to the unit
  for (const std::string_view text : {"1/0 in", "1/ in", "/2 in", "1.5/2 in", "1.5 1/2 in", "1 1/2/2 in", "1 2 in"}) {
    INFO(text);
    CHECK_FALSE(parse_quantity(text, Kind::length));
  }
}

TEST_CASE("what is no quantity is told with the units that would serve") {
  const auto error = [](std::string_view text, Kind kind) {
    const auto value = parse_quantity(text, kind);
    return value ? std::string("none") : value.error();
  };
  CHECK(error("5 kg", Kind::length) ==
        "\"kg\" is a unit of mass where one of length is wanted; use mm, cm, m, in, ft or thou");
  CHECK_THAT(error("5 parsec", Kind::length), Catch::StartsWith("there is no unit \"parsec\""));
  // a material's figure a thousandth of what was meant would go unseen
  CHECK(error("700 kPa", Kind::specific_force) ==
        "\"kPa\" is a unit of pressure where one of specific cutting force is wanted; use N/mm^2, MPa or psi");
  CHECK_THAT(error("5", Kind::time), Catch::StartsWith("the unit is missing") && Catch::EndsWith("s, ms or min"));
  CHECK_THAT(error("mm", Kind::length), Catch::Contains("does not start with a finite number"));
  CHECK_THAT(error("", Kind::length), Catch::Contains("does not start with a finite number"));
  CHECK_THAT(error("nan mm", Kind::length), Catch::Contains("finite"));
  CHECK_THAT(error("-inf mm", Kind::length), Catch::Contains("finite"));
  CHECK_THAT(error("1e999 mm", Kind::length), Catch::Contains("finite"));
  CHECK_THAT(error("1e307 m", Kind::length), Catch::Contains("too large"));
  CHECK_THAT(error("1,5 mm", Kind::length), Catch::Contains("no unit"));
  CHECK_THAT(error("+-1 mm", Kind::length), Catch::Contains("finite"));
}

TEST_CASE("bare numbers follow the file's units, in rates and squares too") {
  const DefaultUnits inches{"in", "rad", "lb"};
  CHECK(bare_factor(Kind::length, inches) == 25.4);
  CHECK(bare_factor(Kind::speed, inches) == 25.4);
  CHECK(bare_factor(Kind::acceleration, inches) == 25.4);
  CHECK(bare_factor(Kind::area, inches) == Approx(645.16));
  CHECK(bare_factor(Kind::angular_speed, inches) == 1);
  CHECK(bare_factor(Kind::mass, inches) == 0.45359237);
  CHECK(bare_factor(Kind::pressure, inches) == 1000);     // kPa whatever `units` says
  CHECK(bare_factor(Kind::specific_force, inches) == 1);  // and N/mm^2
  CHECK(bare_factor(Kind::flow, {}) == Approx(1e6 / 60));
  CHECK(bare_factor(Kind::volume, {}) == 1e6);
  CHECK(bare_unit(Kind::acceleration, inches) == "in/s^2");
  CHECK(unit_in("27 inHg") == "inHg");
}

TEST_CASE("an option's list takes bare and marked entries, and minus signs") {
  CHECK(parse_quantities("1 in,0,0", Kind::length, {}).value() == std::vector<double>{25.4, 0, 0});
  CHECK(parse_quantities("-10,20", Kind::length, {}).value() == std::vector<double>{-10, 20});
  const auto angles = parse_quantities("-90, 1 rad", Kind::angle, {});
  CHECK(angles.value()[0] == Approx(-1.5707963267949));
  CHECK(angles.value()[1] == 1);
  CHECK_THAT(parse_quantities("1,,2", Kind::length, {}).error(), Catch::StartsWith("entry 2: "));
  CHECK_THAT(parse_quantities("1,2 kg", Kind::length, {}).error(),
             Catch::Contains("entry 2") && Catch::Contains("mass"));
  CHECK_FALSE(parse_quantities("", Kind::length, {}));
}
