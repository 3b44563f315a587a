#pragma once
/// @file
/// @brief Gas kept for the one who comes to help and for what may be lost: litres, turn pressures,
/// and which of them binds.
///
/// Litres are those of consumption.hpp, exact on ramps and taken from the cylinders as real gas.
/// What decides has no default.
/// @par Source
/// docs/theory.md, section "Reserves".

#include <upline/consumption.hpp>
#include <upline/detail/require.hpp>
#include <upline/plan.hpp>
#include <upline/reserving/drawing.hpp>
#include <upline/sharing.hpp>

#include <algorithm>
#include <cstddef>
#include <functional>
#include <limits>
#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

namespace upline {

/// @brief A share of each gas of the ascent is not planned to be breathed.
struct KeptFraction {
  double value = 0.0; ///< Of the content, 0 to 0.9.
};

/// @brief Each gas of the ascent lasts also where the one taken up after it is gone.
struct CoversLossOfNext {};

/// @brief How a reserve is reckoned. None of it has a default.
struct ReserveRules {
  int sharing;              ///< Who breathe from one diver's supply, that one too: 1 to 6.
  Minutes minutes_at_depth; ///< Before the ascent begins, 0 to 60.
  bool next_gas_gone;       ///< The reserve does also where the gas it leads to is gone.
  std::variant<KeptFraction, CoversLossOfNext> decompression; ///< For the gases of the ascent.
};

/// @brief What a requirement is for.
enum class ReserveFor {
  planned_dive, ///< All that is breathed where all goes well.
  sharing,      ///< The way to the next gas for those who share.
  decompression ///< The gas of an ascent beyond its plan.
};

/// @brief Gas that one diver must have of one mix, and has.
struct Requirement {
  std::size_t diver = 0;          ///< Place in the team, from 0.
  Gas gas{};                      ///< The mix.
  ReserveFor what{};              ///< What it is for.
  std::optional<Gas> gone{};      ///< The gas whose loss it covers.
  std::optional<Litres> needed{}; ///< Nothing where it is unknown, and then it does not close.
  std::string reason{};           ///< Why it is unknown.
  Litres planned{};   ///< Part of it that is breathed where all goes well; nothing for sharing.
  Litres available{}; ///< What the cylinders give for it.
  Litres short_by{};  ///< What they do not give.
  Litres content{};   ///< Of all cylinders of the mix as filled.
  Minutes at{};       ///< Run time at which `reading` is read; 0: before the dive.
  /// The least that all cylinders of the mix must read for it to close; nothing where it is
  /// unknown, or more than a cylinder may hold.
  std::optional<GaugePressure> reading{};

  /// @brief Whether what is there suffices; what is unknown does not.
  [[nodiscard]] bool closes() const { return needed && !(short_by > litres(0.0)); }
  /// @brief What is left over as a share of the content, negative where gas is missing.
  [[nodiscard]] double left_over() const {
    if (!needed || !(content > litres(0.0))) return -std::numeric_limits<double>::infinity();
    return in_litres(available - *needed) / in_litres(content);
  }
};

/// @brief The reserves of a team over one plan.
struct Reserves {
  Plan plan;                                ///< As planned.
  std::vector<DiverSupply> team{};          ///< Who dives it.
  ReserveRules rules;                       ///< What was asked for.
  Gas bottom_gas{};                         ///< Breathed when the bottom is left.
  SharingWay with_next{};                   ///< To the gas after it.
  std::optional<SharingWay> without_next{}; ///< With that gone; nothing where there is none.
  std::vector<Requirement> requirements{};  ///< Diver by diver; all that must close.
  /// The sharing reserve that does not rule, diver by diver; empty where there is none.
  std::vector<Requirement> other_sharing{};

