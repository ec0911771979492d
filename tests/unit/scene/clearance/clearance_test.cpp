// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/clearance/clearance.hpp"

#include <catch2/catch.hpp>

#include "scene/cycle/plan.hpp"
#include "tests/support/random_geometry.hpp"
#include "tests/support/small_cell.hpp"

using namespace cellproof;
using namespace cellproof::test;
using random_geometry::between;
using random_geometry::Engine;

namespace {

/// One pair over the last stretch of a cell's only run.
struct Asked {
  Scene scene;
  Cycle cycle;
  explicit Asked(const std::string& text) : scene(scene_of(text)), cycle(plan_cycle(scene)) {
    if (cycle.runs.front().failure) FAIL(cycle.runs.front().failure->message);
  }
  const Stretch& last() const { return cycle.runs.front().stretches.back(); }
  StretchClearance of(const std::string& a, const std::string& b, double least) const {
    return measure_clearance(scene, last(), {{body_named(scene, a), body_named(scene, b), least, {{0, 1}}}});
  }
};

void check_encloses(const StretchClearance& clearance, double truth) {
  CAPTURE(truth, clearance.lower_mm, clearance.upper_mm);
  CHECK(clearance.lower_mm <= truth + 1e-9);
  CHECK(clearance.upper_mm >= truth - 1e-6);
  CHECK(clearance.upper_mm - clearance.lower_mm <= std::max(0.1, 0.02 * truth) + 1e-9);
}

/// Distances at many instants by the frame tree and `nearest` alone.
double least_sampled(const Scene& scene, const Stretch& stretch, BodyId a, BodyId b, int samples) {
  double least = std::numeric_limits<double>::infinity();
  for (int i = 0; i <= samples; ++i) {
    const double time = time_at(stretch, static_cast<double>(i) / samples);
    const auto poses = world_poses(scene, arrangement_at(stretch, time), joints_at(stretch, time));
    const auto &body_a = scene.bodies[a], &body_b = scene.bodies[b];
    least = std::min(least, nearest(*body_a.solid, poses[body_a.frame], *body_b.solid, poses[body_b.frame],
                                    std::numeric_limits<double>::infinity())
                                .distance);
  }
  return least;
}

const std::string ball = body_text("ball", "flange", "{ xyz = [0, 0, 60] }", "sphere = { radius = 40 }");

}  // namespace

TEST_CASE("a ball on the flange swings past a wall in an arc: the least distance is wall less arc less radius") {
  // Given a ball whose centre goes round base z at 950 mm (890 + 60), from -35 to 50 deg; a wall's face at x = 1003.
  const Asked asked(head + ball + body_text("wall", "world", "{ xyz = [1053, 0, 1170] }", "box = [100, 3000, 400]") +
                    cycle_from("-35, 0, 0, 0, 0, 0") + joint_move("50, 0, 0, 0, 0, 0"));
  // Then at 0 deg it is 1003 - 950 - 40 = 13 mm away.
  check_encloses(asked.of("ball", "wall", 5), 13);
  check_encloses(asked.of("ball", "wall", 13.5), 13);
}

TEST_CASE("a ball swings past a post: the least distance is that of two circles' centres") {
  // Given a post (vertical cylinder, radius 30) at 200 deg less 180 = 20 deg and 1100 mm from base z.
  const double x = 1100 * std::cos(radians(20)), y = 1100 * std::sin(radians(20));
  const Asked asked(head + ball +
                    body_text("post", "world", fmt::format("{{ xyz = [{}, {}, 1170] }}", x, y),
                              "cylinder = { radius = 30, height = 900 }") +
                    cycle_from("-35, 0, 0, 0, 0, 0") + joint_move("50, 0, 0, 0, 0, 0"));
  check_encloses(asked.of("ball", "post", 5), 1100 - 950 - 40 - 30);
}

TEST_CASE("a ball is led straight past a box's edge: the least distance is the line's from the edge") {
  // Given a ball whose centre runs along y at x = 700, z = 700; an edge along x at y = 0, z = 600: 100 mm below it.
  const Asked asked(
      head + ball + "[[tcp]]\nname = \"middle\"\non = \"flange\"\nat = { xyz = [0, 0, 60] }\n" +
      body_text("edge", "world", "{ xyz = [700, 0, 550], turn = [45, 0, 0] }", "box = [600, 70.7106781, 70.7106781]") +
      cycle_from("0, 0, 0, 0, -90, 0") +
      R"([[step]]
move = "joint"
to = { tcp = "middle", at = { xyz = [700, -200, 700], turn = [180, 0, 0] } }
[[step]]
move = "linear"
to = { tcp = "middle", at = { xyz = [700, 250, 700], turn = [180, 0, 0] } }
)");
  check_encloses(asked.of("ball", "edge", 5), 100 - 40);
}

