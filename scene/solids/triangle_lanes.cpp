// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/solids/triangle_lanes.hpp"

#include "kinematics/lane_vector.hpp"

namespace cellproof::lanes {

namespace {

CELLPROOF_IN_LANE Vector vector(const Row (&v)[3], int lane) {
  return {v[0][lane], v[1][lane], v[2][lane]};
}

template <class T>
struct FoundOf {
  T squared;
  VectorOf<T> way;
};
using Found = FoundOf<double>;

/// Farther than any, and how thin a triangle may be before its plane says nothing.
template <class T>
struct Limits;
template <>
struct Limits<double> {
  static constexpr double beyond = 1e300, sliver = 1e-22;
};
template <>
struct Limits<float> {
  static constexpr float beyond = 1e30F, sliver = 1e-12F;
};

template <class T>
CELLPROOF_IN_LANE void keep_nearer(FoundOf<T>& best, T squared, VectorOf<T> way) {
  const bool nearer = squared < best.squared;
  best.squared = nearer ? squared : best.squared;
  best.way.x = nearer ? way.x : best.way.x;
  best.way.y = nearer ? way.y : best.way.y;
  best.way.z = nearer ? way.z : best.way.z;
}

/// Segments p + s u of the one and q + t v of a lane, as in `triangle_gap`.
template <class T>
CELLPROOF_IN_LANE void edge_to_edge(VectorOf<T> p, VectorOf<T> u, T uu, VectorOf<T> q, VectorOf<T> v, T vv,
                                    FoundOf<T>& best) {
  const VectorOf<T> r = p - q;
  const T uv = dot(u, v), ur = dot(u, r), vr = dot(v, r);
  const T denominator = uu * vv - uv * uv;
  const T s_free = unit_share((uv * vr - ur * vv) / (denominator > 0 ? denominator : 1));
  const T s_first = denominator > 0 ? s_free : 0;
  const T t = unit_share((uv * s_first + vr) / (vv > 0 ? vv : 1));
  const T s = unit_share((uv * t - ur) / (uu > 0 ? uu : 1));
  const VectorOf<T> way = r + (s * u - t * v);
  keep_nearer(best, dot(way, way), way);
}

template <class T>
struct FaceOf {
  VectorOf<T> p, q, r, pq, qr, rp;
  VectorOf<T> normal;
  T squared, inverse;  ///< of the normal's length
  bool flat;           ///< no sliver
};
using Face = FaceOf<double>;

template <class T>
CELLPROOF_IN_LANE FaceOf<T> face(VectorOf<T> p, VectorOf<T> q, VectorOf<T> r) {
  FaceOf<T> f{p, q, r, q - p, r - q, p - r, {}, 0, 0, false};
  f.normal = cross(f.pq, r - p);
  f.squared = dot(f.normal, f.normal);
  const T longest = most(dot(f.pq, f.pq), dot(f.rp, f.rp));
  f.flat = f.squared > Limits<T>::sliver * longest * longest;
  f.inverse = 1 / (f.flat ? f.squared : 1);
  return f;
}

/// A corner over a face; `sign` is 1 if the corner is of the one and the face of a lane.
template <class T>
CELLPROOF_IN_LANE void corner_to_face(const FaceOf<T>& f, VectorOf<T> corner, T height, T sign, FoundOf<T>& best) {
  const T by_p = dot(cross(f.pq, corner - f.p), f.normal), by_q = dot(cross(f.qr, corner - f.q), f.normal),
          by_r = dot(cross(f.rp, corner - f.r), f.normal);
  const T squared = height * height * f.inverse;
  const bool over = least(least(by_p, by_q), by_r) >= 0;
  const T inside = over ? squared : Limits<T>::beyond;
  keep_nearer(best, f.flat ? inside : Limits<T>::beyond, (sign * height * f.inverse) * f.normal);
}

/// How the corners of each triangle stand over the plane of the other, times its normal's length.
template <class T>
struct Heights {
  T a0, a1, a2, b0, b1, b2;
};

template <class T>
CELLPROOF_IN_LANE Heights<T> heights(const FaceOf<T>& a, const FaceOf<T>& b) {
  return {dot(b.normal, a.p - b.p), dot(b.normal, a.q - b.p), dot(b.normal, a.r - b.p),
          dot(a.normal, b.p - a.p), dot(a.normal, b.q - a.p), dot(a.normal, b.r - a.p)};
}

/// The nearest of corners over faces and edges beside edges: of triangles that don't cross.
template <class T>
CELLPROOF_IN_LANE FoundOf<T> nearest_features(const FaceOf<T>& a, const FaceOf<T>& b, const Heights<T>& h) {
  FoundOf<T> best{Limits<T>::beyond, {0, 0, 0}};
  const T one = 1;
  corner_to_face(b, a.p, h.a0, one, best);
  corner_to_face(b, a.q, h.a1, one, best);
  corner_to_face(b, a.r, h.a2, one, best);
  corner_to_face(a, b.p, h.b0, -one, best);
  corner_to_face(a, b.q, h.b1, -one, best);
  corner_to_face(a, b.r, h.b2, -one, best);
  const T pq_a = dot(a.pq, a.pq), qr_a = dot(a.qr, a.qr), rp_a = dot(a.rp, a.rp);
  const T pq_b = dot(b.pq, b.pq), qr_b = dot(b.qr, b.qr), rp_b = dot(b.rp, b.rp);
  edge_to_edge(a.p, a.pq, pq_a, b.p, b.pq, pq_b, best);
  edge_to_edge(a.p, a.pq, pq_a, b.q, b.qr, qr_b, best);
  edge_to_edge(a.p, a.pq, pq_a, b.r, b.rp, rp_b, best);
  edge_to_edge(a.q, a.qr, qr_a, b.p, b.pq, pq_b, best);
  edge_to_edge(a.q, a.qr, qr_a, b.q, b.qr, qr_b, best);
  edge_to_edge(a.q, a.qr, qr_a, b.r, b.rp, rp_b, best);
  edge_to_edge(a.r, a.rp, rp_a, b.p, b.pq, pq_b, best);
  edge_to_edge(a.r, a.rp, rp_a, b.q, b.qr, qr_b, best);
  edge_to_edge(a.r, a.rp, rp_a, b.r, b.rp, rp_b, best);
  return best;
}

CELLPROOF_IN_LANE double straddles(const Face& f, double h0, double h1, double h2) {
  const double low = least(least(h0, h1), h2), high = most(most(h0, h1), h2);
  const double apart = most(low, -high);
  return f.flat ? apart : 0;
}

CELLPROOF_IN_LANE double overlap(double a0, double a1, double a2, double b0, double b1, double b2) {
  const double low = most(least(least(a0, a1), a2), least(least(b0, b1), b2));
  const double high = least(most(most(a0, a1), a2), most(most(b0, b1), b2));
  return high - low;
}

/// Neither plane nor a box shows that they are apart.
CELLPROOF_IN_LANE bool may_cross(const Face& a, const Face& b, double plane_a, double plane_b) {
  const double boxes =
      least(least(overlap(a.p.x, a.q.x, a.r.x, b.p.x, b.q.x, b.r.x), overlap(a.p.y, a.q.y, a.r.y, b.p.y, b.q.y, b.r.y)),
            overlap(a.p.z, a.q.z, a.r.z, b.p.z, b.q.z, b.r.z));
  return most(most(plane_a, plane_b), -boxes) <= 0;
}

CELLPROOF_IN_LANE Found gap(const Face& a, const Face& b) {
  const Heights<double> h = heights(a, b);
  Found best = nearest_features(a, b, h);
  best.squared = may_cross(a, b, straddles(a, h.b0, h.b1, h.b2), straddles(b, h.a0, h.a1, h.a2)) ? 0 : best.squared;
  return best;
}

/// About an origin that is near, so that floats are enough to tell directions.
CELLPROOF_IN_LANE VectorOf<float> rounded_from(Vector origin, Vector v) {
  const Vector d = v - origin;
  return {static_cast<float>(d.x), static_cast<float>(d.y), static_cast<float>(d.z)};
}

/// How far the shadows of the one and of a lane's triangle are apart along a way from the lane to the one, times its
/// length.
CELLPROOF_IN_LANE double shadows_apart(const OneTriangle& one, const Triangles& triangles, int lane, Vector way) {
  const double begin =
      least(least(dot(way, vector(one.corner[0])), dot(way, vector(one.corner[1]))), dot(way, vector(one.corner[2])));
  const double end =
      most(most(dot(way, vector(triangles.corner[0], lane)), dot(way, vector(triangles.corner[1], lane))),
           dot(way, vector(triangles.corner[2], lane)));
  return positive(begin - end);
}

CELLPROOF_IN_LANE double moved_furthest(Vector corner, Vector direction, Vector shift, Vector turn) {
  return dot(direction, corner) + magnitude(dot(direction, shift + cross(turn, corner)));
}

CELLPROOF_IN_LANE double nearest_of_all(const Triangles& triangles, Vector d) {
  double begins[count];
  for (int lane = 0; lane < count; ++lane)
    begins[lane] = least(least(dot(d, vector(triangles.corner[0], lane)), dot(d, vector(triangles.corner[1], lane))),
                         dot(d, vector(triangles.corner[2], lane)));
  return least(least(least(begins[0], begins[1]), least(begins[2], begins[3])),
               least(least(begins[4], begins[5]), least(begins[6], begins[7])));
}

CELLPROOF_IN_LANE void ends_along(const Triangles& triangles, Vector d, Row& ends) {
  for (int lane = 0; lane < count; ++lane)
    ends[lane] = most(most(dot(d, vector(triangles.corner[0], lane)), dot(d, vector(triangles.corner[1], lane))),
                      dot(d, vector(triangles.corner[2], lane)));
}

CELLPROOF_IN_LANE void moved_ends_along(const Triangles& triangles, Vector d, const Drift& motion, Row& ends) {
  const Vector shift = vector(motion.shift), turn = vector(motion.turn);
  for (int lane = 0; lane < count; ++lane)
    ends[lane] = most(most(moved_furthest(vector(triangles.corner[0], lane), d, shift, turn),
                           moved_furthest(vector(triangles.corner[1], lane), d, shift, turn)),
                      moved_furthest(vector(triangles.corner[2], lane), d, shift, turn));
}

CELLPROOF_IN_LANE unsigned beyond(const double (&numbers)[count], double bound) {
  unsigned bits = 0;
  for (int lane = 0; lane < count; ++lane) bits |= static_cast<unsigned>(numbers[lane] > bound) << lane;
  return bits;
}

/// How far a moved corner stays along a direction, at least.
CELLPROOF_IN_LANE double kept(Vector corner, Vector direction, Vector shift, Vector turn, Vector origin) {
  return dot(direction, corner - origin) - magnitude(dot(direction, shift + cross(turn, corner)));
}

}  // namespace

CELLPROOF_LANE_CLONES
unsigned nearer_along(const Triangles& a, const Triangles& b, const SharedDirection& sight, double limit) {
  const double bound = nearest_of_all(b, vector(sight.in_b)) + sight.offset - limit;
  Row ends;
  ends_along(a, vector(sight.in_a), ends);
  return beyond(ends, bound);
}

CELLPROOF_LANE_CLONES
unsigned nearer_along_moved(const Triangles& a, const Triangles& b, const SharedDirection& sight, const Drift& motion,
                            double limit) {
  const double bound = nearest_of_all(b, vector(sight.in_b)) + sight.offset - limit;
  Row ends;
  moved_ends_along(a, vector(sight.in_a), motion, ends);
  return beyond(ends, bound);
}

CELLPROOF_LANE_CLONES
void gaps(const Triangles& triangles, const OneTriangle& one, Gaps& found) {
  const Face a = face(vector(one.corner[0]), vector(one.corner[1]), vector(one.corner[2]));
  for (int lane = 0; lane < count; ++lane) {
    const Found best = gap(a, face(vector(triangles.corner[0], lane), vector(triangles.corner[1], lane),
                                   vector(triangles.corner[2], lane)));
    found.squared[lane] = best.squared;
    found.way[0][lane] = best.way.x;
    found.way[1][lane] = best.way.y;
    found.way[2][lane] = best.way.z;
  }
}

CELLPROOF_LANE_CLONES
void rough_gaps(const Triangles& triangles, const OneTriangle& one, Gaps& found) {
  const Vector origin = vector(one.corner[0]);
  const FaceOf<float> a = face(rounded_from(origin, origin), rounded_from(origin, vector(one.corner[1])),
                               rounded_from(origin, vector(one.corner[2])));
  FloatRow ways[3];
  for (int lane = 0; lane < count; ++lane) {
    const FaceOf<float> b = face(rounded_from(origin, vector(triangles.corner[0], lane)),
                                 rounded_from(origin, vector(triangles.corner[1], lane)),
                                 rounded_from(origin, vector(triangles.corner[2], lane)));
    const FoundOf<float> best = nearest_features(a, b, heights(a, b));
    ways[0][lane] = best.way.x;
    ways[1][lane] = best.way.y;
    ways[2][lane] = best.way.z;
  }
  for (int lane = 0; lane < count; ++lane) {
    const Vector way = {ways[0][lane], ways[1][lane], ways[2][lane]};
    const double apart = shadows_apart(one, triangles, lane, way), length = most(dot(way, way), 1e-300);
    found.squared[lane] = apart * apart / length;
    found.way[0][lane] = way.x;
    found.way[1][lane] = way.y;
    found.way[2][lane] = way.z;
  }
}

CELLPROOF_LANE_CLONES
void squared_gaps_moved(const Triangles& triangles, const OneTriangle& one, const Gaps& found, const Drift& motion,
                        Row& squared) {
  const Vector p = vector(one.corner[0]), q = vector(one.corner[1]), r = vector(one.corner[2]);
  const Vector shift = vector(motion.shift), turn = vector(motion.turn);
  for (int lane = 0; lane < count; ++lane) {
    const Vector way = vector(found.way, lane), origin = vector(triangles.corner[0], lane);
    const double one_kept = least(least(kept(p, way, shift, turn, origin), kept(q, way, shift, turn, origin)),
                                  kept(r, way, shift, turn, origin));
    const double lane_reach = most(most(0.0, dot(way, vector(triangles.corner[1], lane) - origin)),
                                   dot(way, vector(triangles.corner[2], lane) - origin));
    const double apart = positive(one_kept - lane_reach), length = most(dot(way, way), 1e-300);
    squared[lane] = apart * apart / length;
  }
}

}  // namespace cellproof::lanes
