#pragma once
/// @file
/// @brief Holds followed tables against the limit line of their own dive.

#include <upline/checking/follow.hpp>
#include <upline/replaying/anchor.hpp>
#include <upline/replaying/tightness.hpp>

#include <cstddef>
#include <utility>

namespace upline::detail {

/// @brief Judges one table under one reading, as written and with changes.
class Judge {
public:
  Judge(const TableReader& reader, const GradientFactors& factors)
      : reader_(reader), factors_(factors), set_(compartment_set(reader.rules().model)),
        screen_(set_), rates_(reader.rules().ascent_rates) {}

  /// @brief The whole table, followed.
  [[nodiscard]] Follower follow(const Change& change) const {
    return follow(change, [](const Follower&) {});
  }

  /// @brief The same; `look` sees the diver on reaching and on leaving each stop.
  template <class Look>
  [[nodiscard]] Follower follow(const Change& change, Look&& look) const {
    Follower diver(reader_, set_, rates_, change);
    diver.reach_and_leave_bottom();
    for (std::size_t j = 0; j < reader_.stops().size(); ++j) {
      diver.travel_to(j);
      look(std::as_const(diver));
      diver.stay_at(j);
      look(std::as_const(diver));
    }
    diver.surface();
    return diver;
  }

  /// @brief The line of a dive, by the direct ascent begun when the bottom was left.
  [[nodiscard]] LimitLine line_of(const Follower& diver) const {
    return {
        factors_,
        AnchorFinder(diver.walk(), screen_, rates_, factors_.low()).from_leg(diver.first_leg())};
  }

  [[nodiscard]] bool within(const Follower& diver, const LimitLine& line) const {
    return Tightness(diver.walk(), screen_, diver.first_leg(), line).within_line();
  }

  [[nodiscard]] Tightest tightest(const Follower& diver, const LimitLine& line) const {
    return Tightness(diver.walk(), screen_, diver.first_leg(), line).of_all();
  }

  [[nodiscard]] Tightest at_surface(const Follower& diver, const LimitLine& line) const {
    return Tightness(diver.walk(), screen_, diver.first_leg(), line).at_surface();
  }

  [[nodiscard]] double surfacing_fraction(const Follower& diver) const {
    return leading_fraction(set_, diver.walk().tissues(), diver.walk().place().surface).value;
  }

  [[nodiscard]] const TableReader& reader() const { return reader_; }
  [[nodiscard]] const GradientFactors& factors() const { return factors_; }
  [[nodiscard]] const CompartmentSet& set() const { return set_; }
  [[nodiscard]] const Screen& screen() const { return screen_; }
  [[nodiscard]] const RateTable& rates() const { return rates_; }

private:
  const TableReader& reader_;
  GradientFactors factors_;
  const CompartmentSet& set_;
  Screen screen_;
  RateTable rates_;
};

} // namespace upline::detail
