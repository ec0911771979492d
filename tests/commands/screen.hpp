// SPDX-License-Identifier: GPL-3.0-or-later
// A display of its own (Xvfb, software graphics), with a mouse and keys (xdotool), and the window on it.
#pragma once

#include <array>
#include <chrono>
#include <csignal>
#include <functional>
#include <memory>
#include <thread>

#include <X11/Xlib.h>
#include <X11/Xutil.h>
#include <fcntl.h>

#include "tests/commands/program.hpp"

namespace cellproof_commands {

inline void rest(double seconds) {
  std::this_thread::sleep_for(std::chrono::duration<double>(seconds));
}

/// A program that runs beside the test, ended with it.
class Child {
 public:
  /// `out` takes its standard output and errors; `display` may be empty.
  Child(const std::vector<std::string>& words, const fs::path& out, const std::string& display) {
    std::vector<char*> arguments;
    for (const auto& word : words) arguments.push_back(const_cast<char*>(word.c_str()));
    arguments.push_back(nullptr);
    id_ = fork();
    REQUIRE(id_ >= 0);
    if (id_ > 0) return;
    const int file = open(out.c_str(), O_CREAT | O_WRONLY | O_TRUNC, 0600);
    dup2(file, STDOUT_FILENO);
    dup2(file, STDERR_FILENO);
    if (!display.empty()) setenv("DISPLAY", display.c_str(), 1);
    execvp(arguments.front(), arguments.data());
    _exit(127);
  }
  Child(const Child&) = delete;
  Child& operator=(const Child&) = delete;
  ~Child() {
    if (!running()) return;
    kill(id_, SIGKILL);
    waitpid(id_, &status_, 0);
  }

  bool running() {
    if (!ended_) ended_ = waitpid(id_, &status_, WNOHANG) == id_;
    return !ended_;
  }
  /// -1 after a signal.
  int exit_status() const { return WIFEXITED(status_) ? WEXITSTATUS(status_) : -1; }

 private:
  pid_t id_ = -1;
  int status_ = 0;
  bool ended_ = false;
};

/// A rectangle of the screen in pixels.
struct Place {
  int left = 0, top = 0, width = 0, height = 0;
  int column(double share) const { return left + static_cast<int>(share * width); }
  int row(double share) const { return top + static_cast<int>(share * height); }
};

class TestScreen {
 public:
  explicit TestScreen(const Folder& folder) {
    const fs::path told = folder / "display.txt";
    server_ = std::make_unique<Child>(std::vector<std::string>{"sh", "-c",
                                                               fmt::format("exec Xvfb -displayfd 6 -screen 0 "
                                                                           "1280x800x24 6>{}",
                                                                           quoted(told.string()))},
                                      folder / "server.txt", "");
    for (int i = 0; i < 400 && content_of_or_nothing(told).find('\n') == std::string::npos; ++i) rest(0.05);
    const std::string number = content_of_or_nothing(told);
    REQUIRE(number.find('\n') != std::string::npos);
    name_ = ":" + number.substr(0, number.find('\n'));
    display_.reset(XOpenDisplay(name_.c_str()));
    REQUIRE(display_);
  }

  const std::string& name() const { return name_; }

  /// Mouse and keys, as `xdotool` takes them.
  void hand(const std::string& words) const {
    const int status = std::system(fmt::format("DISPLAY={} xdotool {}", name_, words).c_str());
    INFO("xdotool " << words);
    REQUIRE(status == 0);
  }

  std::vector<std::uint32_t> pixels(const Place& place) const {
    XImage* seen =
        XGetImage(display_.get(), DefaultRootWindow(display_.get()), place.left, place.top,
                  static_cast<unsigned>(place.width), static_cast<unsigned>(place.height), AllPlanes, ZPixmap);
    REQUIRE(seen != nullptr);
    std::vector<std::uint32_t> all;
    for (int row = 0; row < place.height; ++row)
      for (int column = 0; column < place.width; ++column)
        all.push_back(static_cast<std::uint32_t>(XGetPixel(seen, column, row)) & 0xFFFFFFU);
    XDestroyImage(seen);
    return all;
  }

