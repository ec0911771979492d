// SPDX-License-Identifier: GPL-3.0-or-later
#include "viewer/pictures/image.hpp"

#include <algorithm>
#include <cmath>
#include <memory>

#include <cairo.h>
#include <fmt/format.h>

namespace cellproof {

std::uint32_t packed(const Colour& colour) {
  const auto byte = [](double value) {
    return static_cast<std::uint32_t>(std::lround(255 * std::clamp(value, 0.0, 1.0)));
  };
  return 0xff000000U | byte(colour.red) << 16 | byte(colour.green) << 8 | byte(colour.blue);
}

Image blank_image(int width, int height, const Colour& colour) {
  return {width, height, std::vector<std::uint32_t>(pixel_number(0, height, width), packed(colour))};
}

tl::expected<std::string, std::string> png_of(const Image& image) {
  std::vector<std::uint32_t> pixels = image.pixels;
  const std::unique_ptr<cairo_surface_t, decltype(&cairo_surface_destroy)> surface(
      cairo_image_surface_create_for_data(reinterpret_cast<unsigned char*>(pixels.data()), CAIRO_FORMAT_RGB24,
                                          image.width, image.height, 4 * image.width),
      &cairo_surface_destroy);
  std::string bytes;
  const auto append = [](void* to, const unsigned char* data, unsigned length) {
    static_cast<std::string*>(to)->append(reinterpret_cast<const char*>(data), length);
    return CAIRO_STATUS_SUCCESS;
  };
  const cairo_status_t status = cairo_surface_write_to_png_stream(surface.get(), append, &bytes);
  if (status != CAIRO_STATUS_SUCCESS)
    return tl::unexpected(fmt::format("the picture can't be drawn: {}", cairo_status_to_string(status)));
  return bytes;
}

}  // namespace cellproof
