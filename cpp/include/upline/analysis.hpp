#pragma once
/// @file
/// @brief What the analyser read, give or take: depths, density and schedule on their worse side.
///
/// A schedule is computed for the mixes of a plan. What is breathed is what is in the cylinders,
/// known only to within the error of the analyser. Each quantity is taken on the side of the error
/// on which it is worse: that is not the same side for all.
/// @par Source
/// docs/theory.md, section "Analysis".

#include <upline/detail/number.hpp>
#include <upline/detail/require.hpp>
#include <upline/error.hpp>
#include <upline/gas.hpp>
#include <upline/plan.hpp>
#include <upline/profile.hpp>
#include <upline/replay.hpp>
#include <upline/schedule.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <initializer_list>
#include <limits>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace upline {

/// @brief A reading of one gas of a plan.
struct Analysis {
  Gas label{};               ///< The mix of the plan, as it stands on the cylinder.
  Gas reading{};             ///< What the analyser showed.
  double oxygen_error = 0.0; ///< Up and down from its oxygen [1].
  double helium_error = 0.0; ///< Up and down from its helium; 0 where none was measured [1].
};

/// @brief What is to be done with a cylinder.
enum class Remedy {
  accept,    ///< The label holds for this dive.
  relabel,   ///< The label does not; a plan with what was read does.
  plan_lean, ///< No label can: the error of the analysis alone is too large for such a schedule.
  reblend    ///< With what was read the dive cannot be planned.
};

/// @brief One gas within the error of its analysis.
struct AnalysedGas {
  Analysis analysis{};      ///< What was read.
  Depth deepest{};          ///< Where the plan breathes it deepest,
  Depth shallowest{};       ///< and shallowest.
  Depth operating_depth{};  ///< Of its richest mix; inside the tolerance only as deep as planned.
  Depth label_depth{};      ///< The same of the label.
  Depth minimum_depth{};    ///< Of its leanest mix.
  double highest_po2 = 0.0; ///< Of its richest mix where it is breathed deepest [bar].
  double po2_limit = 0.0;   ///< What the plan allows it, tolerance included [bar].
  double density = 0.0;     ///< Of its heaviest mix there, at 0 degrees C [g/L].
  Depth narcotic_depth{};   ///< Of its most narcotic mix there, oxygen counted.
  Depth narcotic_depth_nitrogen{}; ///< The same, nitrogen alone.

  /// @brief Whether its oxygen stays within the plan's limit everywhere.
  [[nodiscard]] bool within_oxygen_limit() const { return highest_po2 <= po2_limit + 1e-9; }
  /// @brief Whether it holds enough oxygen everywhere.
  [[nodiscard]] bool oxygen_suffices() const {
    return shallowest >= minimum_depth - metres(detail::same_depth);
  }
};

/// @brief A schedule dived on mixes within the errors.
struct MixTrial {
  std::size_t mixes = 0;           ///< Combinations tried.
  double surfacing_fraction = 0.0; ///< The largest of them.
  double margin = 0.0;             ///< The least, on the line raised by the allowance [bar].
  std::vector<Gas> worst{};        ///< The mixes with the least margin, bottom gas first.
  bool holds = false;              ///< No margin below 0, but for rounding.
};

/// @brief A plan judged by what was read.
struct AnalysedPlan {
  std::vector<AnalysedGas> gases{}; ///< In the order of the analyses.
  double allowance = 0.0;        ///< By which both factors are raised where a schedule is judged.
  MixTrial label{};              ///< The schedule of the labels.
  std::optional<Plan> as_read{}; ///< The dive planned with the readings,
  std::string reason{};          ///< or why it cannot be, or is refused;
  std::optional<MixTrial> as_read_trial{}; ///< its schedule within the same errors.
  std::optional<Plan> leanest{};   ///< With every oxygen at its low end, at the label's depths.
  Remedy remedy = Remedy::reblend; ///< What follows.
};

