// SPDX-License-Identifier: GPL-3.0-or-later
#include "cad/solids_text.hpp"

#include <stdexcept>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

namespace cellproof::cad {

namespace {

using Json = nlohmann::json;

Vector2d vector2(const Json& list) {
  return {list.at(0).get<double>(), list.at(1).get<double>()};
}
Vector3d vector3(const Json& list) {
  return {list.at(0).get<double>(), list.at(1).get<double>(), list.at(2).get<double>()};
}

Pose pose_of(const Json& json) {
  Pose pose = Pose::Identity();
  if (json.contains("xyz")) pose.translation() = vector3(json.at("xyz"));
  if (json.contains("quat")) {
    const Json& q = json.at("quat");
    pose.linear() =
        Eigen::Quaterniond(q.at(0).get<double>(), q.at(1).get<double>(), q.at(2).get<double>(), q.at(3).get<double>())
            .normalized()
            .toRotationMatrix();
  }
  return pose;
}

/// [[x, y], [x, y, rounding], …] or { "at": [x, y], "radius": r }
Outline outline_of(const Json& json) {
  if (json.is_object()) return Circle{vector2(json.at("at")), json.at("radius").get<double>()};
  std::vector<Corner> corners;
  for (const Json& corner : json)
    corners.push_back({vector2(corner), corner.size() > 2 ? corner.at(2).get<double>() : 0});
  return corners;
}

Piece cylinder_of(const Json& json) {
  const double radius = json.at("radius").get<double>();
  return ConePiece{radius, radius, json.at("height").get<double>()};
}

Piece cone_of(const Json& json) {
  return ConePiece{json.at("radius").get<double>(), json.at("top_radius").get<double>(),
                   json.at("height").get<double>()};
}

Piece extruded_of(const Json& json) {
  ExtrudedPiece piece{outline_of(json.at("outline")), {}, json.at("from").get<double>(), json.at("to").get<double>()};
  if (json.contains("holes"))
    for (const Json& hole : json.at("holes")) piece.holes.push_back(outline_of(hole));
  return piece;
}

Piece polyhedron_of(const Json& json) {
  PolyhedronPiece piece;
  for (const Json& at : json.at("points")) piece.points.push_back(vector3(at));
  for (const Json& face : json.at("faces")) piece.faces.push_back(face.get<std::vector<std::size_t>>());
  return piece;
}

Piece piece_of(const Json& json) {
  if (json.contains("box")) return BoxPiece{vector3(json.at("box"))};
  if (json.contains("cylinder")) return cylinder_of(json.at("cylinder"));
  if (json.contains("cone")) return cone_of(json.at("cone"));
  if (json.contains("sphere")) return SpherePiece{json.at("sphere").at("radius").get<double>()};
  if (json.contains("torus"))
    return TorusPiece{json.at("torus").at("radius").get<double>(), json.at("torus").at("tube").get<double>()};
  if (json.contains("extrude")) return extruded_of(json.at("extrude"));
  if (json.contains("revolve")) return TurnedPiece{outline_of(json.at("revolve"))};
  if (json.contains("polyhedron")) return polyhedron_of(json.at("polyhedron"));
  throw std::invalid_argument(fmt::format("no shape is known in {}", json.dump()));
}

std::vector<PlacedPiece> pieces_of(const Json& solid, const char* key) {
  std::vector<PlacedPiece> pieces;
  if (!solid.contains(key)) return pieces;
  for (const Json& json : solid.at(key))
    pieces.push_back({piece_of(json), json.contains("at") ? pose_of(json.at("at")) : Pose::Identity()});
  return pieces;
}

}  // namespace

SolidsText solids_of_json(const std::string& text) {
  try {
    const Json json = Json::parse(text);
    SolidsText result;
    result.title = json.value("title", std::string());
    for (const Json& solid : json.at("solids"))
      result.solids.push_back({solid.at("name").get<std::string>(), pieces_of(solid, "add"), pieces_of(solid, "cut")});
    return result;
  } catch (const Json::exception& error) {
    throw std::invalid_argument(fmt::format("the solids can't be read: {}", error.what()));
  }
}

}  // namespace cellproof::cad
