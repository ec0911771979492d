// SPDX-License-Identifier: GPL-3.0-or-later
// The window under a user's hands: real clicks, keys and wheel on every control, on two demo cells. Where a drawing
// takes long, the library's panels still lose a click now and then that comes right after much has changed, so it asks
// for a machine with nothing else to do and runs with `./dev test --long` only.
#include <algorithm>
#include <cmath>
#include <set>

#include "tests/commands/screen.hpp"

using namespace cellproof_commands;
using nlohmann::json;

namespace {

const fs::path models = fs::path(CELLPROOF_SOURCE_DIR) / "models";

int rounds() {
  return std::getenv("CELLPROOF_LONG") ? 20 : 1;
}

double joints_apart(const json& a, const json& b) {
  double most = 0;
  for (int i = 0; i < 6; ++i)
    most = std::max(most, std::abs(a["joints"][i].get<double>() - b["joints"][i].get<double>()));
  return most;
}

long pixels_apart(const std::vector<std::uint32_t>& a, const std::vector<std::uint32_t>& b) {
  REQUIRE(a.size() == b.size());
  long count = 0;
  for (std::size_t i = 0; i < a.size(); ++i) count += a[i] != b[i] ? 1 : 0;
  return count;
}

json proved(OpenWindow& window) {
  return window.await(
      "the cell is proved", [](const json& now) { return now["verdict"] == "pass" || now["verdict"] == "fail"; }, 120);
}

bool differs(const json& now, const json& before, const char* key) {
  return now[key] != before[key];
}

/// The played time passes as the clock's does, the arm moves, and what the screen shows moves with it.
void play_and_pause(OpenWindow& window) {
  window.press("fit");
  const Place view = window.place_of("view");
  window.hand("key Home");
  window.await("the home key goes to the start", [](const json& now) { return now["time_s"] == 0; });
  window.press("play");
  const json begun = window.await("it plays", [](const json& now) { return now["playing"] == true; });
  const auto clock = std::chrono::steady_clock::now();
  rest(0.5);
  const auto early = window.screen().pixels(view);
  const double from_s = begun["time_s"];
  const json later = window.await("two seconds are played",
                                  [&](const json& now) { return now["time_s"].get<double>() >= from_s + 2; });
  const double passed_s = std::chrono::duration<double>(std::chrono::steady_clock::now() - clock).count();
  CHECK(later["playing"] == true);
  CHECK(passed_s > 1.5);  // no faster than the clock, but for the drawing that was under way
  CHECK(passed_s < 6);
  CHECK(joints_apart(begun, later) > 0.5);  // deg
  CHECK(pixels_apart(early, window.screen().pixels(view)) > 500);
  window.press("play");
  const json paused = window.await("it is paused", [](const json& now) { return now["playing"] == false; });
  rest(1);
  CHECK(window.shown()["time_s"] == paused["time_s"]);
  window.hand("key space");
  window.await("the space bar plays", [](const json& now) { return now["playing"] == true; });
  window.hand("key space");
  window.await("and pauses", [](const json& now) { return now["playing"] == false; });
}

void go_along_the_line(OpenWindow& window) {
  const Place strip = window.place_of("strip");
  const int row = strip.row(0.85);
  const auto time_of = [](const json& now) { return now["time_s"].get<double>(); };
  window.hand("key End");
  window.await("the end key goes to the end", [&](const json& now) { return now["time_s"] == now["duration_s"]; });
  window.hand("key Home");
  window.await("the home key goes to the start", [&](const json& now) { return now["time_s"] == 0; });
  window.press_at(strip.column(0.3), row);
  const double at_third_s =
      time_of(window.await("the line of time is pressed", [&](const json& now) { return time_of(now) > 0.5; }));
  window.drag(strip.column(0.3), row, strip.width / 3, 0);
  window.await("it is dragged along", [&](const json& now) { return time_of(now) > at_third_s + 0.5; });
  const double dragged_s = time_of(window.settled());
  window.hand("key Right");
  window.await("the right key goes on", [&](const json& now) { return time_of(now) > dragged_s; });
  const double nudged_s = time_of(window.settled());
  window.hand("key Left");
  window.await("the left key goes back", [&](const json& now) { return time_of(now) < nudged_s; });
}

void look_about(OpenWindow& window) {
  for (const char* side : {"Front", "Back", "Left", "Right", "Top", "Quarter"}) {
    const json before = window.shown();
    window.press(side);
    window.await(side, [&](const json& now) { return differs(now, before, "eye"); });
  }
  const Place view = window.place_of("view");
  const int column = view.column(0.5), row = view.row(0.5);
  const auto eye_moves = [&](const std::string& what, const std::function<void()>& act) {
    const json before = window.shown();
    act();
    window.await(what, [&](const json& now) { return differs(now, before, "eye"); });
  };
  eye_moves("a drag turns", [&] { window.drag(column, row, 120, 40); });
  eye_moves("a drag with the right button shifts", [&] { window.drag(column, row, -80, 30, 3); });
  eye_moves("the wheel goes nearer", [&] { window.hand(fmt::format("mousemove {} {} click 4", column, row)); });
  eye_moves("and further", [&] { window.hand("click 5"); });
  eye_moves("f fits", [&] { window.hand("key f"); });
}

void open_lists(OpenWindow& window, bool several_runs) {
  window.choose("unit", 1);
  window.await("inches", [](const json& now) { return now["unit"] == "in"; });
  window.choose("unit", 0);
  window.await("millimetres", [](const json& now) { return now["unit"] == "mm"; });
  const json before = window.shown();
  window.choose("run", several_runs ? 2 : 0);
  if (several_runs) window.await("another run", [&](const json& now) { return differs(now, before, "run"); });
  // Opened and left without a choice: a press elsewhere shuts it.
  const OpenWindow::OpenList list = window.open_list("run");
  const Place view = window.place_of("view");
  window.press_at(view.column(0.5), view.row(0.9));
  window.await_shut(list);
}

/// The arm has one colour in the window, in pictures and on the page: of any lightness, but of one hue.
void find_arm_in_its_colour(OpenWindow& window) {
  constexpr std::array<double, 3> arm{0.93, 0.68, 0.24};  // viewer/pictures/palette.hpp
  const double length = std::hypot(arm[0], arm[1], arm[2]);
  window.press("Quarter");
  rest(1.5);
  long count = 0;
  for (const std::uint32_t pixel : window.screen().pixels(window.place_of("view"))) {
    const std::array<double, 3> seen{double(pixel >> 16 & 255), double(pixel >> 8 & 255), double(pixel & 255)};
    const double light = std::hypot(seen[0], seen[1], seen[2]);
    const double along = (seen[0] * arm[0] + seen[1] * arm[1] + seen[2] * arm[2]) / length;
    count += light > 60 && along > 0.9985 * light ? 1 : 0;
  }
  CHECK(count > 2000);
}

/// What the pointer rests on is named: along a line across the view's middle there is something in any cell.
void point_at_bodies(OpenWindow& window) {
  const Place view = window.place_of("view");
  std::set<std::string> names;
  constexpr std::size_t enough = 3;
  const auto wait = [&](bool for_none) {
    for (int i = 0; i < 40 && window.shown()["labels"].empty() != for_none; ++i) rest(0.25);
  };
  for (double share = 0.3; share < 0.7 && names.size() < enough; share += 0.04) {
    window.hand(fmt::format("mousemove {} {}", view.column(share), view.row(0.5)));
    wait(false);
    const json now = window.shown();
    for (const auto& name : now["labels"]) names.insert(name.get<std::string>());
    window.hand(fmt::format("mousemove {} {}", view.column(0.5), view.top - 10));
    wait(true);
  }
  INFO("named: " << json(names).dump());
  CHECK(names.size() >= enough);
}

void go_to_findings(OpenWindow& window) {
  const json before = window.shown();
  const int count = before["findings"];
  if (count == 0) return;
  window.press("next");
  const json at_first = window.await("the first finding", [](const json& now) { return now["finding"] == 0; });
  CHECK_FALSE(at_first["labels"].empty());
  window.press("Front");
  window.await("labels go when the view changes", [](const json& now) { return now["labels"].empty(); });
  window.press("previous");
  window.await("the last finding", [&](const json& now) { return now["finding"] == count - 1; });
  const Place cards = window.place_of("cards");
  window.press_at(cards.column(0.5), cards.top + 30);
  window.await("the first card", [](const json& now) { return now["finding"] == 0; });
  window.hand(fmt::format("mousemove {} {} click 5 click 5 click 4 click 4", cards.column(0.5), cards.row(0.5)));
  window.hand("key n");
  window.await("n goes on", [&](const json& now) { return now["finding"] == 1 % count; });
  window.hand("key b");
  window.await("b goes back", [](const json& now) { return now["finding"] == 0; });
}

void show_and_hide(OpenWindow& window, const std::string& body) {
  window.press("Bodies");
  window.await("the page of bodies", [](const json& now) { return now["page"] == "bodies"; });
  for (const char* sign : {"show zones", "show seats", "show frames and tcps", "show what cameras see, and targets"}) {
    window.press(sign);
    window.press(sign);
  }
  const auto among = [](const json& names, const std::string& name) {
    return std::find(names.begin(), names.end(), name) != names.end();
  };
  const bool through = among(window.shown()["see_through"], body);
  window.press("show " + body);
  window.await("it is hidden", [&](const json& now) { return among(now["hidden"], body); });
  window.press("show " + body);
  window.await("it is shown", [&](const json& now) { return !among(now["hidden"], body); });
  window.press("see through " + body);
  window.await("it is seen through", [&](const json& now) { return among(now["see_through"], body) != through; });
  window.press("see through " + body);
  window.await("no longer", [&](const json& now) { return among(now["see_through"], body) == through; });
  const Place whole_arm = window.place_of("show all: arm");
  const auto press_box = [&] { window.press_at(whole_arm.left + 10, whole_arm.row(0.5)); };
  press_box();
  window.await("the arm is hidden", [](const json& now) { return now["hidden"].size() > 2; });
  press_box();
  window.await("the arm is shown", [](const json& now) { return now["hidden"].empty(); });
  const Place list = window.place_of("show all: arm");
  window.hand(fmt::format("mousemove {} {} click --repeat 20 5 click --repeat 20 4", list.left, list.top));
}

void move_something(OpenWindow& window, int mover) {
  window.press("Move & measure");
  window.await("the page of moving", [](const json& now) { return now["page"] == "move"; });
  window.choose("mover", mover);
  window.hand(fmt::format("{} key ctrl+a type --args 1 12.5 key Return {}", window.press_words("x"),
                          window.press_words("prove here")));
  const json moved = window.await(
      "it is proved there",
      [](const json& now) {
        return now["placement_proved"] == true && !now["mover"].get<std::string>().empty() &&
               (now["verdict"] == "pass" || now["verdict"] == "fail");
      },
      120);
  CHECK(moved["offset"][0].get<double>() == Approx(12.5));
  window.press("put back");
  window.await(
      "it is back",
      [](const json& now) { return now["mover"] == "" && (now["verdict"] == "pass" || now["verdict"] == "fail"); },
      120);
}

void measure_and_drag(OpenWindow& window) {
  window.press("fit");
  window.press("ruler");
  const Place view = window.place_of("view");
  // Somewhere in the middle of the picture there is something to measure, whatever the cell.
  for (const double share : {0.5, 0.55, 0.45, 0.6, 0.4}) {
    window.press_at(view.column(share), view.row(0.5));
    if (!window.shown()["ruler"].get<std::string>().empty()) break;
  }
  window.await("two points are measured", [](const json& now) { return !now["ruler"].get<std::string>().empty(); });
  window.press("ruler");
  window.press("drag");
  window.drag(view.column(0.5), view.row(0.6), 8, 2);  // far off it would be minutes until no way is found
  rest(1);
  proved(window);
  window.press("drag");
  window.press("put back");
  proved(window);
}

void resize(OpenWindow& window) {
  const Place whole = window.place_of("view");
  const auto size = [&](int width, int height) {
    window.hand(fmt::format("search --name 'cellproof: the cell' windowsize --sync {} {}", width, height));
  };
  for (const auto& [width, height] : {std::array{1000, 640}, std::array{700, 480}, std::array{1280, 800}}) {
    size(width, height);
    window.await("the view follows the window's size", [&, w = width](const json& now) {
      const auto& view = now["controls"]["view"];
      return view[0].get<int>() + view[2].get<int>() < w;
    });
  }
  window.await("it is as it was", [&](const json& now) { return now["controls"]["view"][2] == whole.width; });
}

void handle_everything(const fs::path& cell, const std::string& body, bool several_runs) {
  const Folder folder;
  const TestScreen screen(folder);
  OpenWindow window(screen, folder, models / cell);
  proved(window);
  for (int round = 0; round < rounds(); ++round) {
    INFO("round " << round);
    play_and_pause(window);
    go_along_the_line(window);
    look_about(window);
    find_arm_in_its_colour(window);
    point_at_bodies(window);
    open_lists(window, several_runs);
    go_to_findings(window);
    show_and_hide(window, body);
    move_something(window, 2);
    measure_and_drag(window);
    resize(window);
    window.press("Findings");
    window.await("the page of findings", [](const json& now) { return now["page"] == "findings"; });
  }
  CHECK(window.close() == 0);
}

}  // namespace

TEST_CASE("every control of the window works under real clicks and keys on the board cell and it plays", "[.hand]") {
  handle_everything("board-cell/as-drawn.toml", "wrist camera body", true);
}

TEST_CASE("every control of the window works under real clicks and keys on the flange cell and it plays", "[.hand]") {
  handle_everything("flange-cell/as-drawn.toml", "gripper body", false);
}
