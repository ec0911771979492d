// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/window/panels.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/format.h>
#include <open3d/visualization/gui/Color.h>

#include "kinematics/entry.hpp"
#include "viewer/desk/panel_style.hpp"
#include "viewer/desk/readings.hpp"
#include "viewer/desk/timeline_strip.hpp"
#include "viewer/pictures/still.hpp"

namespace cellproof {

namespace gui = open3d::visualization::gui;

namespace {

constexpr int bar_height = 38, play_height = 34, strip_height = 150, side_width = 344, readings_height = 182;
constexpr int trouble_height = 26;

gui::Color gui_colour(const Colour& colour) {
  return {static_cast<float>(colour.red), static_cast<float>(colour.green), static_cast<float>(colour.blue)};
}

std::shared_ptr<gui::Button> small_button(const char* words) {
  auto button = std::make_shared<gui::Button>(words);
  button->SetPaddingEm(0.45F, 0.1F);
  return button;
}

std::string capital(std::string_view words) {
  std::string text(words);
  if (!text.empty()) text[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(text[0])));
  return text;
}

/// What stands where the clearance will.
std::string unproved_words(const Desk& desk) {
  if (!desk.proving()) return "not proved";
  const ProofProgress progress = desk.progress();
  return fmt::format("being proved, {:.0f} %{}{}", 100 * progress.share, progress.what.empty() ? "" : ": ",
                     progress.what);
}

/// A label that can be broken into lines takes no more room than this many letters.
std::string broken(const std::string& words, std::size_t letters) {
  std::string text;
  std::size_t line = 0;
  for (std::size_t from = 0; from < words.size();) {
    const std::size_t blank = std::min(words.find(' ', from), words.size());
    const std::size_t length = blank - from;
    if (line > 0 && line + 1 + length > letters) {
      text += '\n';
      line = 0;
    } else if (line > 0) {
      text += ' ';
      ++line;
    }
    text += words.substr(from, length);
    line += length;
    from = blank + 1;
  }
  return text;
}

const gui::Margins inwards(10, 9, 0, 0);  // of rows of words

}  // namespace

void Panels::build(int em) {
  build_upper_rim(em);
  build_lower_rim(em);
  build_pages(em);
  build_move(em);
  build_measure(em);
  show_page(Page::findings);
}

void Panels::build_upper_rim(int em) {
  bar = std::make_shared<gui::Horiz>(em / 3, gui::Margins(em / 2, em / 4));
  verdict = std::make_shared<Label>("proving the cell");
  verdict_row = std::make_shared<gui::Vert>(0, inwards);
  verdict_row->AddChild(verdict);
  trouble = std::make_shared<Label>("");
  trouble->SetVisible(false);
  trouble->SetTextColor(gui_colour(panel::fails));
  run = std::make_shared<gui::Combobox>();
  unit = std::make_shared<gui::Combobox>(std::vector<const char*>{"mm", "inch"});
  bar->AddStretch();
  bar->AddChild(run);
  for (const Side side : {Side::quarter, Side::front, Side::back, Side::left, Side::right, Side::top}) {
    sides.push_back(small_button(capital(side_name(side)).c_str()));
    bar->AddChild(sides.back());
  }
  fit = small_button("Fit");
  bar->AddChild(fit);
  bar->AddChild(unit);
}

void Panels::build_lower_rim(int em) {
  play_row = std::make_shared<gui::Horiz>(em / 3, gui::Margins(em / 2, em / 4));
  play = small_button("Play");
  previous = small_button("Previous finding");
  next = small_button("Next finding");
  instant = std::make_shared<Label>("");
  instant_row = std::make_shared<gui::Vert>(0, inwards);
  instant_row->AddChild(instant);
  play_row->AddChild(play);
  play_row->AddChild(previous);
  play_row->AddChild(next);
  strip = std::make_shared<PictureWidget>(panel::back);
}

