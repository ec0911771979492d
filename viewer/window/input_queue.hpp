// SPDX-License-Identifier: GPL-3.0-or-later
// Mouse buttons and keys on their way to the panels.
#pragma once

#include <deque>
#include <functional>
#include <optional>
#include <set>

struct GLFWwindow;

namespace cellproof {

/// The library's panels look at buttons and keys once a drawing: what is pressed and let go between two drawings they
/// never see, and on slow graphics that is every quick click. So what changes a button or key for a second time, and
/// all that comes after it, waits until something has been drawn. Buttons they ask the window for: it keeps a press
/// until it has been asked once, so that after each change two drawings are owed.
class InputQueue {
 public:
  /// Takes the place of the library's own handlers, which get everything from here. The window's user pointer is the
  /// library's: its CellWindow.
  void attach(GLFWwindow* window);

  /// To be told whenever a drawing has begun: what was handed on so far is seen by it.
  void drawn();
  /// Hands on what need not wait. Called between drawings, never within.
  void hand_on();
  bool owes_drawing() const { return !waiting_.empty() || owed_ > 0; }

 private:
  struct Event {
    std::optional<int> changes;  ///< a number of the button or key
    std::function<void()> hand_on;
  };
  void add(Event event);
  static InputQueue& of(GLFWwindow* window);
  static void on_button(GLFWwindow* window, int button, int action, int modifiers);
  static void on_key(GLFWwindow* window, int key, int scancode, int action, int modifiers);
  static void on_letter(GLFWwindow* window, unsigned letter);
  static void on_move(GLFWwindow* window, double x, double y);

  std::deque<Event> waiting_;
  std::set<int> changed_;  ///< since a drawing began
  int owed_ = 0;           ///< drawings
  void (*button_)(GLFWwindow*, int, int, int) = nullptr;
  void (*key_)(GLFWwindow*, int, int, int, int) = nullptr;
  void (*letter_)(GLFWwindow*, unsigned) = nullptr;
  void (*move_)(GLFWwindow*, double, double) = nullptr;
};

}  // namespace cellproof
