// SPDX-License-Identifier: GPL-3.0-or-later
#include <cmath>

#include <Eigen/LU>
#include <fmt/format.h>

#include "kinematics/entry.hpp"
#include "scene/cell/cell_tables.hpp"

namespace cellproof {
namespace {

struct Interval {
  double min = 0, max = 0;
};

Interval read_interval(const TomlTable& table) {
  const Interval interval{table.required("min").quantity(Kind::angle), table.required("max").quantity(Kind::angle)};
  if (!table.reading().failed() && !(interval.min < interval.max))
    table.fail("has min that is not below max", "swap or correct min and max");
  return interval;
}

/// Row of dh_from_values: the sign on the diagonal, couplings beside it.
Joints read_coupling(const TomlTable& table, int joint) {
  Joints row = Joints::Zero();
  if (const auto couple = table.optional("couple")) {
    const auto entries = couple->list_of(6, "six numbers, its own 0");
    for (int other = 0; other < 6; ++other) row[other] = entry(entries, other).number();
    if (row[joint] != 0)
      couple->fail(fmt::format("couples joint {} to itself", joint + 1),
                   fmt::format("make entry {} 0; use sign for the joint's own direction", joint + 1));
  }
  row[joint] = 1;
  if (const auto sign = table.optional("sign")) {
    row[joint] = sign->number();
    if (row[joint] != 1 && row[joint] != -1) sign->fail("is neither 1 nor -1", "write 1 or -1");
  }
  return row;
}

void read_joint(const TomlItem& item, int joint, ArmEntry& read) {
  const TomlTable table =
      item.table({"a", "alpha", "d", "theta", "min", "max", "speed", "acceleration", "stop_time", "sign", "couple"});
  Arm& arm = read.arm;
  entry(arm.rows, joint) = {optional_quantity(table, "a", Kind::length, Sign::any, 0),
                            optional_quantity(table, "alpha", Kind::angle, Sign::any, 0),
                            optional_quantity(table, "d", Kind::length, Sign::any, 0),
                            optional_quantity(table, "theta", Kind::angle, Sign::any, 0)};
  const Interval interval = read_interval(table);
  entry(arm.limits, joint) = {interval.min, interval.max,
                              table.required("speed").quantity(Kind::angular_speed, Sign::positive),
                              table.required("acceleration").quantity(Kind::angular_acceleration, Sign::positive)};
  arm.dh_from_values.row(joint) = read_coupling(table, joint).transpose();
  entry(read.stop_times, joint) = optional_quantity(table, "stop_time", Kind::time, Sign::positive);
}

/// Each pose is tried with every choice of whole turns that the limits leave.
void check_whole_turns(const TomlItem& joints, const Arm& arm) {
  constexpr double most = 10'000;
  double choices = 1;
  for (const JointLimits& limits : arm.limits) choices *= std::floor((limits.max - limits.min) / (2 * pi)) + 1;
  if (choices > most)
    joints.fail(fmt::format("leave {:.3g} choices of whole turns for each pose", choices),
                "narrow min and max to what the arm's cables allow, a turn or two each way");
}

void read_joints(const TomlItem& item, ArmEntry& read) {
  const Arm& arm = read.arm;
  const auto joints = item.list_of(6, "exactly six joints, { a, alpha, d, theta, min, max, speed, acceleration }");
  for (int joint = 0; joint < 6; ++joint) read_joint(entry(joints, joint), joint, read);
  if (!(std::abs(arm.dh_from_values.determinant()) > 1e-9))
    item.fail("couples the joints so that their angles do not determine their values", "correct couple and sign");
}

SumLimit read_sum_limit(const TomlItem& item) {
  const TomlTable table = item.table({"sum", "min", "max"});
  SumLimit limit;
  const TomlItem sum = table.required("sum");
  const auto entries = sum.list_of(6, "six factors, one a joint");
  for (int joint = 0; joint < 6; ++joint) limit.coefficients[joint] = entry(entries, joint).number();
  if (limit.coefficients.isZero(0)) sum.fail("adds up nothing", "give at least one joint a factor");
  const Interval interval = read_interval(table);
  limit.min = interval.min;
  limit.max = interval.max;
  return limit;
}

AxisPayload read_axis(const TomlItem& item) {
  const TomlTable table = item.table({"axis", "moment", "inertia"});
  AxisPayload axis;
  axis.axis = table.required("axis").whole_number(4, 6);
  axis.moment = optional_quantity(table, "moment", Kind::moment, Sign::positive);
  axis.inertia = optional_quantity(table, "inertia", Kind::inertia, Sign::positive);
  if (!axis.moment && !axis.inertia) table.fail("limits nothing", "give moment, inertia or both");
  return axis;
}

std::vector<AxisPayload> read_axes(const TomlItem& item) {
  std::vector<AxisPayload> axes;
  for (const TomlItem& entry : item.list()) {
    axes.push_back(read_axis(entry));
    for (std::size_t before = 0; before + 1 < axes.size(); ++before)
      if (axes[before].axis == axes.back().axis)
        entry.fail(fmt::format("gives axis {} a second time", axes.back().axis), "give each axis once");
  }
  return axes;
}

std::vector<std::array<double, 2>> read_offsets(const TomlItem& item) {
  std::vector<std::array<double, 2>> offsets;
  for (const TomlItem& entry : item.list()) {
    const auto pair = entry.list_of(2, "[distance from the flange, mass allowed there]");
    offsets.push_back(
        {pair[0].quantity(Kind::length, Sign::not_negative), pair[1].quantity(Kind::mass, Sign::positive)});
    if (offsets.size() > 1 && !(offsets[offsets.size() - 2][0] < offsets.back()[0]))
      entry.fail("is not further out than the entry before it", "list the distances in rising order");
  }
  return offsets;
}

Payload read_payload(const TomlItem& item) {
  const TomlTable table = item.table({"mass", "axes", "offsets"});
  Payload payload;
  payload.mass = optional_quantity(table, "mass", Kind::mass, Sign::positive);
  if (const auto axes = table.optional("axes")) payload.axes = read_axes(*axes);
  if (const auto offsets = table.optional("offsets")) payload.offsets = read_offsets(*offsets);
  return payload;
}

DhConvention read_convention(const TomlItem& item) {
  const std::string word = item.text();
  if (word != "standard" && word != "modified")
    item.fail(fmt::format("is \"{}\", which is no convention", word), "write \"standard\" or \"modified\" (Craig)");
  return word == "modified" ? DhConvention::modified : DhConvention::standard;
}

}  // namespace

ArmEntry read_arm(const TomlItem& item) {
  const TomlTable table = item.table({"on", "base", "convention", "flange", "joints", "limits", "payload"});
  ArmEntry entry;
  entry.origin = table.where();
  if (const auto on = table.optional("on")) entry.base.on = read_use(*on, Wanted::arm_stand);
  entry.base.at = optional_pose(table, "base");
  if (const auto convention = table.optional("convention")) entry.arm.convention = read_convention(*convention);
  entry.arm.flange_in_link6 = optional_pose(table, "flange");
  const TomlItem joints = table.required("joints");
  read_joints(joints, entry);
  if (!table.reading().failed()) check_whole_turns(joints, entry.arm);
  if (const auto limits = table.optional("limits"))
    for (const TomlItem& limit : limits->list()) entry.arm.sum_limits.push_back(read_sum_limit(limit));
  if (const auto payload = table.optional("payload")) entry.payload = read_payload(*payload);
  return entry;
}

}  // namespace cellproof
