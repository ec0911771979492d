// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/forces/contact_forces.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

namespace cellproof {

namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();
constexpr double rounding = 1e-11;
constexpr double shifted = 1e-8;  // more than what the shift of the constant load can add, see below

constexpr int most_rows = 6 + static_cast<int>(Contacts::most_tips);
using Entries = Eigen::Matrix<double, Eigen::Dynamic, 1, 0, most_rows, 1>;
using Square = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, 0, most_rows, most_rows>;

/// Contacts and constant load about the rests' middle, with lengths and forces near 1.
struct Scaled {
  Vector3d origin = Vector3d::Zero();
  double length = 1, force = 1, friction = 0;
  std::vector<Vector2d> rests;
  std::vector<Vector3d> tips;
  std::vector<double> grips;
  Wrench constant = Wrench::Zero();

  Wrench seen(const Wrench& wrench) const {
    const Vector3d push = wrench.head<3>(), turn = wrench.tail<3>() - origin.cross(push);
    Wrench scaled;
    scaled << push / force, turn / (force * length);
    return scaled;
  }
};

Scaled scaled_of(const Contacts& contacts, const Wrench& constant) {
  Scaled all;
  for (const Vector2d& rest : contacts.rests) all.origin.head<2>() += rest / static_cast<double>(contacts.rests.size());
  double furthest = 0;
  for (const Vector2d& rest : contacts.rests) furthest = std::max(furthest, (rest - all.origin.head<2>()).norm());
  for (const Vector3d& tip : contacts.tips) furthest = std::max(furthest, (tip - all.origin).norm());
  if (furthest > 0) all.length = furthest;
  const Vector3d push = constant.head<3>(), turn = constant.tail<3>() - all.origin.cross(push);
  const double size = push.norm() + turn.norm() / all.length;
  if (size > 0) all.force = size;
  for (const Vector2d& rest : contacts.rests) all.rests.emplace_back((rest - all.origin.head<2>()) / all.length);
  for (const Vector3d& tip : contacts.tips) all.tips.emplace_back((tip - all.origin) / all.length);
  for (const double grip : contacts.grips) all.grips.push_back(grip / all.force);
  all.friction = contacts.friction;
  all.constant = all.seen(constant);
  return all;
}

/// The velocity in xy of a point of a part that moves.
Vector2d sliding(const Entries& motion, const Vector3d& at) {
  return {motion[0] + motion[4] * at.z() - motion[5] * at.y(), motion[1] - motion[3] * at.z() + motion[5] * at.x()};
}

Vector2d against(const Vector2d& velocity) {
  const double size = velocity.norm();
  return size > 0 ? Vector2d(-velocity / size) : Vector2d::UnitX();
}

enum class Source { left_over, rest, tip, unused_grip, load };

struct Column {
  Source source = Source::left_over;
  std::size_t which = 0;
  Entries entries;
};

}  // namespace

Wrench wrench_of(const Vector3d& force, const Vector3d& at) {
  Wrench wrench;
  wrench << force, at.cross(force);
  return wrench;
}

/// The revised simplex method. Rows: balance of force and moment, then one a tip, which has no more than its grip.
class HeldLoads::Programme {
 public:
  explicit Programme(const Scaled& scaled) : in_(&scaled), values_(6 + static_cast<long>(scaled.tips.size())) {
    const Eigen::Index rows = values_.size();
    values_ << -scaled.constant, Entries::Ones(rows - 6);
    for (Eigen::Index row = 0; row < rows; ++row) {
      // Far less than the rounding of any figure, and no two rows ever come to 0 together.
      if (row < 6) values_[row] += (values_[row] < 0 ? -1e-10 : 1e-10) * static_cast<double>(row + 1);
      Column column{row < 6 ? Source::left_over : Source::unused_grip, 0, Entries::Zero(rows)};
      column.entries[row] = values_[row] < 0 ? -1 : 1;
      basis_.push_back(std::move(column));
    }
    invert();
  }

