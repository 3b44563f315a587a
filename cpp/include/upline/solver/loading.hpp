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

/// @brief What travel does to any tensions: P -> scale P + shift, compartment by compartment.
struct TravelMap {
  Tissues scale;
  Tissues shift;

  [[nodiscard]] Tissues operator()(const Tissues& before) const {
    Tissues after;
    view(after.nitrogen) = view(scale.nitrogen) * view(before.nitrogen) + view(shift.nitrogen);
    view(after.helium) = view(scale.helium) * view(before.helium) + view(shift.helium);
    return after;
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
    tissues = map_of(gas, from, to, minutes)(tissues);
  }

  /// Travel at one rate as a map of the tensions before it.
  [[nodiscard]] TravelMap map_of(const Gas& gas, double from, double to, double minutes) {
    const UptakePair& uptakes = over(minutes);
    const double dry = place_.pressure(from) - place_.vapour;
    const double climb = (to - from) * place_.per_metre;
    TravelMap map;
    one_gas(uptakes.nitrogen, dry * gas.nitrogen(), climb * gas.nitrogen(), map.scale.nitrogen,
            map.shift.nitrogen);
    one_gas(uptakes.helium, dry * gas.helium, climb * gas.helium, map.scale.helium,
            map.shift.helium);
    return map;
  }

  /// One travel after another.
  [[nodiscard]] static TravelMap chain(const TravelMap& first, const TravelMap& then) {
    TravelMap both;
    both.shift = then(first.shift);
    view(both.scale.nitrogen) = view(first.scale.nitrogen) * view(then.scale.nitrogen);
    view(both.scale.helium) = view(first.scale.helium) * view(then.scale.helium);
    return both;
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

  static void one_gas(const UptakeLanes<double>& uptakes, double start, double climb,
                      Lanes<double>& scale, Lanes<double>& shift) {
    view(scale) = 1.0 - view(uptakes.phi);
    view(shift) = start * view(uptakes.phi) + climb * view(uptakes.psi);
  }

  const CompartmentSet& set_;
  Place place_;
  std::vector<UptakePair> remembered_;
};

} // namespace upline::detail
