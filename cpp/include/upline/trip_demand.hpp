#pragma once
/// @file
/// @brief What a trip takes from a fill station: the day on which a gas runs short, and which.
///
/// Litres against litres. What banks hold is real gas down to a stated reading; that gas flows from
/// a bank only while it reads more than the cylinder is what cascade.hpp counts.
/// @par Source
/// docs/theory.md, section "Blending". Sums.

#include <upline/blending/vessel.hpp>
#include <upline/cascade.hpp>
#include <upline/fill.hpp>
#include <upline/supply.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace upline {

inline constexpr int longest_trip = 60; ///< [days]

/// @brief What is used every day of one gas.
struct DailyUse {
  StationGas gas; ///< As it comes from the station: for a blend one for each gas of its sheet.
  Litres volume;  ///< Of one diver on one dive, 0 to 100 000 L.
  int divers;     ///< 1 to 100.
  int dives;      ///< A day, 1 to 10.
};

/// @brief What a station has of one gas.
struct StationStock {
  StationGas gas; ///< The mix.
  Litres at_hand; ///< That may be used.
};

/// @brief One gas over a trip.
struct GasDemand {
  StationGas gas;                  ///< The mix.
  Litres a_day{};                  ///< Of the whole team.
  Litres needed{};                 ///< Over all days.
  std::optional<Litres> at_hand{}; ///< Nothing where it was not stated.
  Litres short_by{};               ///< 0 where it suffices, or is not known.
  std::optional<int> short_on{};   ///< The first day, from 1, whose use is not all there.
};

/// @brief Whether what is at hand suffices; what is not stated never does.
enum class Sufficient {
  yes,    ///< Every gas, for every day.
  no,     ///< At least one runs short.
  unknown ///< None runs short, but one was not stated.
};

/// @brief The gases of a trip.
struct TripDemand {
  int days = 0;                   ///< Of the trip.
  std::vector<GasDemand> gases{}; ///< In the order in which their use is named first.

  /// @brief Whether all that is needed is at hand.
  [[nodiscard]] Sufficient suffices() const {
    bool unknown = false;
    for (const GasDemand& one : gases) {
      if (one.short_on) return Sufficient::no;
      unknown = unknown || !one.at_hand;
    }
    return unknown ? Sufficient::unknown : Sufficient::yes;
  }
};

/// @brief What banks of one mix give until each reads `down_to`; one that reads less gives nothing.
/// @param gas         In the banks.
/// @param banks       1 to 12.
/// @param down_to     What stays in each.
/// @param temperature Of the banks; litres are counted at it.
/// @throws InvalidInput for what is out of range.
[[nodiscard]] inline Litres usable_content(const StationGas& gas, const std::vector<Bank>& banks,
                                           GaugePressure down_to, Temperature temperature) {
  detail::require_banks(banks);
  detail::require_gauge("down_to", down_to, bar_gauge(0.0), "give what stays in each bank");
  detail::require_gas_temperature("temperature", temperature);
  const double kelvin = in_kelvin(temperature);
  const double floor = in_bar(absolute(down_to));
  double content = 0.0;
  for (const Bank& bank : banks) {
    if (!(bank.pressure > down_to)) continue;
    const detail::Vessel held(in_water_litres(bank.water_volume), kelvin, detail::GasLaw::real);
    const double moles = held.amount(gas.fractions(), in_bar(absolute(bank.pressure))) -
                         held.amount(gas.fractions(), floor);
    content += moles * detail::gas_constant * kelvin;
  }
  return litres(content);
}

namespace detail {

inline void require_trip(const std::vector<DailyUse>& uses, const std::vector<StationStock>& stock,
                         int days) {
  constexpr std::size_t most = 50;
  constexpr double largest = 1e5; // [L]
  require_range("days", days, 1, longest_trip, "days", "give the days of the trip");
  if (uses.empty() || uses.size() > most)
    throw InvalidInput("uses", std::to_string(uses.size()) + " uses", "1 to 50 uses",
                       "say what is used a day, gas by gas");
  for (const DailyUse& one : uses) {
    require_range("divers", one.divers, 1, 100, "divers", "give how many use it");
    require_range("dives", one.dives, 1, 10, "dives a day", "give the dives of one day");
    if (!(one.volume >= litres(0.0) && one.volume <= litres(largest)))
      throw InvalidInput("volume", volume_text(in_litres(one.volume), 2),
                         "0 to " + volume_text(largest, 2), "give what one diver uses on one dive");
  }
  for (std::size_t j = 0; j < stock.size(); ++j) {
    if (!(stock[j].at_hand >= litres(0.0) && std::isfinite(in_litres(stock[j].at_hand))))
      throw InvalidInput("stock", volume_text(in_litres(stock[j].at_hand), 2), "0 or more",
                         "give what is at hand");
    for (std::size_t k = 0; k < j; ++k)
      if (stock[j].gas == stock[k].gas)
        throw InvalidInput("stock", stock[j].gas.spoken() + " named twice", "each gas once",
                           "add the two up");
  }
}

} // namespace detail

/// @brief What a trip takes of each gas, and on which day one runs short.
/// @param uses  What is used every day.
/// @param stock What is at hand; a gas that is not in it is not known, and never suffices.
/// @param days  1 to 60.
/// @throws InvalidInput for what is out of range, or a gas named twice in the stock.
[[nodiscard]] inline TripDemand trip_demand(const std::vector<DailyUse>& uses,
                                            const std::vector<StationStock>& stock, int days) {
  detail::require_trip(uses, stock, days);
  TripDemand trip{.days = days};
  for (const DailyUse& use : uses) {
    auto place = std::find_if(trip.gases.begin(), trip.gases.end(),
                              [&](const GasDemand& one) { return one.gas == use.gas; });
    if (place == trip.gases.end()) place = trip.gases.insert(place, GasDemand{.gas = use.gas});
    place->a_day = place->a_day + use.volume * static_cast<double>(use.divers * use.dives);
  }
  for (GasDemand& one : trip.gases) {
    one.needed = one.a_day * static_cast<double>(days);
    for (const StationStock& have : stock)
      if (have.gas == one.gas) one.at_hand = have.at_hand;
    if (!one.at_hand) continue;
    for (int day = 1; day <= days && !one.short_on; ++day)
      if (one.a_day * static_cast<double>(day) > *one.at_hand) one.short_on = day;
    one.short_by = std::max(litres(0.0), one.needed - *one.at_hand);
  }
  return trip;
}

} // namespace upline
