// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/pictures/hold_map.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/format.h>

#include "scene/cell/zone_shape.hpp"
#include "scene/forces/factor_map.hpp"
#include "scene/mesh/convex_outline.hpp"
#include "viewer/pictures/furniture.hpp"
#include "viewer/pictures/map_panel.hpp"
#include "viewer/pictures/palette.hpp"

namespace cellproof {

namespace {

constexpr Colour not_held{0.62, 0.16, 0.10}, nearly_held{0.96, 0.82, 0.68};
constexpr Colour just_held{0.72, 0.86, 0.82}, well_held{0.05, 0.30, 0.36};
constexpr std::size_t places = 2000, places_of_many = 600;  // more than three rests take ten times as long

/// What is drawn, in mm of the seat's xy.
struct HoldPlan {
  FixtureCase fixture;
  FactorMap map;
  std::vector<Vector2d> over;
  std::vector<std::vector<Vector2d>> zones;
  double best = 0;  ///< the greatest factor that is finite
  MapExtent all;
};

std::vector<std::vector<Vector2d>> zones_of(const Scene& scene, const Hold& hold) {
  constexpr int circle_corners = 48;
  const auto world = world_poses(scene, stated_arrangement(scene), scene.cell.cycle->start);
  const Pose world_in_seat = world[scene.frame_named(hold.seat)].inverse();
  std::vector<std::vector<Vector2d>> zones;
  for (const std::string& name : hold.suction) {
    const Pose in_seat = world_in_seat * world[scene.frame_named(name)];
    const Suction& zone = *std::ranges::find(scene.cell.suctions, name, &Suction::name);
    for (const Outline& border : zone_borders(zone, circle_corners)) {
      auto& drawn = zones.emplace_back();
      for (const Vector2d& corner : border)
        drawn.emplace_back((in_seat * Vector3d(corner.x(), corner.y(), 0)).head<2>());
    }
  }
  return zones;
}

HoldPlan plan_of(const HoldMapRequest& request) {
  HoldPlan plan;
  plan.fixture = std::get<FixtureCase>(request.measure.asked);
  plan.map = factor_map(plan.fixture, plan.fixture.contacts.rests.size() > 3 ? places_of_many : places);
  plan.over = convex_outline(plan.fixture.cut.over);
  plan.zones = zones_of(request.scene, request.scene.cell.holds[request.measure.hold]);
  for (const double factor : plan.map.factors)
    if (std::isfinite(factor)) plan.best = std::max(plan.best, factor);
  plan.all = {plan.over.front(), plan.over.front()};
  const auto show = [&](const std::vector<Vector2d>& points) {
    for (const Vector2d& point : points) plan.all.show(point);
  };
  show(plan.over);
  show(plan.fixture.contacts.rests);
  show(request.measure.outline);
  show(request.measure.beside);
  for (const auto& zone : plan.zones) show(zone);
  return plan;
}

Colour colour_of(double factor, double asked, double best) {
  if (factor < asked) return blend(not_held, nearly_held, asked > 0 ? factor / asked : 0);
  return blend(just_held, well_held, best > asked ? std::min(1.0, (factor - asked) / (best - asked)) : 1);
}

class HoldDrawing {
 public:
  HoldDrawing(Canvas& canvas, const HoldMapRequest& request, const HoldPlan& plan, const PanelView& view,
              double letters)
      : canvas_(canvas), request_(request), plan_(plan), view_(view), letters_(letters) {}

  void draw() {
    for (std::size_t i = 0; i < plan_.map.factors.size(); ++i) draw_cell(i);
    outline(request_.measure.outline, {palette::part, 2.5});
    outline(plan_.over, {palette::ink, 1.2, 0.7, true});
    for (const auto& zone : plan_.zones) outline(zone, {palette::end_effector, 1.5});
    for (const Vector2d& rest : plan_.fixture.contacts.rests) draw_rest(rest);
    for (const Vector3d& tip : plan_.fixture.contacts.tips) draw_tip(tip.head<2>());
    for (const Vector2d& place : request_.measure.beside) draw_cross(place, palette::marked);
    draw_worst();
    draw_scale_bar(
        canvas_,
        {view_.area.left + view_.area.width - 2 * letters_, view_.area.top + view_.area.height - 0.7 * letters_},
        view_.mm_per_pixel, letters_);
    draw_rims(canvas_, view_, Vector2d::Zero(), letters_);
  }

 private:
  void draw_cell(std::size_t cell) {
    const double factor = plan_.map.factors[cell];
    if (std::isnan(factor)) return;
    const double size = std::max(plan_.map.step_mm / view_.mm_per_pixel, 0.6 * letters_ * (plan_.over.size() < 3));
    const Vector2d middle = view_.pixel(plan_.map.middle_of(cell));
    constexpr double no_seam = 0.5;
    canvas_.fill({middle.x() - size / 2, middle.y() - size / 2, size + no_seam, size + no_seam},
                 colour_of(factor, request_.scene.cell.rules.hold_factor, plan_.best));
  }

  void outline(const std::vector<Vector2d>& points, const Stroke& stroke) {
    std::vector<Vector2d> pixels;
    for (const Vector2d& point : points) pixels.push_back(view_.pixel(point));
    canvas_.line(pixels, stroke, true);
  }

