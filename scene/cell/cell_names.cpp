// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <map>

#include <fmt/format.h>

#include "scene/cell/cell_tables.hpp"
#include "scene/cell/frame_names.hpp"
#include "scene/cell/frame_rides.hpp"

namespace cellproof {
namespace {

std::string_view word_for(Sort sort) {
  static constexpr std::string_view words[] = {"body",   "seat",   "part", "tcp",  "suction zone", "vacuum", "jaw",
                                               "camera", "target", "zone", "hold", "survey",       "step"};
  return words[static_cast<std::size_t>(sort)];
}

/// What may stand where a name is wanted.
struct Fitting {
  std::string_view noun;
  std::vector<Sort> sorts;
  std::vector<std::string_view> words;
  bool slots = false;
};

Fitting fitting_for(Wanted wanted) {
  static const std::vector<Sort> frame_sorts = {Sort::body, Sort::seat, Sort::part, Sort::tcp};
  static const std::vector<std::string_view> frame_words = {"world", "base",  "link1", "link2", "link3",
                                                            "link4", "link5", "link6", "flange"};
  switch (wanted) {
    case Wanted::frame:
      return {"frame", frame_sorts, frame_words, true};
    case Wanted::frame_off_arm:
      return {"frame", frame_sorts, frame_words, true};
    case Wanted::hand_frame:
      return {"frame", frame_sorts, frame_words, false};
    case Wanted::seat:
      return {"seat", {Sort::seat}, {}, true};
    case Wanted::body:
      return {"body", {Sort::body}, {}};
    case Wanted::body_off_arm:
      return {"body", {Sort::body}, {}};
    case Wanted::end_effector_body:
      return {"body", {Sort::body}, {}};
    case Wanted::arm_stand:
      return {"body", {Sort::body}, {"world"}};
    case Wanted::part:
      return {"part", {Sort::part}, {}};
    case Wanted::part_or_none:
      return {"part", {Sort::part}, {"none"}};
    case Wanted::tcp:
      return {"tcp", {Sort::tcp}, {}};
    case Wanted::suction:
      return {"suction zone", {Sort::suction}, {}};
    case Wanted::supply:
      return {"[[vacuum]]", {Sort::supply}, {}};
    case Wanted::jaw:
      return {"jaw", {Sort::jaw}, {}};
    case Wanted::camera:
      return {"camera", {Sort::camera}, {}};
    case Wanted::target:
      return {"target", {Sort::target}, {}};
    case Wanted::zone:
      return {"zone", {Sort::zone}, {}};
    case Wanted::hold:
      return {"hold", {Sort::hold}, {}};
    case Wanted::grasp:
      return {"grasp", {}, {}};
    case Wanted::survey:
      return {"survey", {Sort::survey}, {}};
    case Wanted::survey_mover:
      return {"body", {Sort::body}, {"base"}};
    case Wanted::holder:
      return {"suction zone, jaw, tcp or hold", {Sort::suction, Sort::jaw, Sort::tcp, Sort::hold}, {}};
    case Wanted::pair_member:
      return {"body or part", {Sort::body, Sort::part}, {"arm", "end effector", "surroundings"}};
  }
  return {};
}

class NameCheck {
 public:
  NameCheck(const Cell& cell, Reading& reading) : cell_(cell), reading_(reading), rides_(frame_rides(cell)) {}

  void run() {
    NameBook& book = reading_.names;
    const auto by_line = [](const auto& a, const auto& b) { return a.where.line < b.where.line; };
    std::stable_sort(book.given.begin(), book.given.end(), by_line);
    std::stable_sort(book.used.begin(), book.used.end(), by_line);
    for (const GivenName& given : book.given) enter(given);
    for (const UsedName& used : book.used) check_there(used);
    if (reading_.failed()) return;
    check_loops();
    if (reading_.failed()) return;
    for (const UsedName& used : book.used) check_riding(used);
  }

 private:
  void enter(const GivenName& given) {
    check_word(given);
    for (const std::string& name : spelled_out(given)) {
      const auto [there, is_new] = known_.emplace(name, given);
      if (!is_new)
        reading_.fail(given.where,
                      fmt::format("the name \"{}\" is already that of the {} in line {}", name,
                                  word_for(there->second.sort), there->second.where.line),
                      "give one of them another name");
    }
  }

  void check_word(const GivenName& given) {
    if (is_reserved(given.name))
      reading_.fail(given.where, fmt::format("\"{}\" is a word with a meaning of its own", given.name),
                    "choose another name");
    if (is_slot(given.name))
      reading_.fail(given.where, fmt::format("\"{}\" begins with @, as only slots of each do", given.name),
                    "choose a name without @ in front");
  }

  /// A grid has its own name and one for each seat.
  std::vector<std::string> spelled_out(const GivenName& given) const {
    std::vector<std::string> names = {given.name};
    if (given.sort != Sort::seat) return names;
    for (const Seat& seat : cell_.seats)
      if (seat.grid && seat.name == given.name && seat.origin.key + ".name" == given.where.key)
        for (std::string& name : seat_names(seat)) names.push_back(std::move(name));
    return names;
  }

  bool is_given_slot(const std::string& name) const {
    if (!cell_.cycle) return false;
    const auto& each = cell_.cycle->each;
    return std::any_of(each.begin(), each.end(), [&](const Each& one) { return one.slot == name; });
  }

