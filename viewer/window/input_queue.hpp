// SPDX-License-Identifier: GPL-3.0-or-later
// Pointer and keys on their way to the panels.
#pragma once

#include <chrono>
#include <deque>
#include <functional>
#include <optional>
#include <set>

#include <open3d/visualization/gui/GLFWWindowSystem.h>
#include <open3d/visualization/gui/Window.h>

namespace cellproof {

/// The pointer as the panels are to see it.
struct Pointer {
  double x = 0, y = 0;  ///< pixels of the window
  int buttons = 0;      ///< those pressed, a bit each, as the library has them
};

/// The library's panels look at the pointer and its buttons once a drawing, and there as they are by then. On slow
/// graphics a quick click is never seen, or is seen where the pointer has gone to since. So the panels see the pointer
/// as it was handed on from here: after a button or key has changed, the same one's next change, and all that the
/// pointer does, wait until that has been drawn.
class InputQueue {
 public:
  /// Takes the place of the library's own handlers. The window system must be QueuedWindows.
  void attach(open3d::visualization::gui::Window& window);

  /// The queue of a window as the window system knows it.
  static InputQueue& of(void* window);

  const Pointer& pointer() const { return pointer_; }

  /// To be told whenever a drawing has begun: what was handed on so far is seen by it.
  void drawn();
  /// Hands on what need not wait. Called between drawings and before the panels of one look, never later within.
  void hand_on();
  /// After each change two: a list that is shut in one drawing is gone in the next.
  bool owes_drawing() const { return !waiting_.empty() || owed_ > 0; }

 private:
  struct Event {
    std::optional<int> changes;  ///< a number of the button or key
    bool by_pointer = false;
    std::function<void()> hand_on;
  };
  /// The last press, by which the next may be the second of two.
  struct Press {
    int button = -1;
    double x = 0, y = 0;
    std::chrono::steady_clock::time_point at;
  };
  void add(Event event);
  int count_press(int button, double x, double y);
  void press(int button, int count, double x, double y);
  void let_go(int button, double x, double y);
  void move(double x, double y);
  void turn_wheel(double right, double up);

  // The window system's own handlers of keys are handed on to; those of the pointer ask where it is by then.
  static void on_button(GLFWwindow* window, int button, int action, int modifiers);
  static void on_move(GLFWwindow* window, double x, double y);
  static void on_wheel(GLFWwindow* window, double right, double up);
  static void on_key(GLFWwindow* window, int key, int scancode, int action, int modifiers);
  static void on_letter(GLFWwindow* window, unsigned letter);

  open3d::visualization::gui::Window* window_ = nullptr;
  Pointer pointer_;
  double x_ = 0, y_ = 0;  ///< of the last move that came in, handed on or not
  Press last_press_;
  std::deque<Event> waiting_;
  std::set<int> changed_;        ///< since a drawing began
  bool button_changed_ = false;  ///< one of them is a button
  int owed_ = 0;                 ///< drawings
  void (*key_)(GLFWwindow*, int, int, int, int) = nullptr;
  void (*letter_)(GLFWwindow*, unsigned) = nullptr;
};

/// The library's windows, but for the pointer: that is where and as the window's queue has it, also before the keyboard
/// is the window's: a press on a window in the background means what it is on.
class QueuedWindows : public open3d::visualization::gui::GLFWWindowSystem {
 public:
  /// Asked first of all in each drawing. With a list open one drawing follows the other with no turn in between for
  /// what else the program does, so that what waits for a drawing is handed on here too.
  bool IsActiveWindow(OSWindow window) const override;
  open3d::visualization::gui::Point GetMousePosInWindow(OSWindow window) const override;
  int GetMouseButtons(OSWindow window) const override;
};

}  // namespace cellproof
