// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/cutting/solid_cut.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "kinematics/entry.hpp"
#include "scene/basics/byte_blocks.hpp"
#include "scene/cutting/common_volume.hpp"
#include "scene/files/cad_helper.hpp"
#include "scene/files/tessellation.hpp"
#include "scene/mesh/mesh_pieces.hpp"

namespace cellproof {

namespace {

using Json = nlohmann::json;
using Cut = tl::expected<SolidCut, ModelError>;

constexpr double volume_tolerance = 1e-9;  ///< of the body's volume: what doubles lose

tl::unexpected<ModelError> trouble(const std::string& subject, const std::string& what, const std::string& mend) {
  return tl::unexpected(ModelError{fmt::format("{} {}", subject, what), mend});
}

std::string place_text(const Vector3d& at) {
  return fmt::format("({:.4g}, {:.4g}, {:.4g}) mm in its own frame", at.x(), at.y(), at.z());
}

/// What keeps a mesh from being cut, before any library sees it; nothing if nothing does.
std::optional<ModelError> trouble_with(const Mesh& mesh, const std::string& subject) {
  if (const auto all = holes(mesh); !all.empty()) {
    const Hole& largest = all.front();
    return ModelError{
        fmt::format("{} is not closed and can't be cut: {} holes or seams, the largest of {} open edges, {:.4g} mm "
                    "long, around {}",
                    subject, all.size(), largest.edges, largest.length_mm,
                    place_text((largest.box.low + largest.box.high) / 2)),
        "close it in CAD and export again"};
  }
  const std::vector<Mesh> pieces = separate_shells(mesh);
  const auto turned = turned_inside_out(pieces);
  const auto flipped = std::find(turned.begin(), turned.end(), 1);
  if (flipped == turned.end()) return std::nullopt;
  const Box box = box_of(entry(pieces, flipped - turned.begin()));
  return ModelError{fmt::format("{} has a shell turned inside out around {} and can't be cut", subject,
                                place_text((box.low + box.high) / 2)),
                    "turn its faces round in CAD and export again"};
}

/// What the cutters have in common with a mesh: the most of one, and of all together counted each for itself.
struct Shares {
  double greatest = 0, sum = 0;
};
Shares shares_in(const Mesh& mesh, const std::vector<ConvexSolid>& cutters) {
  Shares shares;
  for (const ConvexSolid& cutter : cutters) {
    const double volume = common_part(mesh, cutter).volume;
    shares.greatest = std::max(shares.greatest, volume);
    shares.sum += volume;
  }
  return shares;
}

/// How far the volume of a tessellation's part in the cutters may be from its solid's: the triangles near them, times
/// their deviation.
double room_near(const Mesh& mesh, const std::vector<ConvexSolid>& cutters) {
  double area = 0;
  for (const ConvexSolid& cutter : cutters) {
    Box box;
    for (const Vector3d& point : cutter.points) box.add(point);
    for (const Triangle& t : mesh.triangles) {
      const Vector3d &a = mesh.vertices[t[0]], &b = mesh.vertices[t[1]], &c = mesh.vertices[t[2]];
      const Vector3d low = a.cwiseMin(b).cwiseMin(c), high = a.cwiseMax(b).cwiseMax(c);
      if ((low.array() <= box.high.array()).all() && (high.array() >= box.low.array()).all())
        area += (b - a).cross(c - a).norm() / 2;
    }
  }
  return (mesh.deviation.outside + mesh.deviation.inside) * area + volume_tolerance * solid_properties(mesh).volume;
}

/// A cut as it came back, and what it has to agree with.
struct Claim {
  double before_mm3 = 0, after_mm3 = 0;
  Shares common;    ///< of the body's mesh and the cutters
  double room = 0;  ///< mm^3 that the meshes may be off by
};

/// Empty if the volumes agree.
std::string disagreement(const Claim& claim, const Mesh& rest, const std::vector<ConvexSolid>& cutters) {
  const double removed = claim.before_mm3 - claim.after_mm3;
  if (!(removed >= claim.common.greatest - claim.room) || !(removed <= claim.common.sum + claim.room))
    return fmt::format("was not cut as asked: {:.9g} mm^3 came off where {:.9g} mm^3 stand in the view", removed,
                       claim.common.greatest);
  const Shares left = shares_in(rest, cutters);
  if (!(left.greatest <= claim.room))
    return fmt::format("was not cut as asked: {:.9g} mm^3 are left in the view", left.greatest);
  return {};
}

SolidCut untouched(const Mesh& body, double volume) {
  SolidCut cut;
  cut.rest = body;
  cut.before_mm3 = volume;
  return cut;
}

/// Volumes and centroid by what was there and what is left.
void take_volumes(const SolidProperties& before, const SolidProperties& after, SolidCut& cut) {
  cut.before_mm3 = before.volume;
  cut.removed_mm3 = before.volume - after.volume;
  if (cut.removed_mm3 > 0)
    cut.removed_centroid = (before.volume * before.centroid - after.volume * after.centroid) / cut.removed_mm3;
}

constexpr const char* mend_cut = "change the margin by a little, or cut it in CAD with --cutter-only";
constexpr const char* mend_nothing_left = "name another body, or move the camera";

std::optional<std::vector<std::string_view>> blocks_of(const std::string& answer, std::size_t fewest) {
  auto blocks = separate_blocks(answer);
  if (!blocks || blocks->size() < fewest || !Json::accept(blocks->front())) return std::nullopt;
  return blocks;
}

tl::unexpected<ModelError> damaged(const std::string& subject) {
  return trouble(subject, "came back from cellproof-cad damaged", "install cellproof and cellproof-cad of one version");
}

std::string polyhedra_json(const std::vector<ConvexSolid>& solids, const std::string& name) {
  Json list = Json::array();
  for (std::size_t i = 0; i < solids.size(); ++i) {
    Json points = Json::array();
    for (const Vector3d& point : solids[i].points) points.push_back({point.x(), point.y(), point.z()});
    const Json piece{{"polyhedron", {{"points", points}, {"faces", solids[i].faces}}}};
    list.push_back({{"name", solids.size() == 1 ? name : fmt::format("{} {}", name, i + 1)}, {"add", {piece}}});
  }
  return Json{{"title", name}, {"solids", list}}.dump(-1, ' ', false, Json::error_handler_t::replace);
}

}  // namespace

Cut cut_mesh_free(const Mesh& whole, const std::vector<ConvexSolid>& cutters, const std::string& subject,
                  const std::stop_token& stop) {
  Mesh body = whole;
  body.exact.reset();  // the triangles are cut, not the surfaces that they stand for
  if (auto error = trouble_with(body, subject)) return tl::unexpected(std::move(*error));
  const double volume = solid_properties(body).volume, room = volume_tolerance * volume;
  const Shares common = shares_in(body, cutters);
  if (common.greatest <= room) return untouched(body, volume);
  std::vector<std::string> input{tessellation_bytes(body)};
  for (const ConvexSolid& cutter : cutters) input.push_back(tessellation_bytes(mesh_of(cutter)));
  const auto answer = ask_cad_helper({"cut-mesh"}, joined_blocks(input), subject, stop);
  if (!answer) return tl::unexpected(answer.error());
  const auto blocks = blocks_of(*answer, 1);
  if (!blocks) return damaged(subject);
  if (blocks->size() == 1) return trouble(subject, "stands in the view as a whole: nothing is left", mend_nothing_left);
  auto rest = tessellation_of((*blocks)[1]);
  if (!rest) return damaged(subject);
  SolidCut cut;
  take_volumes(solid_properties(body), solid_properties(*rest), cut);
  const Claim claim{cut.before_mm3, cut.before_mm3 - cut.removed_mm3, common, room};
  if (const std::string what = disagreement(claim, *rest, cutters); !what.empty())
    return trouble(subject, what, mend_cut);
  rest->deviation = body.deviation;
  cut.rest = std::move(*rest);
  return cut;
}

Cut cut_step_free(const StepSolids& body, const Mesh& mesh, const std::vector<ConvexSolid>& cutters,
                  const std::string& subject, const std::stop_token& stop) {
  if (!mesh.exact)
    return trouble(subject, "is not a closed solid and can't be cut", "close it in CAD and export again");
  const double room = room_near(mesh, cutters);
  const Shares common = shares_in(mesh, cutters);
  if (common.greatest <= volume_tolerance * mesh.exact->solid.volume) return untouched(mesh, mesh.exact->solid.volume);
  std::vector<std::string> arguments{"cut-step", fmt::format("--deviation={}", body.deviation_mm)};
  if (!body.solid.empty()) arguments.push_back("--solid=" + body.solid);
  const auto answer =
      ask_cad_helper(arguments, joined_blocks({body.bytes, polyhedra_json(cutters, "view")}), subject, stop);
  if (!answer) return tl::unexpected(answer.error());
  const auto blocks = blocks_of(*answer, 1);
  if (!blocks) return damaged(subject);
  if (blocks->size() == 1) return trouble(subject, "stands in the view as a whole: nothing is left", mend_nothing_left);
  if (blocks->size() != 3) return damaged(subject);
  auto rest = tessellation_of((*blocks)[1]);
  if (!rest || !rest->exact) return damaged(subject);
  SolidCut cut;
  take_volumes(mesh.exact->solid, rest->exact->solid, cut);
  const Claim claim{cut.before_mm3, cut.before_mm3 - cut.removed_mm3, common,
                    std::max(room, room_near(*rest, cutters))};
  if (const std::string what = disagreement(claim, *rest, cutters); !what.empty())
    return trouble(subject, what, mend_cut);
  if (!(cut.removed_mm3 > volume_tolerance * cut.before_mm3))
    return trouble(subject, "was not cut, though it stands in the view", mend_cut);
  cut.rest = std::move(*rest);
  cut.step = std::string((*blocks)[2]);
  return cut;
}

tl::expected<std::string, ModelError> step_of_solids(const std::vector<ConvexSolid>& solids, const std::string& name,
                                                     const std::stop_token& stop) {
  return ask_cad_helper({"write"}, polyhedra_json(solids, name), "the view", stop);
}

}  // namespace cellproof
