// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/solids/rays.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <stdexcept>
#include <string>

#include <embree3/rtcore.h>

#include "scene/mesh/nearby_origin.hpp"
#include "scene/mesh/primitives.hpp"

namespace cellproof {

namespace {

constexpr std::size_t packet = 16;
constexpr unsigned everything = ~0U;  // a ray with a mask of 0 hits nothing

using DeviceHandle = std::unique_ptr<RTCDeviceTy, decltype(&rtcReleaseDevice)>;
using SceneHandle = std::unique_ptr<RTCSceneTy, decltype(&rtcReleaseScene)>;
using GeometryHandle = std::unique_ptr<RTCGeometryTy, decltype(&rtcReleaseGeometry)>;

/// One a process: a body can only be placed in scenes of the device that made it.
RTCDevice device() {
  static const DeviceHandle handle(rtcNewDevice(nullptr), &rtcReleaseDevice);
  if (!handle) throw std::runtime_error("Embree gave no device");
  return handle.get();
}

void throw_if_failed(const char* doing) {
  if (const RTCError error = rtcGetDeviceError(device()); error != RTC_ERROR_NONE)
    throw std::runtime_error("Embree failed " + std::string(doing) + ", error " + std::to_string(error));
}

SceneHandle new_scene() {
  SceneHandle scene(rtcNewScene(device()), &rtcReleaseScene);
  rtcSetSceneFlags(scene.get(), RTC_SCENE_FLAG_ROBUST);  // else three rays in ten through a vertex miss
  return scene;
}

GeometryHandle triangles_of(const Mesh& mesh, const Vector3d& origin) {
  GeometryHandle geometry(rtcNewGeometry(device(), RTC_GEOMETRY_TYPE_TRIANGLE), &rtcReleaseGeometry);
  auto* vertex = static_cast<float*>(
      rtcSetNewGeometryBuffer(geometry.get(), RTC_BUFFER_TYPE_VERTEX, 0, RTC_FORMAT_FLOAT3, 12, mesh.vertices.size()));
  auto* index = static_cast<unsigned*>(
      rtcSetNewGeometryBuffer(geometry.get(), RTC_BUFFER_TYPE_INDEX, 0, RTC_FORMAT_UINT3, 12, mesh.triangles.size()));
  throw_if_failed("to give room for a mesh");
  for (const Vector3d& position : mesh.vertices)
    for (int i = 0; i < 3; ++i) *vertex++ = static_cast<float>(position[i] - origin[i]);
  for (const Triangle& triangle : mesh.triangles) index = std::copy(triangle.begin(), triangle.end(), index);
  return geometry;
}

GeometryHandle instance_of(RTCScene body, const Pose& in_world) {
  GeometryHandle geometry(rtcNewGeometry(device(), RTC_GEOMETRY_TYPE_INSTANCE), &rtcReleaseGeometry);
  rtcSetGeometryInstancedScene(geometry.get(), body);
  const Eigen::Matrix<float, 3, 4> placed = in_world.matrix().topRows<3>().cast<float>();
  rtcSetGeometryTransform(geometry.get(), 0, RTC_FORMAT_FLOAT3X4_COLUMN_MAJOR, placed.data());
  return geometry;
}

void attach(RTCScene scene, RTCGeometry geometry, unsigned number) {
  rtcSetGeometryMask(geometry, everything);
  rtcCommitGeometry(geometry);
  rtcAttachGeometryByID(scene, geometry, number);
}

float to_float(double value) {
  constexpr auto most = static_cast<double>(std::numeric_limits<float>::max());
  return static_cast<float>(std::clamp(value, -most, most));
}

void load(RTCRayHit16& rays, std::size_t lane, const Ray& ray) {
  rays.ray.org_x[lane] = to_float(ray.origin.x());
  rays.ray.org_y[lane] = to_float(ray.origin.y());
  rays.ray.org_z[lane] = to_float(ray.origin.z());
  rays.ray.dir_x[lane] = to_float(ray.direction.x());
  rays.ray.dir_y[lane] = to_float(ray.direction.y());
  rays.ray.dir_z[lane] = to_float(ray.direction.z());
  rays.ray.tnear[lane] = to_float(ray.near);
  rays.ray.tfar[lane] = to_float(ray.far);
  rays.ray.time[lane] = 0;
  rays.ray.mask[lane] = everything;
  rays.ray.id[lane] = 0;
  rays.ray.flags[lane] = 0;
  rays.hit.geomID[lane] = RTC_INVALID_GEOMETRY_ID;
  rays.hit.instID[0][lane] = RTC_INVALID_GEOMETRY_ID;
}

Hit unload(const RTCRayHit16& rays, std::size_t lane, const std::vector<Eigen::Matrix3d>& turns) {
  Hit hit;
  if (rays.hit.geomID[lane] == RTC_INVALID_GEOMETRY_ID) return hit;
  const unsigned body = rays.hit.instID[0][lane];
  const Vector3d normal_in_body(rays.hit.Ng_x[lane], rays.hit.Ng_y[lane], rays.hit.Ng_z[lane]);
  hit.body = body;
  hit.along = rays.ray.tfar[lane];
  hit.normal = turns[body] * normal_in_body;
  return hit;
}

}  // namespace

class RayBody {
 public:
  explicit RayBody(const Mesh& mesh) : origin_(nearby_origin(box_of(mesh))), scene_(new_scene()) {
    const GeometryHandle triangles = triangles_of(mesh, origin_);
    attach(scene_.get(), triangles.get(), 0);
    rtcCommitScene(scene_.get());
    throw_if_failed("to build a body's tree");
  }
  RTCScene scene() const { return scene_.get(); }
  /// Of what the rays meet, in the mesh's frame.
  const Vector3d& origin() const { return origin_; }