  /// Asks a window to close, as a window manager's button does.
  void ask_to_close(const std::string& title) const {
    Window window = titled(DefaultRootWindow(display_.get()), title);
    REQUIRE(window != 0);
    XEvent event{};
    event.xclient.type = ClientMessage;
    event.xclient.window = window;
    event.xclient.message_type = XInternAtom(display_.get(), "WM_PROTOCOLS", False);
    event.xclient.format = 32;
    event.xclient.data.l[0] = static_cast<long>(XInternAtom(display_.get(), "WM_DELETE_WINDOW", False));
    XSendEvent(display_.get(), window, False, NoEventMask, &event);
    XFlush(display_.get());
  }

 private:
  static std::string content_of_or_nothing(const fs::path& file) { return fs::exists(file) ? content_of(file) : ""; }

  Window titled(Window top, const std::string& title) const {
    char* name = nullptr;
    if (XFetchName(display_.get(), top, &name) != 0 && name) {
      const bool found = title == name;
      XFree(name);
      if (found) return top;
    }
    Window root = 0, parent = 0, *children = nullptr, found = 0;
    unsigned count = 0;
    if (XQueryTree(display_.get(), top, &root, &parent, &children, &count) == 0) return 0;
    for (unsigned i = 0; i < count && found == 0; ++i) found = titled(children[i], title);
    if (children) XFree(children);
    return found;
  }

  struct Close {
    void operator()(Display* display) const { XCloseDisplay(display); }
  };
  std::unique_ptr<Child> server_;
  std::string name_;
  std::unique_ptr<Display, Close> display_;
};

/// The window of a cell on a screen, looked at by what it tells of itself (`--follow`) and by the screen's pixels.
class OpenWindow {
 public:
  OpenWindow(const TestScreen& screen, const Folder& folder, const fs::path& cell)
      : screen_(screen),
        told_(folder / "told.txt"),
        program_({(fs::path(CELLPROOF_PROGRAM).parent_path() / "cellproof-window").string(), cell.string(), "--follow"},
                 told_, screen.name()) {}

  /// The newest line; empty so far.
  nlohmann::json shown() const {
    const std::string all = content_of(told_);
    const std::size_t end = all.rfind('\n');
    if (end == std::string::npos) return {};
    const std::size_t before = end == 0 ? std::string::npos : all.rfind('\n', end - 1);
    const std::size_t from = before == std::string::npos ? 0 : before + 1;
    const auto line = nlohmann::json::parse(all.substr(from, end - from), nullptr, false);
    return line.is_discarded() ? nlohmann::json{} : line;
  }

  /// Waits until what is shown is as expected; fails where the window ends or nothing comes of it.
  using Holds = std::function<bool(const nlohmann::json& shown)>;
  nlohmann::json await(const std::string& what, const Holds& holds, double seconds = 40) {
    const auto begun = std::chrono::steady_clock::now();
    while (true) {
      const nlohmann::json now = shown();
      if (!now.is_null() && holds(now)) return now;
      if (!program_.running())
        FAIL("the window ended with " << program_.exit_status() << " before: " << what << "\n"
                                      << now.dump().substr(0, 1500));
      if (std::chrono::steady_clock::now() - begun > std::chrono::duration<double>(seconds))
        FAIL("waited in vain: " << what << "\n" << now.dump().substr(0, 1500));
      rest(0.05);
    }
  }

  /// Waits until nothing new is told for a while, as one does who looks before he presses; not while it plays.
  nlohmann::json settled() {
    nlohmann::json last = shown();
    for (int quiet = 0, i = 0; quiet < 5 && i < 40 && last["playing"] != true; ++i) {
      rest(0.2);
      nlohmann::json now = shown();
      quiet = now == last ? quiet + 1 : 0;
      last = std::move(now);
    }
    return last;
  }