  void draw_rest(const Vector2d& rest) {
    canvas_.disk(view_.pixel(rest), 0.5 * letters_, palette::ink);
    canvas_.disk(view_.pixel(rest), 0.35 * letters_, palette::paper);
  }

  void draw_tip(const Vector2d& tip) {
    const Vector2d at = view_.pixel(tip);
    const double half = 0.45 * letters_;
    canvas_.fill({at.x() - half, at.y() - half, 2 * half, 2 * half}, palette::ink);
  }

  void draw_cross(const Vector2d& place, const Colour& colour) {
    const Vector2d at = view_.pixel(place), along(0.5 * letters_, 0.5 * letters_), across(along.x(), -along.y());
    for (const Vector2d& arm : {along, across})
      canvas_.line(std::array<Vector2d, 2>{at - arm, at + arm}, {colour, 2.5});
  }

  /// A disk where the cut is held least, an arrow the way it pushes.
  void draw_worst() {
    const FixtureLimit& limit = *request_.measure.limit;
    if (!std::isfinite(limit.factor)) return;
    const Vector2d at = view_.pixel(limit.worst.place);
    canvas_.disk(at, 0.4 * letters_, palette::marked);
    if (!(plan_.fixture.cut.side > 0)) return;
    const Vector2d way(std::cos(limit.worst.towards), -std::sin(limit.worst.towards)), aside(-way.y(), way.x());
    const Vector2d tip = at + 4.5 * letters_ * way;
    canvas_.line(std::array<Vector2d, 2>{at, tip}, {palette::marked, 3});
    canvas_.line(std::array<Vector2d, 3>{tip - 0.8 * letters_ * (way + 0.6 * aside), tip,
                                         tip - 0.8 * letters_ * (way - 0.6 * aside)},
                 {palette::marked, 3});
  }

  Canvas& canvas_;
  const HoldMapRequest& request_;
  const HoldPlan& plan_;
  PanelView view_;
  double letters_;
};

void draw_surround(Canvas& canvas, const Strip& strip, const HoldMapRequest& request, const HoldPlan& plan) {
  const HoldMeasure& measure = request.measure;
  const double asked = request.scene.cell.rules.hold_factor;
  std::vector<LegendEntry> legend{{"0 times", not_held},
                                  {fmt::format("just below {:g}", asked), nearly_held},
                                  {fmt::format("{:g}", asked), just_held}};
  if (plan.best > asked) legend.push_back({fmt::format("{:.1f} times", plan.best), well_held});
  const double room = draw_legend(canvas, strip, legend);
  const std::string held = std::isfinite(measure.factor) ? fmt::format("held {:.2f} times", measure.factor)
                                                         : std::string("held however great it is");
  draw_caption(
      canvas, strip,
      fmt::format("'{}' on '{}': the cut {}, {:g} asked", request.scene.cell.holds[measure.hold].name,
                  request.scene.cell.parts[measure.part].name, held, asked),
      fmt::format("{}, \"{}\"   red disk and arrow: the worst cut   circles: rests{}{}   broken: where the cut "
                  "may be   numbers: mm of the seat",
                  request.scene.cell.name, measure.step, plan.fixture.contacts.tips.empty() ? "" : "   squares: clamps",
                  measure.beside.empty() ? "" : "   red cross: carries nothing"),
      {room, strip.area.left + strip.area.width});
}

}  // namespace

tl::expected<HoldMapRequest, std::string> hold_map_of(const Scene& scene, const CycleRun& run, HoldId hold) {
  const Hold& stated = scene.cell.holds[hold];
  const auto none = [&](const char* why) {
    return tl::unexpected(fmt::format("'{}' has no map: {}", stated.name, why));
  };
  if (is_clasped(stated)) return none("it holds by a jaw, which is judged as a whole");
  if (!stated.cut) return none("it has no `cut`");
  KnownLimits known;
  std::optional<HoldMeasure> worst;
  bool taken = false;
  for (const HoldSpan& span : hold_spans(scene, run)) {
    if (span.hold != hold) continue;
    taken = true;
    auto measure = measure_hold(scene, body_masses(scene), run, span, known);
    if (measure && (!worst || measure->factor < worst->factor)) worst = std::move(measure);
  }
  if (!taken) return none("no step of this run takes it");
  if (!worst) return none("the mass of its part is not known");
  if (!worst->limit) return none("its rests are not known; give `rests`");
  return HoldMapRequest{scene, *std::move(worst)};
}

Image render_hold_map(const HoldMapRequest& request) {
  Image image = blank_image(request.width, request.height, palette::paper);
  Canvas canvas(image);
  const double width = request.width, height = request.height, letters = 14 * std::min(width / 1280, height / 960);
  const Strip strip{{0, height - 4 * letters, width, 4 * letters}, letters};
  const HoldPlan plan = plan_of(request);
  const Area area{letters, letters, width - 2 * letters, height - strip.area.height - 2 * letters};
  {
    Canvas within(image);
    within.keep_within(area);
    HoldDrawing(within, request, plan, view_of(plan.all, area, letters), letters).draw();
  }
  draw_surround(canvas, strip, request, plan);
  return image;
}

}  // namespace cellproof
