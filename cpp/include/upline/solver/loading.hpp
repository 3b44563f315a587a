#pragma once
/// @file
/// @brief Stays and travel at one place on open circuit, with exponentials computed once.

#include <upline/detail/exponentials.hpp>
#include <upline/environment.hpp>
#include <upline/gas.hpp>
#include <upline/tissue.hpp>

#include <cmath>
#include <cstddef>
#include <vector>

namespace upline::detail {

/// @brief phi and psi of both gases for one duration.
struct UptakePair {
  double minutes = 0.0;
  UptakeLanes<double> nitrogen;
  UptakeLanes<double> helium;
};

/// @brief What travel does to any tension of one gas: P -> scale P + shift.
struct GasMap {
  Lanes<double> scale;
  Lanes<double> shift;

  void apply(const Lanes<double>& before, Lanes<double>& after) const {
    view(after) = view(scale) * view(before) + view(shift);
  }
  /// This travel, and then another.
  void then(const GasMap& next) {
    next.apply(shift, shift);
    view(scale) *= view(next.scale);
  }
};

/// @brief What travel does to any tensions.
struct TravelMap {
  GasMap nitrogen;
  GasMap helium;

  void apply(const Tissues& before, Tissues& after) const {
    nitrogen.apply(before.nitrogen, after.nitrogen);
    helium.apply(before.helium, after.helium);
  }
  void then(const TravelMap& next) {
    nitrogen.then(next.nitrogen);
    helium.then(next.helium);
  }
};

/// @brief Carries tissues over stays and travel; remembers the exponentials of travel times,
/// which repeat from rung to rung.
class Loading {
public:
  Loading(const CompartmentSet& set, const Place& place) : set_(set), place_(place) {
    constexpr std::size_t usual = 8;
    remembered_.reserve(usual);
  }

  [[nodiscard]] const CompartmentSet& set() const { return set_; }
  [[nodiscard]] const Place& place() const { return place_; }

  void stay(Tissues& tissues, const Gas& gas, double depth, double minutes) const {
    const double dry = place_.pressure(depth) - place_.vapour;
    saturate(tissues.nitrogen, set_.nitrogen.rate, dry * gas.nitrogen(), minutes);
    saturate(tissues.helium, set_.helium.rate, dry * gas.helium, minutes);
  }

  void travel(Tissues& tissues, const Gas& gas, double from, double to, double minutes) {
    TravelMap map;
    set_map(map, gas, from, to, minutes);
    map.apply(tissues, tissues);
  }

  /// Sets `map` to what travel at one rate does.
  void set_map(TravelMap& map, const Gas& gas, double from, double to, double minutes) {
    const UptakePair& uptakes = over(minutes);
    const double dry = place_.pressure(from) - place_.vapour;
    const double climb = (to - from) * place_.per_metre;
    set_gas(map.nitrogen, uptakes.nitrogen, dry * gas.nitrogen(), climb * gas.nitrogen());
    set_gas(map.helium, uptakes.helium, dry * gas.helium, climb * gas.helium);
  }

private:
  void compute(UptakePair& pair, double minutes) const {
    pair.minutes = minutes;
    uptake(set_.nitrogen.rate, minutes, pair.nitrogen);
    uptake(set_.helium.rate, minutes, pair.helium);
  }

  [[nodiscard]] const UptakePair& over(double minutes) {
    constexpr double rounding = 1e-14; // equal travels differ by a few units of the last place
    for (const UptakePair& known : remembered_)
      if (std::abs(known.minutes - minutes) <= rounding * minutes) return known;
    compute(remembered_.emplace_back(), minutes);
    return remembered_.back();
  }

  static void saturate(Lanes<double>& tension, const Lanes<double>& rate, double inspired,
                       double minutes) {
    Lanes<double> phi;
    saturation(rate, minutes, phi);
    view(tension) += (inspired - view(tension)) * view(phi);
  }

  static void set_gas(GasMap& map, const UptakeLanes<double>& uptakes, double start, double climb) {
    view(map.scale) = 1.0 - view(uptakes.phi);
    view(map.shift) = start * view(uptakes.phi) + climb * view(uptakes.psi);
  }

  const CompartmentSet& set_;
  Place place_;
  std::vector<UptakePair> remembered_;
};

} // namespace upline::detail
