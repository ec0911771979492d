// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/pictures/survey_map.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include <fmt/format.h>

#include "checks/studies/reason_letters.hpp"
#include "viewer/pictures/canvas.hpp"
#include "viewer/pictures/furniture.hpp"
#include "viewer/pictures/map_panel.hpp"
#include "viewer/pictures/palette.hpp"
#include "viewer/pictures/plan_outline.hpp"

namespace cellproof {

namespace {

constexpr Colour little_in_hand{0.62, 0.80, 0.78}, much_in_hand{0.05, 0.30, 0.36};
constexpr Colour failing{0.90, 0.87, 0.80};

/// What a body covers, seen from above.
struct Outline {
  std::string name;
  std::vector<Vector2d> points;  ///< mm of the frame that the mover stands on
  Colour colour;
  bool named = false;
};

/// What is drawn of a panel's layer, in mm of the frame that the mover stands on.
struct Plan {
  Pose view_in_world = Pose::Identity();  ///< that frame
  Vector2d stated = Vector2d::Zero();     ///< where the mover stands in the file
  std::vector<Outline> still, moving;     ///< those that move where the file has them
  Vector2d arm = Vector2d::Zero();
  MapExtent all{}, spots{};
};

bool is_carried(const Scene& scene, const Arrangement& stated, const SceneBody& body, const std::string& mover) {
  return rides_on(stated, body.frame, mover == "base" ? scene.base_frame : scene.frame_named(mover));
}

/// Bodies that the survey carries along are no landmarks.
bool stands_still(const Scene& scene, const Arrangement& stated, const SceneBody& body, const SurveyGrid& grid) {
  return body.kind == BodyKind::surroundings &&
         std::none_of(grid.movers.begin(), grid.movers.end(),
                      [&](const MoverGrid& mover) { return is_carried(scene, stated, body, mover.mover); });
}

/// Half the width of a spot's square along an axis that is not surveyed: as wide as along the other.
Vector2d half_cell(const MoverGrid& mover) {
  Vector2d half(mover.step[0] / 2, mover.step[1] / 2);
  if (half.x() == 0) half.x() = half.y() > 0 ? half.y() : 20;
  if (half.y() == 0) half.y() = half.x();
  return half;
}

Plan plan_of(const Scene& scene, const SurveyGrid& grid) {
  const MoverGrid& mover = grid.movers.front();
  const Arrangement stated = stated_arrangement(scene);
  const Joints start = scene.cell.cycle->start;
  const auto world = world_poses(scene, stated, start);
  Plan plan;
  const Frame& frame = scene.frames[frame_of_mover(scene, mover.mover)];
  plan.view_in_world = world[frame.parent];
  plan.stated = frame.in_parent.translation().head<2>();
  for (const BodyId i : ids_of(scene.bodies)) {
    const SceneBody& body = scene.bodies[i];
    if (!stated.present[i]) continue;
    const bool moves = is_carried(scene, stated, body, mover.mover);
    if (!moves && !stands_still(scene, stated, body, grid)) continue;
    (moves ? plan.moving : plan.still)
        .push_back({body.name, plan_outline(body, world[body.frame], plan.view_in_world),
                    moves ? palette::of(body.kind) : palette::faint_ink, body.kind == BodyKind::surroundings});
  }
  plan.arm = (plan.view_in_world.inverse() * world[scene.base_frame].translation()).head<2>();
  const Vector2d half = half_cell(mover);
  plan.spots = {plan.stated, plan.stated};
  for (const double x : {mover.values[0].front(), mover.values[0].back()})
    for (const double y : {mover.values[1].front(), mover.values[1].back()})
      for (const double side : {-1.0, 1.0}) plan.spots.show(plan.stated + Vector2d(x, y) + side * half);
  plan.all = plan.spots;
  plan.all.show(plan.arm);
  for (const auto* outlines : {&plan.still, &plan.moving})
    for (const Outline& outline : *outlines)
      for (const Vector2d& point : outline.points) plan.all.show(point);
  return plan;
}

/// A layer: a spot of it stands for all.
struct SpotLayer {
  std::size_t spot = 0;  ///< place in the result's spots
  std::string words;
};

/// Whether the second mover stands as for the spot that the map is about.
bool same_company(const SurveyGrid& grid, std::size_t a, std::size_t b) {
  const auto of_a = grid.places_of(a), of_b = grid.places_of(b);
  return std::equal(of_a.begin() + 4, of_a.end(), of_b.begin() + 4);
}

/// Where the mover stands by the axes that a panel does not show; empty without such.
std::string layer_words(const SurveyGrid& grid, std::size_t index) {
  const Placement placement = grid.placements(index).front();
  std::string words;
  if (grid.movers.front().surveyed[2]) words += fmt::format("z {:+g} mm  ", placement.offset.z() + 0.0);
  if (grid.movers.front().surveyed[3]) words += fmt::format("yaw {:+g} deg", degrees(placement.yaw) + 0.0);
  return words;
}

std::vector<SpotLayer> layers_of(const SurveyResult& result) {
  std::vector<SpotLayer> layers;
  if (result.spots.empty()) return layers;
  const std::size_t about = result.spots[result.best.value_or(0)].index;
  for (std::size_t i = 0; i < result.spots.size(); ++i) {
    const std::size_t index = result.spots[i].index;
    if (!same_company(result.grid, index, about)) continue;
    if (std::any_of(layers.begin(), layers.end(), [&](const SpotLayer& layer) {
          return result.grid.same_layer(result.spots[layer.spot].index, index);
        }))
      continue;
    layers.push_back({i, layer_words(result.grid, index)});
  }
  if (layers.size() > most_panels) {
    const auto best = std::find_if(layers.begin(), layers.end(), [&](const SpotLayer& layer) {
      return result.grid.same_layer(result.spots[layer.spot].index, about);
    });
    if (best - layers.begin() >= static_cast<std::ptrdiff_t>(most_panels)) layers[most_panels - 1] = *best;
    layers.resize(most_panels);
  }
  return layers;
}

/// Darker the more is in hand, from just passing to the best.
Colour colour_of(const SpotVerdict& verdict, double best_score) {
  if (!verdict.pass) return failing;
  const double score = verdict.score.value_or(1);
  const double share = best_score > 1 ? std::clamp((score - 1) / (best_score - 1), 0.0, 1.0) : 1;
  return blend(little_in_hand, much_in_hand, share);
}

class Panel {
 public:
  Panel(Canvas& canvas, const SurveyResult& result, const Plan& plan, const PanelView& view, double letters)
      : canvas_(canvas), result_(result), plan_(plan), view_(view), letters_(letters) {}

