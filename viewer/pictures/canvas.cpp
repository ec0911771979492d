// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/pictures/canvas.hpp"

#include <cairo.h>

#include "viewer/pictures/palette.hpp"

namespace cellproof {

bool Area::overlaps(const Area& other) const {
  return left < other.left + other.width && other.left < left + width && top < other.top + other.height &&
         other.top < top + height;
}

struct Canvas::Inside {
  std::unique_ptr<cairo_surface_t, decltype(&cairo_surface_destroy)> surface;
  std::unique_ptr<cairo_t, decltype(&cairo_destroy)> cairo;

  explicit Inside(Image& image)
      : surface(cairo_image_surface_create_for_data(reinterpret_cast<unsigned char*>(image.pixels.data()),
                                                    CAIRO_FORMAT_RGB24, image.width, image.height, 4 * image.width),
                &cairo_surface_destroy),
        cairo(cairo_create(surface.get()), &cairo_destroy) {
    cairo_set_line_cap(cairo.get(), CAIRO_LINE_CAP_ROUND);
    cairo_set_line_join(cairo.get(), CAIRO_LINE_JOIN_ROUND);
  }

  void ink(const Colour& colour, double opacity) {
    cairo_set_source_rgba(cairo.get(), colour.red, colour.green, colour.blue, opacity);
  }
  void choose(const Lettering& lettering) {
    cairo_select_font_face(cairo.get(), "DejaVu Sans", CAIRO_FONT_SLANT_NORMAL,
                           lettering.bold ? CAIRO_FONT_WEIGHT_BOLD : CAIRO_FONT_WEIGHT_NORMAL);
    cairo_set_font_size(cairo.get(), lettering.size);
  }
};

Canvas::Canvas(Image& image) : inside_(std::make_unique<Inside>(image)) {}
Canvas::~Canvas() = default;

void Canvas::line(std::span<const Vector2d> points, const Stroke& stroke, bool closed) {
  cairo_t* cairo = inside_->cairo.get();
  const double dash[] = {5 * stroke.width, 4 * stroke.width};
  cairo_set_dash(cairo, dash, stroke.dashed ? 2 : 0, 0);
  cairo_set_line_width(cairo, stroke.width);
  cairo_new_path(cairo);
  for (const Vector2d& point : points) cairo_line_to(cairo, point.x(), point.y());
  if (closed) cairo_close_path(cairo);
  inside_->ink(stroke.colour, stroke.opacity);
  cairo_stroke(cairo);
}

void Canvas::disk(const Vector2d& centre, double radius, const Colour& colour) {
  cairo_t* cairo = inside_->cairo.get();
  cairo_new_path(cairo);
  cairo_arc(cairo, centre.x(), centre.y(), radius, 0, 2 * pi);
  inside_->ink(colour, 1);
  cairo_fill(cairo);
}

void Canvas::fill(const Area& area, const Colour& colour, double opacity) {
  cairo_rectangle(inside_->cairo.get(), area.left, area.top, area.width, area.height);
  inside_->ink(colour, opacity);
  cairo_fill(inside_->cairo.get());
}

void Canvas::text(const Vector2d& start, const std::string& words, const Lettering& lettering) {
  cairo_t* cairo = inside_->cairo.get();
  inside_->choose(lettering);
  cairo_set_dash(cairo, nullptr, 0, 0);
  cairo_move_to(cairo, start.x(), start.y());
  if (lettering.halo) {
    cairo_text_path(cairo, words.c_str());
    cairo_set_line_width(cairo, lettering.size / 4);
    inside_->ink(palette::paper, 0.9);
    cairo_stroke(cairo);
    cairo_move_to(cairo, start.x(), start.y());
  }
  inside_->ink(lettering.colour, 1);
  cairo_show_text(cairo, words.c_str());
  cairo_new_path(cairo);
}

double Canvas::width_of(const std::string& words, const Lettering& lettering) {
  inside_->choose(lettering);
  cairo_text_extents_t extents;
  cairo_text_extents(inside_->cairo.get(), words.c_str(), &extents);
  return extents.x_advance;
}

void Canvas::keep_within(const Area& area) {
  cairo_rectangle(inside_->cairo.get(), area.left, area.top, area.width, area.height);
  cairo_clip(inside_->cairo.get());
}

std::string shortened(Canvas& canvas, const std::string& words, const Lettering& lettering, double width) {
  if (canvas.width_of(words, lettering) <= width) return words;
  constexpr std::size_t least_letters = 4;
  for (std::size_t length = words.size(); length-- > least_letters;) {
    if ((static_cast<unsigned char>(words[length]) & 0xC0U) == 0x80U) continue;  // within a letter
    const std::string part = words.substr(0, length) + "…";
    if (canvas.width_of(part, lettering) <= width) return part;
  }
  return {};
}

}  // namespace cellproof