  /// @brief Whether every requirement of every diver closes.
  [[nodiscard]] bool closes() const {
    return std::all_of(requirements.begin(), requirements.end(),
                       [](const Requirement& one) { return one.closes(); });
  }
  /// @brief The one that binds: the most missing as a share of the content, or the least left over.
  [[nodiscard]] const Requirement& binds() const {
    return *std::min_element(requirements.begin(), requirements.end(),
                             [](const Requirement& a, const Requirement& b) {
                               if (a.closes() != b.closes()) return b.closes();
                               return a.left_over() < b.left_over();
                             });
  }
  /// @brief The way that the sharing reserve must last for.
  [[nodiscard]] const SharingWay& way() const {
    return rules.next_gas_gone && without_next ? *without_next : with_next;
  }
};

namespace detail {

inline void require_team(const Plan& plan, const std::vector<DiverSupply>& team) {
  if (team.empty() || team.size() > most_in_team)
    throw InvalidInput("divers", std::to_string(team.size()) + " divers",
                       "1 to " + std::to_string(most_in_team) + " divers",
                       "name those who dive this plan together");
  require_own_schedule(plan);
  for (const DiverSupply& one : team) require_supply(plan, one);
}

inline void require_reserve_rules(const ReserveRules& rules) {
  require_range(
      "sharing", rules.sharing, 1, 6, "divers",
      "give how many breathe from one diver's supply, that one too: 2 for a pair, 1 for a "
      "solo diver");
  require_range("minutes_at_depth", in_minutes(rules.minutes_at_depth), 0.0, 60.0, "min",
                "give the minutes at depth before a shared ascent begins");
  if (const auto* kept = std::get_if<KeptFraction>(&rules.decompression))
    require_range("decompression", kept->value, 0.0, 0.9, "",
                  "give the fraction of each decompression gas that is kept, or ask that it covers "
                  "loss of the next gas");
}

/// @brief What those who share one diver's supply breathe in a minute.
[[nodiscard]] inline BreathingRate shared_rate(const std::vector<DiverSupply>& team,
                                               std::size_t diver, int sharing) {
  const BreathingRate own = team[diver].rates.stress;
  std::vector<BreathingRate> others;
  for (std::size_t j = 0; j < team.size(); ++j)
    if (j != diver) others.push_back(team[j].rates.stress);
  std::sort(others.begin(), others.end(), std::greater<>());
  others.resize(static_cast<std::size_t>(sharing - 1), own);
  BreathingRate sum = own;
  for (const BreathingRate one : others) sum = sum + one;
  return sum;
}

/// Finds the reserves of one plan.
class ReserveFinder {
public:
  /// @param readings Whether pressures are asked for as well; they take longer than litres.
  ReserveFinder(Plan plan, const std::vector<DiverSupply>& team, const ReserveRules& rules,
                bool readings)
      : found_{.plan = std::move(plan), .team = team, .rules = rules}, readings_(readings) {}

  [[nodiscard]] Reserves find() {
    const Plan& plan = found_.plan;
    found_.bottom_gas = gas_at_leaving(plan);
    changes_ = switches_of_ascent(plan);
    const bool gone = found_.rules.next_gas_gone && !changes_.empty();
    if (readings_ || !gone) found_.with_next = sharing_way(plan, at_depth(), {});
    if ((readings_ || gone) && !changes_.empty())
      found_.without_next = sharing_way(plan, at_depth(), changes_.front().to);
    follow_losses();
    for (std::size_t j = 0; j < found_.team.size(); ++j) {
      for (const GasUse& use : plan.gas) found_.requirements.push_back(planned(j, use.gas));
      found_.requirements.push_back(sharing(j, found_.way()));
      for (std::size_t k = 0; k < changes_.size(); ++k)
        found_.requirements.push_back(decompression(j, k));
      if (readings_ && found_.without_next)
        found_.other_sharing.push_back(sharing(j, gone ? found_.with_next : *found_.without_next));
    }
    return std::move(found_);
  }

private:
  [[nodiscard]] Minutes at_depth() const { return found_.rules.minutes_at_depth; }
  [[nodiscard]] bool covers_loss() const {
    return std::holds_alternative<CoversLossOfNext>(found_.rules.decompression);
  }

  /// The plan without the gas after each gas of the ascent but the last.
  void follow_losses() {
    if (!covers_loss()) return;
    for (std::size_t k = 1; k < changes_.size(); ++k)
      losses_.push_back(otherwise(found_.plan, Minutes(), {changes_[k].to}));
  }

  [[nodiscard]] Requirement about(std::size_t diver, const Gas& gas, ReserveFor what) const {
    Requirement one;
    one.diver = diver;
    one.gas = gas;
    one.what = what;
    one.content = content_of(cylinders_of(found_.team[diver], gas));
    return one;
  }

  /// Writes down what cylinders give to what is drawn from them.
  void draw(Requirement& one, const std::vector<Cylinder>& cylinders,
            const std::vector<Draw>& draws) const {
    const Drawn result = drawn(cylinders, one.gas, draws);
    one.needed = result.needed;
    one.short_by = result.short_by;
    one.available = result.given() + result.spare;
    if (readings_) one.reading = lowest_reading(cylinders, one.gas, draws);
  }

  [[nodiscard]] std::vector<Draw> planned_draws(std::size_t diver, const Gas& gas) const {
    return draws_of(found_.plan, gas, found_.team[diver].rates, in_minutes(found_.plan.run_time));
  }

  [[nodiscard]] Requirement planned(std::size_t diver, const Gas& gas) const {
    Requirement one = about(diver, gas, ReserveFor::planned_dive);
    draw(one, cylinders_of(found_.team[diver], gas), planned_draws(diver, gas));
    one.planned = *one.needed;
    return one;
  }

