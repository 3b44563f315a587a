#pragma once
/// @file
/// @brief What can be made of a few gases: a point, a line, a triangle or four corners in the plane
/// of oxygen and helium.
/// @par Source
/// docs/theory.md, section "Blending". Plane geometry.

#include <upline/gas.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>
#include <optional>
#include <utility>
#include <vector>

namespace upline::detail {

/// @brief A mix as a point: its fractions of oxygen and of helium.
struct Shares {
  double oxygen = 0.0;
  double helium = 0.0;

  friend Shares operator+(Shares x, Shares y) { return {x.oxygen + y.oxygen, x.helium + y.helium}; }
  friend Shares operator-(Shares x, Shares y) { return {x.oxygen - y.oxygen, x.helium - y.helium}; }
  friend Shares operator*(double s, Shares x) { return {s * x.oxygen, s * x.helium}; }
};

[[nodiscard]] inline Shares shares_of(const BasicGas<double>& gas) {
  return {gas.oxygen, gas.helium};
}
[[nodiscard]] inline double cross(Shares x, Shares y) {
  return x.oxygen * y.helium - x.helium * y.oxygen;
}
[[nodiscard]] inline double dot(Shares x, Shares y) {
  return x.oxygen * y.oxygen + x.helium * y.helium;
}

inline constexpr double hull_slack = 1e-12; ///< A trillionth of the gas is nothing.

/// @brief All mixes of the gases at its corners.
class Hull {
public:
  /// @param corners One to four, no three of them on a line, in order around.
  explicit Hull(std::vector<Shares> corners) : corners_(std::move(corners)) {
    const std::size_t count = corners_.size();
    const auto along = [&](Shares normal, Shares through) {
      sides_.push_back({normal, dot(normal, through)});
    };
    const Shares first = corners_.front();
    if (count == 1) {
      for (const Shares one : {Shares{1.0, 0.0}, Shares{0.0, 1.0}}) {
        along(one, first);
        along(-1.0 * one, first);
      }
      return;
    }
    for (std::size_t j = 0; j < count; ++j) {
      const Shares edge = corners_[(j + 1) % count] - corners_[j];
      const double turn =
          count > 2 ? std::copysign(1.0, cross(corners_[1] - first, corners_[2] - corners_[1]))
                    : 1.0;
      const double length = std::sqrt(dot(edge, edge));
      along((turn / length) * Shares{-edge.helium, edge.oxygen}, corners_[j]);
      if (count == 2) along((1.0 / length) * edge, corners_[j]);
    }
  }

  [[nodiscard]] bool holds(Shares x) const {
    return std::all_of(sides_.begin(), sides_.end(), [&](const Side& side) {
      return dot(side.normal, x) >= side.at - hull_slack;
    });
  }

  /// @brief The mix of the corners that is nearest to a point.
  [[nodiscard]] Shares nearest(Shares x) const {
    if (holds(x)) return x;
    Shares best = corners_.front();
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t j = 0; j < corners_.size(); ++j) {
      const Shares from = corners_[j];
      const Shares edge = corners_[(j + 1) % corners_.size()] - from;
      const double length = dot(edge, edge);
      const double part = length > 0.0 ? std::clamp(dot(x - from, edge) / length, 0.0, 1.0) : 0.0;
      const Shares candidate = from + part * edge;
      const double distance = dot(x - candidate, x - candidate);
      if (distance < least) {
        least = distance;
        best = candidate;
      }
    }
    return best;
  }

  /// @brief Between which k, 0 or more, `from + k direction` is inside; nothing where it never is.
  [[nodiscard]] std::optional<std::pair<double, double>> stretch(Shares from,
                                                                 Shares direction) const {
    double first = 0.0;
    double last = std::numeric_limits<double>::infinity();
    for (const Side& side : sides_) {
      const double slope = dot(side.normal, direction);
      const double room = dot(side.normal, from) - side.at;
      if (std::abs(slope) <= 1e-15) {
        if (room < -hull_slack) return {};
        continue;
      }
      const double at = -(room + hull_slack / 2.0) / slope; // rounding is left for holds()
      if (slope > 0.0)
        first = std::max(first, at);
      else
        last = std::min(last, at);
    }
    if (first > last) return {};
    return std::pair(first, last);
  }

private:
  struct Side {
    Shares normal; ///< Inwards, of length 1.
    double at;
  };
  std::vector<Shares> corners_;
  std::vector<Side> sides_;
};

/// @brief Whether three mixes lie on a line, so that more than one blend of them is the same.
[[nodiscard]] inline bool on_a_line(Shares a, Shares b, Shares c) {
  constexpr double least = 1e-6; // twice the area of the triangle
  return std::abs(cross(b - a, c - a)) < least;
}

/// @brief Shares of one to three corners in a mix of them; no three on a line.
/// @param x Within their hull.
[[nodiscard]] inline std::vector<double> parts_of(Shares x, const std::vector<Shares>& corners) {
  if (corners.size() == 1) return {1.0};
  std::vector<double> parts(corners.size());
  if (corners.size() == 2) {
    const Shares edge = corners[1] - corners[0];
    parts[1] = dot(x - corners[0], edge) / dot(edge, edge);
    parts[0] = 1.0 - parts[1];
  } else {
    const Shares a = corners[0] - corners[2];
    const Shares b = corners[1] - corners[2];
    const Shares rest = x - corners[2];
    const double area = cross(a, b);
    parts[0] = cross(rest, b) / area;
    parts[1] = cross(a, rest) / area;
    parts[2] = 1.0 - parts[0] - parts[1];
  }
  for (double& part : parts)
    if (part < 1e-13) part = 0.0; // what no gauge shows is not a step of its own
  return parts;
}

} // namespace upline::detail