void Panels::build_pages(int em) {
  page_row = std::make_shared<gui::Horiz>(em / 3, gui::Margins(em / 2, em / 4));
  for (const char* words : {"Findings", "Bodies", "Move & measure"}) {
    pages.push_back(small_button(words));
    pages.back()->SetToggleable(true);
    page_row->AddChild(pages.back());
  }
  cards = std::make_shared<PictureWidget>(panel::back);
  readings = std::make_shared<PictureWidget>(panel::back);
  inset = std::make_shared<PictureWidget>(panel::back);
  camera = std::make_shared<gui::Combobox>();
  bodies = std::make_shared<gui::WidgetProxy>();
}

void Panels::build_move(int em) {
  move = std::make_shared<gui::Vert>(em / 3, gui::Margins(em / 2));
  mover = std::make_shared<gui::Combobox>();
  move->AddChild(std::make_shared<Label>("Move what stands on the floor"));
  move->AddChild(mover);
  auto grid = std::make_shared<gui::VGrid>(2, em / 3);
  for (const char* words : {"x", "y", "z", "turn about z, deg"}) {
    offsets.push_back(std::make_shared<gui::NumberEdit>(gui::NumberEdit::DOUBLE));
    offsets.back()->SetDecimalPrecision(2);
    grid->AddChild(std::make_shared<Label>(words));
    grid->AddChild(offsets.back());
  }
  move->AddChild(grid);
  prove_here = small_button("Prove it here");
  put_back = small_button("Put back");
  drag = small_button("Drag in the view");
  drag->SetToggleable(true);
  auto buttons = std::make_shared<gui::Horiz>(em / 3);
  for (const auto& button : {prove_here, put_back, drag}) buttons->AddChild(button);
  move->AddChild(buttons);
  move_words = std::make_shared<Label>("");
  move->AddChild(move_words);
}

/// Below what moves, on the same page.
void Panels::build_measure(int em) {
  move->AddFixed(em);
  move->AddChild(std::make_shared<Label>("Measure between two points"));
  ruler = small_button("Pick points in the view");
  ruler->SetToggleable(true);
  move->AddChild(ruler);
  ruler_words = std::make_shared<Label>("");
  move->AddChild(ruler_words);
}

/// Gives how high both are: side by side where there is room, else the verdict above.
int Panels::place_upper_rim(const Rect& window, const gui::LayoutContext& context) {
  constexpr int verdict_width = 520;
  const int bar_width = bar->CalcPreferredSize(context, gui::Widget::Constraints()).width;
  const bool beside = window.width >= verdict_width + bar_width;
  verdict_row->SetFrame({window.x, window.y, beside ? verdict_width : window.width, bar_height});
  if (beside)
    bar->SetFrame({window.x + verdict_width, window.y, window.width - verdict_width, bar_height});
  else
    bar->SetFrame({window.x, window.y + bar_height, window.width, bar_height});
  return beside ? bar_height : 2 * bar_height;
}

/// Cards first; the figures and the camera's picture where there is room for them as well.
void Panels::place_findings(const Rect& side) {
  constexpr int least_cards = 90, least_inset = 110, most_inset = 250;
  readings_fit = side.height >= least_cards + readings_height;
  const int above = least_cards + (readings_fit ? readings_height : 0);
  inset_fits = camera->GetNumberOfItems() > 0 && side.height >= above + least_inset;
  const int inset_height = inset_fits ? std::clamp(side.height / 3, least_inset, most_inset) : 0;
  const int cards_height = std::max(1, side.height - (readings_fit ? readings_height : 0) - inset_height);
  const int inset_top = side.y + side.height - inset_height;
  cards->SetFrame({side.x, side.y, side.width, cards_height});
  readings->SetFrame({side.x, side.y + cards_height, side.width, readings_height});
  camera->SetFrame({side.x + 8, inset_top, side.width / 2, 24});
  inset->SetFrame({side.x + 8, inset_top, side.width - 16, std::max(1, inset_height - 4)});
}