namespace detail {

inline void require_analyses(const Plan& plan, const std::vector<Analysis>& analyses) {
  require_own_schedule(plan);
  if (plan.refused())
    throw InvalidInput("plan", "a plan that a caution refuses", "a plan to be dived",
                       "mend the plan before its labels are judged");
  if (analyses.empty())
    throw InvalidInput("analyses", "none", "one for each cylinder that was analysed",
                       "give the reading of at least one gas");
  for (std::size_t j = 0; j < analyses.size(); ++j) {
    const Analysis& one = analyses[j];
    const auto has = [&](const GasChoice& choice) { return choice.gas == one.label; };
    if (std::none_of(plan.dive.gases.begin(), plan.dive.gases.end(), has))
      throw InvalidInput("analyses", one.label.text() + ", which the plan does not breathe",
                         "gases of the plan", "name the label as the plan does");
    for (std::size_t k = 0; k < j; ++k)
      if (analyses[k].label == one.label)
        throw InvalidInput("analyses", one.label.text() + " analysed twice", "each gas once",
                           "keep the later reading");
    require_range("oxygen_error", one.oxygen_error, 0.0, 0.1, "", "give a fraction, such as 0.01");
    require_range("helium_error", one.helium_error, 0.0, 0.1, "", "give a fraction, such as 0.01");
  }
}

/// @brief A mix within the errors of a reading; what cannot be is cut off.
/// @param o Of the oxygen error, -1 to 1.
/// @param h Of the helium error, -1 to 1.
[[nodiscard]] inline Gas mix_within(const Analysis& one, double o, double h) {
  const auto rounded = [](double share) { return std::round(share * 1e9) / 1e9; };
  const double oxygen =
      std::clamp(rounded(one.reading.oxygen + o * one.oxygen_error), least_oxygen, 1.0);
  const double helium =
      std::clamp(rounded(one.reading.helium + h * one.helium_error), 0.0, 1.0 - oxygen);
  return Gas(oxygen, helium);
}

/// @brief Mixes at the ends of the errors of one gas, or also between.
/// @param steps Of each error, -1 to 1.
[[nodiscard]] inline std::vector<Gas> mixes_within(const Analysis& one,
                                                   std::initializer_list<double> steps) {
  std::vector<Gas> mixes;
  for (const double o : steps)
    for (const double h : steps) {
      const Gas mix = mix_within(one, o, h);
      if (std::find(mixes.begin(), mixes.end(), mix) == mixes.end()) mixes.push_back(mix);
    }
  return mixes;
}

/// @brief Judges a plan by what was read.
class Analyst {
public:
  Analyst(const Plan& plan, const std::vector<Analysis>& analyses, double allowance)
      : plan_(plan), analyses_(analyses), allowance_(allowance),
        place_(plan.dive.environment.place()) {}

  [[nodiscard]] AnalysedPlan judge() const {
    AnalysedPlan found{.allowance = allowance_};
    for (const Analysis& one : analyses_) found.gases.push_back(of_gas(one));
    found.label = tried();
    plan_as_read(found);
    found.leanest = at_label_depths(leanest_gases());
    found.remedy = remedy_of(found);
    return found;
  }

private:
  [[nodiscard]] AnalysedGas of_gas(const Analysis& one) const {
    AnalysedGas gas{.analysis = one};
    const auto [shallowest, deepest] = depths_of(one.label);
    const Gas rich = mix_within(one, 1.0, 0.0);
    const bool bottom = one.label == plan_.dive.gases.front().gas ||
                        (plan_.dive.travel && one.label == plan_.dive.travel->gas);
    gas.deepest = metres(deepest);
    gas.shallowest = metres(shallowest);
    gas.po2_limit = in_bar(bottom ? plan_.rules.max_po2 : plan_.rules.max_deco_po2) +
                    in_bar(plan_.rules.po2_tolerance);
    const double limit = gas.po2_limit - in_bar(plan_.rules.po2_tolerance);
    gas.operating_depth = metres(operating_depth(rich, limit, gas.po2_limit, deepest));
    gas.label_depth = metres(operating_depth(one.label, limit, gas.po2_limit, deepest));
    gas.minimum_depth = metres(
        upline::minimum_depth(mix_within(one, -1.0, 0.0), in_bar(plan_.rules.min_po2), place_));
    gas.highest_po2 = rich.oxygen * place_.pressure(deepest);
    // Oxygen is heavier than nitrogen, and both are than helium.
    gas.density = density(mix_within(one, 1.0, -1.0), deepest, place_);
    gas.narcotic_depth = metres(equivalent_narcotic_depth(mix_within(one, 0.0, -1.0), deepest,
                                                          Narcotic::nitrogen_and_oxygen, place_));
    gas.narcotic_depth_nitrogen = metres(equivalent_narcotic_depth(
        mix_within(one, -1.0, -1.0), deepest, Narcotic::nitrogen, place_));
    return gas;
  }