  /// Everything to scale, with a frame about the spots.
  void draw_overview() {
    for (const Outline& outline : plan_.still) draw_outline(outline, {outline.colour, 1.2, 0.8});
    draw_moving({});
    if (result_.best) draw_moving(result_.grid.placements(result_.spots[*result_.best].index).front());
    draw_arm();
    const Vector2d &low = plan_.spots.least, &high = plan_.spots.most;
    const std::array<Vector2d, 4> corners{view_.pixel(low), view_.pixel({high.x(), low.y()}), view_.pixel(high),
                                          view_.pixel({low.x(), high.y()})};
    canvas_.line(corners, {palette::marked, 2}, true);
    tell("from above, the spots framed");
    draw_scale();
    name_outlines();
    draw_rims(canvas_, view_, plan_.stated, letters_);
  }

  void draw(const SpotLayer& layer, double best_score) {
    for (std::size_t i = 0; i < result_.spots.size(); ++i)
      if (result_.grid.same_layer(result_.spots[i].index, result_.spots[layer.spot].index)) draw_spot(i, best_score);
    for (const Outline& outline : plan_.still) draw_outline(outline, {outline.colour, 1.2, 0.8});
    draw_moving(result_.grid.placements(result_.spots[layer.spot].index).front(), true);
    if (result_.best && result_.grid.same_layer(result_.spots[*result_.best].index, result_.spots[layer.spot].index))
      draw_best();
    tell(layer.words);
    const auto& values = result_.grid.movers.front().values;
    if (values[0].size() * values[1].size() > 1) draw_scale();
    draw_rims(canvas_, view_, plan_.stated, letters_);
  }

 private:
  void tell(const std::string& words) {
    canvas_.text({view_.area.left + 4, view_.area.top + letters_ * 1.1}, words, {letters_, palette::ink, true});
  }

  void draw_scale() {
    draw_scale_bar(
        canvas_,
        {view_.area.left + view_.area.width - 2 * letters_, view_.area.top + view_.area.height - 0.7 * letters_},
        view_.mm_per_pixel, letters_);
  }

  Vector2d place(std::size_t spot) const {
    return plan_.stated + result_.grid.placements(result_.spots[spot].index).front().offset.head<2>();
  }

