// SPDX-License-Identifier: GPL-3.0-or-later
// cellproof picture: a still of the cell at an instant, or what a camera sees. Needs no display.
#include <algorithm>
#include <cmath>
#include <memory>
#include <optional>

#include <fmt/format.h>

#include "app/commands.hpp"
#include "app/option_values.hpp"
#include "app/output_files.hpp"
#include "app/whole_file.hpp"
#include "checks/passing_choices.hpp"
#include "scene/basics/named_entry.hpp"
#include "scene/basics/units.hpp"
#include "scene/cell/cell_file.hpp"
#include "scene/cycle/plan.hpp"
#include "viewer/pictures/moment_pictures.hpp"

namespace cellproof {

namespace {

struct PictureOptions {
  std::string cell, time = "0", run, camera, out, side = "quarter", eye, at;
  std::vector<std::string> hidden;
};

/// The eye's direction for an eye point of the user's own, none without; it looks at --at, or at the flange.
/// Error: a sentence.
tl::expected<std::optional<Vector3d>, std::string> own_direction(const Scene& scene, const PictureOptions& options,
                                                                 const Moment& moment) {
  if (options.eye.empty()) {
    if (options.at.empty()) return std::nullopt;
    return tl::unexpected(std::string("--at: goes with --eye only; give an eye point too"));
  }
  const auto eye = lengths_of_option(options.eye);
  if (!eye) return tl::unexpected("--eye: " + eye.error());
  Vector3d at = moment.at.frame_in_world[scene.flange_frame].translation();
  if (!options.at.empty()) {
    const auto point = lengths_of_option(options.at);
    if (!point) return tl::unexpected("--at: " + point.error());
    at = *point;
  }
  if ((at - *eye).norm() < 1e-3)
    return tl::unexpected(std::string("--eye: the eye stands on the point that it looks at; move one of them"));
  return std::optional<Vector3d>((at - *eye).stableNormalized());
}

/// A look takes no time: a camera's picture at about its instant shows that look, not the step that begins there.
Moment moment_to_draw(const Scene& scene, const Cycle& cycle, std::size_t run, const std::string& camera,
                      double time_s) {
  for (const auto& stretch : cycle.runs[run].stretches) {
    const auto* look = std::get_if<LookStep>(&scene.cell[stretch.step_index].action);
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

/// One run as `check` proves it; the others are left empty.
Cycle with_one_run(const Scene& scene, Cycle cycle, std::size_t run) {
  for (std::size_t i = 0; i < cycle.runs.size(); ++i)
    if (i != run) cycle.runs[i].stretches.clear();
  return with_passing_choices(scene, {}, std::move(cycle));
}

Image image_of(const Scene& scene, const Cycle& cycle, const Moment& moment, const PictureOptions& options,
               const std::optional<Vector3d>& direction) {
  if (!options.camera.empty())
    return render_camera_picture(scene,
                                 camera_picture_of(scene, cycle, moment, id_named(scene.cell.cameras, options.camera)));
  StillRequest request = still_of(scene, cycle, moment);
  mark_nearest(scene, moment, request);
  request.direction = direction;
  request.side = *side_named(options.side);
  request.hidden = options.hidden;
  return render_still(scene, request);
}

int draw(const Cell& cell, const PictureOptions& options, double time_s) {
  const auto scene = build_scene(cell);
  if (!scene) return refuse(scene.error().text());
  Cycle cycle = plan_cycle(*scene);
  const auto number = run_to_draw(cycle, options.run);
  if (!number) return refuse(fmt::format("--run: there is no run '{}'; name one of the seats in `each`", options.run));
  cycle = with_one_run(*scene, std::move(cycle), *number);
  const CycleRun& run = cycle.runs[*number];
  if (run.stretches.empty())
    return refuse(fmt::format("{}: the cycle has no step that can be drawn; see cellproof check", options.cell));
  constexpr double as_printed = 0.005;  // the report gives hundredths
  if (time_s < 0 || time_s > run.duration_s + as_printed)
    return refuse(fmt::format("--time: {:g} s is outside the cycle, which takes {:.2f} s; give a time within it",
                              time_s, run.duration_s));
  const Moment moment = moment_to_draw(*scene, cycle, *number, options.camera, time_s);
  const auto direction = own_direction(*scene, options, moment);
  if (!direction) return refuse(direction.error());
  const Image image = image_of(*scene, cycle, moment, options, *direction);
  const auto png = png_of(image);
  if (!png) return refuse(png.error());
  if (const auto written = write_whole(options.out, *png); !written) return refuse("--out: " + written.error());
  return exit_pass;
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
  if (!side_named(options.side))
    return refuse(
        fmt::format("--from: there is no side '{}'; use quarter, front, back, left, right or top", options.side));
  if (!options.camera.empty() && !id_named(cell->cameras, options.camera))
    return refuse(fmt::format("--camera: there is no camera '{}' in {}; name one of its [[camera]] tables",
                              options.camera, options.cell));
  for (const auto& name : options.hidden)
    if (std::none_of(cell->bodies.begin(), cell->bodies.end(), [&](const Body& body) { return body.name == name; }))
      return refuse(
          fmt::format("--hide: there is no body '{}' in {}; name one of its [[body]] tables", name, options.cell));
  return draw(*cell, options, time->front());
}

}  // namespace

void add_picture(CLI::App& program, int& status) {
  auto options = std::make_shared<PictureOptions>();
  CLI::App* command =
      program.add_subcommand("picture", "a still of the cell at a time of its cycle, or what a camera sees then");
  command->add_option("CELL", options->cell, "the cell file")->required();
  command->add_option("--time", options->time, "time within the cycle, seconds (default: 0)");
  command->add_option("--run", options->run, "which seat of `each` (default: the first)");
  auto* camera = command->add_option("--camera", options->camera, "draw what this camera sees");
  auto* side = command->add_option("--from", options->side,
                                   "side of the still: quarter, front, back, left, right, top (default: quarter)");
  command
      ->add_option("--eye", options->eye,
                   "in place of a side: look from this point of the world, X,Y,Z in mm unless they carry units "
                   "(a parallel view: it gives the direction)")
      ->excludes(side)
      ->excludes(camera);
  command->add_option("--at", options->at, "the point that the eye looks at (default: the flange)");
  command->add_option("--hide", options->hidden, "a body to leave out of the still; may be given again")
      ->allow_extra_args(false);
  command->add_option("--out", options->out, "the PNG file to write")->required();
  command->footer("Example: cellproof picture mycell.toml --time 4.2 --from front --out cell.png");
  command->callback([options, &status] { status = picture(*options); });
}

}  // namespace cellproof