  /// The cylinders as they are when the bottom is left; nothing is left of a gas that ran out.
  [[nodiscard]] std::vector<Cylinder> at_leaving(std::size_t diver, const Gas& gas) const {
    const DiverSupply& supply = found_.team[diver];
    const double leaves = in_minutes(found_.plan.bottom_time);
    const std::vector<Cylinder> filled = cylinders_of(supply, gas);
    const Drawn before =
        drawn(filled, gas, draws_of(found_.plan, gas, supply.rates, leaves, leaves));
    if (before.short_by > litres(0.0))
      return at_readings(filled, std::vector<GaugePressure>(filled.size(), bar_gauge(0.0)));
    return at_readings(filled, before.left);
  }

  [[nodiscard]] Requirement sharing(std::size_t diver, const SharingWay& way) const {
    Requirement one = about(diver, found_.bottom_gas, ReserveFor::sharing);
    one.gone = way.without;
    one.at = found_.plan.bottom_time;
    one.reason = way.reason;
    if (way.plan && way.leads_to)
      for (const DiverSupply& each : found_.team)
        if (cylinders_of(each, *way.leads_to).empty())
          one.reason = "it leads to " + way.leads_to->spoken() + ", of which " +
                       (each.name.empty() ? std::string("a diver") : each.name) +
                       " has no cylinder";
    if (one.reason.empty()) one.reason = deeper_before();
    if (!one.reason.empty()) return one;
    const BreathingRate rate = shared_rate(found_.team, diver, found_.rules.sharing);
    draw(one, at_leaving(diver, one.gas), draws_of(way, found_.plan.bottom_time, rate));
    return one;
  }

  /// The reserve is that of leaving the last level; what a deeper one before it asks is unknown.
  [[nodiscard]] std::string deeper_before() const {
    const std::vector<Level>& levels = found_.plan.dive.levels;
    for (const Level& level : levels)
      if (level.depth > levels.back().depth)
        return "an earlier level is deeper, and the reserve of leaving it is not computed";
    return {};
  }

  [[nodiscard]] Requirement decompression(std::size_t diver, std::size_t change) const {
    Requirement one = about(diver, changes_[change].to, ReserveFor::decompression);
    const std::vector<Cylinder> cylinders = cylinders_of(found_.team[diver], one.gas);
    const std::vector<Draw> as_planned = planned_draws(diver, one.gas);
    for (const Draw& each : as_planned) one.planned = one.planned + each.volume;
    if (!covers_loss()) {
      keep(one, cylinders);
    } else if (change + 1 < changes_.size()) {
      one.gone = changes_[change + 1].to;
      const Contingency& lost = losses_[change];
      one.reason = lost.reason;
      if (lost.plan)
        draw(one, cylinders,
             draws_of(*lost.plan, one.gas, found_.team[diver].rates,
                      in_minutes(changes_[change + 1].at)));
    } else {
      draw(one, cylinders, as_planned);
    }
    return one;
  }

  /// A fraction of the content stays.
  void keep(Requirement& one, const std::vector<Cylinder>& cylinders) const {
    const double breathed = 1.0 - std::get<KeptFraction>(found_.rules.decompression).value;
    one.needed = one.planned;
    one.available = one.content * breathed;
    one.short_by = std::max(litres(0.0), *one.needed - one.available);
    if (!readings_) return;
    const Draw all{litres(in_litres(one.planned) / breathed), bar_gauge(0.0)};
    one.reading = lowest_reading(cylinders, one.gas, {all});
  }

  Reserves found_;
  bool readings_;
  std::vector<GasSwitch> changes_;
  std::vector<Contingency> losses_;
};

} // namespace detail

/// @brief What each diver of a team must have of each gas, and has; and which of it binds.
///
/// The sharing reserve is that of leaving the last level: the ascent begins `minutes_at_depth`
/// later, on the stops of the plan computed for that, and ends where the next gas is first
/// breathed, or at the surface. The stress rates of those who share are added up. Where an earlier
/// level is deeper, what leaving that one asks is unknown, and does not close.
/// @param plan  The dive.
/// @param team  1 to 12 divers, each with a cylinder for each gas of the plan.
/// @param rules What is kept, and for whom.
/// @throws InvalidInput for rules or rates out of range, no diver or too many, or a gas without a
///         cylinder.
[[nodiscard]] inline Reserves reserves(const Plan& plan, const std::vector<DiverSupply>& team,
                                       const ReserveRules& rules) {
  detail::require_team(plan, team);
  detail::require_reserve_rules(rules);
  return detail::ReserveFinder(plan, team, rules, true).find();
}

} // namespace upline
