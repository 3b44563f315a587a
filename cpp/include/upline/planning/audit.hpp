#pragma once
/// @file
/// @brief Judges ascents whole, stays and travel, against their limit lines.

#include <upline/ascent.hpp>
#include <upline/planning/leg.hpp>

#include <algorithm>
#include <cstddef>
#include <limits>
#include <optional>
#include <vector>

namespace upline::detail {

/// @brief The moment of an ascent that is nearest to its limit line, or farthest beyond it.
struct Tightest {
  double excess = -std::numeric_limits<double>::infinity(); ///< Tolerated minus ambient [bar].
  double run_time = 0.0;
  double depth = 0.0;
  std::size_t compartment = 0;
  std::size_t leg = 0; ///< In which it lies.
};

/// @brief What is beyond the line by no more than this is rounding [bar].
inline constexpr double audit_tolerance = 1e-9;

/// @brief Looks along ascents for the moments of largest excess, solved and not sampled.
class Audit {
public:
  Audit(const Screen& screen, const CompartmentSet& set, const Place& place,
        const std::vector<Leg>& legs)
      : screen_(screen), set_(set), place_(place), legs_(legs) {}

  /// @brief The worst moment beyond the line of any ascent; nothing if none is.
  [[nodiscard]] std::optional<Tightest> breach(const std::vector<Climb>& climbs) {
    found_ = {};
    found_.excess = audit_tolerance;
    for (const Climb& climb : climbs) check(climb);
    if (found_.excess <= audit_tolerance) return {};
    return found_;
  }

  /// @brief The tightest moment of an ascent that is beyond `excess` bar, which may be below 0.
  [[nodiscard]] Tightest tightest(const Climb& climb,
                                  double excess = -std::numeric_limits<double>::infinity()) {
    found_ = {};
    found_.excess = excess;
    offer_ends(climb);
    check(climb);
    return found_;
  }

private:
  /// The ends of the legs first: most of what lies between them need not be searched then.
  void offer_ends(const Climb& climb) {
    line_ = climb.line;
    for (std::size_t j = climb.first_leg; j < climb.end_leg; ++j) {
      const Leg& leg = legs_[j];
      offer(j, legs_[j - 1].after, leg.from, leg.begins);
      offer(j, leg.after, leg.to, leg.ends);
    }
  }

  void offer(std::size_t leg, const Tissues& tissues, double depth, double run_time) {
    Lanes<double> beyond;
    excess(set_, tissues, factor_inside(depth), place_.pressure(depth), beyond);
    const auto worst = std::max_element(beyond.begin(), beyond.end());
    if (*worst <= found_.excess) return;
    found_ = {*worst, run_time, depth, static_cast<std::size_t>(worst - beyond.begin()), leg};
  }

  void check(const Climb& climb) {
    line_ = climb.line;
    for (leg_ = climb.first_leg; leg_ < climb.end_leg; ++leg_) {
      const Leg& leg = legs_[leg_];
      const Tissues& before = legs_[leg_ - 1].after;
      // The leg before ended here, but on another line if the ascent begins here.
      if (leg_ == climb.first_leg)
        excess(set_, before, factor_inside(leg.from), place_.pressure(leg.from), at_start_);
      check_leg(leg, before);
    }
  }

  /// The factor changes its slope at the anchor, so a leg across it is two.
  void check_leg(const Leg& leg, const Tissues& before) {
    const double anchor = line_.anchor.value_or(0.0);
    if ((leg.from - anchor) * (leg.to - anchor) >= 0.0) {
      check_part(leg, before);
      return;
    }
    const double share = (leg.from - anchor) / (leg.from - leg.to);
    Leg first = leg;
    first.to = anchor;
    first.ends = leg.begins + share * leg.minutes();
    first.after = before;
    const double rate = (place_.pressure(leg.to) - place_.pressure(leg.from)) / leg.minutes();
    advance(first.after, set_, Segment{first.minutes(), place_.pressure(leg.from), rate},
            OpenCircuit{leg.gas}, place_.vapour);
    Leg second = leg;
    second.from = anchor;
    second.begins = first.ends;
    check_part(first, before);
    check_part(second, first.after);
  }

  /// Just below the surface a line without an anchor still asks for the low factor.
  [[nodiscard]] double factor_inside(double depth) const {
    return line_.anchor ? line_.factor_at(depth) : line_.factors.low();
  }

  void check_part(const Leg& leg, const Tissues& before) {
    if (!(leg.minutes() > 0.0)) return;
    const SegmentEnds s = segment_ends(place_, leg.gas, leg.from, leg.to, leg.minutes(),
                                       factor_inside(leg.from), factor_inside(leg.to));
    Lanes<double> at_end;
    excess(set_, leg.after, s.factor_end, s.pressure_end, at_end);
    const Screen::Marks marks = suspects(leg, s, before, at_end);
    at_start_ = at_end; // the next leg begins where this one ended
    if (!marks.any()) return;
    for (std::size_t i = 0; i < compartment_count; ++i)
      if (marks[static_cast<Eigen::Index>(i)]) search_one(leg, before, s, i);
  }

  /// The screen knows stays and ascents, and bounds of 0 or more; all else is searched.
  [[nodiscard]] Screen::Marks suspects(const Leg& leg, const SegmentEnds& s, const Tissues& before,
                                       const Lanes<double>& at_end) const {
    if (found_.excess < 0.0 || leg.to > leg.from) return Screen::Marks::Constant(true);
    return leg.from == leg.to ? screen_.stay(s, before, leg.after, at_start_, at_end, found_.excess)
                              : screen_.ascent(s, before, leg.after, at_end, found_.excess);
  }

  void search_one(const Leg& leg, const Tissues& before, const SegmentEnds& s, std::size_t i) {
    const Course course = course_of_segment(set_, before, s, i);
    WorstMoment search(course, found_.excess);
    const auto worst = search.between(course.at(0.0), course.at(s.minutes));
    if (!worst) return;
    found_ = {search.amount(), leg.begins + worst->t, std::max(0.0, place_.depth(worst->ambient)),
              i, leg_};
  }

  const Screen& screen_;
  const CompartmentSet& set_;
  Place place_;
  const std::vector<Leg>& legs_;
  LimitLine line_{GradientFactors(1.0, 1.0), {}}; // of the ascent in hand
  std::size_t leg_ = 0;                           // in hand
  Tightest found_;
  Lanes<double> at_start_{}; // excess at the start of the part in hand
};

} // namespace upline::detail
