// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/window/input_queue.hpp"

#include <algorithm>
#include <utility>

#include <GLFW/glfw3.h>

#include "viewer/window/cell_window.hpp"

namespace cellproof {

InputQueue& InputQueue::of(GLFWwindow* window) {
  auto* drawn = static_cast<open3d::visualization::gui::Window*>(glfwGetWindowUserPointer(window));
  return static_cast<CellWindow*>(drawn)->input();
}

void InputQueue::attach(GLFWwindow* window) {
  glfwSetInputMode(window, GLFW_STICKY_MOUSE_BUTTONS, GLFW_TRUE);
  button_ = glfwSetMouseButtonCallback(window, &InputQueue::on_button);
  key_ = glfwSetKeyCallback(window, &InputQueue::on_key);
  letter_ = glfwSetCharCallback(window, &InputQueue::on_letter);
  move_ = glfwSetCursorPosCallback(window, &InputQueue::on_move);  // the library's asks for the buttons as well
}

void InputQueue::on_button(GLFWwindow* window, int button, int action, int modifiers) {
  InputQueue& queue = of(window);
  queue.add({-1 - button, [&queue, window, button, action, modifiers] {
               if (queue.button_) queue.button_(window, button, action, modifiers);
             }});
}

void InputQueue::on_key(GLFWwindow* window, int key, int scancode, int action, int modifiers) {
  InputQueue& queue = of(window);
  queue.add(
      {action == GLFW_REPEAT ? std::nullopt : std::optional(key), [&queue, window, key, scancode, action, modifiers] {
         if (queue.key_) queue.key_(window, key, scancode, action, modifiers);
       }});
}

void InputQueue::on_letter(GLFWwindow* window, unsigned letter) {
  InputQueue& queue = of(window);
  queue.add({std::nullopt, [&queue, window, letter] {
               if (queue.letter_) queue.letter_(window, letter);
             }});
}

void InputQueue::on_move(GLFWwindow* window, double x, double y) {
  InputQueue& queue = of(window);
  queue.add({std::nullopt, [&queue, window, x, y] {
               if (queue.move_) queue.move_(window, x, y);
             }});
}

void InputQueue::drawn() {
  changed_.clear();
  owed_ = std::max(0, owed_ - 1);
}

void InputQueue::add(Event event) {
  waiting_.push_back(std::move(event));
  hand_on();
}

void InputQueue::hand_on() {
  while (!waiting_.empty()) {
    const auto& changes = waiting_.front().changes;
    if (changes && changed_.contains(*changes)) return;
    if (changes) {
      changed_.insert(*changes);
      owed_ = 2;
    }
    const Event event = std::move(waiting_.front());
    waiting_.pop_front();
    event.hand_on();
  }
}

}  // namespace cellproof