TEST_CASE("a thin blade through a thin plate at full speed is never missed") {
  // Given blade and plate of 0.02 mm that cross for an instant only, here and there along the way.
  for (const double turned : {-31.0, -17.3, 0.0, 0.37, 11.9, 44.4}) {
    CAPTURE(turned);
    const double x = 950 * std::cos(radians(turned)), y = 950 * std::sin(radians(turned));
    const std::string plate =
        body_text("plate", "world", fmt::format("{{ xyz = [{}, {}, 1170], turn = [0, 0, {}] }}", x, y, turned),
                  "box = [60, 0.02, 60]");
    const std::string blade = body_text("blade", "flange", "{ xyz = [0, 0, 60] }", "box = [50, 0.02, 50]");
    const Asked joint(head + blade + plate + cycle_from("-35, 0, 0, 0, 0, 0") + joint_move("50, 0, 0, 0, 0, 0"));
    const auto met = joint.of("blade", "plate", 0);
    CHECK(met.lower_mm == 0);
    CHECK(met.upper_mm <= 0.1);

    const Asked line(
        head + blade +
        body_text("plate", "world", fmt::format("{{ xyz = [700, {}, 700] }}", 3 * turned), "box = [60, 0.02, 60]") +
        "[[tcp]]\nname = \"middle\"\non = \"flange\"\nat = { xyz = [0, 0, 60] }\n" + cycle_from("0, 0, 0, 0, -90, 0") +
        R"(
[[step]]
move = "joint"
to = { tcp = "middle", at = { xyz = [700, -200, 700], turn = [180, 0, 0] } }
[[step]]
move = "linear"
tool_speed = "20 m/s"
to = { tcp = "middle", at = { xyz = [700, 250, 700], turn = [180, 0, 0] } }
)");
    CHECK(line.of("blade", "plate", 0).lower_mm == 0);
  }
}

TEST_CASE("one solid inside another is a collision, moving or not") {
  const std::string inside = head + body_text("pea", "flange", "{ xyz = [0, 0, 60] }", "sphere = { radius = 5 }");
  const std::string shell =
      body_text("lump", "world", "{ xyz = [0, 0, 1170] }", "cylinder = { radius = 1500, height = 200 }");
  const Asked swung(inside + shell + cycle_from("0, 0, 0, 0, 0, 0") + joint_move("50, 0, 0, 0, 0, 0"));
  CHECK(swung.of("pea", "lump", 0).upper_mm == 0);
  const Asked standing(inside + shell + cycle_from("0, 0, 0, 0, 0, 0") + "[[step]]\nwait = \"1 s\"\n");
  CHECK(standing.of("pea", "lump", 0).upper_mm == 0);
  CHECK(standing.of("lump", "pea", 0).lower_mm == 0);
}

TEST_CASE("balls at random past walls at random: the enclosure holds the closed form") {
  Engine engine(2024);
  for (int i = 0; i < 40; ++i) {
    // Given a ball somewhere on link 1, which turns about base z, and a wall, a half space's box, at an angle.
    const double along = between(engine, 300, 900), height = between(engine, 300, 1500);
    const double radius = between(engine, 0.5, 120);
    const double from = between(engine, -160, 160), to = between(engine, -160, 160);
    const double facing = between(engine, -180, 180), gap = between(engine, radius + 0.05, 700);
    const double face = along + gap;
    const double c = std::cos(radians(facing)), s = std::sin(radians(facing));
    CAPTURE(i, along, radius, from, to, facing, face);
    const Asked asked(head +
                      body_text("ball", "link1", fmt::format("{{ xyz = [{}, {}, 0] }}", along - 150, height - 450),
                                fmt::format("sphere = {{ radius = {} }}", radius)) +
                      body_text("wall", "world",
                                fmt::format("{{ xyz = [{}, {}, {}], turn = [0, 0, {}] }}", c * (face + 50),
                                            s * (face + 50), height, facing),
                                "box = [100, 9000, 9000]") +
                      cycle_from(fmt::format("{}, 0, 0, 0, 0, 0", from)) +
                      joint_move(fmt::format("{}, 0, 0, 0, 0, 0", to)));
    // Then the nearest is where the ball's bearing comes closest to the wall's.
    double closest = -1;
    for (int k = 0; k <= 200000; ++k)
      closest = std::max(closest, std::cos(radians(from + (to - from) * k / 200000 - facing)));
    const double truth = face - along * closest - radius;
    const auto found = asked.of("ball", "wall", between(engine, 0, 1) < 0.5 ? 5 : truth);
    check_encloses(found, truth);
  }
}

