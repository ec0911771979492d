// SPDX-License-Identifier: GPL-3.0-or-later
// The tables of a cell file, one reader a family. Errors go to the item's Reading, names to its book.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "scene/cell/cell.hpp"
#include "scene/cell/toml_table.hpp"

namespace cellproof {

// Values that many tables share (read_values.cpp).

Pose read_pose(const TomlItem& item);  ///< { xyz, and one of turn, quat, rotvec }
Pose optional_pose(const TomlTable& table, std::string_view key);
Joints read_joint_values(const TomlItem& item);  ///< six angles
Vector3d read_lengths3(const TomlItem& item, Sign sign = Sign::any);
Vector2d read_lengths2(const TomlItem& item, Sign sign = Sign::any);
double optional_quantity(const TomlTable& table, std::string_view key, Kind kind, Sign sign, double otherwise);
std::optional<double> optional_quantity(const TomlTable& table, std::string_view key, Kind kind, Sign sign);
double optional_number(const TomlTable& table, std::string_view key, Sign sign, double otherwise);
/// Pa below ambient, no more than ambient is at that altitude.
double read_vacuum(const TomlItem& item, Sign sign, double altitude_mm);
/// 0.1 with a caution where it is left out.
double read_friction(const TomlTable& table);
double read_friction_value(const TomlItem& item);

/// `on` and `at`; without `otherwise`, `on` has to be there.
Placed read_placed(const TomlTable& table, std::optional<std::string> otherwise, Wanted wanted = Wanted::frame);
/// The table's `name`, entered into the book.
std::string read_name(const TomlTable& table, Sort sort);
/// A name that is used, entered into the book; `of` is a grasp's part, or the part that a seat must not ride on.
std::string read_use(const TomlItem& item, Wanted wanted, const std::string& of = {});
std::string optional_use(const TomlTable& table, std::string_view key, Wanted wanted);
std::vector<std::string> read_uses(const TomlItem& item, Wanted wanted);  ///< a list, not empty, each name once

// Tables.

ArmEntry read_arm(const TomlItem& item);
Shape read_shape(const TomlTable& table);  ///< mesh with mesh_unit, box, cylinder or sphere
Body read_body(const TomlItem& item);
Seat read_seat(const TomlItem& item);
Part read_part(const TomlItem& item);
Tcp read_tcp(const TomlItem& item);
Suction read_suction(const TomlItem& item, double altitude_mm);
Supply read_supply(const TomlItem& item, double altitude_mm);
Jaw read_jaw(const TomlItem& item);
Camera read_camera(const TomlItem& item);
Target read_target(const TomlItem& item);
Rules read_rules(const TomlItem& item);  ///< without contacts and clearances
NamedContact read_contact(const TomlItem& item);
PairFriction read_pair_friction(const TomlItem& item);
NamedClearance read_clearance(const TomlItem& item);
Zone read_zone(const TomlItem& item);
Cut read_cut(const TomlItem& item);
Hold read_hold(const TomlItem& item);
Survey read_survey(const TomlItem& item);

SpeedSettings read_speeds(const TomlTable& table, const SpeedSettings& otherwise);
/// The keys of read_speeds after `keys`.
std::vector<std::string_view> with_speed_keys(std::vector<std::string_view> keys);
/// [cycle] without its steps; `seats` to expand the grids of `each`.
CycleEntry read_cycle(const TomlItem& item, const std::vector<Seat>& seats);
/// `number` from 1: a step without a name is "pick 2" if it is the second of all steps.
Step read_step(const TomlItem& item, std::size_t number, const SpeedSettings& cycle_speeds);

/// After reading: every name given once, every name used there and of the right sort, no loops of frames.
void check_names(const Cell& cell, Reading& reading);

/// After the names: what the file states must have an effect, or the reader says that it has none.
void check_effects(const Cell& cell, Reading& reading);

/// And after that: surveys of a size that can be proved, that cross two different things.
void check_surveys(const Cell& cell, Reading& reading);

}  // namespace cellproof
