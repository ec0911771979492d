// SPDX-License-Identifier: GPL-3.0-or-later
// cellproof-window: the 3D window, started by `cellproof view`.
#include <chrono>
#include <cstdio>
#include <exception>
#include <fstream>
#include <iterator>

#include <fmt/format.h>
#include <open3d/utility/Logging.h>
#include <open3d/visualization/gui/Application.h>

#include "command_line/command_line.hpp"
#include "viewer/window/follow.hpp"
#include "viewer/window/script_run.hpp"

namespace cellproof {

namespace {

namespace gui = open3d::visualization::gui;
constexpr int refused = 2, internal_error = 3;

int refuse(const std::string& line) {
  fmt::print(stderr, "{}\n", line);
  return refused;
}

struct Options {
  std::string cell, script;
  bool follow = false;
};

/// The loop that Application::Run would be, with our own work between its ticks, and all that is drawn let go before
/// the library lets go of its engine: what is closed within a tick, or kept beyond the end, crashes the library.
int run_window(const Options& options, std::vector<ScriptStep> steps) {
  gui::Application& application = gui::Application::GetInstance();
  application.SetWindowSystem(std::make_shared<QueuedWindows>());
  application.Initialize(CELLPROOF_OPEN3D_RESOURCES);
  auto window = std::make_shared<CellWindow>(options.cell);
  bool open = true;
  window->SetOnClose([&open] {
    open = false;
    return true;
  });
  application.AddWindow(window);
  ScriptRun script(std::move(steps));
  Follow follow;
  gui::Application::EnvUnlocker unlocker;
  auto last = std::chrono::steady_clock::now();
  while (application.RunOneTick(unlocker, false) && open) {
    const auto now = std::chrono::steady_clock::now();
    const double seconds = std::chrono::duration<double>(now - last).count();
    last = now;
    window->update(seconds);
    if (options.follow) follow.tell(*window);
    if (!script.go_on(*window, seconds)) window->Close();
  }
  window.reset();
  application.OnTerminate();
  return script.trouble().empty() ? 0 : refuse(fmt::format("{}:{}", options.script, script.trouble()));
}

std::string script_help() {
  std::string text = "A script drives the window by itself, a verb a line:\n";
  for (const ScriptVerb& verb : script_verbs())
    text += fmt::format("  {:<28} {}\n", verb.verb + " " + verb.words, verb.what);
  return text;
}

tl::expected<std::vector<ScriptStep>, std::string> script_of(const Options& options) {
  if (options.script.empty()) return std::vector<ScriptStep>{};
  std::ifstream in(options.script, std::ios::binary);
  if (!in) return tl::unexpected(std::string(" can't be read; check the path"));
  return read_script(std::string{std::istreambuf_iterator<char>(in), {}});
}

int run(int argc, char** argv) {
  CommandLine program("cellproof-window", "cellproof-window: the 3D window of a cell and its proof");
  Options options;
  Command window = program.itself();
  window.word("CELL", options.cell, "the cell file");
  window.option("--script", options.script, "a file of steps that the window does by itself");
  window.flag("--follow", options.follow,
              "print a line of JSON whenever something else is shown: the instant, what is chosen, the controls");
  window.closing(script_help() + "Example: cellproof-window models/board-cell/as-drawn.toml");
  const auto request = program.read(argc, argv);
  if (!request) return refuse(fmt::format("cellproof view: {}; see cellproof view --help", request.error().what));
  if (!request->text.empty()) {
    fmt::print("{}", request->text);
    return 0;
  }
  auto steps = script_of(options);
  if (!steps) return refuse(fmt::format("{}:{}", options.script, steps.error()));
  const auto display = open_display();
  if (!display)
    return refuse(
        fmt::format("cellproof view: {}; draw stills with cellproof picture, which needs none", display.error()));
  open3d::utility::SetVerbosityLevel(open3d::utility::VerbosityLevel::Error);
  return run_window(options, std::move(*steps));
}

}  // namespace

}  // namespace cellproof

int main(int argc, char** argv) {
  try {
    return cellproof::run(argc, argv);
  } catch (const std::exception& bug) {
    fmt::print(stderr, "cellproof-window: internal error: {}\n", bug.what());
    return cellproof::internal_error;
  }
}