  Place place_of(const std::string& control) {
    const nlohmann::json now = await("there is a control '" + control + "'",
                                     [&](const nlohmann::json& seen) { return seen["controls"].contains(control); });
    const auto& frame = now["controls"][control];
    return {frame[0], frame[1], frame[2], frame[3]};
  }

  /// What a hand does.
  void hand(const std::string& words) {
    screen_.hand(words);
    rest(0.25);
  }
  static std::string press_words(int column, int row) {
    return fmt::format("mousemove {} {} sleep 0.25 mousedown 1 sleep 0.2 mouseup 1", column, row);
  }
  std::string press_words(const std::string& control) {
    const Place place = place_of(control);
    return press_words(place.column(0.5), place.row(0.5));
  }
  void press_at(int column, int row) { hand(press_words(column, row)); }
  void press(const std::string& control) {
    settled();
    hand(press_words(control));
  }
  void drag(int column, int row, int right, int down, int button = 1) {
    hand(
        fmt::format("mousemove {} {} sleep 0.8 mousedown {} sleep 0.4 mousemove_relative -- {} {} sleep 0.4 "
                    "mousemove_relative -- {} {} sleep 0.4 mouseup {}",
                    column, row, button, right / 2, down / 2, right - right / 2, down - down / 2, button));
  }
  /// A list that is open, and what its first entry's place was like before.
  struct OpenList {
    std::string name;
    Place place, first;
    std::vector<std::uint32_t> as_open;  ///< what `first` shows
  };
  OpenList open_list(const std::string& list) {
    const Place place = place_of(list);
    const Place first{place.left, place.top + first_entry - 4, place.width, 14};
    settled();
    const auto before = screen_.pixels(first);
    press_at(place.column(0.3), place.row(0.5));
    await("the list '" + list + "' opens", [&](const auto&) { return share_changed(before, first) > 0.6; });
    return {list, place, first, screen_.pixels(first)};
  }
  /// After what shuts it. What is below need not look as it did before: a choice may bring it to life.
  void await_shut(const OpenList& list) {
    await("the list '" + list.name + "' shuts",
          [&](const auto&) { return share_changed(list.as_open, list.first) > 0.6; });
    rest(0.5);
  }
  /// Takes an entry as soon as it lights up under the pointer: each is a line of letters high.
  void choose(const std::string& list, int entry) {
    constexpr int entry_height = 20;
    OpenList opened = open_list(list);
    const Place& place = opened.place;
    const Place row{place.left + 4, place.top + first_entry + entry_height * entry - 6, place.width / 2, 12};
    const auto dark = screen_.pixels(row);
    hand(fmt::format("mousemove {} {}", place.column(0.3), row.row(0.5)));
    await("the entry lights up", [&](const auto&) { return share_changed(dark, row) > 0.6; });
    opened.as_open = screen_.pixels(opened.first);
    hand("mousedown 1 sleep 0.2 mouseup 1");
    await_shut(opened);
  }

  const TestScreen& screen() const { return screen_; }

  /// Closes it as its user does.
  int close() {
    screen_.ask_to_close("cellproof: the cell");
    for (int i = 0; i < 400 && program_.running(); ++i) rest(0.05);
    REQUIRE_FALSE(program_.running());
    return program_.exit_status();
  }

 private:
  static constexpr int first_entry = 30;  // pixels below a list's own top

  double share_changed(const std::vector<std::uint32_t>& before, const Place& place) const {
    const auto now = screen_.pixels(place);
    std::size_t count = 0;
    for (std::size_t i = 0; i < now.size(); ++i) count += now[i] != before[i] ? 1 : 0;
    return static_cast<double>(count) / static_cast<double>(now.size());
  }

  const TestScreen& screen_;
  fs::path told_;
  Child program_;
};

}  // namespace cellproof_commands
