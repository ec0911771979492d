// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <array>

#include <fmt/format.h>

#include "scene/cell/cell_tables.hpp"
#include "scene/files/mesh_format.hpp"

namespace cellproof {
namespace {

/// deviation and solid, which only STEP files have.
void read_step_keys(const TomlTable& table, const MeshFormat* format, MeshSource& source) {
  const auto deviation = table.optional("deviation"), solid = table.optional("solid");
  if (deviation) source.deviation_mm = deviation->quantity(Kind::length, Sign::positive);
  if (solid) source.solid = solid->text();
  if (solid && source.solid.empty()) solid->fail("is empty", "name a solid of the file, or leave it out");
  if (!format || format->holds_solids) return;
  for (const auto& key : {deviation, solid})
    if (key)
      key->fail(fmt::format("is given, but {} files hold triangles and no solids", format->extension.substr(1)),
                "leave it out, or use a STEP file");
}

MeshSource read_mesh(const TomlTable& table) {
  MeshSource source;
  const TomlItem mesh = table.required("mesh");
  source.file = mesh.text();
  const MeshFormat* format = mesh_format_of(source.file);
  if (mesh && !format)
    mesh.fail(fmt::format("\"{}\" is not a kind of mesh that is read", source.file.string()),
              "use stl, obj, ply, gltf, glb, 3mf, step or stp");
  if (const auto unit = table.optional("mesh_unit")) {
    source.unit_name = unit->text();
    const auto factor = unit_factor(source.unit_name, Kind::length);
    if (!factor)
      unit->fail(fmt::format("\"{}\" is not a unit of length", source.unit_name), "use " + units_of(Kind::length));
    source.unit_mm = factor.value_or(1.0);
    if (format && format->carries_unit)
      unit->fail(fmt::format("is given, but {} files carry their own unit", format->extension.substr(1)),
                 "leave mesh_unit out");
  } else if (format && !format->carries_unit) {
    table.reading().fail({mesh.where().line, joined_key(table.where().key, "mesh_unit")},
                         fmt::format("is missing, and {} files carry no unit", format->extension.substr(1)),
                         "add mesh_unit = \"mm\", or the unit that the file was written in");
  }
  source.simplify_mm = optional_quantity(table, "simplify", Kind::length, Sign::positive);
  read_step_keys(table, format, source);
  return source;
}

/// Round bodies are drawn to a fixed sagitta: beyond any cell's size that takes ever more triangles.
double read_round_size(const TomlItem& item) {
  constexpr double largest = 100'000;
  const double size = item.quantity(Kind::length, Sign::positive);
  if (size > largest) item.fail("is more than 100 m", "correct it or its unit; no cell is as large");
  return size;
}

CylinderShape read_cylinder(const TomlItem& item) {
  const TomlTable table = item.table({"radius", "height"});
  return {read_round_size(table.required("radius")), read_round_size(table.required("height"))};
}

SphereShape read_sphere(const TomlItem& item) {
  const TomlTable table = item.table({"radius"});
  return {read_round_size(table.required("radius"))};
}

/// What bodies and parts alike are made of.
template <class Thing>
void read_matter(const TomlTable& table, Thing& thing) {
  thing.mass = optional_quantity(table, "mass", Kind::mass, Sign::positive);
  thing.density = optional_quantity(table, "density", Kind::density, Sign::positive);
  if (thing.mass && thing.density) table.fail("has both mass and density", "keep one of them");
  if (const auto com = table.optional("com")) thing.com = read_lengths3(*com);
  if (const auto checked = table.optional("size_checked")) thing.size_checked = checked->truth();
}

std::vector<double> read_turns(const TomlItem& item, bool& any_turn) {
  if (item.is_text()) {
    any_turn = item.text() == "any";
    if (!any_turn) item.fail("is a text, but not \"any\"", "write \"any\" or a list of angles: [0, 180]");
    return {0.0};
  }
  std::vector<double> turns;
  for (const TomlItem& turn : item.list()) turns.push_back(turn.quantity(Kind::angle));
  if (turns.empty()) item.fail("is an empty list", "write [0], or leave turns out");
  return turns;
}

Grasp read_grasp(const TomlItem& item) {
  const TomlTable table = item.table({"name", "at", "turns"});
  Grasp grasp;
  grasp.name = table.required("name").text();
  grasp.at = optional_pose(table, "at");
  if (const auto turns = table.optional("turns")) grasp.turns = read_turns(*turns, grasp.any_turn);
  return grasp;
}

std::vector<Grasp> read_grasps(const TomlItem& item) {
  std::vector<Grasp> grasps;
  for (const TomlItem& entry : item.list()) {
    Grasp grasp = read_grasp(entry);
    const auto same = [&](const Grasp& other) { return other.name == grasp.name; };
    if (std::any_of(grasps.begin(), grasps.end(), same))
      entry.fail(fmt::format("the grasp \"{}\" is there twice", grasp.name), "give each grasp a name of its own");
    grasps.push_back(std::move(grasp));
  }
  return grasps;
}

}  // namespace

Shape read_shape(const TomlTable& table) {
  const std::string_view kind = table.exactly_one({"mesh", "box", "cylinder", "sphere"});
  if (kind == "mesh") return read_mesh(table);
  for (const std::string_view key : {"mesh_unit", "simplify", "deviation", "solid"})
    if (const auto item = table.optional(key)) item->fail("is given without a mesh", fmt::format("leave {} out", key));
  if (kind == "box") return BoxShape{read_lengths3(table.required("box"), Sign::positive)};
  if (kind == "cylinder") return read_cylinder(table.required("cylinder"));
  return read_sphere(table.required("sphere"));
}

Body read_body(const TomlItem& item) {
  const TomlTable table = item.table({"name", "on", "at", "mesh", "mesh_unit", "simplify", "deviation", "solid", "box",
                                      "cylinder", "sphere", "mass", "density", "com", "size_checked"});
  Body body;
  body.origin = table.where();
  body.name = read_name(table, Sort::body);
  body.placed = read_placed(table, "world");
  body.shape = read_shape(table);
  read_matter(table, body);
  return body;
}

Part read_part(const TomlItem& item) {
  const TomlTable table = item.table({"name", "mesh", "mesh_unit", "simplify", "deviation", "solid", "box", "cylinder",
                                      "sphere", "mass", "density", "com", "size_checked", "seat", "at", "grasps"});
  Part part;
  part.origin = table.where();
  part.name = read_name(table, Sort::part);
  part.shape = read_shape(table);
  read_matter(table, part);
  part.seat = optional_use(table, "seat", Wanted::seat);
  part.at = optional_pose(table, "at");
  if (table.has("at") && !table.has("seat"))
    table.optional("at")->fail("is a pose in a seat, but the part has no seat", "add seat, or leave at out");
  if (const auto grasps = table.optional("grasps")) part.grasps = read_grasps(*grasps);
  return part;
}

}  // namespace cellproof