 private:
  Vector3d origin_;
  SceneHandle scene_;
};

std::shared_ptr<const RayBody> make_ray_body(const Mesh& mesh) {
  return std::make_shared<const RayBody>(mesh);
}

struct RayScene::Inside {
  SceneHandle scene = new_scene();
  std::vector<std::shared_ptr<const RayBody>> bodies;  ///< kept alive
  std::vector<Eigen::Matrix3d> turns;                  ///< from body to world

  explicit Inside(std::span<const PlacedRayBody> placed) {
    for (const PlacedRayBody& one : placed) {
      const GeometryHandle instance =
          instance_of(one.body->scene(), one.in_world * Eigen::Translation3d(one.body->origin()));
      attach(scene.get(), instance.get(), static_cast<unsigned>(bodies.size()));
      bodies.push_back(one.body);
      turns.emplace_back(one.in_world.linear());
    }
    rtcCommitScene(scene.get());
    throw_if_failed("to build a scene");
  }

  static bool sees_a_known_hit();

  /// At most 16 rays.
  void shoot(std::span<const Ray> rays, std::span<Hit> hits) const {
    alignas(64) int valid[packet] = {};
    alignas(64) RTCRayHit16 lanes = {};
    for (std::size_t i = 0; i < rays.size(); ++i) {
      valid[i] = -1;
      load(lanes, i, rays[i]);
    }
    RTCIntersectContext context;
    rtcInitIntersectContext(&context);
    context.flags = RTC_INTERSECT_CONTEXT_FLAG_COHERENT;  // neighbours in a picture
    rtcIntersect16(valid, scene.get(), &context, &lanes);
    for (std::size_t i = 0; i < rays.size(); ++i) hits[i] = unload(lanes, i, turns);
  }

  void shoot_all(std::span<const Ray> rays, std::span<Hit> hits) const {
    for (std::size_t begin = 0; begin < rays.size(); begin += packet) {
      const std::size_t count = std::min(packet, rays.size() - begin);
      shoot(rays.subspan(begin, count), hits.subspan(begin, count));
    }
  }
};

/// Some packaged builds of ray libraries report no hit at all, and a sightline built on one would call everything
/// clear.
bool RayScene::Inside::sees_a_known_hit() {
  PlacedRayBody box{make_ray_body(box_mesh({2, 2, 2}))};
  box.in_world.translation() = Vector3d(0, 0, 10);
  const Inside inside(std::span(&box, 1));
  const std::array<Ray, 2> rays = {Ray{{0.3, 0.2, 0}, {0, 0, 1}}, Ray{{3, 0.2, 0}, {0, 0, 1}}};
  std::array<Hit, 2> hits;
  inside.shoot_all(rays, hits);
  return hits[0].body == 0U && std::abs(hits[0].along - 9) < 1e-3 && !hits[1].body;
}

RayScene::RayScene(std::span<const PlacedRayBody> bodies) : inside_(std::make_unique<Inside>(bodies)) {
  static const bool well = Inside::sees_a_known_hit();  // once a process
  if (!well) throw std::runtime_error("Embree does not see a box that a ray must hit: the installation is broken");
}
RayScene::~RayScene() = default;
RayScene::RayScene(RayScene&&) noexcept = default;
RayScene& RayScene::operator=(RayScene&&) noexcept = default;

void RayScene::first_hits(std::span<const Ray> rays, std::span<Hit> hits) const {
  if (rays.size() != hits.size()) throw std::invalid_argument("first_hits: a hit for each ray is wanted");
  inside_->shoot_all(rays, hits);
}

}  // namespace cellproof
