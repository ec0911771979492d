// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/window/cell_window.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <utility>

#include <open3d/visualization/gui/Events.h>
#include <open3d/visualization/gui/Theme.h>
#include <open3d/visualization/rendering/Scene.h>

#include "kinematics/entry.hpp"
#include "viewer/desk/enclosures.hpp"
#include "viewer/desk/timeline_strip.hpp"
#include "viewer/pictures/palette.hpp"
#include "viewer/pictures/parallel_eye.hpp"
#include "viewer/window/given_colour.hpp"
#include "viewer/window/window_title.hpp"

namespace cellproof {

namespace gui = open3d::visualization::gui;
namespace rendering = open3d::visualization::rendering;

namespace {

/// Frames asked for faster than the graphics take them in fill the library's pool of handles, and it crashes.
constexpr double least_frame_s = 1.0 / 40;
/// A frame that the graphics have no time for is dropped without a word: the last one is asked for again.
constexpr int most_redraws = 20;

/// Light that tells faces apart without shadows; the colours stay those of the palette. Neither smoothed edges nor a
/// last pass over the picture: on software graphics both together take three quarters of a frame.
void set_light(rendering::Open3DScene& drawing) {
  drawing.SetBackground(given(palette::paper, 1));
  drawing.SetLighting(rendering::Open3DScene::LightingProfile::NO_SHADOWS, {0.45F, 0.6F, -0.65F});
  rendering::Scene& scene = *drawing.GetScene();
  scene.SetIndirectLightIntensity(62'000);
  scene.EnableSunLight(true);
  scene.SetSunLight({0.45F, 0.6F, -0.65F}, {1, 1, 1}, 28'000);
  rendering::View& view = *drawing.GetView();
  view.SetShadowing(false, rendering::View::ShadowType::kPCF);
  view.SetAmbientOcclusion(false);
  view.SetAntiAliasing(false);
  view.SetSampleCount(1);
  view.SetPostProcessing(false);
}

/// The nearest points' middle, or the middle of what the finding is about.
std::optional<Vector3d> place_to_look_at(const Desk& desk) {
  if (const auto& pair = desk.marked_pair()) return (pair->points[0] + pair->points[1]) / 2;
  const auto& bodies = desk.proof()->scene->bodies;
  Vector3d sum = Vector3d::Zero();
  int count = 0;
  for (const BodyId i : ids_of(bodies)) {
    if (!desk.in_trouble(i) || !desk.shown(i)) continue;
    const Box& box = bodies[i].solid->box();
    sum += desk.moment().at.pose_of(bodies[i]) * ((box.low + box.high) / 2);
    ++count;
  }
  if (count == 0) return std::nullopt;
  return sum / count;
}

gui::Rect in_window(const gui::Rect& view, const Area& area) {
  return {view.x + static_cast<int>(area.left), view.y + static_cast<int>(area.top), static_cast<int>(area.width),
          static_cast<int>(area.height)};
}

std::vector<double> numbers_of(const std::vector<std::shared_ptr<gui::NumberEdit>>& edits) {
  std::vector<double> numbers;
  for (const auto& edit : edits) numbers.push_back(edit->GetDoubleValue());
  return numbers;
}

}  // namespace

CellWindow::CellWindow(const std::filesystem::path& cell) : gui::Window(window_title, 0, 0, 1280, 800) {
  panels_.build(GetTheme().font_size);
  view_ = std::make_shared<CellView>();
  auto drawing = std::make_shared<rendering::Open3DScene>(GetRenderer());
  set_light(*drawing);
  view_->SetScene(drawing);
  stage_ = std::make_unique<Stage>(*drawing);
  AddChild(view_);
  AddChild(panels_.bar);
  AddChild(panels_.verdict_row);
  AddChild(panels_.play_row);
  AddChild(panels_.instant_row);
  AddChild(panels_.strip);
  AddChild(panels_.page_row);
  AddChild(panels_.cards);
  AddChild(panels_.readings);
  AddChild(panels_.inset);
  AddChild(panels_.camera);
  AddChild(panels_.bodies);
  AddChild(panels_.move);
  AddChild(panels_.trouble);
  add_labels();
  connect_view();
  connect_panels();
  input_.attach(*this);
  SetOnKeyEvent([this](const gui::KeyEvent& event) { return on_key(event); });
  open(cell);
}

/// After the panels: the library tells its panels apart by their number among what is shown, and labels come and go (as
/// the line of trouble does, which comes last of the panels).
void CellWindow::add_labels() {
  constexpr int most_labels = 8;
  for (int i = 0; i < most_labels; ++i) labels_.push_back(std::make_shared<PictureWidget>(Colour{1, 1, 1}));
  pointed_.label = std::make_shared<PictureWidget>(Colour{1, 1, 1});
  auto all = labels_;
  all.push_back(pointed_.label);
  for (const auto& label : all) {
    label->SetVisible(false);
    label->under = view_;
    AddChild(label);
  }
}

void CellWindow::open(const std::filesystem::path& cell) {
  desk_ = std::make_unique<Desk>(cell);
  drawn_ = {};
  through_ = {};
  named_.reset();
  look_changed_ = fit_wanted_ = true;
}

/// What is drawn in full comes before what one looks through.
std::optional<PickedPoint> CellWindow::point_under(const LookLine& line, double snap_mm) const {
  const Scene& scene = *desk_->proof()->scene;
  const auto looked_through = [&](BodyId body) {
    return through_.names.contains(scene.bodies[body].name) || std::ranges::count(through_.before, body) > 0;
  };
  const auto in_full = [&](BodyId body) { return desk_->shown(body) && !looked_through(body); };
  if (const auto point = pick(scene, desk_->moment().at, line, in_full, snap_mm)) return point;
  return pick(
      scene, desk_->moment().at, line, [this](BodyId body) { return desk_->shown(body); }, snap_mm);
}

void CellWindow::Layout(const gui::LayoutContext& context) {
  view_->SetFrame(panels_.place(GetContentRect(), context));
  gui::Window::Layout(context);
  drawn_.look = 0;  // pictures are drawn for their frames
  look_changed_ = true;
}

void CellWindow::connect_view() {
  view_->on_draw = [this] { input_.drawn(); };
  view_->on_centre = [this](const LookLine& line) {
    if (!desk_->proof()) return;
    const auto point = point_under(line, 0);
    if (!point) return;
    Orbit orbit = view_->orbit();
    const Vector3d eye = orbit.eye();
    orbit.at = in_world(*desk_->proof()->scene, desk_->moment().at, *point);
    orbit.distance = (orbit.at - eye).norm();
    view_->look(orbit);
  };
  view_->on_click = [this](const LookLine& line) {
    if (!desk_->proof() || !panels_.ruler->GetIsOn()) return;
    const double reach = 6 * mm_per_pixel(view_->orbit(), view_->size());
    if (const auto point = point_under(line, reach)) desk_->set_ruler(with_point(desk_->ruler(), *point));
  };
  view_->on_grab = [this](const LookLine& line) {
    if (!desk_->proof() || !panels_.drag->GetIsOn()) return false;
    const auto point = point_under(line, 0);
    if (!point || mover_under(*desk_->proof()->scene, point->body).empty()) return false;
    grabbed_point_ = in_world(*desk_->proof()->scene, desk_->moment().at, *point);
    grab_mover(point->body);
    return true;
  };
  view_->on_point = [this](const Vector2d& pixel) {
    pointed_.pixel = pixel;
    pointed_.rested_s = 0;
    pointed_.told = false;
  };
  view_->on_grabbed = [this](const LookLine& from, const LookLine& to, bool let_go) { drag_mover(from, to, let_go); };
}

void CellWindow::grab_mover(BodyId body) {
  const std::string mover = mover_under(*desk_->proof()->scene, body);
  grabbed_placement_ = mover == desk_->mover() ? desk_->placement() : Placement{};
  desk_->place(mover, grabbed_placement_);
}

void CellWindow::drag_mover(const LookLine& from, const LookLine& to, bool let_go) {
  if (const auto way = dragged(from, to, grabbed_point_, Vector3d::UnitZ())) {
    Placement placement = grabbed_placement_;
    placement.offset += *way;  // what is dragged stands on the world
    placement.offset = placement.offset.unaryExpr([](double mm) { return std::round(mm); });
    desk_->place(desk_->mover(), placement);
  }
  if (let_go) desk_->prove_placement();
}

void CellWindow::connect_panels() {
  for (std::size_t i = 0; i < panels_.sides.size(); ++i)
    panels_.sides[i]->SetOnClicked([this, i] { look_from(static_cast<Side>(i)); });
  panels_.fit->SetOnClicked([this] { fit(); });
  panels_.unit->SetOnValueChanged(
      [this](const char*, int item) { desk_->set_unit(item == 0 ? LengthUnit::mm : LengthUnit::inch); });
  panels_.run->SetOnValueChanged(
      [this](const char*, int item) { desk_->go_to(static_cast<std::size_t>(item), desk_->playhead().time_s); });
  panels_.play->SetOnClicked([this] { desk_->toggle_play(); });
  panels_.previous->SetOnClicked([this] { step_finding(true); });
  panels_.next->SetOnClicked([this] { step_finding(false); });
  panels_.strip->on_press = [this](const Vector2d& pixel, bool is_drag) {
    const int width = panels_.strip->GetFrame().width;
    const auto finding = finding_at_pixel(desk_->timeline(), pixel, width);
    if (finding && !is_drag) {
      desk_->choose_finding(*finding);
      look_at_finding();
    } else {
      desk_->scrub(share_of_column(pixel.x(), width));
    }
  };
  for (std::size_t i = 0; i < panels_.pages.size(); ++i)
    panels_.pages[i]->SetOnClicked([this, i] { show_page(static_cast<Page>(i)); });
  panels_.cards->on_press = [this](const Vector2d& pixel, bool is_drag) {
    if (const auto card = card_at(panels_.drawn_cards, pixel); card && !is_drag) choose_finding_group(*card);
  };
  panels_.cards->on_wheel = [this](double clicks) {
    constexpr double pixels_a_click = 40;
    panels_.cards_scrolled -= pixels_a_click * clicks;
    look_changed_ = true;
  };
  panels_.camera->SetOnValueChanged([this](const char*, int item) { desk_->choose_camera(CameraId(item)); });
  panels_.on_shown = [this](const std::vector<std::string>& bodies, bool shown) {
    for (const std::string& body : bodies) desk_->hide(body, !shown);
    list_changed_ = list_changed_ || bodies.size() > 1;  // made anew later: what is pressed is being drawn
  };
  panels_.on_see_through = [this](const std::string& body) { toggle_see_through(body); };
  panels_.on_signs = [this](const Signs& signs) {
    signs_ = signs;
    look_changed_ = true;
  };
  panels_.prove_here->SetOnClicked([this] {
    const int item = panels_.mover->GetSelectedIndex();
    const std::string mover = item == 0 ? "" : item == 1 ? "base" : panels_.mover->GetSelectedValue();
    const auto numbers = numbers_of(panels_.offsets);
    Placement placement;
    for (int i = 0; i < 3; ++i) placement.offset[i] = from_unit(entry(numbers, i), desk_->unit());
    placement.yaw = radians(numbers[3]);
    desk_->place(mover, placement);
    desk_->prove_placement();
  });
  panels_.put_back->SetOnClicked([this] {
    desk_->place("", {});
    desk_->prove_placement();
  });
}

bool CellWindow::on_key(const gui::KeyEvent& event) {
  if (event.type != gui::KeyEvent::DOWN || panels_.page == Page::move) return false;  // there numbers are typed
  constexpr double a_nudge = 0.004;
  const TimeAxis& axis = desk_->timeline().axis;
  const double share = axis.length() > 0 ? axis.place_of(desk_->playhead().time_s) / axis.length() : 0;
  switch (event.key) {
    case gui::KEY_SPACE:
      desk_->toggle_play();
      return true;
    case gui::KEY_N:
      step_finding(false);
      return true;
    case gui::KEY_B:
      step_finding(true);
      return true;
    case gui::KEY_F:
      fit();
      return true;
    case gui::KEY_HOME:
      desk_->scrub(0);
      return true;
    case gui::KEY_END:
      desk_->scrub(1);
      return true;
    case gui::KEY_LEFT:
      desk_->scrub(share - a_nudge);
      return true;
    case gui::KEY_RIGHT:
      desk_->scrub(share + a_nudge);
      return true;
    default:
      return false;
  }
}

void CellWindow::look_from(Side side) {
  view_->look(from_side(view_->orbit(), side));
  through_.before.clear();
  fit();
}

void CellWindow::fit() {
  fit_wanted_ = true;
}

void CellWindow::zoom(double clicks) {
  view_->look(zoomed(view_->orbit(), clicks));
}

void CellWindow::show_page(Page page) {
  panels_.show_page(page);
  SetNeedsLayout();
  look_changed_ = true;
}

void CellWindow::choose_finding_group(std::size_t group) {
  desk_->choose_group(group);
  look_at_finding();
}

void CellWindow::step_finding(bool backwards) {
  desk_->step_group(backwards);
  look_at_finding();
}

void CellWindow::toggle_see_through(const std::string& body) {
  if (!through_.names.erase(body)) through_.names.insert(body);
  look_changed_ = true;
}

/// To the nearest points, or else to the bodies that the finding is about; from where the way is clear.
void CellWindow::look_at_finding() {
  through_.before.clear();
  named_.reset();
  look_changed_ = true;
  if (!desk_->chosen_finding()) return;
  const Scene& scene = *desk_->proof()->scene;
  const Instant& at = desk_->moment().at;
  const auto place = place_to_look_at(*desk_);
  if (!place) return;
  constexpr double distance = 900;
  const auto not_of_the_finding = [this](BodyId body) { return desk_->shown(body) && !desk_->in_trouble(body); };
  Orbit orbit = view_->orbit();
  orbit.at = *place;
  orbit.distance = distance;
  orbit = looking_along(
      orbit, clearest_direction(scene, at, *place, direction_from(Side::quarter), distance, not_of_the_finding));
  through_.before = bodies_before(scene, at, orbit.eye(), *place, not_of_the_finding, 1);
  view_->look(orbit);
  named_ = {orbit, desk_->moment_number()};
}

void CellWindow::update(double seconds) {
  input_.hand_on();
  if (input_.owes_drawing()) PostRedraw();
  desk_->tick(seconds);
  pointed_.rested_s += seconds;
  since_drawn_s_ += seconds;
  if (since_drawn_s_ < least_frame_s) return;
  since_drawn_s_ = 0;
  if (draw_new())
    redraws_left_ = most_redraws;
  else if (redraws_left_ > 0)
    --redraws_left_;
  else
    return;
  ++drawings_;
  view_->ForceRedraw();
  PostRedraw();
}

std::vector<std::string> CellWindow::labels() const {
  std::vector<std::string> shown;
  for (std::size_t i = 0; i < words_.size(); ++i)
    if (labels_[i]->IsVisible()) shown.push_back(words_[i].words);
  if (pointed_.label->IsVisible()) shown.push_back(pointed_.name);
  return shown;
}

std::vector<Control> CellWindow::controls() const {
  std::vector<Control> all = panels_.controls();
  all.push_back({"view", view_->GetFrame()});
  return all;
}

/// Each draws what is new of its kind and tells whether anything was.
bool CellWindow::draw_verdict() {
  const ProofProgress progress = desk_->progress();
  const int share = static_cast<int>(100 * progress.share);
  if (drawn_.proving == desk_->proving() && drawn_.share == share && drawn_.doing == progress.what &&
      drawn_.trouble == desk_->trouble())
    return false;
  const bool relayout = drawn_.trouble.empty() != desk_->trouble().empty();
  drawn_.proving = desk_->proving();
  drawn_.share = share;
  drawn_.doing = progress.what;
  drawn_.trouble = desk_->trouble();
  panels_.tell_verdict(*desk_);
  if (desk_->proof()) panels_.draw_strip_of(*desk_);
  if (relayout) SetNeedsLayout();
  return true;
}

bool CellWindow::draw_cell() {
  if (drawn_.cell == desk_->cell_number()) return false;
  const Scene& scene = *desk_->proof()->scene;
  const auto enclosures = enclosures_of(scene, *desk_->proof()->cycle);
  through_.enclosures = {enclosures.begin(), enclosures.end()};
  if (drawn_.cell == 0) {
    view_->look(from_side(view_->orbit(), Side::quarter));
    through_.names = through_.enclosures;
  }
  drawn_.cell = desk_->cell_number();
  stage_->set_scene(*desk_);
  panels_.fill_lists(*desk_);
  panels_.fill_bodies(*desk_, through_.names, signs_, GetTheme().font_size);
  panels_.tell_verdict(*desk_);
  through_.before.clear();
  named_.reset();
  if (!desk_->camera() && !scene.cell.cameras.empty()) desk_->choose_camera(CameraId(0));
  SetNeedsLayout();
  look_changed_ = true;
  return true;
}

bool CellWindow::draw_list() {
  if (!std::exchange(list_changed_, false)) return false;
  panels_.fill_bodies(*desk_, through_.names, signs_, GetTheme().font_size);
  SetNeedsLayout();
  return true;
}

bool CellWindow::draw_moment() {
  const bool new_moment = drawn_.moment != desk_->moment_number();
  const bool new_look = look_changed_ || drawn_.look != desk_->look_number();
  if (!new_moment && !new_look) return false;
  if (new_look) {
    stage_->set_look(*desk_, through_, signs_);
    panels_.draw_cards_of(*desk_);
    panels_.draw_inset_of(*desk_);
  } else {
    stage_->set_moment(*desk_);
  }
  draw_labels();
  panels_.run->SetSelectedIndex(static_cast<int>(desk_->playhead().run));
  panels_.tell_instant(*desk_);
  panels_.draw_strip_of(*desk_);
  panels_.tell_move(*desk_);
  panels_.draw_readings_of(*desk_);
  drawn_.moment = desk_->moment_number();
  drawn_.look = desk_->look_number();
  look_changed_ = false;
  return true;
}

/// What is computed beside, for an instant that is drawn already.
bool CellWindow::draw_beside() {
  const bool new_gap = drawn_.gap != desk_->gap_number(), new_inset = drawn_.inset != desk_->inset_number();
  if (new_gap) panels_.draw_readings_of(*desk_);
  if (new_inset) panels_.draw_inset_of(*desk_);
  drawn_.gap = desk_->gap_number();
  drawn_.inset = desk_->inset_number();
  return new_gap || new_inset;
}

bool CellWindow::draw_eye() {
  if (fit_wanted_)
    view_->look(fitted(view_->orbit(), Stage::extent(*desk_), view_->size().width / view_->size().height));
  fit_wanted_ = false;
  if (drawn_.orbit == view_->orbit()) return false;
  draw_labels();
  return true;
}

/// The name of what the pointer rests on; it goes when something moves, and after a while.
bool CellWindow::draw_pointed() {
  constexpr double until_told_s = 0.08, shown_s = 5;
  const auto show = [this](bool visible) {
    const bool changed = visible || pointed_.label->IsVisible();
    pointed_.label->SetVisible(visible);
    return changed;
  };
  const bool moved = pointed_.orbit != view_->orbit() || pointed_.moment != desk_->moment_number();
  pointed_.orbit = view_->orbit();
  pointed_.moment = desk_->moment_number();
  if (moved || pointed_.rested_s > shown_s) return show(false);
  if (pointed_.told || pointed_.rested_s < until_told_s) return false;
  pointed_.told = true;
  const auto point = point_under(view_->line_at(pointed_.pixel), 0);
  if (!point) return show(false);
  pointed_.name = desk_->proof()->scene->bodies[point->body].name;
  const Image picture = label_picture(pointed_.name, palette::ink);
  pointed_.label->show(picture);
  const Area place =
      label_by_pointer(pointed_.pixel, {0, 0, double(picture.width), double(picture.height)}, view_->size());
  pointed_.label->SetFrame(in_window(view_->GetFrame(), place));
  return show(true);
}

bool CellWindow::draw_new() {
  bool anything = draw_verdict();
  if (!desk_->proof()) return anything;
  anything |= draw_cell();
  anything |= draw_list();
  anything |= draw_eye();
  anything |= draw_moment();
  anything |= draw_beside();
  anything |= draw_pointed();
  return anything;
}

/// What a finding is about is named until one looks from elsewhere or at another instant.
void CellWindow::draw_labels() {
  if (named_ && (named_->orbit != view_->orbit() || named_->moment != desk_->moment_number())) named_.reset();
  words_ = named_ ? Stage::finding_words(*desk_) : std::vector<PlacedWords>{};
  std::ranges::move(Stage::ruler_words(*desk_), std::back_inserter(words_));
  words_.resize(std::min(words_.size(), labels_.size()));
  for (std::size_t i = 0; i < words_.size(); ++i) labels_[i]->show(label_picture(words_[i].words, words_[i].colour));
  place_labels();
}

void CellWindow::place_labels() {
  std::vector<Vector2d> anchors;
  std::vector<Area> sizes;
  std::vector<std::size_t> seen;
  for (std::size_t i = 0; i < labels_.size(); ++i) {
    const auto pixel = i < words_.size() ? pixel_of(view_->orbit(), words_[i].at, view_->size()) : std::nullopt;
    labels_[i]->SetVisible(pixel.has_value());
    if (!pixel) continue;
    const Image picture = label_picture(words_[i].words, words_[i].colour);
    anchors.push_back(*pixel);
    sizes.push_back({0, 0, static_cast<double>(picture.width), static_cast<double>(picture.height)});
    seen.push_back(i);
  }
  const auto places = label_places(anchors, sizes, view_->size());
  for (std::size_t i = 0; i < seen.size(); ++i) labels_[seen[i]]->SetFrame(in_window(view_->GetFrame(), places[i]));
  drawn_.orbit = view_->orbit();
}

}  // namespace cellproof
