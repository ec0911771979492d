// SPDX-License-Identifier: GPL-3.0-or-later
// STEP files written by hand, line by line after ISO 10303-21 and -42, by no library: blocks in any unit, and an
// assembly that places one block several times.
#pragma once

#include <array>
#include <string>
#include <vector>

#include <fmt/format.h>

namespace cellproof::test {

/// The lines that define a unit of length; {N} stands for the number of line N, from 0.
struct LengthUnit {
  std::string name;
  std::vector<std::string> lines;  ///< the last one is the unit
  double mm;
};

inline std::vector<LengthUnit> length_units() {
  const std::string exponents = "DIMENSIONAL_EXPONENTS(1.,0.,0.,0.,0.,0.,0.)";
  const auto metric = [](const char* prefix) {
    return fmt::format("(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT({},.METRE.))", prefix);
  };
  return {{"millimetre", {metric(".MILLI.")}, 1},
          {"centimetre", {metric(".CENTI.")}, 10},
          {"metre", {metric("$")}, 1000},
          {"inch over millimetre",
           {metric(".MILLI."), "LENGTH_MEASURE_WITH_UNIT(LENGTH_MEASURE(25.4),{0})", exponents,
            "(CONVERSION_BASED_UNIT('INCH',{1})LENGTH_UNIT()NAMED_UNIT({2}))"},
           25.4},
          {"inch over metre",
           {metric("$"), "LENGTH_MEASURE_WITH_UNIT(LENGTH_MEASURE(0.0254),{0})", exponents,
            "(CONVERSION_BASED_UNIT('INCH',{1})LENGTH_UNIT()NAMED_UNIT({2}))"},
           25.4}};
}

using Numbers = std::array<double, 3>;

class StepText {
 public:
  explicit StepText(const LengthUnit& unit) {
    application_ = add("APPLICATION_CONTEXT('mechanical design')");
    std::vector<int> lines;
    for (std::string line : unit.lines) {
      for (std::size_t i = 0; i < lines.size(); ++i)
        for (std::size_t at; (at = line.find(fmt::format("{{{}}}", i))) != std::string::npos;)
          line.replace(at, 3, fmt::format("#{}", lines[i]));
      lines.push_back(add(line));
    }
    const int radian = add("(NAMED_UNIT(*)PLANE_ANGLE_UNIT()SI_UNIT($,.RADIAN.))");
    const int steradian = add("(NAMED_UNIT(*)SI_UNIT($,.STERADIAN.)SOLID_ANGLE_UNIT())");
    const std::string units =
        lines.empty() ? ""
                      : fmt::format("GLOBAL_UNIT_ASSIGNED_CONTEXT((#{},#{},#{}))", lines.back(), radian, steradian);
    context_ = add(fmt::format("(GEOMETRIC_REPRESENTATION_CONTEXT(3){}REPRESENTATION_CONTEXT('',''))", units));
  }

  /// A line of the data section; its number.
  int add(const std::string& line) {
    data_ += fmt::format("#{}={};\n", ++last_, line);
    return last_;
  }

  int axes(const Numbers& at, const Numbers& z = {0, 0, 1}, const Numbers& x = {1, 0, 0}) {
    const int origin = point(at), along_z = direction(z), along_x = direction(x);
    return add(fmt::format("AXIS2_PLACEMENT_3D('',#{},#{},#{})", origin, along_z, along_x));
  }

  struct Product {
    int definition = 0, representation = 0, axes = 0;
  };

  /// A product whose shape holds these items.
  Product product(const std::string& name, const std::string& kind, const std::vector<int>& items) {
    Product result;
    result.axes = axes({0, 0, 0});
    std::string list = fmt::format("#{}", result.axes);
    for (const int item : items) list += fmt::format(",#{}", item);
    result.representation = add(fmt::format("{}('',({}),#{})", kind, list, context_));
    const int context = add(fmt::format("PRODUCT_CONTEXT('',#{},'mechanical')", application_));
    const int product = add(fmt::format("PRODUCT('{0}','{0}','',(#{1}))", name, context));
    const int formation = add(fmt::format("PRODUCT_DEFINITION_FORMATION('','',#{})", product));
    const int stage = add(fmt::format("PRODUCT_DEFINITION_CONTEXT('part definition',#{},'design')", application_));
    result.definition = add(fmt::format("PRODUCT_DEFINITION('design','',#{},#{})", formation, stage));
    const int shape = add(fmt::format("PRODUCT_DEFINITION_SHAPE('','',#{})", result.definition));
    add(fmt::format("SHAPE_DEFINITION_REPRESENTATION(#{},#{})", shape, result.representation));
    return result;
  }