  /// The tolerance of a limit counts only for the depth at which the plan breathes the mix [m].
  [[nodiscard]] double operating_depth(const Gas& mix, double limit, double with_tolerance,
                                       double deepest) const {
    const double depth = maximum_operating_depth(mix, limit, place_);
    const bool tolerated = mix.oxygen * place_.pressure(deepest) <= with_tolerance + 1e-9;
    return tolerated ? std::max(depth, deepest) : depth;
  }

  /// Between which depths a gas is breathed [m]; 0 and 0 where it is not.
  [[nodiscard]] std::pair<double, double> depths_of(const Gas& gas) const {
    double shallowest = std::numeric_limits<double>::infinity();
    double deepest = 0.0;
    for (const Row& row : plan_.rows) {
      if (!(row.gas == gas)) continue;
      shallowest = std::min({shallowest, in_metres(row.from), in_metres(row.to)});
      deepest = std::max({deepest, in_metres(row.from), in_metres(row.to)});
    }
    return {std::min(shallowest, deepest), deepest};
  }

  /// The plan's path on every combination of the mixes.
  [[nodiscard]] MixTrial tried() const {
    std::vector<std::vector<Gas>> mixes;
    for (const Analysis& one : analyses_) mixes.push_back(mixes_within(one, {-1.0, 0.0, 1.0}));
    if (combinations(mixes) > most_mixes)
      for (std::size_t j = 0; j < mixes.size(); ++j)
        mixes[j] = mixes_within(analyses_[j], {-1.0, 1.0});
    if (combinations(mixes) > most_mixes)
      throw InvalidInput("analyses", std::to_string(analyses_.size()) + " gases with errors",
                         "up to 5 gases with helium, or 10 without",
                         "leave out the gases whose error hardly matters");
    MixTrial trial{.margin = std::numeric_limits<double>::infinity()};
    std::vector<std::size_t> chosen(mixes.size(), 0);
    for (bool more = true; more; more = next(chosen, mixes)) {
      std::vector<Gas> now;
      for (std::size_t j = 0; j < mixes.size(); ++j) now.push_back(mixes[j][chosen[j]]);
      try_one(trial, now);
    }
    trial.holds = trial.margin >= -audit_tolerance;
    return trial;
  }

  [[nodiscard]] static std::size_t combinations(const std::vector<std::vector<Gas>>& mixes) {
    std::size_t count = 1;
    for (const std::vector<Gas>& of_one : mixes)
      count = std::min(count * of_one.size(), 2 * most_mixes);
    return count;
  }

  [[nodiscard]] static bool next(std::vector<std::size_t>& chosen,
                                 const std::vector<std::vector<Gas>>& mixes) {
    for (std::size_t j = 0; j < chosen.size(); ++j) {
      if (++chosen[j] < mixes[j].size()) return true;
      chosen[j] = 0;
    }
    return false;
  }

  void try_one(MixTrial& trial, const std::vector<Gas>& mixes) const {
    Profile path = profile_of(plan_);
    for (Waypoint& point : path.waypoints)
      if (point.gas) point.gas = breathed(*point.gas, mixes);
    Rules raised = plan_.rules;
    raised.factors =
        GradientFactors(raised.factors.low() + allowance_, raised.factors.high() + allowance_);
    const Replay seen = replay(path, raised);
    ++trial.mixes;
    trial.surfacing_fraction = std::max(trial.surfacing_fraction, seen.surfacing_fraction);
    if (seen.margin() >= trial.margin) return;
    trial.margin = seen.margin();
    trial.worst.clear();
    for (const GasChoice& choice : plan_.dive.gases)
      trial.worst.push_back(breathed(choice.gas, mixes));
  }

