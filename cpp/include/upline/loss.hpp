#pragma once
/// @file
/// @brief What is asked about lost gas, and what is found out.
/// @par Source
/// docs/theory.md, section "A lost gas at every moment".

#include <upline/caution.hpp>
#include <upline/consumption.hpp>
#include <upline/schedule.hpp>
#include <upline/units.hpp>

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace upline {

/// @brief How a loss is met. How long the stress rate lasts decides, so it is asked for.
struct LossRules {
  Minutes stress_for;                  ///< From the loss on at the stress rate, then resting.
  std::vector<Depth> last_stops{};     ///< Allowed beside that of the plan.
  Minutes every = minutes(1.0 / 60.0); ///< Between two moments that are tried, 1 s to 10 min.
};

/// @brief Whether a loss closes.
enum class Closure {
  own,    ///< On the diver's own gas.
  shared, ///< Not so, but on that of the whole team.
  no,     ///< Not even then, or no ascent could be computed.
  unknown ///< Not on the diver's own gas, and nobody else is given.
};

/// @brief The closure in words: "own gas", "shared", "no", "unknown".
[[nodiscard]] constexpr const char* closure_name(Closure closure) {
  switch (closure) {
  case Closure::own: return "own gas";
  case Closure::shared: return "shared";
  case Closure::no: return "no";
  case Closure::unknown: return "unknown";
  }
  return "";
}

/// @brief A stretch of the dive in which every moment tried has one answer.
struct ClosureSpan {
  Minutes from{};    ///< Run time of the first moment of it that was tried.
  Minutes to{};      ///< Run time of the last.
  Closure closure{}; ///< The answer.
};

/// @brief Litres of one mix that are missing.
struct GasShort {
  Gas gas{};       ///< The mix.
  Litres volume{}; ///< By which more must be in the cylinders at the loss.
};

/// @brief What must be in the cylinders of one mix at the loss, whenever it comes.
struct GasReserve {
  Gas gas{};                               ///< The mix.
  Litres volume{};                         ///< In all of these cylinders together.
  Litres there{};                          ///< What is in them at that moment.
  Minutes at{};                            ///< Run time of the moment that asks for most.
  std::vector<std::size_t> cylinders{};    ///< In which it must be, from 0, of the diver.
  std::optional<GaugePressure> pressure{}; ///< In each; nothing where they cannot hold it.
  /// In all of them before the dive, so that enough is left at every moment.
  Litres filled{};
  std::optional<GaugePressure> fill_pressure{}; ///< The same in each; nothing as above.
};

/// @brief The ascent after one loss.
struct LossMoment {
  Minutes at{};                     ///< Run time of the loss.
  Depth depth{};                    ///< Where.
  std::string reason{};             ///< Why there is no ascent; empty where there is one.
  std::vector<GasShort> short_of{}; ///< What is missing, the most first.
  Gas breathed{};                   ///< Taken up at once.
  Depth last_stop{};                ///< Chosen.
  std::vector<Stop> stops{};        ///< Of the ascent.
  Minutes time_to_surface{};        ///< From the loss.
  double cns = 0.0; ///< CNS share at its end, the dive until the loss and earlier dives included.
  std::vector<Caution> refusals{}; ///< Limits that it breaks.

  /// @brief All that is missing.
  [[nodiscard]] Litres short_by() const {
    Litres total;
    for (const GasShort& one : short_of) total = total + one.volume;
    return total;
  }
};

/// @brief One cylinder of one diver, or two of them, lost at every moment of the dive.
struct LostCylinders {
  std::size_t diver = 0;                ///< Whose they are, from 0.
  std::vector<std::size_t> cylinders{}; ///< One or two of them, from 0.
  std::vector<ClosureSpan> spans{};     ///< In order of time.
  /// Run time up to which every loss closes on own gas; nothing where the first does not.
  std::optional<Minutes> own_until{};
  /// The same on own or shared gas; nothing as well where no other diver is given.
  std::optional<Minutes> shared_until{};
  std::optional<LossMoment> own_worst{};    ///< Nothing where all close on own gas.
  std::optional<LossMoment> shared_worst{}; ///< Nothing where all close on own or shared gas.
  /// Each gas that is short at some moment; all of them together close those moments.
  std::vector<GasReserve> reserves{};
  /// Whether the reserves, where they can be held, close every moment; not where some have no
  /// ascent, or gas was missing before.
  bool reserves_close = true;
  double highest_cns = 0.0;     ///< Over the ascents on own gas.
  Minutes highest_cns_at{};     ///< Run time of the loss that has it.
  double highest_density = 0.0; ///< The same for density, at 0 degrees C [g/L].
  Minutes highest_density_at{}; ///< Run time of the loss that has it.

  /// @brief Whether every loss of it closes; shared gas counts.
  [[nodiscard]] bool closes() const {
    for (const ClosureSpan& span : spans)
      if (span.closure != Closure::own && span.closure != Closure::shared) return false;
    return !spans.empty();
  }
};

/// @brief All losses of all divers.
struct LostGas {
  LossRules rules;                     ///< As asked.
  std::vector<DiverSupply> divers{};   ///< As asked.
  std::vector<LostCylinders> losses{}; ///< Of each diver single cylinders, then pairs.

  /// @brief Whether every loss closes; shared gas counts.
  [[nodiscard]] bool closes() const {
    for (const LostCylinders& loss : losses)
      if (!loss.closes()) return false;
    return !losses.empty();
  }
};

} // namespace upline
