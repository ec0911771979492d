// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/window/input_queue.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include <GLFW/glfw3.h>

#include "viewer/window/cell_window.hpp"

namespace cellproof {

namespace gui = open3d::visualization::gui;

namespace {

/// The library's bit of a button; nothing for those that it does not know.
std::optional<gui::MouseButton> button_of(int button) {
  switch (button) {
    case GLFW_MOUSE_BUTTON_LEFT:
      return gui::MouseButton::LEFT;
    case GLFW_MOUSE_BUTTON_MIDDLE:
      return gui::MouseButton::MIDDLE;
    case GLFW_MOUSE_BUTTON_RIGHT:
      return gui::MouseButton::RIGHT;
    default:
      return std::nullopt;
  }
}

int pixel(double place) {
  return static_cast<int>(std::ceil(place));
}

}  // namespace

InputQueue& InputQueue::of(void* window) {
  auto* drawn = static_cast<gui::Window*>(glfwGetWindowUserPointer(static_cast<GLFWwindow*>(window)));
  return static_cast<CellWindow*>(drawn)->input();
}

void InputQueue::attach(gui::Window& window) {
  window_ = &window;
  auto* system = static_cast<GLFWwindow*>(window.GetOSWindow());
  glfwGetCursorPos(system, &x_, &y_);
  pointer_ = {x_, y_, 0};
  glfwSetMouseButtonCallback(system, &InputQueue::on_button);
  glfwSetCursorPosCallback(system, &InputQueue::on_move);
  glfwSetScrollCallback(system, &InputQueue::on_wheel);
  key_ = glfwSetKeyCallback(system, &InputQueue::on_key);
  letter_ = glfwSetCharCallback(system, &InputQueue::on_letter);
}

void InputQueue::on_button(GLFWwindow* window, int button, int action, int) {
  InputQueue& queue = of(window);
  const auto known = button_of(button);
  if (!known) return;
  const double x = queue.x_, y = queue.y_;  // the system would tell where the pointer is by now
  const int bit = static_cast<int>(*known), change = -1 - button;
  if (action == GLFW_PRESS)
    queue.add({change, true,
               [&queue, bit, count = queue.count_press(button, x, y), x, y] { queue.press(bit, count, x, y); }});
  else
    queue.add({change, true, [&queue, bit, x, y] { queue.let_go(bit, x, y); }});
}

void InputQueue::on_move(GLFWwindow* window, double x, double y) {
  InputQueue& queue = of(window);
  queue.x_ = x;
  queue.y_ = y;
  queue.add({std::nullopt, true, [&queue, x, y] { queue.move(x, y); }});
}

void InputQueue::on_wheel(GLFWwindow* window, double right, double up) {
  InputQueue& queue = of(window);
  queue.add({std::nullopt, true, [&queue, right, up] { queue.turn_wheel(right, up); }});
}

void InputQueue::on_key(GLFWwindow* window, int key, int scancode, int action, int modifiers) {
  InputQueue& queue = of(window);
  queue.add({action == GLFW_REPEAT ? std::nullopt : std::optional(key), false,
             [&queue, window, key, scancode, action, modifiers] {
               if (queue.key_) queue.key_(window, key, scancode, action, modifiers);
             }});
}

void InputQueue::on_letter(GLFWwindow* window, unsigned letter) {
  InputQueue& queue = of(window);
  queue.add({std::nullopt, false, [&queue, window, letter] {
               if (queue.letter_) queue.letter_(window, letter);
             }});
}

/// 2 for the second of two quick presses at one place.
int InputQueue::count_press(int button, double x, double y) {
  constexpr auto quick = std::chrono::milliseconds(400);
  constexpr double one_place = 4;  // pixels
  const auto now = std::chrono::steady_clock::now();
  const bool second = button == last_press_.button && now - last_press_.at < quick &&
                      std::hypot(x - last_press_.x, y - last_press_.y) < one_place;
  last_press_ = second ? Press{} : Press{button, x, y, now};
  return second ? 2 : 1;
}

void InputQueue::press(int button, int count, double x, double y) {
  pointer_ = {x, y, pointer_.buttons | button};
  window_->OnMouseEvent(gui::MouseEvent::MakeButtonEvent(gui::MouseEvent::BUTTON_DOWN, pixel(x), pixel(y),
                                                         window_->GetMouseMods(), static_cast<gui::MouseButton>(button),
                                                         count));
}

void InputQueue::let_go(int button, double x, double y) {
  pointer_ = {x, y, pointer_.buttons & ~button};
  window_->OnMouseEvent(gui::MouseEvent::MakeButtonEvent(gui::MouseEvent::BUTTON_UP, pixel(x), pixel(y),
                                                         window_->GetMouseMods(), static_cast<gui::MouseButton>(button),
                                                         1));
}

void InputQueue::move(double x, double y) {
  pointer_.x = x;
  pointer_.y = y;
  window_->OnMouseEvent(
      gui::MouseEvent::MakeMoveEvent(pointer_.buttons != 0 ? gui::MouseEvent::DRAG : gui::MouseEvent::MOVE, pixel(x),
                                     pixel(y), window_->GetMouseMods(), pointer_.buttons));
}

void InputQueue::turn_wheel(double right, double up) {
  window_->OnMouseEvent(gui::MouseEvent::MakeWheelEvent(gui::MouseEvent::WHEEL, pixel(pointer_.x), pixel(pointer_.y),
                                                        window_->GetMouseMods(), static_cast<float>(right),
                                                        static_cast<float>(up), false));
}

void InputQueue::drawn() {
  changed_.clear();
  button_changed_ = false;
  owed_ = std::max(0, owed_ - 1);
}

void InputQueue::add(Event event) {
  waiting_.push_back(std::move(event));
  hand_on();
}

void InputQueue::hand_on() {
  while (!waiting_.empty()) {
    const Event& next = waiting_.front();
    if (next.by_pointer && button_changed_) return;
    if (next.changes && !changed_.insert(*next.changes).second) return;
    button_changed_ = button_changed_ || (next.changes && next.by_pointer);
    if (next.changes) owed_ = 2;
    const Event event = std::move(waiting_.front());
    waiting_.pop_front();
    event.hand_on();
  }
}

bool QueuedWindows::IsActiveWindow(OSWindow window) const {
  InputQueue::of(window).hand_on();
  return true;
}

gui::Point QueuedWindows::GetMousePosInWindow(OSWindow window) const {
  const Pointer& pointer = InputQueue::of(window).pointer();
  return {static_cast<int>(pointer.x), static_cast<int>(pointer.y)};
}

int QueuedWindows::GetMouseButtons(OSWindow window) const {
  return InputQueue::of(window).pointer().buttons;
}

}  // namespace cellproof