  void draw_spot(std::size_t spot, double best_score) {
    const SpotVerdict& verdict = result_.spots[spot].verdict;
    const Vector2d half = half_cell(result_.grid.movers.front()), at = place(spot);
    const Vector2d low = view_.pixel(at - half), high = view_.pixel(at + half);
    canvas_.fill({low.x(), high.y(), high.x() - low.x(), low.y() - high.y()}, colour_of(verdict, best_score));
    if (verdict.pass) return;
    const double size = std::min(0.75 * (high.x() - low.x()), letters_);
    if (size < 5) return;  // no letter could be read
    const Lettering lettering{size, palette::faint_ink, false, false};
    const std::string letter(1, letter_of_reason(verdict.reason));
    const Vector2d middle = view_.pixel(at);
    canvas_.text({middle.x() - canvas_.width_of(letter, lettering) / 2, middle.y() + 0.36 * size}, letter, lettering);
  }

  void draw_outline(const Outline& outline, const Stroke& stroke) {
    std::vector<Vector2d> pixels;
    for (const Vector2d& point : outline.points) pixels.push_back(view_.pixel(point));
    canvas_.line(pixels, stroke, true);
  }

  /// What the survey moves, at a place: where the file has it in broken lines. A layer shows it by its turn alone,
  /// where the best spot is or else where the file has it.
  void draw_moving(const Placement& placement, bool by_turn_alone = false) {
    Placement shown = placement;
    if (by_turn_alone)
      shown.offset =
          result_.best ? result_.grid.placements(result_.spots[*result_.best].index).front().offset : Vector3d::Zero();
    const bool stated = shown.offset.head<2>().isZero() && shown.yaw == 0;
    const Eigen::Rotation2Dd turn(shown.yaw);
    for (Outline outline : plan_.moving) {
      for (Vector2d& point : outline.points)
        point = plan_.stated + shown.offset.head<2>() + turn * (point - plan_.stated);
      draw_outline(outline, {outline.colour, stated ? 1.2 : 2, 1, stated});
    }
  }

  /// Each name within its outline, or above or below it, where it meets no other.
  void name_outlines() {
    std::vector<Area> taken;
    const Lettering lettering{0.8 * letters_, palette::ink};
    const auto write = [&](const Outline& outline) {
      MapExtent box{view_.pixel(outline.points.front()), view_.pixel(outline.points.front())};
      for (const Vector2d& point : outline.points) box.show(view_.pixel(point));
      const Vector2d middle = (box.least + box.most) / 2;
      const double width = canvas_.width_of(outline.name, lettering), height = letters_;
      for (const double row : {middle.y(), box.least.y() - 0.6 * height, box.most.y() + 0.6 * height}) {
        const double most_left = view_.area.left + view_.area.width - width;
        const Area area{std::clamp(middle.x() - width / 2, view_.area.left, std::max(view_.area.left, most_left)),
                        row - height / 2, width, height};
        if (std::ranges::any_of(taken, [&](const Area& other) { return other.overlaps(area); })) continue;
        taken.push_back(area);
        canvas_.text({area.left, row + 0.3 * height}, outline.name, lettering);
        return;
      }
    };
    for (const auto* outlines : {&plan_.moving, &plan_.still})
      for (const Outline& outline : *outlines)
        if (outline.named && !outline.points.empty()) write(outline);
  }

  void draw_arm() {
    const Vector2d middle = view_.pixel(plan_.arm);
    const double size = 0.6 * letters_;
    canvas_.line(std::array<Vector2d, 2>{middle - Vector2d(size, 0), middle + Vector2d(size, 0)}, {palette::ink, 2});
    canvas_.line(std::array<Vector2d, 2>{middle - Vector2d(0, size), middle + Vector2d(0, size)}, {palette::ink, 2});
    canvas_.text(middle + Vector2d(0.5 * letters_, -0.4 * letters_), "arm", {letters_, palette::ink});
  }

  void draw_ring(const Vector2d& centre_mm, double radius_mm, const Stroke& stroke) {
    std::vector<Vector2d> ring;
    for (int i = 0; i < 64; ++i) {
      const double angle = 2 * pi * i / 64;
      ring.push_back(view_.pixel(centre_mm + radius_mm * Vector2d(std::cos(angle), std::sin(angle))));
    }
    canvas_.line(ring, stroke, true);
  }