Panels::Rect Panels::place(const Rect& window, const gui::LayoutContext& context) {
  const int left = window.x, right = window.x + window.width, bottom = window.y + window.height;
  const int top = window.y + place_upper_rim(window, context);
  const bool told = trouble->IsVisible();
  trouble->SetFrame({left + 8, top, window.width - 16, told ? trouble_height : 0});
  const int middle = top + (told ? trouble_height : 0);
  strip->SetFrame({left, bottom - strip_height, window.width, strip_height});
  const int play_top = bottom - strip_height - play_height;
  constexpr int buttons_width = 296;
  play_row->SetFrame({left, play_top, buttons_width, play_height});
  instant_row->SetFrame(
      {left + buttons_width, play_top, std::max(1, window.width - side_width - buttons_width), play_height});
  const int side = right - side_width;
  page_row->SetFrame({side, middle, side_width, play_height});
  const int page_top = middle + play_height;
  const Rect page_frame(side, page_top, side_width, std::max(1, bottom - strip_height - page_top));
  bodies->SetFrame(page_frame);
  move->SetFrame(page_frame);
  place_findings(page_frame);
  show_page(page);
  return {left, middle, std::max(1, window.width - side_width), std::max(1, play_top - middle)};
}

void Panels::show_page(Page shown) {
  page = shown;
  for (std::size_t i = 0; i < pages.size(); ++i) pages[i]->SetOn(static_cast<std::size_t>(shown) == i);
  const bool findings = shown == Page::findings;
  cards->SetVisible(findings);
  readings->SetVisible(findings && readings_fit);
  inset->SetVisible(findings && inset_fits);
  camera->SetVisible(findings && inset_fits && camera->GetNumberOfItems() > 1);
  if (body_list) body_list->SetVisible(shown == Page::bodies);
  bodies->SetVisible(shown == Page::bodies);
  move->SetVisible(shown == Page::move);
}

std::vector<Control> Panels::controls() const {
  std::vector<Control> all;
  const auto add = [&](const std::string& name, const gui::Widget& widget, bool seen = true) {
    if (seen && widget.IsVisible()) all.push_back({name, widget.GetFrame()});
  };
  add("run", *run);
  for (const auto& side : sides) add(side->GetText(), *side);
  add("fit", *fit);
  add("unit", *unit);
  add("play", *play);
  add("previous", *previous);
  add("next", *next);
  add("strip", *strip);
  for (const auto& button : pages) add(button->GetText(), *button);
  add("cards", *cards);
  add("camera", *camera);
  for (const auto& [name, widget] : body_controls) add(name, *widget, page == Page::bodies);
  const bool moving = page == Page::move;
  add("mover", *mover, moving);
  constexpr std::array<const char*, 4> fields{"x", "y", "z", "yaw"};
  for (std::size_t i = 0; i < offsets.size(); ++i) add(fields[i], *offsets[i], moving);
  add("prove here", *prove_here, moving);
  add("put back", *put_back, moving);
  add("drag", *drag, moving);
  add("ruler", *ruler, moving);
  return all;
}

void Panels::draw_strip_of(const Desk& desk) {
  const Rect& frame = strip->GetFrame();
  StripContent content{desk.timeline(), desk.plot(), desk.playhead().time_s, desk.chosen_finding(), desk.unit(), {}};
  if (!desk.proved()) content.unproved = unproved_words(desk);
  const StripGround wanted{desk.cell_number(),    desk.playhead().run, step_at(desk.timeline(), content.time_s),
                           desk.chosen_finding(), desk.unit(),         frame.width,
                           frame.height,          content.unproved};
  if (!(wanted == drawn_ground)) strip_ground = draw_strip_ground(content, frame.width, frame.height);
  drawn_ground = wanted;
  strip->show(with_playhead(strip_ground, content));
}

