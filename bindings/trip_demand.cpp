#include "station.hpp"

#include <upline/trip_demand.hpp>
#include <upline/trip_demand_text.hpp>

#include <pybind11/stl.h>

#include <cmath>
#include <string>
#include <vector>

namespace upline::python {
namespace {

constexpr const char* uses_allowed =
    "a list of a gas, what one diver uses on one dive, how many divers, how many dives a day";
constexpr const char* uses_remedy = "write uses=[(\"O2\", 500, 3, 2)]";
constexpr const char* stock_allowed = "a list of pairs of a gas and its litres, or its banks";
constexpr const char* stock_remedy = "write stock=[(\"O2\", 9000), (\"He\", [(50, 180)])]";

int whole_of(py::handle value, const char* field) {
  const double given = number(value, field, "");
  constexpr double most = 1e6;
  if (!(std::abs(given) <= most) || std::round(given) != given)
    throw InvalidInput(field, std::isnan(given) ? "not a number" : detail::trimmed(given, 6),
                       "a whole number", "count them");
  return static_cast<int>(given);
}

std::vector<DailyUse> uses_of(py::handle value, Units units) {
  std::vector<DailyUse> uses;
  for (const py::object& one : items(value, "uses", uses_allowed, uses_remedy)) {
    const std::vector<py::object> parts = items(one, "uses", uses_allowed, uses_remedy);
    constexpr std::size_t count = 4;
    if (parts.size() != count) throw WrongType("uses", shown(one), uses_allowed, uses_remedy);
    uses.push_back({station_gas_of(parts[0], "uses"),
                    Litres(number(parts[1], "volume", volume_name(units)) * volume_unit(units)),
                    whole_of(parts[2], "divers"), whole_of(parts[3], "dives")});
  }
  return uses;
}

Litres at_hand_of(const StationGas& gas, py::handle value, py::handle down_to,
                  py::handle temperature, Units units) {
  if (!is_sequence(value))
    return Litres(number(value, "stock", volume_name(units)) * volume_unit(units));
  const std::vector<Bank> banks = banks_of(value, units);
  if (down_to.is_none())
    throw InvalidInput("down_to", "missing beside banks", "a reading of the gauge",
                       "say what stays in each bank");
  if (temperature.is_none())
    throw InvalidInput("temperature", "missing beside banks", "that of the banks",
                       "say how warm the banks are");
  return usable_content(gas, banks, gauge_of(down_to, "down_to", units),
                        temperature_of(temperature, units));
}

py::dict gas_of_trip(const GasDemand& one, Units units) {
  const auto volume = [&](Litres x) { return result_in(in_litres(x), volume_unit(units)); };
  py::dict d;
  d["gas"] = one.gas.spoken();
  d["a_day"] = volume(one.a_day);
  d["needed"] = volume(one.needed);
  d["at_hand"] = py::none();
  d["short_by"] = py::none();
  d["short_on"] = py::none();
  if (one.at_hand) {
    d["at_hand"] = volume(*one.at_hand);
    d["short_by"] = volume(one.short_by);
  }
  if (one.short_on) d["short_on"] = *one.short_on;
  return d;
}

py::dict found(py::handle uses, py::handle stock, py::handle days, py::handle down_to,
               py::handle temperature, py::handle system) {
  const Units units = units_of(system);
  std::vector<StationStock> at_hand;
  for (const py::object& one : items(stock, "stock", stock_allowed, stock_remedy)) {
    const std::vector<py::object> pair = items(one, "stock", stock_allowed, stock_remedy);
    if (pair.size() != 2) throw WrongType("stock", shown(one), stock_allowed, stock_remedy);
    const StationGas gas = station_gas_of(pair[0], "stock");
    at_hand.push_back({gas, at_hand_of(gas, pair[1], down_to, temperature, units)});
  }
  const TripDemand trip = trip_demand(uses_of(uses, units), at_hand, whole_of(days, "days"));
  py::tuple gases(trip.gases.size());
  for (std::size_t j = 0; j < trip.gases.size(); ++j) gases[j] = gas_of_trip(trip.gases[j], units);
  py::list table;
  for (const DemandLine& line : demand_table(trip, units)) table.append(py::tuple(py::cast(line)));
  py::dict d;
  d["gases"] = gases;
  d["days"] = trip.days;
  d["suffices"] = std::string(sufficient_name(trip.suffices()));
  d["table"] = py::tuple(table);
  d["verdict"] = demand_verdict(trip);
  d["assumptions"] = demand_assumptions(trip);
  d["text"] = demand_text(trip, units);
  d["units"] = units_name(units);
  return d;
}

} // namespace

void register_trip_demand(py::module_& module) { module.def("trip_demand", &found); }

} // namespace upline::python
