// SPDX-License-Identifier: GPL-3.0-or-later
// cellproof facts: what is in a cell or a model file.
#include <filesystem>
#include <memory>
#include <optional>

#include <fmt/format.h>

#include "app/commands.hpp"
#include "app/json_pose.hpp"
#include "app/output_files.hpp"
#include "app/outputs.hpp"
#include "app/report_text.hpp"
#include "scene/basics/units.hpp"
#include "scene/cell/cell_file.hpp"
#include "scene/files/mesh_format.hpp"
#include "scene/files/step_solids.hpp"
#include "scene/forces/carried_mass.hpp"
#include "scene/mesh/mesh_facts.hpp"
#include "scene/model_store.hpp"
#include "scene/scene.hpp"

namespace cellproof {

namespace {

namespace fs = std::filesystem;

constexpr std::size_t most_listed = 20;  // solids of one model, in text

struct FactsOptions {
  std::vector<std::string> files;
  std::string unit, json;
};

/// A model, or a body of a cell.
struct Entry {
  std::string name, kind;  ///< kind: of a cell's body; else empty
  MeshFacts facts;
  Deviation deviation;
  std::optional<double> mass_kg;
};

/// What is in a file that was named.
struct FileFacts {
  std::string file;
  std::vector<Entry> entries;
};

Vector3d size_of(const Box& box) {
  return box.high - box.low;
}

Json json_shape(const ShapeFacts& facts) {
  Json json{{"triangles", facts.triangles},
            {"closed", facts.closed},
            {"open_edges", facts.open_edges},
            {"size_mm", json_vector(size_of(facts.box))},
            {"size_in", json_vector(size_of(facts.box) / mm_per_inch)},
            {"box_mm", Json::array({json_vector(facts.box.low), json_vector(facts.box.high)})},
            {"volume_mm3", nullptr},
            {"area_mm2", facts.area_mm2}};
  if (facts.volume_mm3) json["volume_mm3"] = *facts.volume_mm3;
  return json;
}

Json json_solid(const ShapeFacts& facts) {
  Json json{{"name", nullptr}};
  if (!facts.name.empty()) json["name"] = facts.name;
  json.update(json_shape(facts));
  return json;
}

Json models_json(const std::vector<Entry>& entries) {
  Json models = Json::array();
  for (const Entry& entry : entries) {
    Json model{{"name", entry.name}, {"kind", nullptr}};
    if (!entry.kind.empty()) model["kind"] = entry.kind;
    model.update(json_shape(entry.facts.whole));
    model["deviation_mm"] = std::max(entry.deviation.outside, entry.deviation.inside);
    model["mass_kg"] = nullptr;
    if (entry.mass_kg) model["mass_kg"] = *entry.mass_kg;
    model["solids"] = Json::array();
    for (const ShapeFacts& solid : entry.facts.solids) model["solids"].push_back(json_solid(solid));
    models.push_back(model);
  }
  return models;
}

std::string facts_json(const std::vector<FileFacts>& files) {
  Json json{{"format", 1}};
  const auto put_file = [](Json& entry, const FileFacts& facts) {
    entry["file"] = facts.file;
    entry["models"] = models_json(facts.entries);
  };
  if (files.size() == 1) {
    put_file(json, files.front());
  } else {
    json["files"] = Json::array();
    for (const FileFacts& facts : files) put_file(json["files"].emplace_back(), facts);
  }
  return json_text(json);
}

std::string closed_text(const ShapeFacts& facts) {
  return facts.closed ? "closed" : fmt::format("not closed, {} open edges", facts.open_edges);
}

std::string size_text(const Box& box) {
  const Vector3d mm = size_of(box), in = mm / mm_per_inch;
  return fmt::format("{:.6g} x {:.6g} x {:.6g} mm = {:.5g} x {:.5g} x {:.5g} in", mm.x(), mm.y(), mm.z(), in.x(),
                     in.y(), in.z());
}

std::string volume_text(const ShapeFacts& facts) {
  if (!facts.volume_mm3) return "none, as it is not closed";
  return fmt::format("{:.6g} mm^3 = {:.5g} in^3", *facts.volume_mm3,
                     *facts.volume_mm3 / (mm_per_inch * mm_per_inch * mm_per_inch));
}

std::string solid_name(const ShapeFacts& solid) {
  return solid.name.empty() ? "" : fmt::format("\"{}\": ", printable(solid.name));
}

std::string entry_text(const Entry& entry) {
  const ShapeFacts& whole = entry.facts.whole;
  std::string text = printable(entry.name) + (entry.kind.empty() ? "" : fmt::format(" ({})", entry.kind)) + "\n";
  const auto line = [&](std::string_view what, const std::string& value) {
    text += fmt::format("  {:<10} {}\n", what, value);
  };
  line("size", size_text(whole.box));
  line("from", fmt::format("{:.6g}, {:.6g}, {:.6g} mm in its own frame", whole.box.low.x(), whole.box.low.y(),
                           whole.box.low.z()));
  line("volume", volume_text(whole));
  line("area", fmt::format("{:.6g} mm^2", whole.area_mm2));
  if (entry.mass_kg) line("mass", fmt::format("{:.5g} kg = {:.5g} lb", *entry.mass_kg, *entry.mass_kg / kg_per_pound));
  line("triangles", fmt::format("{}, {}", whole.triangles, closed_text(whole)));
  if (entry.deviation.outside + entry.deviation.inside > 0)
    line("deviation", fmt::format("the true surface lies at most {:.3g} mm off",
                                  std::max(entry.deviation.outside, entry.deviation.inside)));
  const auto& solids = entry.facts.solids;
  if (solids.empty() || (solids.size() == 1 && solids.front().name.empty())) return text;
  line("solids", fmt::format("{}", solids.size()));
  for (std::size_t i = 0; i < std::min(solids.size(), most_listed); ++i)
    line(fmt::format("  {}", i + 1), fmt::format("{}{}; volume {}; {}", solid_name(solids[i]), size_text(solids[i].box),
                                                 volume_text(solids[i]), closed_text(solids[i])));
  if (solids.size() > most_listed) line("  …", fmt::format("and {} more", solids.size() - most_listed));
  return text;
}

tl::expected<std::vector<Entry>, std::string> entries_of_cell(const Cell& cell) {
  const auto scene = build_scene(cell);
  if (!scene) return tl::unexpected(scene.error().text());
  std::vector<Entry> entries;
  for (const SceneBody& body : scene->bodies) {
    if (body.copy_of_seat) continue;
    Entry entry{
        body.name, std::string(kind_name(body.kind)), mesh_facts(body.solid->mesh()), body.solid->mesh().deviation, {}};
    const ShapeFacts& whole = entry.facts.whole;
    entry.mass_kg = kg_of(matter_of(cell, body.name), whole.volume_mm3);
    entries.push_back(std::move(entry));
  }
  return entries;
}

tl::expected<std::vector<ShapeFacts>, std::string> solids_of_step(const MeshSource& source) {
  const auto solids = import_step_solids(source.file, source.deviation_mm);
  if (!solids)
    return tl::unexpected(fmt::format("{}: {}; {}", source.file.string(), solids.error().what, solids.error().mend));
  std::vector<ShapeFacts> facts;
  for (const StepSolid& solid : *solids) {
    facts.push_back(shape_facts(solid.mesh));
    facts.back().name = solid.name;
  }
  return facts;
}

/// The unit of a model's file, by the option where the format has none. Error: a sentence.
tl::expected<std::optional<double>, std::string> unit_of_model(const FactsOptions& options, const std::string& file,
                                                               const MeshFormat& format) {
  if (format.carries_unit) return std::nullopt;
  if (options.unit.empty())
    return tl::unexpected(fmt::format("{}: {} files carry no unit; add --unit mm, or the unit that it was written in",
                                      file, format.extension.substr(1)));
  const auto factor = unit_factor(options.unit, Kind::length);
  if (!factor) return tl::unexpected("--unit: " + factor.error());
  return *factor;
}

tl::expected<std::vector<Entry>, std::string> entries_of_model(const FactsOptions& options, const std::string& file,
                                                               const MeshFormat& format) {
  MeshSource source;
  source.file = file;
  const auto unit = unit_of_model(options, file, format);
  if (!unit) return tl::unexpected(unit.error());
  source.unit_mm = *unit;
  const auto models = open_models({{source}}, {});
  if (!models.front())
    return tl::unexpected(fmt::format("{}: {}; {}", file, models.front().error().what, models.front().error().mend));
  const Mesh& mesh = (*models.front()).solid->mesh();
  Entry entry{source.file.filename().string(), "", mesh_facts(mesh), mesh.deviation, {}};
  if (format.holds_solids) {
    auto solids = solids_of_step(source);
    if (!solids) return tl::unexpected(solids.error());
    if (!solids->empty()) entry.facts.solids = std::move(*solids);
  }
  return std::vector<Entry>{std::move(entry)};
}

/// Why a unit is given that no file asks for; empty if it is asked for, or not given.
std::string trouble_with_unit(const FactsOptions& options) {
  if (options.unit.empty()) return {};
  const MeshFormat* last = nullptr;
  for (const std::string& file : options.files) {
    const MeshFormat* format = mesh_format_of(file);
    if (format && !format->carries_unit) return {};
    if (format) last = format;
  }
  if (last)
    return fmt::format("--unit: is given, but {} files carry their own unit; leave --unit out",
                       last->extension.substr(1));
  return fmt::format("--unit: is given, but {} is no model file; leave --unit out", options.files.front());
}

tl::expected<FileFacts, std::string> facts_of_file(const FactsOptions& options, const std::string& file) {
  const auto kept = [&](const Cell& read) { return trouble_with_outputs(read, {{"--json", options.json}}); };
  if (const MeshFormat* format = mesh_format_of(file)) {
    Cell alone;
    alone.file = file;
    MeshSource model;
    model.file = fs::absolute(file);
    alone.bodies.emplace_back().shape = model;
    if (const std::string trouble = kept(alone); !trouble.empty()) return tl::unexpected(trouble);
    auto entries = entries_of_model(options, file, *format);
    if (!entries) return tl::unexpected(entries.error());
    return FileFacts{file, std::move(*entries)};
  }
  const auto cell = read_cell_file(file);
  if (!cell) return tl::unexpected(cell.error().text());
  if (const std::string trouble = kept(*cell); !trouble.empty()) return tl::unexpected(trouble);
  auto entries = entries_of_cell(*cell);
  if (!entries) return tl::unexpected(entries.error());
  return FileFacts{file, std::move(*entries)};
}

int facts(const FactsOptions& options) {
  if (const std::string trouble = trouble_with_unit(options); !trouble.empty()) return refuse(trouble);
  std::vector<FileFacts> all;
  std::string text;
  for (const std::string& file : options.files) {
    auto read = facts_of_file(options, file);
    if (!read) return refuse(read.error());
    if (options.files.size() > 1) text += fmt::format("{}{}:\n", text.empty() ? "" : "\n", printable(file));
    for (const Entry& entry : read->entries) text += entry_text(entry);
    all.push_back(std::move(*read));
  }
  Outputs outputs;
  outputs.add("--json", options.json, facts_json(all));
  outputs.tell(text);
  return deliver(outputs, exit_pass);
}

}  // namespace

void add_facts(CommandLine& program) {
  auto options = std::make_shared<FactsOptions>();
  Command command = program.command("facts", "what is in cells or models: sizes, volumes, open edges");
  command.words("FILE", options->files, "cell files, or models: stl, obj, ply, gltf, glb, 3mf, step");
  command.option("--unit", options->unit, "the unit of models that carry none (stl, obj, ply): mm, in, m …");
  command.option("--json", options->json, "write the answer as JSON to this file; - is standard output");
  command.closing("Example: cellproof facts gripper.stl finger.stl --unit mm");
  command.runs([options] { return facts(*options); });
}

}  // namespace cellproof