  void check_there(const UsedName& used) {
    if (used.wanted == Wanted::grasp) return check_grasp(used);
    const Fitting fitting = fitting_for(used.wanted);
    if (is_slot(used.name)) return check_slot(used, fitting);
    if (std::find(fitting.words.begin(), fitting.words.end(), used.name) != fitting.words.end()) return;
    const auto found = known_.find(used.name);
    if (found == known_.end())
      reading_.fail(used.where, fmt::format("there is no {} \"{}\"", fitting.noun, used.name),
                    hint(used.name, fitting));
    else if (std::find(fitting.sorts.begin(), fitting.sorts.end(), found->second.sort) == fitting.sorts.end())
      reading_.fail(
          used.where,
          fmt::format("\"{}\" is a {} where a {} is wanted", used.name, word_for(found->second.sort), fitting.noun),
          hint(used.name, fitting));
  }

  void check_slot(const UsedName& used, const Fitting& fitting) {
    if (!fitting.slots)
      reading_.fail(used.where, fmt::format("\"{}\" is a slot, which stands only in seat, on and frame", used.name),
                    fmt::format("name a {}", fitting.noun));
    else if (!is_given_slot(used.name))
      reading_.fail(used.where, fmt::format("there is no slot \"{}\"", used.name),
                    fmt::format("add it to the cycle: each = {{ \"{}\" = … }}", used.name));
  }

  void check_grasp(const UsedName& used) {
    const auto part = std::find_if(cell_.parts.begin(), cell_.parts.end(),
                                   [&](const Part& candidate) { return candidate.name == used.of; });
    if (part == cell_.parts.end()) return;  // the part's own name is reported
    std::vector<std::string_view> names;
    for (const Grasp& grasp : part->grasps) names.push_back(grasp.name);
    if (std::find(names.begin(), names.end(), used.name) != names.end()) return;
    reading_.fail(used.where, fmt::format("the part \"{}\" has no grasp \"{}\"", used.of, used.name),
                  suggestion(used.name, names, fmt::format("add it to the grasps of \"{}\"", used.of)));
  }

  std::string hint(const std::string& name, const Fitting& fitting) const {
    std::vector<std::string_view> names = fitting.words;
    for (const auto& [known, given] : known_)
      if (std::find(fitting.sorts.begin(), fitting.sorts.end(), given.sort) != fitting.sorts.end())
        names.push_back(known);
    return suggestion(name, names, fmt::format("add a {} of that name", fitting.noun));
  }

  static std::string suggestion(const std::string& name, const std::vector<std::string_view>& names,
                                const std::string& otherwise) {
    constexpr std::size_t most_listed = 12;
    const std::string near = nearest_word(name, names);
    if (!near.empty()) return fmt::format("did you mean \"{}\"?", near);
    if (names.empty() || names.size() > most_listed) return otherwise;
    return fmt::format("use one of: {}", fmt::join(names, ", "));
  }

  /// Loops are told at the first of the file's lines that is part of one.
  void check_loops() {
    check_loop("base", cell_.arm.origin, ".on");
    for (const GivenName& given : reading_.names.given) {
      if (given.sort != Sort::body && given.sort != Sort::seat && given.sort != Sort::part && given.sort != Sort::tcp)
        continue;
      Origin entry = given.where;  // "body "a".name" of the entry "body "a""
      entry.key.resize(entry.key.size() - std::string_view(".name").size());
      check_loop(given.name, entry, given.sort == Sort::part ? ".seat" : ".on");
    }
  }

  void check_loop(const std::string& frame, const Origin& entry, std::string_view riding_key) {
    const auto loop = loop_through(rides_, frame);
    if (loop.empty()) return;
    Origin where{entry.line, entry.key + std::string(riding_key)};
    for (const UsedName& used : reading_.names.used)
      if (used.where.key == where.key) where.line = used.where.line;
    reading_.fail(where, fmt::format("goes round in a loop: {}", fmt::join(loop, " on ")),
                  "let one of them ride on something else");
  }

  void check_riding(const UsedName& used) {
    const bool on_arm = rides_on(rides_, used.name, "base");
    const bool on_flange = rides_on(rides_, used.name, "flange");
    switch (used.wanted) {
      case Wanted::frame_off_arm:
        if (rides_on(rides_, used.name, "link1"))
          reading_.fail(used.where, fmt::format("\"{}\" rides on the arm, so a line in it has no fixed end", used.name),
                        "use a frame that the arm does not move: world, base, a seat, a body");
        break;
      case Wanted::body_off_arm:
      case Wanted::survey_mover:
        if (on_arm && used.name != "base")
          reading_.fail(used.where, fmt::format("\"{}\" rides on the arm", used.name),
                        "name a body that the arm does not carry");
        break;
      case Wanted::end_effector_body:
        if (!on_flange)
          reading_.fail(used.where, fmt::format("\"{}\" is not part of the end effector", used.name),
                        "name bodies that ride on the flange or a tcp");
        break;
      case Wanted::hand_frame:
        if (!on_flange)
          reading_.fail(used.where, fmt::format("\"{}\" does not ride on the flange", used.name),
                        "put the tcp on the flange or on a body that rides on it");
        break;
      case Wanted::seat:
        check_seat_riding(used);
        break;
      default:
        break;
    }
  }

  void check_seat_riding(const UsedName& used) {
    if (used.of.empty() || !rides_on(rides_, used.name, used.of)) return;
    reading_.fail(used.where, fmt::format("the seat \"{}\" rides on the part \"{}\" itself", used.name, used.of),
                  "name a seat on something else");
  }

  const Cell& cell_;
  Reading& reading_;
  FrameRides rides_;
  std::map<std::string, GivenName, std::less<>> known_;
};

}  // namespace

void check_names(const Cell& cell, Reading& reading) {
  NameCheck(cell, reading).run();
}

}  // namespace cellproof
