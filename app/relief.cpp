// SPDX-License-Identifier: GPL-3.0-or-later
// cellproof relief: a body with a camera's view cut free.
#include <algorithm>
#include <memory>

#include <fmt/format.h>

#include "app/commands.hpp"
#include "app/interrupt.hpp"
#include "app/option_values.hpp"
#include "app/output_files.hpp"
#include "app/outputs.hpp"
#include "app/relief_output.hpp"
#include "scene/cell/cell_file.hpp"
#include "scene/cycle/plan.hpp"
#include "scene/files/mesh_format.hpp"
#include "scene/files/stl_file.hpp"
#include "scene/with_mesh.hpp"
#include "viewer/pictures/beside.hpp"
#include "viewer/pictures/camera_picture.hpp"

namespace cellproof {

namespace {

struct ReliefOptions {
  std::string cell, camera, body, margin, out, json, picture;
  bool targets = false, cutter_only = false;
};

int refuse_model(const ModelError& error) {
  return refuse(fmt::format("{}; {}", error.what, error.mend));
}

bool names_stl(const std::string& file) {
  const MeshFormat* format = mesh_format_of(file);
  return format && format->extension == ".stl";
}

/// What is wrong with the options themselves; nothing if nothing is.
std::string trouble_with(const ReliefOptions& options) {
  if (!names_stl(options.out) && !holds_solids(options.out))
    return fmt::format("--out: '{}' is neither an STL nor a STEP file's name; let it end in .stl or .step",
                       options.out);
  if (options.body.empty() && !options.cutter_only)
    return "--body: which body is to be cut? Name one, or add --cutter-only";
  if (options.cutter_only && !options.picture.empty())
    return "--picture: goes without --cutter-only; nothing is cut there";
  if (options.cutter_only && !options.json.empty())
    return "--json: goes without --cutter-only; there is nothing to tell";
  if (!options.picture.empty() && !names_png(options.picture))
    return fmt::format("--picture: '{}' is not a PNG file's name; let it end in .png", options.picture);
  return {};
}

/// Millimetres, 0 or more. Error: a sentence.
tl::expected<double, std::string> margin_of(const ReliefOptions& options) {
  if (options.margin.empty()) return 0.0;
  const auto margin = length_of_option(options.margin);
  if (!margin) return tl::unexpected("--margin: " + margin.error());
  if (!(*margin >= 0)) return tl::unexpected(fmt::format("--margin: '{}' is below 0; give 0 or more", options.margin));
  return *margin;
}

/// The cell made ready, and when the camera looks.
struct Ready {
  Scene scene;
  std::vector<Look> looks;
  std::vector<Touch> touches;
  ReliefRequest request;
};

double stl_unit(const Body& body) {
  const auto* source = std::get_if<MeshSource>(&body.shape);
  return source ? source->unit_mm.value_or(1.0) : 1.0;
}

tl::expected<std::string, std::string> png_of_looks(const Ready& ready, const Relief& relief) {
  const auto worst = std::min_element(relief.looks.begin(), relief.looks.end(), [](const auto& a, const auto& b) {
    const auto visible = [](const ReliefLook& look) {
      double least = 1;
      for (const TargetView& target : look.before.targets) least = std::min(least, target.visible);
      return least;
    };
    return visible(a) < visible(b);
  });
  if (worst == relief.looks.end())
    return tl::unexpected(std::string("--picture: the cycle comes to no look of this camera; add one"));
  const auto draw = [&](const Scene& scene, const CameraView& measured, const char* when) {
    CameraPictureRequest request;
    request.view = worst->look.view;
    request.measured = measured;
    request.title = fmt::format("{}: {}", scene.cell.name, scene.cell.cameras[request.view.camera].name);
    request.detail =
        fmt::format("{}{}, step \"{}\"", worst->look.run.empty() ? "" : worst->look.run + ", ", when, worst->look.step);
    return render_camera_picture(scene, request);
  };
  const Scene after = with_mesh(ready.scene, body_in(ready.scene, ready.request), relief.cut.rest);
  return png_of(
      beside(draw(ready.scene, worst->before, "before the relief"), draw(after, worst->after, "after the relief")));
}

int write_cutter(const ReliefOptions& options, const Ready& ready) {
  const Cell& cell = ready.scene.cell;
  const Camera& camera = cell.cameras[ready.request.camera];
  const std::string& frame = options.body.empty() ? camera.placed.on : options.body;
  const auto views =
      views_in(ready.scene, ready.looks,
               {ready.request.camera, ready.scene.frame_named(frame), options.targets, ready.request.margin_mm});
  if (!views) return refuse_model(views.error());
  std::string bytes;
  const double unit = !ready.request.body ? 1.0 : stl_unit(cell.bodies[ready.request.body]);
  if (holds_solids(options.out)) {
    const auto step = step_of_solids(*views, "view", ready.request.stop);
    if (!step) return refuse_model(step.error());
    bytes = *step;
  } else {
    bytes = stl_of(mesh_of(*views), unit);
  }
  Outputs outputs;
  outputs.add("--out", options.out, std::move(bytes));
  outputs.tell(fmt::format("The view of '{}', {} {}, is written to {} in the frame of '{}', in {}.\n", camera.name,
                           views->size(), views->size() == 1 ? "solid" : "solids", options.out, frame,
                           holds_solids(options.out) || unit == 1 ? "mm" : fmt::format("units of {:g} mm", unit)));
  return deliver(outputs, exit_pass);
}

int cut_and_write(const ReliefOptions& options, const Ready& ready) {
  const auto relief = cut_relief(ready.scene, ready.looks, ready.touches, ready.request);
  if (ready.request.stop.stop_requested()) {
    fmt::print(stderr, "stopped; nothing written\n");
    return exit_interrupted;
  }
  if (!relief) return refuse_model(relief.error());
  const ReliefAnswer answer{ready.scene, ready.request, *relief, options.out};
  std::string png;
  if (!options.picture.empty()) {
    auto drawn = png_of_looks(ready, *relief);
    if (!drawn) return refuse(drawn.error());
    png = std::move(*drawn);
  }
  Outputs outputs;
  outputs.add("--out", options.out,
              relief->cut.step ? *relief->cut.step : stl_of(relief->cut.rest, ready.request.unit_mm));
  outputs.add("--picture", options.picture, std::move(png));
  outputs.add("--json", options.json, relief_json(answer));
  outputs.tell(relief_text(answer));
  return deliver(outputs, exit_pass);
}

/// What the options name in the cell. Error: a sentence.
tl::expected<ReliefRequest, std::string> request_of(const ReliefOptions& options, const Cell& cell) {
  ReliefRequest request;
  request.camera = id_named(cell.cameras, options.camera);
  if (!request.camera)
    return tl::unexpected(fmt::format("--camera: there is no camera '{}' in {}; name one of its [[camera]] tables",
                                      options.camera, options.cell));
  request.body = id_named(cell.bodies, options.body);
  if (!request.body && !options.body.empty())
    return tl::unexpected(fmt::format("--body: there is no body '{}' in {}; name one of its [[body]] tables",
                                      options.body, options.cell));
  const auto margin = margin_of(options);
  if (!margin) return tl::unexpected(margin.error());
  request.margin_mm = *margin;
  request.targets_only = options.targets;
  request.as_step = holds_solids(options.out);
  if (request.body) request.unit_mm = stl_unit(cell.bodies[request.body]);
  return request;
}

int relief(const ReliefOptions& options) {
  if (const std::string trouble = trouble_with(options); !trouble.empty()) return refuse(trouble);
  const auto cell = read_cell_file(options.cell);
  if (!cell) return refuse(cell.error().text());
  if (const std::string trouble = trouble_with_outputs(
          *cell, {{"--out", options.out}, {"--json", options.json}, {"--picture", options.picture}});
      !trouble.empty())
    return refuse(trouble);
  auto request = request_of(options, *cell);
  if (!request) return refuse(request.error());
  request->stop = stopped_by_interrupt();
  auto scene = build_scene(*cell, request->stop);
  if (!scene) return refuse(scene.error().text());
  std::vector<Look> looks;
  std::vector<Touch> touches;
  if (cell->cycle) {
    const Cycle cycle = plan_cycle(*scene, request->stop);
    looks = looks_of(*scene, cycle, request->camera);
    if (request->body) touches = touches_of(*scene, cycle, body_in(*scene, *request));
  }
  const Ready ready{std::move(*scene), std::move(looks), std::move(touches), *request};
  return options.cutter_only ? write_cutter(options, ready) : cut_and_write(options, ready);
}

}  // namespace

void add_relief(CommandLine& program) {
  auto options = std::make_shared<ReliefOptions>();
  Command command = program.command("relief", "a body with a camera's view cut free, as STL or STEP");
  command.word("CELL", options->cell, "the cell file");
  command.option("--camera", options->camera, "the camera that must see").required();
  command.option("--body", options->body, "the body to cut; its file stays as it is");
  command.option("--out", options->out, "write what is left to this file, .stl, or .step from a STEP body").required();
  command.flag("--targets", options->targets,
               "cut free only the way to the targets that the cycle looks at, not the whole picture");
  command.option("--margin", options->margin, "grow the outline of picture or targets by this to all sides");
  command.flag("--cutter-only", options->cutter_only,
               "write the view itself, in the body's frame, or in that which the camera rides on");
  command.option("--json", options->json, "write the figures as JSON to this file; - is standard output");
  command.option("--picture", options->picture, "draw what the camera sees before and after to this PNG file");
  command.closing(
      "Example: cellproof relief mycell.toml --camera \"wrist camera\" --body bracket --targets --margin 2 --out "
      "bracket.step");
  command.runs([options] { return relief(*options); });
}

}  // namespace cellproof