TEST_CASE("balls at random led straight past balls at random: the enclosure holds the closed form") {
  Engine engine(2025);
  int lines = 0;
  for (int i = 0; i < 40; ++i) {
    const auto place = [&] {
      return Vector3d(between(engine, 500, 850), between(engine, -300, 300), between(engine, 400, 900));
    };
    const auto text = [](const Vector3d& p) { return fmt::format("[{}, {}, {}]", p.x(), p.y(), p.z()); };
    const Vector3d from = place(), to = place(), still = place();
    const double r = between(engine, 2, 60), other = between(engine, 2, 60);
    const double along = std::clamp((still - from).dot(to - from) / (to - from).squaredNorm(), 0.0, 1.0);
    const double truth = (from + along * (to - from) - still).norm() - r - other;
    if (truth < 0.05) continue;
    const Scene scene = scene_of(
        head + body_text("ball", "flange", "{ xyz = [0, 0, 60] }", fmt::format("sphere = {{ radius = {} }}", r)) +
        body_text("still", "world", "{ xyz = " + text(still) + " }", fmt::format("sphere = {{ radius = {} }}", other)) +
        "[[tcp]]\nname = \"middle\"\non = \"flange\"\nat = { xyz = [0, 0, 60] }\n" + cycle_from("0, 0, 0, 0, -90, 0") +
        "[[step]]\nmove = \"joint\"\nto = { tcp = \"middle\", at = { xyz = " + text(from) +
        ", turn = [180, 0, 0] } }\n[[step]]\nmove = \"linear\"\nto = { tcp = \"middle\", at = { xyz = " + text(to) +
        fmt::format(", turn = [180, 0, {}] }} }}\n", between(engine, -90, 90)));
    const Cycle cycle = plan_cycle(scene);
    if (cycle.runs.front().failure) continue;
    CAPTURE(i, r, other);
    const auto found =
        measure_clearance(scene, cycle.runs.front().stretches.back(),
                          {{body_named(scene, "ball"), body_named(scene, "still"), between(engine, 0, 20), {{0, 1}}}});
    check_encloses(found, truth);
    ++lines;
  }
  CHECK(lines > 20);
}

TEST_CASE("of many pairs the closest decides, the others are told from their rules") {
  // Given the ball's arc and three walls at 30, 13 and 200 mm.
  std::string text = head + ball;
  for (const auto& [name, gap, bearing] :
       {std::tuple{"second", 30.0, 0.0}, {"first", 13.0, 20.0}, {"third", 200.0, 40.0}})
    text += body_text(
        name, "world",
        fmt::format("{{ xyz = [{}, {}, 1170], turn = [0, 0, {}] }}", (990 + gap + 10) * std::cos(radians(bearing)),
                    (990 + gap + 10) * std::sin(radians(bearing)), bearing),
        "box = [20, 40, 400]");
  const Asked asked(text + cycle_from("-35, 0, 0, 0, 0, 0") + joint_move("60, 0, 0, 0, 0, 0"));
  const BodyId moving = body_named(asked.scene, "ball");
  const auto all = measure_clearance(asked.scene, asked.last(),
                                     {{moving, body_named(asked.scene, "second"), 29.5, {{0, 1}}},
                                      {moving, body_named(asked.scene, "first"), 5, {{0, 1}}},
                                      {moving, body_named(asked.scene, "third"), 201, {{0, 1}}},
                                      {moving, body_named(asked.scene, "third"), 1, {{0, 1}}}});
  CHECK(all.closest == 1U);
  check_encloses(all, 13);
  CHECK(all.pairs[0].lower_mm >= 29.5);
  CHECK(all.pairs[0].lower_mm <= 30);
  CHECK(all.pairs[1].lower_mm >= 5);
  CHECK(all.pairs[2].lower_mm < 201);
  CHECK(all.pairs[2].lower_mm <= 200);
  CHECK(all.pairs[2].lower_mm >= 196);
  CHECK(all.pairs[3].lower_mm >= 1);
}

TEST_CASE("only the asked spans of a way count") {
  // Given the wall's arc again, nearest at 0 deg: 35/85 of the way from -35 to 50 deg.
  const Asked asked(head + ball + body_text("wall", "world", "{ xyz = [1053, 0, 1170] }", "box = [100, 3000, 400]") +
                    cycle_from("-35, 0, 0, 0, 0, 0") + joint_move("50, 0, 0, 0, 0, 0"));
  const auto over = [&](std::vector<Span> spans) {
    return measure_clearance(asked.scene, asked.last(),
                             {{body_named(asked.scene, "ball"), body_named(asked.scene, "wall"), 5, spans}});
  };
  const auto at = [](double share) { return 1003 - 40 - 950 * std::cos(radians(-35 + 85 * share)); };
  check_encloses(over({{0, 0.2}}), at(0.2));
  check_encloses(over({{0, 0.1}, {0.7, 1}}), std::min(at(0.1), at(0.7)));
  check_encloses(over({{0.3, 0.6}}), 13);
}

