#pragma once
/// @file
/// @brief The ascent solver: where the limit line is anchored, and how long a rung must be held.
///
/// Both are solved, not stepped. An ascent between two rungs maps tensions linearly, so that the
/// tensions on arrival are exponentials of the time waited before; crossings of the limit are
/// isolated with enclosures of the derivative (solver/course.hpp), so that none is missed.
/// @par Accuracy
/// Waits to 1e-12 min, the anchor to 1e-12 m, as far as the tensions themselves carry the digits.
/// @par Source
/// docs/theory.md, sections "Limit" and "Ascent".

#include <upline/gas.hpp>
#include <upline/ladder.hpp>
#include <upline/limit.hpp>
#include <upline/solver/course.hpp>
#include <upline/solver/loading.hpp>
#include <upline/solver/screen.hpp>

#include <algorithm>
#include <cstddef>
#include <optional>
#include <vector>

namespace upline::detail {

/// @brief A leave test holds where no compartment is beyond its limit by more than this [bar].
inline constexpr double leave_tolerance = 1e-12;

/// @brief Longest wait looked for [min].
inline constexpr double longest_wait = 1e5;

/// @brief A gas taken up on the way, from a depth on [m].
struct GasAtDepth {
  double depth = 0.0;
  Gas gas;
};

/// @brief One compartment along travel or a stay.
[[nodiscard]] inline Course course_of_segment(const CompartmentSet& set, const Tissues& tissues,
                                              const SegmentEnds& s, std::size_t i) {
  Course course;
  course.nitrogen = {tissues.nitrogen[i], s.nitrogen.start - tissues.nitrogen[i], s.nitrogen.rate,
                     set.nitrogen.rate[i]};
  course.helium = {tissues.helium[i], s.helium.start - tissues.helium[i], s.helium.rate,
                   set.helium.rate[i]};
  course.take_limits(set, i);
  course.ambient = s.pressure_start;
  course.factor = s.factor_start;
  if (s.minutes > 0.0) {
    course.ambient_rate = (s.pressure_end - s.pressure_start) / s.minutes;
    course.factor_rate = (s.factor_end - s.factor_start) / s.minutes;
  }
  return course;
}

/// @brief Pressures, factors and inspired gas of a stretch from one depth to another.
[[nodiscard]] inline SegmentEnds segment_ends(const Place& place, const Gas& gas, double from,
                                              double to, double minutes, double factor_from,
                                              double factor_to) {
  SegmentEnds s;
  s.minutes = minutes;
  s.pressure_start = place.pressure(from);
  s.pressure_end = place.pressure(to);
  s.factor_start = factor_from;
  s.factor_end = factor_to;
  const double dry = s.pressure_start - place.vapour;
  const double rate = minutes > 0.0 ? (s.pressure_end - s.pressure_start) / minutes : 0.0;
  s.nitrogen = {dry * gas.nitrogen(), rate * gas.nitrogen()};
  s.helium = {dry * gas.helium, rate * gas.helium};
  return s;
}

/// @brief Where the direct ascent first touches the limit at the low factor [m].
///
/// Without any pause, on the gas of each depth. Nothing if it reaches the surface untouched.
/// @param gases Gases taken up above `from`, deepest first; `gas` is breathed until then.
class DirectAscent {
public:
  DirectAscent(Loading& loading, const Screen& screen, const RateTable& rates, double factor)
      : loading_(loading), screen_(screen), rates_(rates), factor_(factor) {}

  [[nodiscard]] std::optional<double> anchor(Tissues tissues, double from, Gas gas,
                                             const std::vector<GasAtDepth>& gases,
                                             const std::vector<double>& rungs) {
    if (largest(tissues, loading_.place().pressure(from)) > 0.0) return from;
    std::size_t next_gas = 0;
    std::optional<double> touched;
    const auto climb_to = [&](double depth) {
      rates_.split(from, depth, [&](double start, double end, double rate) {
        if (!touched) touched = touch(tissues, gas, start, end, rate);
      });
      from = depth;
    };
    // Rung by rung, because these travel times are the ones already computed.
    for (const double rung : rungs) {
      if (rung >= from) continue;
      for (; next_gas < gases.size() && gases[next_gas].depth >= rung - same_depth; ++next_gas) {
        if (gases[next_gas].depth < from - same_depth) climb_to(gases[next_gas].depth);
        if (touched) return touched;
        gas = gases[next_gas].gas;
      }
      if (rung < from) climb_to(rung);
      if (touched) return touched;
    }
    climb_to(0.0);
    return touched;
  }

private:
  [[nodiscard]] double largest(const Tissues& tissues, double ambient) {
    excess(loading_.set(), tissues, factor_, ambient, excess_);
    return view(excess_).maxCoeff();
  }

  /// Climbs one stretch; the depth of the first touch on it.
  [[nodiscard]] std::optional<double> touch(Tissues& tissues, const Gas& gas, double from,
                                            double to, double rate) {
    const double minutes = (from - to) / rate;
    const SegmentEnds s = segment_ends(loading_.place(), gas, from, to, minutes, factor_, factor_);
    const Tissues before = tissues;
    loading_.travel(tissues, gas, from, to, minutes);
    (void)largest(tissues, s.pressure_end);
    const Screen::Marks marks = screen_.ascent(s, before, tissues, excess_, 0.0);
    if (!marks.any()) return {};
    std::optional<double> first;
    for (std::size_t i = 0; i < compartment_count; ++i) {
      if (!marks[static_cast<Eigen::Index>(i)]) continue;
      const Course course = course_of_segment(loading_.set(), before, s, i);
      const auto t = CrossingSearch(course, Crossing::beyond_limit)
                         .first(course.at(0.0), first.value_or(minutes));
      if (t) first = first ? std::min(*first, *t) : *t;
    }
    if (!first) return {};
    return std::max(to, from - rate * *first);
  }

