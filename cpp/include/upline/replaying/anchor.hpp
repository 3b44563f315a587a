#pragma once
/// @file
/// @brief The limit line of a path: anchored by a direct ascent, never by the stops that were made.
/// @par Source
/// docs/theory.md, section "Replay".

#include <upline/ascent.hpp>
#include <upline/planning/leg.hpp>
#include <upline/replaying/walk.hpp>

#include <boost/math/tools/minima.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>
#include <vector>

namespace upline::detail {

/// @brief Finds the anchor of a walk.
class AnchorFinder {
public:
  AnchorFinder(const Walk& walk, const Screen& screen, const RateTable& rates, double low)
      : walk_(walk), screen_(screen), rates_(rates), low_(low) {
    // Found once: a log has a hundred thousand legs and changes gas a few times.
    const std::vector<Leg>& legs = walk.legs();
    for (std::size_t j = 1; j < legs.size(); ++j)
      if (!(legs[j].gas == legs[j - 1].gas)) changes_.push_back(j);
  }

  /// @brief Of the direct ascent begun with a leg, on the gases and depths that follow [m].
  [[nodiscard]] std::optional<double> from_leg(std::size_t leg) const {
    return direct(walk_.legs()[leg - 1].after, walk_.legs()[leg].from, leg);
  }

  /// @brief The greatest anchor over the moments before the diver is beyond the low factor [m].
  ///
  /// Where nobody said when the bottom was left. Along each leg the anchor is followed at every
  /// half minute, and refined around the greatest found.
  [[nodiscard]] std::optional<double> greatest() const {
    std::optional<double> best;
    Peak peak;
    bool inside = false; // the diver has been within the low factor
    for (std::size_t j = 1; j < walk_.legs().size(); ++j) {
      const Leg& leg = walk_.legs()[j];
      const std::optional<double> leaves = first_beyond(j);
      if (leaves && *leaves <= 0.0 && !inside) continue; // not yet on the way down
      inside = true;
      follow(j, leaves.value_or(leg.minutes()), best, peak);
      if (!leaves) continue;
      const double there = leg.from + (leg.to - leg.from) * *leaves / leg.minutes();
      if (!best || there > *best) best = there;
      break;
    }
    if (!best) return {};
    return std::max(*best, refined(peak).value_or(0.0));
  }

private:
  struct Peak {
    std::size_t leg = 0;
    double at = 0.0; // [min] after its beginning
    double span = 0.0;
    double end = 0.0;
  };

  void follow(std::size_t j, double until, std::optional<double>& best, Peak& peak) const {
    constexpr double longest = 0.5; // [min]
    const int pieces = std::max(1, static_cast<int>(std::ceil(until / longest)));
    for (int k = j == 1 ? 0 : 1; k <= pieces; ++k) {
      const double t = until * k / pieces;
      const std::optional<double> anchor = at(j, t);
      if (!anchor || (best && *anchor <= *best)) continue;
      best = anchor;
      peak = {j, t, until / pieces, until};
    }
  }

  [[nodiscard]] std::optional<double> refined(const Peak& peak) const {
    if (peak.leg == 0 || !(peak.span > 0.0)) return {};
    const auto depth = [&](double t) { return -at(peak.leg, t).value_or(0.0); };
    constexpr int bits = 26; // about 1e-8 of the span, where a maximum is flat to 1e-16
    return -boost::math::tools::brent_find_minima(depth, std::max(0.0, peak.at - peak.span),
                                                  std::min(peak.end, peak.at + peak.span), bits)
                .second;
  }

  [[nodiscard]] std::optional<double> at(std::size_t j, double t) const {
    const Leg& leg = walk_.legs()[j];
    const double speed = (leg.to - leg.from) / leg.minutes();
    Tissues tissues = walk_.legs()[j - 1].after;
    const Place& place = walk_.place();
    advance(tissues, walk_.set(), Segment{t, place.pressure(leg.from), speed * place.per_metre},
            OpenCircuit{leg.gas}, place.vapour);
    return direct(tissues, leg.from + speed * t, j);
  }

  /// Minutes into a leg at which a compartment is first beyond the low factor.
  [[nodiscard]] std::optional<double> first_beyond(std::size_t j) const {
    const Leg& leg = walk_.legs()[j];
    const Tissues& before = walk_.legs()[j - 1].after;
    const SegmentEnds s =
        segment_ends(walk_.place(), leg.gas, leg.from, leg.to, leg.minutes(), low_, low_);
    Lanes<double> start;
    Lanes<double> end;
    excess(walk_.set(), before, low_, s.pressure_start, start);
    excess(walk_.set(), leg.after, low_, s.pressure_end, end);
    Screen::Marks marks = Screen::Marks::Constant(true); // a descent is searched
    if (leg.to == leg.from) marks = screen_.stay(s, before, leg.after, start, end, 0.0);
    if (leg.to < leg.from)
      marks = screen_.ascent(s, before, leg.after, end, 0.0) || view(start) > 0.0;
    std::optional<double> first;
    for (std::size_t i = 0; i < compartment_count; ++i) {
      if (!marks[static_cast<Eigen::Index>(i)]) continue;
      const Course course = course_of_segment(walk_.set(), before, s, i);
      const auto t = CrossingSearch(course, Crossing::beyond_limit)
                         .first(course.at(0.0), first.value_or(s.minutes));
      if (t && (!first || *t < *first)) first = t;
    }
    return first;
  }

  /// @param leg The gases taken up after it are those of the ascent.
  [[nodiscard]] std::optional<double> direct(const Tissues& tissues, double depth,
                                             std::size_t leg) const {
    Loading loading(walk_.set(), walk_.place());
    return DirectAscent(loading, screen_, rates_, low_)
        .anchor(tissues, depth, walk_.legs()[leg].gas, gases_after(leg, depth), {0.0});
  }

  /// Gases taken up later and shallower, each no deeper than the one before.
  [[nodiscard]] std::vector<GasAtDepth> gases_after(std::size_t leg, double depth) const {
    std::vector<GasAtDepth> gases;
    for (auto change = std::upper_bound(changes_.begin(), changes_.end(), leg);
         change != changes_.end(); ++change) {
      const Leg& taken_up = walk_.legs()[*change];
      const double deepest = gases.empty() ? depth : gases.back().depth;
      if (taken_up.from <= deepest + same_depth) gases.push_back({taken_up.from, taken_up.gas});
    }
    return gases;
  }

  const Walk& walk_;
  const Screen& screen_;
  const RateTable& rates_;
  double low_;
  std::vector<std::size_t> changes_{}; // legs on another gas than the one before
};

} // namespace upline::detail