  void draw_best() {
    const Vector2d at = place(*result_.best);
    if (result_.slack_mm && *result_.slack_mm > 0) draw_ring(at, *result_.slack_mm, {palette::marked, 2});
    canvas_.disk(view_.pixel(at), 0.3 * letters_, palette::marked);
    const Lettering lettering{letters_, palette::marked, true};
    const Vector2d pixel = view_.pixel(at);
    const double width = canvas_.width_of("best", lettering), beside = 0.5 * letters_;
    const bool fits = pixel.x() + beside + width <= view_.area.left + view_.area.width;
    canvas_.text(pixel + Vector2d(fits ? beside : -beside - width, 0.35 * letters_), "best", lettering);
  }

  Canvas& canvas_;
  const SurveyResult& result_;
  const Plan& plan_;
  PanelView view_;
  double letters_;
};

std::vector<Area> panel_areas(std::size_t count, const Area& whole) {
  const auto columns = static_cast<std::size_t>(
      std::ceil(std::sqrt(static_cast<double>(count) * whole.width / std::max(1.0, 1.3 * whole.height))));
  const std::size_t across = std::clamp<std::size_t>(columns, 1, count), down = (count + across - 1) / across;
  const double gap = 10, width = whole.width / static_cast<double>(across),
               height = whole.height / static_cast<double>(down);
  std::vector<Area> areas;
  for (std::size_t i = 0; i < count; ++i)
    areas.push_back({whole.left + static_cast<double>(i % across) * width,
                     whole.top + static_cast<double>(i / across) * height, width - gap, height - gap});
  return areas;
}

double score_of_best(const SurveyResult& result) {
  return result.best ? result.spots[*result.best].verdict.score.value_or(1) : 1;
}

/// "C clearance" for every reason that occurs.
std::string letters_text(const SurveyResult& result) {
  std::string text;
  for (const auto& entry : reason_letters)
    if (std::any_of(result.spots.begin(), result.spots.end(),
                    [&](const Spot& spot) { return spot.verdict.reason == entry.reason; }))
      text += fmt::format("{}{} {}", text.empty() ? "" : "   ", entry.letter, entry.reason);
  return text.empty() ? "every spot passes" : "fails by: " + text;
}

std::string best_words(const SurveyResult& result) {
  if (!result.best) return "no spot passes";
  const std::size_t index = result.spots[*result.best].index;
  const Placement best = result.grid.placements(index).front();
  const std::string layer = layer_words(result.grid, index);
  std::string words = fmt::format("best x {:+g}, y {:+g} mm{}{}", best.offset.x() + 0.0, best.offset.y() + 0.0,
                                  layer.empty() ? "" : ", ", layer);
  words.erase(words.find_last_not_of(' ') + 1);
  if (result.slack_mm) words += fmt::format(", slack {:.1f} mm", *result.slack_mm);
  return words;
}

void draw_surround(Canvas& canvas, const Strip& strip, const SurveyMapRequest& request) {
  const SurveyResult& result = request.result;
  const double best = score_of_best(result);
  std::vector<LegendEntry> legend{{"fails", failing}, {"score 1", little_in_hand}};
  if (best > 1) legend.push_back({fmt::format("score {:.2f}", best), much_in_hand});
  const double room = draw_legend(canvas, strip, legend);
  draw_caption(canvas, strip,
               fmt::format("{}: survey \"{}\" of '{}', {}", request.scene.cell.name, result.survey,
                           result.grid.movers.front().mover, best_words(result)),
               letters_text(result) + "   numbers: mm from where the file has it",
               {room, strip.area.left + strip.area.width});
}

}  // namespace

Image render_survey_map(const SurveyMapRequest& request) {
  Image image = blank_image(request.width, request.height, palette::paper);
  Canvas canvas(image);
  const double width = request.width, height = request.height, letters = 14 * std::min(width / 1280, height / 960);
  const Strip strip{{0, height - 4 * letters, width, 4 * letters}, letters};
  const Plan plan = plan_of(request.scene, request.result.grid);
  const auto layers = layers_of(request.result);
  const auto areas =
      panel_areas(layers.size() + 1, {letters, letters, width - 2 * letters, height - strip.area.height - 2 * letters});
  for (std::size_t i = 0; i < areas.size(); ++i) {  // each panel draws within its own area only
    Canvas within(image);
    within.keep_within(areas[i]);
    Panel panel(within, request.result, plan, view_of(i == 0 ? plan.all : plan.spots, areas[i], letters), letters);
    if (i == 0)
      panel.draw_overview();
    else
      panel.draw(layers[i - 1], score_of_best(request.result));
  }
  draw_surround(canvas, strip, request);
  return image;
}

}  // namespace cellproof
