#pragma once
/// @file
/// @brief A plan walked to any of its moments: depth, gas, tensions, oxygen, and its mixes
/// numbered.

#include <upline/environment.hpp>
#include <upline/limit.hpp>
#include <upline/oxygen.hpp>
#include <upline/planning/start.hpp>
#include <upline/schedule.hpp>
#include <upline/solver/loading.hpp>

#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

namespace upline::detail {

/// @brief Some of the mixes of a plan, a bit each.
using Mixes = std::uint32_t;

/// @brief Where the plan is at a moment.
struct PlanMoment {
  double run_time = 0.0; ///< [min]
  double depth = 0.0;    ///< [m]
  std::size_t row = 0;   ///< Of the plan; what begins at this moment is the next one.
  Tissues tissues;
  double cns = 0.0; ///< Share until then, earlier dives included.
};

/// @brief A plan that was made, walked again along its rows.
class PlanWalk {
public:
  explicit PlanWalk(const Plan& plan)
      : plan_(plan), place_(plan.dive.environment.place()),
        set_(compartment_set(plan.rules.model)) {
    Loading loading(set_, place_);
    Tissues tissues = starting_tissues(plan.dive.start, plan.dive.environment, set_);
    double cns = plan.oxygen.cns_total - plan.oxygen.cns;
    for (const GasChoice& choice : plan.dive.gases) number_of(choice.gas);
    if (plan.dive.travel) number_of(plan.dive.travel->gas);
    for (const Row& row : plan.rows) {
      starts_.push_back(tissues);
      doses_.push_back(cns);
      breathed_.push_back(number_of(row.gas));
      const double minutes = in_minutes(row.ends) - in_minutes(row.begins);
      const double from = in_metres(row.from);
      const double to = in_metres(row.to);
      if (from == to)
        loading.stay(tissues, row.gas, from, minutes);
      else
        loading.travel(tissues, row.gas, from, to, minutes);
      cns += dose(row.gas, from, to, minutes);
    }
  }

  [[nodiscard]] const Plan& plan() const { return plan_; }
  [[nodiscard]] const Place& place() const { return place_; }
  [[nodiscard]] const CompartmentSet& set() const { return set_; }
  [[nodiscard]] const std::vector<Gas>& mixes() const { return mixes_; }
  /// @brief Number of the mix that a row breathes.
  [[nodiscard]] std::size_t breathed(std::size_t row) const { return breathed_[row]; }

  /// @brief Number of a mix; nothing for one that the plan does not name.
  [[nodiscard]] std::optional<std::size_t> find(const Gas& gas) const {
    const auto found = std::find(mixes_.begin(), mixes_.end(), gas);
    if (found == mixes_.end()) return {};
    return static_cast<std::size_t>(found - mixes_.begin());
  }

  [[nodiscard]] PlanMoment at(double run_time) const {
    PlanMoment moment;
    moment.run_time = run_time;
    const std::vector<Row>& rows = plan_.rows;
    while (moment.row + 1 < rows.size() && in_minutes(rows[moment.row].ends) < run_time)
      ++moment.row;
    const Row& row = rows[moment.row];
    const double begins = in_minutes(row.begins);
    const double from = in_metres(row.from);
    const double whole = in_minutes(row.ends) - begins;
    const double per_minute = whole > 0.0 ? (in_metres(row.to) - from) / whole : 0.0; // [m/min]
    const double minutes = run_time - begins;
    moment.depth =
        run_time == in_minutes(row.ends) ? in_metres(row.to) : from + per_minute * minutes;
    moment.tissues = starts_[moment.row];
    advance(moment.tissues, set_,
            Segment{minutes, place_.pressure(from), per_minute * place_.per_metre},
            OpenCircuit{row.gas}, place_.vapour);
    moment.cns = doses_[moment.row] + dose(row.gas, from, moment.depth, minutes);
    return moment;
  }

  /// @brief Share of the single-exposure limits over a stretch.
  [[nodiscard]] double dose(const Gas& gas, double from, double to, double minutes) const {
    return oxygen_share(single_exposure, OxygenSegment{minutes, gas.oxygen * place_.pressure(from),
                                                       gas.oxygen * place_.pressure(to)});
  }

  /// @brief Mixes that the plan still breathes after a moment.
  [[nodiscard]] Mixes needed_after(double run_time) const {
    Mixes needed = 0;
    for (std::size_t j = 0; j < plan_.rows.size(); ++j)
      if (in_minutes(plan_.rows[j].ends) > run_time) needed |= Mixes{1} << breathed_[j];
    return needed;
  }

private:
  std::size_t number_of(const Gas& gas) {
    if (const auto known = find(gas)) return *known;
    mixes_.push_back(gas);
    return mixes_.size() - 1;
  }

  const Plan& plan_;
  Place place_;
  const CompartmentSet& set_;
  std::vector<Gas> mixes_;
  std::vector<std::size_t> breathed_; // by row
  std::vector<Tissues> starts_;       // by row
  std::vector<double> doses_;         // by row, at its start
};

} // namespace upline::detail
