// SPDX-License-Identifier: GPL-3.0-or-later
// The window's panels and where they stand. They show what they are given and tell what is pressed.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include <open3d/visualization/gui/Button.h>
#include <open3d/visualization/gui/Checkbox.h>
#include <open3d/visualization/gui/Combobox.h>
#include <open3d/visualization/gui/Label.h>
#include <open3d/visualization/gui/Layout.h>
#include <open3d/visualization/gui/NumberEdit.h>
#include <open3d/visualization/gui/WidgetProxy.h>

#include "viewer/desk/desk.hpp"
#include "viewer/desk/finding_cards.hpp"
#include "viewer/window/picture_widget.hpp"
#include "viewer/window/stage.hpp"

namespace cellproof {

enum class Page { findings, bodies, move };

/// Something that can be pressed, and where it is in the window (pixels).
struct Control {
  std::string name;
  open3d::visualization::gui::Rect frame;
};

struct Panels {
  template <class Widget>
  using Shared = std::shared_ptr<Widget>;
  using Button = open3d::visualization::gui::Button;
  using Checkbox = open3d::visualization::gui::Checkbox;
  using Label = open3d::visualization::gui::Label;
  using Rect = open3d::visualization::gui::Rect;

  // Along the upper rim.
  Shared<open3d::visualization::gui::Horiz> bar;
  Shared<Label> verdict, trouble;
  Shared<open3d::visualization::gui::Vert> verdict_row;  ///< what it stands in
  Shared<open3d::visualization::gui::Combobox> run, unit;
  std::vector<Shared<Button>> sides;  ///< in the order of Side
  Shared<Button> fit;

  // Along the lower rim.
  Shared<open3d::visualization::gui::Horiz> play_row;
  Shared<Button> play, previous, next;
  Shared<Label> instant;
  Shared<open3d::visualization::gui::Vert> instant_row;  ///< what it stands in
  Shared<PictureWidget> strip;

  // On the right.
  Shared<open3d::visualization::gui::Horiz> page_row;
  std::vector<Shared<Button>> pages;  ///< in the order of Page
  Shared<PictureWidget> cards, readings, inset;
  Shared<open3d::visualization::gui::Combobox> camera;
  Shared<open3d::visualization::gui::WidgetProxy> bodies;
  Shared<open3d::visualization::gui::ScrollableVert> body_list;  ///< what is in it
  std::vector<std::pair<std::string, Shared<open3d::visualization::gui::Widget>>> body_controls;
  Shared<open3d::visualization::gui::Vert> move;
  Shared<open3d::visualization::gui::Combobox> mover;
  std::vector<Shared<open3d::visualization::gui::NumberEdit>> offsets;  ///< x, y, z, yaw
  Shared<Button> prove_here, put_back, drag, ruler;
  Shared<Label> move_words, ruler_words;

  /// What the ground of the strip was drawn for.
  struct StripGround {
    unsigned cell = 0;
    std::size_t run = 0;
    std::optional<std::size_t> step;
    std::optional<std::size_t> chosen;
    LengthUnit unit = LengthUnit::mm;
    int width = 0, height = 0;
    std::string unproved;
    bool operator==(const StripGround&) const = default;
  };
  StripGround drawn_ground;
  std::string told_mover;
  Placement told_placement;
  Image strip_ground;

  Page page = Page::findings;
  bool readings_fit = true, inset_fits = true;  ///< on the page of findings
  double cards_scrolled = 0;
  Cards drawn_cards;
  Signs shown_signs;

  std::function<void(const std::vector<std::string>& bodies, bool shown)> on_shown;
  std::function<void(const std::string& body)> on_see_through;
  std::function<void(const Signs&)> on_signs;

  /// Makes all widgets, without content.
  void build(int em);
  void build_upper_rim(int em);
  void build_lower_rim(int em);
  void build_pages(int em);
  void build_move(int em);
  void build_measure(int em);
  /// Places them within the window; gives what is left for the view.
  Rect place(const Rect& window, const open3d::visualization::gui::LayoutContext& context);
  void show_page(Page shown);
  int place_upper_rim(const Rect& window, const open3d::visualization::gui::LayoutContext& context);
  void place_findings(const Rect& side);
  /// All that can be seen; of what is scrolled, where it is before it is.
  std::vector<Control> controls() const;

  // What the desk shows, as pictures and words.
  void fill_lists(const Desk& desk);
  void fill_bodies(const Desk& desk, const std::set<std::string>& see_through, const Signs& signs, int em);
  void draw_strip_of(const Desk& desk);
  void draw_cards_of(const Desk& desk);
  void draw_readings_of(const Desk& desk);
  void draw_inset_of(const Desk& desk);
  void tell_verdict(const Desk& desk);
  void tell_instant(const Desk& desk);
  void tell_move(const Desk& desk);
  /// Where something is placed by other hands than the number fields, they show it.
  void tell_placement(const Desk& desk);
};

}  // namespace cellproof