void Panels::draw_cards_of(const Desk& desk) {
  const Rect& frame = cards->GetFrame();
  cards_scrolled = std::clamp(cards_scrolled, 0.0, std::max(0.0, drawn_cards.list_height - frame.height));
  drawn_cards = draw_cards({desk.proof()->report, desk.groups(), desk.chosen_group(), cards_scrolled, desk.proved()},
                           frame.width, frame.height);
  cards->show(drawn_cards.image);
}

void Panels::draw_readings_of(const Desk& desk) {
  const Rect& frame = readings->GetFrame();
  const std::optional<ClearanceFigure> none;
  const auto& gap = desk.gap();
  const bool is_new =
      gap && gap->time_s == desk.moment().time_s && gap->run == desk.moment().run && desk.placement_proved();
  readings->show(draw_readings(
      {*desk.proof()->scene, desk.moment(), gap ? gap->gap : none, is_new, desk.gap_rule_mm(), desk.unit()},
      frame.width, frame.height));
}

void Panels::draw_inset_of(const Desk& desk) {
  if (desk.inset()) inset->show(desk.inset()->image);
}

void Panels::tell_verdict(const Desk& desk) {
  trouble->SetText(desk.trouble().c_str());
  trouble->SetVisible(!desk.trouble().empty());
  if (desk.proving()) {
    const std::string name = desk.proof() ? desk.proof()->report.cell + ": " : "";
    verdict->SetText(fmt::format("{}proving, {:.0f} %", name, 100 * desk.progress().share).c_str());
    verdict->SetTextColor(gui_colour(panel::care));
    return;
  }
  if (!desk.proof()) {
    verdict->SetText("nothing to show");
    return;
  }
  if (!desk.proved()) {
    verdict->SetText((desk.proof()->report.cell + ": not proved").c_str());
    verdict->SetTextColor(gui_colour(panel::care));
    return;
  }
  const Report& report = desk.proof()->report;
  const auto fails = std::ranges::count_if(
      desk.groups(), [&](const Gathered& group) { return report.findings[group.worst].severity == Severity::fail; });
  const std::string words =
      report.pass ? fmt::format("{}: PASSES", report.cell)
                  : fmt::format("{}: FAILS, {} {} to change", report.cell, fails, fails == 1 ? "thing" : "things");
  verdict->SetText(words.c_str());
  verdict->SetTextColor(gui_colour(report.pass ? panel::passes : panel::fails));
}

void Panels::tell_instant(const Desk& desk) {
  const Moment& moment = desk.moment();
  const std::string run_name = desk.timeline().run.empty() ? "" : desk.timeline().run + " · ";
  const std::string step =
      moment.stretch ? fmt::format("{} ({})", moment.stretch->step, kind_name(moment.stretch->kind)) : "no step";
  instant->SetText(
      fmt::format("{}{:.2f} of {:.2f} s · {}", run_name, moment.time_s, desk.timeline().duration_s, step).c_str());
  play->SetText(desk.playhead().playing ? "Pause" : "Play");
}

void Panels::tell_placement(const Desk& desk) {
  const Placement& placement = desk.placement();
  if (desk.mover() == told_mover && placement.offset == told_placement.offset && placement.yaw == told_placement.yaw)
    return;
  told_mover = desk.mover();
  told_placement = placement;
  if (desk.mover().empty() || desk.mover() == "base")
    mover->SetSelectedIndex(desk.mover().empty() ? 0 : 1);
  else
    mover->SetSelectedValue(desk.mover().c_str());
  for (int i = 0; i < 3; ++i)
    entry(offsets, i)->SetValue(in_unit(placement.offset[i], desk.unit()) + 0.0);  // no minus before nothing
  offsets[3]->SetValue(degrees(placement.yaw) + 0.0);
}