  Loading& loading_;
  const Screen& screen_;
  const RateTable& rates_;
  double factor_;
  Lanes<double> excess_{};
};

/// @brief The least wait at a depth, and the compartment that asks for it.
struct Wait {
  double minutes = 0.0;
  std::size_t compartment = 0;
  bool possible = true;
};

/// @brief The test that lets a diver leave a depth for the next, and the wait until it passes.
class LeaveTest {
public:
  /// @param rates  Rates at which the ascent is tested.
  /// @param factor Gradient factor at `to`.
  LeaveTest(Loading& loading, const RateTable& rates, const Gas& gas, double from, double to,
            double factor)
      : loading_(loading), gas_(gas), depth_(from), factor_(factor),
        ambient_(loading.place().pressure(to)) {
    rates.split(from, to, [&](double start, double end, double rate) {
      const double minutes = (start - end) / rate;
      if (parts_++ == 0) {
        loading_.set_map(map_, gas_, start, end, minutes);
        return;
      }
      TravelMap part;
      loading_.set_map(part, gas_, start, end, minutes);
      map_.then(part);
    });
  }

  /// @brief Whether the diver may leave now.
  [[nodiscard]] bool passes(const Tissues& tissues) {
    map_.apply(tissues, arrival_);
    return tolerated(loading_.set(), arrival_, factor_, ambient_ + leave_tolerance);
  }

  /// @brief Tensions on arrival, as of the last test.
  [[nodiscard]] const Tissues& arrival() const { return arrival_; }

  /// @brief Whether the ascent tested is at one rate all the way.
  [[nodiscard]] bool at_one_rate() const { return parts_ == 1; }

  /// @brief The compartment nearest to its limit, or farthest beyond it, in the last test.
  [[nodiscard]] std::size_t leader() const { return leader(excess_on_arrival()); }

  /// @brief The least wait after which passes() holds; carries `tissues` over it.
  ///
  /// No earlier moment than the first pass of a compartment that fails now can be right, so
  /// going from one such moment to the next ends at the least one.
  [[nodiscard]] Wait least_wait(Tissues& tissues) {
    Wait wait;
    if (passes(tissues)) return wait;
    const Tissues at_start = tissues;
    constexpr int most_rounds = 200;
    for (int round = 0; round < most_rounds; ++round) {
      const Failing latest = latest_to_pass(at_start, wait.minutes);
      wait.compartment = latest.compartment;
      const auto next =
          CrossingSearch(latest.course, Crossing::into_limit).first(latest.now, longest_wait);
      if (!next) break;
      // A crossing found within rounding of this moment must not stop the walk.
      wait.minutes = std::max(*next, wait.minutes + 1e-13 * (1.0 + wait.minutes) * round);
      tissues = at_start;
      loading_.stay(tissues, gas_, depth_, wait.minutes);
      if (passes(tissues)) return wait;
    }
    wait.possible = false;
    return wait;
  }

private:
  [[nodiscard]] static std::size_t leader(const Lanes<double>& beyond) {
    return static_cast<std::size_t>(std::max_element(beyond.begin(), beyond.end()) -
                                    beyond.begin());
  }

  [[nodiscard]] Lanes<double> excess_on_arrival() const {
    Lanes<double> result;
    excess(loading_.set(), arrival_, factor_, ambient_, result);
    return result;
  }

  /// Tensions of one compartment on arrival, as a course of the time waited before.
  [[nodiscard]] Course course_of(const Tissues& tissues, std::size_t i) const {
    const double dry = loading_.place().pressure(depth_) - loading_.place().vapour;
    const CompartmentSet& set = loading_.set();
    Course course;
    course.nitrogen = after_map(map_.nitrogen, tissues.nitrogen[i], dry * gas_.nitrogen(), i);
    course.nitrogen.rate = set.nitrogen.rate[i];
    course.helium = after_map(map_.helium, tissues.helium[i], dry * gas_.helium, i);
    course.helium.rate = set.helium.rate[i];
    course.take_limits(set, i);
    course.ambient = ambient_;
    course.factor = factor_;
    return course;
  }

  [[nodiscard]] static GasCourse after_map(const GasMap& map, double tension, double inspired,
                                           std::size_t i) {
    return {map.scale[i] * tension + map.shift[i], map.scale[i] * (inspired - tension), 0.0, 0.0};
  }

  struct Failing {
    std::size_t compartment = 0;
    Course course;
    Moment now;
  };

  /// Of the compartments that failed the last test, the one that Newton's rule expects last.
  [[nodiscard]] Failing latest_to_pass(const Tissues& at_start, double now) const {
    const Lanes<double> beyond = excess_on_arrival();
    Failing latest;
    double longest = -1.0;
    for (std::size_t i = 0; i < compartment_count; ++i) {
      if (!(beyond[i] > 0.0)) continue;
      const Course course = course_of(at_start, i);
      const Moment moment = course.at(now);
      const double slope = course.slope(moment);
      const double estimate = slope < 0.0 ? -moment.gap / slope : longest_wait;
      if (estimate <= longest) continue;
      longest = estimate;
      latest = {i, course, moment};
    }
    return latest;
  }

  Loading& loading_;
  Gas gas_;
  double depth_;
  double factor_;
  double ambient_;
  int parts_ = 0;
  TravelMap map_;
  Tissues arrival_;
};

} // namespace upline::detail
