#pragma once
/// @file
/// @brief Where a walk is tightest, before the surface and at it.

#include <upline/planning/audit.hpp>
#include <upline/replaying/walk.hpp>

#include <algorithm>
#include <array>
#include <cstddef>
#include <numeric>
#include <vector>

namespace upline::detail {

/// @brief The two compartments with the least margin at a depth [bar].
struct TwoLeaders {
  Leader first;
  Leader second;
};

[[nodiscard]] inline TwoLeaders leaders_at(const Walk& walk, const Tissues& tissues,
                                           const LimitLine& line, double depth) {
  Lanes<double> beyond;
  excess(walk.set(), tissues, line.factor_at(depth), walk.place().pressure(depth), beyond);
  std::array<std::size_t, compartment_count> order{};
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::partial_sort(order.begin(), order.begin() + 2, order.end(),
                    [&](std::size_t x, std::size_t y) { return beyond[x] > beyond[y]; });
  return {{order[0], -beyond[order[0]]}, {order[1], -beyond[order[1]]}};
}

/// @brief The tightest moments of a walk that ends at the surface.
class Tightness {
public:
  /// @param first_leg From which the margin counts.
  Tightness(const Walk& walk, const Screen& screen, std::size_t first_leg, const LimitLine& line)
      : walk_(walk), screen_(screen), first_(first_leg), last_(walk.legs().size() - 1),
        line_(line) {}

  /// @brief The largest excess of all.
  [[nodiscard]] Tightest of_all() const {
    const Tightest before = before_surface();
    const Tightest at = at_surface();
    return at.excess >= before.excess ? at : before;
  }

  /// @brief The largest excess before the surface is reached.
  ///
  /// Where the last ascent is tightest at its very end and within the line, that is the surface's
  /// own.
  [[nodiscard]] Tightest before_surface() const {
    const Leg& up = walk_.legs()[last_];
    Audit audit(screen_, walk_.set(), walk_.place(), walk_.legs());
    Tightest found = last_ > first_ ? audit.tightest({first_, last_, line_})
                                    : moment(walk_.legs()[last_ - 1].after, up.from, up.begins);
    const Tightest rising = audit.tightest({last_, last_ + 1, line_}, found.excess);
    const bool before =
        !line_.anchor || rising.run_time < up.ends - same_moment || rising.excess > audit_tolerance;
    if (rising.excess > found.excess && before) found = rising;
    return found;
  }

  [[nodiscard]] Tightest at_surface() const { return moment(walk_.tissues(), 0.0, walk_.clock()); }

  /// @brief Whether the line is kept everywhere; quicker than looking for the tightest moment.
  [[nodiscard]] bool within_line() const {
    return at_surface().excess <= audit_tolerance &&
           !Audit(screen_, walk_.set(), walk_.place(), walk_.legs())
                .breach({{first_, last_ + 1, line_}});
  }

private:
  [[nodiscard]] Tightest moment(const Tissues& tissues, double depth, double run_time) const {
    Lanes<double> beyond;
    excess(walk_.set(), tissues, line_.factor_at(depth), walk_.place().pressure(depth), beyond);
    const auto worst = std::max_element(beyond.begin(), beyond.end());
    return {*worst, run_time, depth, static_cast<std::size_t>(worst - beyond.begin()), last_};
  }

  const Walk& walk_;
  const Screen& screen_;
  std::size_t first_;
  std::size_t last_;
  const LimitLine& line_;
};

} // namespace upline::detail
