#include "support.hpp"

#include <upline/limit.hpp>
#include <upline/oxygen.hpp>
#include <upline/tissue.hpp>

#include <boost/math/differentiation/autodiff.hpp>

#include <algorithm>
#include <cmath>
#include <type_traits>
#include <utility>

// The rooms that are templates on their scalar, with long double and with a number that carries its
// derivative. The derivative of a tension is compared with the equation it solves, dP/dt = k (pi -
// P); the others with central differences. The oxygen sums use log1p and expm1, which the
// differentiating number of Boost 1.74 does not have; they are tested with long double alone.

namespace {

using namespace upline;
using support::off;
using support::Real;

using Dual = decltype(boost::math::differentiation::make_fvar<double, 1>(0.0));

/// The variable with respect to which derivatives are taken.
Dual variable(double x) { return boost::math::differentiation::make_fvar<double, 1>(x); }
double value(const Dual& x) { return x.derivative(0); }
double derivative(const Dual& x) { return x.derivative(1); }

constexpr double vapour = 0.0627;

template <class T>
BasicTissues<T> start_tissues() {
  BasicTissues<T> tissues;
  for (std::size_t i = 0; i < compartment_count; ++i) {
    tissues.nitrogen[i] = T(0.75 + 0.1 * static_cast<double>(i));
    tissues.helium[i] = T(2.4 - 0.13 * static_cast<double>(i));
  }
  return tissues;
}

/// Gas in a scalar of any kind.
template <class T>
BasicGas<T> trimix() {
  return {T(0.18), T(0.45)};
}

} // namespace

