// SPDX-License-Identifier: GPL-3.0-or-later
#include "scene/files/threemf_model.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <limits>
#include <set>

#include <fmt/format.h>

#include "kinematics/entry.hpp"
#include "scene/basics/units.hpp"
#include "scene/files/xml_stream.hpp"

namespace cellproof {

namespace {

constexpr std::string_view core = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02|";
constexpr std::string_view production_path = "http://schemas.microsoft.com/3dmanufacturing/production/2015/06|path";

/// Extensions that change no shape, or that are read here.
constexpr std::array harmless = {std::string_view("http://schemas.microsoft.com/3dmanufacturing/material/2015/02"),
                                 std::string_view("http://schemas.microsoft.com/3dmanufacturing/production/2015/06")};

std::string_view trimmed(std::string_view text) {
  constexpr std::string_view blank = " \t\r\n";
  const std::size_t first = text.find_first_not_of(blank);
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(blank) - first + 1);
}

/// The whole text as a number; false if it is none.
template <class Number>
bool number_of(std::string_view text, Number& number) {
  text = trimmed(text);
  if (text.starts_with('+')) text.remove_prefix(1);
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), number);
  return error == std::errc() && end == text.data() + text.size();
}

std::string no_number(const XmlElement& element, std::string_view key) {
  const auto text = element.attribute(key);
  const std::string_view name = element.name.substr(element.name.find('|') + 1);
  if (!text) return fmt::format("<{}> has no {}", name, key);
  return fmt::format("{} = \"{}\" of <{}> is not a number that will do", key, text->substr(0, 40), name);
}

template <class Number>
std::string read_number(const XmlElement& element, std::string_view key, Number& number) {
  const auto text = element.attribute(key);
  if (!text || !number_of(*text, number)) return no_number(element, key);
  if constexpr (std::is_floating_point_v<Number>)
    if (!std::isfinite(number)) return no_number(element, key);
  return {};
}

/// Twelve numbers, a row of the matrix for each image of an axis, then the shift; row vectors are multiplied from the
/// left (Core Specification 3.3).
std::string read_transform(const XmlElement& element, Eigen::Affine3d& at) {
  const auto given = element.attribute("transform");
  if (!given) return {};
  std::string_view rest = trimmed(*given);
  std::array<double, 12> numbers{};
  std::size_t count = 0;
  while (!rest.empty()) {
    const std::string_view word = rest.substr(0, rest.find_first_of(" \t\r\n"));
    if (count == 12 || !number_of(word, numbers[count]) || !std::isfinite(numbers[count]))
      return "a transform is not twelve numbers";
    ++count;
    rest = trimmed(rest.substr(word.size()));
  }
  if (count != 12) return "a transform is not twelve numbers";
  for (int row = 0; row < 4; ++row)
    for (int column = 0; column < 3; ++column) at.matrix()(column, row) = entry(numbers, 3 * row + column);
  return {};
}

double unit_named(std::string_view name) {
  if (name == "micron") return 0.001;
  if (name == "millimeter") return 1;
  if (name == "centimeter") return 10;
  if (name == "inch") return mm_per_inch;
  if (name == "foot") return 12 * mm_per_inch;
  if (name == "meter") return 1000;
  return 0;
}

/// A part's name as the archive has it: without the first slash.
std::string entry_name(std::string_view part) {
  return std::string(part.starts_with('/') ? part.substr(1) : part);
}

/// One model part, element by element.
class PartReader {
 public:
  PartReader(std::string part, bool is_root, ThreemfPackage& package)
      : part_(std::move(part)), is_root_(is_root), package_(package) {}

  std::string begin(const XmlElement& element) {
    if (!element.name.starts_with(core)) return {};
    const std::string_view name = element.name.substr(core.size());
    if (name == "vertex") return vertex(element);
    if (name == "triangle") return triangle(element);
    if (name == "component") return component(element);
    if (name == "object") return object(element);
    if (name == "item") return is_root_ ? placed(element, package_.items) : "";
    if (name == "model") return model(element);
    return {};
  }

  std::string end(std::string_view name) {
    if (name != std::string(core) + "object" || !object_) return {};
    const auto last = std::max_element(object_->triangles.begin(), object_->triangles.end(), by_highest);
    if (last != object_->triangles.end() && highest(*last) >= object_->vertices.size())
      return fmt::format("a triangle of object {} asks for vertex {}, but the last is {}", object_id_, highest(*last),
                         static_cast<long>(object_->vertices.size()) - 1);
    object_ = nullptr;
    return {};
  }

  void declare(std::string_view prefix, std::string_view uri) { uri_of_prefix_.emplace(prefix, uri); }

  /// Other model parts that this one leads to.
  std::set<std::string> leads_to;
  bool is_model = false;

 private:
  static std::uint32_t highest(const Triangle& triangle) { return *std::max_element(triangle.begin(), triangle.end()); }
  static bool by_highest(const Triangle& a, const Triangle& b) { return highest(a) < highest(b); }

  std::string model(const XmlElement& element) {
    is_model = true;
    const double unit = unit_named(element.attribute("unit").value_or("millimeter"));
    if (unit == 0) return fmt::format("the unit \"{}\" is none of 3MF's", element.attribute("unit")->substr(0, 40));
    if (is_root_)
      package_.unit_mm = unit;
    else if (unit != package_.unit_mm)
      return "its model parts are in different units";
    return extensions(element.attribute("requiredextensions").value_or(""));
  }

