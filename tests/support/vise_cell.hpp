// SPDX-License-Identifier: GPL-3.0-or-later
// A cell in which a bar is set between the jaws of a vise, which closes about it: every gap can be worked by hand.
#pragma once

#include "tests/support/proof.hpp"

namespace cellproof::test {

/// A bar, 60 along x, 40 along y, 40 high, comes from (790, 0, 900) to the vise's bed at (790, 300, 900). The tool is a
/// pair of fingers that take it across x by its upper 20 mm; the vise's jaws, 20 thick and 15 high, stand beside it
/// across y, drawn closed on 40 mm.
struct ViseCell {
  std::string left = "open = [0, -6, 0]";  ///< of the jaw's finger on the -y side
  std::string right = "open = [0, 6, 0]";
  double drawn_mm = 40;  ///< between the vise's jaws as they are drawn
  double width_mm = 40;  ///< of the bar, along y
  std::string hold;      ///< further lines of the hold
  std::string place = "hold = \"vise\"\nconfirm = \"1 s\"\n";
  std::string pick_again = "unhold = \"vise\"\n";
  std::string tool_open = "20";
  std::string tool_stroke;    ///< "stroke = 25" for instance
  double tool_drawn_mm = 60;  ///< between the tool's fingers as they are drawn
  std::string approach = "approach = 80\nretreat = 80\n";
  std::string rules = "[rules]\nseat_zone = 20\n";  ///< as high as the jaws, and a little more
  std::string more;
  std::string steps;  ///< after the place, before the second pick

  std::string text() const {
    std::string all = head;
    const double tool = tool_drawn_mm / 2 + 5;
    all += body_text("left finger", "flange", fmt::format("{{ xyz = [{}, 0, 90] }}", -tool), "box = [10, 20, 60]");
    all += body_text("right finger", "flange", fmt::format("{{ xyz = [{}, 0, 90] }}", tool), "box = [10, 20, 60]");
    const std::string stroke = tool_stroke.empty() ? "" : ", " + tool_stroke;
    all += fmt::format(
        "[[jaw]]\nname = \"tool jaw\"\non = \"flange\"\nat = {{ xyz = [0, 0, 110] }}\nforce = 400\nfriction = 0.3\n"
        "fingers = [ {{ body = \"left finger\", open = [-{0}, 0, 0]{1} }}, "
        "{{ body = \"right finger\", open = [{0}, 0, 0]{1} }} ]\n",
        tool_open, stroke);
    all += "[[tcp]]\nname = \"tip\"\nat = { xyz = [0, 0, 110] }\njaw = \"tool jaw\"\ngrip_time = \"0.5 s\"\n";
    all += body_text("stand", "world", "{ xyz = [790, 0, 850] }", "box = [100, 100, 100]");
    all += "[[seat]]\nname = \"nest\"\non = \"stand\"\nat = { xyz = [0, 0, 50] }\n";
    all += body_text("bed", "world", "{ xyz = [790, 300, 850] }", "box = [100, 200, 100]");
    all += "[[seat]]\nname = \"between the jaws\"\non = \"bed\"\nat = { xyz = [0, 0, 50] }\n";
    const double vise = drawn_mm / 2 + 10;
    all += body_text("left jaw", "bed", fmt::format("{{ xyz = [0, {}, 57.5] }}", -vise), "box = [60, 20, 15]");
    all += body_text("right jaw", "bed", fmt::format("{{ xyz = [0, {}, 57.5] }}", vise), "box = [60, 20, 15]");
    all +=
        "[[jaw]]\nname = \"vise jaw\"\non = \"bed\"\nat = { xyz = [0, 0, 57.5], turn = [0, 0, 90] }\n"
        "force = \"8 kN\"\nfriction = 0.2\nfingers = [ { body = \"left jaw\", " +
        turned(left) + " }, { body = \"right jaw\", " + turned(right) + " } ]\n";
    all +=
        "[[hold]]\nname = \"vise\"\npart = \"bar\"\nseat = \"between the jaws\"\njaw = \"vise jaw\"\nfriction = 0.2\n" +
        hold;
    all += fmt::format(
        "[[part]]\nname = \"bar\"\nbox = [60, {}, 40]\ndensity = 2700\nseat = \"nest\"\nat = {{ xyz = [0, 0, 20] }}\n"
        "grasps = [ {{ name = \"top\", at = {{ xyz = [0, 0, 10], turn = [180, 0, 0] }} }} ]\n",
        width_mm);
    all += rules + more + cycle_from("0, 0, 0, 0, -90, 0");
    all += "[[step]]\nname = \"take\"\npick = \"bar\"\ntcp = \"tip\"\ngrasp = \"top\"\napproach = 80\nretreat = 80\n";
    all += "[[step]]\nname = \"set\"\nplace = \"bar\"\nseat = \"between the jaws\"\nat = { xyz = [0, 0, 20] }\n" +
           approach + place;
    all += steps;
    all += "[[step]]\nname = \"fetch\"\npick = \"bar\"\ntcp = \"tip\"\ngrasp = \"top\"\napproach = 80\nretreat = 80\n" +
           pick_again;
    return all;
  }

  /// `open` is given along the bed's axes; the jaw's x points along the bed's y.
  static std::string turned(const std::string& finger) {
    std::string text = finger;
    const auto first = text.find('['), end = text.find(']');
    double x = 0, y = 0, z = 0;
    if (first == std::string::npos ||
        std::sscanf(text.c_str() + first, "[%lf, %lf, %lf]", &x, &y, &z) != 3)  // NOLINT: three plain numbers
      FAIL("no offset in " << finger);
    return text.replace(first, end - first + 1, fmt::format("[{}, {}, {}]", y, -x, z));
  }
};

inline const Stretch* stretch_of(const Proof& proof, StretchKind kind, const std::string& step) {
  for (const Stretch& stretch : proof.cycle->runs.front().stretches)
    if (stretch.kind == kind && stretch.step == step) return &stretch;
  return nullptr;
}

inline Vector3d place_of(const Proof& proof, const Stretch& stretch, double share, const std::string& frame) {
  const Arrangement now = arrangement_at_share(stretch, share);
  const Joints values = stretch.motion.path.on_chain(share);
  return world_poses(*proof.scene, now, values)[proof.scene->frame_named(frame)].translation();
}

}  // namespace cellproof::test
