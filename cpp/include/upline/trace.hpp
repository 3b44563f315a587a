#pragma once
/// @file
/// @brief A plan seen moment by moment: depth, tensions, what they tolerate, and the ceiling.

#include <upline/limit.hpp>
#include <upline/planning/start.hpp>
#include <upline/schedule.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <string>
#include <vector>

namespace upline {

/// @brief Samples of a plan, in order of time. All vectors have one entry per sample.
struct Trace {
  std::vector<double> run_time; ///< [min]
  std::vector<double> depth;    ///< [m]
  std::vector<double> ambient;  ///< [bar]
  std::vector<double> ceiling;  ///< Shallowest depth the limit line allows [m]; 0: the surface.
  std::vector<Lanes<double>> nitrogen;  ///< [bar]
  std::vector<Lanes<double>> helium;    ///< [bar]
  std::vector<Lanes<double>> tolerated; ///< At the line's factor for the depth of the sample [bar].
  std::vector<Lanes<double>> fraction;  ///< Supersaturation fraction [1].
  std::vector<double> factor;           ///< The line's factor for the depth of the sample [1].
  std::vector<Lanes<double>> allowed;   ///< Sum of tensions just tolerated at that factor [bar].
};

namespace detail {

/// Shallowest depth at which one compartment is within the limit line [m].
[[nodiscard]] inline double ceiling_of(const CompartmentSet& set, std::size_t i, const Place& place,
                                       const LimitLine& line, double nitrogen, double helium) {
  const auto beyond = [&](double depth) {
    return tolerated_pressure(set, i, nitrogen, helium, line.factor_at(depth)) >
           place.pressure(depth);
  };
  if (!beyond(0.0)) return 0.0;
  const double at_low =
      place.depth(tolerated_pressure(set, i, nitrogen, helium, line.factors.low()));
  if (!line.anchor || at_low >= *line.anchor) return std::max(at_low, 0.0);
  double shallow = 0.0;
  double deep = *line.anchor;
  constexpr double resolution = 1e-9;
  while (deep - shallow > resolution) {
    const double middle = shallow + (deep - shallow) / 2.0;
    (beyond(middle) ? shallow : deep) = middle;
  }
  return deep;
}

/// Adds one moment.
inline void sample(Trace& trace, const CompartmentSet& set, const Place& place,
                   const LimitLine& line, double run_time, double depth, const Tissues& tissues) {
  const double ambient = place.pressure(depth);
  const double factor = line.factor_at(depth);
  Lanes<double> tolerated;
  Lanes<double> fraction;
  Lanes<double> allowed;
  double ceiling = 0.0;
  for (std::size_t i = 0; i < compartment_count; ++i) {
    const double n2 = tissues.nitrogen[i];
    const double he = tissues.helium[i];
    tolerated[i] = tolerated_pressure(set, i, n2, he, factor);
    fraction[i] = supersaturation_fraction(set, i, n2, he, ambient);
    allowed[i] = allowed_tension(set, i, n2, he, ambient, factor);
    ceiling = std::max(ceiling, ceiling_of(set, i, place, line, n2, he));
  }
  trace.run_time.push_back(run_time);
  trace.depth.push_back(depth);
  trace.ambient.push_back(ambient);
  trace.ceiling.push_back(ceiling);
  trace.nitrogen.push_back(tissues.nitrogen);
  trace.helium.push_back(tissues.helium);
  trace.tolerated.push_back(tolerated);
  trace.fraction.push_back(fraction);
  trace.factor.push_back(factor);
  trace.allowed.push_back(allowed);
}

/// Samples rows every `step` minutes, and at their ends.
[[nodiscard]] inline Trace trace_rows(const std::vector<Row>& rows, const CompartmentSet& set,
                                      const Place& place, const LimitLine& line, Tissues tissues,
                                      Minutes step) {
  const double every = in_minutes(step);
  constexpr double most = 1e5;
  require_range("step", every, 1.0 / 60.0, 1e5, "min", "give the minutes between samples");
  require_range("samples", in_minutes(rows.back().ends) / every, 0.0, most, "",
                "give a longer step");
  Trace result;
  sample(result, set, place, line, 0.0, in_metres(rows.front().from), tissues);
  for (const Row& row : rows) {
    const double begins = in_minutes(row.begins);
    const double ends = in_minutes(row.ends);
    if (!(ends > begins)) continue;
    const double from = in_metres(row.from);
    const double rate = (in_metres(row.to) - from) / (ends - begins); // [m/min]
    const Segment whole{0.0, place.pressure(from), rate * place.per_metre};
    const auto at = [&](double run_time) {
      Tissues then = tissues; // from the start of the row, so that no error adds up
      advance(then, set, Segment{run_time - begins, whole.pressure, whole.rate},
              OpenCircuit{row.gas}, place.vapour);
      return then;
    };
    for (double k = std::floor(begins / every) + 1.0; k * every < ends - same_moment; ++k)
      if (k * every > begins + same_moment)
        sample(result, set, place, line, k * every, from + rate * (k * every - begins),
               at(k * every));
    tissues = at(ends);
    sample(result, set, place, line, ends, in_metres(row.to), tissues);
  }
  return result;
}

} // namespace detail

/// @brief Samples a plan every `step` minutes, and at the ends of every row besides.
/// @param plan What plan() returned.
/// @param step 1/60 min or more; at most 100 000 samples.
/// @throws InvalidInput for a step out of range.
[[nodiscard]] inline Trace trace(const Plan& plan, Minutes step) {
  LimitLine line{plan.rules.factors, {}};
  if (plan.anchor) line.anchor = in_metres(*plan.anchor);
  const CompartmentSet& set = compartment_set(plan.rules.model);
  return detail::trace_rows(plan.rows, set, plan.end.place, line,
                            detail::starting_tissues(plan.dive.start, plan.dive.environment, set),
                            step);
}

} // namespace upline