  std::string extensions(std::string_view prefixes) const {
    for (prefixes = trimmed(prefixes); !prefixes.empty();) {
      const std::string prefix(prefixes.substr(0, prefixes.find_first_of(" \t\r\n")));
      const auto uri = uri_of_prefix_.find(prefix);
      if (uri == uri_of_prefix_.end() || std::find(harmless.begin(), harmless.end(), uri->second) == harmless.end())
        return fmt::format("it needs the extension '{}', which is not read", prefix);
      prefixes = trimmed(prefixes.substr(prefix.size()));
    }
    return {};
  }

  std::string object(const XmlElement& element) {
    if (object_) return "an object stands in an object";
    if (std::string wrong = read_number(element, "id", object_id_); !wrong.empty()) return wrong;
    const auto [entry, is_new] = package_.objects.try_emplace({part_, object_id_});
    if (!is_new) return fmt::format("object {} is there twice", object_id_);
    object_ = &entry->second;
    return {};
  }

  std::string vertex(const XmlElement& element) {
    if (!object_) return "a vertex belongs to no object";
    Vector3d at;
    for (int axis = 0; axis < 3; ++axis)
      if (std::string wrong =
              read_number(element, std::string_view("xyz").substr(static_cast<std::size_t>(axis), 1), at[axis]);
          !wrong.empty())
        return wrong;
    object_->vertices.push_back(at);
    return {};
  }

  std::string triangle(const XmlElement& element) {
    if (!object_) return "a triangle belongs to no object";
    Triangle corners{};
    constexpr std::array<std::string_view, 3> keys = {"v1", "v2", "v3"};
    for (std::size_t i = 0; i < 3; ++i)
      if (std::string wrong = read_number(element, keys[i], corners[i]); !wrong.empty()) return wrong;
    object_->triangles.push_back(corners);
    return {};
  }

  std::string component(const XmlElement& element) {
    return object_ ? placed(element, object_->components) : "a component belongs to no object";
  }

  std::string placed(const XmlElement& element, std::vector<ThreemfPlaced>& all) {
    ThreemfPlaced one;
    one.object.first = entry_name(element.attribute(production_path).value_or(part_));
    if (one.object.first != part_) leads_to.insert(one.object.first);
    if (std::string wrong = read_number(element, "objectid", one.object.second); !wrong.empty()) return wrong;
    if (std::string wrong = read_transform(element, one.at); !wrong.empty()) return wrong;
    all.push_back(std::move(one));
    return {};
  }

  std::string part_;
  bool is_root_;
  ThreemfPackage& package_;
  std::map<std::string, std::string, std::less<>> uri_of_prefix_;
  ThreemfObject* object_ = nullptr;
  std::uint32_t object_id_ = 0;
};

/// Reads one XML file of the package. A clause, or empty.
std::string read_xml(const ZipArchive& archive, const std::string& name, const XmlVisitor& visitor) {
  XmlStream stream(visitor);
  const auto unpacked = unzip(archive, name, [&](std::string_view piece) { return stream.take(piece); });
  if (!unpacked) return unpacked.error();
  const std::string trouble = stream.finish();
  return trouble.empty() ? "" : fmt::format("{}, {}", name, trouble);
}

/// The model part that the package begins with.
tl::expected<std::string, std::string> root_part(const ZipArchive& archive) {
  constexpr std::string_view model = "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel";
  std::string root;
  const XmlVisitor visitor{
      [&](const XmlElement& element) {
        if (root.empty() && element.name.ends_with("|Relationship") && element.attribute("Type") == model)
          root = entry_name(element.attribute("Target").value_or(""));
        return std::string();
      },
      [](std::string_view) { return std::string(); }};
  if (std::string trouble = read_xml(archive, "_rels/.rels", visitor); !trouble.empty())
    return tl::unexpected(std::move(trouble));
  if (root.empty()) return tl::unexpected(std::string("its _rels/.rels names no model"));
  return root;
}

std::string missing_object(const ThreemfPackage& package) {
  const auto missing = [&](const std::vector<ThreemfPlaced>& all) {
    return std::find_if(all.begin(), all.end(),
                        [&](const ThreemfPlaced& one) { return package.objects.count(one.object) == 0; });
  };
  const auto say = [](const ThreemfPlaced& one) {
    return fmt::format("object {} is placed but is not in '{}'", one.object.second, one.object.first);
  };
  if (const auto item = missing(package.items); item != package.items.end()) return say(*item);
  for (const auto& [name, object] : package.objects)
    if (const auto part = missing(object.components); part != object.components.end()) return say(*part);
  return {};
}

}  // namespace

tl::expected<ThreemfPackage, std::string> read_threemf(const ZipArchive& archive) {
  const auto root = root_part(archive);
  if (!root) return tl::unexpected(root.error());
  ThreemfPackage package;
  std::set<std::string> known = {*root};
  std::vector<std::string> waiting = {*root};
  while (!waiting.empty()) {
    const std::string part = waiting.back();
    waiting.pop_back();
    PartReader reader(part, part == *root, package);
    const XmlVisitor visitor{[&](const XmlElement& element) { return reader.begin(element); },
                             [&](std::string_view name) { return reader.end(name); },
                             [&](std::string_view prefix, std::string_view uri) { reader.declare(prefix, uri); }};
    if (std::string trouble = read_xml(archive, part, visitor); !trouble.empty())
      return tl::unexpected(std::move(trouble));
    if (!reader.is_model) return tl::unexpected(fmt::format("'{}' in it is no 3MF model", part));
    for (const auto& next : reader.leads_to)
      if (known.insert(next).second) waiting.push_back(next);
  }
  if (std::string trouble = missing_object(package); !trouble.empty()) return tl::unexpected(std::move(trouble));
  return package;
}

}  // namespace cellproof
