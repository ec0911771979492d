// SPDX-License-Identifier: GPL-3.0-or-later
// Wavefront OBJ: the polygons of a file, all groups and objects in one. Only positions count.
#include <algorithm>
#include <array>
#include <cstdint>

#include <fmt/format.h>

#include "scene/files/mesh_corners.hpp"
#include "scene/files/polygon_cut.hpp"
#include "scene/files/text_words.hpp"

namespace cellproof {

namespace {

/// Statements that add nothing to a surface of polygons: names, materials, how it is drawn; points, lines and curves.
constexpr std::array<std::string_view, 33> no_surface = {
    "vt",    "vn",    "vp",   "g",    "o",        "s",   "mg",  "usemtl", "mtllib",     "usemap",   "maplib",
    "lod",   "bevel", "p",    "l",    "c_interp", "res", "deg", "bmat",   "step",       "d_interp", "curv",
    "curv2", "parm",  "trim", "hole", "scrv",     "sp",  "end", "con",    "shadow_obj", "stech",    "ctech"};

class ObjReader {
 public:
  /// A clause: what is wrong; empty if nothing is.
  std::string read(std::string_view text) {
    Lines lines(text);
    for (std::string_view line; lines.next(line);) {
      const std::size_t number = lines.number();
      statement(number, whole_statement(line, lines));
      if (!trouble_.empty()) return fmt::format("line {}: {}", number, trouble_);
    }
    if (highest_ > static_cast<std::int64_t>(positions_.size()))
      return fmt::format("line {}: a face asks for vertex {}, and there are {}", highest_line_, highest_,
                         positions_.size());
    return sizes_.empty() ? "it has no faces" : "";
  }

  /// After a reading without trouble.
  FileTriangles triangles() const {
    FileTriangles result;
    result.corners.reserve(3 * (places_.size() - 2 * sizes_.size()));
    std::size_t begin = 0;
    std::vector<Vector3d> polygon;
    for (const std::uint32_t size : sizes_) {
      polygon.clear();
      for (std::size_t i = 0; i < size; ++i) polygon.push_back(positions_[places_[begin + i]]);
      begin += size;
      append_polygon(polygon, result);
    }
    return result;
  }

 private:
  void fail(std::string what) { trouble_ = std::move(what); }

  /// Without its comment; a backslash at the end of a line goes on in the next.
  std::string_view whole_statement(std::string_view line, Lines& lines) {
    line = line.substr(0, line.find('#'));
    if (!line.ends_with('\\')) return line;
    joined_.clear();
    while (line.ends_with('\\')) {
      joined_.append(line.substr(0, line.size() - 1)) += ' ';
      if (!lines.next(line)) line = {};
      line = line.substr(0, line.find('#'));
    }
    joined_.append(line);
    return joined_;
  }

  void statement(std::size_t line, std::string_view text) {
    Words words(text);
    const std::string_view key = words.next();
    if (key == "v") return vertex(words);
    if (key == "f" || key == "fo") return face(line, words);
    if (key.empty() || std::find(no_surface.begin(), no_surface.end(), key) != no_surface.end()) return;
    if (key == "surf" || key == "call")
      return fail(fmt::format("'{}' stands for a surface that is not read: export it as polygons", key));
    fail(fmt::format("'{}' begins no statement of an OBJ", shown(key)));
  }

  /// Three numbers, a weight, or a colour after them.
  void vertex(Words words) {
    std::array<double, 8> numbers{};
    std::size_t count = 0;
    for (std::string_view word = words.next(); !word.empty(); word = words.next()) {
      if (count == numbers.size()) break;
      if (!decimal_number(word, numbers[count++]))
        return fail(fmt::format("'{}' of a vertex is not a number", shown(word)));
    }
    if (count != 3 && count != 4 && count != 6 && count != 7)
      return fail(fmt::format("a vertex has {} numbers, not three", count == 8 ? "too many" : std::to_string(count)));
    const Vector3d position(numbers[0], numbers[1], numbers[2]);
    const bool weighted = (count == 4 || count == 7) && numbers[3] != 1;
    positions_.push_back(weighted ? Vector3d(position / numbers[3]) : position);
  }

  void face(std::size_t line, Words words) {
    std::uint32_t size = 0;
    for (std::string_view word = words.next(); !word.empty(); word = words.next(), ++size) {
      std::int64_t number = 0;
      if (!whole_number(word.substr(0, word.find('/')), number) || number == 0)
        return fail(fmt::format("'{}' of a face names no vertex", shown(word)));
      if (number < 0) number += static_cast<std::int64_t>(positions_.size()) + 1;
      if (number < 1 || number > most_positions)
        return fail(fmt::format("a face asks for vertex {}, and there are {} so far", shown(word), positions_.size()));
      if (number > highest_) {
        highest_ = number;
        highest_line_ = line;
      }
      places_.push_back(static_cast<std::uint32_t>(number - 1));
    }
    if (size < 3) return fail(fmt::format("a face has {} corners", size));
    if (size > most_polygon_corners)
      return fail(fmt::format("a face has {} corners, and {} are the most that are read", size, most_polygon_corners));
    sizes_.push_back(size);
  }

  static constexpr std::int64_t most_positions = 0xffffffff;

  std::vector<Vector3d> positions_;
  std::vector<std::uint32_t> places_, sizes_;  ///< of all faces' corners, from 0; how many each face has
  std::int64_t highest_ = 0;                   ///< of the vertices that faces ask for, from 1: they may come later
  std::size_t highest_line_ = 0;
  std::string joined_, trouble_;
};

}  // namespace

ReadTriangles obj_triangles(const std::filesystem::path& file) {
  const auto bytes = mesh_file_bytes(file);
  if (!bytes) return tl::unexpected(bytes.error());
  ObjReader reader;
  if (const std::string trouble = reader.read(*bytes); !trouble.empty())
    return tl::unexpected(fmt::format("the mesh file {} can't be read as OBJ ({})", file.string(), trouble));
  FileTriangles triangles = reader.triangles();
  triangles.ends_within_a_line = ends_within_a_line(*bytes);
  return triangles;
}

}  // namespace cellproof