TEST_CASE("nothing that is sampled lies below the certified lower bound") {
  Engine engine(7);
  int moves = 0;
  for (int i = 0; i < 25; ++i) {
    const auto angles = [&](double half) {
      return fmt::format("{}, {}, {}, {}, {}, {}", between(engine, -half, half), between(engine, -40, 40),
                         between(engine, -40, 40), between(engine, -half, half), between(engine, -100, 100),
                         between(engine, -half, half));
    };
    const std::string text =
        head + body_text("tool", "flange", "{ xyz = [20, -30, 90], turn = [10, 20, 30] }", "box = [60, 20, 180]") +
        body_text("forearm", "link3", "{ xyz = [30, 0, 250] }", "box = [90, 70, 500]") +
        body_text("box", "world",
                  fmt::format("{{ xyz = [{}, {}, {}], turn = [{}, 40, 20] }}", between(engine, 500, 1300),
                              between(engine, -600, 600), between(engine, 200, 1500), between(engine, -90, 90)),
                  "box = [200, 150, 100]") +
        cycle_from(angles(90)) + joint_move(angles(90));
    const Asked asked(text);
    for (const auto& [a, b] : {std::pair{"tool", "box"}, {"forearm", "box"}, {"tool", "forearm"}}) {
      CAPTURE(i, a, b);
      const auto found = asked.of(a, b, 5);
      const double sampled =
          least_sampled(asked.scene, asked.last(), body_named(asked.scene, a), body_named(asked.scene, b), 500);
      CHECK(found.lower_mm <= sampled);
      CHECK(found.upper_mm >= found.lower_mm);
      CHECK(found.upper_mm - found.lower_mm <= std::max(0.1, 0.02 * found.upper_mm) + 1e-9);
      ++moves;
    }
  }
  CHECK(moves == 75);
}

TEST_CASE("a shifted door that turns about its hinge is followed all the way") {
  // Given a door of 600 mm whose hinge, its frame, stands at (400, -300) and swings by 90 deg; a post near its edge's
  // arc.
  const std::string text =
      head + body_text("hinge", "world", "{ xyz = [400, -300, 500] }", "sphere = { radius = 1 }") +
      body_text("door", "hinge", "{ xyz = [300, 0, 0] }", "box = [600, 20, 400]") +
      body_text("probe", "link1", "{ xyz = [650, 50, 0] }", "sphere = { radius = 25 }") +
      cycle_from("-10, 0, 0, 0, 0, 0") +
      "[[step]]\nshift = \"hinge\"\nto = { xyz = [400, -300, 500], turn = [0, 0, 90] }\ntime = \"2 s\"\n";
  const Asked asked(text);
  // The probe stands at 800 mm from base z at -10 deg: (787.8, -138.9); from the hinge 420 mm: the door's leaf meets
  // it.
  CHECK(asked.of("door", "probe", 0).upper_mm == 0);
}

TEST_CASE("a leaf that shifts on a leaf that shifts is carried by both") {
  // Given two leaves of a telescope door, each 100 mm along y: the outer one comes 200 mm nearer to the ball.
  const std::string text = head + ball +
                           body_text("inner", "world", "{ xyz = [950, -700, 1170] }", "box = [20, 100, 20]") +
                           body_text("outer", "inner", "{ xyz = [0, 100, 0] }", "box = [20, 100, 20]") +
                           cycle_from("0, 0, 0, 0, 0, 0") + R"([[step]]
shift = ["inner", "outer"]
to = [{ xyz = [950, -600, 1170] }, { xyz = [0, 200, 0] }]
time = "1 s"
)";
  const Asked asked(text);
  // Then its end stands at -600 + 200 + 50 = -350, the ball's surface at -40.
  check_encloses(asked.of("ball", "outer", 5), 310);
  check_encloses(asked.of("outer", "ball", 400), 310);
  check_encloses(asked.of("inner", "ball", 5), 600 - 50 - 40);
}

TEST_CASE("a base that rides on what is shifted goes with it") {
  const std::string text = "format = 1\n[arm]\non = \"carriage\"\n" + joints + ball +
                           body_text("carriage", "world", "{}", "box = [100, 100, 20]") +
                           body_text("wall", "world", "{ xyz = [1500, 0, 1170] }", "box = [100, 500, 500]") +
                           cycle_from("0, 0, 0, 0, 0, 0") +
                           "[[step]]\nshift = \"carriage\"\nto = { xyz = [300, 0, 0] }\ntime = \"1 s\"\n";
  const Asked asked(text);
  check_encloses(asked.of("ball", "wall", 5), 1450 - 300 - 950 - 40);
}