  /// True if the constant load is balanced.
  bool balance_constant() {
    improve(infinity);
    return left_over() <= 1e-8;
  }

  HeldMultiple raise(const Wrench& load, double enough) {
    load_ = load;
    const bool bounded = improve(enough);
    HeldMultiple held;
    held.factor = bounded ? multiple() : infinity;
    held.reactions.assign(in_->rests.size(), Vector3d::Zero());
    for (std::size_t row = 0; row < basis_.size(); ++row)
      if (basis_[row].source == Source::rest)
        held.reactions[basis_[row].which] += at_(row) * basis_[row].entries.head<3>();
    held.motion = price_.head<6>();
    return held;
  }

 private:
  double at_(std::size_t row) const { return basic_[static_cast<Eigen::Index>(row)]; }

  double sum_of(Source source) const {
    double sum = 0;
    for (std::size_t row = 0; row < basis_.size(); ++row)
      if (basis_[row].source == source) sum += std::abs(at_(row));
    return sum;
  }
  double left_over() const { return sum_of(Source::left_over); }
  double multiple() const { return sum_of(Source::load); }

  void invert() {
    const auto rows = static_cast<Eigen::Index>(basis_.size());
    Square all(rows, rows);
    for (Eigen::Index row = 0; row < rows; ++row) all.col(row) = basis_[static_cast<unsigned>(row)].entries;
    inverse_ = all.inverse();
    basic_ = inverse_ * values_;
  }

  void put_prices() {
    Entries worth = Entries::Zero(values_.size());
    for (std::size_t row = 0; row < basis_.size(); ++row) {
      if (!load_ && basis_[row].source == Source::left_over) worth[static_cast<Eigen::Index>(row)] = -1;
      if (basis_[row].source == Source::load) worth[static_cast<Eigen::Index>(row)] = 1;
    }
    price_ = inverse_.transpose() * worth;
  }

  Column rest_column(std::size_t which) const {
    const Vector3d at(in_->rests[which].x(), in_->rests[which].y(), 0);
    const Vector2d rub = in_->friction * against(sliding(price_, at));
    Column column{Source::rest, which, Entries::Zero(values_.size())};
    column.entries.head<6>() = wrench_of({rub.x(), rub.y(), 1}, at);
    return column;
  }
  Column tip_column(std::size_t which) const {
    const Vector2d rub = in_->grips[which] * against(sliding(price_, in_->tips[which]));
    Column column{Source::tip, which, Entries::Zero(values_.size())};
    column.entries.head<6>() = wrench_of({rub.x(), rub.y(), 0}, in_->tips[which]);
    column.entries[6 + static_cast<Eigen::Index>(which)] = 1;
    return column;
  }
  Column unused_column(std::size_t which) const {
    Column column{Source::unused_grip, which, Entries::Zero(values_.size())};
    column.entries[6 + static_cast<Eigen::Index>(which)] = 1;
    return column;
  }
  Column load_column() const {
    Column column{Source::load, 0, Entries::Zero(values_.size())};
    column.entries.head<6>() = *load_;
    return column;
  }

  double gain_of_rest(std::size_t which) const {
    const Vector2d& at = in_->rests[which];
    const double off = price_[2] + price_[3] * at.y() - price_[4] * at.x();
    return in_->friction * sliding(price_, {at.x(), at.y(), 0}).norm() - off;
  }
  double gain_of_tip(std::size_t which) const {
    return in_->grips[which] * sliding(price_, in_->tips[which]).norm() - price_[6 + static_cast<Eigen::Index>(which)];
  }

