#pragma once
/// @file
/// @brief Oxygen on the boat: how much so many casualties breathe until they are treated, and
///        whether it is there.
///
/// First aid, not treatment. What is not stated stays unknown; it never becomes "enough".
/// @par Source
/// docs/theory.md, section "Oxygen on the boat".

#include <upline/detail/require.hpp>
#include <upline/error.hpp>
#include <upline/gas.hpp>
#include <upline/supply.hpp>
#include <upline/units.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace upline {

/// @brief Whether what is there is what is needed.
enum class Enough {
  yes,    ///< By what was stated.
  no,     ///< Litres are missing.
  unknown ///< Something that decides was not stated.
};

/// @brief What is asked of the oxygen on a boat; nothing in it has a default that decides.
struct BoatOxygenNeed {
  int casualties = 1;                    ///< Who breathe at the same time, 1 to 50.
  BreathingRate flow;                    ///< To each of them, 1 to 200 L/min.
  double margin = 1.0;                   ///< What is needed is multiplied by it, 1 to 5.
  std::optional<Minutes> to_treatment{}; ///< Until somebody else's oxygen; nothing where unknown.
  std::vector<Cylinder> cylinders{};     ///< Of oxygen, none of it the dive's; empty where unknown.
};

/// @brief Oxygen on the boat, against what is needed.
struct BoatOxygen {
  BoatOxygenNeed asked;                       ///< As given.
  std::optional<Litres> needed{};             ///< Margin and all; nothing without a time.
  std::optional<Litres> there{};              ///< In all cylinders; nothing without one.
  std::optional<Minutes> lasts{};             ///< What is there, at this flow.
  std::optional<Minutes> lasts_with_margin{}; ///< The same with the margin kept.
  std::optional<Litres> short_by{};           ///< What is missing, 0 where it is enough.
  Enough enough = Enough::unknown;            ///< The answer.
};

namespace detail {

inline constexpr int most_casualties = 50;
inline constexpr std::size_t most_oxygen_cylinders = 100;

inline void require_boat_oxygen(const BoatOxygenNeed& need) {
  require_range("casualties", need.casualties, 1, most_casualties, "",
                "give how many may have to breathe oxygen at the same time");
  constexpr double least_flow = 1.0; // [L/min]
  constexpr double most_flow = 200.0;
  const double flow = need.flow.base();
  if (!(flow >= least_flow && flow <= most_flow))
    throw InvalidInput(
        "flow", in_both(flow, "L/min", flow / litres_per_cubic_foot, "cu ft/min"),
        in_both(least_flow, "L/min", least_flow / litres_per_cubic_foot, "cu ft/min") + " to " +
            in_both(most_flow, "L/min", most_flow / litres_per_cubic_foot, "cu ft/min"),
        "give what the equipment gives each casualty in a minute");
  require_range("margin", need.margin, 1.0, 5.0, "",
                "give the factor on what is needed; 1 adds nothing");
  if (need.to_treatment)
    require_range("minutes_to_treatment", in_minutes(*need.to_treatment), 1.0, 10000.0, "min",
                  "give the time until somebody else's oxygen takes over, or leave it out");
  if (need.cylinders.size() > most_oxygen_cylinders)
    throw InvalidInput("cylinders", std::to_string(need.cylinders.size()),
                       "up to " + std::to_string(most_oxygen_cylinders), "name those of one boat");
  for (const Cylinder& one : need.cylinders)
    if (!(one.gas().oxygen == 1.0))
      throw InvalidInput("cylinders", "given with one of " + one.gas().spoken(),
                         "cylinders of oxygen",
                         "leave that cylinder out: it is no oxygen for first aid");
}

} // namespace detail

/// @brief How much oxygen casualties need until treatment, and whether the boat has it.
///
/// Needed: casualties times flow times minutes times margin, in litres at 1 bar; a flow meter's
/// litre, at one atmosphere, is 1.3 % more. There: the content of the cylinders as real gas, until
/// their gauges read 0.
/// @param need What is asked; a time or cylinders left out leave the answer unknown.
/// @throws InvalidInput for what is out of range, and for a cylinder that does not hold oxygen.
[[nodiscard]] inline BoatOxygen boat_oxygen(const BoatOxygenNeed& need) {
  detail::require_boat_oxygen(need);
  BoatOxygen found{.asked = need};
  const double flow = need.casualties * need.flow.base(); // all together [L/min]
  if (need.to_treatment) found.needed = litres(flow * in_minutes(*need.to_treatment) * need.margin);
  if (!need.cylinders.empty()) {
    Litres there;
    for (const Cylinder& one : need.cylinders) there = there + one.content();
    found.there = there;
    found.lasts = minutes(in_litres(there) / flow);
    found.lasts_with_margin = minutes(in_litres(there) / (flow * need.margin));
  }
  if (!found.needed || !found.there) return found;
  found.enough = *found.there >= *found.needed ? Enough::yes : Enough::no;
  found.short_by = std::max(litres(0.0), *found.needed - *found.there);
  return found;
}

} // namespace upline
