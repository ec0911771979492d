// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/window/display.hpp"

#include <chrono>
#include <cstdlib>
#include <memory>

#include <X11/Xlib.h>
#include <X11/Xutil.h>
#include <fmt/format.h>

namespace cellproof {

namespace {

struct CloseDisplay {
  void operator()(Display* display) const { XCloseDisplay(display); }
};
using OpenDisplay = std::unique_ptr<Display, CloseDisplay>;

struct DestroyImage {
  void operator()(XImage* image) const { XDestroyImage(image); }
};
using ScreenImage = std::unique_ptr<XImage, DestroyImage>;

/// The window of that title at or under another, 0 if there is none.
::Window window_titled(Display* display, ::Window top, const std::string& title) {
  char* name = nullptr;
  if (XFetchName(display, top, &name) != 0 && name) {
    const bool found = title == name;
    XFree(name);
    if (found) return top;
  }
  ::Window root = 0, parent = 0, *children = nullptr, found = 0;
  unsigned count = 0;
  if (XQueryTree(display, top, &root, &parent, &children, &count) == 0) return 0;
  for (unsigned i = 0; i < count && found == 0; ++i) found = window_titled(display, children[i], title);
  if (children) XFree(children);
  return found;
}

/// A part of what a window shows: from a share of its width and height on, as large as another share of them.
ScreenImage grab(Display* display, ::Window window, double from, double size) {
  XWindowAttributes looks;
  if (window == 0 || XGetWindowAttributes(display, window, &looks) == 0) return nullptr;
  const auto part = [](double share, int of) { return static_cast<int>(share * of); };
  return ScreenImage(XGetImage(display, window, part(from, looks.width), part(from, looks.height),
                               static_cast<unsigned>(part(size, looks.width)),
                               static_cast<unsigned>(part(size, looks.height)), AllPlanes, ZPixmap));
}

std::uint64_t digest(const XImage& image) {
  std::uint64_t sum = 14695981039346656037ULL;  // FNV-1a over words
  const std::size_t words = static_cast<std::size_t>(image.bytes_per_line) * static_cast<std::size_t>(image.height) / 4;
  const auto* pixels = reinterpret_cast<const std::uint32_t*>(image.data);
  for (std::size_t i = 0; i < words; ++i) sum = (sum ^ pixels[i]) * 1099511628211ULL;
  return sum;
}

}  // namespace

tl::expected<std::shared_ptr<void>, std::string> open_display() {
  const char* name = std::getenv("DISPLAY");
  if (!name || !*name) return tl::unexpected(std::string("there is no display: DISPLAY is not set"));
  XInitThreads();  // frames are counted beside the drawing
  OpenDisplay display(XOpenDisplay(nullptr));
  if (!display) return tl::unexpected(fmt::format("the display '{}' can't be opened", name));
  return std::shared_ptr<Display>(std::move(display));
}

tl::expected<Image, std::string> picture_of_window(const std::string& title) {
  const OpenDisplay display(XOpenDisplay(nullptr));
  if (!display) return tl::unexpected(std::string("the display can't be opened"));
  const ScreenImage seen =
      grab(display.get(), window_titled(display.get(), DefaultRootWindow(display.get()), title), 0, 1);
  if (!seen || seen->bits_per_pixel != 32) return tl::unexpected(std::string("the window's picture can't be read"));
  Image image = blank_image(seen->width, seen->height, Colour{});
  for (int row = 0; row < image.height; ++row)
    for (int column = 0; column < image.width; ++column)
      image.at(column, row) =
          0xFF000000U | (static_cast<std::uint32_t>(XGetPixel(seen.get(), column, row)) & 0xFFFFFFU);
  return image;
}

ShownFrames::ShownFrames(std::string title)
    : title_(std::move(title)), thread_([this](const std::stop_token& stop) { watch(stop); }) {}

ShownFrames::~ShownFrames() {
  thread_.request_stop();
}

void ShownFrames::watch(const std::stop_token& stop) {
  const OpenDisplay display(XOpenDisplay(nullptr));
  if (!display) return;
  const ::Window window = window_titled(display.get(), DefaultRootWindow(display.get()), title_);
  constexpr double from = 0.2, size = 0.35;  // the middle of the cell's view
  constexpr auto between_looks = std::chrono::milliseconds(4);
  std::uint64_t last = 0;
  while (!stop.stop_requested()) {
    const ScreenImage seen = grab(display.get(), window, from, size);
    if (!seen) return;
    if (const std::uint64_t now = digest(*seen); now != last) {
      last = now;
      ++count_;
    }
    std::this_thread::sleep_for(between_looks);
  }
}

}  // namespace cellproof