  /// What comes out of the cylinder with that label.
  [[nodiscard]] Gas breathed(const Gas& label, const std::vector<Gas>& mixes) const {
    for (std::size_t j = 0; j < analyses_.size(); ++j)
      if (analyses_[j].label == label) return mixes[j];
    return label;
  }

  void plan_as_read(AnalysedPlan& found) const {
    std::vector<Gas> readings;
    for (const Analysis& one : analyses_) readings.push_back(one.reading);
    Dive dive = plan_.dive;
    for (GasChoice& choice : dive.gases) choice.gas = breathed(choice.gas, readings);
    if (dive.travel) dive.travel->gas = breathed(dive.travel->gas, readings);
    try {
      found.as_read = plan(std::move(dive), plan_.rules);
      std::vector<Analysis> relabelled = analyses_;
      for (Analysis& one : relabelled) one.label = one.reading;
      found.as_read_trial = Analyst(*found.as_read, relabelled, allowance_).tried();
      if (const Caution* refusal = found.as_read->refusal())
        found.reason = caution_text(*refusal, plan_.rules.units);
    } catch (const Error& error) {
      found.reason = error.what();
    }
  }

  [[nodiscard]] std::vector<Gas> leanest_gases() const {
    std::vector<Gas> gases;
    for (const Analysis& one : analyses_) gases.push_back(mix_within(one, -1.0, 0.0));
    return gases;
  }

  /// The dive with other mixes that are taken up where the label says.
  [[nodiscard]] std::optional<Plan> at_label_depths(const std::vector<Gas>& mixes) const {
    Dive dive = plan_.dive;
    for (std::size_t j = 0; j < dive.gases.size(); ++j) {
      GasChoice& choice = dive.gases[j];
      for (const GasSwitch& change : plan_.switches)
        if (j > 0 && !change.going_down && change.to == choice.gas)
          choice.switch_depth = change.depth;
      choice.gas = breathed(choice.gas, mixes);
    }
    if (dive.travel) dive.travel->gas = breathed(dive.travel->gas, mixes);
    try {
      return plan(std::move(dive), plan_.rules);
    } catch (const Error&) {
      return {};
    }
  }

  [[nodiscard]] static Remedy remedy_of(const AnalysedPlan& found) {
    const bool oxygen =
        std::all_of(found.gases.begin(), found.gases.end(), [](const AnalysedGas& gas) {
          return gas.within_oxygen_limit() && gas.oxygen_suffices();
        });
    if (!found.as_read || found.as_read->refused()) return Remedy::reblend;
    if (oxygen && found.label.holds) return Remedy::accept;
    return oxygen && !found.as_read_trial->holds ? Remedy::plan_lean : Remedy::relabel;
  }

  static constexpr std::size_t most_mixes = 2000;
  const Plan& plan_;
  const std::vector<Analysis>& analyses_;
  double allowance_;
  Place place_;
};

} // namespace detail

/// @brief Judges a plan by what was analysed.
///
/// The path of the plan is replayed on every combination of the ends and the middles of the errors
/// (only the ends where the combinations are many); that the worst mix is among them is likely, not
/// proved. Depths and density follow from the fractions evenly, so that their worse side is exact.
/// @param plan     What the labels were planned for.
/// @param analyses One for each gas that was analysed; the others are taken as labelled.
/// @param allowance By how much both gradient factors may be exceeded on the worst mix, 0 to 0.2: a
///                  schedule without slack leaves none for an analyser.
/// @throws InvalidInput for a gas that the plan does not have, one analysed twice, errors above
///         0.1, or too many gases.
[[nodiscard]] inline AnalysedPlan analysed(const Plan& plan, const std::vector<Analysis>& analyses,
                                           double allowance) {
  detail::require_analyses(plan, analyses);
  detail::require_range("allowance", allowance, 0.0, 0.2, "",
                        "give a fraction to be added to both factors, such as 0.02");
  return detail::Analyst(plan, analyses, allowance).judge();
}

} // namespace upline