TEST_SUITE("scalar") {
  TEST_CASE("long double gives what double gives") {
    const CompartmentSet& set = compartment_set("ZH-L16C");
    double worst = 0.0;
    for (const double minutes : {0.0, 1e-7, 0.01, 0.9, 5.0, 60.0, 2000.0}) {
      const double rate = minutes > 0.0 ? -0.9 / (1.0 + minutes) : 0.0;
      Tissues tissues = start_tissues<double>();
      advance(tissues, set, BasicSegment<double>{minutes, 6.7, rate},
              BasicOpenCircuit<double>{trimix<double>()}, vapour);
      BasicTissues<Real> precise = start_tissues<Real>();
      advance(precise, set, BasicSegment<Real>{Real(minutes), 6.7L, Real(rate)},
              BasicOpenCircuit<Real>{trimix<Real>()}, vapour);
      for (std::size_t i = 0; i < compartment_count; ++i) {
        worst = std::max(worst,
                         static_cast<double>(off<Real>(tissues.nitrogen[i], precise.nitrogen[i])));
        worst =
            std::max(worst, static_cast<double>(off<Real>(tissues.helium[i], precise.helium[i])));
      }
      tissues = start_tissues<double>();
      advance(tissues, set, BasicSegment<double>{minutes, 6.7, rate},
              BasicLoop<double>{trimix<double>(), 1.3}, vapour);
      precise = start_tissues<Real>();
      advance(precise, set, BasicSegment<Real>{Real(minutes), 6.7L, Real(rate)},
              BasicLoop<Real>{trimix<Real>(), 1.3L}, vapour);
      for (std::size_t i = 0; i < compartment_count; ++i)
        worst =
            std::max(worst, static_cast<double>(off<Real>(tissues.helium[i], precise.helium[i])));
    }
    CHECK(worst <= 5e-15); // a few roundings of 6.7 bar
    CHECK(worst > 0.0);    // it is another scalar indeed
  }

  TEST_CASE("long double on the 50-digit segments") {
    double worst = 0.0;
    for (const support::Record& row : support::table("segment_values")) {
      CompartmentSet set = compartment_set("ZH-L16C");
      set.helium.rate.fill(row.number("k_per_min"));
      BasicTissues<Real> tissues;
      tissues.helium.fill(row.number("start_bar"));
      advance(tissues, set,
              BasicSegment<Real>{row.number("minutes"), row.number("pressure_bar"),
                                 row.number("pressure_rate_bar_per_min")},
              BasicOpenCircuit<Real>{{0.0L, row.number("fraction")}}, row.number("vapour_bar"));
      const Real wanted = std::strtold(row.text("tension_bar").c_str(), nullptr);
      worst = std::max(worst,
                       static_cast<double>(off(tissues.helium[7], wanted)) / row.number("tol_bar"));
    }
    CHECK(worst <= 1.0);
  }

  TEST_CASE("limits and oxygen sums take long double") {
    const CompartmentSet& set = compartment_set("ZH-L16C");
    CHECK(off<Real>(tolerated_pressure<Real>(set, 4, 2.0L, 1.5L, 0.8L),
                    tolerated_pressure(set, 4, 2.0, 1.5, 0.8)) <= 1e-15L);
    CHECK(off<Real>(supersaturation_fraction<Real>(set, 4, 2.0L, 1.5L, 1.9L),
                    supersaturation_fraction(set, 4, 2.0, 1.5, 1.9)) <= 2e-15L);
    const BasicOxygenSegment<Real> ramp{7.0L, 0.4L, 1.75L};
    const OxygenSegment plain{7.0, 0.4, 1.75};
    CHECK(off<Real>(oxygen_share(single_exposure, ramp), oxygen_share(single_exposure, plain)) <=
          1e-15L);
    CHECK(off<Real>(pulmonary_dose(ramp), pulmonary_dose(plain)) <= 1e-14L);
    CHECK(std::is_same_v<decltype(pulmonary_dose(ramp)), Real>);
  }

  TEST_CASE("the derivative of a tension by the duration is the equation it solves") {
    const CompartmentSet& set = compartment_set("ZH-L16C");
    for (const auto& travel :
         {std::pair(0.0, -0.9), std::pair(0.3, -0.9), std::pair(4.0, 0.0), std::pair(25.0, 0.2)}) {
      const double minutes = travel.first;
      const double rate = travel.second;
      CAPTURE(minutes);
      BasicTissues<Dual> tissues = start_tissues<Dual>();
      advance(tissues, set, BasicSegment<Dual>{variable(minutes), Dual(6.7), Dual(rate)},
              BasicOpenCircuit<Dual>{trimix<Dual>()}, vapour);
      Tissues plain = start_tissues<double>();
      advance(plain, set, Segment{minutes, 6.7, rate}, OpenCircuit{trimix<double>()}, vapour);
      const double dry = 6.7 + rate * minutes - vapour;
      double worst = 0.0;
      for (std::size_t i = 0; i < compartment_count; ++i) {
        CHECK(off(value(tissues.nitrogen[i]), plain.nitrogen[i]) <= 2e-15);
        CHECK(off(value(tissues.helium[i]), plain.helium[i]) <= 2e-15);
        worst = std::max(worst, off(derivative(tissues.nitrogen[i]),
                                    set.nitrogen.rate[i] * (dry * 0.37 - plain.nitrogen[i])));
        worst = std::max(worst, off(derivative(tissues.helium[i]),
                                    set.helium.rate[i] * (dry * 0.45 - plain.helium[i])));
      }
      CHECK(worst <= 1e-14);
    }
  }

  TEST_CASE("the same on a loop between and outside its clamps") {
    const CompartmentSet& set = compartment_set("ZH-L16C");
    for (const double minutes : {0.5, 3.0, 7.5}) { // beside, between and above the two borders
      CAPTURE(minutes);
      const double pressure = 1.01325;
      const double rate = 1.2;
      BasicTissues<Dual> tissues = start_tissues<Dual>();
      advance(tissues, set, BasicSegment<Dual>{variable(minutes), Dual(pressure), Dual(rate)},
              BasicLoop<Dual>{trimix<Dual>(), Dual(1.3)}, vapour);
      Tissues plain = start_tissues<double>();
      const Loop loop{trimix<double>(), 1.3};
      advance(plain, set, Segment{minutes, pressure, rate}, loop, vapour);
      const double inert = inspired_inert(loop, pressure + rate * minutes, vapour);
      double worst = 0.0;
      for (std::size_t i = 0; i < compartment_count; ++i) {
        CHECK(off(value(tissues.nitrogen[i]), plain.nitrogen[i]) <= 2e-15);
        worst =
            std::max(worst, off(derivative(tissues.nitrogen[i]),
                                set.nitrogen.rate[i] * (inert * 0.37 / 0.82 - plain.nitrogen[i])));
        worst = std::max(worst, off(derivative(tissues.helium[i]),
                                    set.helium.rate[i] * (inert * 0.45 / 0.82 - plain.helium[i])));
      }
      CHECK(worst <= 1e-13);
    }
  }

  TEST_CASE("the derivative of a tension by the oxygen fraction by differences") {
    const CompartmentSet& set = compartment_set("ZH-L16C");
    const auto tension = [&](double oxygen) {
      Tissues tissues = start_tissues<double>();
      advance(tissues, set, Segment{20.0, 6.7, -0.1}, OpenCircuit{{oxygen, 0.45}}, vapour);
      return tissues.nitrogen[5];
    };
    BasicTissues<Dual> tissues = start_tissues<Dual>();
    advance(tissues, set, BasicSegment<Dual>{Dual(20.0), Dual(6.7), Dual(-0.1)},
            BasicOpenCircuit<Dual>{{variable(0.18), Dual(0.45)}}, vapour);
    const double central = (tension(0.18 + 1e-3) - tension(0.18 - 1e-3)) / 2e-3;
    CHECK(off(derivative(tissues.nitrogen[5]), central) <= 1e-11); // linear in the fraction
    CHECK(derivative(tissues.nitrogen[5]) < -0.5);
    CHECK(derivative(tissues.helium[5]) == 0.0);
  }

  TEST_CASE("derivatives of tolerated pressure and fraction by differences") {
    const CompartmentSet& set = compartment_set("ZH-L16C");
    const auto tolerated = [&](double helium) {
      return tolerated_pressure(set, 4, 2.0, helium, 0.7);
    };
    const Dual by_helium = tolerated_pressure<Dual>(set, 4, Dual(2.0), variable(1.5), Dual(0.7));
    CHECK(value(by_helium) == tolerated(1.5));
    CHECK(off(derivative(by_helium), (tolerated(1.5 + 1e-5) - tolerated(1.5 - 1e-5)) / 2e-5) <=
          1e-9);
    const auto fraction = [&](double ambient) {
      return supersaturation_fraction(set, 4, 2.0, 1.5, ambient);
    };
    const Dual by_ambient =
        supersaturation_fraction<Dual>(set, 4, Dual(2.0), Dual(1.5), variable(1.9));
    CHECK(off(value(by_ambient), fraction(1.9)) <= 1e-15);
    CHECK(off(derivative(by_ambient), (fraction(1.9 + 1e-5) - fraction(1.9 - 1e-5)) / 2e-5) <=
          1e-9);
  }
}
