// SPDX-License-Identifier: GPL-3.0-or-later
// cellproof picture: a still of the cell at an instant, or what a camera sees, or a fixture's
// map. Needs no display.
#include <algorithm>
#include <cmath>
#include <memory>
#include <optional>

#include <fmt/format.h>

#include "app/commands.hpp"
#include "app/option_values.hpp"
#include "app/output_files.hpp"
#include "app/outputs.hpp"
#include "checks/best_choices.hpp"
#include "scene/basics/units.hpp"
#include "scene/cell/cell_file.hpp"
#include "scene/cycle/plan.hpp"
#include "viewer/pictures/hold_map.hpp"
#include "viewer/pictures/moment_pictures.hpp"

namespace cellproof {

namespace {

struct PictureOptions {
  std::string cell, time = "0", run, camera, hold, out, side, eye, at, size;
  bool proved = false;
  std::vector<std::string> hidden;
};

/// What a still looks at, and from where.
struct LookAt {
  Vector3d point = Vector3d::Zero();  ///< world
  std::string body;                   ///< the one named, if any
  std::optional<double> size_mm;      ///< what fills the picture about the point; none: the whole cell
  std::optional<Vector3d> direction;  ///< of an eye point of the user's own
};

/// `--at`: a body's name, or a point of the world; the flange without. Error: a sentence.
tl::expected<void, std::string> take_point(const Scene& scene, const PictureOptions& options, const Moment& moment,
                                           LookAt& look) {
  look.point = moment.at.frame_in_world[scene.flange_frame].translation();
  if (options.at.empty()) return {};
  if (const BodyId body = id_named(scene.bodies, options.at)) {
    if (!moment.at.present[body])
      return tl::unexpected(fmt::format("--at: '{}' is not there at that time; give another --time", options.at));
    const Box& box = scene.bodies[body].solid->box();
    look.body = options.at;
    look.point = moment.at.pose_of(scene.bodies[body]) * ((box.low + box.high) / 2);
    return {};
  }
  const auto point = lengths_of_option(options.at);
  if (!point)
    return tl::unexpected(
        fmt::format("--at: there is no body '{}', and it is no point: {}", options.at, point.error()));
  look.point = *point;
  return {};
}

/// Error: a sentence.
tl::expected<LookAt, std::string> look_at_of(const Scene& scene, const PictureOptions& options, const Moment& moment) {
  LookAt look;
  if (const auto taken = take_point(scene, options, moment, look); !taken) return tl::unexpected(taken.error());
  if (!options.size.empty()) {
    const auto size = parse_quantities(options.size, Kind::length, DefaultUnits{});
    constexpr double least_mm = 1, most_mm = 1e5;
    if (!size || size->size() != 1 || !(size->front() >= least_mm && size->front() <= most_mm))
      return tl::unexpected(
          fmt::format("--size: '{}' is no width of a picture; give mm, from 1 to 100000", options.size));
    look.size_mm = size->front();
  }
  if (options.eye.empty()) {
    if (!options.at.empty() && !look.size_mm)
      return tl::unexpected(std::string("--at: goes with --eye or --size; give one of them too"));
    return look;
  }
  const auto eye = lengths_of_option(options.eye);
  if (!eye) return tl::unexpected("--eye: " + eye.error());
  if ((look.point - *eye).norm() < 1e-3)
    return tl::unexpected(std::string("--eye: the eye stands on the point that it looks at; move one of them"));
  look.direction = (look.point - *eye).stableNormalized();
  return look;
}

/// A look takes no time: a camera's picture at about its instant shows that look, not the step that begins there.
Moment moment_to_draw(const Scene& scene, const Cycle& cycle, std::size_t run, const std::string& camera,
                      double time_s) {
  for (const auto& stretch : cycle.runs[run].stretches) {
    const auto* look = std::get_if<LookStep>(&scene.cell.cycle->steps[stretch.step_index].action);
    if (stretch.kind == StretchKind::look && look->camera == camera && std::abs(stretch.start_s - time_s) < 0.01)
      return moment_of(scene, cycle, run, stretch.start_s, stretch.step);
  }
  return moment_of(scene, cycle, run, time_s);
}

/// The first run of that name, or of any; none if there is none.
std::optional<std::size_t> run_to_draw(const Cycle& cycle, const std::string& name) {
  for (std::size_t i = 0; i < cycle.runs.size(); ++i)
    if (name.empty() || cycle.runs[i].name == name) return i;
  return {};
}

/// One run as `check` proves it: where the plan fails, with other joint solutions that pass. The others are left empty.
Cycle with_one_run(const Scene& scene, Cycle cycle, std::size_t run) {
  for (std::size_t i = 0; i < cycle.runs.size(); ++i)
    if (i != run) cycle.runs[i].stretches.clear();
  return with_best_choices(scene, {}, std::move(cycle));
}

/// Near a point: from a side of the user's own, or else from where least stands before it, and without what does.
void come_near(const Scene& scene, const Moment& moment, const PictureOptions& options, const LookAt& look,
               StillRequest& still) {
  still.near = Near{look.point, *look.size_mm};
  if (!look.body.empty()) {
    still.named.push_back(look.body);
    still.solid.push_back(look.body);
  }
  if (!look.direction && options.side.empty()) look_from_free_side(scene, moment, still);
}

Image image_of(const Scene& scene, const Cycle& cycle, const Moment& moment, const PictureOptions& options,
               const LookAt& look) {
  if (!options.camera.empty())
    return render_camera_picture(scene,
                                 camera_picture_of(scene, cycle, moment, id_named(scene.cell.cameras, options.camera)));
  StillRequest request = still_of(scene, cycle, moment);
  mark_nearest(scene, moment, request);
  request.detail += options.proved ? "" : ", as planned";
  request.direction = look.direction;
  request.side = side_named(options.side).value_or(Side::quarter);
  request.hidden = options.hidden;
  if (look.size_mm) come_near(scene, moment, options, look, request);
  return render_still(scene, request);
}

int write(const Image& image, const std::string& file) {
  const auto png = png_of(image);
  if (!png) return refuse(png.error());
  Outputs outputs;
  outputs.add("--out", file, *png);
  return deliver(outputs, exit_pass);
}

int draw_hold(const Scene& scene, const CycleRun& run, const PictureOptions& options) {
  const auto map = hold_map_of(scene, run, id_named(scene.cell.holds, options.hold));
  if (!map) return refuse("--hold: " + map.error());
  return write(render_hold_map(*map), options.out);
}

int draw(const Cell& cell, const PictureOptions& options, double time_s) {
  const auto scene = build_scene(cell);
  if (!scene) return refuse(scene.error().text());
  Cycle cycle = plan_cycle(*scene);
  const auto number = run_to_draw(cycle, options.run);
  if (!number) return refuse(fmt::format("--run: there is no run '{}'; name one of the seats in `each`", options.run));
  if (options.proved) cycle = with_one_run(*scene, std::move(cycle), *number);
  const CycleRun& run = cycle.runs[*number];
  if (run.stretches.empty())
    return refuse(fmt::format("{}: the cycle has no step that can be drawn; see cellproof check", options.cell));
  constexpr double as_printed = 0.005;  // the report gives hundredths
  if (time_s < 0 || time_s > run.duration_s + as_printed)
    return refuse(fmt::format("--time: {:g} s is outside the cycle, which takes {:.2f} s; give a time within it",
                              time_s, run.duration_s));
  if (!options.hold.empty()) return draw_hold(*scene, run, options);
  const Moment moment = moment_to_draw(*scene, cycle, *number, options.camera, time_s);
  const auto look = look_at_of(*scene, options, moment);
  if (!look) return refuse(look.error());
  return write(image_of(*scene, cycle, moment, options, *look), options.out);
}

int picture(const PictureOptions& options) {
  if (!names_png(options.out))
    return refuse(fmt::format("--out: '{}' is not a PNG file's name; let it end in .png", options.out));
  const auto cell = read_cell_file(options.cell);
  if (!cell) return refuse(cell.error().text());
  if (const std::string trouble = trouble_with_outputs(*cell, {{"--out", options.out}}); !trouble.empty())
    return refuse(trouble);
  if (!cell->cycle)
    return refuse(fmt::format("{}: cycle: there is no [cycle] to draw; add one with `start`", options.cell));
  const auto time = parse_quantities(options.time, Kind::time, DefaultUnits{});
  if (!time || time->size() != 1) return refuse(fmt::format("--time: '{}' is no time; give seconds", options.time));
  if (!options.side.empty() && !side_named(options.side))
    return refuse(
        fmt::format("--from: there is no side '{}'; use quarter, front, back, left, right or top", options.side));
  if (!options.camera.empty() && !id_named(cell->cameras, options.camera))
    return refuse(fmt::format("--camera: there is no camera '{}' in {}; name one of its [[camera]] tables",
                              options.camera, options.cell));
  if (!options.hold.empty() && !id_named(cell->holds, options.hold))
    return refuse(fmt::format("--hold: there is no hold '{}' in {}; name one of its [[hold]] tables", options.hold,
                              options.cell));
  for (const auto& name : options.hidden)
    if (std::none_of(cell->bodies.begin(), cell->bodies.end(), [&](const Body& body) { return body.name == name; }))
      return refuse(
          fmt::format("--hide: there is no body '{}' in {}; name one of its [[body]] tables", name, options.cell));
  return draw(*cell, options, time->front());
}

}  // namespace

void add_picture(CommandLine& program) {
  auto options = std::make_shared<PictureOptions>();
  Command command = program.command(
      "picture", "a still of the cell at a time of its cycle, what a camera sees then, or a map of a fixture");
  command.word("CELL", options->cell, "the cell file");
  command.option("--run", options->run, "which seat of `each` (default: the first)");
  const Option hold = command.option("--hold", options->hold,
                                     "draw this fixture from above: how many times it holds the cut, place by place");
  command.option("--time", options->time, "time within the cycle, seconds (default: 0)").not_with(hold);
  const Option camera = command.option("--camera", options->camera, "draw what this camera sees").not_with(hold);
  const Option side = command
                          .option("--from", options->side,
                                  "side of the still: quarter, front, back, left, right, top (default: quarter)")
                          .not_with(hold);
  command
      .option("--eye", options->eye,
              "in place of a side: look from this point of the world, X,Y,Z in mm unless they carry units "
              "(a parallel view: it gives the direction)")
      .not_with(side)
      .not_with(camera)
      .not_with(hold);
  command
      .option("--at", options->at,
              "what the eye looks at: a body's name, or a point of the world, X,Y,Z (default: the flange)")
      .not_with(camera)
      .not_with(hold);
  command
      .option(
          "--size", options->size,
          "come near: so many mm about it fill the picture's height; without --from or --eye it is seen from the free "
          "side, and what still stands before it is left out")
      .not_with(camera)
      .not_with(hold);
  command.flag("--proved", options->proved,
               "draw the motion that check reports: where the plan fails, with other joint solutions that pass; "
               "takes as long as a proof");
  command.repeated("--hide", options->hidden, "a body to leave out of the still; may be given again").not_with(hold);
  command.option("--out", options->out, "the PNG file to write").required();
  command.closing(
      "Example: cellproof picture mycell.toml --time 4.2 --from front --out cell.png\n"
      "         cellproof picture mycell.toml --hold vise --out vise.png\n"
      "         cellproof picture mycell.toml --time 4.2 --at gripper --size 300 --out gripper.png");
  command.runs([options] { return picture(*options); });
}

}  // namespace cellproof
