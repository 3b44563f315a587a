#pragma once
/// @file
/// @brief Checks a finished ascent whole, stays and travel, against its limit line.

#include <upline/ascent.hpp>
#include <upline/planning/diver.hpp>

#include <algorithm>
#include <cstddef>
#include <optional>
#include <vector>

namespace upline::detail {

/// @brief The worst moment of an ascent that goes beyond the limit line.
struct Breach {
  double amount = 0.0; ///< Tolerated minus ambient pressure [bar].
  double run_time = 0.0;
  double depth = 0.0;
  std::size_t compartment = 0;
};

/// @brief What is beyond the line by no more than this is rounding [bar].
inline constexpr double audit_tolerance = 1e-9;

/// @brief Looks for the worst breach of all ascents, each on its own line.
class Audit {
public:
  explicit Audit(const Diver& diver)
      : diver_(diver), set_(diver.set()), place_(diver.place()), line_(diver.line()) {}

  [[nodiscard]] std::optional<Breach> worst() {
    for (const Climb& climb : diver_.climbs()) check(climb);
    if (breach_.amount <= audit_tolerance) return {};
    return breach_;
  }

private:
  void check(const Climb& climb) {
    line_ = climb.line;
    const std::vector<Leg>& legs = diver_.legs();
    const Leg& first = legs[climb.first_leg];
    const Tissues& begin = legs[climb.first_leg - 1].after; // there is always a descent before
    excess(set_, begin, factor_inside(first.from), place_.pressure(first.from), at_start_);
    for (std::size_t j = climb.first_leg; j < climb.end_leg; ++j) check(legs[j], legs[j - 1].after);
  }

  /// The factor changes its slope at the anchor, so a leg across it is two.
  void check(const Leg& leg, const Tissues& before) {
    const double anchor = line_.anchor.value_or(0.0);
    if (!(leg.from > anchor && leg.to < anchor)) {
      check_part(leg, before);
      return;
    }
    const double share = (leg.from - anchor) / (leg.from - leg.to);
    Leg deep = leg;
    deep.to = anchor;
    deep.ends = leg.begins + share * leg.minutes();
    deep.after = before;
    const double rate = (place_.pressure(leg.to) - place_.pressure(leg.from)) / leg.minutes();
    advance(deep.after, set_, Segment{deep.minutes(), place_.pressure(leg.from), rate},
            OpenCircuit{leg.gas}, place_.vapour);
    Leg shallow = leg;
    shallow.from = anchor;
    shallow.begins = deep.ends;
    check_part(deep, before);
    check_part(shallow, deep.after);
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
    const Screen::Marks marks =
        leg.from == leg.to
            ? diver_.screen().stay(s, before, leg.after, at_start_, at_end, audit_tolerance)
            : diver_.screen().ascent(s, before, leg.after, at_end, audit_tolerance);
    at_start_ = at_end; // the next leg begins where this one ended
    if (!marks.any()) return;
    for (std::size_t i = 0; i < compartment_count; ++i)
      if (marks[static_cast<Eigen::Index>(i)]) search_one(leg, before, s, i);
  }

  void search_one(const Leg& leg, const Tissues& before, const SegmentEnds& s, std::size_t i) {
    const Course course = course_of_segment(set_, before, s, i);
    WorstMoment search(course, std::max(audit_tolerance, breach_.amount));
    const auto worst = search.between(course.at(0.0), course.at(s.minutes));
    if (!worst) return;
    breach_ = {search.amount(), leg.begins + worst->t, std::max(0.0, place_.depth(worst->ambient)),
               i};
  }

  const Diver& diver_;
  const CompartmentSet& set_;
  Place place_;
  LimitLine line_;
  Breach breach_;
  Lanes<double> at_start_{}; // excess at the start of the part in hand
};

} // namespace upline::detail