  /// A block from the origin into the positive octant; the number of its solid.
  int block(const std::string& name, const Numbers& size) {
    corners_.clear();
    edges_.clear();
    for (int i = 0; i < 8; ++i)
      corners_.push_back({(i & 1) ? size[0] : 0, (i & 2) ? size[1] : 0, (i & 4) ? size[2] : 0});
    vertices_.clear();
    for (const Numbers& corner : corners_) vertices_.push_back(add(fmt::format("VERTEX_POINT('',#{})", point(corner))));
    const int faces[6] = {face({0, 2, 3, 1}, {0, 0, -1}), face({4, 5, 7, 6}, {0, 0, 1}),
                          face({0, 1, 5, 4}, {0, -1, 0}), face({2, 6, 7, 3}, {0, 1, 0}),
                          face({0, 4, 6, 2}, {-1, 0, 0}), face({1, 3, 7, 5}, {1, 0, 0})};
    const int shell = add(fmt::format("CLOSED_SHELL('',(#{}))", fmt::join(faces, ",#")));
    return add(fmt::format("MANIFOLD_SOLID_BREP('{}',#{})", name, shell));
  }

  /// The part where `at` says, with its z and x along these, in the assembly.
  void place(const Product& part, const Product& assembly, const std::string& name, const Numbers& at, const Numbers& z,
             const Numbers& x) {
    const int there = axes(at, z, x);
    const int move = add(fmt::format("ITEM_DEFINED_TRANSFORMATION('','',#{},#{})", part.axes, there));
    const int relation = add(
        fmt::format("(REPRESENTATION_RELATIONSHIP('','',#{},#{})REPRESENTATION_RELATIONSHIP_WITH_TRANSFORMATION(#{})"
                    "SHAPE_REPRESENTATION_RELATIONSHIP())",
                    part.representation, assembly.representation, move));
    const int use = add(fmt::format("NEXT_ASSEMBLY_USAGE_OCCURRENCE('{0}','{0}','',#{1},#{2},$)", name,
                                    assembly.definition, part.definition));
    const int shape = add(fmt::format("PRODUCT_DEFINITION_SHAPE('','',#{})", use));
    add(fmt::format("CONTEXT_DEPENDENT_SHAPE_REPRESENTATION(#{},#{})", relation, shape));
  }

  std::string text(const std::string& schema = "AUTOMOTIVE_DESIGN") const {
    return fmt::format(
        "ISO-10303-21;\nHEADER;\nFILE_DESCRIPTION((''),'2;1');\nFILE_NAME('','',(''),(''),'','','');\n"
        "FILE_SCHEMA(('{}'));\nENDSEC;\nDATA;\n{}ENDSEC;\nEND-ISO-10303-21;\n",
        schema, data_);
  }

 private:
  static std::string list(const Numbers& n) { return fmt::format("({:.12f},{:.12f},{:.12f})", n[0], n[1], n[2]); }
  int point(const Numbers& at) { return add(fmt::format("CARTESIAN_POINT('',{})", list(at))); }
  int direction(const Numbers& along) { return add(fmt::format("DIRECTION('',{})", list(along))); }

  struct Edge {
    int from, to, curve;
  };

  /// The edge between two corners, written once; `along` tells which way it runs.
  int edge(int from, int to, bool& along) {
    for (const Edge& edge : edges_) {
      along = edge.from == from && edge.to == to;
      if (along || (edge.from == to && edge.to == from)) return edge.curve;
    }
    along = true;
    const Numbers &a = corners_[static_cast<std::size_t>(from)], &b = corners_[static_cast<std::size_t>(to)];
    const int start = point(a), way = direction({b[0] - a[0], b[1] - a[1], b[2] - a[2]});
    const int vector = add(fmt::format("VECTOR('',#{},1.)", way));
    const int line = add(fmt::format("LINE('',#{},#{})", start, vector));
    const int curve = add(fmt::format("EDGE_CURVE('',#{},#{},#{},.T.)", vertices_[static_cast<std::size_t>(from)],
                                      vertices_[static_cast<std::size_t>(to)], line));
    edges_.push_back({from, to, curve});
    return curve;
  }

  int face(const std::array<int, 4>& loop, const Numbers& normal) {
    std::vector<int> sides;
    for (std::size_t i = 0; i < 4; ++i) {
      bool along = true;
      const int curve = edge(loop[i], loop[(i + 1) % 4], along);
      sides.push_back(add(fmt::format("ORIENTED_EDGE('',*,*,#{},{})", curve, along ? ".T." : ".F.")));
    }
    const int bound = add(
        fmt::format("FACE_OUTER_BOUND('',#{},.T.)", add(fmt::format("EDGE_LOOP('',(#{}))", fmt::join(sides, ",#")))));
    const Numbers x = normal[0] != 0 ? Numbers{0, 1, 0} : Numbers{1, 0, 0};
    const int plane = add(fmt::format("PLANE('',#{})", axes(corners_[static_cast<std::size_t>(loop[0])], normal, x)));
    return add(fmt::format("ADVANCED_FACE('',(#{}),#{},.T.)", bound, plane));
  }

  std::string data_;
  int last_ = 0, application_ = 0, context_ = 0;
  std::vector<Numbers> corners_;
  std::vector<int> vertices_;
  std::vector<Edge> edges_;
};

/// A single block as one product.
inline std::string block_step(const LengthUnit& unit, const Numbers& size, const std::string& name = "block") {
  StepText step(unit);
  const int solid = step.block("", size);
  step.product(name, "ADVANCED_BREP_SHAPE_REPRESENTATION", {solid});
  return step.text();
}

}  // namespace cellproof::test