void Panels::tell_move(const Desk& desk) {
  tell_placement(desk);
  const Cell& proved = desk.proof()->scene->cell;
  std::string words;
  if (!desk.mover().empty()) {
    const Placement& placement = desk.placement();
    words = fmt::format("'{}' stands {} from where the file has it{}.", desk.mover(),
                        vector_text(placement.offset, desk.unit()),
                        placement.yaw == 0 ? "" : fmt::format(", turned {} deg", figure(degrees(placement.yaw), 2)));
    words = broken(words, 44) + "\n" + (desk.placement_proved() ? "This is proved.\n" : "Not proved yet.\n") +
            broken("To keep it, write in " + proved.file.filename().string() + ":", 44) + "\n" +
            broken(desk.line_to_keep(), 44);
  }
  move_words->SetText(words.c_str());
  const std::string length = ruler_text(*desk.proof()->scene, desk.moment().at, desk.ruler(), desk.unit());
  ruler_words->SetText(length.empty() ? "corners within a few pixels are taken" : broken(length, 44).c_str());
}

void Panels::fill_lists(const Desk& desk) {
  const Proof& proof = *desk.proof();
  const Scene& scene = *proof.scene;
  run->ClearItems();
  for (const CycleRun& entry : proof.cycle->runs)
    run->AddItem(entry.name.empty() ? "the cycle"
                                    : (entry.name + (entry.others.empty() ? "" : ", " + entry.others)).c_str());
  run->SetSelectedIndex(static_cast<int>(desk.playhead().run));
  camera->ClearItems();
  for (const Camera& entry : scene.cell.cameras) camera->AddItem(entry.name.c_str());
  mover->ClearItems();
  mover->AddItem("nothing");
  for (const std::string& name : movers_of(scene)) mover->AddItem(name == "base" ? "the arm's base" : name.c_str());
  mover->SetSelectedIndex(0);
  told_mover.clear();
  told_placement = {};
  show_page(page);
}

void Panels::fill_bodies(const Desk& desk, const std::set<std::string>& see_through, const Signs& signs, int em) {
  auto list = std::make_shared<gui::ScrollableVert>(em / 5, gui::Margins(em / 2, em / 2, 3 * em / 2, em / 2));
  body_controls.clear();
  const auto tick = [&](const std::string& words, bool on, std::function<void(bool)> told) {
    auto box = std::make_shared<Checkbox>(words.c_str());
    body_controls.emplace_back("show " + words, box);
    box->SetChecked(on);
    box->SetOnChecked(std::move(told));
    return box;
  };
  const auto sign = [&](const char* words, bool Signs::*kind) {
    list->AddChild(tick(words, signs.*kind, [this, kind](bool on) {
      shown_signs.*kind = on;
      on_signs(shown_signs);
    }));
  };
  shown_signs = signs;
  sign("what cameras see, and targets", &Signs::views);
  sign("zones", &Signs::zones);
  sign("seats", &Signs::seats);
  sign("frames and tcps", &Signs::frames);
  const auto& all = desk.proof()->scene->bodies;
  for (const BodyKind kind : {BodyKind::arm, BodyKind::end_effector, BodyKind::part, BodyKind::surroundings}) {
    std::vector<std::string> names;
    for (const SceneBody& body : all)
      if (body.kind == kind) names.push_back(body.name);
    if (names.empty()) continue;
    list->AddFixed(em / 2);
    const bool any = std::ranges::any_of(names, [&](const std::string& name) { return !desk.hidden(name); });
    list->AddChild(tick("all: " + std::string(kind_name(kind)), any, [this, names](bool on) { on_shown(names, on); }));
    for (const std::string& name : names) {
      auto row = std::make_shared<gui::Horiz>(em / 3);
      row->AddFixed(em);
      row->AddChild(tick(name, !desk.hidden(name), [this, name](bool on) { on_shown({name}, on); }));
      row->AddStretch();
      auto through = small_button("see-through");
      through->SetToggleable(true);
      through->SetOn(see_through.contains(name));
      through->SetOnClicked([this, name] { on_see_through(name); });
      body_controls.emplace_back("see through " + name, through);
      row->AddChild(through);
      list->AddChild(row);
    }
  }
  body_list = list;
  body_list->SetVisible(page == Page::bodies);
  bodies->SetWidget(list);
}

}  // namespace cellproof