  /// The column that gains most for each unit; nothing where none gains what counts.
  std::optional<Column> entering() const {
    double most = load_ ? 1e-5 * multiple() / (1 + multiple()) + 1e-12 : 1e-10;
    std::optional<Column> best;
    const auto take = [&](double gain, const auto& make) {
      if (gain <= most) return;
      most = gain;
      best = make();
    };
    if (load_) take(1 - price_.head<6>().dot(*load_), [&] { return load_column(); });
    for (std::size_t i = 0; i < in_->rests.size(); ++i) take(gain_of_rest(i), [&] { return rest_column(i); });
    for (std::size_t i = 0; i < in_->tips.size(); ++i) {
      take(gain_of_tip(i), [&] { return tip_column(i); });
      take(-price_[6 + static_cast<Eigen::Index>(i)], [&] { return unused_column(i); });
    }
    return best;
  }

  /// The row that comes to 0 first along `way`; nothing if none ever does.
  std::optional<Eigen::Index> leaving(const Entries& way) const {
    std::optional<Eigen::Index> leaves;
    double least = infinity;
    for (Eigen::Index row = 0; row < way.size(); ++row) {
      const bool stays_zero = load_ && basis_[static_cast<unsigned>(row)].source == Source::left_over;
      if (!(stays_zero ? std::abs(way[row]) > 1e-9 : way[row] > rounding)) continue;
      const double share = stays_zero ? 0 : std::max(0.0, basic_[row]) / way[row];
      if (share > least || (share == least && std::abs(way[row]) <= std::abs(way[*leaves]))) continue;
      least = share;
      leaves = row;
    }
    return leaves;
  }

  void exchange(Eigen::Index row, Column column, const Entries& way) {
    inverse_.row(row) /= way[row];
    const double value = basic_[row] / way[row];
    for (Eigen::Index other = 0; other < way.size(); ++other)
      if (other != row) {
        inverse_.row(other) -= way[other] * inverse_.row(row);
        basic_[other] -= way[other] * value;
      }
    basic_[row] = value;
    basis_[static_cast<unsigned>(row)] = std::move(column);
  }

  /// False if there is no bound.
  bool improve(double enough) {
    constexpr int most = 400, between_inversions = 24;
    for (int turn = 1; turn <= most; ++turn) {
      if (turn % between_inversions == 0) invert();
      put_prices();
      if (load_ && multiple() >= enough) return true;
      auto column = entering();
      if (!column) return true;
      const Entries way = inverse_ * column->entries;
      const auto leaves = leaving(way);
      if (!leaves) return false;
      exchange(*leaves, std::move(*column), way);
    }
    return true;
  }

  const Scaled* in_;
  std::optional<Wrench> load_;
  std::vector<Column> basis_;
  Square inverse_;
  Entries values_, basic_, price_;
};

struct HeldLoads::Start {
  explicit Start(const Contacts& contacts, const Wrench& constant)
      : scaled(scaled_of(contacts, constant)), programme(scaled), balanced(programme.balance_constant()) {}
  Scaled scaled;
  Programme programme;
  bool balanced;
};

HeldLoads::HeldLoads(const Contacts& contacts, const Wrench& constant)
    : start_(std::make_unique<const Start>(contacts, constant)) {}
HeldLoads::~HeldLoads() = default;

bool HeldLoads::holds_constant() const {
  return start_->balanced;
}

HeldMultiple HeldLoads::greatest(const Wrench& load, double enough) const {
  HeldMultiple held;
  if (!start_->balanced) return held.factor = -1, held;
  const Scaled& scaled = start_->scaled;
  const Wrench seen = scaled.seen(load);
  const double size = seen.norm();
  if (!(size > 0)) return held.factor = infinity, held;
  Programme programme = start_->programme;
  held = programme.raise(seen / size, enough * size);
  held.factor *= (1 - shifted) / size;
  for (Vector3d& reaction : held.reactions) reaction *= scaled.force;
  const Vector3d turning = held.motion.tail<3>() / scaled.length;
  held.motion << held.motion.head<3>() - turning.cross(scaled.origin), turning;
  return held;
}

HeldMultiple held_multiple(const Contacts& contacts, const Wrench& constant, const Wrench& load, double enough) {
  return HeldLoads(contacts, constant).greatest(load, enough);
}

}  // namespace cellproof
